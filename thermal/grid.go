package thermal

import (
	"fmt"
	"math"
)

// Grid is the cells of a run's dish, for fields that hold one number a cell in
// the order of State.Cells. It does not hold on to the run.
type Grid struct{ model *model }

// Grid gives the cells of the run's dish; the zero Run has none.
func (r *Run) Grid() Grid { return Grid{r.model} }

// Len is the number of cells.
func (g Grid) Len() int {
	if g.model == nil {
		return 0
	}
	return len(g.model.mesh.Cells)
}

// Layers lists the names of the layers in the order of the dish.
func (g Grid) Layers() []string {
	if g.model == nil {
		return nil
	}
	return append([]string(nil), g.model.names...)
}

// Dimensions is how many coordinates a place in the dish has: 1 or 2; 0 of the zero Grid.
func (g Grid) Dimensions() int {
	if g.model == nil {
		return 0
	}
	return g.model.mesh.Dimensions()
}

// Line lists the cells on the middle line of the dish, from its centre or underside to
// the surface of Skin, and how far along it their nodes lie [m]. In one dimension all are.
func (g Grid) Line() (cells []int, at []float64) {
	if g.model == nil {
		return nil, nil
	}
	cells = append(cells, g.model.mesh.Line()...)
	for _, i := range cells {
		at = append(at, g.model.mesh.Cells[i].Node)
	}
	return cells, at
}

// Where names the layer of a cell and its place in the dish.
func (g Grid) Where(cell int) string {
	if cell < 0 || cell >= g.Len() {
		return fmt.Sprintf("cell %d, which is not in the dish", cell)
	}
	l := g.model.mesh.Cells[cell].Layer
	x, y := g.model.mesh.Section(cell)
	at := fmt.Sprintf("%.4g m", x)
	if g.model.mesh.Dimensions() == 2 {
		at += fmt.Sprintf(" and the height %.4g m", y)
	}
	return fmt.Sprintf("%s at %s", layerPlace(l, g.model.names[l]), at)
}

// Read gives a field [-] (in its own unit) at a place: at a point on the straight line
// between the nodes of its layer, level beyond the last of them (the surface has
// the value of the outermost cell), in two dimensions bilinear between them; of a layer
// the mean by volume, of a patch that of the cells below it by area, and for a layer's
// coldest the least, for its hottest the greatest of its cells. A place that is
// not in the dish gives an *UnknownPlaceError, a field of another length an
// *InputError.
func (g Grid) Read(p Place, field []float64) (float64, error) {
	if err := g.fits("field", field); err != nil {
		return 0, err
	}
	at, err := p.resolve(g.model)
	if err != nil {
		return 0, err
	}
	cells := g.model.mesh.Cells
	switch at.kind {
	case coldest, hottest, mean:
		least, most, sum, volume := math.Inf(1), math.Inf(-1), 0.0, 0.0
		for i := at.first; i < at.end; i++ {
			least, most = min(least, field[i]), max(most, field[i])
			sum += cells[i].Volume * field[i]
			volume += cells[i].Volume
		}
		switch at.kind {
		case coldest:
			return least, nil
		case hottest:
			return most, nil
		}
		return sum / volume, nil
	case patch:
		var sum, area float64
		at.each(g.model.mesh, func(i int, a float64) {
			sum += a * field[i]
			area += a
		})
		return sum / area, nil
	}
	i := at.Cell
	if g.model.mesh.Dimensions() == 2 {
		q := quarterOf(g.model.mesh, at.Point)
		return q.mix(i, field), nil
	}
	j := i + 1
	if at.X < cells[i].Node {
		j = i - 1
	}
	if j < 0 || j == len(cells) || cells[j].Layer != cells[i].Layer {
		return field[i], nil
	}
	return along(at.X, cells[i].Node, field[i], cells[j].Node, field[j]), nil
}

