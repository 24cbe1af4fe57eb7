package main

import (
	"bufio"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/thawfront/thermal/chart"
	"example.com/thawfront/thermal/dishfile"
)

// output is a file that a dish gives.
type output struct {
	path string
	fill func(io.Writer) error
}

// outputs are the files asked for of a dish. What follows the label begins with a dot
// and is no ending of another's, so that no two dishes share a file. The outcome is nil
// as long as only the names are wanted.
func (c *command) outputs(d *dish, o *dishfile.Outcome) (out []output) {
	add := func(ending string, fill func(io.Writer) error) {
		out = append(out, output{filepath.Join(c.to, d.label+"."+ending), fill})
	}
	if c.csv {
		add("csv", func(w io.Writer) error { return writeCSV(w, newTimeline(d, o, c.options.of(d))) })
	}
	if c.json {
		add("run.json", func(w io.Writer) error { return o.WriteJSON(w) })
	}
	if c.pictures != "" && (o == nil || lasted(o) > 0) { // leftOut says so
		for _, name := range d.charts() {
			add(strings.ReplaceAll(name, " ", "-")+"."+string(c.pictures), func(w io.Writer) error { return c.picture(w, name, d, o) })
		}
	}
	return out
}

// leftOut says which pictures, or parts of them, are not there though they were asked for.
func (c *command) leftOut(d *dish, o *dishfile.Outcome) (why []string) {
	end := lasted(o)
	switch {
	case c.pictures == "":
		return nil
	case end == 0:
		return []string{"pictures (" + strings.Join(d.charts(), ", ") + "): no time passed in the dish that they could show"}
	case !slices.Contains(d.charts(), "profiles"):
		return nil
	}
	drawn, beyond := d.moments(o)
	if beyond == nil {
		return nil
	}
	text := fmt.Sprintf("profiles at %s: the dish came to %s only", strings.Join(beyond, ", "), hoursMinutesSeconds(end))
	if drawn == nil {
		text += "; five even moments are drawn instead"
	}
	return []string{text}
}

// prepare makes the folder, sees that it can be written to before time is spent on
// runs, and that no dish file would be overwritten.
func (c *command) prepare(dishes []*dish) error {
	if !c.writes() {
		return nil
	}
	dir := cmp.Or(c.to, ".")
	err := os.MkdirAll(dir, 0o777)
	if err == nil {
		err = try(dir)
	}
	if err != nil {
		c.complain(failed, fmt.Errorf("%w; nothing was run", err))
		return err
	}
	for _, d := range dishes {
		for _, x := range c.outputs(d, nil) {
			for _, in := range dishes {
				if same(x.path, in.path) {
					err := fmt.Errorf("%s is a dish file and would be overwritten: choose another folder with -to; nothing was run", in.path)
					c.complain(badInput, err)
					return err
				}
			}
		}
	}
	return nil
}

// try makes a file in a folder and takes it away again.
func try(dir string) error {
	f, err := os.CreateTemp(dir, ".bakecheck-*")
	if err != nil {
		return err
	}
	return errors.Join(f.Close(), os.Remove(f.Name()))
}

func same(a, b string) bool {
	x, err1 := os.Stat(a)
	y, err2 := os.Stat(b)
	return err1 == nil && err2 == nil && os.SameFile(x, y)
}

// write writes what is asked for of a dish; a file that fails does not keep the others.
func (c *command) write(d *dish, o *dishfile.Outcome) (written []string, faults []error) {
	if len(o.Runs) == 0 {
		return nil, nil
	}
	for _, x := range c.outputs(d, o) {
		if err := x.save(); err != nil {
			faults = append(faults, err)
			continue
		}
		written = append(written, x.path)
	}
	return written, faults
}

// save writes the file under another name and renames it, so that a file of that name
// is whole or as it was.
func (x *output) save() (err error) {
	part := fmt.Sprintf("%s.%d.part", x.path, os.Getpid())
	f, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = os.Remove(part) // the first error is the one to tell
		}
	}()
	w := bufio.NewWriter(f)
	if err = errors.Join(x.fill(w), w.Flush(), f.Close()); err != nil {
		return fmt.Errorf("%s: %w", x.path, err)
	}
	return os.Rename(part, x.path)
}

// maxLines bounds a CSV file: a mistyped interval must not fill a disk.
const maxLines = 1_000_000

// writeCSV writes the timeline with all its digits.
func writeCSV(w io.Writer, t *timeline) error {
	if n := t.end / t.every; n > maxLines {
		return fmt.Errorf("one line every %v would be %.0f lines, want at most %d", seconds(t.every), n, maxLines)
	}
	head := []string{"time_s", "stage"}
	for _, name := range t.names {
		head = append(head, name+" "+t.unit[len("°"):])
	}
	out := csv.NewWriter(w)
	_ = out.Write(append(head, "weight kg", "ice kg")) // Error tells what went wrong
	number := func(v float64) string {
		if math.IsNaN(v) {
			return ""
		}
		return strconv.FormatFloat(v, 'g', 7, 64)
	}
	for m := range t.each(t.every) {
		row := []string{strconv.FormatFloat(m.time, 'f', 3, 64), m.stage}
		for _, v := range m.values {
			row = append(row, number(v))
		}
		_ = out.Write(append(row, number(m.mass), number(m.ice)))
		if out.Error() != nil {
			break
		}
	}
	out.Flush()
	return out.Error()
}

// charts are the names of the pictures that a dish file asks for.
func (d *dish) charts() []string {
	if r := d.file.Report; r != nil && len(r.Charts) > 0 {
		return r.Charts
	}
	return []string{"layers", "section"}
}

// picture draws one of the charts.
func (c *command) picture(w io.Writer, name string, d *dish, o *dishfile.Outcome) error {
	look := &chart.Settings{Width: c.width, Fahrenheit: c.options.of(d).fahrenheit}
	if d.file.Title != "" {
		look.Title = d.file.Title + ": " + name
	}
	var drawn *chart.Chart
	var err error
	switch name {
	case "layers":
		drawn, err = chart.Layers(o.Runs, chart.Temperature, look)
	case "water":
		drawn, err = chart.Layers(o.Runs, chart.WaterContent, look)
	case "section":
		drawn, err = chart.Section(o.Runs, chart.Temperature, look)
	case "water section":
		drawn, err = chart.Section(o.Runs, chart.WaterContent, look)
	case "activity section":
		drawn, err = chart.Section(o.Runs, chart.WaterActivity, look)
	case "profiles":
		moments, _ := d.moments(o)
		drawn, err = chart.Profiles(o.Runs, chart.Temperature, moments, look)
	default:
		err = fmt.Errorf("unknown chart %q", name)
	}
	if err != nil {
		return err
	}
	return drawn.Write(w, c.pictures)
}

// moments are those of the profiles that the runs came to, and as written those beyond.
func (d *dish) moments(o *dishfile.Outcome) (out []time.Duration, beyond []string) {
	if d.file.Report == nil {
		return nil, nil
	}
	var end time.Duration
	for _, run := range o.Runs {
		end += run.Duration()
	}
	for _, m := range d.file.Report.Moments {
		if t := seconds(si(m)); t <= end {
			out = append(out, t)
		} else {
			beyond = append(beyond, string(m))
		}
	}
	return out, beyond
}
