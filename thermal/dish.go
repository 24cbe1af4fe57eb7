package thermal

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// Dish is what is cooked: a shape, its layers and how it starts.
type Dish struct {
	Shape  geometry.Shape
	Layers []Layer // from the centre outwards; of a Slab or Tray from its underside to its top
	Start  Start
}

// Layer is one food of a dish.
type Layer struct {
	Name      string // default: the food's name; unique in the dish
	Food      materials.Food
	Thickness float64 // [m] 1e-6 to 5; the radius of the innermost layer of a cylinder or sphere
	Contact   float64 // [m² K/W] resistance on its outer face, an air gap or a wrapper; >= 0
	Cells     int     // cells of this layer; default (0): a share of Settings.Cells
	Rise      *Rise   // how it thickens in the heat; default (nil): not at all
	Film      *Film   // on its outer face; default (nil): none. Counts where water moves.
}

// Settings say how a run is computed. The zero value, or nil, is a good default.
type Settings struct {
	Cells     int                  // cells in all; default (0) = 120, in two dimensions 1600
	Grading   geometry.Grading     // default geometry.Graded
	CellRatio float64              // [-] cells through the layers over those along them, 0.02 to 50, in two dimensions; default (0): alike in size
	Tolerance float64              // [K] allowed error of one step; default (0) = 0.07, see the package's advice
	IceCurve  phasechange.IceCurve // default phasechange.BoundWater
	Pressure  float64              // [Pa] of the air; default (0) = 101325
	// Moisture lets water move: see the package's chapter on it. Default (false):
	// it stays where it is but for the steam that boils off.
	Moisture bool
	MaxSteps int // steps of a run before it is given up; default (0) = 1000000
	// MaxStep is the longest step; default (0): none amid steady media, a minute
	// amid others, which the solver asks only a few times in a step.
	MaxStep time.Duration
	// Watch are conditions whose times are noted among the run's events: the
	// start, if one holds then, and each time one comes to be met; default none.
	Watch []Condition
	// Progress is called after every step with the time in the run and must not
	// keep the state; default none.
	Progress func(*State)
}

const (
	defaultTolerance = 0.07
	defaultMaxSteps  = 1_000_000
)

// withDefaults fills in the defaults and lists what is wrong.
func (s *Settings) withDefaults() (Settings, []error) {
	var out Settings
	if s != nil {
		out = *s
	}
	var faults []error
	check := func(field string, v any, ok bool, want string) {
		if !ok {
			faults = append(faults, &InputError{Place: "settings", Field: field, Value: v, Want: want})
		}
	}
	if out.Tolerance == 0 {
		out.Tolerance = defaultTolerance
	}
	check("tolerance [K]", out.Tolerance, inRange(out.Tolerance, 1e-9, 5), "0 (default) or 1e-9 to 5")
	if out.MaxSteps == 0 {
		out.MaxSteps = defaultMaxSteps
	}
	check("ratio of cells [-]", out.CellRatio, out.CellRatio == 0 || inRange(out.CellRatio, 0.02, 50), "0 (default) or 0.02 to 50")
	check("longest step", out.MaxStep, out.MaxStep == 0 || (out.MaxStep >= time.Millisecond && out.MaxStep <= maxStage), "0 (default) or 1ms or more")
	check("cells", out.Cells, out.Cells >= 0 && out.Cells <= geometry.MaxCells, fmt.Sprintf("0 (default) to %d", geometry.MaxCells))
	check("ice curve", out.IceCurve, out.IceCurve <= phasechange.IdealSolution, "one of package phasechange's")
	check("steps", out.MaxSteps, out.MaxSteps > 0, "0 (default) or more")
	if out.Pressure == 0 {
		out.Pressure = phasechange.StandardPressure
	}
	check("pressure [Pa]", out.Pressure, inRange(out.Pressure, phasechange.MinPressure, phasechange.MaxPressure), "0 (default) or 20e3 to 500e3")
	check("number of conditions to watch", len(out.Watch), len(out.Watch) <= 100, "at most 100")
	return out, faults
}

// model is a dish made ready: its mesh and the relation of each layer's food.
type model struct {
	mesh      *geometry.Mesh
	relations []*phasechange.Relation
	names     []string
	iceCurve  phasechange.IceCurve

	rising     []*risingFood // by layer, nil for one that does not rise; nil if none does
	risesUntil float64       // [s] the last time at which a layer rises by the clock

	// where water moves, by layer; laws is nil where it does not
	laws     []*phasechange.Moist
	vents    []float64 // [Pa] vapour pressure above which steam makes its way out
	films    []float64 // [kg/(m² s Pa)] permeance on the outer face, +Inf without a film
	soaks    []float64 // [kg/m³] water up to which juice is taken up
	pressure float64   // [Pa]
}

