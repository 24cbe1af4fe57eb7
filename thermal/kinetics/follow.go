package kinetics

import (
	"errors"
	"fmt"
	"slices"

	"example.com/thawfront/thermal"
)

// maxQuantities bounds what is followed at once.
const maxQuantities = 1000

// Follow integrates quantities over all cells of a run.
//
// In a chain of runs, before is what Follow gave for the earlier run, and nil at
// its head. It must have the same quantities, by name and law; its layers are
// recognised as thermal.From does, and layers that it did not have begin afresh.
//
// A fault of the input gives an *InputError, a dish that cannot be the earlier
// one's a *thermal.InputError, a rate of the caller's own that gives nonsense a
// *RateError.
func Follow(run *thermal.Run, before *Result, quantities ...Quantity) (*Result, error) {
	if run == nil || run.Grid().Len() == 0 {
		return nil, &InputError{Field: "run", Value: "none", Want: "a run from thermal.Simulate"}
	}
	if before != nil && before.run == run {
		return nil, &InputError{Field: "result of the earlier run", Value: "that of the run itself", Want: "another run's, or nil"}
	}
	if n := len(quantities); n == 0 || n > maxQuantities {
		return nil, &InputError{Field: "number of quantities", Value: n, Want: fmt.Sprintf("1 to %d", maxQuantities)}
	}
	r := &Result{run: run, grid: run.Grid(), quantities: slices.Clone(quantities)}
	integrals := make([]*integral, len(quantities))
	for i, q := range quantities {
		if err := q.check(); err != nil {
			return nil, err
		}
		if j, _ := r.find(q.Name); j != i {
			return nil, &InputError{Quantity: q.Name, Field: "name", Value: "given twice", Want: "one of its own"}
		}
		extent, err := r.begin(q, before)
		if err != nil {
			return nil, err
		}
		r.start = append(r.start, extent)
		integrals[i] = newIntegral(q, slices.Clone(extent))
		r.extent = append(r.extent, integrals[i].extent)
	}
	if err := r.integrate(newEngine(integrals...)); err != nil {
		return nil, err
	}
	return r, nil
}

// integrate takes an engine through the run.
func (r *Result) integrate(e *engine) error {
	var err error
	now := 0.0
	for v := range r.run.Intervals() {
		now = v.Start + v.Length
		if err = e.step(&v); err != nil {
			break
		}
	}
	if err == nil {
		err = e.flush()
	}
	if fault, is := errors.AsType[*RateError](err); is {
		fault.Place, fault.Time = r.grid.Where(fault.cell), now
	}
	return err
}

// begin gives the extent of a quantity in every cell at the start of the run.
func (r *Result) begin(q Quantity, before *Result) ([]float64, error) {
	if before == nil {
		extent := make([]float64, r.grid.Len())
		for i := range extent {
			extent[i] = q.Law.fresh()
		}
		return extent, nil
	}
	was, err := before.find(q.Name)
	if err != nil {
		return nil, err
	}
	// Functions count as the same if they stand in the same place of the source.
	if a, b := fmt.Sprintf("%#v", q.Law), fmt.Sprintf("%#v", before.quantities[was].Law); a != b {
		return nil, &InputError{Quantity: q.Name, Field: "law", Value: a, Want: "that of the earlier run, " + b}
	}
	extent, err := r.grid.Carry(before.grid, before.extent[was], q.Law.fresh())
	if err != nil {
		return nil, fmt.Errorf("kinetics: quantity %q: %w", q.Name, err)
	}
	return extent, nil
}
