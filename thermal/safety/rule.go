package safety

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Verdict is what a check finds.
type Verdict uint8

// The verdicts.
const (
	// CannotTell means that something is not known.
	CannotTell Verdict = iota
	// Fail means that the rule is not met, by the margin.
	Fail
	// Pass means that the rule is met by this history, with the margin to spare.
	Pass
	// NotApplicable means that the rule is for other foods or other handling.
	NotApplicable
)

var verdictNames = []string{"cannot tell", "fail", "pass", "does not apply"}

// String names the verdict: "cannot tell", "fail", "pass" or "does not apply".
func (v Verdict) String() string { return nameOf(verdictNames, uint8(v), "Verdict") }

// MarshalText gives what String gives.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText is the inverse of MarshalText; other words are a *FactError.
func (v *Verdict) UnmarshalText(text []byte) error {
	for i, name := range verdictNames {
		if name == string(text) {
			*v = Verdict(i)
			return nil
		}
	}
	return &FactError{"verdict", string(text), strings.Join(verdictNames[:], ", ")}
}

// gravity orders verdicts: the gravest of several stands for all.
func (v Verdict) gravity() int {
	switch v {
	case Fail:
		return 3
	case Pass:
		return 1
	case NotApplicable:
		return 0
	}
	return 2
}

// Step is a part of the way of a food from raw to served.
type Step uint8

// The steps.
const (
	OtherStep Step = iota
	Cooking
	Reheating
	Cooling
	Thawed // being thawed
	HeldHot
	HeldCold
	HeldByTime   // without control of the temperature
	EatenRaw     // frozen first, against parasites
	Pasteurising // by time at gentle heat
)

// Rule is a rule of a published code, or one of your own.
type Rule struct {
	Name   string // short, to find it by
	Code   string // the code it is in, or who issued it
	Number string // within the code
	Title  string
	Year   int    // of the edition
	Step   Step   // of which it speaks
	Words  string // what it asks for, in our words
	Source string // where its figures were read; "from memory" where they were not

	For     []Food   // the foods it is for; none means any
	Animals []Animal // what they come from; none means any
	Where   []Condition
	Surface bool // whether it looks at the outside of the piece only

	Criteria []Criterion // all must be met
}

// RuleError is a fault in a rule, or a name that is none.
type RuleError struct {
	Rule  string
	Field string
	Value any
	Want  string
	Cause error // the fault of a criterion, if any
}

// Error names the rule, the field and what is wanted.
func (e *RuleError) Error() string {
	if e.Cause != nil {
		return fmt.Sprintf("safety: rule %q: %v", e.Rule, e.Cause)
	}
	return fmt.Sprintf("safety: rule %q: %s %v, want %s", e.Rule, e.Field, e.Value, e.Want)
}

// Unwrap gives the cause.
func (e *RuleError) Unwrap() error { return e.Cause }

// Validate reports the first fault as a [*RuleError].
func (r *Rule) Validate() error {
	if len(r.Criteria) == 0 {
		return &RuleError{r.Name, "number of criteria", 0, "at least 1", nil}
	}
	for _, c := range r.Criteria {
		switch c.(type) {
		case Cook, Freeze, Stay, Exposure, Rise, Cool, ChillStart, OvenSetting, WaterSetting, Kill, Grow:
		default: // nil, or a pointer, which might be
			return &RuleError{r.Name, "criterion", fmt.Sprintf("%T", c), "a value of one of the package's criteria", nil}
		}
		if err := c.fault(); err != nil {
			return &RuleError{Rule: r.Name, Cause: err}
		}
	}
	for _, w := range r.Where {
		if w.Of == nil {
			return &RuleError{r.Name, "condition " + w.Name, "without a function", "a function", nil}
		}
	}
	return nil
}

// String quotes the rule.
func (r *Rule) String() string {
	return strings.TrimSpace(fmt.Sprintf("%s %s (%d), %s", r.Code, r.Number, r.Year, r.Title))
}

// Rules lists the published rules, as copies.
func Rules() []Rule { return slices.Concat(foodCodeRules(), inspectionRules()) }

