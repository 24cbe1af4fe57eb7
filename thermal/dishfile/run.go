package dishfile

import (
	"context"
	"errors"
	"fmt"
	"time"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/verdict"
)

// Progress is how far a simulation has come.
type Progress struct {
	Stage  int // of the file, from 0
	Name   string
	Time   time.Duration // since the start of the chain
	Centre float64       // [°C]
}

// Outcome is what became of a dish file.
type Outcome struct {
	File *File
	Runs []*thermal.Run // the chain, in its order
	// Report is what the runs come to; nil if they cannot be judged, which the error of
	// Simulate says.
	Report *verdict.Report
	// Stopped is why the chain ended before its end, as package thermal says it; nil if it
	// did not.
	Stopped error
}

// Simulate takes the dish of the file through its stages and judges it. Whatever ends a
// simulation that has begun (a stage's limit, ctx, the solver) is told as Stopped, beside
// what was computed, and is no error.
//
// The error is that of Check, without an Outcome. One of judging, which no file that
// passes Check is known to give, comes beside the Outcome of what was computed.
//
// progress is called after every step of the solver, from the goroutine that calls
// Simulate; nil for none. Simulate may be called from many goroutines at once, on the same
// File too.
func (f *File) Simulate(ctx context.Context, progress func(Progress)) (*Outcome, error) {
	links, err := f.Chain()
	if err != nil {
		return nil, err
	}
	out := &Outcome{File: f}
	chain := chain{file: f}
	for i := range links {
		run, err := chain.simulate(ctx, &links[i], progress)
		if run == nil {
			err = fmt.Errorf("dishfile: part %d of the chain: %w", i+1, err)
			if i == 0 {
				return nil, err
			}
		}
		if err != nil {
			out.Stopped = err
			break
		}
	}
	out.Runs = chain.runs
	if out.Report, err = f.judge(out.Runs); err != nil {
		return out, fmt.Errorf("dishfile: judging: %w", err)
	}
	out.Report.Timeline = chain.tell(out.Report.Timeline)
	return out, nil
}

// chain is a chain of runs under way.
type chain struct {
	file  *File
	runs  []*thermal.Run
	clock time.Duration            // since its start
	since map[string]time.Duration // when each layer was put on

	amid []plants // of each run
}

// simulate makes the run of the next link; the run is nil if it could not begin.
func (c *chain) simulate(ctx context.Context, l *Link, progress func(Progress)) (*thermal.Run, error) {
	dish, settings := l.Dish, l.Settings
	if n := len(c.runs); n > 0 {
		start := thermal.From(c.runs[n-1])
		for _, layer := range dish.Layers {
			if t, joins := l.Joins[layer.Name]; joins {
				start = start.With(layer.Name, t)
			}
		}
		dish.Start = start
	}
	dish.Layers = c.puts(dish.Layers)
	schedule := l.Schedule
	if len(c.file.Appliances) > 0 {
		schedule = c.around(l)
	}
	if progress != nil {
		settings.Progress = c.watch(l, progress)
	}
	run, err := thermal.Simulate(ctx, dish, schedule, &settings)
	if run != nil {
		c.runs, c.clock = append(c.runs, run), c.clock+run.Duration()
	}
	return run, err
}

// around gives the schedule of a link amid the appliances as the run before left them.
func (c *chain) around(l *Link) thermal.Schedule {
	amid := c.file.plants()
	if n := len(c.runs); n > 0 {
		amid = c.amid[n-1].after(c.runs[n-1])
	}
	c.amid = append(c.amid, amid)
	return c.file.schedule(amid, c.file.Stages[l.Stages[0]:][:len(l.Stages)]) // a link's stages follow each other
}

// watch calls progress with what a step of the link's run has come to.
func (c *chain) watch(l *Link, progress func(Progress)) func(*thermal.State) {
	return func(s *thermal.State) {
		centre, _ := s.Temperature(thermal.Centre())
		i := l.Stages[s.Stage()]
		progress(Progress{Stage: i, Name: c.file.Stages[i].Name, Time: c.clock + s.Time(), Centre: centre})
	}
}

// puts notes which layers are put on now, and gives the layers with the times of a rise
// counted from the run's start.
func (c *chain) puts(layers []thermal.Layer) []thermal.Layer {
	since := map[string]time.Duration{}
	out := make([]thermal.Layer, len(layers))
	for i, l := range layers {
		began, there := c.since[l.Name]
		if !there {
			began = c.clock
		}
		since[l.Name] = began
		l.Rise = later(l.Rise, (c.clock - began).Seconds())
		out[i] = l
	}
	c.since = since
	return out
}

// later is a rise by time of which t [s] have passed.
func later(r *thermal.Rise, t float64) *thermal.Rise {
	if r == nil || r.Against != thermal.RunTime || t == 0 {
		return r
	}
	out := &thermal.Rise{Against: r.Against}
	for i, p := range r.Points {
		at := p.At - t
		if at <= 0 {
			out.Points = []thermal.RisePoint{{Ratio: p.Ratio}} // the last that has passed
			continue
		}
		if i > 0 && r.Points[i-1].At < t {
			a := r.Points[i-1]
			out.Points = []thermal.RisePoint{{Ratio: a.Ratio + (p.Ratio-a.Ratio)*(t-a.At)/(p.At-a.At)}}
		}
		out.Points = append(out.Points, thermal.RisePoint{At: at, Ratio: p.Ratio})
	}
	return out
}

// Interrupted says whether the chain was ended by its context.
func (o *Outcome) Interrupted() bool {
	var i *thermal.InterruptedError
	return errors.As(o.Stopped, &i)
}
