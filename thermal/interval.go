package thermal

import (
	"fmt"
	"iter"
	"math"

	"example.com/thawfront/phasechange"
)

// Interval is one step of the solver, for what is to be integrated along a run.
type Interval struct {
	Start  float64 // [s] since the start of the run
	Length float64 // [s]
	Stage  int     // counted from 0

	// Temperature is that of every cell at the start, in the middle and at the
	// end of the step [°C], in the order of State.Cells.
	Temperature [3][]float64

	walk *walker
}

// WaterActivity is the water activity [-] of a cell in the middle of the step, 0 to 1;
// NaN where it is not known: of food given by measured curves, and of cells that are
// not in the dish. It is found when asked for, which is cheaper than for all cells.
func (v *Interval) WaterActivity(cell int) float64 {
	if v.walk == nil || cell < 0 || cell >= len(v.walk.middle) {
		return math.NaN()
	}
	return v.walk.activity(cell)
}

// Intervals walks through the solver's own steps in their order; each begins
// where the one before it ended. What an Interval points at is valid only until
// the next one.
func (r *Run) Intervals() iter.Seq[Interval] {
	return func(yield func(Interval) bool) {
		if len(r.history.steps) == 0 {
			return
		}
		w := newWalker(r)
		for j := range r.history.steps {
			if !yield(w.next(&r.history.steps[j])) {
				return
			}
		}
	}
}

// walker rebuilds the temperatures of one step after the other. It keeps what a
// step has in common with the one before it: to read each by itself, as Run.At
// does, costs many times as much.
type walker struct {
	sys                *system
	pressure           float64 // [Pa] of the air
	last               *pastStep
	water              []float32 // what the anchors stand for, where water stands still
	u                  []float64
	start, middle, end []float64
	moist              []float64 // [-] water activities in the middle, where water moves
}

func newWalker(r *Run) *walker {
	sys := newSystem(r.model)
	n := len(sys.temp)
	w := &walker{sys: sys, pressure: r.model.pressure, water: make([]float32, n), u: make([]float64, len(sys.mass)),
		start: make([]float64, n), middle: make([]float64, n), end: sys.temp}
	if sys.wet != nil {
		w.moist = make([]float64, n)
	}
	first := &r.history.steps[0]
	for i := range w.water {
		_, w.water[i] = first.began(i)
	}
	first.dense(0, sys, w.u)
	sys.evaluate(w.u)
	w.last = first
	return w
}

// next moves on to the step after the last one.
func (w *walker) next(s *pastStep) Interval {
	w.start, w.end = w.end, w.start
	if w.sys.wet != nil {
		s.dense(0.5, w.sys, w.u)
	} else {
		w.halfway(s)
	}
	w.last = s
	w.evaluate(w.middle, w.start)
	for i := range w.moist {
		if c := &w.sys.wet.cells[i]; c.law.Still() {
			w.moist[i] = math.NaN()
		} else {
			w.moist[i] = c.A
		}
	}
	for i, u := range s.end {
		w.u[i] = float64(u)
	}
	w.evaluate(w.end, w.middle)
	return Interval{Start: s.start, Length: s.h, Stage: s.stage, Temperature: [3][]float64{w.start, w.middle, w.end}, walk: w}
}

// activity is the water activity of a cell in the middle of the step.
func (w *walker) activity(i int) float64 {
	r, t, a := w.sys.relation[i], w.middle[i], &w.sys.anchors[i]
	switch {
	case w.moist != nil:
		return w.moist[i]
	case t < a.FreezingPoint():
		return phasechange.SublimationPressure(t) / phasechange.SaturationPressure(t)
	case t > a.BoilingPoint(): // only the water is left whose vapour has the pressure of the air
		return w.pressure / phasechange.SaturationPressure(t)
	}
	activity, known := r.WaterActivity(a.Water())
	if !known {
		return math.NaN()
	}
	return activity
}

// evaluate finds the temperatures at the unknowns w.u, from a guess.
func (w *walker) evaluate(temp, guess []float64) {
	copy(temp, guess)
	w.sys.temp = temp
	w.sys.evaluate(w.u)
}

// halfway sets the energies to those in the middle of a step: pastStep.dense with
// the anchors of the last step where they still hold.
func (w *walker) halfway(s *pastStep) {
	if &s.w[0] != &w.last.w[0] { // else no cell has lost water since
		w.dry(s)
	}
	for i := range w.u {
		u, _ := s.began(i)
		w.u[i] = middle(s.h, begun(u, &w.sys.anchors[i]), float64(s.f[i]), float64(s.end[i]), float64(s.fEnd[i]), &w.sys.anchors[i])
	}
}

