package geometry

import (
	"fmt"
	"math"
	"sort"
)

// Patch names a part of the outer surface that meets one medium.
type Patch string

// The patches of the shapes.
const (
	Underside Patch = "underside" // the first face of a slab or tray, the lower of a bar or standing cylinder
	Top       Patch = "top"       // the last face of a slab or tray, the upper of a bar or standing cylinder, the upper half of a roll
	Side      Patch = "side"      // the curved surface of a cylinder, of a roll the lower half; both sides of a bar
	Outside   Patch = "outside"   // both faces of a half slab, the surface of a sphere
	Ends      Patch = "ends"      // both ends of a half cylinder
	Contact   Patch = "contact"   // what a roll lies on
	Rim       Patch = "rim"       // both sides of a tray
)

// Cell is one control volume. In two dimensions its first axis goes through the layers,
// along the middle line of the dish (see Mesh.Line): it is the radius of a round dish,
// the height in others. The second is the height of a FiniteCylinder, the angle [rad]
// from the lowest point in a RollSection, and the width of a Bar or Tray.
type Cell struct {
	Layer        int     // index into the layers the mesh was made from
	Volume       float64 // [m³]
	Node         float64 // [m] distance of the node from the centre (or from the underside of a slab)
	Inner, Outer float64 // [m] the same distance of the cell's two faces
	Along        float64 // [m] of the node on the second axis, or [rad]; 0 in one dimension
	From, To     float64 // [m] the same of the cell's two faces there, or [rad]
	Depth        float64 // [-] above 0 to 1, share of its layer's cells that end with it, from the inner face on
}

// Face joins cells A and B. Its conductance is
//
//	1 / (HalfA/kA + HalfB/kB + Contact/Area)   [W/K]
type Face struct {
	A, B         int     // the layer of A is that of B or comes before it
	Area         float64 // [m²]
	Position     float64 // [m] on the axis it crosses, or [rad]
	HalfA, HalfB float64 // [1/m] resistance from node to face for a conductivity of 1 W/(m K)
	Contact      float64 // [m² K/W] contact resistance in the face
}

// Surface is an outer face of one cell.
type Surface struct {
	Cell     int
	Patch    Patch
	Area     float64 // [m²]
	Position float64 // [m] on the axis it crosses
	Half     float64 // [1/m] resistance from node to surface for a conductivity of 1 W/(m K)
	Contact  float64 // [m² K/W] resistance between the surface and what it meets (a wrapper, say)
	Cut      bool    // not the outer face of the dish's last layer: nothing that lies on that is here
}

// Mesh is a set of cells, the faces between them and the outer surfaces. In one
// dimension Faces[i] joins cells i and i+1. The cells of a layer are contiguous. The last
// surface is where the middle line ends, and the last cell is below it.
type Mesh struct {
	Shape    Shape
	Layers   []Layer
	Cells    []Cell
	Faces    []Face
	Surfaces []Surface

	power   float64 // the volume within x goes as x to this power: 1, 2 or 3
	profile profile
	plane   *plane // nil in one dimension

	twoFaced bool
}

// Flat says whether volume is proportional to distance, as in a slab, so that
// layers may be moved along it unchanged.
func (m *Mesh) Flat() bool { return m.power == 1 && m.plane == nil }

// TwoFaced says whether layers run from an underside to a top, not outwards from a
// centre.
func (m *Mesh) TwoFaced() bool { return m.twoFaced }

// VolumeBelow is the part [m³] of cell i that lies nearer than x [m] to the
// centre (or underside), along the middle line.
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
// underside) on the middle line. A face belongs to the inner of its two cells.
func (m *Mesh) Locate(x float64) (int, error) {
	if !in(x, 0, m.Extent()*(1+1e-12)) {
		return 0, &Error{m.Shape.String(), "place", x, fmt.Sprintf("0 to %g m", m.Extent())}
	}
	if m.plane != nil {
		line := m.plane.line
		i := sort.Search(len(line)-1, func(i int) bool { return x <= m.Cells[line[i]].Outer })
		return line[i], nil
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
