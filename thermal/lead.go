package thermal

import "math"

// mostLeads is how often guesses are led in a stage of a step, mostly before the first
// factorisation. A second time follows where a front of melting passes two cells in one
// step; a third brings nothing more.
const mostLeads = 2

// lead takes cells over their freezing or boiling point in the guess u, if their balance
// takes them over; d is the stage's time [s], and p.work holds what is left of the
// balances. Newton's method then has their slopes of the right side from the start, and
// need not factor the matrix once more: where a front of melting goes through many cells
// that was every second stage. Neighbours give way as they would if all beyond them stood
// still: without that half of the cells were led in vain. It reports whether it moved any.
func (p *stepper) lead(u []float64, d float64) (moved bool) {
	s := p.sys
	n := len(u)
	rest, given := p.leads[:n], p.leads[n:]
	copy(rest, p.work)
	clear(given)
	for k := range s.faces {
		// the neighbour's unknown is eliminated from the two balances, either way
		f := &s.faces[k]
		up, low := d*s.up[k], d*s.low[k]
		a, b := 1/(s.volume[f.a]-d*s.diag[f.a]), 1/(s.volume[f.b]-d*s.diag[f.b])
		rest[f.a] += up * p.work[f.b] * b
		rest[f.b] += low * p.work[f.a] * a
		given[f.a] += up * low * b
		given[f.b] += up * low * a
	}
	for i, r := range rest {
		slope, anchor, was, v := s.dT[i], &s.anchors[i], u[i], s.volume[i]
		held := -d*s.diag[i] - given[i] // by energy
		du := r / (v + held)
		if slope <= 0 || !(math.Abs(du) >= negligible) {
			continue
		}
		kink := anchor.FreezingEnergy()
		if (was < kink) == (was+du < kink) {
			if kink = anchor.BoilingEnergy(); (was < kink) == (was+du < kink) {
				continue
			}
		}
		held /= slope // by temperature
		// two steps of Newton's method from just beyond the kink
		x, hint := kink+math.Copysign(negligible, du), s.hints[i]
		for range 2 {
			t, dt, _, _ := s.relation[i].At(x, anchor, &hint, s.temp[i])
			x -= (v*(x-was) - r + held*(t-s.temp[i])) / (v + held*dt)
		}
		if (x < kink) != (was < kink) {
			u[i], moved = x, true
		}
	}
	return moved
}