// dry renews the anchors of the cells that let steam go at the end of the last
// step. To settle them once more is a fraction of the work of anchoring them at
// the water they kept, which remains the judge.
func (w *walker) dry(s *pastStep) {
	for i := s.from; i < len(w.water); i++ {
		_, kept := s.began(i)
		if kept == w.water[i] {
			continue
		}
		w.water[i] = kept
		a, r := &w.sys.anchors[i], w.sys.relation[i]
		r.Settle(float64(w.last.end[i]), a, &w.sys.hints[i])
		if math.Abs(a.Water()-float64(kept)) > 1e-6*float64(kept) {
			*a = r.Anchor(float64(kept))
		}
	}
}

// begun is the energy a cell began a step with. One that has just let steam go
// begins at its boiling point; what is kept of that in single precision must not
// put it on the other side, where cubic would take it for passing that point.
func begun(kept float32, a *phasechange.Anchor) float64 {
	u, boiling := float64(kept), a.BoilingEnergy()
	if math.Abs(u-boiling) < 1e-6*math.Abs(boiling) {
		return boiling
	}
	return u
}

// middle is cubic in the middle of a step, shortened for the many cells in which
// nothing binds its slopes.
func middle(h, u, f, end, fEnd float64, a *phasechange.Anchor) float64 {
	lo, hi := min(u, end), max(u, end)
	if math.Abs(f*h) <= swing && math.Abs(fEnd*h) <= swing && (lo >= a.FreezingEnergy() || hi < a.FreezingEnergy()) && hi < a.BoilingEnergy() {
		return (u+end)/2 + (f-fEnd)*h/8
	}
	return cubic(0.5, h, u, f, end, fEnd, a)
}

// Grid is the cells of a run's dish, for fields that hold one number a cell in
// the order of State.Cells. It does not hold on to the run.
type Grid struct{ model *model }

// Grid gives the cells of the run's dish; the zero Run has none.
func (r *Run) Grid() Grid { return Grid{r.model} }

// Len is the number of cells.
func (g Grid) Len() int {
	if g.model == nil {
		return 0
	}
	return len(g.model.mesh.Cells)
}

// Layers lists the names of the layers in the order of the dish.
func (g Grid) Layers() []string {
	if g.model == nil {
		return nil
	}
	return append([]string(nil), g.model.names...)
}

// Where names the layer of a cell and its place in the dish.
func (g Grid) Where(cell int) string {
	if cell < 0 || cell >= g.Len() {
		return fmt.Sprintf("cell %d, which is not in the dish", cell)
	}
	c := g.model.mesh.Cells[cell]
	return fmt.Sprintf("%s at %.4g m", layerPlace(c.Layer, g.model.names[c.Layer]), c.Node)
}

// Read gives a field [-] (in its own unit) at a place: at a point on the straight line
// between the nodes of its layer, level beyond the last of them (the surface has
// the value of the outermost cell); of a layer the mean by volume, and for its
// coldest the least, for its hottest the greatest of its cells. A place that is
// not in the dish gives an *UnknownPlaceError, a field of another length an
// *InputError.
func (g Grid) Read(p Place, field []float64) (float64, error) {
	if err := g.fits("field", field); err != nil {
		return 0, err
	}
	at, err := p.resolve(g.model)
	if err != nil {
		return 0, err
	}
	cells := g.model.mesh.Cells
	switch at.kind {
	case coldest, hottest, mean:
		least, most, sum, volume := math.Inf(1), math.Inf(-1), 0.0, 0.0
		for i := at.first; i < at.end; i++ {
			least, most = min(least, field[i]), max(most, field[i])
			sum += cells[i].Volume * field[i]
			volume += cells[i].Volume
		}
		switch at.kind {
		case coldest:
			return least, nil
		case hottest:
			return most, nil
		}
		return sum / volume, nil
	}
	i := at.cell
	j := i + 1
	if at.x < cells[i].Node {
		j = i - 1
	}
	if j < 0 || j == len(cells) || cells[j].Layer != cells[i].Layer {
		return field[i], nil
	}
	return along(at.x, cells[i].Node, field[i], cells[j].Node, field[j]), nil
}

