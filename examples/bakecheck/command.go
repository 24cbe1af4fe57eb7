package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"runtime"
	"strings"
	"unicode"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/dishfile"
	"example.com/thawfront/thermal/safety"
	"example.com/thawfront/thermal/verdict"
)

// command is one call of the program.
type command struct {
	streams
	*options
	meter *meter
	code  int
}

// say writes text to a stream, without the control characters that a dish file may have
// in its names: they could play tricks on a terminal.
func (c *command) say(to io.Writer, text string) {
	c.meter.clear()
	text = strings.Map(func(r rune) rune {
		if r != '\n' && unicode.IsControl(r) {
			return -1
		}
		return r
	}, text)
	if _, err := io.WriteString(to, text); err != nil {
		if to == c.out && c.code != failed {
			fmt.Fprintf(c.err, "bakecheck: standard output: %v\n", err)
		}
		c.code = gravest(c.code, failed)
	}
}

// complain says what is wrong and counts it.
func (c *command) complain(code int, err error) {
	c.code = gravest(c.code, code)
	c.say(c.err, fmt.Sprintf("bakecheck: %s\n", strings.ReplaceAll(err.Error(), "\n", "\nbakecheck: ")))
}

func (c *command) run(ctx context.Context, args []string) int {
	var err error
	if c.options, err = parse(args, c.out); err != nil {
		if !errors.Is(err, flag.ErrHelp) {
			c.complain(badInput, fmt.Errorf("%w; -help says more", err))
		}
		return c.code
	}
	if c.schema {
		c.say(c.out, string(dishfile.Schema()))
		return c.code
	}
	dishes, err := c.read(ctx)
	if ctx.Err() != nil {
		c.complain(interrupted, errors.New("interrupted while the dish files were read; nothing was run"))
		return c.code
	}
	if err != nil {
		c.code = badInput
		c.say(c.err, err.Error()+"\n") // lines begin with file and line number, for editors to find
		if !c.onlyRead && c.rewrite == "" {
			c.say(c.err, "bakecheck: nothing was run\n")
		}
		return c.code
	}
	switch {
	case c.rewrite != "":
		c.rewritten(dishes[0].file)
	case c.onlyRead:
		for _, d := range dishes {
			c.say(c.out, readPage(d, c.options))
		}
	default:
		if err := c.prepare(dishes); err != nil {
			return c.code
		}
		c.runAll(ctx, dishes)
	}
	return c.code
}

// read reads all dish files, unless ctx ends before: a terminal or a pipe may never end,
// and the reader that waits for it ends with the program.
func (c *command) read(ctx context.Context) (dishes []*dish, err error) {
	done := make(chan struct{})
	var all []*dish
	var fault error
	go func() {
		defer close(done)
		all, fault = read(c.files, c.in)
	}()
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case <-done:
		return all, fault
	}
}

func (c *command) rewritten(f *dishfile.File) {
	write := f.WriteTOML
	if c.rewrite == "json" {
		write = f.WriteJSON
	}
	if err := write(c.out); err != nil {
		c.complain(failed, err)
	}
}

// result is what comes of a dish: the text alone, since runs are large.
type result struct {
	page   string
	line   []string // of the summary
	faults []error
	code   int
}

// runAll runs the dishes, as many at a time as there are processors, and prints them in
// their order. Which runs beside which changes nothing in any of them.
func (c *command) runAll(ctx context.Context, dishes []*dish) {
	c.meter.start(dishes)
	next := make(chan int)
	done := make([]chan result, len(dishes))
	for i := range done {
		done[i] = make(chan result, 1)
	}
	for range min(runtime.GOMAXPROCS(0), len(dishes)) {
		go func() {
			for i := range next {
				done[i] <- c.runOne(ctx, i, dishes[i])
				c.meter.finish(i)
			}
		}()
	}
	go func() {
		for i := range dishes {
			next <- i
		}
		close(next)
	}()
	var lines [][]string
	for i, d := range dishes {
		r := <-done[i]
		c.code = gravest(c.code, r.code)
		if i > 0 && !c.quiet {
			c.say(c.out, "\n")
		}
		c.say(c.out, r.page)
		for _, err := range r.faults {
			c.complain(failed, fmt.Errorf("%s: %w", d.label, err))
		}
		lines = append(lines, r.line)
	}
	c.close(ctx, lines)
}

// close ends the output, after the last dish.
func (c *command) close(ctx context.Context, lines [][]string) {
	switch {
	case c.quiet:
		c.say(c.out, "Caution: "+safety.Caution+"\n")
	case len(lines) > 1:
		head := []string{"dish", "outcome", "time", "centre", "wishes", "safety"}
		c.say(c.out, "\nALL DISHES\n"+table(append([][]string{head}, lines...), "llrrll"))
	}
	if ctx.Err() != nil && c.code == interrupted {
		c.complain(interrupted, errors.New("interrupted; what was computed until then is above"))
	}
}

// runOne runs a dish, writes what is asked for and puts it into words.
func (c *command) runOne(ctx context.Context, i int, d *dish) result {
	if ctx.Err() != nil {
		return unrun(d, "not run: interrupted", interrupted)
	}
	o, err := d.file.Simulate(ctx, c.meter.of(i))
	if o == nil {
		r := unrun(d, "not run", badInput)
		r.faults = []error{err}
		return r
	}
	r := result{code: exitCode(o)}
	written, faults := c.write(d, o)
	if len(faults) > 0 {
		r.code = gravest(r.code, failed)
	}
	if err != nil { // what was computed could not be judged
		faults, r.code = append(faults, err), gravest(r.code, badInput)
	}
	r.faults = faults
	opt, left := c.options.of(d), c.leftOut(d, o)
	r.line = append([]string{d.label}, outcomeOf(o, opt)...)
	if c.quiet {
		r.page = fmt.Sprintf("%s: %s\n", d.label, verdictLine(o, opt))
		for _, why := range left {
			r.page += fmt.Sprintf("%s: left out: %s\n", d.label, why)
		}
		return r
	}
	r.page = page(d, o, written, left, opt)
	return r
}

func unrun(d *dish, why string, code int) result {
	return result{page: fmt.Sprintf("%s: %s\n", d.label, why), line: []string{d.label, why, "-", "-", "-", "-"}, code: code}
}

// exitCode is that of one dish.
func exitCode(o *dishfile.Outcome) int {
	code := fine
	if o.Stopped != nil {
		code = failed
		if _, ok := errors.AsType[*thermal.StageLimitError](o.Stopped); ok {
			code = offTarget
		}
		if _, ok := errors.AsType[*thermal.InterruptedError](o.Stopped); ok {
			code = interrupted
		}
	}
	if r := o.Report; r != nil && (r.Wishes == verdict.Fail || r.Safety == verdict.Fail) {
		code = gravest(code, missed)
	}
	return code
}
