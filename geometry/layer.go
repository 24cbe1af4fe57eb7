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
	Cells     int     // cells in this layer; 0 = a share of Resolution.Cells
}

// Grading says how cell sizes vary inside a layer.
type Grading uint8

// The gradings.
const (
	Graded  Grading = iota // small at interfaces and surfaces, growing away from them
	Uniform                // equal thickness within each layer
)

// DefaultCells is the cell count for Resolution.Cells = 0.
const DefaultCells = 120

// Resolution says how fine a mesh is. The zero value is a good default.
type Resolution struct {
	Cells   int     // cells in all, spread over the layers; default (0) = DefaultCells, 120
	Grading Grading // default Graded
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

// faces places the cell faces of all layers along the thickness, from 0
// outwards. mirrored says that the innermost face is a plane or point of
// symmetry, towards which no grading is wanted.
func faces(layers []Layer, r Resolution, mirrored bool) (x []float64, layer []int) {
	var whole float64
	for _, l := range layers {
		whole += l.Thickness
	}
	a := coarseness * whole
	if r.Grading == Uniform {
		a = math.Inf(1)
	}
	share := make([]float64, len(layers)) // each layer's call on cells
	for i, l := range layers {
		share[i] = newSpacing(l.Thickness, a, mirrored && i == 0).total
		if math.IsInf(a, 1) {
			share[i] = l.Thickness
		}
	}
	counts := apportion(layers, share, r.Cells)
	x = append(x, 0)
	var base float64
	for i, l := range layers {
		s := newSpacing(l.Thickness, a, mirrored && i == 0)
		for j := 1; j <= counts[i]; j++ {
			f := float64(j) / float64(counts[i])
			at := base + l.Thickness*f
			if !math.IsInf(a, 1) {
				at = base + s.at(f*s.total)
			}
			if j == counts[i] {
				at = base + l.Thickness // exact, whatever rounding did
			}
			x = append(x, at)
			layer = append(layer, i)
		}
		base += l.Thickness
	}
	return x, layer
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

// spacing maps a count of cells to a distance within one layer when the cell
// size grows as a + distance to the nearest graded face:
//
//	cells(s) = ∫ ds / (a + s)
type spacing struct {
	thickness, a, total float64
	mirrored            bool
}

func newSpacing(thickness, a float64, mirrored bool) spacing {
	s := spacing{thickness: thickness, a: a, mirrored: mirrored}
	if mirrored {
		s.total = math.Log1p(thickness / a)
	} else {
		s.total = 2 * math.Log1p(thickness/2/a)
	}
	return s
}

// at is the distance from the layer's inner face after c of its total.
func (s spacing) at(c float64) float64 {
	if s.mirrored {
		return s.thickness - s.a*math.Expm1(s.total-c)
	}
	if half := s.total / 2; c > half {
		return s.thickness - s.a*math.Expm1(s.total-c)
	}
	return s.a * math.Expm1(c)
}
