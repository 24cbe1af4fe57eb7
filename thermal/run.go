package thermal

import (
	"fmt"
	"iter"
	"math"
	"time"

	"example.com/thawfront/phasechange"
)

// StopReason says why a stage ended.
type StopReason uint8

// The reasons a stage ends.
const (
	ConditionMet StopReason = iota // the usual end
	LimitReached                   // the condition was not met in time
	Interrupted                    // the context ended the run
	Failed                         // the solver could not go on
)

// stopReasons holds the words and whether the run ended early; there is no
// reason without both.
var stopReasons = [...]struct {
	text  string
	early bool
}{{"condition met", false}, {"limit reached", true}, {"interrupted", true}, {"failed", true}}

// String names the reason.
func (r StopReason) String() string {
	if int(r) < len(stopReasons) {
		return stopReasons[r].text
	}
	return fmt.Sprintf("StopReason(%d)", uint8(r))
}

// Early says whether the run ended there before its schedule did.
func (r StopReason) Early() bool { return int(r) >= len(stopReasons) || stopReasons[r].early }

// StageResult is how a stage went.
type StageResult struct {
	Name   string
	Start  time.Duration // since the start of the run
	End    time.Duration
	Reason StopReason
}

// Stats counts the solver's work.
type Stats struct {
	Steps            int `json:"steps"` // accepted
	Rejected         int `json:"rejected"`
	NewtonIterations int `json:"newton_iterations"`
	Assemblies       int `json:"assemblies"` // evaluations of all cells, faces and derivatives
	Factorisations   int `json:"factorisations"`
}

// String prints the counters as a line.
func (s Stats) String() string {
	return fmt.Sprintf("%d steps, %d rejected, %d Newton iterations, %d assemblies, %d factorisations",
		s.Steps, s.Rejected, s.NewtonIterations, s.Assemblies, s.Factorisations)
}

// Run is the result of Simulate, which alone makes one: of the zero Run only the
// fields may be read.
type Run struct {
	Dish     Dish
	Schedule Schedule
	Settings Settings // with the defaults filled in
	Stages   []StageResult
	Events   []Event // in order of time
	Energy   EnergyAudit
	Water    WaterAudit
	Stats    Stats
	Bodies   []BodyResult // of the Active media, in the order in which stages name them

	courses  []bodyCourse
	model    *model
	stages   []*compiledStage
	history  history
	books    books
	transit  transit
	duration float64 // [s]
	glazed   float64 // [kg] dry matter brushed on in earlier runs
	glaze    []brushed
	final    final
}

// final is how a run left the dish.
type final struct {
	u       []float64 // the unknowns
	peak    []float64 // [°C] by cell
	ratio   []float64 // [-] thickness over the original by cell, nil if nothing rises
	anchors []phasechange.Anchor
}

// contents takes its end apart for a run that goes on from there.
func (r *Run) contents() *contents {
	f := &r.final
	c := newContents(len(f.peak))
	c.glaze = r.dry(r.Duration())
	copy(c.u, f.u)
	copy(c.peak, f.peak)
	copy(c.ratio, f.ratio)
	if len(f.u) > len(c.u) {
		copy(c.water, f.u[len(c.u):])
		for i, mass := range r.books.late { // what was on its way arrives
			v := r.model.mesh.Cells[i].Volume
			c.water[i] += mass / v
			c.u[i] += r.books.lateHeat[i] / v
		}
		return c
	}
	for i := range f.anchors {
		c.water[i] = f.anchors[i].Water()
	}
	return c
}

// stepped is up to when [s] steps have been made.
func (r *Run) stepped() float64 {
	n := len(r.history.steps)
	if n == 0 {
		return 0
	}
	return r.history.steps[n-1].start + r.history.steps[n-1].h
}

// Duration is how long the run lasted.
func (r *Run) Duration() time.Duration { return duration(r.duration) }

// LayerNames lists the layers in the order of the dish.
func (r *Run) LayerNames() []string { return append([]string(nil), r.model.names...) }

// At is the dish at time t since the start of the run; times outside of the run
// give its start or end. Between steps it is the integrator's own dense output,
// a cubic in the energy of each cell.
func (r *Run) At(t time.Duration) *State {
	return r.at(math.Max(0, math.Min(seconds(t), r.duration)))
}

// End is the dish at the end of the run.
func (r *Run) End() *State { return r.at(r.duration) }

// at is At in seconds within the run.
func (r *Run) at(t float64) *State {
	m := r.model
	sys := newSystem(m)
	u := make([]float64, len(sys.mass))
	var stage *compiledStage
	since, jump := 0.0, math.Inf(1)
	var risen []float32
	var late []float64
	if len(r.history.steps) == 0 || t >= r.duration {
		copy(u, r.final.u)
		sys.setRatios(m, single(r.final.ratio))
		copy(sys.anchors, r.final.anchors)
		last := len(r.Stages) - 1
		stage, since = r.stages[last], seconds(r.Stages[last].End-r.Stages[last].Start)
		if n := len(r.history.steps); n > 0 && r.history.steps[n-1].stage == last {
			jump = r.history.steps[n-1].jump
		}
		if n := len(r.history.steps); n > 0 {
			late = r.transit.at(n-1, 1)
		}
	} else {
		k := r.history.find(t)
		s := &r.history.steps[k]
		sys.setRatios(m, s.ratio)
		if n := k + 1; n < len(r.history.steps) && t >= r.history.steps[n].start-1e-9 {
			risen = r.history.steps[n].ratio // at its end the dish rises
		}
		theta := math.Max(0, math.Min(1, (t-s.start)/s.h))
		s.dense(theta, sys, u)
		late = r.transit.at(k, theta)
		stage, since, jump = r.stages[s.stage], s.since+theta*s.h, s.jump
	}
	own := *stage // reading notes the span of the media: not in what others read
	own.actives = r.recall(&own, t)
	sys.surround(&own, before(since, jump))
	sys.assemble(u)
	state := newState(m, sys)
	state.run = r
	state.look(sys)
	state.inlet, state.late = nil, late
	sys.setRatios(m, risen)
	state.clock, state.sinceStage = t, since
	return &state
}

