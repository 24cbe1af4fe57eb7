// Command bakecheck reads dish files, runs them side by side and says how each dish
// came out: a timeline, what is right, what is not, what the food codes say and what
// to change first. It can write tables, data and pictures of the runs.
//
// Equations, data and method are those of package thermal; dish files are those of
// thermal/dishfile, verdicts those of thermal/verdict and pictures those of
// thermal/chart.
//
//	bakecheck roll.toml                             run a dish
//	bakecheck -only-read -explain roll.toml         where each number comes from
//	bakecheck -to out -json -pictures png *.toml    run many and keep the results
//
// -help says the rest, the exit codes among it.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second interruption ends the program at once
	os.Exit(program(ctx, os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr}))
}

// Exit codes.
const (
	fine        = 0
	failed      = 1   // something that is no fault of the input
	badInput    = 2   // files or flags
	offTarget   = 3   // a stage met its limit
	missed      = 4   // a wish or a rule of a food code
	interrupted = 130 // as shells count Ctrl-C; SIGTERM, which asks for the same, gives it too
)

// gravest gives the code that stands for two.
func gravest(a, b int) int {
	for _, code := range []int{interrupted, badInput, failed, offTarget, missed} {
		if a == code || b == code {
			return code
		}
	}
	return fine
}

// streams are where the program reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// program runs the command and gives its exit code.
func program(ctx context.Context, args []string, s streams) int {
	c := command{streams: s, meter: newMeter(s.err)}
	return c.run(ctx, args)
}
