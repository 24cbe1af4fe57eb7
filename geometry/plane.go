package geometry

import (
	"fmt"
	"math"
	"slices"
)

// Dimensions is how many coordinates a place in the mesh has: 1 or 2.
func (m *Mesh) Dimensions() int {
	if m.plane != nil {
		return 2
	}
	return 1
}

// Direction is a way out of a cell.
type Direction uint8

// The directions: towards lower and towards higher coordinates on the first axis,
// and on the second, which a mesh of one dimension does not have.
const (
	Inward Direction = iota
	Outward
	Backward
	Forward
	directions
)

// plane is what a mesh of two dimensions has besides its cells.
type plane struct {
	u, v   []float64           // the cell faces on both axes
	at     []int32             // the cell in each place of the grid, v fastest
	place  [][2]int32          // and the place of each cell
	beside [][directions]int32 // of each cell: a face, nothing, or surface s as leastSurface - s
	line   []int               // the cells on the middle line from its beginning outwards
	along  float64             // second coordinate of the line
	view   view
}

const (
	nothing      = -1
	leastSurface = -2
)

// view says how coordinates lie in the section through the dish.
type view uint8

const (
	upright view = iota // distance from the axis, height
	turned              // height, distance from the vertical plane
	polar               // radius, angle from the lowest point
)

// Beside gives the face or the surface on a side of a cell, by index; what is not there
// is -1. There is neither on an axis or plane of symmetry.
func (m *Mesh) Beside(cell int, side Direction) (face, surface int) {
	if m.plane != nil {
		k := int(m.plane.beside[cell][side])
		if k <= leastSurface {
			return -1, leastSurface - k
		}
		return k, -1
	}
	switch {
	case side == Inward && cell > 0:
		return cell - 1, -1
	case side == Inward && len(m.Surfaces) == 2:
		return -1, 0
	case side == Outward && cell < len(m.Cells)-1:
		return cell, -1
	case side == Outward:
		return -1, len(m.Surfaces) - 1
	}
	return -1, -1
}

// Row gives the cells that are in one row, along the second axis, with a cell; it alone
// in one dimension.
func (m *Mesh) Row(cell int) []int {
	if m.plane == nil {
		return []int{cell}
	}
	p := m.plane
	n := len(p.v) - 1
	row := make([]int, n)
	for j := range row {
		row[j] = int(p.at[int(p.place[cell][0])*n+j])
	}
	return row
}

// Axial says whether a side of a cell is the axis of a polar section, where all cells of
// its row meet.
func (m *Mesh) Axial(cell int, side Direction) bool {
	return m.plane != nil && m.plane.view == polar && side == Inward && m.plane.place[cell][0] == 0
}

// Line lists the cells on the middle line of the dish, from its centre (or underside) to
// its outermost surface: those of one dimension are all on it.
func (m *Mesh) Line() []int {
	if m.plane != nil {
		return m.plane.line
	}
	all := make([]int, len(m.Cells))
	for i := range all {
		all[i] = i
	}
	return all
}

// Through is where a layer begins and ends on the middle line [m].
func (m *Mesh) Through(layer int) (inner, outer float64) {
	if m.plane == nil {
		first, end := m.Span(layer)
		return m.Cells[first].Inner, m.Cells[end-1].Outer
	}
	inner, outer = math.NaN(), math.NaN()
	for _, i := range m.plane.line {
		if c := &m.Cells[i]; c.Layer == layer {
			if math.IsNaN(inner) {
				inner = c.Inner
			}
			outer = c.Outer
		}
	}
	return inner, outer
}

// Point is a point in a mesh, with the cell that holds it.
type Point struct {
	Cell  int
	X     float64 // [m] coordinate on the first axis, as Cell.Node
	Along float64 // [m] and on the second, as Cell.Along, in [rad] if that is an angle; 0 in one dimension
}

// OnLine finds the point on the middle line at x [m] from the centre (or underside).
func (m *Mesh) OnLine(x float64) (Point, error) {
	i, err := m.Locate(x)
	if err != nil {
		return Point{}, err
	}
	p := Point{Cell: i, X: x}
	if m.plane != nil {
		p.Along = m.plane.along
	}
	return p, nil
}

