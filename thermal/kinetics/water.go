package kinetics

import (
	"fmt"
	"math"

	"example.com/thawfront/thermal"
)

// WaterRate is a rate constant that depends on water activity too: each place has
// its own, from the run. It is smooth in both.
type WaterRate struct {
	Lowest  float64                     // [°C] no rate below, -100 to 1000
	Assumed float64                     // [-] water activity where the run knows of none, 0 to 1
	K       func(t, aw float64) float64 // [1/s] at t [°C] and water activity aw [-]; as of a RateFunc
}

// At is the rate constant [1/s] at t [°C] and the assumed water activity.
func (r WaterRate) At(t float64) float64 {
	if t < r.Lowest {
		return 0
	}
	return r.K(t, r.Assumed)
}

func (r WaterRate) span() (lowest, highest float64) { return r.Lowest, math.Inf(1) }
func (r WaterRate) line() line                      { return line{} }

func (r WaterRate) check() *InputError {
	switch {
	case r.K == nil:
		return &InputError{Field: "rate of a WaterRate", Value: "none", Want: "a function of temperature and water activity"}
	case !(r.Lowest >= -100 && r.Lowest <= 1000):
		return &InputError{Field: "lowest temperature [°C]", Value: r.Lowest, Want: "-100 to 1000"}
	case !(r.Assumed >= 0 && r.Assumed <= 1):
		return &InputError{Field: "assumed water activity", Value: r.Assumed, Want: "0 to 1"}
	}
	return nil
}

// stepWater moves the integral of a WaterRate on by one step of the solver. Few
// cells are hot enough at a time, so that it may look at each step.
func (t *integral) stepWater(v *thermal.Interval) error {
	r := t.rate.(WaterRate)
	for i := range t.extent {
		p := through(v.Temperature[0][i], v.Temperature[1][i], v.Temperature[2][i])
		if p.middle+math.Abs(p.tilt)+math.Abs(p.bend) < t.lowest {
			continue
		}
		aw := v.WaterActivity(i)
		if math.IsNaN(aw) {
			aw = r.Assumed
		}
		dose, err := t.alongWater(r, i, p, v.Length, min(max(aw, 0), 1), mostCuts)
		if err != nil {
			return err
		}
		t.extent[i] += dose
	}
	return nil
}

const (
	// straight [K] is how far temperature may go in a piece that Gauss's rule of two
	// points takes: at a slope of 0.1/K in ln k it is 1e-5 off.
	straight = 4
	// mostCuts is how often a step is halved at most, to a rate that sets in within.
	mostCuts = 10
)

// alongWater is the time integral of the rate of a cell over a piece of length h [s].
func (t *integral) alongWater(r WaterRate, cell int, p parabola, h, aw float64, cuts int) (float64, error) {
	reach := math.Abs(p.tilt) + math.Abs(p.bend)
	edge := p.middle-reach < t.lowest && p.middle+reach > t.lowest
	if cuts > 0 && (edge || reach > straight/2) {
		first, second := p.halves()
		a, err := t.alongWater(r, cell, first, h/2, aw, cuts-1)
		if err != nil {
			return 0, err
		}
		b, err := t.alongWater(r, cell, second, h/2, aw, cuts-1)
		return a + b, err
	}
	const off = 0.5773502691896258 // 1/sqrt(3)
	var sum float64
	for _, at := range [2]float64{p.at(-off), p.at(off)} {
		if at < t.lowest {
			continue
		}
		k := r.K(at, aw)
		if !(k >= 0 && k <= math.MaxFloat64) {
			return 0, t.wrong(cell, at, k, fmt.Sprintf("a finite one, 0 or more, at water activity %.3g", aw))
		}
		sum += min(k, fastest)
	}
	return sum * h / 2, nil
}
