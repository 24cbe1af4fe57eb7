package geometry

import (
	"fmt"
	"math"
	"slices"
)

// planeCoarseness is coarseness where a dish has two dimensions, as a share of the
// smaller way out. There are fewer cells to a direction there: with one fifteenth the
// inner ones of a long dish came to a sixth of its half length. With 1600 cells and
// anything from one fifteenth to a quarter, wrapped dishes end a bake of two to three
// hours within half a percent of the time of 10000; smooth problems are one and a
// half to twice as exact with a quarter.
const planeCoarseness = 1.0 / 6

// axis is one of the two directions of a plane mesh: zones that go out from its
// origin, and some that go back from it, which have negative coordinates.
type axis struct {
	out, back []stretch
	coarse    float64 // distance from a face over which cells double their size
	unit      float64 // [m] length of a unit of its coordinate
}

// stretch is a zone of an axis. A cell is of the later layer of its two zones, so that
// layers wrapped around each other share out the corners.
type stretch struct {
	zone
	layer int   // -1 if this axis has no say
	patch Patch // of the surface at the end of the other axis; "" where that is the same all along
}

// through is the layers from one on as stretches.
func through(layers []Layer, from int) []stretch {
	out := make([]stretch, 0, len(layers))
	for i := from; i < len(layers); i++ {
		out = append(out, stretch{zone: zone{Layer: layers[i]}, layer: i})
	}
	return out
}

// core is a stretch from a plane of symmetry, or from the middle, on.
func core(length float64, layer int) stretch {
	return stretch{zone: zone{Layer: Layer{Thickness: length}, plainIn: true}, layer: layer}
}

// reach is how far an axis goes.
func (a *axis) reach() float64 {
	var arms [2]float64
	for i, arm := range [2][]stretch{a.out, a.back} {
		for _, s := range arm {
			arms[i] += s.Thickness
		}
	}
	return max(arms[0], arms[1])
}

// zones lists the zones that go back, then those that go out.
func (a *axis) zones() []zone {
	var out []zone
	for _, s := range slices.Concat(a.back, a.out) {
		out = append(out, s.zone)
	}
	return out
}

// call is the axis' call on cells.
func (a *axis) call() (sum float64) {
	for _, c := range calls(a.zones(), a.coarse) {
		sum += c
	}
	if math.IsInf(a.coarse, 1) {
		sum *= a.unit
	}
	return sum
}

// counts shares cells out over the zones; the two sides of a dish that is the same on
// both get as many.
func (a *axis) counts(cells int) []int {
	zones := a.zones()
	layers := make([]Layer, len(zones))
	for i, z := range zones {
		layers[i] = z.Layer
	}
	n := apportion(layers, calls(zones, a.coarse), cells)
	for i := range a.back {
		for j := range a.out {
			if a.back[i] == a.out[j] {
				k := len(a.back) + j
				n[i] = max(n[i], n[k])
				n[k] = n[i]
			}
		}
	}
	return n
}

// tick is what a cell has from one axis.
type tick struct {
	stretch
	lo, hi float64
	zone   int     // counted outwards from the origin
	depth  float64 // share of its zone's cells that end with it, from the inner face on
}

// cut gives the cells of an axis, from the lowest coordinate up.
func (a *axis) cut(counts []int) (cells []tick, back int) {
	arm := func(zones []stretch, counts []int) (out []tick) {
		var plain []zone
		for _, s := range zones {
			plain = append(plain, s.zone)
		}
		x, in := rule(plain, a.coarse, counts)
		first := 0 // of the zone
		for i, z := range in {
			if i == 0 || in[i-1] != z {
				first = i
			}
			out = append(out, tick{stretch: zones[z], lo: x[i], hi: x[i+1], zone: z, depth: float64(i-first+1) / float64(counts[z])})
		}
		return out
	}
	cells = arm(a.back, counts[:len(a.back)])
	slices.Reverse(cells)
	for i := range cells {
		cells[i].lo, cells[i].hi = -cells[i].hi, -cells[i].lo
	}
	return append(cells, arm(a.out, counts[len(a.back):])...), len(cells)
}

// divide shares cells out over two axes and cuts them.
func divide(shape string, first, second *axis, r Resolution) (u, v []tick, backU, backV int, err error) {
	cells, ratio := r.Cells, r.Ratio
	if cells == 0 {
		cells = DefaultPlaneCells
	}
	if r.Grading == Uniform {
		first.coarse, second.coarse = math.Inf(1), math.Inf(1)
	}
	if ratio == 0 {
		ratio = min(max(first.call()/second.call(), 0.02), 50)
	}
	share := max(1, math.Round(math.Sqrt(float64(cells)*ratio)))
	n, k := first.counts(int(share)), second.counts(max(1, int(float64(cells)/share)))
	if a, b := total(n), total(k); float64(a)*float64(b) > MaxCells {
		return nil, nil, 0, 0, &Error{shape, "cells", fmt.Sprintf("%d by %d", a, b),
			fmt.Sprintf("at most %d in all; each layer takes %d or more either way", MaxCells, minPerLayer)}
	}
	u, backU = first.cut(n)
	v, backV = second.cut(k)
	return u, v, backU, backV, nil
}

func total(counts []int) (n int) {
	for _, c := range counts {
		n += c
	}
	return n
}
