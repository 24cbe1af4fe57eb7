package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/dishfile"
	"example.com/thawfront/thermal/safety"
	"example.com/thawfront/thermal/verdict"
)

// pageWidth is that of the verdict's text.
const pageWidth = 100

// page puts what became of a dish into words. Of the verdict's text everything stands
// there once: what happened and how stages ended is not told by the timeline again.
func page(d *dish, o *dishfile.Outcome, written, left []string, opt *options) string {
	var b strings.Builder
	b.WriteString(heading(d))
	b.WriteString(paragraph("", "OUTCOME: "+verdictLine(o, opt)+"."))
	if o.Stopped != nil {
		b.WriteString(paragraph("", whyStopped(o)))
	}
	if len(o.Runs) > 0 && o.Stopped == nil && lasted(o) == 0 {
		b.WriteString(paragraph("", "Nothing happened: the target of every stage was met as it began."))
	}
	if d.fries() {
		b.WriteString(paragraph("", "Caution: "+hotOil))
	}
	if len(o.Runs) > 0 {
		b.WriteString("\n" + newTimeline(d, o, opt).text() + "\n")
	}
	if o.Report != nil {
		if opt.fahrenheit {
			b.WriteString("What follows is in °C.\n\n")
		}
		b.WriteString(o.Report.Text())
	} else {
		b.WriteString(safety.Caution + "\n")
	}
	if opt.explain {
		b.WriteString("\n" + explained(d))
	}
	if len(written) > 0 {
		b.WriteString("\nWRITTEN\n" + strings.Join(written, "\n") + "\n")
	}
	if len(left) > 0 {
		b.WriteString("\nLEFT OUT\n" + strings.Join(left, "\n") + "\n")
	}
	return b.String()
}

// readPage is what there is to say of a dish that is only read.
func readPage(d *dish, opt *options) string {
	if opt.explain {
		return heading(d) + explained(d)
	}
	return fmt.Sprintf("%s: nothing wrong; layers: %d, stages: %d, checks: %d, safety: %d\n",
		d.title(), len(d.file.Layers), len(d.file.Stages), len(d.file.Checks), len(d.file.Safety))
}

// heading says what the dish is and what is done with it.
func heading(d *dish) string {
	var b strings.Builder
	title := d.title()
	b.WriteString(title + "\n" + strings.Repeat("=", min(len([]rune(title)), pageWidth)) + "\n")
	if d.file.Note != "" {
		b.WriteString(paragraph("", d.file.Note))
	}
	b.WriteString(paragraph("  ", "Dish: "+inShort(d.file)))
	var stages []string
	for i := range d.file.Stages {
		s := &d.file.Stages[i]
		stages = append(stages, fmt.Sprintf("%s (%s)", cmp.Or(s.Name, fmt.Sprintf("stage %d", i+1)), around(s)))
	}
	b.WriteString(paragraph("  ", "Stages: "+strings.Join(stages, "; ")+"."))
	return b.String() + "\n"
}

// inShort is a dish as its author measured it.
func inShort(f *dishfile.File) string {
	shape := f.Shape.Kind
	if f.Shape.Length != "" {
		shape += " of " + string(f.Shape.Length)
	}
	if f.Shape.Area != "" {
		shape += " of " + string(f.Shape.Area)
	}
	if f.Shape.Width != "" {
		shape += ", " + string(f.Shape.Width) + " wide"
	}
	if f.Shape.ContactWidth != "" {
		shape += " on a contact " + string(f.Shape.ContactWidth) + " wide"
	}
	shape += closed("bottom", f.Shape.Bottom)
	if f.Shape.Half {
		shape += closed("both ends", f.Shape.Top)
	} else {
		shape += closed("top", f.Shape.Top)
	}
	from := "from the centre outwards"
	if f.Shape.Kind == "slab" || f.Shape.Kind == "tray" {
		from = "from the bottom up"
	}
	var layers []string
	for i := range f.Layers {
		l := &f.Layers[i]
		text := string(l.Thickness) + " " + called(l)
		var more []string
		if called(l) != l.Food {
			more = append(more, l.Food)
		}
		if l.Start != "" {
			more = append(more, "at "+string(l.Start))
		}
		if l.Joins != "" {
			more = append(more, "put on for "+l.Joins)
		}
		if l.Leaves != "" {
			more = append(more, "taken off for "+l.Leaves)
		}
		if more != nil {
			text += " (" + strings.Join(more, "; ") + ")"
		}
		layers = append(layers, text)
	}
	start := ""
	if f.Start != "" {
		start = "; starting at " + string(f.Start)
	}
	return fmt.Sprintf("%s, %s: %s%s.", shape, from, strings.Join(layers, "; "), start)
}

// closed says which layers close an end of a dish.
func closed(which string, end []dishfile.End) string {
	var layers []string
	for _, e := range end {
		layers = append(layers, string(e.Thickness)+" "+e.Layer)
	}
	if layers == nil {
		return ""
	}
	return ", " + which + " closed by " + strings.Join(layers, " and ")
}

func called(l *dishfile.Layer) string { return cmp.Or(l.Name, l.Food) }

// around is what surrounds the dish in a stage.
func around(s *dishfile.Stage) string {
	var all []string
	if s.Medium != nil {
		all = append(all, medium(s.Medium))
	}
	for _, p := range patches(s) {
		m := s.Patches[p]
		all = append(all, p+" "+medium(&m))
	}
	return strings.Join(all, ", ")
}

func patches(s *dishfile.Stage) (names []string) {
	for p := range s.Patches {
		names = append(names, p)
	}
	slices.Sort(names)
	return names
}

