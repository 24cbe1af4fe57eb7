package verdict

import (
	"fmt"
	"math"
	"slices"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/safety"
)

// describe begins a report with what happened and how the dish came out.
func (s *subject) describe() *Report {
	r := &Report{Stages: []Stage{}, Timeline: []Moment{}, Findings: []Finding{}, Checks: []Check{}, Unjudged: []string{},
		Changes: []Change{}, Quality: s.quality, Caution: safety.Caution}
	for i, run := range s.runs {
		for j, stage := range run.Stages {
			at := run.At(stage.End)
			x := Stage{Run: i + 1, Name: stage.Name, Start: s.begins[i] + stage.Start.Seconds(), End: s.begins[i] + stage.End.Seconds(),
				Ended: stage.Reason.String(), Early: stage.Reason.Early(), Medium: medium(run, j, stage.End), Mass: at.Mass(), Ice: at.Ice()}
			x.Centre, _ = at.Temperature(thermal.Centre()) // both places are in every dish
			x.Surface, _ = at.Temperature(thermal.Skin())
			r.Stages = append(r.Stages, x)
		}
		for _, e := range run.Events {
			words := e.Text
			if e.Kind == thermal.StageBegins {
				words = s.begin(i, e.Stage)
			}
			r.Timeline = append(r.Timeline, Moment{Time: s.begins[i] + e.Time.Seconds(), Run: i + 1, Kind: e.Kind.String(), Text: words})
		}
	}
	r.Duration = s.begins[len(s.runs)-1] + s.last.Duration().Seconds()
	r.End = s.outcome()
	return r
}

// begin tells of a stage that it begins, counted through the chain.
func (s *subject) begin(run, stage int) string {
	words := fmt.Sprintf("stage %d", s.stageNumber(run, stage))
	if name := s.runs[run].Stages[stage].Name; name != "" {
		words += fmt.Sprintf(" (%q)", name)
	}
	return words + " begins"
}

// outcome is the dish at the end.
func (s *subject) outcome() End {
	e := End{Mass: s.end.Mass(), Ice: s.end.Ice(), Lost: s.lost(), LostKnown: s.still(0) == nil, Layers: []Layer{}}
	e.Centre, _ = s.end.Temperature(thermal.Centre())
	e.Surface, _ = s.end.Temperature(thermal.Skin())
	e.LostShare = e.Lost / (e.Mass + e.Lost)
	peaks, grid := s.last.Peaks(), s.last.Grid()
	for _, l := range s.layers {
		x := Layer{Name: l.Name, Coldest: l.Coldest, Mean: l.Mean, Hottest: l.Hottest, Water: l.Water, Ice: l.Ice, Gained: l.Water - s.rawWater(l.Name)}
		x.Peak, _ = grid.Read(thermal.HottestOf(l.Name), peaks)
		x.Peak = math.Max(x.Peak, x.Hottest) // which counts the dish's surface
		x.Least, _ = grid.Read(thermal.ColdestOf(l.Name), peaks)
		e.Layers = append(e.Layers, x)
	}
	return e
}

// lost is the water [kg] that all runs lost, negative if more condensed.
func (s *subject) lost() (sum float64) {
	for _, run := range s.runs {
		sum += run.Lost()
	}
	return sum
}

// rawWater is the water [kg] of a layer when it came into the chain.
func (s *subject) rawWater(layer string) float64 {
	layers := s.runs[s.since(layer)].At(0).Layers()
	return layers[slices.IndexFunc(layers, func(l thermal.LayerState) bool { return l.Name == layer })].Water
}
