package quality

import "fmt"

// InputError is a fault in what the caller gave. Use errors.As to take it apart.
type InputError struct {
	Place string // the layer, scale or term; empty if it is none of them
	Field string
	Value any
	Want  string
}

// Error gives one line that names the place, the value and what is wanted.
func (e *InputError) Error() string {
	place := e.Place
	if place != "" {
		place += ": "
	}
	return fmt.Sprintf("quality: %s%s %v, want %s", place, e.Field, e.Value, e.Want)
}
