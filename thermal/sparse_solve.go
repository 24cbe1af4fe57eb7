package thermal

// solve overwrites x, another right-hand side, with its solution.
func (s *sparse) solve(x []float64) {
	for i := range s.fronts {
		s.forward(&s.fronts[i], x)
	}
	for i := len(s.fronts) - 1; i >= 0; i-- {
		s.backward(&s.fronts[i], x)
	}
}

// forward takes the pivots of a front out of the right-hand sides that come later.
func (s *sparse) forward(f *frontal, x []float64) {
	width, pivots := len(f.unknowns), f.pivots
	y := s.local[:pivots]
	for k, at := range f.unknowns[:pivots] {
		y[k] = x[at]
	}
	if len(f.cells) < pivots {
		for i, swap := range s.swapped[f.first/2:][:len(f.cells)] {
			if swap {
				y[2*i], y[2*i+1] = y[2*i+1], y[2*i]
			}
		}
	}
	for k := range y {
		y[k] -= dot(f.upper[k*width:][:k], y)
		x[f.unknowns[k]] = y[k]
	}
	lower := f.lower
	for _, at := range f.unknowns[pivots:] {
		x[at] -= dot(lower[:pivots], y)
		lower = lower[pivots:]
	}
}

// backward finds the pivots of a front from the unknowns of its border.
func (s *sparse) backward(f *frontal, x []float64) {
	width := len(f.unknowns)
	y, inverse := s.local[:width], s.inverse[f.first:]
	for k, at := range f.unknowns {
		y[k] = x[at]
	}
	for k := f.pivots - 1; k >= 0; k-- {
		y[k] = (y[k] - dot(f.upper[k*width+k+1:][:width-k-1], y[k+1:])) * inverse[k]
		x[f.unknowns[k]] = y[k]
	}
}

// dot is the scalar product of a with as much of b. Four sums do not wait for each other.
func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	for len(a) >= 4 && len(b) >= 4 {
		s0 += a[0] * b[0]
		s1 += a[1] * b[1]
		s2 += a[2] * b[2]
		s3 += a[3] * b[3]
		a, b = a[4:], b[4:]
	}
	for i, x := range a {
		s0 += x * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}
