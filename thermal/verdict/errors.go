package verdict

import "fmt"

// InputError is a fault in what is to be judged.
type InputError struct {
	Place string // such as `wish 2 (crisp)` or "run 1"
	Field string
	Value any
	Want  string
	Cause error // the error of the package that refused it, if any
}

// Error names the place, the field and what is wanted.
func (e *InputError) Error() string {
	if e.Cause != nil {
		return fmt.Sprintf("verdict: %s: %v", e.Place, e.Cause)
	}
	return fmt.Sprintf("verdict: %s: %s %v, want %s", e.Place, e.Field, e.Value, e.Want)
}

// Unwrap gives the cause.
func (e *InputError) Unwrap() error { return e.Cause }

// bound is a range that a number of a wish must lie in.
type bound struct {
	field  string
	value  float64
	lo, hi float64
}

// outside gives the first fault, or nil.
func outside(bounds ...bound) *InputError {
	for _, b := range bounds {
		if !(b.value >= b.lo && b.value <= b.hi) {
			return &InputError{Field: b.field, Value: b.value, Want: fmt.Sprintf("%g to %g", b.lo, b.hi)}
		}
	}
	return nil
}

// band checks a range of temperatures [°C].
func band(from, to float64) *InputError {
	if f := outside(bound{"from [°C]", from, -200, 1000}, bound{"to [°C]", to, -200, 1000}); f != nil {
		return f
	}
	if !(from < to) {
		return &InputError{Field: "to [°C]", Value: to, Want: fmt.Sprintf("more than from, %.4g", from)}
	}
	return nil
}
