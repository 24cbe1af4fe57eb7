package thermal

import "math"

// mostLeads is how often guesses are led before a stage's first factorisation. A second
// time follows where a front of melting passes two cells in one step.
const mostLeads = 2

// lead takes cells over their freezing or boiling point in the guess u, if their own
// balance takes them over with their neighbours as warm as they are; d is the stage's
// time [s], and p.work holds what is left of the balances. Newton's method then has their
// slopes of the right side from the start, and need not factor the matrix once more: it
// saves an eighth of the factorisations of 60 x 60 cells, a fifth of 100 x 100. Where
// the matrix is a chain's it is not worth the evaluation. It reports whether it moved any.
func (p *stepper) lead(u []float64, d float64) (moved bool) {
	s := p.sys
	for i, r := range p.work[:len(u)] {
		slope, a, was := s.dT[i], &s.anchors[i], u[i]
		v := s.volume[i]
		du := r / (v - d*s.diag[i])
		if slope <= 0 || du < negligible && du > -negligible {
			continue
		}
		kink := a.FreezingEnergy()
		if (was < kink) == (was+du < kink) {
			if kink = a.BoilingEnergy(); (was < kink) == (was+du < kink) {
				continue
			}
		}
		// two steps of Newton's method from just beyond the kink
		x, hint, held := kink+math.Copysign(negligible, du), s.hints[i], -d*s.diag[i]/slope
		for range 2 {
			t, dt, _, _ := s.relation[i].At(x, a, &hint, s.temp[i])
			x -= (v*(x-was) - r + held*(t-s.temp[i])) / (v + held*dt)
		}
		if (x < kink) != (was < kink) {
			u[i], moved = x, true
		}
	}
	return moved
}
