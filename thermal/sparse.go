package thermal

import "slices"

// sparse solves the linear systems (volume - scale J) x = r of cells joined by any
// faces, with one or two unknowns a cell, as tridiagonal and blockTridiagonal do for
// chains: J has a diagonal by cell, and by face up, the rows of its cell a by the
// unknowns of its cell b, and low, the other way round. Vectors hold the energies of
// all cells, then their water. The factors stay for further right-hand sides.
//
// It is a direct solver, LU by fronts: each separator of a nested dissection is
// eliminated in a small full matrix of its cells and of those beyond it that it is
// joined to by then, its border; what that makes of the border is added to the matrix
// of the next separator. Duff & Reid (1983), ACM Transactions on Mathematical Software
// 9, 302-325. There is no iteration that might stall or leave a residual in the
// accounts of energy and water.
//
// As for chains it needs no pivoting between cells: diagonals outweigh their columns.
// The two rows of a cell may change places, see leastPivot.
type sparse struct {
	fronts  []frontal
	inverse []float64 // 1/pivots, front by front
	swapped []bool    // by cell, front by front: its two rows have changed places
	local   []float64 // the unknowns of one front
	factors []float64 // some multipliers
}

// frontal is the full matrix of one separator:
//
//	upper   rows of the pivots, by the pivots and the border
//	lower   columns of the pivots, by the border
//	rest    rows of the border, by the border: for the parent
//
// Lower lies by columns, as the border is longer than the pivots are many, and long
// runs of numbers are quick.
type frontal struct {
	unknowns []int32 // places in x of the pivots, which are eliminated here, then of the border
	pivots   int     // how many of them
	first    int     // place of the pivots in the order of elimination
	cells    []int32 // of the pivots
	joins    []join  // the faces that come in here
	children []int   // the fronts of which the rest comes in here
	into     []int32 // places of the border in the parent's unknowns
	within   int     // how many of them are its pivots

	values, upper, lower, rest []float64 // values is upper and lower
}

// join is a face in a front: where in its values the couplings of its two cells are.
type join struct {
	face    int32
	up, low coefficient
}

// coefficient is where a coefficient is, and how far from it are those of the next row and of
// the next column.
type coefficient struct{ at, row, column int32 }

// newSparse prepares for a mesh with per = 1 or 2 unknowns a cell.
func newSparse(cells int, faces []face, per int) *sparse {
	g := newNeighbours(cells, faces)
	sets := dissect(g)
	slices.Reverse(sets) // children come first
	s := &sparse{fronts: make([]frontal, len(sets)), inverse: make([]float64, per*cells), swapped: make([]bool, cells)}
	plan := &sparsePlan{sparse: s, per: per, cells: cells, faces: faces, place: make([]int32, cells),
		rank: make([]int32, cells), home: make([]int32, cells), borders: make([][]int32, len(sets)), met: make([]int32, cells)}
	first := 0
	for i, set := range sets {
		s.fronts[i].cells, s.fronts[i].first, s.fronts[i].pivots = set.cells, per*first, per*len(set.cells)
		for _, c := range set.cells {
			plan.rank[c], plan.home[c] = int32(first), int32(i)
			first++
		}
		if set.parent >= 0 {
			parent := &s.fronts[len(sets)-1-set.parent]
			parent.children = append(parent.children, i)
		}
	}
	for i := range s.fronts {
		plan.findBorder(g, i)
	}
	for k := range faces {
		i := min(plan.home[faces[k].a], plan.home[faces[k].b])
		s.fronts[i].joins = append(s.fronts[i].joins, join{face: int32(k)})
	}
	plan.layOut()
	return s
}

// sparsePlan is what the preparation needs besides.
type sparsePlan struct {
	*sparse
	per, cells int
	faces      []face
	rank, home []int32 // when, and in which front, each cell is eliminated
	place      []int32 // of each cell in the front looked at
	met        []int32 // the last front, counted from 1, whose border had the cell
	borders    [][]int32
}

