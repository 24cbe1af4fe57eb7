package thermal

import "math"

// factorSolve factors the matrix of one unknown a cell and overwrites x, the right-hand
// side, with the solution.
func (s *sparse) factorSolve(volume, diag, up, low []float64, scale float64, x []float64) {
	for i := range s.fronts {
		f := &s.fronts[i]
		s.takeChildren(f)
		v, width := f.values, len(f.unknowns)
		for j, c := range f.cells {
			v[j*(width+1)] += volume[c] - scale*diag[c]
		}
		for _, j := range f.joins {
			v[j.up.at] -= scale * up[j.face]
			v[j.low.at] -= scale * low[j.face]
		}
		inverse := s.inverse[f.first:][:f.pivots]
		for k := range f.pivots {
			row := f.upper[k*width:][:width]
			reduce(row, f.upper, width, inverse[:k])
			inverse[k] = 1 / row[k]
		}
		f.eliminate(inverse, s.factors)
		s.forward(f, x)
	}
	s.backward(x)
}

// factorSolveBlocks does so for two unknowns a cell.
func (s *sparse) factorSolveBlocks(volume []float64, diag, up, low []block, scale float64, x []float64) {
	for i := range s.fronts {
		f := &s.fronts[i]
		s.takeChildren(f)
		width := len(f.unknowns)
		for j, c := range f.cells {
			at := 2 * j * (width + 1)
			addBlock(f.values, coefficient{int32(at), int32(width), 1}, &diag[c], scale)
			f.values[at] += volume[c]
			f.values[at+width+1] += volume[c]
		}
		for _, j := range f.joins {
			addBlock(f.values, j.up, &up[j.face], scale)
			addBlock(f.values, j.low, &low[j.face], scale)
		}
		f.eliminateCells(s.inverse[f.first:][:f.pivots], s.swapped[f.first/2:])
		f.eliminate(s.inverse[f.first:][:f.pivots], s.factors)
		s.forward(f, x)
	}
	s.backward(x)
}

func addBlock(v []float64, s coefficient, b *block, scale float64) {
	v[s.at] -= scale * b.uu
	v[s.at+s.column] -= scale * b.uw
	v[s.at+s.row] -= scale * b.wu
	v[s.at+s.row+s.column] -= scale * b.ww
}

// takeChildren begins a front with what its children have left.
func (s *sparse) takeChildren(f *frontal) {
	clear(f.values)
	clear(f.rest)
	width, pivots := len(f.unknowns), f.pivots
	border := width - pivots
	for _, k := range f.children {
		child := &s.fronts[k]
		into, n := child.into, len(child.into)
		mine, beyond := into[:child.within], into[child.within:]
		for i, at := range mine {
			to, row := f.upper[int(at)*width:][:width], child.rest[i*n:][:n]
			for j, c := range into {
				to[c] += row[j]
			}
			to, column := f.lower[int(at)*border:][:border], child.rest[i:]
			for j, c := range beyond {
				to[int(c)-pivots] += column[(child.within+j)*n]
			}
		}
		for i, at := range beyond {
			to, row := f.rest[(int(at)-pivots)*border:][:border], child.rest[(child.within+i)*n+child.within:][:len(beyond)]
			for j, c := range beyond {
				to[int(c)-pivots] += row[j]
			}
		}
	}
}

// eliminateCells takes the pivots out of each other's rows where a cell has two, which
// change places if that of U would make too small a pivot.
func (f *frontal) eliminateCells(inverse []float64, swapped []bool) {
	width := len(f.unknowns)
	for i := 0; i < f.pivots; i += 2 {
		a, b := f.upper[i*width:][:width], f.upper[(i+1)*width:][:width]
		reduce(a, f.upper, width, inverse[:i])
		reduce(b, f.upper, width, inverse[:i])
		swap := math.Abs(a[i]*b[i+1]) < leastPivot*math.Abs(a[i+1]*b[i])
		if swapped[i/2] = swap; swap {
			for j, x := range a {
				a[j], b[j] = b[j], x
			}
		}
		inverse[i] = 1 / a[i]
		b[i] *= inverse[i]
		takeOff(b[i+1:], b[i], a[i+1:])
		inverse[i+1] = 1 / b[i+1]
	}
}

