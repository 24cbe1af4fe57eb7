package materials

import "math"

var notANumber = math.NaN()

// The range [°C] the polynomials were fitted in, and how the continuation
// beyond it is damped: over dampLength [K], or over less, such that no value
// strays by more than dampShare of the one at the end of the range.
const (
	fitLow     = -40.0
	fitHigh    = 150.0
	dampLength = 50.0
	dampShare  = 0.2
)

// curve is A + B t + C t² from fitLow to fitHigh, t in °C, and a damped line
// outside.
type curve struct {
	a, b, c   float64
	low, high tail
}

// tail continues a curve from an end [°C], at the distance d = t - end, as
//
//	value + slope L (1 - e^(-|d|/L)) sign d
type tail struct {
	end, value, slope, length float64
	below                     float64 // integral of the curve from 0 °C to end
}

func newCurve(a, b, c float64) curve {
	q := curve{a: a, b: b, c: c}
	q.low, q.high = q.tail(fitLow), q.tail(fitHigh)
	return q
}

func (q *curve) tail(end float64) tail {
	e := tail{end, q.polynomial(end), q.b + 2*q.c*end, dampLength, q.primitive(end)}
	if s := math.Abs(e.slope); s*dampLength > dampShare*e.value {
		e.length = dampShare * e.value / s
	}
	return e
}

func (q *curve) polynomial(t float64) float64 { return q.a + t*(q.b+t*q.c) }
func (q *curve) primitive(t float64) float64  { return t * (q.a + t*(q.b/2+t*(q.c/3))) }

// at evaluates the curve at t [°C].
func (q *curve) at(t float64) float64 {
	switch {
	case t > fitHigh:
		return q.high.at(t)
	case t < fitLow:
		return q.low.at(t)
	}
	return q.polynomial(t)
}

// integral of the curve from 0 °C to t [°C].
func (q *curve) integral(t float64) float64 {
	switch {
	case t > fitHigh:
		return q.high.integral(t)
	case t < fitLow:
		return q.low.integral(t)
	}
	return q.primitive(t)
}

func (e *tail) at(t float64) float64 {
	d := t - e.end
	if d < 0 {
		return e.value + e.slope*e.length*math.Expm1(d/e.length)
	}
	return e.value - e.slope*e.length*math.Expm1(-d/e.length)
}

func (e *tail) integral(t float64) float64 {
	d := t - e.end
	a := math.Abs(d)
	return e.below + e.value*d + e.slope*e.length*(a+e.length*math.Expm1(-a/e.length))
}
