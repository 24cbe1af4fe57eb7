package thermal

import (
	"fmt"
	"math"

	"example.com/thawfront/geometry"
	"example.com/thawfront/phasechange"
)

// Start is the state of a dish at the beginning of a run.
type Start interface {
	// fill sets the contents of every cell, or lists what is wrong.
	fill(m *model, c *contents) []error
}

// contents is what a run begins with and leaves behind, by cell.
type contents struct {
	u     []float64 // [J/m³] energy
	water []float64 // [kg/m³]
	peak  []float64 // [°C] highest temperature so far
	ratio []float64 // [-] thickness over the original; 0 counts as 1
	glaze float64   // [kg] dry matter brushed on
}

func newContents(cells int) *contents {
	b := make([]float64, 4*cells)
	return &contents{u: b[:cells], water: b[cells : 2*cells], peak: b[2*cells : 3*cells], ratio: b[3*cells:]}
}

// traceActivity [-] is at what water activity foods begin whose composition names no
// water, fats above all: what is bone dry in a table is not so in a kitchen.
const traceActivity = 0.3

// take puts contents into the system and its unknowns x.
func (s *system) take(m *model, c *contents, x []float64) {
	copy(x, c.u)
	s.rise(m, c)
	if s.wet != nil {
		n := len(c.u)
		copy(x[n:], c.water)
		for i := range s.wet.cells {
			if law := s.wet.cells[i].law; c.water[i] == 0 && s.relation[i].Water() == 0 && !law.Still() {
				x[n+i] = law.Water(traceActivity)
			}
		}
		return
	}
	var law *phasechange.Moist
	var of *phasechange.Relation // whose law it is
	for i, r := range s.relation {
		s.anchors[i] = r.Anchor(c.water[i])
		if c.water[i] > r.Water()*(1+1e-9) { // dew on it: a food whose water stands still has no room for that
			if of != r {
				law, of = r.Moist(), r
			}
			cell := phasechange.MoistCell{T: math.NaN()}
			law.Evaluate(c.u[i], c.water[i], &cell)
			x[i] = r.Energy(cell.T, &s.anchors[i])
		}
	}
}

// Uniform starts the whole dish at t [°C].
func Uniform(t float64) Start {
	return startFunc{func(*model, int) (float64, string) { return t, "start" }}
}

// ByLayer starts each layer at a temperature [°C] of its own, in the order of
// the layers.
func ByLayer(t ...float64) Start { return startByLayer(t) }

// Profile starts the dish at a temperature [°C] that depends on the distance x
// [m] from the centre (from the underside of a Slab).
func Profile(t func(x float64) float64) Start {
	return startFunc{func(m *model, i int) (float64, string) {
		if t == nil {
			return math.NaN(), "start profile"
		}
		x := m.mesh.Cells[i].Node
		return t(x), fmt.Sprintf("start profile at %.4g m", x)
	}}
}

type startFunc struct {
	at func(m *model, cell int) (t float64, place string)
}

func (s startFunc) fill(m *model, c *contents) []error {
	for i := range c.u {
		t, place := s.at(m, i)
		if err := put(m, i, t, place, c); err != nil {
			return []error{err} // one is enough: the other cells share its cause
		}
	}
	return nil
}

type startByLayer []float64

func (s startByLayer) fill(m *model, c *contents) []error {
	if len(s) != len(m.names) {
		return []error{&InputError{Place: "start", Field: "number of temperatures", Value: len(s), Want: fmt.Sprintf("one a layer: %d", len(m.names))}}
	}
	return startFunc{func(m *model, i int) (float64, string) {
		l := m.mesh.Cells[i].Layer
		return s[l], "start of " + layerPlace(l, m.names[l])
	}}.fill(m, c)
}

// put sets one cell to t with all of its water, which must be able to stay.
func put(m *model, i int, t float64, place string, c *contents) error {
	r := m.relations[m.mesh.Cells[i].Layer]
	lo, hi := r.Range()
	if !inRange(t, lo, hi) {
		return &InputError{Place: place, Field: "temperature [°C]", Value: t, Want: fmt.Sprintf("%g to %g", lo, hi)}
	}
	a := r.Anchor(r.Water())
	if tb := a.BoilingPoint(); t > tb {
		return &InputError{Place: place, Field: "temperature [°C]", Value: t, Want: fmt.Sprintf("up to %.4g, where the water of %q boils: heat it in a run, or give a food that has dried", tb, r.Food().Name)}
	}
	c.u[i], c.water[i], c.peak[i] = r.Energy(t, &a), r.Water(), t
	return nil
}