// eliminate takes the pivots, with their rows done, out of the rows of the border. With
// room for twice as many multipliers as there are pivots.
func (f *frontal) eliminate(inverse, room []float64) {
	width, pivots := len(f.unknowns), f.pivots
	border := width - pivots
	if border == 0 {
		return
	}
	k := 0
	for ; k+2 <= pivots; k += 2 {
		l, m := room[:k], room[k:2*k]
		for i := range l {
			u := f.upper[i*width+k:][:2]
			l[i], m[i] = u[0], u[1]
		}
		r, s := f.lower[k*border:][:border], f.lower[(k+1)*border:][:border]
		takeOffTwo(r, s, l, m, f.lower, border)
		a, b, u := inverse[k], inverse[k+1], f.upper[k*width+k+1]
		for j, x := range r {
			x *= a
			r[j] = x
			s[j] = (s[j] - u*x) * b
		}
	}
	if k < pivots {
		r := f.lower[k*border:][:border]
		for i := range k {
			takeOff(r, f.upper[i*width+k], f.lower[i*border:])
		}
		for j := range r {
			r[j] *= inverse[k]
		}
	}
	i := 0
	for ; i+2 <= border; i += 2 {
		l, m := room[:pivots], room[pivots:2*pivots]
		for k := range l {
			x := f.lower[k*border+i:][:2]
			l[k], m[k] = x[0], x[1]
		}
		r := f.rest[i*border:][:2*border]
		takeOffTwo(r[:border], r[border:], l, m, f.upper[pivots:], width)
	}
	if i < border {
		for k := range pivots {
			takeOff(f.rest[i*border:][:border], f.lower[k*border+i], f.upper[k*width+pivots:])
		}
	}
}

// reduce takes the pivots of the first rows of upper out of a row, which keeps the
// multipliers in their places. Four at a time it is read and written once for all.
func reduce(row, upper []float64, width int, inverse []float64) {
	k := 0
	for k < len(inverse) && row[k] == 0 { // not joined to these
		k++
	}
	for ; k+4 <= len(inverse); k += 4 {
		r := row[k:]
		p := upper[k*width+k:]
		p0, p1, p2, p3 := p[:len(r)], p[width:][:len(r)], p[2*width:][:len(r)], p[3*width:][:len(r)]
		a := r[0] * inverse[k]
		b := (r[1] - a*p0[1]) * inverse[k+1]
		c := (r[2] - a*p0[2] - b*p1[2]) * inverse[k+2]
		d := (r[3] - a*p0[3] - b*p1[3] - c*p2[3]) * inverse[k+3]
		r[0], r[1], r[2], r[3] = a, b, c, d
		for j := 4; j < len(r); j++ {
			r[j] -= (a*p0[j] + b*p1[j]) + (c*p2[j] + d*p3[j])
		}
	}
	if k+2 <= len(inverse) {
		r := row[k:]
		p := upper[k*width+k:]
		p0, p1 := p[:len(r)], p[width:][:len(r)]
		a := r[0] * inverse[k]
		b := (r[1] - a*p0[1]) * inverse[k+1]
		r[0], r[1] = a, b
		for j := 2; j < len(r); j++ {
			r[j] -= a*p0[j] + b*p1[j]
		}
		k += 2
	}
	if k < len(inverse) {
		row[k] *= inverse[k]
		takeOff(row[k+1:], row[k], upper[k*width+k+1:])
	}
}

// takeOff is row - l*pivot.
func takeOff(row []float64, l float64, pivot []float64) {
	pivot = pivot[:len(row)]
	for j, x := range pivot {
		row[j] -= l * x
	}
}

// takeOffTwo takes the rows of upper off two rows r and s, by the multipliers l and m.
func takeOffTwo(r, s, l, m, upper []float64, width int) {
	n := len(r)
	s, m = s[:n], m[:len(l)]
	k := 0
	for k < len(l) && l[k] == 0 && m[k] == 0 {
		k++
	}
	for ; k+4 <= len(l); k += 4 {
		p := upper[k*width:]
		p0, p1, p2, p3 := p[:n], p[width:][:n], p[2*width:][:n], p[3*width:][:n]
		a, b, c, d := l[k], l[k+1], l[k+2], l[k+3]
		e, f, g, h := m[k], m[k+1], m[k+2], m[k+3]
		for j := range r {
			x0, x1, x2, x3 := p0[j], p1[j], p2[j], p3[j]
			r[j] -= (a*x0 + b*x1) + (c*x2 + d*x3)
			s[j] -= (e*x0 + f*x1) + (g*x2 + h*x3)
		}
	}
	if k+2 <= len(l) {
		p := upper[k*width:]
		p0, p1 := p[:n], p[width:][:n]
		a, b, c, d := l[k], l[k+1], m[k], m[k+1]
		for j := range r {
			x0, x1 := p0[j], p1[j]
			r[j] -= a*x0 + b*x1
			s[j] -= c*x0 + d*x1
		}
		k += 2
	}
	if k < len(l) {
		p, a, e := upper[k*width:][:n], l[k], m[k]
		for j, x := range p {
			r[j] -= a * x
			s[j] -= e * x
		}
	}
}
