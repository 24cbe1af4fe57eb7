package thermal

import (
	"encoding/json"
	"math"
	"reflect"
	"runtime"
	"runtime/debug"
	"strings"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// versionJSON is what the bits of a run depend on beside its input.
type versionJSON struct {
	Thawfront string `json:"thawfront"`
	Go        string `json:"go"`
	System    string `json:"system"`
}

// Version is what the build knows of this library's version: that of its module, the
// revision it was built from, or both; "unknown" where it knows neither.
func Version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	path := strings.TrimSuffix(reflect.TypeFor[Run]().PkgPath(), "/thermal")
	var known []string
	know := func(v string) {
		if v != "" && v != "(devel)" {
			known = append(known, v)
		}
	}
	for _, m := range info.Deps {
		if m.Path == path {
			if know(m.Version); m.Replace != nil {
				know(m.Replace.Version)
			}
		}
	}
	if info.Main.Path == path {
		know(info.Main.Version)
		for _, s := range info.Settings {
			switch {
			case s.Key == "vcs.revision":
				know(s.Value)
			case s.Key == "vcs.modified" && s.Value == "true":
				know("modified")
			}
		}
	}
	if known == nil {
		return "unknown"
	}
	return strings.Join(known, " ")
}

func version() versionJSON {
	return versionJSON{Version(), runtime.Version(), runtime.GOOS + "/" + runtime.GOARCH}
}

// inputJSON is what a run was made from. What is a function of the caller's is listed by
// its place; of a medium its values along the run are there besides.
type inputJSON struct {
	Shape     shapeJSON     `json:"shape"`
	Layers    []layerInput  `json:"layers"`
	Start     *CellStart    `json:"start"`
	Schedule  []stageInput  `json:"schedule"`
	Settings  settingsInput `json:"settings"`
	Functions []string      `json:"functions"`
}

type shapeJSON struct {
	Kind    string     `json:"kind"`
	Area    float64    `json:"area_m2,omitempty"`
	Length  float64    `json:"length_m,omitempty"`
	Width   float64    `json:"width_m,omitempty"`
	Contact float64    `json:"contact_width_m,omitempty"`
	Half    bool       `json:"half,omitempty"`
	Bottom  []endInput `json:"bottom,omitempty"`
	Top     []endInput `json:"top,omitempty"`
}

type endInput struct {
	Layer     string  `json:"layer"`
	Thickness float64 `json:"thickness_m"`
}

type layerInput struct {
	Name      string     `json:"name"`
	Food      foodInput  `json:"food"`
	Thickness float64    `json:"thickness_m"`
	Contact   float64    `json:"contact_m2K_W,omitempty"`
	Cells     int        `json:"cells,omitempty"`
	Film      *filmInput `json:"film,omitempty"`
	Rise      *riseInput `json:"rise,omitempty"`
}

type filmInput struct {
	Permeance float64 `json:"permeance_kg_m2sPa"`
	Holds     float64 `json:"holds_Pa"`
}

// riseInput has its points at °C or s, as it goes by the one or the other.
type riseInput struct {
	Against string           `json:"against"`
	Points  []risePointInput `json:"points"`
}

type risePointInput struct {
	At    float64 `json:"at"`
	Ratio float64 `json:"ratio"`
}

var riseWords = [...]string{PeakTemperature: "peak temperature", RunTime: "run time"}

// foodInput is all of a materials.Food, words for what are numbers there.
type foodInput struct {
	Name          string            `json:"name"`
	Group         string            `json:"group,omitempty"`
	Composition   *compositionInput `json:"composition,omitempty"`
	FreezingPoint float64           `json:"freezing_point_C,omitempty"` // 0: from the solutes
	BoundWater    *float64          `json:"bound_water,omitempty"`      // none: estimated
	Structure     string            `json:"structure"`
	Porosity      float64           `json:"porosity"`
	FatKind       string            `json:"fat_kind"`
	Isotherm      string            `json:"isotherm,omitempty"` // as materials.ParseTable has it; none: generic
	Transport     *transportInput   `json:"transport,omitempty"`
	Holding       *holdingInput     `json:"holding,omitempty"`
	Soak          float64           `json:"soak,omitempty"`
	Measured      *measuredInput    `json:"measured,omitempty"`
	Source        string            `json:"source,omitempty"`
}

type compositionInput struct {
	Water        float64 `json:"water"`
	Protein      float64 `json:"protein"`
	Fat          float64 `json:"fat"`
	Carbohydrate float64 `json:"carbohydrate"`
	Fibre        float64 `json:"fibre"`
	Ash          float64 `json:"ash"`
	Salt         float64 `json:"salt"`
	Sugar        float64 `json:"sugar"`
}

type transportInput struct {
	Diffusivity  float64 `json:"diffusivity_m2_s"`
	Activation   float64 `json:"activation_J_mol"`
	HalfMoisture float64 `json:"half_moisture"`
	Permeability float64 `json:"permeability_kg_msPa"`
	MeltedFat    float64 `json:"melted_fat"`
	Source       string  `json:"source,omitempty"`
}

