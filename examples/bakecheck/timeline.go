package main

import (
	"cmp"
	"fmt"
	"iter"
	"math"
	"slices"
	"time"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/dishfile"
)

// timeline is a chain of runs as lines of figures.
type timeline struct {
	runs   []*thermal.Run
	places []thermal.Place
	names  []string // of the places
	stages []string // of all runs, one after the other
	every  float64  // [s] from line to line
	end    float64  // [s] of the chain
	unit   string   // °C or °F
}

// moment is a line of the timeline.
type moment struct {
	time      float64 // [s] since the start of the chain
	stage     string
	ending    string    // how the stage ends there; else ""
	values    []float64 // [°C] or [°F], by place; NaN where the dish has no such place
	mass, ice float64   // [kg]
}

func newTimeline(d *dish, o *dishfile.Outcome, opt *options) *timeline {
	t := &timeline{runs: o.Runs, end: lasted(o), unit: "°C"}
	if opt.fahrenheit {
		t.unit = "°F"
	}
	for _, run := range o.Runs {
		for _, s := range run.Stages {
			t.stages = append(t.stages, cmp.Or(s.Name, fmt.Sprintf("stage %d", len(t.stages)+1)))
		}
	}
	t.every = evenly(t.end)
	if r := d.file.Report; r != nil {
		if r.Every != "" {
			t.every = si(r.Every)
		}
		for _, p := range r.Places {
			at, _ := p.Find() // the file has been checked
			t.see(string(p), at)
		}
	}
	if len(t.places) == 0 {
		t.see("centre", thermal.Centre())
		for i := range d.file.Layers {
			name := called(&d.file.Layers[i])
			t.see("mean of "+name, thermal.MeanOf(name))
		}
		t.see("surface", thermal.Skin())
	}
	return t
}

func (t *timeline) see(name string, p thermal.Place) {
	t.names, t.places = append(t.names, name), append(t.places, p)
}

// evenly is a round interval [s] that cuts a time into about twenty.
func evenly(end float64) float64 {
	steps := []float64{1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 4 * 3600, 6 * 3600, 12 * 3600, 24 * 3600}
	for _, s := range steps {
		if end/s <= 24 {
			return s
		}
	}
	return math.Ceil(end/20/86400) * 86400
}

// each walks through the lines: every so often, and at the end of each stage.
func (t *timeline) each(every float64) iter.Seq[moment] {
	return func(yield func(moment) bool) {
		begin, line, stage := 0.0, 0.0, 0
		for _, run := range t.runs {
			for _, s := range run.Stages {
				ends := begin + s.End.Seconds()
				for ; line*every < ends-0.5; line++ { // a line beside that of the end says nothing new
					if !yield(t.at(run, begin, line*every, t.stages[stage])) {
						return
					}
				}
				if line*every <= ends+0.5 {
					line++
				}
				m := t.at(run, begin, ends, t.stages[stage])
				m.ending = "end"
				if s.Reason.Early() {
					m.ending = "stopped"
				}
				if !yield(m) {
					return
				}
				stage++
			}
			begin += run.Duration().Seconds()
		}
	}
}

// at reads a run that began at a time of the chain.
func (t *timeline) at(run *thermal.Run, begin, now float64, stage string) moment {
	state := run.At(seconds(now - begin))
	m := moment{time: now, stage: stage, mass: state.Mass(), ice: state.Ice()}
	for _, p := range t.places {
		v, err := state.Temperature(p)
		switch {
		case err != nil: // a layer that is not on
			v = math.NaN()
		case t.unit == "°F":
			v = thermal.ToFahrenheit(v)
		}
		m.values = append(m.values, v)
	}
	return m
}

// maxShown bounds the lines of a printed timeline.
const maxShown = 400

// text is the timeline as a table. Events are told by the verdict.
func (t *timeline) text() string {
	every, note := t.every, ""
	if n := t.end / every; n > maxShown {
		every *= math.Ceil(n / maxShown)
		note = fmt.Sprintf("A line every %v would be %.0f lines: every %v is shown, -csv has all.\n", seconds(t.every), n, seconds(every))
	}
	moments := slices.Collect(t.each(every))
	icy := slices.ContainsFunc(moments, func(m moment) bool { return m.ice > 1e-9*m.mass })
	clock := func(s float64) string { return hoursMinutes(s) }
	head, form := []string{"time", "stage"}, "rl"
	unit := []string{"h:min", ""}
	if math.Mod(every, 60) != 0 {
		clock, unit[0] = hoursMinutesSeconds, "h:min:s"
	}
	for _, name := range t.names {
		head, unit, form = append(head, name), append(unit, t.unit), form+"r"
	}
	head, unit, form = append(head, "weight"), append(unit, "g"), form+"r"
	if icy {
		head, unit, form = append(head, "ice"), append(unit, "g"), form+"r"
	}
	rows := append(folded(head, slices.Repeat([]int{10}, len(head)), false), unit)
	for _, m := range moments {
		row := []string{clock(m.time), shortened(m.stage, 24)}
		if m.ending != "" {
			row[1] += ", " + m.ending
		}
		for _, v := range m.values {
			row = append(row, degrees(v))
		}
		row = append(row, fmt.Sprintf("%.1f", m.mass*1e3))
		if icy {
			row = append(row, fmt.Sprintf("%.1f", m.ice*1e3))
		}
		rows = append(rows, row)
	}
	return "TIMELINE\n" + table(rows, form) + note
}

func degrees(v float64) string {
	if math.IsNaN(v) {
		return "-"
	}
	return fmt.Sprintf("%.1f", math.Round(v*10)/10+0) // + 0: no -0.0
}

// seconds rounds s [s] to a Duration.
func seconds(s float64) time.Duration { return thermal.Hours(s / 3600) }

func hoursMinutes(s float64) string {
	m := int(math.Round(s / 60))
	return fmt.Sprintf("%d:%02d", m/60, m%60)
}

func hoursMinutesSeconds(s float64) string {
	n := int(math.Round(s))
	return fmt.Sprintf("%d:%02d:%02d", n/3600, n/60%60, n%60)
}

// si is a quantity of a dish file that was read, in its base unit.
func si(q interface{ SI() (float64, error) }) float64 {
	v, _ := q.SI()
	return v
}