// Find finds a point of a mesh of two dimensions in the section through the dish: x [m]
// from its axis or middle plane and at the height y [m], as the shape counts it.
func (m *Mesh) Find(x, y float64) (Point, error) {
	p := m.plane
	if p == nil {
		return Point{}, &Error{m.Shape.String(), "place", fmt.Sprintf("%g, %g", x, y), "one coordinate, as it has one dimension"}
	}
	u, v := x, y
	switch p.view {
	case turned:
		u, v = y, x
	case polar:
		u, v = math.Hypot(x, y), math.Atan2(math.Abs(x), -y)
	}
	i, j := find(p.u, u), find(p.v, v)
	if i < 0 || j < 0 || !(x >= 0) {
		want := fmt.Sprintf("0 to %g m and %g to %g m", p.u[len(p.u)-1], p.v[0], p.v[len(p.v)-1])
		switch p.view {
		case turned:
			want = fmt.Sprintf("0 to %g m and %g to %g m", p.v[len(p.v)-1], p.u[0], p.u[len(p.u)-1])
		case polar:
			want = fmt.Sprintf("x of 0 or more, at most %g m from the axis", p.u[len(p.u)-1])
		}
		return Point{}, &Error{m.Shape.String(), "place", fmt.Sprintf("%g, %g", x, y), want}
	}
	return Point{Cell: int(p.at[i*(len(p.v)-1)+j]), X: u, Along: v}, nil
}

// find gives the interval of ascending x that holds a value, or -1.
func find(x []float64, v float64) int {
	lo, hi := 0, len(x)-2
	slack := 1e-12 * (x[hi+1] - x[0])
	if !in(v, x[0]-slack, x[hi+1]+slack) {
		return -1
	}
	for lo < hi {
		if mid := (lo + hi) / 2; v <= x[mid+1] {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo
}

// Section gives the place of a cell's node in the section through the dish: x [m] from
// its axis or middle plane, y [m] its height, as the shape counts it. In one dimension x
// is the node's distance and y is 0.
func (m *Mesh) Section(cell int) (x, y float64) {
	c := &m.Cells[cell]
	if m.plane == nil {
		return c.Node, 0
	}
	switch m.plane.view {
	case turned:
		return c.Along, c.Node
	case polar:
		return c.Node * math.Sin(c.Along), -c.Node * math.Cos(c.Along)
	}
	return c.Node, c.Along
}

// Next is the cell on a side of a cell, or -1.
func (m *Mesh) Next(cell int, side Direction) int {
	f, _ := m.Beside(cell, side)
	switch {
	case f < 0:
		return -1
	case m.Faces[f].A == cell:
		return m.Faces[f].B
	}
	return m.Faces[f].A
}

// Overlap is the part of a cell that lies within given bounds, each of which is the share
// [-] of its volume below it, 0 to 1.
type Overlap struct {
	Cell         int
	Inner, Outer float64 // [-] on the first axis
	From, To     float64 // [-] on the second
}

// Within lists the cells of a mesh of two dimensions that have a part between inner and
// outer [m] on the first axis and from and to on the second.
func (m *Mesh) Within(inner, outer, from, to float64) (out []Overlap) {
	p := m.plane
	if p == nil {
		return nil
	}
	share := func(x, lo, hi float64) float64 { return min(max((x-lo)/(hi-lo), 0), 1) }
	for i := below(p.u, inner); i < len(p.u)-1 && p.u[i] < outer; i++ {
		for j := below(p.v, from); j < len(p.v)-1 && p.v[j] < to; j++ {
			c := int(p.at[i*(len(p.v)-1)+j])
			o := Overlap{Cell: c, Inner: m.VolumeBelow(c, inner) / m.Cells[c].Volume, Outer: m.VolumeBelow(c, outer) / m.Cells[c].Volume,
				From: share(from, p.v[j], p.v[j+1]), To: share(to, p.v[j], p.v[j+1])}
			if o.Outer > o.Inner && o.To > o.From {
				out = append(out, o)
			}
		}
	}
	return out
}

// below is the interval of ascending x that begins at or below a value, or the first.
func below(x []float64, v float64) int {
	i, found := slices.BinarySearch(x, v)
	if !found {
		i--
	}
	return max(i, 0)
}