// Carried starts a dish as another run left it: with its temperatures, the
// water it has lost and the highest temperature each place has seen.
type Carried struct {
	model  *model // nil if there was no run
	before *contents
	added  map[string]float64
	fault  error
}

// From starts a dish as run left it. Layers are recognised by name and must
// keep food and thickness; layers that are no longer there are left out, and
// the temperature of new ones is given by With. In a cylinder or sphere a layer
// must stay at its radius: layers are added to or taken from the outside.
//
// A run without Settings.Moisture has no room for water beyond a food's own: what a
// place took up in an earlier run with it is left out. Juice on its way from one layer to
// another as the earlier run ended arrives at once.
//
// The ice curve of the settings must stay. If the pressure changes, water boils
// from then on as the new one has it.
func From(run *Run) Carried {
	if run == nil || run.model == nil {
		return Carried{}
	}
	// no more of the run than this: a chain of runs need not keep their histories
	return Carried{model: run.model, before: run.contents()}
}

// With sets the starting temperature t [°C] of a layer that the earlier run did
// not have.
func (c Carried) With(layer string, t float64) Carried {
	added := map[string]float64{layer: t}
	for k, v := range c.added {
		if k == layer {
			c.fault = &InputError{Place: "start", Field: "layer", Value: fmt.Sprintf("%q", layer), Want: "one temperature for each new layer"}
		}
		added[k] = v
	}
	c.added = added
	return c
}

func (c Carried) fill(m *model, to *contents) []error {
	if c.model == nil {
		return []error{&InputError{Place: "start", Field: "earlier run", Value: "none", Want: "a run from Simulate"}}
	}
	var faults []error
	to.glaze = c.before.glaze
	if c.fault != nil {
		faults = append(faults, c.fault)
	}
	for name := range c.added {
		if m.layer(name) < 0 {
			faults = append(faults, &InputError{Place: "start", Field: "new layer", Value: fmt.Sprintf("%q", name), Want: "a layer of the dish"})
		}
	}
	old := c.model
	if m.iceCurve != old.iceCurve {
		faults = append(faults, &InputError{Place: "settings", Field: "ice curve", Value: m.iceCurve, Want: fmt.Sprintf("that of the earlier run, %v", old.iceCurve)})
	}
	if err := m.sameShape(old); err != nil {
		return append(faults, err)
	}
	for l, name := range m.names {
		place := layerPlace(l, name)
		was := old.layer(name)
		t, isNew := c.added[name]
		switch {
		case was < 0 && !isNew:
			faults = append(faults, &InputError{Place: place, Field: "start", Value: "unknown", Want: fmt.Sprintf("its temperature: From(run).With(%q, t), as the earlier run has no such layer", name)})
		case was >= 0 && isNew:
			faults = append(faults, &InputError{Place: place, Field: "start", Value: t, Want: "nothing: the earlier run has this layer"})
		case isNew:
			first, end := m.mesh.Span(l)
			for i := first; i < end; i++ {
				if err := put(m, i, t, "start of "+place, to); err != nil {
					faults = append(faults, err)
					break
				}
			}
		default:
			if err := c.carry(m, l, was, to); err != nil {
				faults = append(faults, err)
			}
		}
	}
	return faults
}

