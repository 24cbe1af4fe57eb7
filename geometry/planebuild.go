package geometry

import (
	"cmp"
	"math"
	"slices"
)

// layout is what a shape of two dimensions gives for its mesh.
type layout struct {
	first, second axis
	view          view
	profile       profile // of the first axis, for a unit of the second

	// patches at the ends of the axes, "" for a plane of symmetry
	lower, upper      Patch // of the first
	backward, forward Patch // of the second
	atEnd             bool  // the middle line is at the upper end of the second axis
	stacked           bool  // layers lie on each other: only the top is an outer face
	curved            bool  // the first axis is a radius
}

// weave builds the mesh.
func (l *layout) weave(s Shape, layers []Layer, r Resolution) (*Mesh, error) {
	u, v, backU, backV, err := divide(s.String(), &l.first, &l.second, r)
	if err != nil {
		return nil, err
	}
	n, k := len(u), len(v)
	row := backV // of the middle line
	if l.atEnd {
		row = k - 1
	}
	m := &Mesh{Shape: s, power: s.dimension(), profile: l.profile, twoFaced: l.stacked, Layers: slices.Clone(layers), Cells: make([]Cell, n*k)}
	p := &plane{view: l.view, at: make([]int32, n*k), place: make([][2]int32, n*k), beside: make([][directions]int32, n*k)}
	m.plane = p
	p.u, p.v = edges(u), edges(v)
	if p.along = v[row].lo; l.atEnd {
		p.along = v[row].hi
	}

	// layer by layer, each in shells from its inner face outwards, each shell ending on
	// the middle line
	type place struct {
		layer, i, j int
		depth       float64
	}
	var places []place
	for i := range u {
		for j := range v {
			c := place{layer: max(u[i].layer, v[j].layer), i: i, j: j}
			for _, t := range [2]*tick{&u[i], &v[j]} {
				if t.layer == c.layer {
					c.depth = max(c.depth, t.depth)
				}
			}
			places = append(places, c)
		}
	}
	slices.SortFunc(places, func(a, b place) int {
		return cmp.Or(a.layer-b.layer, cmp.Compare(a.depth, b.depth), away(b.j, row)-away(a.j, row), a.i-b.i, a.j-b.j)
	})
	for at, c := range places {
		p.at[c.i*k+c.j], p.place[at] = int32(at), [2]int32{int32(c.i), int32(c.j)}
		p.beside[at] = [directions]int32{nothing, nothing, nothing, nothing}
		a, b := &u[c.i], &v[c.j]
		m.Cells[at] = Cell{Layer: c.layer, Depth: c.depth, Inner: a.lo, Outer: a.hi, From: b.lo, To: b.hi,
			Node: l.profile.node(a.lo, a.hi), Along: (b.lo + b.hi) / 2, Volume: (l.profile.volume(a.hi) - l.profile.volume(a.lo)) * (b.hi - b.lo)}
	}
	w := weaver{layout: l, mesh: m, u: u, v: v}
	w.spread()
	w.faces()
	w.surfaces(row)
	for i := backU; i < n; i++ {
		p.line = append(p.line, int(p.at[i*k+row]))
	}
	return m, nil
}

func edges(t []tick) []float64 {
	x := []float64{t[0].lo}
	for i := range t {
		x = append(x, t[i].hi)
	}
	return x
}

func away(a, b int) int {
	if a < b {
		return b - a
	}
	return a - b
}

// weaver joins the cells of a plane mesh.
type weaver struct {
	*layout
	mesh     *Mesh
	u, v     []tick
	conducts []float64 // [m], or [m/rad]
}

// half is the resistance [1/m] from the node of a cell to one of its sides.
func (w *weaver) half(cell int, side Direction) (position, area, resistance float64) {
	c, i := &w.mesh.Cells[cell], int(w.mesh.plane.place[cell][0])
	switch side {
	case Inward:
		return c.Inner, w.profile.area(c.Inner) * (c.To - c.From), w.across(i, c.Inner) / (c.To - c.From)
	case Outward:
		return c.Outer, w.profile.area(c.Outer) * (c.To - c.From), w.across(i, c.Outer) / (c.To - c.From)
	case Backward:
		return c.From, w.area(i), (c.Along - c.From) / w.conducts[i]
	}
	return c.To, w.area(i), (c.To - c.Along) / w.conducts[i]
}

func (w *weaver) node(i int) float64 { return w.profile.node(w.u[i].lo, w.u[i].hi) }

