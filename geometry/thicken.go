package geometry

import "math"

// lay places nodes, faces and surfaces for cells whose Inner and Outer are set.
func (m *Mesh) lay() {
	for i := range m.Cells {
		c := &m.Cells[i]
		c.Node = m.profile.node(c.Inner, c.Outer)
	}
	for i := range m.Faces {
		f := &m.Faces[i]
		x := m.Cells[i].Outer
		f.Position, f.Area, f.HalfA, f.HalfB = x, m.profile.area(x), m.half(i, x), m.half(i+1, x)
	}
	for i := range m.Surfaces {
		s := &m.Surfaces[i]
		x := m.Cells[s.Cell].Outer
		if s.Patch == Underside {
			x = m.Cells[s.Cell].Inner
		}
		s.Position, s.Area, s.Half = x, m.profile.area(x), m.half(s.Cell, x)
	}
}

// half is the resistance [1/m] from the node of a cell to its face at x.
func (m *Mesh) half(cell int, x float64) float64 {
	c := &m.Cells[cell]
	if c.Layer == 0 && m.power > 1 {
		// no steady heat can pass the axis; what does flow here bends the
		// profile into a parabola, for which this is exact
		return math.Abs(x-c.Node) * (x + c.Node) / (2 * x * m.profile.area(x))
	}
	return m.profile.resist(math.Min(c.Node, x), math.Max(c.Node, x))
}

// Clone is a copy that shares nothing but the layers.
func (m *Mesh) Clone() *Mesh {
	out := *m
	out.Cells = append([]Cell(nil), m.Cells...)
	out.Faces = append([]Face(nil), m.Faces...)
	out.Surfaces = append([]Surface(nil), m.Surfaces...)
	return &out
}

// Thicken lays out in to, a Clone of m, the mesh m with the thickness of each cell
// times its ratio [-], above 0, as a dough rises: places, areas and resistances
// follow, while a cell's Volume stays that of m, for it counts the material. It
// allocates nothing.
func (m *Mesh) Thicken(ratio []float64, to *Mesh) {
	x := m.Cells[0].Inner
	for i := range m.Cells {
		c := &to.Cells[i]
		c.Inner = x
		if was := &m.Cells[i]; ratio[i] == 1 && x == was.Inner {
			x = was.Outer // the difference may round
		} else {
			x += (was.Outer - was.Inner) * ratio[i]
		}
		c.Outer = x
	}
	to.lay()
}
