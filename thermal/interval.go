package thermal

import (
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