// layer gives the index of a layer by name, or -1.
func (m *model) layer(name string) int { return slices.Index(m.names, name) }

// mirrored says whether x = 0 is an axis or plane of symmetry.
func (m *model) mirrored() bool {
	return !m.mesh.TwoFaced()
}

// compile checks a dish and builds its model; all faults are joined.
func (d Dish) compile(s Settings) (*model, error) {
	var faults []error
	if isNil(d.Shape) {
		faults = append(faults, &InputError{Place: "dish", Field: "shape", Value: "none", Want: "a geometry.Shape"})
	}
	if len(d.Layers) == 0 || len(d.Layers) > geometry.MaxLayers {
		return nil, errors.Join(append(faults, &InputError{Place: "dish", Field: "number of layers", Value: len(d.Layers),
			Want: fmt.Sprintf("1 to %d", geometry.MaxLayers)})...)
	}
	m := &model{iceCurve: s.IceCurve, pressure: s.Pressure}
	layers := make([]geometry.Layer, len(d.Layers))
	for i, l := range d.Layers {
		name := l.Name
		if name == "" {
			name = l.Food.Name
		}
		place := layerPlace(i, name)
		if m.layer(name) >= 0 {
			faults = append(faults, &InputError{Place: place, Field: "name", Value: fmt.Sprintf("%q", name), Want: "a name no other layer has"})
		}
		r, err := phasechange.New(l.Food, phasechange.Settings{IceCurve: s.IceCurve, Pressure: s.Pressure})
		if err != nil {
			faults = append(faults, &InputError{Place: place, Field: "food", Value: l.Food.Name, Cause: err})
		}
		faults = append(append(faults, l.Film.faults(place)...), l.Rise.faults(place)...)
		m.names = append(m.names, name)
		m.relations = append(m.relations, r)
		layers[i] = geometry.Layer{Name: name, Thickness: l.Thickness, Contact: l.Contact, Cells: l.Cells}
	}
	if !isNil(d.Shape) {
		mesh, err := d.Shape.Mesh(layers, geometry.Resolution{Cells: s.Cells, Grading: s.Grading, Ratio: s.CellRatio})
		if err != nil {
			faults = append(faults, geometryFaults(err)...)
		} else if mesh == nil || len(mesh.Cells) < 3 {
			faults = append(faults, &InputError{Place: "dish", Field: "mesh of the shape", Value: "none", Want: "at least 3 cells"})
		}
		m.mesh = mesh
		faults = append(faults, d.unrisen(mesh)...)
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	for i, l := range d.Layers {
		if l.Rise != nil {
			if m.rising == nil {
				m.rising = make([]*risingFood, len(d.Layers))
			}
			m.rising[i] = newRisingFood(l.Food, l.Rise)
			if p := l.Rise.Points; l.Rise.Against == RunTime {
				m.risesUntil = math.Max(m.risesUntil, p[len(p)-1].At)
			}
		}
	}
	if s.Moisture {
		m.makeWet(d, s)
	}
	return m, nil
}

// unrisen refuses layers that rise in two dimensions.
func (d Dish) unrisen(m *geometry.Mesh) (faults []error) {
	for i, l := range d.Layers {
		if l.Rise != nil && m != nil && m.Dimensions() == 2 {
			faults = append(faults, &InputError{Place: layerPlace(i, l.Name), Field: "rise", Value: "given", Want: "none: in two dimensions a layer keeps its thickness"})
		}
	}
	return faults
}

// geometryFaults gives a mesh's faults this package's type, so that one
// errors.As takes any of them apart.
func geometryFaults(err error) []error {
	var out []error
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range joined.Unwrap() {
			out = append(out, geometryFaults(e)...)
		}
		return out
	}
	if g, ok := errors.AsType[*geometry.Error](err); ok {
		return []error{&InputError{Place: g.Place, Field: g.Quantity, Value: g.Value, Want: g.Want}}
	}
	return []error{&InputError{Place: "dish", Field: "shape", Value: "refused", Cause: err}}
}

func (d Dish) clone() Dish {
	d.Layers = slices.Clone(d.Layers)
	if c, ok := d.Shape.(geometry.FiniteCylinder); ok {
		c.Bottom, c.Top = slices.Clone(c.Bottom), slices.Clone(c.Top)
		d.Shape = c
	}
	return d
}