// dense sets the anchors of a system and the energies u to those a share theta
// into the step.
func (s *pastStep) dense(theta float64, sys *system, u []float64) {
	if sys.wet != nil {
		n := len(sys.volume)
		for i := range u {
			began, _ := s.began(i)
			u[i] = wetCubic(i >= n, theta, s.h, float64(began), float64(s.f[i]), float64(s.end[i]), float64(s.fEnd[i]))
		}
		return
	}
	for i := range u {
		began, kept := s.began(i)
		w := float64(kept)
		if r := sys.relation[i]; kept == float32(r.Water()) {
			w = r.Water() // single precision must not make a cell seem to have dried
		}
		a := &sys.anchors[i]
		*a = sys.relation[i].Anchor(w)
		u[i] = cubic(theta, s.h, begun(began, a), float64(s.f[i]), float64(s.end[i]), float64(s.fEnd[i]), a)
	}
}

// Peaks are the highest temperatures [°C] that each cell has seen up to the end
// of the run, earlier runs included, in the order of State.Cells.
func (r *Run) Peaks() []float64 { return append([]float64(nil), r.final.peak...) }

// Temperature is the temperature [°C] at a place and a time since the start of
// the run, or an *UnknownPlaceError.
func (r *Run) Temperature(p Place, t time.Duration) (float64, error) {
	return r.At(t).Temperature(p)
}

// Each walks through the run from start to end in steps of the given length,
// the end included. A length of 0 or less gives the start and the end only.
func (r *Run) Each(every time.Duration) iter.Seq[*State] {
	return func(yield func(*State) bool) {
		end := r.Duration()
		for t := time.Duration(0); t < end; t += every {
			if !yield(r.At(t)) {
				return
			}
			if every <= 0 {
				break
			}
		}
		yield(r.End())
	}
}

// Extremes are the lowest and highest temperatures of a layer over the run.
type Extremes struct {
	Name        string
	Lowest      float64 // [°C]
	LowestTime  time.Duration
	Highest     float64 // [°C]
	HighestTime time.Duration
}

// Extremes gives the extremes of every layer, at the ends of the solver's steps.
func (r *Run) Extremes() []Extremes {
	out := make([]Extremes, len(r.model.names))
	for l, name := range r.model.names {
		out[l] = Extremes{Name: name, Lowest: math.Inf(1), Highest: math.Inf(-1)}
	}
	look := func(s *State) {
		for l := range out {
			e := &out[l]
			lowest, highest, _ := s.sum(s.model.mesh.Span(l))
			if lowest < e.Lowest {
				e.Lowest, e.LowestTime = lowest, s.Time()
			}
			if highest > e.Highest {
				e.Highest, e.HighestTime = highest, s.Time()
			}
		}
	}
	for _, s := range r.history.steps {
		look(r.at(s.start))
	}
	look(r.End())
	return out
}

// Met says when condition i of Settings.Watch was first met, if it was.
func (r *Run) Met(i int) (at time.Duration, met bool) {
	for _, e := range r.Events {
		if e.Kind == Watched && e.Watch == i {
			return e.Time, true
		}
	}
	return 0, false
}

// Lost is the water that has left the dish in this run [kg], as steam, into the air and
// as drip, less what condensed on it; negative if more condensed. What was brushed on
// is no loss regained: the dish ends with its mass at the start and what was brushed
// on, less this.
func (r *Run) Lost() float64 {
	w := &r.Water
	return w.Steam + w.Evaporated - w.Condensed + w.Drip
}

// dry is the dry matter [kg] that was brushed on up to a time.
func (r *Run) dry(t time.Duration) float64 {
	m := r.glazed
	for _, g := range r.glaze {
		// At a time in the run a state is that before what was brushed on then
		if g.at < t || g.at == 0 || t >= r.Duration() {
			m += g.mass
		}
	}
	return m
}

// PeakAbove is the share [-] of a layer's volume that has been hotter than t [°C]
// at any time, earlier runs included, and the width [m] of the rim counted from
// the layer's outer face inwards that has: an overcooked rim, say. Between nodes
// the peak is taken as a straight line.
func (r *Run) PeakAbove(layer string, t float64) (share, rim float64, err error) {
	l := r.model.layer(layer)
	if !inRange(t, -300, 1e4) {
		return 0, 0, &InputError{Place: "PeakAbove", Field: "temperature [°C]", Value: t, Want: "-300 to 10000"}
	}
	if l < 0 {
		_, err := Within(layer, 0).resolve(r.model)
		return 0, 0, err
	}
	return r.Grid().Above(layer, r.final.peak, t)
}
