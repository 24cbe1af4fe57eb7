package thermal

import "slices"

// Nested dissection: a set of cells is cut in two by a thin layer of them, its
// separator, which is eliminated after both parts; so is each part in its turn. The
// elimination of one part then leaves no trace in the other, and on a plane mesh of N
// cells the work goes with N^1.5 and the memory with N log N, which no order betters by
// more than a factor. George (1973), SIAM Journal on Numerical Analysis 10, 345-363;
// separators from the mesh's graph alone as in George & Liu (1978), SIAM Journal on
// Numerical Analysis 15, 1053-1069.

// leafCells is how many cells are left together, as a full matrix: below some ten the
// work of cutting them costs more than it spares.
const leafCells = 10

// leastShare of a set of cells lies on either side of its separator, if any level does:
// a shorter separator is worth parts of unlike size, up to this.
const leastShare = 0.3

// neighbours lists the cells next to each cell.
type neighbours struct {
	first []int32 // of cell i the neighbours are of[first[i]:first[i+1]]
	of    []int32
}

func newNeighbours(cells int, faces []face) neighbours {
	g := neighbours{make([]int32, cells+1), make([]int32, 2*len(faces))}
	for i := range faces {
		g.first[faces[i].a+1]++
		g.first[faces[i].b+1]++
	}
	for i := range cells {
		g.first[i+1] += g.first[i]
	}
	next := slices.Clone(g.first)
	for i := range faces {
		a, b := faces[i].a, faces[i].b
		g.of[next[a]], g.of[next[b]] = b, a
		next[a]++
		next[b]++
	}
	return g
}

func (g *neighbours) beside(cell int32) []int32 { return g.of[g.first[cell]:g.first[cell+1]] }

// separator is a set of cells that are eliminated together.
type separator struct {
	cells  []int32
	parent int // the separator that is eliminated next on this side; -1 if none
}

// dissection is the sets of cells found so far, parents before children.
type dissection struct {
	neighbours
	sets    []separator
	part    []int32 // the part that each cell is in at the moment
	parts   int32
	level   []int32 // distance of each cell from the first of its part
	reached []int32 // the cells in the order of that distance
}

// dissect sorts all cells into separators.
func dissect(g neighbours) []separator {
	n := len(g.first) - 1
	d := &dissection{neighbours: g, part: make([]int32, n), level: make([]int32, n), reached: make([]int32, 0, n)}
	cells := make([]int32, n)
	for i := range cells {
		cells[i] = int32(i)
	}
	d.cut(cells, -1)
	return d.sets
}

// cut sorts a part, piece by piece if it is in pieces, into separators below parent.
func (d *dissection) cut(cells []int32, parent int) {
	if len(cells) == 0 {
		return
	}
	if len(cells) <= leafCells {
		d.sets = append(d.sets, separator{cells, parent})
		return
	}
	here := d.part[cells[0]]
	for _, c := range cells {
		if d.part[c] == here {
			d.spread(c)
			d.name(d.reached)
			d.cutPiece(parent)
		}
	}
}

// cutPiece does so for the cells just reached, which hang together.
func (d *dissection) cutPiece(parent int) {
	if len(d.reached) <= leafCells {
		d.sets = append(d.sets, separator{slices.Clone(d.reached), parent})
		return
	}
	for depth := int32(0); d.depth() > depth; {
		// from the far end, until the ends lie no further apart
		depth = d.depth()
		d.spread(d.reached[len(d.reached)-1])
	}
	inside, between, outside := d.sides(d.middle())
	d.sets = append(d.sets, separator{between, parent})
	set := len(d.sets) - 1
	d.name(inside)
	d.name(between)
	d.name(outside)
	d.cut(inside, set)
	d.cut(outside, set)
}

// name makes a part of some cells.
func (d *dissection) name(cells []int32) {
	d.parts++
	for _, c := range cells {
		d.part[c] = d.parts
	}
}

func (d *dissection) depth() int32 { return d.level[d.reached[len(d.reached)-1]] }

// spread finds the distance, in faces, of the cells of a part from one of them.
func (d *dissection) spread(from int32) {
	here := d.part[from]
	d.parts++
	seen := d.parts
	d.reached = append(d.reached[:0], from)
	d.part[from], d.level[from] = seen, 0
	for i := 0; i < len(d.reached); i++ {
		c := d.reached[i]
		for _, b := range d.beside(c) {
			if d.part[b] == here {
				d.part[b], d.level[b] = seen, d.level[c]+1
				d.reached = append(d.reached, b)
			}
		}
	}
	for _, c := range d.reached {
		d.part[c] = here
	}
}

// middle is the level with the fewest cells of those that leave enough on both sides;
// if there is none, that of the middle cell, but not the last, which cuts nothing off.
func (d *dissection) middle() int32 {
	n := len(d.reached)
	best := min(d.level[d.reached[n/2]], d.depth()-1)
	fewest := n + 1
	for first := 0; first < n; {
		end := first + 1
		for end < n && d.level[d.reached[end]] == d.level[d.reached[first]] {
			end++
		}
		if least := min(first, n-end); float64(least) >= leastShare*float64(n) && end-first < fewest {
			best, fewest = d.level[d.reached[first]], end-first
		}
		first = end
	}
	return best
}

// sides parts the cells by a level. Cells of it that touch nothing beyond go inside.
func (d *dissection) sides(level int32) (inside, between, outside []int32) {
	here := d.part[d.reached[0]]
	for _, c := range d.reached {
		switch l := d.level[c]; {
		case l < level:
			inside = append(inside, c)
		case l > level:
			outside = append(outside, c)
		case slices.ContainsFunc(d.beside(c), func(b int32) bool { return d.part[b] == here && d.level[b] > level }):
			between = append(between, c)
		default:
			inside = append(inside, c)
		}
	}
	return inside, between, outside
}
