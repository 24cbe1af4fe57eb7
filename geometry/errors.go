package geometry

import (
	"errors"
	"fmt"
)

// Error is a fault in a shape, a layer or a mesh setting. It names the place.
type Error struct {
	Place    string // such as `layer 2 ("crust")` or "cylinder"
	Quantity string // such as "thickness"
	Value    any    // what was given
	Want     string // what would be accepted
}

// Error gives one line that names the place, the value and what is wanted.
func (e *Error) Error() string {
	return fmt.Sprintf("geometry: %s: %s %v, want %s", e.Place, e.Quantity, e.Value, e.Want)
}

// LayerPlace names layer i (counted from 0) as users count: from 1, with its name.
func LayerPlace(i int, name string) string {
	if name == "" {
		return fmt.Sprintf("layer %d", i+1)
	}
	return fmt.Sprintf("layer %d (%q)", i+1, name)
}

// in reports whether lo <= v <= hi; it is false for NaN.
func in(v, lo, hi float64) bool { return v >= lo && v <= hi }

// faultList gathers the faults of a shape.
type faultList struct {
	shape  string
	faults []error
}

func (f *faultList) add(err error) {
	if err != nil {
		f.faults = append(f.faults, err)
	}
}

func (f *faultList) size(quantity string, v, lo, hi float64) {
	if !in(v, lo, hi) {
		f.add(&Error{f.shape, quantity, v, fmt.Sprintf("%g to %g", lo, hi)})
	}
}

func (f *faultList) joined() error { return errors.Join(f.faults...) }
