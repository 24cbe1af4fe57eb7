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
	return startFunc{at: func(*model, int) (float64, string) { return t, "start" }}
}

// ByLayer starts each layer at a temperature [°C] of its own, in the order of
// the layers.
func ByLayer(t ...float64) Start { return startByLayer(t) }

// Profile starts a dish of one dimension at a temperature [°C] that depends on the
// distance x [m] from the centre (from the underside of a Slab).
func Profile(t func(x float64) float64) Start {
	return startFunc{dimensions: 1, at: func(m *model, i int) (float64, string) {
		if t == nil {
			return math.NaN(), "start profile"
		}
		x := m.mesh.Cells[i].Node
		return t(x), fmt.Sprintf("start profile at %.4g m", x)
	}}
}

// ProfileXY starts a dish of two dimensions at a temperature [°C] that depends on the
// distance x [m] from its axis or middle plane and the height y [m], as its shape counts
// it.
func ProfileXY(t func(x, y float64) float64) Start {
	return startFunc{dimensions: 2, at: func(m *model, i int) (float64, string) {
		if t == nil {
			return math.NaN(), "start profile"
		}
		x, y := m.mesh.Section(i)
		return t(x, y), fmt.Sprintf("start profile at %.4g m and the height %.4g m", x, y)
	}}
}

type startFunc struct {
	at         func(m *model, cell int) (t float64, place string)
	dimensions int // 0: any
}

func (s startFunc) fill(m *model, c *contents) []error {
	if d := m.mesh.Dimensions(); s.dimensions != 0 && s.dimensions != d {
		return []error{&InputError{Place: "start", Field: "profile", Value: fmt.Sprintf("in %d dimensions", s.dimensions),
			Want: [...]string{"Profile, as the dish has one", "ProfileXY, as the dish has two"}[d-1]}}
	}
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
	return startFunc{at: func(m *model, i int) (float64, string) {
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
// the temperature of new ones is given by With. In any but a flat dish
// (Slab, HalfSlab, Tray) a layer must stay where it is: layers are added to or taken from
// the outside, in two dimensions also at the ends of a FiniteCylinder.
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
	mean, err := m.carrier(l, old, was)
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
	for i := to; i < toEnd; i++ {
		w := mean(i, c.before.water)
		if math.Abs(w-r.Water()) < 1e-12*r.Water() {
			w = r.Water() // rounding has dried nothing
		}
		into.water[i] = w
		into.u[i] = mean(i, c.before.u)
		into.peak[i] = mean(i, c.before.peak)
		into.ratio[i] = mean(i, c.before.ratio)
	}
	return nil
}

// carrier gives the mean over cell i of layer l of a quantity that is known by the cells
// of layer was of an earlier dish.
func (m *model) carrier(l int, old *model, was int) (mean func(i int, v []float64) float64, err error) {
	to, _ := m.mesh.Span(l)
	if m.mesh.Dimensions() == 2 {
		c, err := m.overlaps(l, old, was)
		return func(i int, v []float64) float64 { return c.mean(i-to, v) }, err
	}
	from, fromEnd := old.mesh.Span(was)
	shift, err := m.moved(l, old, was)
	return func(i int, v []float64) float64 {
		return remap(old.mesh, from, fromEnd, m.mesh.Cells[i].Inner-shift, m.mesh.Cells[i].Outer-shift, v)
	}, err
}

// sameShape refuses an earlier dish of another shape. In two dimensions layers may be
// added to what else the shape says of them; see overlaps.
func (m *model) sameShape(old *model) error {
	a, b := m.mesh.Shape, old.mesh.Shape
	same := fmt.Sprintf("%T", a) == fmt.Sprintf("%T", b)
	if m.mesh.Dimensions() == 1 {
		same = same && a.String() == b.String()
	}
	if !same {
		return &InputError{Place: "dish", Field: "shape", Value: a, Want: fmt.Sprintf("the shape of the earlier run, %v", b)}
	}
	return nil
}

// extent gives where layer l begins [m] and how thick it is [m].
func (m *model) extent(l int) (inner, thickness float64) {
	inner, outer := m.mesh.Through(l)
	return inner, outer - inner
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
func remap(mesh *geometry.Mesh, first, end int, lo, hi float64, v []float64) float64 {
	var sum, whole float64
	for i := first; i < end; i++ {
		c := mesh.Cells[i]
		in, out := mesh.VolumeBelow(i, lo), mesh.VolumeBelow(i, hi)
		if out <= in {
			continue
		}
		slope := 0.0 // per volume, from the means of the neighbours
		if i > first && i < end-1 {
			up := 2 * (v[i+1] - v[i]) / (mesh.Cells[i+1].Volume + c.Volume)
			down := 2 * (v[i] - v[i-1]) / (mesh.Cells[i-1].Volume + c.Volume)
			if up*down > 0 {
				slope = math.Copysign(math.Min(math.Abs(up), math.Abs(down)), up)
			}
		}
		sum += (out - in) * (v[i] + slope*((in+out)/2-c.Volume/2))
		whole += out - in
	}
	return sum / whole
}
