package phasechange

import "fmt"

// Error is a fault in what a Relation is to be made from, or a state outside of
// what it covers. It names the food and the quantity.
type Error struct {
	Food     string
	Quantity string
	Value    any
	Want     string
}

// Error gives one line that names the food, the quantity and what is wanted.
func (e *Error) Error() string {
	return fmt.Sprintf("phasechange: food %q: %s %v, want %s", e.Food, e.Quantity, e.Value, e.Want)
}