func medium(m *dishfile.Medium) string {
	text := m.Kind
	if m.Temperature != "" {
		text += " " + string(m.Temperature)
	}
	if n := len(m.Course); n > 0 {
		text += fmt.Sprintf(" from %s to %s", m.Course[0].Temperature, m.Course[n-1].Temperature)
	}
	if m.Appliance == "" {
		return text
	}
	text = m.Appliance
	switch {
	case m.Kind == "tray":
		text = "on the tray of " + text
	case m.Off:
		text += " off"
	default:
		text += " set to " + string(m.SetPoint)
	}
	if n := len(m.Door); n > 0 {
		text += fmt.Sprintf(", its door opened %d×", n)
	}
	return text
}

const hotOil = "wet, icy or frozen food in hot oil makes it spatter and boil over. Dry the food, lower it in slowly, " +
	"fill the pan by half at most, never leave it, and keep water away from it."

// fries says whether the dish meets hot oil.
func (d *dish) fries() bool {
	for i := range d.file.Stages {
		s := &d.file.Stages[i]
		if s.Medium != nil && d.oil(s.Medium) {
			return true
		}
		for _, m := range s.Patches {
			if d.oil(&m) {
				return true
			}
		}
	}
	return false
}

// oil says whether a medium is hot oil.
func (d *dish) oil(m *dishfile.Medium) bool {
	return m.Kind == "oil" || slices.ContainsFunc(d.file.Appliances, func(a dishfile.Appliance) bool {
		return a.Name == m.Appliance && a.Preset == "fryer"
	})
}

// verdictLine is the outcome in a line.
func verdictLine(o *dishfile.Outcome, opt *options) string {
	s := outcomeOf(o, opt)
	return fmt.Sprintf("%s after %s, centre at %s; wishes: %s; safety: %s", s[0], s[1], s[2], s[3], s[4])
}

// lasted is how long a chain took [s].
func lasted(o *dishfile.Outcome) (end float64) {
	for _, run := range o.Runs {
		end += run.Duration().Seconds()
	}
	return end
}

// outcomeOf gives how the chain ended, when, its centre, wishes and safety.
func outcomeOf(o *dishfile.Outcome, opt *options) []string {
	how := "finished"
	switch exitCode(&dishfile.Outcome{Stopped: o.Stopped}) {
	case offTarget:
		how = "stopped at a limit"
	case interrupted:
		how = "interrupted"
	case failed:
		how = "failed"
	}
	out := []string{how, "0:00", "-", "not judged", "not judged"}
	out[1] = hoursMinutes(lasted(o))
	if n := len(o.Runs); n > 0 {
		t, _ := o.Runs[n-1].End().Temperature(thermal.Centre()) // every dish has one
		out[2] = fmt.Sprintf("%.1f °C", t)
		if opt.fahrenheit {
			out[2] = fmt.Sprintf("%.1f °F", thermal.ToFahrenheit(t))
		}
	}
	if r := o.Report; r != nil {
		out[3] = wishes(r)
		out[4] = string(r.Safety)
		if len(r.Checks) == 0 {
			out[4] += " (no rules given)"
		}
	}
	return out
}

// wishes sums up what became of the wishes.
func wishes(r *verdict.Report) string {
	n := map[verdict.Verdict]int{}
	for _, f := range r.Findings {
		n[f.Verdict]++
	}
	all := len(r.Findings)
	switch {
	case all == 0:
		return "none"
	case r.Wishes == verdict.Fail:
		unknown := ""
		if u := n[verdict.CannotTell]; u > 0 {
			unknown = fmt.Sprintf(", cannot tell %d", u)
		}
		return fmt.Sprintf("fail (%d of %d%s)", n[verdict.Fail], all, unknown)
	case r.Wishes == verdict.CannotTell:
		return fmt.Sprintf("cannot tell (%d of %d)", n[verdict.CannotTell], all)
	}
	return fmt.Sprintf("pass (all %d)", all)
}

// whyStopped says why the chain ended early.
func whyStopped(o *dishfile.Outcome) string {
	stage := 0 // of the file, counted from 1
	for _, run := range o.Runs {
		stage += len(run.Stages)
	}
	if e, ok := errors.AsType[*thermal.StageLimitError](o.Stopped); ok {
		return fmt.Sprintf("Stage %d%s met its limit of %v before %s (short by %.3g). What comes after it was not run.",
			stage, inQuotes(e.Name), e.Limit, e.Until, -e.Margin)
	}
	if e, ok := errors.AsType[*thermal.InterruptedError](o.Stopped); ok {
		return fmt.Sprintf("Interrupted in stage %d%s: what was computed until then follows.", stage, inQuotes(e.Name))
	}
	return fmt.Sprintf("The chain ended early: %v.", o.Stopped)
}

func inQuotes(name string) string {
	if name == "" {
		return ""
	}
	return fmt.Sprintf(" (%q)", name)
}

// explained lists where each number comes from.
func explained(d *dish) string {
	values, err := d.file.Explain()
	if err != nil { // of a file that was read, which is right
		return fmt.Sprintf("Where numbers come from cannot be told: %v\n", err)
	}
	var b strings.Builder
	b.WriteString("WHERE EACH NUMBER COMES FROM\n")
	var rows [][]string
	for _, v := range values {
		rows = append(rows, folded([]string{v.Key, v.Value, v.From}, []int{42, 34, 44}, true)...)
	}
	b.WriteString(table(rows, "lll"))
	return b.String()
}

// paragraph breaks words into the lines of the page; all but the first are set in.
func paragraph(indent, text string) string {
	return strings.Join(lines(text, pageWidth-len(indent)), "\n"+indent) + "\n"
}