// Above is the share [-] of a layer's volume in which a field is above a limit [-]
// (both in the field's own unit), and the width [m] of the rim, counted from the
// layer's outer face inwards, in which it is. Between nodes the field is a straight
// line, level beyond the last ones. A layer that is not in the dish gives an
// *UnknownPlaceError, a limit that is no number or a field of another length an
// *InputError.
func (g Grid) Above(layer string, field []float64, limit float64) (share, rim float64, err error) {
	if err := g.fits("field", field); err != nil {
		return 0, 0, err
	}
	if math.IsNaN(limit) {
		return 0, 0, &InputError{Place: "field", Field: "limit", Value: limit, Want: "a number"}
	}
	at, err := MeanOf(layer).resolve(g.model)
	if err != nil {
		return 0, 0, err
	}
	mesh := g.model.mesh
	inner, outer := mesh.Cells[at.first].Inner, mesh.Cells[at.end-1].Outer
	var above, whole float64 // [m³]
	rim = outer - inner
	x0, v0 := inner, field[at.first]
	for i := at.first; i <= at.end; i++ {
		x1, v1 := outer, field[at.end-1]
		if i < at.end {
			x1, v1 = mesh.Cells[i].Node, field[i]
		}
		from, to := x0, x1 // the part above
		switch {
		case !(v0 > limit) && !(v1 > limit):
			from, rim = x1, outer-x1
		case !(v0 > limit):
			from = along(limit, v0, x0, v1, x1)
			rim = outer - from
		case !(v1 > limit):
			to = along(limit, v0, x0, v1, x1)
			rim = outer - x1
		}
		for j := max(i-1, at.first); j <= min(i, at.end-1) && to > from; j++ {
			above += mesh.VolumeBelow(j, to) - mesh.VolumeBelow(j, from)
		}
		if i < at.end {
			whole += mesh.Cells[i].Volume
		}
		x0, v0 = x1, v1
	}
	return above / whole, rim, nil
}

// fits checks that a field is one of the grid.
func (g Grid) fits(place string, field []float64) error {
	if n := g.Len(); n == 0 || len(field) != n {
		return &InputError{Place: place, Field: "number of cells", Value: len(field), Want: fmt.Sprintf("that of a run's dish, %d", n)}
	}
	return nil
}

// Carry moves a field [-] (in its own unit) from the dish of an earlier run to this one,
// as From does with what a run leaves: layers are recognised by name, their means
// over the cells are kept, and the cells of layers that the earlier dish did not
// have get the value fresh. Another shape, or a layer that has another thickness
// or, but for a slab, another distance from the centre, gives an *InputError.
func (g Grid) Carry(earlier Grid, field []float64, fresh float64) ([]float64, error) {
	if err := earlier.fits("earlier field", field); err != nil {
		return nil, err
	}
	if g.Len() == 0 {
		return nil, &InputError{Place: "dish", Field: "run", Value: "none", Want: "a run from Simulate"}
	}
	m, old := g.model, earlier.model
	if err := m.sameShape(old); err != nil {
		return nil, err
	}
	out, known := make([]float64, g.Len()), false
	for l, name := range m.names {
		to, toEnd := m.mesh.Span(l)
		was := old.layer(name)
		if was < 0 {
			for i := to; i < toEnd; i++ {
				out[i] = fresh
			}
			continue
		}
		known = true
		from, fromEnd := old.mesh.Span(was)
		if err := m.sameThickness(l, old, was); err != nil {
			return nil, err
		}
		shift, err := m.moved(l, old, was)
		if err != nil {
			return nil, err
		}
		first := from
		for i := to; i < toEnd; i++ {
			lo, hi := m.mesh.Cells[i].Inner-shift, m.mesh.Cells[i].Outer-shift
			for first < fromEnd-1 && old.mesh.Cells[first].Outer <= lo {
				first++
			}
			end := first + 1
			for end < fromEnd && old.mesh.Cells[end].Inner < hi {
				end++
			}
			// the neighbours on both sides give the slopes
			out[i] = remap(old.mesh, max(first-1, from), min(end+1, fromEnd), lo, hi, func(i int) float64 { return field[i] })
		}
	}
	if !known {
		return nil, &InputError{Place: "dish", Field: "layers", Value: g.Layers(), Want: fmt.Sprintf("at least one of the earlier run's %v", old.names)}
	}
	return out, nil
}