// RulesOf lists the published rules that speak of one of the steps.
func RulesOf(steps ...Step) []Rule {
	return slices.DeleteFunc(Rules(), func(r Rule) bool { return !slices.Contains(steps, r.Step) })
}

// Find gives the rule of a name, or a [*RuleError] that lists the names.
func Find(name string) (Rule, error) {
	rules := Rules()
	names := make([]string, len(rules))
	for i, r := range rules {
		if names[i] = r.Name; r.Name == name {
			return r, nil
		}
	}
	return Rule{}, &RuleError{Rule: name, Field: "name", Value: fmt.Sprintf("%q", name), Want: fmt.Sprintf("one of %q", names)}
}

// MustFind is [Find] for names written in a program; it panics if there is none.
func MustFind(name string) Rule {
	r, err := Find(name)
	if err != nil {
		panic(err)
	}
	return r
}

// applies tells whether the rule is for the food, and what is not known of it.
func (r *Rule) applies(f *Facts) (Answer, []string) {
	answer := Yes
	var missing []string
	see := func(a Answer, fact string) {
		switch {
		case a == No:
			answer = No
		case a != Yes:
			missing = append(missing, fact)
			if answer == Yes {
				answer = Unknown
			}
		}
	}
	see(knownAs(f.Food, r.For), "what food it is")
	see(knownAs(f.Animal, r.Animals), "what animal it is of")
	for _, w := range r.Where {
		see(w.Of(*f), w.Name)
	}
	return answer, missing
}

// judge gives the finding of the rule over valid histories.
func (r *Rule) judge(histories []History, f *Facts) Finding {
	finding := Finding{Rule: r.Name, Code: r.Code, Number: r.Number, Title: r.Title, Year: r.Year, Words: r.Words, Source: r.Source, Caution: Caution}
	switch answer, missing := r.applies(f); {
	case answer == No:
		finding.Verdict, finding.Text = NotApplicable, "the rule is for other foods or other handling"
		return finding
	case answer != Yes:
		finding.Missing = missing
		finding.Text = "not known: " + strings.Join(missing, ", ")
		return finding
	}
	worst, place, seen := outcome{verdict: NotApplicable}, "", 0
	var latest *float64 // when the last place came to meet what it has to
	for _, c := range r.Criteria {
		of, at := outcome{verdict: NotApplicable}, ""
		for i := range histories {
			h := &histories[i]
			if r.Surface && !h.Surface {
				continue
			}
			seen++
			o := c.judge(h, f)
			if o.at != nil && (latest == nil || *o.at > *latest) {
				latest = o.at
			}
			if worse(of, o) != of {
				of, at = o, h.Place
			}
		}
		if of.verdict.gravity() > worst.verdict.gravity() {
			worst, place = of, at
		}
	}
	switch {
	case seen == 0 && r.Surface:
		finding.Text, finding.Missing = "no history is of the surface", []string{"the temperature of the surface"}
	case seen == 0:
		finding.Text, finding.Missing = "there is no history", []string{"the temperature of the food"}
	default:
		if worst.verdict == Pass {
			worst.at = latest
		}
		finding.fill(worst, place)
	}
	return finding
}

func (f *Finding) fill(o outcome, place string) {
	f.Verdict, f.Text, f.Place, f.Time, f.Unit = o.verdict, o.text, place, o.at, o.unit
	if o.unit != "" {
		f.Margin = &o.margin
	}
	if o.missing != "" {
		f.Missing = []string{o.missing}
	}
}

// worse gives the graver of two outcomes of one criterion, the first if they are
// alike. Without a margin a failure is graver than with one.
func worse(a, b outcome) outcome {
	left := func(o outcome) float64 {
		switch {
		case o.unit != "":
			return o.margin
		case o.verdict == Fail:
			return math.Inf(-1)
		}
		return math.Inf(1)
	}
	ga, gb := a.verdict.gravity(), b.verdict.gravity()
	if gb > ga || gb == ga && left(b) < left(a) {
		return b
	}
	return a
}
