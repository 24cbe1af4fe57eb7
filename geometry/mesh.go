package geometry

import (
	"fmt"
	"math"
)

// Patch names a part of the outer surface that meets one medium.
type Patch string

// The patches of the one-dimensional shapes.
const (
	Underside Patch = "underside" // the first face of a slab
	Top       Patch = "top"       // the last face of a slab
	Side      Patch = "side"      // the curved surface of a cylinder
	Outside   Patch = "outside"   // both faces of a half slab, the surface of a sphere
)

// Cell is one control volume.
type Cell struct {
	Layer        int     // index into the layers the mesh was made from
	Volume       float64 // [m³]
	Node         float64 // [m] distance of the node from the centre (or from the underside of a slab)
	Inner, Outer float64 // [m] the same distance of the cell's two faces
}

// Face joins cells A and B. Its conductance is
//
//	1 / (HalfA/kA + HalfB/kB + Contact/Area)   [W/K]
type Face struct {
	A, B         int
	Area         float64 // [m²]
	Position     float64 // [m]
	HalfA, HalfB float64 // [1/m] resistance from node to face for a conductivity of 1 W/(m K)
	Contact      float64 // [m² K/W] contact resistance in the face
}

// Surface is an outer face of one cell.
type Surface struct {
	Cell     int
	Patch    Patch
	Area     float64 // [m²]
	Position float64 // [m]
	Half     float64 // [1/m] resistance from node to surface for a conductivity of 1 W/(m K)
	Contact  float64 // [m² K/W] resistance between the surface and what it meets (a wrapper, say)
}

// Mesh is a set of cells, the faces between them and the outer surfaces. In one
// dimension Faces[i] joins cells i and i+1.
type Mesh struct {
	Shape    Shape
	Layers   []Layer
	Cells    []Cell
	Faces    []Face
	Surfaces []Surface

	power   float64 // the volume within x goes as x to this power: 1, 2 or 3
	profile profile
}

// Flat says whether volume is proportional to distance, as in a slab, so that
// layers may be moved along it unchanged.
func (m *Mesh) Flat() bool { return m.power == 1 }

// VolumeBelow is the part [m³] of cell i that lies nearer than x [m] to the
// centre (or underside).
func (m *Mesh) VolumeBelow(i int, x float64) float64 {
	c := &m.Cells[i]
	in, out := math.Pow(c.Inner, m.power), math.Pow(c.Outer, m.power)
	return c.Volume * min(max((math.Pow(x, m.power)-in)/(out-in), 0), 1)
}

// Volume is the volume of all cells [m³].
func (m *Mesh) Volume() float64 {
	var v float64
	for _, c := range m.Cells {
		v += c.Volume
	}
	return v
}

// Span gives the first cell of a layer and the one past its last.
func (m *Mesh) Span(layer int) (first, end int) {
	for first < len(m.Cells) && m.Cells[first].Layer < layer {
		first++
	}
	for end = first; end < len(m.Cells) && m.Cells[end].Layer == layer; {
		end++
	}
	return first, end
}

// Extent is the distance [m] from the centre (or underside) to the outer face.
func (m *Mesh) Extent() float64 { return m.Cells[len(m.Cells)-1].Outer }

// Locate gives the cell that holds the place x [m] from the centre (or
// underside). A face belongs to the inner of its two cells.
func (m *Mesh) Locate(x float64) (int, error) {
	if !in(x, 0, m.Extent()*(1+1e-12)) {
		return 0, &Error{m.Shape.String(), "place", x, fmt.Sprintf("0 to %g m", m.Extent())}
	}
	lo, hi := 0, len(m.Cells)-1
	for lo < hi {
		mid := (lo + hi) / 2
		if x <= m.Cells[mid].Outer {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo, nil
}
