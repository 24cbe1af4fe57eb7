// Command embedding shows how an app asks the library: dishes as JSON in, a plan as JSON
// out, several variants at once, within a time, with errors that say what is wrong.
//
// Scenario (invented): a filled bun of 7 cm is to be served from the freezer, the
// refrigerator and the table; the app asks how long each takes in the oven.
//
//	embedding -within 5s        give up after that
//	embedding -workers 1        one after the other: the same bytes come out
package main

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"runtime"
	"sync"
	"time"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/dishfile"
)

//go:embed bun.json
var bun []byte

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := program(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "embedding:", err)
		os.Exit(1)
	}
}

// Answer is what the app shows of a variant.
type Answer struct {
	Start   string   `json:"start"`
	Minutes float64  `json:"minutes,omitempty"` // in the oven
	Filling float64  `json:"filling_C,omitempty"`
	Lost    float64  `json:"lost_g,omitempty"`
	Wishes  string   `json:"wishes,omitempty"`
	Safety  string   `json:"safety,omitempty"`
	Stopped string   `json:"stopped,omitempty"` // why the run ended before its schedule did
	Faults  []string `json:"faults,omitempty"`  // what is wrong with the dish
}

func program(ctx context.Context, args []string, to io.Writer) error {
	flags := flag.NewFlagSet("embedding", flag.ContinueOnError)
	flags.SetOutput(to)
	within := flags.Duration("within", time.Minute, "time for all of it")
	workers := flags.Int("workers", runtime.GOMAXPROCS(0), "variants at once, 1 to 64")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 || *workers < 1 || *workers > 64 || *within <= 0 {
		return errors.New("want no arguments, 1 to 64 workers and a time above 0")
	}
	ctx, cancel := context.WithTimeout(ctx, *within)
	defer cancel()
	starts := []dishfile.Temp{"-18 C", "4 C", "20 C", "20"} // the last has no unit: see what comes of it
	out := json.NewEncoder(to)
	out.SetIndent("", "  ")
	return out.Encode(each(ctx, *workers, starts))
}

// each asks for every variant. Simulate may be called from many goroutines; answers keep
// the order of the questions, and their bits do not depend on how many workers there are.
func each(ctx context.Context, workers int, starts []dishfile.Temp) []Answer {
	answers := make([]Answer, len(starts))
	slots := make(chan struct{}, workers) // bounds memory too: a run holds its history
	var all sync.WaitGroup
	for i, start := range starts {
		all.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			answers[i] = ask(ctx, start)
		})
	}
	all.Wait()
	return answers
}

// ask reads the dish, changes it as data and simulates it.
func ask(ctx context.Context, start dishfile.Temp) Answer {
	answer := Answer{Start: string(start)}
	file, err := dishfile.Read(bytes.NewReader(bun), "bun.json")
	if err != nil {
		return answer.because(err)
	}
	file.Start = start
	outcome, err := file.Simulate(ctx, nil)
	if err != nil {
		return answer.because(err)
	}
	if outcome.Stopped != nil {
		answer = answer.because(outcome.Stopped)
	}
	if len(outcome.Runs) == 0 {
		return answer
	}
	run := outcome.Runs[len(outcome.Runs)-1]
	answer.Minutes = round(run.Stages[0].End.Minutes())
	answer.Filling = round(run.End().Layers()[0].Mean)
	answer.Lost = round(run.Lost() * 1e3)
	if outcome.Report != nil {
		answer.Wishes, answer.Safety = string(outcome.Report.Wishes), string(outcome.Report.Safety)
	}
	return answer
}

// because sorts errors: what the user can mend, what took too long, what is left.
func (a Answer) because(err error) Answer {
	var faults dishfile.Faults
	var limit *thermal.StageLimitError
	switch {
	case errors.As(err, &faults):
		for _, f := range faults {
			a.Faults = append(a.Faults, f.Key+": "+f.Problem+", want "+f.Want)
		}
	case errors.As(err, &limit):
		a.Stopped = fmt.Sprintf("%q never came to %s", limit.Name, limit.Until)
	case errors.Is(err, context.DeadlineExceeded):
		a.Stopped = "took too long to compute"
	default:
		a.Stopped = err.Error()
	}
	return a
}

func round(v float64) float64 { return math.Round(v*10) / 10 }
