package thermal

import (
	"fmt"
	"maps"
	"slices"

	"example.com/thawfront/geometry"
)

type stageInput struct {
	Name    string          `json:"name"`
	Medium  *mediumInput    `json:"medium,omitempty"`
	Patches []patchInput    `json:"patches,omitempty"`
	Brush   *brushInput     `json:"brush,omitempty"`
	Until   *conditionInput `json:"until"`
	Limit   float64         `json:"limit_s,omitempty"`
}

type patchInput struct {
	Patch  string       `json:"patch"`
	Medium *mediumInput `json:"medium"`
}

type brushInput struct {
	Food        foodInput `json:"food"`
	Mass        float64   `json:"mass_kg_m2"`
	Temperature float64   `json:"temperature_C"`
	Patch       string    `json:"patch,omitempty"`
}

// mediumInput is a medium that stays as it is, or what a function of the caller's gave
// at moments of the stage; either may have been said to jump.
type mediumInput struct {
	Constant *surroundingsInput `json:"constant,omitempty"`
	Function []momentInput      `json:"function,omitempty"`
	Changes  []float64          `json:"changes_s,omitempty"`
}

type momentInput struct {
	Time float64 `json:"time_s"`
	surroundingsInput
}

type surroundingsInput struct {
	Fluid      figure        `json:"fluid_C"`
	H          figure        `json:"h_W_m2K"`
	Walls      *figure       `json:"walls_C,omitempty"` // none where nothing radiates
	Emissivity figure        `json:"emissivity"`
	Humidity   humidityInput `json:"humidity"`
}

type humidityInput struct {
	Kind  string `json:"kind"`
	Value figure `json:"value,omitempty"`
}

var humidityWords = [...]string{sealed: "sealed", humidityRatio: "ratio kg/kg of dry air", relativeHumidity: "relative", dewPoint: "dew point °C",
	wetBulb: "wet bulb °C", vapourPressure: "vapour pressure Pa", steam: "steam"}

// conditionInput has what its kind asks for.
type conditionInput struct {
	Words       string           `json:"words"`
	Kind        string           `json:"kind"` // elapsed, above, below, fluid above, fluid below, ice gone, frozen, any, all or function
	Time        *float64         `json:"time_s,omitempty"`
	Place       *placeInput      `json:"place,omitempty"`
	Temperature *float64         `json:"temperature_C,omitempty"`
	Share       *float64         `json:"share,omitempty"`
	Of          []conditionInput `json:"of,omitempty"`
}

type placeInput struct {
	Kind     string   `json:"kind"`
	Layer    string   `json:"layer,omitempty"`
	Depth    *float64 `json:"depth_m,omitempty"`
	Fraction *float64 `json:"fraction,omitempty"`
	X        *float64 `json:"x_m,omitempty"`
	Y        *float64 `json:"y_m,omitempty"`
	Patch    string   `json:"patch,omitempty"`
}

var placeWords = [...]string{centre: "centre", skin: "surface", depth: "depth", within: "within", coldest: "coldest", hottest: "hottest", mean: "mean",
	point: "point", patch: "patch"}

type settingsInput struct {
	Cells     int              `json:"cells"`
	CellRatio float64          `json:"cell_ratio,omitempty"`
	Grading   string           `json:"grading"`
	Tolerance float64          `json:"tolerance_K"`
	IceCurve  string           `json:"ice_curve"`
	Pressure  float64          `json:"pressure_Pa"`
	Moisture  bool             `json:"moisture"`
	MaxSteps  int              `json:"max_steps"`
	MaxStep   float64          `json:"max_step_s"` // 0: as Settings has it
	Watch     []conditionInput `json:"watch,omitempty"`
}

var gradingWords = [...]string{geometry.Graded: "graded", geometry.Uniform: "uniform"}

// stageInput gathers what stage i was made from and notes the functions it has.
func (r *Run) stageInput(i int, functions *[]string) stageInput {
	s := &r.Schedule[i]
	lasted := 0.0
	if i < len(r.Stages) {
		lasted = seconds(r.Stages[i].End - r.Stages[i].Start)
	}
	place := stagePlace(i, s.Name)
	out := stageInput{Name: s.Name, Limit: seconds(s.Limit)}
	if !isNil(s.Medium) {
		out.Medium = r.inputOfMedium(s.Medium, i, lasted, place+", medium", functions)
	}
	for _, p := range slices.Sorted(maps.Keys(s.Patches)) {
		m := r.inputOfMedium(s.Patches[p], i, lasted, fmt.Sprintf("%s, medium of %s", place, p), functions)
		out.Patches = append(out.Patches, patchInput{string(p), m})
	}
	if b := s.Brush; b != nil {
		out.Brush = &brushInput{inputOfFood(&b.Food), b.Mass, b.Temperature, string(b.Patch)}
	}
	until := inputOfCondition(s.Until, place+", until", functions)
	out.Until = &until
	return out
}

