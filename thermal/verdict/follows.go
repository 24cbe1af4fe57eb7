package verdict

import (
	"fmt"
	"math"
	"slices"

	"example.com/thawfront/thermal"
)

// Two runs follow each other if what they share is alike within these bounds.
const (
	sameTemperature = 1.0  // [K] beyond what other cells make of it
	sameWater       = 1e-3 // of the layer's mass
)

// follows checks that a run begins as the one before ended.
func follows(place string, before, run *thermal.Run) error {
	end, start := before.End(), run.At(0)
	was, is, shared, brushed := end.Layers(), start.Layers(), false, run.Schedule[0].Brush != nil
	for j, l := range is {
		i := slices.IndexFunc(was, func(x thermal.LayerState) bool { return x.Name == l.Name })
		if i < 0 {
			continue
		}
		shared = true
		if brushed && (j == 0 || j == len(is)-1) {
			continue // what is brushed on as the run begins brings water and cools
		}
		lo, hi := mixed(cellsOf(end, l.Name), cellsOf(start, l.Name))
		if !(l.Mean >= lo-sameTemperature && l.Mean <= hi+sameTemperature && math.Abs(was[i].Water-l.Water) <= sameWater*was[i].Mass) {
			return &InputError{Place: place, Field: "start of " + l.Name, Value: fmt.Sprintf("%.4g °C, %.4g kg of water", l.Mean, l.Water),
				Want: fmt.Sprintf("as the run before left it, %.4g °C and %.4g kg", was[i].Mean, was[i].Water)}
		}
	}
	if !shared {
		return &InputError{Place: place, Field: "layers", Value: run.LayerNames(), Want: fmt.Sprintf("at least one of the run before, %v", before.LayerNames())}
	}
	return nil
}

func cellsOf(s *thermal.State, layer string) []thermal.CellState {
	return slices.DeleteFunc(s.Cells(), func(c thermal.CellState) bool { return c.Layer != layer })
}

// mixed bounds the mean temperature [°C] of a layer that goes from the cells that it had
// to others. Its energy and water are kept, its temperature need not be: where ice or
// steam is in some cells only, what they come to together is no mean of theirs. But each
// new cell stays between the coldest and the hottest of those it is made of and their
// neighbours, whose slopes it has. Cells are laid side by side by the volume before them.
func mixed(was, is []thermal.CellState) (lo, hi float64) {
	const rounding = 1e-9
	first, begin, at := 0, 0.0, 0.0 // [m³] before the first old cell of a new one, and before that
	for _, c := range is {
		slack := rounding * c.Volume
		for first < len(was)-1 && begin+was[first].Volume <= at+slack {
			begin += was[first].Volume
			first++
		}
		from, to, reached := first, first+1, begin+was[first].Volume
		for to < len(was) && reached < at+c.Volume-slack {
			reached += was[to].Volume
			to++
		}
		if same := to == from+1 && math.Abs(begin-at) <= slack && math.Abs(was[from].Volume-c.Volume) <= slack; !same {
			from, to = max(from-1, 0), min(to+1, len(was))
		}
		least, most := math.Inf(1), math.Inf(-1)
		for _, w := range was[from:to] {
			least, most = min(least, w.Temperature), max(most, w.Temperature)
		}
		lo, hi, at = lo+c.Volume*least, hi+c.Volume*most, at+c.Volume
	}
	return lo / at, hi / at
}