// Above is the share [-] of a layer's volume in which a field is above a limit [-]
// (both in the field's own unit), and the width [m] of the rim, counted from the
// layer's outer face inwards, in which it is. Between nodes the field is a straight
// line, level beyond the last ones. In two dimensions the rim is that on the middle
// line, and of each cell the share is that of the plane through it. A layer that is not
// in the dish gives an *UnknownPlaceError, a limit that is no number or a field of
// another length an *InputError.
func (g Grid) Above(layer string, field []float64, limit float64) (share, rim float64, err error) {
	if err := g.fits("field", field); err != nil {
		return 0, 0, err
	}
	if math.IsNaN(limit) {
		return 0, 0, &InputError{Place: "field", Field: "limit", Value: limit, Want: "a number"}
	}
	at, err := MeanOf(layer).resolve(g.model)
	if err != nil {
		return 0, 0, err
	}
	mesh := g.model.mesh
	var line []int // its cells on the middle line
	for _, i := range mesh.Line() {
		if i >= at.first && i < at.end {
			line = append(line, i)
		}
	}
	inner, outer := mesh.Cells[line[0]].Inner, mesh.Cells[line[len(line)-1]].Outer
	var above, whole float64 // [m³]
	rim = outer - inner
	x0, v0 := inner, field[line[0]]
	for i := 0; i <= len(line); i++ {
		x1, v1 := outer, field[line[len(line)-1]]
		if i < len(line) {
			x1, v1 = mesh.Cells[line[i]].Node, field[line[i]]
		}
		from, to := x0, x1 // the part above
		switch {
		case !(v0 > limit) && !(v1 > limit):
			from, rim = x1, outer-x1
		case !(v0 > limit):
			from = along(limit, v0, x0, v1, x1)
			rim = outer - from
		case !(v1 > limit):
			to = along(limit, v0, x0, v1, x1)
			rim = outer - x1
		}
		for j := max(i-1, 0); j <= min(i, len(line)-1) && to > from; j++ {
			above += mesh.VolumeBelow(line[j], to) - mesh.VolumeBelow(line[j], from)
		}
		if i < len(line) {
			whole += mesh.Cells[line[i]].Volume
		}
		x0, v0 = x1, v1
	}
	if mesh.Dimensions() == 2 {
		above, whole = planesAbove(mesh, at.first, at.end, field, limit)
	}
	return above / whole, rim, nil
}

// fits checks that a field is one of the grid.
func (g Grid) fits(place string, field []float64) error {
	if n := g.Len(); n == 0 || len(field) != n {
		return &InputError{Place: place, Field: "number of cells", Value: len(field), Want: fmt.Sprintf("that of a run's dish, %d", n)}
	}
	return nil
}

// Carry moves a field [-] (in its own unit) from the dish of an earlier run to this one,
// as From does with what a run leaves: layers are recognised by name, their means
// over the cells are kept, and the cells of layers that the earlier dish did not
// have get the value fresh. Another shape, or a layer that has another thickness
// or, but for a slab, another distance from the centre, gives an *InputError.
func (g Grid) Carry(earlier Grid, field []float64, fresh float64) ([]float64, error) {
	if err := earlier.fits("earlier field", field); err != nil {
		return nil, err
	}
	if g.Len() == 0 {
		return nil, &InputError{Place: "dish", Field: "run", Value: "none", Want: "a run from Simulate"}
	}
	m, old := g.model, earlier.model
	if err := m.sameShape(old); err != nil {
		return nil, err
	}
	plane := m.mesh.Dimensions() == 2
	out, known := make([]float64, g.Len()), false
	for l, name := range m.names {
		to, toEnd := m.mesh.Span(l)
		was := old.layer(name)
		if was < 0 {
			for i := to; i < toEnd; i++ {
				out[i] = fresh
			}
			continue
		}
		known = true
		from, fromEnd := old.mesh.Span(was)
		if err := m.sameThickness(l, old, was); err != nil {
			return nil, err
		}
		if plane {
			c, err := m.overlaps(l, old, was)
			if err != nil {
				return nil, err
			}
			for i := to; i < toEnd; i++ {
				out[i] = c.mean(i-to, field)
			}
			continue
		}
		shift, err := m.moved(l, old, was)
		if err != nil {
			return nil, err
		}
		first := from
		for i := to; i < toEnd; i++ {
			lo, hi := m.mesh.Cells[i].Inner-shift, m.mesh.Cells[i].Outer-shift
			for first < fromEnd-1 && old.mesh.Cells[first].Outer <= lo {
				first++
			}
			end := first + 1
			for end < fromEnd && old.mesh.Cells[end].Inner < hi {
				end++
			}
			// the neighbours on both sides give the slopes
			out[i] = remap(old.mesh, max(first-1, from), min(end+1, fromEnd), lo, hi, field)
		}
	}
	if !known {
		return nil, &InputError{Place: "dish", Field: "layers", Value: g.Layers(), Want: fmt.Sprintf("at least one of the earlier run's %v", old.names)}
	}
	return out, nil
}
