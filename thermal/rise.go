package thermal

import (
	"fmt"
	"math"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// Rise is how a layer of dough or laminated pastry thickens as it bakes, as it was
// found or is wished: steam and gas blow it up, and the crumb sets before they are
// gone. Water, energy and mass stay those of the original volume; the pores that
// open take part in the conduction of heat and let vapour through. Puff pastry rises
// freely to 4 to 8 times its thickness, under a filling to 1.5 to 3 (bakers' texts, 8
// times; the rest common practice, no source).
//
// What has risen does not fall. Places in a dish count on the dish as it was before.
type Rise struct {
	Against RiseAgainst
	Points  []RisePoint // at least one; straight lines between, the end values beyond
}

// RiseAgainst is what a Rise goes by.
type RiseAgainst uint8

// The quantities a Rise can go by.
const (
	PeakTemperature RiseAgainst = iota // the highest temperature a place has had [°C]
	RunTime                            // the time since the start of the run [s]
)

// RisePoint is a point of a Rise.
type RisePoint struct {
	At    float64 // [°C] or [s], rising from point to point
	Ratio float64 // [-] thickness over the original thickness, 1 to 20, not falling
}

func (r *Rise) faults(place string) []error {
	if r == nil {
		return nil
	}
	fault := func(field string, v any, want string) []error {
		return []error{&InputError{Place: place, Field: field, Value: v, Want: want}}
	}
	if r.Against > RunTime {
		return fault("quantity the rise goes by", r.Against, "PeakTemperature or RunTime")
	}
	if len(r.Points) == 0 || len(r.Points) > 1000 {
		return fault("points of the rise", len(r.Points), "1 to 1000")
	}
	for i, p := range r.Points {
		if !inRange(p.At, -300, 1e9) || i > 0 && !(p.At > r.Points[i-1].At) {
			return fault(fmt.Sprintf("point %d of the rise", i+1), p.At, "a number above that of the point before")
		}
		if !inRange(p.Ratio, 1, 20) || i > 0 && p.Ratio < r.Points[i-1].Ratio {
			return fault(fmt.Sprintf("ratio at point %d of the rise", i+1), p.Ratio, "1 to 20, at least that of the point before")
		}
	}
	return nil
}

// ratio is the thickness over the original at x.
func (r *Rise) ratio(x float64) float64 {
	p := r.Points
	switch {
	case !(x > p[0].At):
		return p[0].Ratio
	case x >= p[len(p)-1].At:
		return p[len(p)-1].Ratio
	}
	i := 1
	for p[i].At < x {
		i++
	}
	a, b := p[i-1], p[i]
	return a.Ratio + (b.Ratio-a.Ratio)*(x-a.At)/(b.At-a.At)
}

// risen is the state of a dish that has layers which rise, by cell.
type risen struct {
	ratio   []float64 // [-] thickness over the original, that mesh has
	conduct []float64 // [-] conductivity over that of the unrisen food
	open    []float64 // [-] what the pores that opened add, as a share of free air's permeability
	mesh    *geometry.Mesh
}

// risingFood is how conductivity and porosity of a food go with its thickness.
type risingFood struct {
	Rise
	conduct  []float64 // by steps of riseStep from ratio 1 on
	porosity float64   // of the original
}

const (
	riseStep = 0.125 // [-] of the ratio
	// noticeable is by how much a ratio must have changed before the dish is laid out
	// anew, see course.grow.
	noticeable = 2e-3
	// riseTemperature [°C] is where conductivities of risen and unrisen food are compared.
	riseTemperature = 60.0
)

// newRisingFood tabulates the conductivity of the food with pores added. They join
// up as they grow, whatever the structure of the raw food: its conductivity passes
// into that of open pores while the thickness goes up by half.
func newRisingFood(f materials.Food, r *Rise) *risingFood {
	out := &risingFood{Rise: *r, porosity: f.Porosity}
	if f.Measured != nil {
		out.conduct = []float64{1}
		return out
	}
	whole := f.Conductivity(riseTemperature, f.Composition.Water, 0)
	last := r.Points[len(r.Points)-1].Ratio
	for ratio := 1.0; ; ratio += riseStep {
		g := f
		g.Porosity = math.Min(out.pores(ratio), 0.979)
		k := g.Conductivity(riseTemperature, f.Composition.Water, 0)
		if g.Structure != materials.OpenPores {
			g.Structure = materials.OpenPores
			share := math.Min(1, 2*(ratio-1))
			k += share * (g.Conductivity(riseTemperature, f.Composition.Water, 0) - k)
		}
		out.conduct = append(out.conduct, k/whole)
		if ratio >= last {
			return out
		}
	}
}

// pores is the porosity at a ratio of thickness.
func (r *risingFood) pores(ratio float64) float64 { return 1 - (1-r.porosity)/ratio }

// set gives a cell the properties of a ratio of thickness.
func (r *risen) set(i int, ratio float64, f *risingFood) {
	r.ratio[i] = ratio
	x := (ratio - 1) / riseStep
	j := min(int(x), len(f.conduct)-2)
	if j < 0 {
		return
	}
	r.conduct[i] = f.conduct[j] + (x-float64(j))*(f.conduct[j+1]-f.conduct[j])
	r.open[i] = materials.PoresPass * (math.Pow(f.pores(ratio), 1.5) - math.Pow(f.porosity, 1.5))
}

func newRisen(m *model) *risen {
	n := len(m.mesh.Cells)
	b := make([]float64, 3*n)
	r := &risen{ratio: b[:n], conduct: b[n : 2*n], open: b[2*n:], mesh: m.mesh.Clone()}
	for i := range n {
		r.ratio[i], r.conduct[i] = 1, 1
	}
	return r
}

// riseTo brings the cells to the thickness that their peak temperatures [°C] and the
// clock [s] of the run give them, where that is more than they had, and lays the
// dish out anew if that makes a difference, which it reports.
func (s *system) riseTo(m *model, peak []float64, clock float64) bool {
	wants := func(f *risingFood, i int) float64 {
		if f.Against == RunTime {
			return f.ratio(clock)
		}
		return f.ratio(peak[i])
	}
	if !s.rising(m, func(f *risingFood, i int) bool { return wants(f, i) > s.risen.ratio[i]*(1+noticeable) }) {
		return false
	}
	s.rising(m, func(f *risingFood, i int) bool {
		if to := wants(f, i); to > s.risen.ratio[i] {
			s.risen.set(i, to, f)
		}
		return false
	})
	s.stretch()
	return true
}

// rising goes through the cells that can rise until one answers yes.
func (s *system) rising(m *model, ask func(f *risingFood, i int) bool) bool {
	for l, f := range m.rising {
		if f == nil {
			continue
		}
		for i := s.spans[l][0]; i < s.spans[l][1]; i++ {
			if ask(f, i) {
				return true
			}
		}
	}
	return false
}

// stretch lays faces and surfaces out for the present thickness of the cells.
func (s *system) stretch() {
	r := s.risen
	s.mesh.Thicken(r.ratio, r.mesh)
	for i := range r.mesh.Faces {
		f := &r.mesh.Faces[i]
		to := &s.faces[i]
		to.halfA, to.halfB, to.contact = f.HalfA, f.HalfB, f.Contact/f.Area
		if to.inside == to.inside {
			to.inside = 1 / (f.HalfA/r.conduct[f.A] + f.HalfB/r.conduct[f.B])
		}
	}
	for i := range r.mesh.Surfaces {
		s.surfaces[i].Surface = r.mesh.Surfaces[i]
	}
	if s.wet != nil {
		s.wet.stretch(r.mesh)
	}
}

// loosen corrects the cells' conductivities, as evaluated for the unrisen food.
func (s *system) loosen() {
	for i, x := range s.risen.conduct {
		s.k[i] *= x
		s.dk[i] *= x
	}
}

// grow lets the dish rise after a step. It lags behind by the step and by what is
// not noticeable: thickness changes over minutes, steps last seconds while it does.
func (c *course) grow() bool {
	if c.sys.risen == nil || !c.sys.riseTo(c.model, c.run.final.peak, c.clock) {
		return false
	}
	c.step.risen = true
	return true
}

// rise gives a dish the thickness it has at the start of a run.
func (s *system) rise(m *model, c *contents) {
	if s.risen == nil {
		return
	}
	s.rising(m, func(f *risingFood, i int) bool {
		s.risen.set(i, math.Max(1, c.ratio[i]), f)
		return false
	})
	s.riseTo(m, c.peak, 0)
	s.stretch()
}

// setRatios gives the cells the thickness of a past step, which nil leaves as it is.
func (s *system) setRatios(m *model, ratio []float32) {
	if s.risen == nil || ratio == nil {
		return
	}
	s.rising(m, func(f *risingFood, i int) bool {
		s.risen.set(i, float64(ratio[i]), f)
		return false
	})
	s.stretch()
}
