package thermal

import "math"

// block is how the heat [W] and the water [kg/s] that flow into a cell change
// with the energy U [J/m³] and the water content w [kg/m³] of a cell.
type block struct {
	uu, uw float64 // heat by U [m³/s], by w [W m³/kg]
	wu, ww float64 // water by U [kg m³/(s J)], by w [m³/s]
}

// blockTridiagonal solves the linear systems (volume I - scale J) x = r of a
// chain of cells with two unknowns each. Vectors hold the energies of all cells,
// then their water. J is given by its blocks: diag[i] within cell i, up[i] the
// rows of cell i by the unknowns of cell i+1, low[i] the rows of cell i+1 by the
// unknowns of cell i. It runs from both ends, as tridiagonal does.
//
// It needs no pivoting between the cells. What leaves a cell enters its
// neighbours, so that by columns a block of the diagonal balances those beside it
// and has over the volume, and what leaves the chain: through a surface, as steam.
// Eliminating a cell makes of it one more way out of the next, so that what is
// left is a shorter chain of the same kind. Where a matrix is not of that kind and
// a block turns out singular, the solution is not finite.
type blockTridiagonal struct {
	n, mid  int
	up, low []block // the caller's
	scale   float64
	pivots  []blockPivot
}

// newBlockTridiagonal is for chains of n > 0 cells.
func newBlockTridiagonal(n int) blockTridiagonal {
	return blockTridiagonal{n: n, mid: n / 2, pivots: make([]blockPivot, n)}
}

// leastPivot is how much smaller than the other product of a block's determinant
// that of its diagonal may be before the rows change places: an elimination then
// enlarges rounding errors tenfold at most, and the branch is nearly always the same.
const leastPivot = 0.1

// blockPivot is a cell that has been eliminated: the factors of its pivot block,
// and what the solution there takes from the next cell towards the middle.
//
// The factors are of an elimination of U, not an inverse: with a stiff sink the
// rows are alike but for the volume in them, and an inverse, right as each of its
// entries may be, then misses the balance of heat and water by as many digits as
// the sink is stiffer than the volume.
type blockPivot struct {
	onto       block
	own, other float64 // w is own*(right-hand side of w) - other*(that of U)
	u, w       float64 // U is u*(right-hand side of U) - w*w
	swapped    bool    // the two rows, and so the right-hand sides, change places
}

// chainEnd is the cell of a chain that was eliminated last.
type chainEnd struct {
	into, onto *block  // rows of the next cell by its unknowns; its blockPivot.onto
	u, w       float64 // its solution but for what it takes from the next cell
}

// factorSolve factors the matrix and overwrites x, the right-hand side, with the
// solution. It keeps up and low until the next factorisation.
func (m *blockTridiagonal) factorSolve(volume []float64, diag, up, low []block, scale float64, x []float64) {
	n, c := m.n, m.mid
	pivots, u, w := m.pivots[:n], x[:n], x[n:2*n]
	volume, diag, up, low = volume[:n], diag[:n], up[:n-1], low[:n-1]
	m.up, m.low, m.scale = up, low, scale
	var none block
	above, below := chainEnd{into: &none, onto: &none}, chainEnd{into: &none, onto: &none}
	for i, j := 0, n-1; i < c; i, j = i+1, j-1 {
		p := &pivots[i]
		above.u, above.w = p.eliminate(volume[i], &diag[i], &up[i], scale, u[i], w[i], above)
		above.into, above.onto = &low[i], &p.onto
		u[i], w[i] = above.u, above.w
		if j > c { // one cell fewer on this side if n is even
			p := &pivots[j]
			below.u, below.w = p.eliminate(volume[j], &diag[j], &low[j-1], scale, u[j], w[j], below)
			below.into, below.onto = &up[j-1], &p.onto
			u[j], w[j] = below.u, below.w
		}
	}
	d := diag[c].plus(below.into, below.onto)
	ru, rw := below.into.times(below.u, below.w)
	u[c], w[c] = pivots[c].eliminate(volume[c], &d, &none, scale, u[c]+scale*ru, w[c]+scale*rw, above)
	m.substitute(u, w)
}

