package thermal

import (
	"fmt"
	"math"

	"example.com/thawfront/geometry"
)

// carrier moves what is known by cell from one layer of an earlier dish of two
// dimensions to this one, by the overlap of the cells.
type carrier struct {
	old   *geometry.Mesh
	parts [][]geometry.Overlap // by cell of the layer in this dish
}

// overlaps finds them, and refuses a layer that lies or is shaped otherwise than as
// layer was of the earlier dish.
func (m *model) overlaps(l int, old *model, was int) (*carrier, error) {
	first, end := m.mesh.Span(l)
	shift := 0.0
	if m.mesh.TwoFaced() { // layers may be laid below
		inner, _ := m.extent(l)
		before, _ := old.extent(was)
		shift = inner - before
	}
	c := &carrier{old: old.mesh}
	for i := first; i < end; i++ {
		to := &m.mesh.Cells[i]
		var found float64
		var parts []geometry.Overlap
		for _, o := range old.mesh.Within(to.Inner-shift, to.Outer-shift, to.From, to.To) {
			v := old.mesh.Cells[o.Cell].Volume * (o.Outer - o.Inner) * (o.To - o.From)
			if v < 1e-9*to.Volume { // by rounding
				continue
			}
			if old.mesh.Cells[o.Cell].Layer != was {
				found = math.NaN()
				break
			}
			parts, found = append(parts, o), found+v
		}
		if !(math.Abs(found-to.Volume) <= 1e-6*to.Volume) {
			return nil, &InputError{Place: layerPlace(l, m.names[l]), Field: "shape", Value: m.mesh.Shape, Want: fmt.Sprintf("as in the earlier run, in a %v: layers are added or removed outside", old.mesh.Shape)}
		}
		c.parts = append(c.parts, parts)
	}
	return c, nil
}

// mean is the mean of a quantity over a cell, counted within its layer, that is known as
// means of the earlier cells: a plane in each, whose slopes on both axes are limited.
func (c *carrier) mean(i int, v []float64) float64 {
	var sum, whole float64
	for _, o := range c.parts[i] {
		volume := c.old.Cells[o.Cell].Volume * (o.Outer - o.Inner) * (o.To - o.From)
		x := v[o.Cell] +
			c.slope(o.Cell, geometry.Inward, v)*((o.Inner+o.Outer)/2-0.5) +
			c.slope(o.Cell, geometry.Backward, v)*((o.From+o.To)/2-0.5)
		sum += volume * x
		whole += volume
	}
	return sum / whole
}

// slope is how much a quantity changes through a cell on one axis.
func (c *carrier) slope(cell int, down geometry.Direction, v []float64) float64 {
	m := c.old
	before, after := inLayer(m, cell, down).cell, inLayer(m, cell, down+1).cell
	if before < 0 || after < 0 {
		return 0
	}
	own := m.Cells[cell].Volume
	up := 2 * own * (v[after] - v[cell]) / (own + m.Cells[after].Volume)
	low := 2 * own * (v[cell] - v[before]) / (own + m.Cells[before].Volume)
	if up*low <= 0 {
		return 0
	}
	return math.Copysign(math.Min(math.Abs(up), math.Abs(low)), up)
}
