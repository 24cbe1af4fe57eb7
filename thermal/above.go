package thermal

import (
	"math"

	"example.com/thawfront/geometry"
)

// planesAbove sums the volume of cells first..end in which a field is above a limit, and
// all of it. In each quarter of a cell the field is a plane along the straight lines to
// the next nodes of the same layer; beyond the last it is level.
func planesAbove(m *geometry.Mesh, first, end int, field []float64, limit float64) (above, whole float64) {
	for i := first; i < end; i++ {
		c := &m.Cells[i]
		// how far the field goes up to each side
		change := func(side geometry.Direction, toFace float64, node func(c *geometry.Cell) float64) float64 {
			j := inLayer(m, i, side).cell
			if j < 0 {
				return 0
			}
			return (field[j] - field[i]) * toFace / math.Abs(node(&m.Cells[j])-node(c))
		}
		on := func(c *geometry.Cell) float64 { return c.Node }
		by := func(c *geometry.Cell) float64 { return c.Along }
		below := m.VolumeBelow(i, c.Node) / c.Volume
		b0, b1 := change(geometry.Backward, c.Along-c.From, by), change(geometry.Forward, c.To-c.Along, by)
		halves := func(a float64) float64 {
			v := field[i] - limit
			return (shareAbove(v+(a+b0)/2, a, b0) + shareAbove(v+(a+b1)/2, a, b1)) / 2
		}
		share := below*halves(change(geometry.Inward, c.Node-c.Inner, on)) + (1-below)*halves(change(geometry.Outward, c.Outer-c.Node, on))
		above += c.Volume * share
		whole += c.Volume
	}
	return above, whole
}

// shareAbove is the share of a unit square in which a plane is above zero that is mean in
// the middle and changes by a and b along the sides.
func shareAbove(mean, a, b float64) float64 {
	a, b = math.Abs(a), math.Abs(b)
	a, b = math.Max(a, b), math.Min(a, b)
	highest, lowest := mean+(a+b)/2, mean-(a+b)/2
	switch {
	case !(highest > 0):
		return 0
	case lowest >= 0:
		return 1
	case mean > 0:
		return 1 - shareAbove(-mean, a, b) // the smaller part
	case highest <= b: // a triangle
		return highest * highest / (2 * a * b)
	}
	return (highest - b/2) / a // a trapezium, up to half
}
