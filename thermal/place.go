package thermal

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/thawfront/geometry"
)

// Place is where in a dish to look: a point, a part of the surface, or the coldest,
// hottest or mean of a layer.
type Place struct {
	kind  placeKind
	layer string
	at    float64
	y     float64 // of a point of a section
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
	point
	patch
)

// In a dish of two dimensions places that have one coordinate are on its middle line,
// along which a probe is pushed in: of a FiniteCylinder from the axis to the side at
// mid-length of the innermost layer, of a RollSection or Bar from the centre straight up,
// of a Tray up through the middle.

// Centre is the middle of the dish: the axis of a cylinder, the middle plane of
// a slab or half slab, half the height of a tray.
func Centre() Place { return Place{kind: centre} }

// Skin is the outermost surface of the dish; of a slab, its top. In two dimensions it
// is the point where the middle line ends.
func Skin() Place { return Place{kind: skin} }

// Depth is the point x [m] below the outermost surface, as a probe is pushed in.
func Depth(x float64) Place { return Place{kind: depth, at: x} }

// Within is the point at a fraction [-] of a layer's thickness: 0 its inner
// face, 1 its outer.
func Within(layer string, fraction float64) Place {
	return Place{kind: within, layer: layer, at: fraction}
}

// At is the point of a dish of two dimensions that lies x [m] from its axis or middle
// plane at the height y [m], as its shape counts it.
func At(x, y float64) Place { return Place{kind: point, at: x, y: y} }

// SkinOf is a part of the surface: its mean by area.
func SkinOf(p geometry.Patch) Place { return Place{kind: patch, layer: string(p)} }

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
	case point:
		return fmt.Sprintf("the point at %.6g mm and the height %.6g mm", p.at*1e3, p.y*1e3)
	case patch:
		return fmt.Sprintf("the surface of the %s", p.layer)
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
	first, end int // cells of the layer
	geometry.Point
	patch geometry.Patch
}

// each goes through the cells of a place, that of a point or those of a layer with their
// volumes, those below a patch with their share of it.
func (at *spot) each(m *geometry.Mesh, f func(cell int, weight float64)) {
	switch at.kind {
	case coldest, hottest, mean:
		for i := at.first; i < at.end; i++ {
			f(i, m.Cells[i].Volume)
		}
	case patch:
		for i := range m.Surfaces {
			if s := &m.Surfaces[i]; s.Patch == at.patch {
				f(s.Cell, s.Area)
			}
		}
	default:
		f(at.Cell, m.Cells[at.Cell].Volume)
	}
}

// resolve finds a place in a dish.
func (p Place) resolve(k *model) (spot, error) {
	m := k.mesh
	s := spot{kind: p.kind}
	extent := m.Extent()
	var x float64
	switch p.kind {
	case centre:
		if !k.mirrored() {
			x = extent / 2
		}
	case skin:
		x = extent
	case depth:
		x = extent - p.at
	case point:
		at, err := m.Find(p.at, p.y)
		if err != nil {
			known := err.Error()
			if g, ok := errors.AsType[*geometry.Error](err); ok {
				known = g.Want
			}
			return s, &UnknownPlaceError{p.String(), known}
		}
		s.Point = at
		return s, nil
	case patch:
		s.patch = geometry.Patch(p.layer)
		known := map[geometry.Patch]bool{}
		for _, f := range m.Surfaces {
			known[f.Patch] = true
		}
		if !known[s.patch] {
			return s, &UnknownPlaceError{p.String(), fmt.Sprint(sortedKeys(known))}
		}
		return s, nil
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
		in, out := m.Through(k.layer(p.layer))
		x = math.Min(in+p.at*(out-in), extent)
	}
	at, err := m.OnLine(x)
	if err != nil {
		return s, &UnknownPlaceError{p.String(), fmt.Sprintf("depths from 0 to %g mm", extent*1e3)}
	}
	if p.kind == within { // its faces belong to the layer, not to what lies below
		for at.Cell < s.first {
			at.Cell = m.Next(at.Cell, geometry.Outward)
		}
		for at.Cell >= s.end {
			at.Cell = m.Next(at.Cell, geometry.Inward)
		}
	}
	s.Point = at
	return s, nil
}
