package thermal

import (
	"cmp"
	"math"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// Brush is a glaze, an egg wash or plain water brushed on as a stage begins. Its
// water goes into the outermost cell, with its heat. What else is in it counts in
// the weight and stays where it is; it is taken to have the temperature of the
// surface, and neither to hold water nor to keep any from passing (a coat of fat
// that does is a Film).
type Brush struct {
	Food        materials.Food // what is brushed on, by its composition
	Mass        float64        // [kg/m²] of surface, over 0 to 5
	Temperature float64        // [°C] 0 to 100
	Patch       geometry.Patch // of the surface; default (""): the outermost, Top of a slab
}

func (b *Brush) faults(place string, m *model) []error {
	if b == nil {
		return nil
	}
	var faults []error
	fault := func(field string, v any, want string) {
		faults = append(faults, &InputError{Place: place, Field: field, Value: v, Want: want})
	}
	if m.laws == nil {
		fault("brush", b.Food.Name, "none, as water does not move: see Settings")
	}
	if err := b.Food.Validate(); err != nil || b.Food.Measured != nil {
		faults = append(faults, &InputError{Place: place, Field: "food brushed on", Value: b.Food.Name, Want: "a valid food with a composition", Cause: err})
	}
	if !inRange(b.Mass, 1e-9, 5) {
		fault("mass brushed on [kg/m²]", b.Mass, "above 0 to 5")
	}
	if !inRange(b.Temperature, 0, 100) {
		fault("temperature of what is brushed on [°C]", b.Temperature, "0 to 100")
	}
	of := b.surfaces(m.mesh)
	if len(of) == 0 {
		fault("patch to brush", b.Patch, "one of this shape's")
	}
	for _, i := range of {
		if m.laws != nil && m.laws[m.mesh.Cells[m.mesh.Surfaces[i].Cell].Layer].Still() {
			fault("brush", b.Food.Name, "none on a food given by measured curves, which takes no water")
			break
		}
	}
	return faults
}

// outermost is the part of the surface that is meant where none is named.
func outermost(m *geometry.Mesh) geometry.Patch { return m.Surfaces[len(m.Surfaces)-1].Patch }

// surfaces are those to brush, by index.
func (b *Brush) surfaces(m *geometry.Mesh) (of []int) {
	patch := cmp.Or(b.Patch, outermost(m))
	for i, s := range m.Surfaces {
		if s.Patch == patch {
			of = append(of, i)
		}
	}
	return of
}

// brushed is dry matter that was brushed on in a run.
type brushed struct {
	at   time.Duration
	mass float64 // [kg]
}

// brush puts a glaze on at the start of a stage.
func (c *course) brush(b *Brush) {
	if b == nil {
		return
	}
	p, w := c.step, c.sys.wet
	c.lo, c.hi = math.Min(c.lo, b.Temperature), math.Max(c.hi, b.Temperature)
	p.settled = true
	dry := 0.0
	for _, i := range b.surfaces(c.model.mesh) {
		s := &c.sys.surfaces[i]
		mass := b.Mass * s.Area
		water := mass * b.Food.Composition.Water / b.Food.Composition.Sum()
		heat := water * materials.Water.Enthalpy(b.Temperature)
		v := c.sys.volume[s.Cell]
		p.u[s.Cell] += heat / v
		p.u[w.n+s.Cell] += water / v
		c.run.books.brushed.add(water)
		c.run.books.brushedHeat.add(heat)
		dry += mass - water
	}
	c.run.glaze = append(c.run.glaze, brushed{duration(c.clock), dry})
}
