package thermal

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// iteration solves what sparse solves, for one unknown a cell, by BiCGStab (van der
// Vorst 1992) with an incomplete LU of the matrix's own pattern before it. It stands
// here to be compared with.
type iteration struct {
	first              []int32 // of row i the entries are first[i] to first[i+1]
	column             []int32
	centre             []int32 // the entry on the diagonal
	up, low            []int32 // the entries of each face
	value, factor      []float64
	r, r0, p, v, s, t  []float64
	ready, ready2, now []float64
	iterations         int
}

func newIteration(cells int, faces []face) *iteration {
	m := &iteration{first: make([]int32, cells+1), centre: make([]int32, cells), up: make([]int32, len(faces)), low: make([]int32, len(faces))}
	rows := make([][]int32, cells)
	for i := range rows {
		rows[i] = append(rows[i], int32(i))
	}
	for _, f := range faces {
		rows[f.a], rows[f.b] = append(rows[f.a], f.b), append(rows[f.b], f.a)
	}
	for i, row := range rows {
		slices.Sort(row)
		m.column = append(m.column, row...)
		m.first[i+1] = int32(len(m.column))
		m.centre[i] = m.find(int32(i), int32(i))
	}
	for k, f := range faces {
		m.up[k], m.low[k] = m.find(f.a, f.b), m.find(f.b, f.a)
	}
	m.value, m.factor = make([]float64, len(m.column)), make([]float64, len(m.column))
	for _, x := range []*[]float64{&m.r, &m.r0, &m.p, &m.v, &m.s, &m.t, &m.ready, &m.ready2, &m.now} {
		*x = make([]float64, cells)
	}
	return m
}

func (m *iteration) find(row, column int32) int32 {
	k, _ := slices.BinarySearch(m.column[m.first[row]:m.first[row+1]], column)
	return m.first[row] + int32(k)
}

// factorise sets the matrix and its incomplete factors; pivots are kept inverted.
func (m *iteration) factorise(volume, diag, up, low []float64, scale float64) {
	for i, k := range m.centre {
		m.value[k] = volume[i] - scale*diag[i]
	}
	for k := range m.up {
		m.value[m.up[k]], m.value[m.low[k]] = -scale*up[k], -scale*low[k]
	}
	copy(m.factor, m.value)
	for i, centre := range m.centre {
		for k := m.first[i]; k < centre; k++ {
			c := m.column[k]
			m.factor[k] *= m.factor[m.centre[c]]
			for j, l := k+1, m.centre[c]+1; j < m.first[i+1] && l < m.first[c+1]; {
				switch a, b := m.column[j], m.column[l]; {
				case a < b:
					j++
				case a > b:
					l++
				default:
					m.factor[j] -= m.factor[k] * m.factor[l]
					j++
					l++
				}
			}
		}
		m.factor[centre] = 1 / m.factor[centre]
	}
}

func (m *iteration) precondition(to, x []float64) {
	for i, centre := range m.centre {
		sum := x[i]
		for k := m.first[i]; k < centre; k++ {
			sum -= m.factor[k] * to[m.column[k]]
		}
		to[i] = sum
	}
	for i := len(to) - 1; i >= 0; i-- {
		sum, centre := to[i], m.centre[i]
		for k := centre + 1; k < m.first[i+1]; k++ {
			sum -= m.factor[k] * to[m.column[k]]
		}
		to[i] = sum * m.factor[centre]
	}
}

func (m *iteration) times(to, x []float64) {
	for i := range to {
		sum := 0.0
		for k := m.first[i]; k < m.first[i+1]; k++ {
			sum += m.value[k] * x[m.column[k]]
		}
		to[i] = sum
	}
}

// solve overwrites x with its solution, to a residual of the share left of it, or says
// that it stalls.
func (m *iteration) solve(x []float64, left float64) bool {
	copy(m.r, x)
	copy(m.r0, x)
	copy(m.p, x)
	clear(m.now)
	m.iterations = 0
	limit := left * floats.Norm(x, 2)
	rho := floats.Dot(m.r0, m.r)
	for range 500 {
		m.iterations++
		m.precondition(m.ready, m.p)
		m.times(m.v, m.ready)
		alpha := rho / floats.Dot(m.r0, m.v)
		copy(m.s, m.r)
		floats.AddScaled(m.s, -alpha, m.v)
		m.precondition(m.ready2, m.s)
		m.times(m.t, m.ready2)
		omega := floats.Dot(m.t, m.s) / floats.Dot(m.t, m.t)
		floats.AddScaled(m.now, alpha, m.ready)
		floats.AddScaled(m.now, omega, m.ready2)
		copy(m.r, m.s)
		floats.AddScaled(m.r, -omega, m.t)
		if size := floats.Norm(m.r, 2); size <= limit || math.IsNaN(size) {
			copy(x, m.now)
			return size <= limit
		}
		next := floats.Dot(m.r0, m.r)
		beta := next / rho * alpha / omega
		rho = next
		floats.AddScaled(m.p, -omega, m.v)
		floats.Scale(beta, m.p)
		floats.Add(m.p, m.r)
	}
	return false
}
