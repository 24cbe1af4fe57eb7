package thermal

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/phasechange"
)

// Active is a Medium with a state of its own, on which the dish acts back: an oven
// that a frozen dish pulls down, a bath, a tray. Its At is what it is at first.
//
// The solver predicts the body's course over a step from the dish's surface
// temperatures, carried on in a straight line, takes the dish through the step amid
// that, and then moves the body over the step once more with exactly the heat and the
// water that the dish has taken. Where the two courses come apart the step is made
// again, shorter. So what one account loses the other gains, to rounding.
//
// Steps need not end where a thermostat switches: the body follows that within them.
// What jumps at known times, such as a door, belongs into the Changes of a Changer.
// A body stands still in stages that do not name it.
type Active interface {
	Medium
	// Control is the body and what it is set to in the stage. A run keeps it to be read by:
	// it should be a copy of what may change later.
	Control() Control
	// Port says which side of the body the surface meets, of those that its Control has:
	// the air of an oven, say, or the tray in it.
	Port() int
}

// Control is a body set to something. Its methods must depend on nothing but their
// arguments and what does not change.
type Control interface {
	// Validate says what is wrong with the body or what it is set to.
	Validate() error
	// Body tells bodies apart; it must be comparable. Stages whose controls have one
	// body hand its state on from one to the next; within a stage all controls of a body
	// must be deeply equal.
	Body() any
	// Ports is how many sides the body has that a surface may meet, numbered from 0.
	Ports() int
	// Size is how many numbers the state has, 1 to 64.
	Size() int
	// Begin gives the state at the start of the run, at a pressure of the air [Pa].
	Begin(state []float64, pressure float64)
	// Meets gives what a surface at a port meets, t [s] after the start of the stage.
	Meets(port int, state []float64, t float64) Surroundings
	// Advance moves the state from t [s] after the start of the stage over h [s].
	Advance(state []float64, t, h float64, dish []Exchange)
	// Account gives the energy the body holds and what it has been given since the start
	// of the run by all but the dish (heaters, losses, air let in) [J].
	Account(state []float64) (stored, given float64)
}

// Bearer is a Control that does not take a dish of any size, such as an oven with a tray.
type Bearer interface {
	Control
	// Bears says what is wrong with a dish that has an area [m²] at a port.
	Bears(port int, area float64) error
}

// Exchange is what one surface of the dish does to a body: values in the middle of the
// time that Advance goes over, and how they rise about it.
type Exchange struct {
	Port    int
	Area    float64 // [m²]
	Surface float64 // [°C]
	Water   float64 // [kg/s] vapour given off, less than none if it condenses
	// Heat is what the dish takes [W], less the enthalpy of the vapour it gives off. It is
	// what the body must lose if Known; in a prediction Split estimates it.
	Heat  float64
	Known bool
	// Steam and SteamHeat are the share of the surface, by area, in what boils off
	// inside of the dish [kg/s] and the enthalpy it brings out [W], where water moves.
	Steam, SteamHeat float64

	// In a prediction Water is that into air of the vapour pressure Vapour [Pa], and rises by
	// WaterByVapour [kg/(s Pa)] with it: less than none, as moist air dries less.
	Vapour, WaterByVapour float64

	SurfaceRise float64 // [K/s]
	WaterRise   float64 // [kg/s²]
	HeatRise    float64 // [W/s]
}

// Since is the exchange at s [s] since the middle. Its mean over parts of the time,
// each by its own middle, is that of the whole.
func (x *Exchange) Since(s float64) Exchange {
	y := *x
	y.Surface += x.SurfaceRise * s
	y.Water += x.WaterRise * s
	y.Heat += x.HeatRise * s
	return y
}

// Into is the exchange with air of a vapour pressure p [Pa].
func (x *Exchange) Into(p float64) Exchange {
	y := *x
	if !x.Known {
		y.Water += x.WaterByVapour * (p - x.Vapour)
	}
	return y
}

// Split parts the heat [W] that a body loses to the surface into what its fluid and
// what its walls lose.
func (x *Exchange) Split(s Surroundings) (fluid, walls float64) {
	if s.Emissivity > 0 {
		w, t := s.Walls+kelvin, x.Surface+kelvin
		walls = x.Area * s.Emissivity * stefanBoltzmann * (w*w*w*w - t*t*t*t)
	}
	if x.Known {
		return x.Heat - walls, walls
	}
	vapour, _ := phasechange.VapourEnthalpy(x.Surface)
	return x.Area*s.H*(s.Fluid-x.Surface) - x.Water*vapour, walls
}

// BodyResult is a body at the end of a run.
type BodyResult struct {
	Body  any       // of its Control
	State []float64 // [-] in the units of its own
	// Given is what all but the dish have put into it, Stored the rise of what it holds,
	// Taken what the dish took [J].
	Given, Stored, Taken float64
	// Relative is what the account cannot explain, over all that was exchanged with the
	// dish, without sign, and given [-].
	Relative float64
}

// Around gives the state [-] (in its own units) of a body at a time of the run, on the
// straight line between steps; nil if it was not around.
func (r *Run) Around(body any, t time.Duration) []float64 {
	if r == nil || len(r.courses) != len(r.Bodies) {
		return nil
	}
	for i := range r.Bodies {
		if r.Bodies[i].Body == body {
			return r.courses[i].at(seconds(t))
		}
	}
	return nil
}

