package kinetics

import (
	"math"

	"example.com/thawfront/thermal"
)

const (
	ownTolerance = 1e-8   // [-] of the value, for one part of a step
	ownParts     = 10_000 // of a step, before a law counts as too fast
)

// stepOwn moves a law of the caller's own on by one step of the solver.
func (t *integral) stepOwn(v *thermal.Interval) error {
	law := t.law.(OwnLaw)
	for i := range t.extent {
		p := through(v.Temperature[0][i], v.Temperature[1][i], v.Temperature[2][i])
		value, fault := law.walk(t.extent[i], p, v.Length)
		if fault.want != "" {
			return t.wrong(i, fault.temperature, fault.rate, fault.want)
		}
		t.extent[i] = value
	}
	return nil
}

// ownFault is why an OwnLaw could not be integrated.
type ownFault struct {
	temperature, rate float64
	want              string
}

// walk goes from a value through one step of length h [s] by the formulas of
// orders 3 and 2 of Bogacki & Shampine (1989), in parts as long as the tolerance
// lets them be.
func (l OwnLaw) walk(value float64, p parabola, h float64) (float64, ownFault) {
	var fault ownFault
	f := func(theta, value float64) float64 {
		t := p.at(2*theta - 1)
		rate := l.Rate(t, value)
		if !(math.Abs(rate) <= math.MaxFloat64) {
			fault = ownFault{t, rate, "a finite one"}
		}
		return rate
	}
	theta, part := 0.0, 1.0
	k1 := f(0, value)
	if fault.want != "" {
		return value, fault
	}
	for range ownParts {
		d := h * part
		k2 := f(theta+part/2, value+d/2*k1)
		k3 := f(theta+part*3/4, value+d*3/4*k2)
		next := value + d*(2./9*k1+1./3*k2+4./9*k3)
		k4 := f(theta+part, next)
		size := max(math.Abs(value), math.Abs(next), 1e-300)
		miss := math.Abs(d*(-5./72*k1+1./12*k2+1./9*k3-1./8*k4)) / (ownTolerance * size)
		// the two orders may agree by chance where neither is near; not if little turns
		turn := math.Abs(d*(k4-k1)) / (0.1 * size)
		miss = max(miss, turn*turn*turn)
		if miss <= 1 {
			value, k1, theta = next, k4, theta+part
			if theta >= 1-1e-12 {
				return value, ownFault{}
			}
		}
		grow := 0.2 // if the trial went out of bounds
		if miss <= math.MaxFloat64 {
			grow = max(0.2, 0.9/math.Cbrt(max(miss, 1e-3)))
		}
		part = min(part*grow, 1-theta)
	}
	if fault.want == "" {
		fault = ownFault{p.at(2*theta - 1), k1, "one that the value can follow; a law that settles at once may be a FirstOrder"}
	}
	return value, fault
}
