package kinetics

import "fmt"

// InputError is a fault in what the caller gave: a run, a quantity, the result of
// an earlier run. Use errors.As to take it apart.
type InputError struct {
	Quantity string // empty if the fault is not in one
	Field    string
	Value    any
	Want     string
}

// Error gives one line that names the quantity, the value and what is wanted.
func (e *InputError) Error() string {
	return fmt.Sprintf("kinetics: %s%s %v, want %s", of(e.Quantity), e.Field, e.Value, e.Want)
}

// RateError says that a rate of the caller's own gave a value that cannot be
// integrated.
type RateError struct {
	Quantity    string
	Place       string  // in the dish
	Time        float64 // [s] since the start of the run, or soon before
	Temperature float64 // [°C]
	Rate        float64 // [-] in its own unit a second
	Want        string

	cell int
}

// Error names the quantity, the place, the time and the temperature.
func (e *RateError) Error() string {
	return fmt.Sprintf("kinetics: %s%s, %.4g s: rate %g at %.4g °C, want %s",
		of(e.Quantity), e.Place, e.Time, e.Rate, e.Temperature, e.Want)
}

func of(quantity string) string {
	if quantity == "" {
		return ""
	}
	return fmt.Sprintf("quantity %q: ", quantity)
}
