package geometry

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Bounds on what a mesh may be made of; they are checked before anything is
// allocated.
const (
	MaxLayers = 200
	MaxCells  = 20000

	minThickness = 1e-6 // [m] a film of a micrometre
	maxThickness = 5.0  // [m]
	minPerLayer  = 3    // cells: fewer cannot show a profile
)

// Layer is one layer of a shape, as far as geometry is concerned.
type Layer struct {
	Name      string
	Thickness float64 // [m] 1e-6 to 5
	Contact   float64 // [m² K/W] contact resistance on its outer face, towards the next layer or the medium; >= 0
	Cells     int     // cells in this layer, in two dimensions across its thickness; 0 = a share of Resolution.Cells
}

// Grading says how cell sizes vary inside a layer.
type Grading uint8

// The gradings.
const (
	Graded  Grading = iota // small at interfaces and surfaces, growing away from them
	Uniform                // equal thickness within each layer
)

// DefaultCells and DefaultPlaneCells are the cell counts for Resolution.Cells = 0, in
// one dimension and in two.
const (
	DefaultCells      = 120
	DefaultPlaneCells = 1600
)

// Resolution says how fine a mesh is. The zero value is a good default.
type Resolution struct {
	Cells   int     // cells in all, spread over the layers; default (0) = DefaultCells, 120, in two dimensions DefaultPlaneCells, 1600
	Grading Grading // default Graded
	// Ratio is that of the cells through the layers to those along them [-], 0.02 to
	// 50, in two dimensions; default (0): by the lengths, cells as large either way
	Ratio float64
}

// coarseness is the distance from a face at which the cell size has doubled, as a
// share of the whole thickness. One
// fifteenth puts about half of the cells of a typical roll in its outer quarter,
// where fronts and crusts are.
const coarseness = 1.0 / 15

// validate joins every fault of the layers and the resolution.
func validate(shape string, layers []Layer, r Resolution) error {
	var faults []error
	if len(layers) == 0 || len(layers) > MaxLayers {
		return &Error{shape, "number of layers", len(layers), fmt.Sprintf("1 to %d", MaxLayers)}
	}
	if r.Cells < 0 || r.Cells > MaxCells {
		faults = append(faults, &Error{shape, "cells", r.Cells, fmt.Sprintf("0 (default) to %d", MaxCells)})
	}
	if r.Grading > Uniform {
		faults = append(faults, &Error{shape, "grading", r.Grading, "Graded or Uniform"})
	}
	if r.Ratio != 0 && !in(r.Ratio, 0.02, 50) {
		faults = append(faults, &Error{shape, "ratio of cells", r.Ratio, "0 (default) or 0.02 to 50"})
	}
	total := 0
	for i, l := range layers {
		place := LayerPlace(i, l.Name)
		if !in(l.Thickness, minThickness, maxThickness) {
			faults = append(faults, &Error{place, "thickness [m]", l.Thickness, fmt.Sprintf("%g to %g", minThickness, maxThickness)})
		}
		if !in(l.Contact, 0, 1e3) {
			faults = append(faults, &Error{place, "contact resistance [m² K/W]", l.Contact, "0 to 1000"})
		}
		if l.Cells != 0 && (l.Cells < minPerLayer || l.Cells > MaxCells) {
			faults = append(faults, &Error{place, "cells", l.Cells, fmt.Sprintf("0 (default) or %d to %d", minPerLayer, MaxCells)})
			continue
		}
		total += l.Cells
	}
	if total > MaxCells {
		faults = append(faults, &Error{shape, "cells of all layers", total, fmt.Sprintf("at most %d", MaxCells)})
	}
	return errors.Join(faults...)
}

// zone is a stretch of cells along one axis.
type zone struct {
	Layer
	plainIn, plainOut bool // no grading is wanted towards that end, such as an axis of symmetry
}

// faces places the cell faces of all layers along the thickness, from 0
// outwards. mirrored says that the innermost face is a plane or point of
// symmetry, towards which no grading is wanted.
func faces(layers []Layer, r Resolution, mirrored bool) (x []float64, layer []int) {
	zones := make([]zone, len(layers))
	var whole float64
	for i, l := range layers {
		zones[i] = zone{Layer: l, plainIn: mirrored && i == 0}
		whole += l.Thickness
	}
	a := coarseness * whole
	if r.Grading == Uniform {
		a = math.Inf(1)
	}
	return rule(zones, a, apportion(layers, calls(zones, a), r.Cells))
}

// calls is each zone's call on cells, whose size doubles over the distance a [m].
func calls(zones []zone, a float64) []float64 {
	share := make([]float64, len(zones))
	for i, z := range zones {
		share[i] = newSpacing(z, a).total
		if math.IsInf(a, 1) {
			share[i] = z.Thickness
		}
	}
	return share
}

// rule places the faces of counts cells a zone, from 0, and says which zone each cell
// is in.
func rule(zones []zone, a float64, counts []int) (x []float64, in []int) {
	x = append(x, 0)
	var base float64
	for i, z := range zones {
		s := newSpacing(z, a)
		for j := 1; j <= counts[i]; j++ {
			f := float64(j) / float64(counts[i])
			at := base + z.Thickness*f
			if !math.IsInf(a, 1) {
				at = base + s.at(f*s.total)
			}
			if j == counts[i] {
				at = base + z.Thickness // exact, whatever rounding did
			}
			x = append(x, at)
			in = append(in, i)
		}
		base += z.Thickness
	}
	return x, in
}

// apportion gives each layer its own cell count, or a part of the remaining
// cells in proportion to its share, by largest remainder and at least minPerLayer.
func apportion(layers []Layer, share []float64, cells int) []int {
	if cells == 0 {
		cells = DefaultCells
	}
	counts := make([]int, len(layers))
	var sum float64
	var open []int
	for i, l := range layers {
		counts[i] = l.Cells
		cells -= l.Cells
		if l.Cells == 0 {
			open = append(open, i)
			sum += share[i]
		}
	}
	left := cells
	frac := make(map[int]float64, len(open))
	for _, i := range open {
		want := share[i] / sum * float64(max(cells, 0))
		counts[i] = max(minPerLayer, int(want))
		frac[i] = want - float64(counts[i])
		left -= counts[i]
	}
	slices.SortStableFunc(open, func(p, q int) int {
		switch {
		case frac[p] > frac[q]:
			return -1
		case frac[p] < frac[q]:
			return 1
		}
		return 0
	})
	for k := 0; left > 0 && len(open) > 0; k = (k + 1) % len(open) {
		counts[open[k]]++
		left--
	}
	return counts
}

// spacing maps a count of cells to a distance within one zone when the cell
// size grows as a + distance to the nearest graded face:
//
//	cells(s) = ∫ ds / (a + s)
type spacing struct {
	zone
	a, total float64
}

func newSpacing(z zone, a float64) spacing {
	s := spacing{zone: z, a: a}
	switch {
	case z.plainIn || z.plainOut: // both: even cells, as many as if it were graded
		s.total = math.Log1p(z.Thickness / a)
	default:
		s.total = 2 * math.Log1p(z.Thickness/2/a)
	}
	return s
}

// at is the distance from the zone's inner face after c of its total.
func (s spacing) at(c float64) float64 {
	switch {
	case s.plainIn && s.plainOut:
		return s.Thickness * (c / s.total)
	case s.plainIn || !s.plainOut && c > s.total/2:
		return s.Thickness - s.a*math.Expm1(s.total-c)
	}
	return s.a * math.Expm1(c)
}