// eliminate factors the pivot block of a cell with right-hand sides ru and rw,
// given its block d of the diagonal, that by the unknowns of the next cell, and
// what was eliminated before it. It returns the cell's solution but for what it
// takes from the next.
func (p *blockPivot) eliminate(volume float64, d, next *block, scale, ru, rw float64, from chainEnd) (u, w float64) {
	b := d.plus(from.into, from.onto)
	uu, uw, wu, ww := volume-scale*b.uu, -scale*b.uw, -scale*b.wu, volume-scale*b.ww
	nuu, nuw, nwu, nww := next.uu, next.uw, next.wu, next.ww
	direct, cross := uu*ww, uw*wu
	determinant := direct - cross
	// The products have the same unit, so the choice does not depend on units.
	p.swapped = math.Abs(direct) < leastPivot*math.Abs(cross)
	if p.swapped {
		uu, uw, wu, ww = wu, ww, uu, uw
		nuu, nuw, nwu, nww = nwu, nww, nuu, nuw
		determinant = -determinant
	}
	// quotients side by side wait for each other the least
	q, r, s := 1/uu, 1/determinant, scale/determinant
	p.u, p.w, p.own, p.other = q, uw*q, uu*r, wu*r
	owu, oww := (uu*nwu-wu*nuu)*s, (uu*nww-wu*nuw)*s
	p.onto = block{scale*q*nuu - p.w*owu, scale*q*nuw - p.w*oww, owu, oww}
	au, aw := from.into.times(from.u, from.w)
	return p.solve(ru+scale*au, rw+scale*aw)
}

// solve is the solution of the pivot block with right-hand sides ru and rw.
func (p *blockPivot) solve(ru, rw float64) (u, w float64) {
	if p.swapped {
		ru, rw = rw, ru
	}
	w = p.own*rw - p.other*ru
	return p.u*ru - p.w*w, w
}

// solve overwrites x, another right-hand side, with its solution.
func (m *blockTridiagonal) solve(x []float64) {
	n, c, scale := m.n, m.mid, m.scale
	pivots, u, w := m.pivots[:n], x[:n], x[n:2*n]
	up, low := m.up[:n-1], m.low[:n-1]
	var au, aw, bu, bw float64 // what enters the next cell from the one above, and below
	for i, j := 0, n-1; i < c; i, j = i+1, j-1 {
		ui, wi := pivots[i].solve(u[i]+scale*au, w[i]+scale*aw)
		au, aw = low[i].times(ui, wi)
		u[i], w[i] = ui, wi
		if j > c {
			uj, wj := pivots[j].solve(u[j]+scale*bu, w[j]+scale*bw)
			bu, bw = up[j-1].times(uj, wj)
			u[j], w[j] = uj, wj
		}
	}
	u[c], w[c] = pivots[c].solve(u[c]+scale*(au+bu), w[c]+scale*(aw+bw))
	m.substitute(u, w)
}

// substitute runs back from the middle to both ends.
func (m *blockTridiagonal) substitute(u, w []float64) {
	n, c := m.n, m.mid
	pivots, u, w := m.pivots[:n], u[:n], w[:n]
	au, aw := u[c], w[c]
	bu, bw := au, aw
	for i, j := c-1, c+1; i >= 0; i, j = i-1, j+1 {
		du, dw := pivots[i].onto.times(au, aw)
		au, aw = u[i]+du, w[i]+dw
		u[i], w[i] = au, aw
		if j < n {
			du, dw := pivots[j].onto.times(bu, bw)
			bu, bw = u[j]+du, w[j]+dw
			u[j], w[j] = bu, bw
		}
	}
}

// plus is a + b*c.
func (a *block) plus(b, c *block) block {
	return block{a.uu + (b.uu*c.uu + b.uw*c.wu), a.uw + (b.uu*c.uw + b.uw*c.ww),
		a.wu + (b.wu*c.uu + b.ww*c.wu), a.ww + (b.wu*c.uw + b.ww*c.ww)}
}

// times is the product of a with a vector.
func (a *block) times(u, w float64) (float64, float64) {
	return a.uu*u + a.uw*w, a.wu*u + a.ww*w
}