// Surroundings gives what a part of the surface met at a time of the run: what the medium
// of the stage said, or an Active one as it was then. The error is an *UnknownPlaceError
// or, of no Run or the zero one, an *InputError.
func (r *Run) Surroundings(p geometry.Patch, t time.Duration) (Surroundings, error) {
	if r == nil || r.model == nil || len(r.Stages) == 0 {
		return Surroundings{}, &InputError{Place: "surroundings", Field: "run", Value: "none", Want: "a run from Simulate"}
	}
	t = max(0, min(t, r.Duration()))
	i := 0
	for i+1 < len(r.Stages) && r.Stages[i].End < t {
		i++
	}
	stage, since := *r.stages[i], seconds(t-r.Stages[i].Start)
	stage.actives = r.recall(&stage, seconds(t))
	if k, _ := slices.BinarySearch(stage.stops, since); k < len(stage.stops) {
		since = before(since, stage.stops[k])
	}
	known := map[geometry.Patch]bool{}
	for k, f := range r.model.mesh.Surfaces {
		if f.Patch == p {
			return stage.meets(k, max(since, 0)), nil
		}
		known[f.Patch] = true
	}
	return Surroundings{}, &UnknownPlaceError{Place: fmt.Sprintf("patch %q", p), Known: fmt.Sprint(sortedKeys(known))}
}

// bodyCourse is the states of a body over a run.
type bodyCourse struct {
	size   int
	times  []float64 // [s]
	states []float64
}

func (b *bodyCourse) add(t float64, state []float64) {
	b.times = append(b.times, t)
	b.states = append(b.states, state...)
}

func (b *bodyCourse) at(t float64) []float64 {
	if len(b.times) == 0 {
		return nil
	}
	i, _ := slices.BinarySearch(b.times, t)
	out := make([]float64, b.size)
	if i == 0 {
		copy(out, b.states)
		return out
	}
	if i == len(b.times) {
		copy(out, b.states[(i-1)*b.size:])
		return out
	}
	w := (t - b.times[i-1]) / (b.times[i] - b.times[i-1])
	for k := range out {
		out[k] = b.states[(i-1)*b.size+k]*(1-w) + b.states[i*b.size+k]*w
	}
	return out
}

// maxBodyState bounds what a body may remember.
const maxBodyState = 64

// controlOf is the control of a medium, if it is active.
func controlOf(m Medium) (Control, int, bool) {
	for c, ok := m.(changing); ok; c, ok = m.(changing) {
		m = c.Medium
	}
	a, ok := m.(Active)
	if !ok || isNil(m) {
		return nil, 0, false
	}
	return a.Control(), a.Port(), true
}

// bodyFaults checks a control.
func bodyFaults(place string, c Control, port int) error {
	if isNil(c) {
		return &InputError{Place: place, Field: "control of the medium", Value: "none", Want: "one that is not nil"}
	}
	if b := c.Body(); b == nil || !reflect.ValueOf(b).Comparable() || b != b || !reflect.ValueOf(c).Comparable() {
		return &InputError{Place: place, Field: "control of the medium", Value: fmt.Sprintf("%T of %T", c, b), Want: "values that can be compared, such as pointers"}
	}
	if err := c.Validate(); err != nil {
		return &InputError{Place: place, Field: "medium", Value: fmt.Sprintf("%T", c), Want: "one that is as it should be", Cause: err}
	}
	if n := c.Size(); n < 1 || n > maxBodyState {
		return &InputError{Place: place, Field: "size of the medium's state", Value: n, Want: fmt.Sprintf("1 to %d", maxBodyState)}
	}
	if n := c.Ports(); port < 0 || port >= n {
		return &InputError{Place: place, Field: "port of the medium", Value: port, Want: fmt.Sprintf("one of the body's %d, counted from 0", n)}
	}
	return nil
}

// bearFaults checks that the bodies of a stage bear the dish.
func (c *compiledStage) bearFaults(k *model) (faults []error) {
	for _, p := range c.parts {
		b, ok := p.control.(Bearer)
		if !ok {
			continue
		}
		for port := range b.Ports() {
			area := 0.0
			for i, f := range p.surfaces {
				if p.ports[i] == port {
					area += k.mesh.Surfaces[f].Area
				}
			}
			if err := b.Bears(port, area); err != nil {
				faults = append(faults, &InputError{Place: c.place, Field: "medium", Value: fmt.Sprintf("%T", b), Want: "one that the dish fits", Cause: err})
			}
		}
	}
	return faults
}

// sizeFaults checks that the controls of a body agree on what it remembers.
func sizeFaults(stages []*compiledStage) (faults []error) {
	sizes := map[any]int{}
	for _, st := range stages {
		for i := range st.parts {
			c := st.parts[i].control
			n, known := sizes[c.Body()]
			if known && n != c.Size() {
				faults = append(faults, &InputError{Place: st.place, Field: "size of the medium's state", Value: c.Size(), Want: fmt.Sprintf("%d, as in the stages before", n)})
			}
			if !known {
				sizes[c.Body()] = c.Size()
			}
		}
	}
	return faults
}

// finiteState says whether all numbers of a state are finite.
func finiteState(state []float64) bool {
	for _, v := range state {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
