package thermal

// solve overwrites x, another right-hand side, with its solution.
func (s *sparse) solve(x []float64) {
	for i := range s.fronts {
		s.forward(&s.fronts[i], x)
	}
	s.backward(x)
}

// forward takes the pivots of a front out of the right-hand sides that come later.
func (s *sparse) forward(f *frontal, x []float64) {
	width, pivots := len(f.unknowns), f.pivots
	border := width - pivots
	local := s.local[:width]
	y, sum := local[:pivots], local[pivots:]
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
	if border == 0 {
		return
	}
	clear(sum)
	columns := f.lower
	for len(y) >= 4 {
		c0, c1, c2, c3 := columns[:len(sum)], columns[border:][:len(sum)], columns[2*border:][:len(sum)], columns[3*border:][:len(sum)]
		a, b, c, d := y[0], y[1], y[2], y[3]
		for j := range sum {
			sum[j] += (a*c0[j] + b*c1[j]) + (c*c2[j] + d*c3[j])
		}
		y, columns = y[4:], columns[4*border:]
	}
	for _, a := range y {
		for j, c := range columns[:len(sum)] {
			sum[j] += a * c
		}
		columns = columns[border:]
	}
	for j, at := range f.unknowns[pivots:] {
		x[at] -= sum[j]
	}
}

// backward finds all unknowns from what forward has left.
func (s *sparse) backward(x []float64) {
	for i := len(s.fronts) - 1; i >= 0; i-- {
		s.backwardFront(&s.fronts[i], x)
	}
}

// backwardFront finds the pivots of a front from the unknowns of its border.
func (s *sparse) backwardFront(f *frontal, x []float64) {
	width, pivots := len(f.unknowns), f.pivots
	y, inverse := s.local[:width], s.inverse[f.first:]
	for k, at := range f.unknowns {
		y[k] = x[at]
	}
	border := y[pivots:]
	k := 0
	for ; k+4 <= pivots && len(border) > 0; k += 4 {
		r := f.upper[k*width+pivots:]
		r0, r1, r2, r3 := r[:len(border)], r[width:][:len(border)], r[2*width:][:len(border)], r[3*width:][:len(border)]
		var s0, s1, s2, s3 float64
		for j, b := range border {
			s0 += r0[j] * b
			s1 += r1[j] * b
			s2 += r2[j] * b
			s3 += r3[j] * b
		}
		y[k], y[k+1], y[k+2], y[k+3] = y[k]-s0, y[k+1]-s1, y[k+2]-s2, y[k+3]-s3
	}
	for ; k < pivots; k++ {
		y[k] -= dot(f.upper[k*width+pivots:][:len(border)], border)
	}
	for k := pivots - 1; k >= 0; k-- {
		y[k] = (y[k] - dot(f.upper[k*width+k+1:][:pivots-k-1], y[k+1:])) * inverse[k]
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