type holdingInput struct {
	Name     string              `json:"name"`
	RawWater float64             `json:"raw_water"`
	Points   []holdingPointInput `json:"points"`
	Source   string              `json:"source,omitempty"`
}

type holdingPointInput struct {
	Temperature float64 `json:"temperature_C"`
	Lost        float64 `json:"lost"`
	Rate        float64 `json:"rate_1_s"`
}

type measuredInput struct {
	Density float64              `json:"density_kg_m3"`
	Points  []measuredPointInput `json:"points"`
}

type measuredPointInput struct {
	T            float64 `json:"temperature_C"`
	Enthalpy     float64 `json:"enthalpy_J_kg"`
	Conductivity float64 `json:"conductivity_W_mK"`
}

// input gathers what a run was made from.
func (r *Run) input() (*inputJSON, error) {
	start, err := r.start()
	if err != nil {
		return nil, err
	}
	in := &inputJSON{Shape: inputOfShape(r.model.mesh.Shape), Start: start, Functions: []string{}}
	for i := range r.Dish.Layers {
		in.Layers = append(in.Layers, inputOfLayer(r.model.names[i], &r.Dish.Layers[i]))
	}
	for i := range r.Schedule {
		in.Schedule = append(in.Schedule, r.stageInput(i, &in.Functions))
	}
	in.Settings = inputOfSettings(&r.Settings, &in.Functions)
	return in, nil
}

// inputOfShape takes the mesh's shape, which is one of package geometry's own.
func inputOfEnds(ends []geometry.End) (out []endInput) {
	for _, e := range ends {
		out = append(out, endInput(e))
	}
	return out
}

func inputOfShape(s geometry.Shape) shapeJSON {
	switch s := s.(type) {
	case geometry.Slab:
		return shapeJSON{Kind: "slab", Area: s.Area}
	case geometry.HalfSlab:
		return shapeJSON{Kind: "half slab", Area: s.Area}
	case geometry.Cylinder:
		return shapeJSON{Kind: "cylinder", Length: s.Length}
	case geometry.FiniteCylinder:
		return shapeJSON{Kind: "finite cylinder", Length: s.Length, Half: s.Half, Bottom: inputOfEnds(s.Bottom), Top: inputOfEnds(s.Top)}
	case geometry.RollSection:
		return shapeJSON{Kind: "roll section", Length: s.Length, Contact: s.ContactWidth}
	case geometry.Bar:
		return shapeJSON{Kind: "bar", Length: s.Length, Width: s.Width}
	case geometry.Tray:
		return shapeJSON{Kind: "tray", Length: s.Length, Width: s.Width}
	}
	return shapeJSON{Kind: "sphere"}
}

func inputOfLayer(name string, l *Layer) layerInput {
	out := layerInput{Name: name, Food: inputOfFood(&l.Food), Thickness: l.Thickness, Contact: l.Contact, Cells: l.Cells}
	if f := l.Film; f != nil {
		out.Film = &filmInput{f.Permeance, f.Holds}
	}
	if rise := l.Rise; rise != nil {
		out.Rise = &riseInput{Against: riseWords[rise.Against]}
		for _, p := range rise.Points {
			out.Rise.Points = append(out.Rise.Points, risePointInput(p))
		}
	}
	return out
}

func inputOfFood(f *materials.Food) foodInput {
	out := foodInput{Name: f.Name, Group: f.Group, FreezingPoint: f.FreezingPoint, Structure: f.Structure.String(), Porosity: f.Porosity,
		FatKind: f.FatKind.String(), Isotherm: f.Isotherm.String(), Soak: f.Soak, Source: f.Source}
	if c := f.Composition; c.Validate() == nil { // that of a food with measured curves may be anything
		out.Composition = (*compositionInput)(&c)
		out.BoundWater = f.BoundWater
	}
	if t := f.Transport; t != nil {
		out.Transport = (*transportInput)(t)
	}
	if h := f.Holding; h != nil {
		out.Holding = &holdingInput{Name: h.Name, RawWater: h.RawWater, Source: h.Source}
		for _, p := range h.Points {
			out.Holding.Points = append(out.Holding.Points, holdingPointInput(p))
		}
	}
	if m := f.Measured; m != nil {
		out.BoundWater = nil // it has none, whatever stands there
		out.Measured = &measuredInput{Density: m.Density}
		for _, p := range m.Points {
			out.Measured.Points = append(out.Measured.Points, measuredPointInput(p))
		}
	}
	return out
}

// figure is a number that a function of the caller's gave: null where it is none.
type figure float64

// MarshalJSON writes the number, or null.
func (f figure) MarshalJSON() ([]byte, error) {
	if v := float64(f); !math.IsNaN(v) && !math.IsInf(v, 0) {
		return json.Marshal(v)
	}
	return []byte("null"), nil
}
