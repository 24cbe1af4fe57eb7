package phasechange

import "math"

// bracket keeps Newton's method for a rising function between two bounds. Where a fat
// melts or a curve has its kink the slope is no guide: it may send the search out of the
// bounds, or to and fro over the root for ever (cocoa butter at 27.7 °C, begun from 0).
// So it halves instead of taking a step that would leave them, or one that is more than
// half of the step before and of what is left between them; compare Press et al. 2007,
// Numerical Recipes, section 9.4.
type bracket struct {
	lo, hi float64
	last   float64 // size of the step before
}

func newBracket(lo, hi float64) bracket { return bracket{lo, hi, math.Inf(1)} }

// next takes where the search stands and the step Newton's method asks for, up where the
// function is below its target, and gives where to look next.
func (b *bracket) next(at, step float64) float64 {
	if step > 0 {
		b.lo = at
	} else {
		b.hi = at
	}
	twice, to := 2*math.Abs(step), at+step
	if to < b.lo || to > b.hi || twice > b.last && twice > b.hi-b.lo { // none with NaN, which stays
		to = (b.lo + b.hi) / 2
	}
	b.last = math.Abs(to - at)
	return to
}
