package thermal

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"time"
)

// maxRows bounds a CSV export: a mistyped interval must not fill a disk.
const maxRows = 2_000_000

// WriteCSV writes the run as a table: one line every interval, with the time in
// seconds, the stage, and of every layer the coldest, mean and hottest
// temperature [°C], the water and the ice [kg] and the mean water activity [-]; then
// centre and surface temperature [°C] and the mass [kg]. The first line names columns and units.
func (r *Run) WriteCSV(w io.Writer, every time.Duration) error {
	if every <= 0 || r.Duration()/every > maxRows {
		return &InputError{Place: "CSV export", Field: "interval", Value: every, Want: fmt.Sprintf("above 0 and no more than %d lines", maxRows)}
	}
	out := csv.NewWriter(w)
	head := []string{"time_s", "stage", "centre_C", "surface_C", "mass_kg"}
	for _, name := range r.model.names {
		for _, q := range []string{"coldest_C", "mean_C", "hottest_C", "water_kg", "ice_kg", "water_activity"} {
			head = append(head, name+" "+q)
		}
	}
	if err := out.Write(head); err != nil {
		return err
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 7, 64) }
	for s := range r.Each(every) {
		centre, _ := s.Temperature(Centre())
		surface, _ := s.Temperature(Skin())
		row := []string{strconv.FormatFloat(s.clock, 'f', 3, 64), r.stageName(s.Time()), number(centre), number(surface), number(s.Mass())}
		for _, l := range s.Layers() {
			row = append(row, number(l.Coldest), number(l.Mean), number(l.Hottest), number(l.Water), number(l.Ice), number(l.WaterActivity))
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func (r *Run) stageName(t time.Duration) string {
	for i, s := range r.Stages {
		if t <= s.End {
			return stagePlace(i, s.Name)
		}
	}
	return ""
}

// runJSON is the form of a run in JSON. Times are in seconds; other units are
// those of the types' fields.
type runJSON struct {
	Version         versionJSON  `json:"version"`
	Input           *inputJSON   `json:"input"`
	DurationSeconds float64      `json:"duration_s"`
	Layers          []layerJSON  `json:"layers"`
	Stages          []stageJSON  `json:"stages"`
	Events          []eventJSON  `json:"events"`
	Samples         []sampleJSON `json:"samples"`
	Energy          EnergyAudit  `json:"energy"`
	Water           WaterAudit   `json:"water"`
	Bodies          []bodyJSON   `json:"bodies,omitempty"`
	Stats           Stats        `json:"solver"`
}

type layerJSON struct {
	Name      string  `json:"name"`
	Food      string  `json:"food"`
	Thickness float64 `json:"thickness_m"`
}

type stageJSON struct {
	Name   string  `json:"name"`
	Start  float64 `json:"start_s"`
	End    float64 `json:"end_s"`
	Reason string  `json:"reason"`
}

type eventJSON struct {
	Time  float64 `json:"time_s"`
	Kind  string  `json:"kind"`
	Stage int     `json:"stage"`
	Layer string  `json:"layer,omitempty"`
	Watch *int    `json:"watch,omitempty"`
	Text  string  `json:"text"`
}

type sampleJSON struct {
	Time    float64      `json:"time_s"`
	Centre  float64      `json:"centre_C"`
	Surface float64      `json:"surface_C"`
	Mass    float64      `json:"mass_kg"`
	Layers  []LayerState `json:"layers"`
}

// bodyJSON is the account of an Active medium.
type bodyJSON struct {
	Given    float64 `json:"given_J"`
	Stored   float64 `json:"stored_J"`
	Taken    float64 `json:"taken_J"`
	Relative float64 `json:"relative"`
}

// jsonSamples is how many moments MarshalJSON shows besides the start.
const jsonSamples = 60

// MarshalJSON gives the run as JSON: the versions of the library, of Go and of the
// system, the input, layers, stages, events, sixty-one samples from start to end, both
// accounts, those of Active media, and the solver's counters.
//
// The input is all that the run was made from, with the settings' defaults filled in,
// and enough to run it again, bit for bit with the same version and system: foods with all
// that is known of them, the start cell by cell (a CellStart, whatever it was given by),
// stages, media and conditions. Only what is a function of the caller's cannot be had from
// it: media that vary, whose values at up to sixty-one moments of the stage are there,
// and conditions made by When, of which there are the words. "functions" lists them; it
// is empty for a run that can be made again.
//
// Times are exact to the nanosecond up to 26 days, beyond that if they are whole seconds.
func (r *Run) MarshalJSON() ([]byte, error) {
	if r.model == nil {
		return nil, &InputError{Place: "JSON export", Field: "run", Value: "none", Want: "a run from Simulate"}
	}
	input, err := r.input()
	if err != nil {
		return nil, err
	}
	out := runJSON{Version: version(), Input: input, DurationSeconds: r.duration, Energy: r.Energy, Water: r.Water, Stats: r.Stats,
		Layers: []layerJSON{}, Stages: []stageJSON{}, Events: []eventJSON{}}
	for i, l := range r.model.mesh.Layers {
		out.Layers = append(out.Layers, layerJSON{l.Name, r.model.relations[i].Food().Name, l.Thickness})
	}
	for _, s := range r.Stages {
		out.Stages = append(out.Stages, stageJSON{s.Name, seconds(s.Start), seconds(s.End), s.Reason.String()})
	}
	for _, e := range r.Events {
		x := eventJSON{Time: seconds(e.Time), Kind: e.Kind.String(), Stage: e.Stage, Layer: e.Layer, Text: e.Text}
		if e.Kind == Watched {
			x.Watch = &e.Watch
		}
		out.Events = append(out.Events, x)
	}
	for _, b := range r.Bodies {
		out.Bodies = append(out.Bodies, bodyJSON{b.Given, b.Stored, b.Taken, b.Relative})
	}
	for i := range jsonSamples + 1 {
		s := r.at(r.duration * float64(i) / jsonSamples)
		x := sampleJSON{Time: s.clock, Mass: s.Mass(), Layers: s.Layers()}
		x.Centre, _ = s.Temperature(Centre())
		x.Surface, _ = s.Temperature(Skin())
		out.Samples = append(out.Samples, x)
	}
	return json.Marshal(out)
}
