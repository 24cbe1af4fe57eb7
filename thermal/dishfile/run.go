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
	// Report is what the runs come to; nil if nothing was simulated.
	Report *verdict.Report
	// Stopped is why the chain ended before its end, as package thermal says it; nil if it
	// did not.
	Stopped error
}

// Simulate takes the dish of the file through its stages and judges it. The error is
// that of Check, or of the chain that no check foresaw. Whatever ends a simulation that has
// begun (a stage's limit, ctx, the solver) is told as Stopped, beside what was computed.
//
// progress is called after every step of the solver, from the goroutine that calls
// Simulate; nil for none. It may be called from many goroutines at once, on different
// or on the same File.
func (f *File) Simulate(ctx context.Context, progress func(Progress)) (*Outcome, error) {
	links, err := f.Chain()
	if err != nil {
		return nil, err
	}
	out := &Outcome{File: f}
	for i := range links {
		run, err := f.simulate(ctx, &links[i], out.Runs, progress)
		if run == nil {
			return nil, fmt.Errorf("dishfile: part %d of the chain: %w", i+1, err)
		}
		out.Runs = append(out.Runs, run)
		if err != nil {
			out.Stopped = err
			break
		}
	}
	report, err := f.judge(out.Runs)
	out.Report = report
	if err != nil && out.Stopped == nil {
		return out, fmt.Errorf("dishfile: judging: %w", err)
	}
	return out, nil
}

func (f *File) simulate(ctx context.Context, l *Link, before []*thermal.Run, progress func(Progress)) (*thermal.Run, error) {
	dish, settings := l.Dish, l.Settings
	var began time.Duration
	if n := len(before); n > 0 {
		start := thermal.From(before[n-1])
		for name, t := range l.Joins {
			start = start.With(name, t)
		}
		dish.Start = start
		for _, r := range before {
			began += r.Duration()
		}
	}
	if progress != nil {
		stage, last := 0, time.Duration(-1)
		settings.Progress = func(s *thermal.State) {
			if s.StageTime() <= last && stage+1 < len(l.Stages) {
				stage++
			}
			last = s.StageTime()
			centre, _ := s.Temperature(thermal.Centre())
			i := l.Stages[stage]
			progress(Progress{Stage: i, Name: f.Stages[i].Name, Time: began + s.Time(), Centre: centre})
		}
	}
	return thermal.Simulate(ctx, dish, l.Schedule, &settings)
}

// Interrupted says whether the chain was ended by its context.
func (o *Outcome) Interrupted() bool {
	var i *thermal.InterruptedError
	return errors.As(o.Stopped, &i)
}
