package safety

import (
	"fmt"
	"math"
	"slices"

	"example.com/thawfront/thermal"
)

// LayerHistories gives the history of every cell of a layer along a chain of runs, in
// their order. Each run goes on from the one before it, as thermal.From makes it do;
// the cells are those of the last run, and the clock starts with the first. A
// layer that was added on the way has histories from then on only. The layer is
// taken as a piece by itself: its outermost cell counts as its surface, and its
// innermost too unless that is at the middle of the dish.
//
// A history lies within 0.01 K of the parabola through the start, the middle and the
// end of every step of the solver, which is held between each two of them; the
// warmest and the coldest of all are kept as they are. Where a cell thaws or begins to
// dry within a step, the parabola may be some tenths of a kelvin off Run.At for the
// time of that step. The surface counts as its outermost cell, which lags behind it:
// under fierce heat by up to two kelvins.
//
// No run, a run without cells, a layer that the last run does not have or one between
// them does not, and a layer whose mean begins a run more than 5 K outside of all that it
// had at the end of the one before give a [*HistoryError], dishes that cannot be one another's a
// *thermal.InputError.
func LayerHistories(layer string, runs ...*thermal.Run) ([]History, error) {
	c, err := newChain(runs)
	if err != nil {
		return nil, err
	}
	first, end := 0, 0
	for i := range c.layers {
		if c.layers[i] == layer {
			if end == 0 {
				first = i
			}
			end = i + 1
		}
	}
	if end == 0 {
		return nil, &HistoryError{layer, -1, "layer", fmt.Sprintf("%q", layer), fmt.Sprintf("one of %q", c.grid.Layers())}
	}
	return c.cells(first, end, first > 0 || c.twoFaced)
}

// DishHistories gives the history of every cell of the dish that the last run of a
// chain has, as [LayerHistories] does. The surface is that of the whole dish.
func DishHistories(runs ...*thermal.Run) ([]History, error) {
	c, err := newChain(runs)
	if err != nil {
		return nil, err
	}
	return c.cells(0, len(c.layers), c.twoFaced)
}

// PlaceHistory gives the history of one place of the dish that the last run of a chain
// has, as [LayerHistories] does and with its errors; a place that is not in the dish
// gives a *thermal.UnknownPlaceError. The coldest and the hottest of a layer may be
// another cell at any moment.
func PlaceHistory(place thermal.Place, runs ...*thermal.Run) (History, error) {
	c, err := newChain(runs)
	if err != nil {
		return History{}, err
	}
	if _, err := c.grid.Read(place, make([]float64, c.grid.Len())); err != nil {
		return History{}, fmt.Errorf("safety: %w", err)
	}
	line := thinner{History: History{Place: place.String(), Surface: place == thermal.Skin()}}
	err = c.follow(func(start, length float64, temps [3][]float64) {
		var at [3]float64
		for i := range temps {
			at[i], _ = c.grid.Read(place, temps[i]) // it has been found above
		}
		line.step(start, length, at[0], at[1], at[2])
	})
	return line.end(), err
}

// chain is runs that go on from one another, seen in the cells of the last.
type chain struct {
	runs     []*thermal.Run
	grid     thermal.Grid
	layers   []string // by cell
	twoFaced bool     // whether the innermost cell has an outer face, as in a slab
}

func newChain(runs []*thermal.Run) (*chain, error) {
	if len(runs) == 0 {
		return nil, &HistoryError{"chain", -1, "number of runs", 0, "at least 1"}
	}
	for i, r := range runs {
		if r == nil || r.Grid().Len() == 0 {
			return nil, &HistoryError{nameOfRun(i), -1, "run", "none", "a run from thermal.Simulate"}
		}
	}
	last := runs[len(runs)-1]
	c := &chain{runs: runs, grid: last.Grid()}
	counted := make([]float64, c.grid.Len())
	for i, cell := range last.At(0).Cells() {
		c.layers = append(c.layers, cell.Layer)
		counted[i] = float64(i)
	}
	// A slab has its middle amid its cells, other shapes in the first of them.
	middle, err := c.grid.Read(thermal.Centre(), counted)
	c.twoFaced = middle > 0
	return c, err
}

func nameOfRun(i int) string { return fmt.Sprintf("run %d of the chain", i+1) }