func (r *Run) inputOfMedium(m Medium, stage int, lasted float64, place string, functions *[]string) *mediumInput {
	out := &mediumInput{}
	if c, ok := m.(Changer); ok {
		for _, d := range c.Changes() {
			out.Changes = append(out.Changes, seconds(d))
		}
	}
	inner := m
	for c, ok := inner.(changing); ok; c, ok = inner.(changing) {
		inner = c.Medium
	}
	if s, ok := inner.(Surroundings); ok {
		c := inputOfSurroundings(s)
		out.Constant = &c
		return out
	}
	*functions = append(*functions, place)
	control, port, active := controlOf(inner)
	if active && stage < len(r.stages) {
		if p := r.stages[stage].part(control.Body()); p != nil {
			control = p.control // as the run has kept it
		}
	}
	for i := range jsonSamples + 1 {
		t := lasted * float64(i) / jsonSamples
		s := m.At(duration(t))
		if active && stage < len(r.Stages) {
			if state := r.Around(control.Body(), r.Stages[stage].Start+duration(t)); state != nil {
				s = control.Meets(port, state, t)
			}
		}
		out.Function = append(out.Function, momentInput{t, inputOfSurroundings(s)})
		if lasted == 0 {
			break
		}
	}
	return out
}

func inputOfSurroundings(s Surroundings) surroundingsInput {
	out := surroundingsInput{Fluid: figure(s.Fluid), H: figure(s.H), Emissivity: figure(s.Emissivity),
		Humidity: humidityInput{humidityWords[s.Humidity.kind], figure(s.Humidity.value)}}
	if s.Emissivity != 0 {
		w := figure(s.Walls)
		out.Walls = &w
	}
	return out
}

func inputOfCondition(c Condition, place string, functions *[]string) conditionInput {
	out := conditionInput{Words: c.String()}
	switch c := c.(type) {
	case elapsed:
		t := seconds(c.times(nil)[0])
		out.Kind, out.Time = "elapsed", &t
	case threshold:
		out.Kind = aboveOrBelow(c.sign)
		p := inputOfPlace(c.place)
		out.Place, out.Temperature = &p, &c.t
	case fluid:
		out.Kind = "fluid " + aboveOrBelow(c.sign)
		out.Temperature = &c.t
		if c.patch != "" {
			out.Place = &placeInput{Kind: placeWords[patch], Patch: string(c.patch)}
		}
	case iceGone:
		out.Kind = "ice gone"
	case frozen:
		share := float64(c)
		out.Kind, out.Share = "frozen", &share
	case several:
		out.Kind = "any"
		if c.word == " and " {
			out.Kind = "all"
		}
		for _, x := range c.of {
			out.Of = append(out.Of, inputOfCondition(x, place, functions))
		}
	default:
		out.Kind = "function"
		*functions = append(*functions, place+": "+out.Words)
	}
	return out
}

func inputOfPlace(p Place) placeInput {
	out := placeInput{Kind: placeWords[p.kind], Layer: p.layer}
	switch p.kind {
	case depth:
		out.Depth = &p.at
	case within:
		out.Fraction = &p.at
	case point:
		out.X, out.Y = &p.at, &p.y
	case patch:
		out.Layer, out.Patch = "", p.layer
	}
	return out
}

func inputOfSettings(s *Settings, functions *[]string) settingsInput {
	out := settingsInput{Cells: s.Cells, CellRatio: s.CellRatio, Grading: gradingWords[s.Grading], Tolerance: s.Tolerance, IceCurve: s.IceCurve.String(),
		Pressure: s.Pressure, Moisture: s.Moisture, MaxSteps: s.MaxSteps, MaxStep: seconds(s.MaxStep)}
	for i, c := range s.Watch {
		out.Watch = append(out.Watch, inputOfCondition(c, fmt.Sprintf("settings, watch %d", i+1), functions))
	}
	return out
}
