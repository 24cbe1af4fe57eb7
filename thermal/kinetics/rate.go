package kinetics

import (
	"fmt"
	"math"
	"time"
)

const (
	kelvin      = 273.15           // 0 °C [K]
	gasConstant = 8.31446261815324 // [J/(mol K)] exact since the SI of 2019
)

// fastest [1/s] is the largest rate constant that counts: faster ones are taken
// as this, which leaves nothing over in the shortest step.
const fastest = 1e30

// Rate is a rate constant as a function of temperature: an Arrhenius, Bigelow,
// SquareRoot, Onset, RateFunc or WaterRate.
type Rate interface {
	// At is the rate constant [1/s] at t [°C]; for NthOrder and ZeroOrder in the unit
	// these ask for.
	At(t float64) float64
	// span is where the rate is not zero [°C].
	span() (lowest, highest float64)
	// line gives ln k as a straight line, if it is one where k is not zero.
	line() line
	// check names the field that is wrong, if one is.
	check() *InputError
}

// line is ln k = offset + slope*x with x the temperature [°C], or minus the
// inverse of the absolute temperature [1/K].
type line struct {
	offset, slope  float64
	inverse, known bool
}

// Arrhenius is the rate constant
//
//	k = K exp(Ea/R (1/Tref - 1/T))
//
// with absolute temperatures.
type Arrhenius struct {
	K   float64 // [1/s] rate constant at Ref, for NthOrder and ZeroOrder in the unit these ask for; above 0
	Ref float64 // [°C] -100 to 1000
	Ea  float64 // [J/mol] activation energy, 0 to 2e6
}

// PreExponential is the Arrhenius rate constant k0 exp(-Ea/(R T)), k0 in [1/s]
// and Ea in [J/mol], as many papers print it.
func PreExponential(k0, ea float64) Arrhenius {
	const ref = 100
	return Arrhenius{K: k0 * math.Exp(-ea/(gasConstant*(ref+kelvin))), Ref: ref, Ea: ea}
}

// At is the rate constant [1/s] at t [°C].
func (r Arrhenius) At(t float64) float64 {
	return r.line().at(t)
}

func (r Arrhenius) span() (lowest, highest float64) { return math.Inf(-1), math.Inf(1) }

func (r Arrhenius) line() line {
	e := r.Ea / gasConstant
	return line{offset: math.Log(r.K) + e/(r.Ref+kelvin), slope: e, inverse: true, known: true}
}

func (r Arrhenius) check() *InputError {
	switch {
	case !(r.K > 0 && r.K <= fastest):
		return &InputError{Field: "rate constant K [1/s]", Value: r.K, Want: "above 0, up to 1e30"}
	case !(r.Ea >= 0 && r.Ea <= 2e6):
		return &InputError{Field: "activation energy [J/mol]", Value: r.Ea, Want: "0 to 2e6"}
	}
	return checkRef(r.Ref)
}

// Bigelow is the rate constant ln 10/D of a thermal death time curve, with a
// decimal reduction time of
//
//	D 10^((Ref-t)/Z).
type Bigelow struct {
	D   time.Duration // decimal reduction time at Ref; above 0
	Z   float64       // [K] that change it tenfold, 0.1 to 1000
	Ref float64       // [°C] -100 to 1000
}

// At is the rate constant [1/s] at t [°C].
func (r Bigelow) At(t float64) float64 {
	return r.line().at(t)
}

func (r Bigelow) span() (lowest, highest float64) { return math.Inf(-1), math.Inf(1) }

func (r Bigelow) line() line {
	slope := math.Ln10 / r.Z
	return line{offset: math.Log(math.Ln10/r.D.Seconds()) - slope*r.Ref, slope: slope, known: true}
}

func (r Bigelow) check() *InputError {
	switch {
	case r.D <= 0:
		return &InputError{Field: "decimal reduction time D", Value: r.D, Want: "above 0"}
	case !(r.Z >= 0.1 && r.Z <= 1000):
		return &InputError{Field: "z [K]", Value: r.Z, Want: "0.1 to 1000"}
	}
	return checkRef(r.Ref)
}

// Onset is Rate from a temperature on and zero below it: for a model whose
// author stops there, or to give no credit for what goes on below.
type Onset struct {
	Lowest float64 // [°C] -100 to 1000
	Rate   Rate
}

// At is the rate constant [1/s] at t [°C].
func (r Onset) At(t float64) float64 {
	if t < r.Lowest {
		return 0
	}
	return r.Rate.At(t)
}

func (r Onset) span() (lowest, highest float64) {
	lowest, highest = r.Rate.span()
	return max(lowest, r.Lowest), highest
}

func (r Onset) line() line {
	return r.Rate.line()
}

func (r Onset) check() *InputError {
	if !(r.Lowest >= -100 && r.Lowest <= 1000) {
		return &InputError{Field: "onset [°C]", Value: r.Lowest, Want: "-100 to 1000"}
	}
	switch r.Rate.(type) {
	case Onset: // one is enough, and a chain of them would not end
		return &InputError{Field: "rate of an Onset", Value: "an Onset", Want: "another Rate"}
	case WaterRate:
		return &InputError{Field: "rate of an Onset", Value: "a WaterRate, which has one", Want: "another Rate"}
	}
	return checkRate(r.Rate)
}

// RateFunc is a rate constant [1/s] of your own as a function of the temperature
// [°C]: finite and not negative, and smooth within a kelvin.
type RateFunc func(t float64) float64

// At is the rate constant [1/s] at t [°C].
func (r RateFunc) At(t float64) float64 { return r(t) }

func (r RateFunc) span() (lowest, highest float64) { return math.Inf(-1), math.Inf(1) }
func (r RateFunc) line() line                      { return line{} }
func (r RateFunc) check() *InputError {
	if r == nil {
		return &InputError{Field: "RateFunc", Value: "none", Want: "a function of the temperature"}
	}
	return nil
}

// x is the measure of temperature in which the line is straight.
func (l line) x(t float64) float64 {
	if l.inverse {
		return -1 / max(t+kelvin, 1)
	}
	return t
}

func (l line) k(x float64) float64  { return exp(bounded(l.offset + l.slope*x)) }
func (l line) at(t float64) float64 { return l.k(l.x(t)) }

// bounded keeps the logarithm of a rate constant where exp stays finite and not
// denormal: zero and fastest for all that matters.
func bounded(ln float64) float64 { return min(max(ln, -700), lnFastest) }

const lnFastest = 30 * math.Ln10

func checkRef(ref float64) *InputError {
	if !(ref >= -100 && ref <= 1000) {
		return &InputError{Field: "reference temperature [°C]", Value: ref, Want: "-100 to 1000"}
	}
	return nil
}

// checkRate checks a rate that may be missing.
func checkRate(r Rate) *InputError {
	switch r.(type) {
	case Arrhenius, Bigelow, SquareRoot, Onset, RateFunc, WaterRate:
		return r.check()
	}
	return &InputError{Field: "rate", Value: fmt.Sprintf("%T", r), Want: "an Arrhenius, Bigelow, SquareRoot, Onset, RateFunc or WaterRate"}
}
