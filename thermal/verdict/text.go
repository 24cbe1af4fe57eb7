package verdict

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// Text puts the report into words for cooks. The caution is always among them.
func (r *Report) Text() string {
	t := &text{}
	t.happened(r)
	t.came(r)
	t.done(r)
	t.wishes(r)
	t.safety(r)
	t.changes(r)
	return t.String()
}

// String is Text.
func (r *Report) String() string { return r.Text() }

type text struct{ strings.Builder }

func (t *text) line(format string, args ...any) { fmt.Fprintf(t, format+"\n", args...) }

// width is that of a line of text.
const width = 100

// item writes words over as many lines as they need, all but the first set in.
func (t *text) item(indent, format string, args ...any) {
	column := 0
	for i, word := range strings.Fields(fmt.Sprintf(format, args...)) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
			t.WriteString(indent)
			column = len(indent)
		case column+1+n > width:
			t.WriteString("\n  " + indent)
			column = len(indent) + 2
		default:
			t.WriteByte(' ')
			column++
		}
		t.WriteString(word)
		column += n
	}
	t.WriteByte('\n')
}

func (t *text) heading(words string) { t.line("\n%s", words) }

// clock writes seconds as hours and minutes.
func clock(s float64) string {
	m := math.Round(s / 60)
	return fmt.Sprintf("%.0f:%02.0f", math.Floor(m/60), m-60*math.Floor(m/60))
}

func (t *text) happened(r *Report) {
	t.line("WHAT HAPPENED (hours:minutes from the start)")
	for _, m := range r.Timeline {
		t.line("%7s  %s", clock(m.Time), m.Text)
	}
	t.line("%7s  the end", clock(r.Duration))
	t.heading("STAGES, each at its end")
	t.line("%7s  %-24s %8s %8s %8s %9s %8s", "until", "stage", "medium", "centre", "surface", "weight", "ice")
	for i, s := range r.Stages {
		name := s.Name
		if name == "" {
			name = fmt.Sprintf("stage %d", i+1)
		}
		t.line("%7s  %-24s %8s %8s %8s %9s %8s", clock(s.End), name, deg(s.Medium), deg(s.Centre), deg(s.Surface), grams(s.Mass), grams(s.Ice))
		if s.Early {
			t.line("%7s  it ended early: %s", "", s.Ended)
		}
	}
}

func (t *text) came(r *Report) {
	e := &r.End
	t.heading("HOW IT CAME OUT")
	t.line("%-16s %8s %8s %8s %16s %9s", "layer", "coldest", "mean", "hottest", "hottest ever", "water")
	for _, l := range e.Layers {
		t.line("%-16s %8s %8s %8s %16s %9s", l.Name, deg(l.Coldest), deg(l.Mean), deg(l.Hottest),
			fmt.Sprintf("%.0f to %s", l.Least, deg(l.Peak)), signed(l.Gained))
	}
	known := ""
	if !e.LostKnown {
		known = ", as far as it is known: where water stands still only boiling counts"
	}
	t.line("It weighs %s and has %s%s.", grams(e.Mass), lostOrGained(e.Lost, e.LostShare), known)
	if e.Ice > noIce*e.Mass {
		t.line("%s of ice are left.", grams(e.Ice))
	}
}

func signed(kg float64) string {
	if kg > 0 {
		return "+" + grams(kg)
	}
	return grams(kg)
}

// done says how done the layers are, as far as package quality knows.
func (t *text) done(r *Report) {
	if r.Quality == nil { // read from data that lack it
		return
	}
	for _, l := range r.Quality.Layers {
		for _, d := range l.Doneness {
			var shares []string
			for _, b := range d.Bands {
				if b.Share > 5e-4 {
					shares = append(shares, fmt.Sprintf("%s %s", percent(b.Share), b.Name))
				}
			}
			if shares != nil {
				t.item("", "%s, by %s (%s): %s.", l.Name, d.Scale, d.Source, strings.Join(shares, ", "))
			}
		}
	}
}

// wishes lists the findings of one verdict after the other.
func (t *text) wishes(r *Report) {
	for _, group := range []struct {
		verdict Verdict
		words   string
	}{{Pass, "WHAT IS RIGHT"}, {Fail, "WHAT IS NOT"}, {CannotTell, "WHAT CANNOT BE TOLD"}} {
		first := true
		for _, f := range r.Findings {
			if f.Verdict != group.verdict {
				continue
			}
			if first {
				t.heading(group.words)
				first = false
			}
			t.item("", "- %s: %s%s.", f.Wish, f.Text, margin(f.Verdict, f.Margin, f.Unit))
			t.missing(f.Missing, f.Text)
		}
	}
	if len(r.Findings) == 0 {
		t.heading("NOTHING WAS WISHED FOR, so nothing is right or wrong.")
	}
}

// margin says by how much a wish or a rule is met or missed.
func margin(v Verdict, by *float64, unit string) string {
	switch {
	case by == nil || *by == 0:
		return ""
	case v == Pass:
		return fmt.Sprintf(", with %s to spare", amount(math.Abs(*by), unit))
	case v == Fail:
		return fmt.Sprintf(", missed by %s", amount(math.Abs(*by), unit))
	}
	return ""
}

// missing lists what is not known, unless the finding has said so.
func (t *text) missing(what []string, said string) {
	for _, m := range what {
		if !strings.Contains(said, m) {
			t.item("  ", "not known: %s", m)
		}
	}
}

// safety lists the rules that are not met, those that cannot tell and those that are.
func (t *text) safety(r *Report) {
	t.heading(fmt.Sprintf("SAFETY: %s", strings.ToUpper(string(r.Safety))))
	for _, verdict := range []Verdict{Fail, CannotTell, Pass} {
		for i := range r.Checks {
			if r.Checks[i].Verdict == verdict {
				t.check(&r.Checks[i])
			}
		}
	}
	if len(r.Unjudged) > 0 {
		t.line("No rule was applied to %s.", list(r.Unjudged, "and"))
	}
	t.line("%s", r.Caution) // in one piece, so that it can be found
}

func (t *text) check(c *Check) {
	t.item("", "- %s, %s %s (%d), %s: %s, %s%s.", c.Layer, c.Code, c.Number, c.Year, c.Title, c.Verdict, c.Text, margin(c.Verdict, c.Margin, c.Unit))
	if c.Place != "" {
		at := ""
		if c.Time != nil {
			at = ", " + clock(*c.Time) + " from the start"
		}
		t.item("  ", "decided at %s%s", c.Place, at)
	}
	t.missing(c.Missing, c.Text)
}

func (t *text) changes(r *Report) {
	if len(r.Changes) == 0 {
		return
	}
	t.heading("WHAT TO CHANGE FIRST")
	for i, c := range r.Changes {
		t.item("", "%d. %s.", i+1, capital(c.Do))
		t.item("   ", "For: %s.", strings.Join(c.For, "; "))
		t.item("   ", "Why: %s.", c.Why)
		for _, e := range c.Else {
			t.item("   ", "Or: %s.", e)
		}
	}
	t.line("These are rules of thumb. Change one thing, compute again, and judge again.")
}

// capital begins a sentence.
func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
