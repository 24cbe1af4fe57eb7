package thermal

import (
	"math"

	"example.com/thawfront/phasechange"
)

// dense looks a share theta into the step under way. It puts back what it
// touches: looking must not change what comes next, not even by a rounding.
func (c *course) dense(theta float64) *State {
	p, s := c.step, c.sys
	if s.wet != nil {
		return c.wetDense(theta)
	}
	for i := range p.work {
		p.work[i] = cubic(theta, p.h, p.u[i], p.f[i], p.end[i], p.fEnd[i], &s.anchors[i])
	}
	copy(c.kept, s.temp)
	copy(c.kept[len(s.temp):], s.dT)
	s.surround(p.stage, before(p.t+theta*p.h, p.jump))
	s.evaluate(p.work)
	c.lookAt(&c.probe, theta)
	copy(s.temp, c.kept)
	copy(s.dT, c.kept[len(s.temp):])
	return &c.probe
}

// cubic is the energy of a cell a share theta into a step of length h: the
// cubic through two values and rates.
//
// Where a cell passes its freezing or boiling point its rate jumps, and just
// after it the cell adjusts within seconds what a step may take a minute for.
// The cubic would swing out there: its slopes are held to what keeps it monotone
// across the point (Fritsch & Carlson 1980), and elsewhere to what lets it pass
// the values by no more than some hundredths of a kelvin.
func cubic(theta, h, u, f, end, fEnd float64, a *phasechange.Anchor) float64 {
	rise := end - u
	f, fEnd = f*h, fEnd*h
	if (u < a.FreezingEnergy()) != (end < a.FreezingEnergy()) || (u < a.BoilingEnergy()) != (end < a.BoilingEnergy()) {
		f, fEnd = between(f, 3*rise), between(fEnd, 3*rise)
	} else {
		most := 3*math.Abs(rise) + swing
		f, fEnd = math.Max(-most, math.Min(most, f)), math.Max(-most, math.Min(most, fEnd))
	}
	return hermite(theta, u, f, end, fEnd)
}

// swing is by how much a cubic may pass the values it joins.
const swing = 2e6 // [J/m³] 4/27 of it is 0.08 K of moist food

// wetDense is dense with moving water.
func (c *course) wetDense(theta float64) *State {
	p, s := c.step, c.sys
	n := len(s.volume)
	for i := range p.work {
		p.work[i] = wetCubic(i >= n, theta, p.h, p.u[i], p.f[i], p.end[i], p.fEnd[i])
	}
	copy(c.kept, s.temp)
	c.keptCells = append(c.keptCells[:0], s.wet.cells...)
	s.surround(p.stage, before(p.t+theta*p.h, p.jump))
	s.evaluate(p.work)
	c.lookAt(&c.probe, theta)
	copy(s.temp, c.kept)
	copy(s.wet.cells, c.keptCells)
	return &c.probe
}

// wetCubic is cubic with moving water; water keeps between its two values, so that it
// never falls below none.
func wetCubic(water bool, theta, h, u, f, end, fEnd float64) float64 {
	rise := end - u
	f, fEnd = f*h, fEnd*h
	if water {
		f, fEnd = between(f, 3*rise), between(fEnd, 3*rise)
		return math.Max(0, hermite(theta, u, f, end, fEnd)) // whatever rounding does
	}
	most := 3*math.Abs(rise) + swing
	f, fEnd = math.Max(-most, math.Min(most, f)), math.Max(-most, math.Min(most, fEnd))
	return hermite(theta, u, f, end, fEnd)
}

func hermite(theta, u, f, end, fEnd float64) float64 {
	r := 1 - theta
	return r*r*(u*(1+2*theta)+theta*f) + theta*theta*(end*(1+2*r)-r*fEnd)
}

// between brings v between 0 and bound.
func between(v, bound float64) float64 {
	return math.Max(math.Min(0, bound), math.Min(math.Max(0, bound), v))
}

// crossing finds where within the step under way a condition that was not met at
// its start is met: at a share of it, exactly 1 if at its end. Time alone needs no
// search: steps land on it.
func (c *course) crossing(u Condition) (theta float64, met bool) {
	if _, timed := u.(elapsed); timed {
		return 1, u.margin(&c.state) >= 0
	}
	return c.rise(u.margin)
}

// rise finds where within the step under way a margin that was negative at its
// start has risen to zero: by its end, or else by its middle.
func (c *course) rise(margin func(*State) float64) (theta float64, found bool) {
	theta = 1
	if margin(&c.state) < 0 {
		if theta = 0.5; margin(c.dense(theta)) < 0 {
			return 0, false
		}
	}
	return root(func(x float64) float64 { return margin(c.dense(x)) }, 0, theta), true
}

// root finds x in (a, b] where f, below zero at a and not below at b,
// comes to zero, from above: f(x) >= 0. It halves the interval at least every
// third evaluation (the Illinois form of false position between), to 1e-6 of
// its length.
func root(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	if !(fa < 0) {
		return a
	}
	small := 1e-6 * (b - a)
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
