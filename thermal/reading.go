package thermal

import (
	"math"

	"example.com/thawfront/geometry"
)

// Between the nodes of a dish a temperature lies on a straight line to the faces of its
// cell, whose temperatures the flow of heat gives; in two dimensions it does so on both
// axes, and within a layer the four nodes around it share in it (bilinear).

// point is the temperature at a point.
func (s *State) point(p geometry.Point) float64 {
	c := &s.model.mesh.Cells[p.Cell]
	t := s.piece(p.Cell, p.X, c.Node, c.Inner, c.Outer, geometry.Inward)
	if s.model.mesh.Dimensions() == 1 {
		return t
	}
	own := s.temp[p.Cell]
	t += s.piece(p.Cell, p.Along, c.Along, c.From, c.To, geometry.Backward) - own
	if q := quarterOf(s.model.mesh, p); q.diagonal >= 0 {
		t += q.first.weight * q.second.weight * (s.temp[q.diagonal] - s.temp[q.first.cell] - s.temp[q.second.cell] + own)
	}
	return t
}

// piece is the temperature at x on one axis, on which the cell has its node and two faces;
// down is the side of the lower.
func (s *State) piece(cell int, x, node, lower, upper float64, down geometry.Direction) float64 {
	if x < node {
		return along(x, lower, s.edge(cell, down), node, s.temp[cell])
	}
	return along(x, node, s.temp[cell], upper, s.edge(cell, down+1))
}

func along(x, x0, t0, x1, t1 float64) float64 { return t0 + (t1-t0)*(x-x0)/(x1-x0) }

// edge is the temperature on a side of a cell, on its own side of any contact
// resistance.
func (s *State) edge(i int, side geometry.Direction) float64 {
	f, surface := s.mesh.Beside(i, side)
	switch {
	case surface >= 0:
		return s.skins[surface]
	case f < 0:
		return s.mirrored(i, side)
	}
	face := &s.mesh.Faces[f]
	j, own, other := face.B, face.HalfA, face.HalfB
	if j == i {
		j, own, other = face.A, face.HalfB, face.HalfA
	}
	k, next, share := s.k[i], s.k[j], 0.0
	if s.mesh.Cells[i].Layer == s.mesh.Cells[j].Layer && face.Contact == 0 {
		// with a conductivity that is straight over temperature from node to node
		w := own / (own + other)
		share = w * (k + next) / (k + math.Sqrt(k*k+w*(next*next-k*k)))
	} else {
		ra, rb := own/k, other/next
		share = ra / (ra + rb + face.Contact/face.Area)
	}
	return s.temp[i] + (s.temp[j]-s.temp[i])*share
}

// mirrored is the temperature on an axis or plane of symmetry beside a cell, that of a
// parabola through the first nodes; where the cells of a ring meet, through their means.
func (s *State) mirrored(i int, side geometry.Direction) float64 {
	m := s.mesh
	var at, t [3]float64
	axial := m.Axial(i, side)
	for k, j := 0, i; k < 3 && j >= 0; k++ {
		at[k], t[k] = m.Cells[j].Node-m.Cells[i].Inner, s.temp[j]
		switch c := &m.Cells[j]; {
		case axial:
			t[k] = s.ring(j)
		case side == geometry.Backward:
			at[k] = c.Along - m.Cells[i].From
		case side == geometry.Forward:
			at[k] = m.Cells[i].To - c.Along
		}
		j = m.Next(j, side^1) // the other way
	}
	a, b, c := at[0], at[1], at[2]
	bend := (t[1] - t[0]) / (b*b - a*a)
	// the next pair's bend bounds it: a melting front is no parabola
	if next := (t[2] - t[1]) / (c*c - b*b); bend*next <= 0 {
		bend = 0
	} else if math.Abs(next) < math.Abs(bend) {
		bend = next
	}
	return t[0] - bend*a*a
}

// ring is the mean temperature of the row of a cell.
func (s *State) ring(cell int) float64 {
	var sum, whole float64
	for _, i := range s.mesh.Row(cell) {
		w := s.mesh.Cells[i].To - s.mesh.Cells[i].From
		sum += w * s.temp[i]
		whole += w
	}
	return sum / whole
}

// quarter is the nodes around a point that are of one layer.
type quarter struct {
	first, second neighbour
	diagonal      int // -1 if one of the four is not of the layer
}

// neighbour is the next cell on an axis beyond a point, if it is of the same layer, and
// how far the point is on the way to its node.
type neighbour struct {
	cell   int // -1 if there is none
	weight float64
}

func quarterOf(m *geometry.Mesh, p geometry.Point) quarter {
	c := &m.Cells[p.Cell]
	side, next := geometry.Outward, geometry.Forward
	if p.X < c.Node {
		side = geometry.Inward
	}
	if p.Along < c.Along {
		next = geometry.Backward
	}
	q := quarter{first: inLayer(m, p.Cell, side), second: inLayer(m, p.Cell, next), diagonal: -1}
	if i := q.first.cell; i >= 0 {
		q.first.weight = (p.X - c.Node) / (m.Cells[i].Node - c.Node)
		if q.second.cell >= 0 {
			q.diagonal = inLayer(m, i, next).cell
		}
	}
	if i := q.second.cell; i >= 0 {
		q.second.weight = (p.Along - c.Along) / (m.Cells[i].Along - c.Along)
	}
	return q
}

func inLayer(m *geometry.Mesh, cell int, side geometry.Direction) neighbour {
	i := m.Next(cell, side)
	if i >= 0 && m.Cells[i].Layer != m.Cells[cell].Layer {
		i = -1
	}
	return neighbour{cell: i}
}

// mix gives a field at the point, level beyond the last nodes of its layer.
func (q *quarter) mix(cell int, field []float64) float64 {
	v := field[cell]
	sum := v
	for _, n := range [2]neighbour{q.first, q.second} {
		if n.cell >= 0 {
			sum += n.weight * (field[n.cell] - v)
		}
	}
	if q.diagonal >= 0 {
		sum += q.first.weight * q.second.weight * (field[q.diagonal] - field[q.first.cell] - field[q.second.cell] + v)
	}
	return sum
}