// innermost says whether a column is in the innermost layer of a round dish.
func (w *weaver) innermost(i int) bool { return w.curved && w.u[i].zone == 0 }

// across is the resistance on the first axis from a column's nodes to x, for a unit of
// the second.
func (w *weaver) across(i int, x float64) float64 {
	n := w.node(i)
	if w.innermost(i) { // as in one dimension, see Mesh.half
		return math.Abs(x-n) * (x + n) / (2 * x * w.profile.area(x))
	}
	return w.profile.resist(math.Min(n, x), math.Max(n, x))
}

// area is that of a column's faces on the second axis.
func (w *weaver) area(i int) float64 {
	if w.view == polar {
		return w.profile.area(w.u[i].hi - w.u[i].lo)
	}
	return w.profile.volume(w.u[i].hi) - w.profile.volume(w.u[i].lo)
}

// spread sets what a unit of conductivity conducts in each column over a unit of the
// second axis: along lines its area, along arcs with the logarithm of the radii. Around
// the axis, which a straight slope of temperature crosses, it is what keeps such a slope
// exact: the radial faces are exact for a parabola, and what they pass of a slope differs
// from column to column by what has to go around. With the plain width of the cell over
// its radius there the order of the scheme fell to 1.2 (two layers, steady).
func (w *weaver) spread() {
	w.conducts = make([]float64, len(w.u))
	before := 0.0
	for i := range w.u {
		switch {
		case w.view != polar:
			w.conducts[i] = w.area(i)
		case w.innermost(i):
			x, n := w.u[i].hi, w.node(i)
			passes := w.profile.area(x)
			if i+1 < len(w.u) && w.innermost(i+1) {
				passes = (w.node(i+1) - n) / (w.across(i, x) + w.across(i+1, x))
			}
			w.conducts[i] = (passes - before) / n
			before = passes
		default:
			w.conducts[i] = w.profile.area(1) * math.Log(w.u[i].hi/w.u[i].lo)
		}
	}
}

func (w *weaver) faces() {
	m, k := w.mesh, len(w.v)
	join := func(a, b int, from, to Direction) {
		if m.Cells[a].Layer > m.Cells[b].Layer { // a face's contact is that of its A
			a, b, from, to = b, a, to, from
		}
		f := Face{A: a, B: b}
		f.Position, f.Area, f.HalfA = w.half(a, from)
		_, _, f.HalfB = w.half(b, to)
		if l := m.Cells[a].Layer; l != m.Cells[b].Layer {
			f.Contact = m.Layers[l].Contact
		}
		m.plane.beside[a][from], m.plane.beside[b][to] = int32(len(m.Faces)), int32(len(m.Faces))
		m.Faces = append(m.Faces, f)
	}
	for i := range w.u {
		for j := range w.v {
			here := int(m.plane.at[i*k+j])
			if i+1 < len(w.u) {
				join(here, int(m.plane.at[(i+1)*k+j]), Outward, Inward)
			}
			if j+1 < k {
				join(here, int(m.plane.at[i*k+j+1]), Forward, Backward)
			}
		}
	}
}

// surfaces puts that on the middle line last.
func (w *weaver) surfaces(row int) {
	m, k := w.mesh, len(w.v)
	last := len(m.Layers) - 1
	put := func(i, j int, side Direction, patch Patch) {
		if patch == "" {
			return
		}
		c := int(m.plane.at[i*k+j])
		s := Surface{Cell: c, Patch: patch}
		s.Position, s.Area, s.Half = w.half(c, side)
		if s.Cut = m.Cells[c].Layer != last || w.stacked && patch != w.upper; !s.Cut {
			s.Contact = m.Layers[last].Contact
		}
		m.plane.beside[c][side] = int32(leastSurface - len(m.Surfaces))
		m.Surfaces = append(m.Surfaces, s)
	}
	for i := range w.u {
		put(i, 0, Backward, w.backward)
		put(i, k-1, Forward, w.forward)
	}
	order := make([]int, k) // of the rows, towards that of the line
	for j := range order {
		order[j] = j
	}
	slices.SortStableFunc(order, func(a, b int) int { return away(b, row) - away(a, row) })
	for _, j := range order {
		put(0, j, Inward, w.lower)
	}
	for _, j := range order {
		put(len(w.u)-1, j, Outward, cmp.Or(w.v[j].patch, w.upper))
	}
}
