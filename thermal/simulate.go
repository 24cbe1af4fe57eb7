package thermal

import (
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"example.com/thawfront/geometry"
)

// Simulate takes a dish through a schedule. It obeys ctx, never panics on its
// input, gives the same bits for the same input on one machine and build, and
// may be called from many goroutines at once.
//
// All faults of the input are reported at once, as *InputError values joined.
// Once it has begun, it gives the run as far as it came together with any error:
// *StageLimitError, *InterruptedError, *SolverError, or an *InputError if a medium
// turns bad on the way. A nil ctx never ends.
func Simulate(ctx context.Context, d Dish, s Schedule, settings *Settings) (*Run, error) {
	set, faults := settings.withDefaults()
	m, err := d.compile(set)
	if err != nil {
		return nil, errors.Join(append(faults, err)...)
	}
	stages, err := s.compile(m)
	if err != nil {
		faults = append(faults, err)
	}
	for _, w := range set.Watch {
		if isNil(w) {
			faults = append(faults, &InputError{Place: "settings", Field: "condition to watch", Value: "none", Want: "a Condition"})
			continue
		}
		faults = append(faults, w.check("settings", m)...)
	}
	sys := newSystem(m)
	p := newStepper(sys, set.Tolerance)
	start := newContents(len(sys.volume))
	if isNil(d.Start) {
		faults = append(faults, &InputError{Place: "dish", Field: "start", Value: "none", Want: "a Start, such as Uniform(-18)"})
	} else if len(faults) == 0 {
		faults = append(faults, d.Start.fill(m, start)...)
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	for _, st := range stages {
		if set.MaxStep > 0 {
			st.longest = seconds(set.MaxStep)
		}
	}
	if ctx == nil {
		ctx = context.Background()
	}
	if set.Cells == 0 {
		set.Cells = geometry.DefaultCells
		if m.mesh.Dimensions() == 2 {
			set.Cells = geometry.DefaultPlaneCells
		}
	}
	d, s = d.clone(), s.clone() // a run shows what it was made from, whatever becomes of that
	set.Watch = slices.Clone(set.Watch)
	c := &course{ctx: ctx, model: m, sys: sys, step: p, settings: set, stages: stages,
		run: &Run{Dish: d, Schedule: s, Settings: set, model: m, stages: stages}}
	sys.take(m, start, p.u)
	p.around = newAround(stages, m.pressure)
	c.run.final.peak, c.run.glazed = start.peak, start.glaze
	err = c.cook()
	return c.run, err
}

// course is one simulation under way.
type course struct {
	ctx       context.Context
	model     *model
	sys       *system
	step      *stepper
	settings  Settings
	stages    []*compiledStage
	run       *Run
	state     State // the end of the step just made
	probe     State // a point within it, for event finding
	watch     watcher
	clock     float64   // [s] since the start of the run
	began     float64   // [s] clock at the start of the stage
	lo, hi    float64   // [°C] span of start and media
	kept      []float64 // what dense puts back
	keptCells []wetCell
	previous  float64 // error of the last accepted step, for the step controller
}

// cook runs the stages one after the other and closes the run's books.
func (c *course) cook() error {
	p, s, run := c.step, c.sys, c.run
	s.evaluate(p.u)
	c.lo, c.hi = math.Inf(1), math.Inf(-1)
	for _, t := range s.temp {
		c.lo, c.hi = math.Min(c.lo, t), math.Max(c.hi, t)
	}
	run.books.open(s, p.u)
	n := len(p.u)
	c.state = newState(c.model, s)
	c.probe = newState(c.model, s)
	c.state.run, c.probe.run = run, run
	c.kept = make([]float64, 2*n)
	run.history.cells = n
	var failure error
	for i := range c.stages {
		if failure = c.cookStage(i); failure != nil {
			break
		}
	}
	run.books.close(s, p.u)
	run.duration = c.clock
	run.final.u = append([]float64(nil), p.u...)
	run.final.anchors = s.anchors
	if s.risen != nil {
		run.final.ratio = s.risen.ratio
	}
	run.Stats.Assemblies, run.Stats.Factorisations, run.Stats.NewtonIterations = s.assemblies, s.factorisations, p.newtons
	run.Energy, run.Water = run.books.energy(), run.books.water()
	run.Bodies, run.courses = p.around.results()
	return failure
}

// cookStage runs one stage to its condition, its limit or a failure.
func (c *course) cookStage(i int) error {
	p, s, run, stage := c.step, c.sys, c.run, c.stages[i]
	p.stage, p.t, p.h, c.previous = stage, 0, 0, 1
	run.Stages = append(run.Stages, StageResult{Name: stage.Name, Start: duration(c.clock), End: duration(c.clock), Reason: Failed})
	result := &run.Stages[len(run.Stages)-1]
	defer func() {
		result.End = duration(c.clock)
		c.lo, c.hi = math.Min(c.lo, stage.lo), math.Max(c.hi, stage.hi)
	}()
	c.began = c.clock
	p.jump = math.Inf(1)
	if p.around != nil {
		p.around.enter(stage, s, c.clock)
	}
	c.brush(stage.Brush)
	p.begin()
	stop := 0
	if stage.fault != nil {
		return stage.fault
	}
	c.lookAt(&c.state, 0)
	c.watch.begin(c, i)
	if stage.Until.margin(&c.state) >= 0 {
		result.Reason = ConditionMet
		return nil
	}
	p.h = c.firstStep()
	for {
		if err := context.Cause(c.ctx); err != nil {
			result.Reason = Interrupted
			return &InterruptedError{Stage: i, Name: stage.Name, Time: duration(c.clock), Cause: err}
		}
		for stop < len(stage.stops) && stage.stops[stop] <= p.t {
			stop++
		}
		next := stage.stops[stop] // the limit is always ahead here
		p.jump = next
		p.h = math.Min(p.h, stage.longest)
		if c.clock < c.model.risesUntil {
			p.h = math.Min(p.h, varying)
		}
		if s.wet != nil && s.wet.seeps {
			p.h = math.Min(p.h, seepTime)
		}
		wanted, left := p.h, next-p.t
		if p.h >= left*(1-1e-9) {
			p.h = left
		} else if p.h > left/2 {
			p.h = left / 2 // two even steps instead of a long one and a stub
		}
		took, met, err := c.advance(i)
		if err != nil {
			return err
		}
		if took == left {
			p.t = next
			c.clock = c.began + next
			c.state.sinceStage, c.state.clock = next, c.clock
			met = met || stage.Until.margin(&c.state) >= 0
			if stop == len(stage.stops)-1 && !met {
				result.Reason = LimitReached
				return &StageLimitError{Stage: i, Name: stage.Name, Until: stage.Until.String(), Seen: seen(stage.Until, &c.state), Limit: stage.Limit,
					Margin: stage.Until.margin(&c.state)}
			}
			if !met && next < seconds(stage.Limit) {
				p.begin() // the medium may jump here
				p.h = math.Min(math.Max(p.h, wanted), c.firstStep()*10)
			}
		}
		if c.settings.Progress != nil {
			c.settings.Progress(&c.state)
		}
		if met {
			result.Reason = ConditionMet
			return nil
		}
	}
}

// advance makes one accepted step of at most p.h and says how long it took [s].
// Where the stage's condition is met within it, the step is made again so that
// it ends just there. It leaves the wanted next step in p.h.
func (c *course) advance(i int) (took float64, met bool, err error) {
	p, stage, stats := c.step, c.stages[i], &c.run.Stats
	last, cuts := fine, 0
	for tries := 0; ; tries++ {
		if stats.Steps+stats.Rejected >= c.settings.MaxSteps {
			return 0, false, c.giveUp(i, "the run needs more steps than Settings.MaxSteps allows")
		}
		if c.run.history.bytes > maxHistory {
			return 0, false, c.giveUp(i, "the history of the run needs more than 1 GiB: take fewer cells or a looser tolerance")
		}
		if last != fine && (p.h < shortestStep || tries > 60) {
			return 0, false, c.giveUp(i, last.String())
		}
		e, o := p.try()
		if stage.fault != nil {
			return 0, false, stage.fault
		}
		if o == fine {
			o = c.inspect()
		}
		if o == fine && p.around != nil {
			if b := p.around.agree(p.sys, p.gain, p.rate, p.rEnd, p.t, p.h) / p.tolerance; !(b <= 1) {
				e, o = b*math.Sqrt(b), bodyMoved // it goes with the square of the step
			} else {
				e = max(e, b*math.Sqrt(b))
			}
		}
		if last = o; o != fine {
			stats.Rejected++
			if o == errorTooLarge || o == bodyMoved {
				p.h *= math.Max(0.2, 0.9*math.Pow(e, -1.0/3))
			} else {
				p.h *= 0.3
			}
			continue
		}
		c.lookAt(&c.state, 1)
		theta, met := c.crossing(stage.Until)
		if met && theta < 1-10*landing && p.h > 2*shortestStep && cuts < 20 {
			// a shorter step knows better where the event is
			p.h = math.Max(p.h*(theta+landing), 2*shortestStep)
			cuts++
			continue
		}
		c.watch.look(c, i)
		took = p.h
		c.accept(i, e)
		if cuts > 0 && !met {
			p.h = math.Min(p.h, took*0.1)
		}
		return took, met, nil
	}
}

// landing is how far beyond an event a step ends that is made to end on it, as a
// share of the step: far enough that the event is not missed by a rounding.
const landing = 1e-6

// shortestStep [s] is where the solver gives up shrinking.
const shortestStep = 1e-7

// inspect checks that the end of a tried step lies inside of what is possible:
// the foods' properties, and the span of start and media.
func (c *course) inspect() outcome {
	p, s := c.step, c.sys
	lo, hi := math.Min(c.lo, p.stage.lo), math.Max(c.hi, p.stage.hi)
	slack, edge := overshootShare*p.tolerance, 0.0
	if s.wet != nil {
		slack, edge = wetSlack, rangeSlack
	}
	for j, t := range s.temp {
		if !(t >= s.lowestT-edge && t <= s.highest+edge) {
			p.worst = j
			return outOfRange
		}
		if t < lo-slack || t > hi+slack {
			p.worst = j
			return overshot
		}
	}
	return fine
}

// wetSlack [K] is how far temperatures may leave the span of start and media when
// water moves: evaporation cools below all of them, sorption warms.
const wetSlack = 80

// rangeSlack [K] lets a dish that starts at the end of what the properties cover pass
// it by what evaporation takes off.
const rangeSlack = 0.5

// overshootShare of the tolerance is what Newton's iteration may leave of error
// in a temperature at the edge of the possible span.
const overshootShare = 0.1

// accept commits the step: records it, lets steam go, moves the clock and picks
// the next step length by a PI controller.
func (c *course) accept(i int, e float64) {
	p, s, run := c.step, c.sys, c.run
	run.history.add(i, c.clock, p, s.anchors)
	for j := range s.volume {
		if t := c.state.temp[j]; t > run.final.peak[j] {
			run.final.peak[j] = t
		}
		if s.wet == nil && p.end[j] > s.anchors[j].BoilingEnergy() {
			run.books.settle(s, p.end, j)
			p.settled, p.driest = true, min(p.driest, j)
		}
	}
	run.books.gains(s, p.gain)
	if p.around != nil {
		run.history.bytes += p.around.accept(s, p.gain, c.clock+p.h)
	}
	p.u, p.end = p.end, p.u
	p.f, p.fEnd = p.fEnd, p.f
	p.rate, p.rEnd = p.rEnd, p.rate
	took := p.h
	p.t += took
	c.clock += took
	run.Stats.Steps++
	sudden := c.grow()
	if s.wet != nil && c.drain(took) || sudden {
		p.resume()
	}
	e = math.Max(e, 1e-4)
	p.h *= math.Max(0.3, math.Min(3, 0.9*math.Pow(e, -0.6/3)*math.Pow(c.previous, 0.3/3)))
	c.previous = e
}

// firstStep guesses a step from the present rates: one in which no cell moves by
// more than a few tolerances.
func (c *course) firstStep() float64 {
	p := c.step
	p.setWeights()
	if r := p.norm(p.f); r > 0 {
		return math.Min(math.Max(5/r, 1e-4), 3600)
	}
	return 3600
}

func (c *course) giveUp(i int, reason string) error {
	p := c.step
	cell := p.worst % len(c.model.mesh.Cells)
	x, y := c.model.mesh.Section(cell)
	return &SolverError{Stage: i, Name: c.stages[i].Name, Time: duration(c.clock), Layer: c.model.names[c.model.mesh.Cells[cell].Layer], X: x, Y: y,
		Step: time.Duration(p.h * 1e9), Reason: reason}
}

// lookAt fills a state from the system's last evaluation, a share theta into the
// step under way.
func (c *course) lookAt(s *State, theta float64) {
	s.look(c.sys)
	s.sinceStage = c.step.t + theta*c.step.h
	s.clock = c.began + s.sinceStage
}
