package kinetics

import "math"

// integral is the extent of one quantity in every cell as it grows along a run.
type integral struct {
	name            string
	law             Law
	rate            Rate
	line            line
	lowest, highest float64 // [°C] no rate below and above
	extent          []float64
}

func newIntegral(q Quantity, extent []float64) *integral {
	t := &integral{name: q.Name, law: q.Law, rate: q.Law.rate(), extent: extent}
	if t.rate != nil {
		t.line = t.rate.line()
		t.lowest, t.highest = t.rate.span()
	}
	return t
}

// at is the rate constant at a temperature [°C].
func (t *integral) at(cell int, temperature float64) (float64, error) {
	k := t.rate.At(temperature)
	if !(k >= 0 && k <= math.MaxFloat64) {
		return 0, t.wrong(cell, temperature, k, "a finite one, 0 or more")
	}
	return min(k, fastest), nil
}

func (t *integral) wrong(cell int, temperature, rate float64, want string) *RateError {
	return &RateError{Quantity: t.name, cell: cell, Temperature: temperature, Rate: rate, Want: want}
}

// parabola is the temperature [°C] of a cell through a step, s from -1 at its
// start to 1 at its end.
type parabola struct{ middle, tilt, bend float64 }

func through(start, middle, end float64) parabola {
	return parabola{middle: middle, tilt: (end - start) / 2, bend: (start+end)/2 - middle}
}

func (p parabola) at(s float64) float64 { return p.middle + s*(p.tilt+s*p.bend) }

// halves are its two halves, each from -1 to 1 again.
func (p parabola) halves() (first, second parabola) {
	middle, bend := p.middle+p.bend/4, p.bend/4
	return parabola{middle - p.tilt/2, (p.tilt - p.bend) / 2, bend}, parabola{middle + p.tilt/2, (p.tilt + p.bend) / 2, bend}
}