// carry moves one layer's state from the earlier mesh to the new one. Energy and
// water go by the overlap of the cells, so that both are conserved, with a
// limited slope inside each old cell so that profiles stay sharp.
func (c Carried) carry(m *model, l, was int, into *contents) error {
	old := c.model
	place := layerPlace(l, m.names[l])
	from, fromEnd := old.mesh.Span(was)
	to, toEnd := m.mesh.Span(l)
	r, before := m.relations[l], old.relations[was]
	if err := m.sameThickness(l, old, was); err != nil {
		return err
	}
	if f, g := r.Food(), before.Food(); f.Composition != g.Composition || f.Porosity != g.Porosity || f.Measured != g.Measured ||
		f.InitialFreezingPoint() != g.InitialFreezingPoint() || f.Bound() != g.Bound() || f.FatKind != g.FatKind || f.Isotherm != g.Isotherm {
		return &InputError{Place: place, Field: "food", Value: fmt.Sprintf("%q", f.Name), Want: fmt.Sprintf("the food of the earlier run, %q", g.Name)}
	}
	shift, err := m.moved(l, old, was)
	if err != nil {
		return err
	}
	if m.rising == nil || m.rising[l] == nil {
		for i := from; i < fromEnd; i++ {
			if c.before.ratio[i] > 1 {
				return &InputError{Place: place, Field: "rise", Value: "none", Want: "one, as in the earlier run: what has risen does not fall"}
			}
		}
	}
	water := func(i int) float64 { return c.before.water[i] }
	energy := func(i int) float64 { return c.before.u[i] }
	hottest := func(i int) float64 { return c.before.peak[i] }
	thick := func(i int) float64 { return c.before.ratio[i] }
	for i := to; i < toEnd; i++ {
		lo, hi := m.mesh.Cells[i].Inner-shift, m.mesh.Cells[i].Outer-shift
		w := remap(old.mesh, from, fromEnd, lo, hi, water)
		if math.Abs(w-r.Water()) < 1e-12*r.Water() {
			w = r.Water() // rounding has dried nothing
		}
		into.water[i] = w
		into.u[i] = remap(old.mesh, from, fromEnd, lo, hi, energy)
		into.peak[i] = remap(old.mesh, from, fromEnd, lo, hi, hottest)
		into.ratio[i] = remap(old.mesh, from, fromEnd, lo, hi, thick)
	}
	return nil
}

// sameShape refuses an earlier dish of another shape.
func (m *model) sameShape(old *model) error {
	if a, b := m.mesh.Shape, old.mesh.Shape; fmt.Sprintf("%T %v", a, a) != fmt.Sprintf("%T %v", b, b) {
		return &InputError{Place: "dish", Field: "shape", Value: a, Want: fmt.Sprintf("the shape of the earlier run, %v", b)}
	}
	return nil
}

// extent gives where layer l begins [m] and how thick it is [m].
func (m *model) extent(l int) (inner, thickness float64) {
	first, end := m.mesh.Span(l)
	inner = m.mesh.Cells[first].Inner
	return inner, m.mesh.Cells[end-1].Outer - inner
}

// sameThickness refuses a layer l that was thicker or thinner as layer was of an
// earlier dish.
func (m *model) sameThickness(l int, old *model, was int) error {
	_, d0 := old.extent(was)
	if _, d1 := m.extent(l); math.Abs(d1-d0) > 1e-9*d0 {
		return &InputError{Place: layerPlace(l, m.names[l]), Field: "thickness [m]", Value: d1, Want: fmt.Sprintf("that of the earlier run, %g", d0)}
	}
	return nil
}

// moved is how far [m] layer l lies further out than as layer was of an earlier dish.
func (m *model) moved(l int, old *model, was int) (shift float64, err error) {
	inner, _ := m.extent(l)
	before, thickness := old.extent(was)
	shift = inner - before
	if !m.mesh.Flat() && math.Abs(shift) > 1e-9*thickness {
		return 0, &InputError{Place: layerPlace(l, m.names[l]), Field: "distance from the centre [m]", Value: inner,
			Want: fmt.Sprintf("that of the earlier run, %g: layers are added or removed outside", before)}
	}
	return shift, nil
}

// remap is the mean over lo..hi [m] of a quantity known as cell means of cells
// first..end, reconstructed linearly with a minmod slope in volume.
func remap(mesh *geometry.Mesh, first, end int, lo, hi float64, v func(int) float64) float64 {
	var sum, whole float64
	for i := first; i < end; i++ {
		c := mesh.Cells[i]
		in, out := mesh.VolumeBelow(i, lo), mesh.VolumeBelow(i, hi)
		if out <= in {
			continue
		}
		slope := 0.0 // per volume, from the means of the neighbours
		if i > first && i < end-1 {
			up := 2 * (v(i+1) - v(i)) / (mesh.Cells[i+1].Volume + c.Volume)
			down := 2 * (v(i) - v(i-1)) / (mesh.Cells[i-1].Volume + c.Volume)
			if up*down > 0 {
				slope = math.Copysign(math.Min(math.Abs(up), math.Abs(down)), up)
			}
		}
		sum += (out - in) * (v(i) + slope*((in+out)/2-c.Volume/2))
		whole += out - in
	}
	return sum / whole
}
