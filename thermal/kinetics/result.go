package kinetics

import (
	"errors"
	"fmt"
	"iter"
	"math"
	"slices"
	"time"

	"example.com/thawfront/thermal"
)

// Result is what has become of quantities by the end of a run. It holds on to
// the run, for Series; as the result of an earlier run Follow takes no more from
// it than the values of the cells.
type Result struct {
	run           *thermal.Run
	grid          thermal.Grid
	quantities    []Quantity
	start, extent [][]float64 // by quantity and cell, at the two ends of the run
}

// Run is the run that was followed.
func (r *Result) Run() *thermal.Run { return r.run }

// Quantities lists what was followed.
func (r *Result) Quantities() []Quantity { return slices.Clone(r.quantities) }

// Cells gives the value [-] (in the quantity's unit) of every cell at the end of the
// run, in the order of State.Cells, or an *InputError.
func (r *Result) Cells(name string) ([]float64, error) {
	i, err := r.find(name)
	if err != nil {
		return nil, err
	}
	return r.values(i, r.extent[i], make([]float64, r.grid.Len())), nil
}

// At gives the value [-] (in the quantity's unit) at a place at the end of the run. Of a
// layer, the mean is that of the values by volume, the coldest is where least has
// happened and the hottest where most has, whatever their temperatures are now;
// for an OwnLaw that is its least and its greatest value. The surface counts as
// the outermost cell. A quantity that was not followed gives an *InputError, a
// place that is not in the dish a *thermal.UnknownPlaceError.
func (r *Result) At(name string, p thermal.Place) (float64, error) {
	i, err := r.find(name)
	if err != nil {
		return 0, err
	}
	return r.read(i, r.extent[i], p, make([]float64, r.grid.Len()))
}

// LayerValue sums up a quantity in a layer.
type LayerValue struct {
	Name              string
	Least, Mean, Most float64 // [-] in the quantity's unit, by cells, the mean by volume
}

// Layers sums up a quantity in every layer at the end of the run, in the order of
// the dish.
func (r *Result) Layers(name string) ([]LayerValue, error) {
	values, err := r.Cells(name)
	if err != nil {
		return nil, err
	}
	var out []LayerValue
	for _, layer := range r.grid.Layers() {
		v := LayerValue{Name: layer}
		var faults [3]error
		v.Least, faults[0] = r.grid.Read(thermal.ColdestOf(layer), values)
		v.Mean, faults[1] = r.grid.Read(thermal.MeanOf(layer), values)
		v.Most, faults[2] = r.grid.Read(thermal.HottestOf(layer), values)
		if err := errors.Join(faults[:]...); err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// Series gives the value [-] (in the quantity's unit) at a place, as At does, at the
// start of the run and at the end of each of the solver's steps. The quantity is
// integrated once more on the way: nothing but its start is kept.
func (r *Result) Series(name string, p thermal.Place) (iter.Seq2[time.Duration, float64], error) {
	i, err := r.find(name)
	if err != nil {
		return nil, err
	}
	scratch := make([]float64, r.grid.Len())
	if _, err := r.read(i, r.start[i], p, scratch); err != nil {
		return nil, err
	}
	return func(yield func(time.Duration, float64) bool) {
		scratch := make([]float64, r.grid.Len())
		t := newIntegral(r.quantities[i], slices.Clone(r.start[i]))
		e := newEngine(t)
		value := func() float64 {
			v, _ := r.read(i, t.extent, p, scratch) // the place has been found above
			return v
		}
		if !yield(0, value()) {
			return
		}
		for v := range r.run.Intervals() {
			if e.step(&v) != nil || e.flush() != nil {
				return // as it went well in Follow, the caller's rate has changed its mind
			}
			if !yield(time.Duration(math.Round((v.Start+v.Length)*1e9)), value()) {
				return
			}
		}
	}, nil
}

// read gives the value of quantity i at a place for extents by cell.
func (r *Result) read(i int, extent []float64, p thermal.Place, scratch []float64) (float64, error) {
	for _, layer := range r.grid.Layers() {
		if p == thermal.MeanOf(layer) {
			return r.grid.Read(p, r.values(i, extent, scratch))
		}
	}
	x, err := r.grid.Read(p, extent)
	return r.quantities[i].Law.value(x), err
}

func (r *Result) values(i int, extent, to []float64) []float64 {
	for j, x := range extent {
		to[j] = r.quantities[i].Law.value(x)
	}
	return to
}

// find gives the index of a quantity.
func (r *Result) find(name string) (int, error) {
	i := slices.IndexFunc(r.quantities, func(q Quantity) bool { return q.Name == name })
	if i < 0 {
		known := make([]string, len(r.quantities))
		for j, q := range r.quantities {
			known[j] = q.Name
		}
		return 0, &InputError{Field: "quantity", Value: fmt.Sprintf("%q", name), Want: fmt.Sprintf("one that was followed: %q", known)}
	}
	return i, nil
}
