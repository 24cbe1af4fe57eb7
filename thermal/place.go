package thermal

import (
	"fmt"
	"math"
	"strings"
)

// Place is where in a dish to look: a point, or the coldest, hottest or mean of
// a layer.
type Place struct {
	kind  placeKind
	layer string
	at    float64
}

type placeKind uint8

const (
	centre placeKind = iota
	skin
	depth
	within
	coldest
	hottest
	mean
)

// Centre is the middle of the dish: the axis of a cylinder, the middle plane of
// a slab or half slab.
func Centre() Place { return Place{kind: centre} }

// Skin is the outermost surface of the dish; of a slab, its top.
func Skin() Place { return Place{kind: skin} }

// Depth is the point x [m] below the outermost surface, as a probe is pushed in.
func Depth(x float64) Place { return Place{kind: depth, at: x} }

// Within is the point at a fraction [-] of a layer's thickness: 0 its inner
// face, 1 its outer.
func Within(layer string, fraction float64) Place {
	return Place{kind: within, layer: layer, at: fraction}
}

// ColdestOf is the coldest of a layer, by cells and the dish's own surface.
func ColdestOf(layer string) Place { return Place{kind: coldest, layer: layer} }

// HottestOf is the hottest of a layer, by cells and the dish's own surface.
func HottestOf(layer string) Place { return Place{kind: hottest, layer: layer} }

// MeanOf is the mean temperature of a layer by volume.
func MeanOf(layer string) Place { return Place{kind: mean, layer: layer} }

// String puts the place into words.
func (p Place) String() string {
	switch p.kind {
	case centre:
		return "the centre"
	case skin:
		return "the surface"
	case depth:
		return fmt.Sprintf("%.6g mm below the surface", p.at*1e3)
	case within:
		return fmt.Sprintf("%.4g %% into %q", p.at*100, p.layer)
	case coldest:
		return fmt.Sprintf("the coldest of %q", p.layer)
	case hottest:
		return fmt.Sprintf("the hottest of %q", p.layer)
	}
	return fmt.Sprintf("the mean of %q", p.layer)
}

// spot is a place found in a mesh.
type spot struct {
	kind       placeKind
	first, end int     // cells of the layer
	x          float64 // [m]
	cell       int
}

// resolve finds a place in a dish.
func (p Place) resolve(k *model) (spot, error) {
	m := k.mesh
	s := spot{kind: p.kind}
	extent := m.Extent()
	switch p.kind {
	case centre:
		if !k.mirrored() {
			s.x = extent / 2
		}
	case skin:
		s.x = extent
	case depth:
		s.x = extent - p.at
	default:
		i := k.layer(p.layer)
		if i < 0 {
			return s, &UnknownPlaceError{p.String(), strings.Join(k.names, ", ")}
		}
		s.first, s.end = m.Span(i)
		if p.kind != within {
			return s, nil
		}
		if !inRange(p.at, 0, 1) {
			return s, &UnknownPlaceError{p.String(), "fractions of a layer from 0 to 1"}
		}
		in, out := m.Cells[s.first].Inner, m.Cells[s.end-1].Outer
		s.x = math.Min(in+p.at*(out-in), extent)
	}
	cell, err := m.Locate(s.x)
	if err != nil {
		return s, &UnknownPlaceError{p.String(), fmt.Sprintf("depths from 0 to %g mm", extent*1e3)}
	}
	s.cell = cell
	if p.kind == within { // its faces belong to the layer, not to what lies below
		s.cell = max(s.first, min(cell, s.end-1))
	}
	return s, nil
}