// findBorder finds which cells a front is joined to when its turn comes: neighbours of
// its own, and what its children have left, but for what is eliminated by then.
func (p *sparsePlan) findBorder(g neighbours, i int) {
	f := &p.fronts[i]
	var border []int32
	meet := func(cells []int32) {
		for _, c := range cells {
			if p.home[c] > int32(i) && p.met[c] != int32(i+1) {
				p.met[c] = int32(i + 1)
				border = append(border, c)
			}
		}
	}
	for _, c := range f.cells {
		meet(g.beside(c))
	}
	for _, k := range f.children {
		meet(p.borders[k])
	}
	slices.SortFunc(border, func(a, b int32) int { return int(p.rank[a] - p.rank[b]) })
	p.borders[i] = border
}

// layOut gives every front its values, and every coefficient of the mesh its place.
func (p *sparsePlan) layOut() {
	s := p.sparse
	size, widest, most := 0, 0, 0
	for i := range s.fronts {
		f := &s.fronts[i]
		for _, cells := range [][]int32{f.cells, p.borders[i]} {
			for _, c := range cells {
				for u := range p.per {
					f.unknowns = append(f.unknowns, int32(u*p.cells)+c)
				}
			}
		}
		width := len(f.unknowns)
		size += f.pivots * (2*width - f.pivots)
		widest, most = max(widest, width), max(most, f.pivots)
		p.takeIn(i)
	}
	s.local, s.factors = make([]float64, widest), make([]float64, 2*most)
	values := make([]float64, size)
	for i := range s.fronts {
		f := &s.fronts[i]
		width := len(f.unknowns)
		n, upper := f.pivots*(2*width-f.pivots), f.pivots*width
		f.values, values = values[:n:n], values[n:]
		f.upper, f.lower = f.values[:upper:upper], f.values[upper:]
	}
	p.stack()
}

// takeIn finds the places in a front of its faces and of its children's borders.
func (p *sparsePlan) takeIn(i int) {
	f := &p.fronts[i]
	for j, c := range f.cells {
		p.place[c] = int32(p.per * j)
	}
	for j, c := range p.borders[i] {
		p.place[c] = int32(f.pivots + p.per*j)
	}
	width, pivots := int32(len(f.unknowns)), int32(f.pivots)
	border := width - pivots
	at := func(row, column int32) coefficient {
		if row < pivots {
			return coefficient{row*width + column, width, 1}
		}
		return coefficient{pivots*width + column*border + row - pivots, 1, border}
	}
	for k := range f.joins {
		j := &f.joins[k]
		a, b := p.place[p.faces[j.face].a], p.place[p.faces[j.face].b]
		j.up, j.low = at(a, b), at(b, a)
	}
	for _, k := range f.children {
		child := &p.fronts[k]
		for _, c := range p.borders[k] {
			if p.place[c] < pivots {
				child.within += p.per
			}
			for u := range p.per {
				child.into = append(child.into, p.place[c]+int32(u))
			}
		}
	}
}

// stack gives the fronts room for their rests. A front's are done with when its
// parent has taken them in; with two stacks, for fronts at even and at odd depth, those
// of its children always lie on top of the one that it does not use.
func (p *sparsePlan) stack() {
	depth := make([]int, len(p.fronts))
	for i := len(p.fronts) - 1; i >= 0; i-- {
		for _, k := range p.fronts[i].children {
			depth[k] = depth[i] + 1
		}
	}
	var top, most [2]int
	from := make([]int, len(p.fronts))
	for i := range p.fronts {
		f, d := &p.fronts[i], depth[i]%2
		for _, k := range f.children {
			top[1-d] = min(top[1-d], from[k])
		}
		border := len(f.unknowns) - f.pivots
		from[i] = top[d]
		top[d] += border * border
		most[d] = max(most[d], top[d])
	}
	room := [2][]float64{make([]float64, most[0]), make([]float64, most[1])}
	for i := range p.fronts {
		f := &p.fronts[i]
		border := len(f.unknowns) - f.pivots
		f.rest = room[depth[i]%2][from[i]:][:border*border]
	}
}
