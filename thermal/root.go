package thermal

import "math"

// firstRoot finds x in (a, b] where f, below zero at a and not below at b,
// comes to zero, from above: f(x) >= 0. It halves the interval at least every
// third evaluation (the Illinois form of false position between), to 1e-7 of
// its length.
func firstRoot(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	if !(fa < 0) {
		return a
	}
	small := 1e-7 * (b - a)
	for i := 0; i < 200 && b-a > small; i++ {
		x := (a + b) / 2
		if i%3 != 2 && !math.IsInf(fa, 0) && !math.IsInf(fb, 0) {
			x = b - fb*(b-a)/(fb-fa)
			x = math.Max(a+small/2, math.Min(b-small/2, x))
		}
		if fx := f(x); fx >= 0 {
			b, fb = x, fx
			fa /= 2
		} else {
			a, fa = x, fx
			fb /= 2
		}
	}
	return b
}