// cells gives the histories of some cells.
func (c *chain) cells(first, end int, innerFace bool) ([]History, error) {
	lines := make([]thinner, end-first)
	for i := range lines {
		lines[i].Place = c.grid.Where(first + i)
		lines[i].Surface = first+i == end-1 || innerFace && i == 0
	}
	err := c.follow(func(start, length float64, temps [3][]float64) {
		for i := range lines {
			lines[i].step(start, length, temps[0][first+i], temps[1][first+i], temps[2][first+i])
		}
	})
	if err != nil {
		return nil, err
	}
	out := make([]History, len(lines))
	for i := range lines {
		out[i] = lines[i].end()
	}
	return out, nil
}

// follow hands over the temperatures at the start, in the middle and at the end of
// every step of the chain, NaN in the cells of layers that are not there yet.
func (c *chain) follow(see func(start, length float64, temps [3][]float64)) error {
	clock := 0.0
	var before []float64 // at the end of the last run
	for i, r := range c.runs {
		carry := c.carrier(r)
		var temps [3][]float64
		now, steps := clock, 0
		var err error
		for v := range r.Intervals() {
			for j := range temps {
				if temps[j], err = carry(v.Temperature[j]); err != nil {
					return fmt.Errorf("safety: %s: %w", nameOfRun(i), err)
				}
			}
			if steps == 0 {
				if err = c.goesOn(i, before, temps[0]); err != nil {
					return err
				}
			}
			steps++
			see(clock+v.Start, v.Length, temps)
			now = clock + v.Start + v.Length
		}
		if steps == 0 { // its condition held from the start
			continue
		}
		before, clock = append(before[:0], temps[2]...), now
	}
	if before != nil {
		return nil
	}
	// no run lasted: the dish as it is
	var temps [3][]float64
	for _, cell := range c.runs[len(c.runs)-1].End().Cells() {
		temps[0] = append(temps[0], cell.Temperature)
	}
	temps[1], temps[2] = temps[0], temps[0]
	see(0, 0, temps)
	return nil
}

// carrier moves temperatures of a run to the cells of the last.
func (c *chain) carrier(r *thermal.Run) func([]float64) ([]float64, error) {
	theirs, ours := r.At(0).Cells(), c.runs[len(c.runs)-1].At(0).Cells()
	same := len(theirs) == len(ours)
	for i := 0; same && i < len(ours); i++ {
		same = theirs[i].Layer == ours[i].Layer && theirs[i].X == ours[i].X && theirs[i].Y == ours[i].Y && theirs[i].Volume == ours[i].Volume
	}
	if same {
		return func(t []float64) ([]float64, error) { return t, nil }
	}
	grid := r.Grid()
	return func(t []float64) ([]float64, error) { return c.grid.Carry(grid, t, math.NaN()) }
}

// leap is by how much [K] a layer's mean at the start of a run may lie outside of what
// the layer had at the end of the run before. Other cells keep its energy and mix what is
// in them: where ice or steam is in some of them only, the mean moves, but stays within;
// another pressure moves it a little. A guess.
const leap = 5.0

// goesOn checks that run i starts as the one before it ended.
func (c *chain) goesOn(i int, before, after []float64) error {
	if before == nil {
		return nil
	}
	left := c.runs[i-1].End().Layers()
	for _, layer := range c.grid.Layers() {
		was, err := c.grid.Read(thermal.MeanOf(layer), before)
		if err != nil {
			return err
		}
		is, err := c.grid.Read(thermal.MeanOf(layer), after)
		switch {
		case err != nil:
			return err
		case was == was && is != is:
			return &HistoryError{nameOfRun(i), -1, "layers", fmt.Sprintf("without %q", layer), "all that the runs before and after it have"}
		case leaps(left, layer, is) && c.runs[i].Schedule[0].Brush == nil:
			return &HistoryError{nameOfRun(i), -1, fmt.Sprintf("start of %q [°C]", layer), is, fmt.Sprintf("about %.4g, where the run before it ended", was)}
		}
	}
	return nil
}

// leaps says whether the mean of a layer is nowhere near what the layer had.
func leaps(left []thermal.LayerState, layer string, mean float64) bool {
	i := slices.IndexFunc(left, func(l thermal.LayerState) bool { return l.Name == layer })
	return i >= 0 && (mean < left[i].Coldest-leap || mean > left[i].Hottest+leap)
}
