package verdict

import (
	"math"
	"reflect"
)

// Wish is something the cook wants: a [Served], [Done], [Rim], [Crisp], [Thawed],
// [Even], [Graded], [Colour], [Set],
// [Juicy], [Loss] or [Ready].
type Wish interface {
	// String puts the wish into words.
	String() string
	kind() string
	// fault says what is wrong with the wish for a dish.
	fault(*subject) *InputError
	// judge gives what is found, its kind and words aside.
	judge(*subject) Finding
	// mend says what to change if the wish fails, or nil.
	mend(*subject, *Finding) *ranked
}

// isNil says whether a wish is nil or a nil pointer to one.
func isNil(w Wish) bool {
	if w == nil {
		return true
	}
	v := reflect.ValueOf(w)
	return v.Kind() == reflect.Pointer && v.IsNil()
}

// ranked is a change with its place among the others.
type ranked struct {
	Change
	rank rank
}

// try fills in what is tried of a stage, counted from 0 with its run.
func (c *ranked) try(run, stage int, medium, longer *float64) {
	c.Try = &Try{Run: run + 1, Stage: stage + 1, Medium: medium, Longer: longer}
}

// rank orders changes, the first first.
type rank uint8

const (
	forEnd rank = iota // the schedule did not come to its end
	forSafety
	forDoneness
	forRim
	forCrust
	forJuice
	forTime
)

// measured is the finding of a value with a margin; one within rounding of its
// limit passes. A value or margin that is not a number cannot tell.
func measured(value, margin float64, unit, text string) Finding {
	if !finite(value) || !finite(margin) {
		return unknown(unit, "a number that could be computed")
	}
	f := Finding{Verdict: Pass, Value: &value, Margin: &margin, Unit: unit, Text: text}
	if margin < -1e-9 {
		f.Verdict = Fail
	}
	return f
}

// unknown is the finding of what is not known.
func unknown(unit string, missing ...string) Finding {
	return Finding{Verdict: CannotTell, Unit: unit, Text: "not known", Missing: missing}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// inBand is the margin of a value to a band, negative outside.
func inBand(v, from, to float64) float64 { return math.Min(v-from, to-v) }
