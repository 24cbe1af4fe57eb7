package safety

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Finding is what a rule finds in the histories of a food, at the worst place.
type Finding struct {
	Rule, Code, Number, Title string // of the rule
	Year                      int    // of the rule's edition
	Words                     string // what the rule asks for, in our words
	Source                    string // of the rule's figures

	Verdict Verdict
	Place   string   // the place that decides
	Time    *float64 `json:",omitempty"` // [s] when it was met, missed or nearest; nil if there is no one moment
	Margin  *float64 `json:",omitempty"` // [-] in Unit, negative if it fails; nil if there is none
	Unit    string   `json:",omitempty"` // K, s or log10
	Text    string   // what was found
	Missing []string `json:",omitempty"` // what is not known
	Caution string   // always [Caution]
}

// Check judges the histories of a food's places by rules. It gives one finding a rule, in their order. Faulty histories, facts or rules
// give a [*HistoryError], a [*FactError] or a [*RuleError] and no finding; no
// histories at all give findings that cannot tell.
func Check(histories []History, facts Facts, rules ...Rule) ([]Finding, error) {
	for i := range histories {
		if err := histories[i].Validate(); err != nil {
			return nil, err
		}
	}
	if err := facts.Validate(); err != nil {
		return nil, err
	}
	findings := make([]Finding, 0, len(rules))
	for i := range rules {
		if err := rules[i].Validate(); err != nil {
			return nil, err
		}
		findings = append(findings, rules[i].judge(histories, &facts))
	}
	return findings, nil
}

// Overall is the gravest verdict: [Fail] before [CannotTell] before [Pass]. With
// no finding that applies it is CannotTell.
func Overall(findings []Finding) Verdict {
	if len(findings) == 0 {
		return CannotTell
	}
	worst := slices.MaxFunc(findings, func(a, b Finding) int { return a.Verdict.gravity() - b.Verdict.gravity() }).Verdict
	if worst == NotApplicable {
		return CannotTell
	}
	return worst
}

// String gives the finding in a line, the caution included.
func (f Finding) String() string { return f.line() + " " + Caution }

// Text gives the findings a line each, then the caution.
func Text(findings []Finding) string {
	var b strings.Builder
	for _, f := range findings {
		b.WriteString(f.line() + "\n")
	}
	b.WriteString(Caution + "\n")
	return b.String()
}

func (f Finding) line() string {
	var b strings.Builder
	b.WriteString(f.Verdict.String())
	if f.Margin != nil {
		b.WriteString(f.by())
	}
	fmt.Fprintf(&b, ": %s %s (%d), %s: %s", f.Code, f.Number, f.Year, f.Title, f.Text)
	if f.Place != "" {
		fmt.Fprintf(&b, "; place: %s", f.Place)
	}
	if f.Time != nil {
		fmt.Fprintf(&b, "; at %s", span(*f.Time))
	}
	return b.String() + "."
}

// by writes the margin.
func (f Finding) by() string {
	size := math.Abs(*f.Margin)
	if f.Unit == "s" {
		return " by " + span(size)
	}
	if size < 9.95 {
		return fmt.Sprintf(" by %.2g %s", size, f.Unit)
	}
	return fmt.Sprintf(" by %.0f %s", size, f.Unit) // without a power of ten
}
