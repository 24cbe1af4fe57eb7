package quality

import (
	"fmt"
	"math"
)

// Term is one wish of a score: a value out of a Report and where you want it. Low
// and High may be infinite for a wish with one side.
type Term struct {
	Name   string
	Value  *float64 // [-] in its own unit; nil is not known
	Low    float64  // [-] in the value's unit: from here
	High   float64  // [-] to here it is as wished; not below Low
	Fade   float64  // [-] in the value's unit: how far outside nothing of the wish is left; above 0
	Weight float64  // [-] above 0, up to 1e6
}

// Scored is a score and what it is made of.
type Scored struct {
	Value *float64 `json:"value,omitempty"` // [-] 0 to 1; nil if a value is not known
	Parts []Part   `json:"parts"`
}

// Part is a term of a score.
type Part struct {
	Name   string   `json:"name"`
	Value  *float64 `json:"value,omitempty"` // [-] 0 to 1; nil if it is not known
	Weight float64  `json:"weight"`          // [-] of all, their sum is 1
}

// Score is the weighted mean of how well wishes are met,
//
//	Σ Weight·p / Σ Weight,   p = max(0, 1 - d/Fade)   [-]
//
// with d how far a value lies outside of Low to High. Nothing is built in: which
// values count, where they should be and how much they weigh is yours. One unknown
// value makes the score unknown. A faulty term gives an *InputError.
func Score(terms ...Term) (Scored, error) {
	if n := len(terms); n < 1 || n > 1000 {
		return Scored{}, &InputError{Field: "number of terms", Value: n, Want: "1 to 1000"}
	}
	var sum, whole float64
	for i := range terms {
		if err := terms[i].validate(); err != nil {
			return Scored{}, err
		}
		whole += terms[i].Weight
	}
	s := Scored{}
	known := true
	for _, t := range terms {
		part := Part{Name: t.Name, Weight: t.Weight / whole}
		if t.Value == nil {
			known = false
		} else {
			p := max(0, 1-max(0, t.Low-*t.Value, *t.Value-t.High)/t.Fade)
			part.Value = &p
			sum += part.Weight * p
		}
		s.Parts = append(s.Parts, part)
	}
	if known {
		sum = min(sum, 1) // whatever rounding does
		s.Value = &sum
	}
	return s, nil
}

func (t *Term) validate() error {
	fault := func(field string, v float64, want string) error {
		return &InputError{Place: fmt.Sprintf("term %q", t.Name), Field: field, Value: v, Want: want}
	}
	switch {
	case t.Value != nil && !(math.Abs(*t.Value) <= math.MaxFloat64):
		return fault("value", *t.Value, "a finite one, or nil if it is not known")
	case math.IsNaN(t.Low) || math.IsInf(t.Low, 1):
		return fault("low", t.Low, "a number, or -Inf")
	case !(t.High >= t.Low) || math.IsInf(t.High, -1):
		return fault("high", t.High, fmt.Sprintf("low (%g) or more", t.Low))
	case !(t.Fade > 0 && t.Fade <= math.MaxFloat64):
		return fault("fade", t.Fade, "above 0 and finite")
	case !(t.Weight > 0 && t.Weight <= 1e6):
		return fault("weight", t.Weight, "above 0, up to 1e6")
	}
	return nil
}
