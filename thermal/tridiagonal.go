package thermal

// tridiagonal solves the linear systems (volume - scale J) x = r of a chain of
// cells, J given by its bands: up[i] couples row i to i+1, low[i] row i+1 to i.
// The factors stay for further right-hand sides, so that the error estimate
// reuses the last Newton matrix.
//
// Elimination runs from both ends towards the middle at once: the two chains do
// not wait for each other, which makes it twice as fast as one long chain.
// It needs no pivoting here: the matrices are diagonally dominant by columns
// (volume on the diagonal, conduction moving energy between cells).
type tridiagonal struct {
	n, mid  int
	up, low []float64 // the caller's bands
	scale   float64
	down    []float64 // multipliers of the rows up to the middle, from the row above
	rise    []float64 // multipliers of the rows from the middle on, from the row below
	pivot   []float64 // 1/pivots
}

func newTridiagonal(n int) tridiagonal {
	b := make([]float64, 3*n)
	return tridiagonal{n: n, mid: n / 2, down: b[:n:n], rise: b[n : 2*n : 2*n], pivot: b[2*n:]}
}

// factorSolve factors the matrix and overwrites x, the right-hand side, with the
// solution. It keeps up and low until the next factorisation.
func (m *tridiagonal) factorSolve(volume, diag, up, low []float64, scale float64, x []float64) {
	n, c := m.n, m.mid
	volume, diag, up, low, x = volume[:n], diag[:n], up[:n], low[:n], x[:n]
	pivot, down, rise := m.pivot[:n], m.down[:n], m.rise[:n]
	m.up, m.low, m.scale = up, low, scale
	pivot[0] = 1 / (volume[0] - scale*diag[0])
	if c+1 < n {
		pivot[n-1] = 1 / (volume[n-1] - scale*diag[n-1])
	}
	for i, j := 1, n-2; i < c; i, j = i+1, j-1 {
		l := -scale * low[i-1] * pivot[i-1]
		down[i] = l
		pivot[i] = 1 / (volume[i] - scale*(diag[i]-l*up[i-1]))
		x[i] -= l * x[i-1]
		if j > c { // one row fewer on this side if n is even
			r := -scale * up[j] * pivot[j+1]
			rise[j] = r
			pivot[j] = 1 / (volume[j] - scale*(diag[j]-r*low[j]))
			x[j] -= r * x[j+1]
		}
	}
	p := diag[c]
	if c > 0 {
		down[c] = -scale * low[c-1] * pivot[c-1]
		p -= down[c] * up[c-1]
		x[c] -= down[c] * x[c-1]
	}
	if c+1 < n {
		rise[c] = -scale * up[c] * pivot[c+1]
		p -= rise[c] * low[c]
		x[c] -= rise[c] * x[c+1]
	}
	pivot[c] = 1 / (volume[c] - scale*p)
	m.substitute(x)
}

// solve overwrites x, another right-hand side, with its solution.
func (m *tridiagonal) solve(x []float64) {
	n, c := m.n, m.mid
	x = x[:n]
	down, rise := m.down[:n], m.rise[:n]
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
	m.substitute(x)
}

// substitute runs back from the middle to both ends.
func (m *tridiagonal) substitute(x []float64) {
	n, c, scale := m.n, m.mid, m.scale
	x, up, low, pivot := x[:n], m.up[:n], m.low[:n], m.pivot[:n]
	a := x[c] * pivot[c] // in a variable: reading back what was just stored waits
	b := a
	x[c] = a
	for i, j := c-1, c+1; i >= 0; i, j = i-1, j+1 {
		a = (x[i] + scale*up[i]*a) * pivot[i]
		x[i] = a
		if j < n {
			b = (x[j] + scale*low[j-1]*b) * pivot[j]
			x[j] = b
		}
	}
}
