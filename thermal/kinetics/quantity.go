package kinetics

import (
	"fmt"
	"math"
)

// Quantity is what is followed along a run.
type Quantity struct {
	Name   string // unique among those followed together
	Unit   string // of its value, for reports
	Source string // of its constants, for reports
	Law    Law
}

func (q *Quantity) check() error {
	if q.Name == "" {
		return &InputError{Field: "name of a quantity", Value: `""`, Want: "a name"}
	}
	var fault *InputError
	switch q.Law.(type) {
	case FirstOrder, NthOrder, ZeroOrder, LogReduction, LogGrowth, OwnLaw:
		fault = q.Law.check()
	default:
		fault = &InputError{Field: "law", Value: fmt.Sprintf("%T", q.Law), Want: "a FirstOrder, NthOrder, ZeroOrder, LogReduction, LogGrowth or OwnLaw"}
	}
	if fault != nil {
		fault.Quantity = q.Name
		return fault
	}
	return nil
}

// Law is what a rate does to the value of a quantity: a FirstOrder, NthOrder,
// ZeroOrder, LogReduction, LogGrowth or OwnLaw.
type Law interface {
	// value follows from the extent, which is what is integrated and carried: of
	// an OwnLaw the value itself, of the others the time integral of the rate.
	value(extent float64) float64
	// fresh is the extent of food that has no history.
	fresh() float64
	// rate is nil for an OwnLaw.
	rate() Rate
	check() *InputError
}

// FirstOrder goes from Start to End:
//
//	value = End + (Start-End) exp(-∫k dt)
//
// Start 0 and End 1 give the share that has reacted, Start 1 and End 0 the one
// that is left.
type FirstOrder struct {
	Rate       Rate
	Start, End float64 // [-] in the quantity's unit
}

func (l FirstOrder) value(extent float64) float64 {
	return l.Start + (l.Start-l.End)*math.Expm1(-extent)
}
func (l FirstOrder) fresh() float64 { return 0 }
func (l FirstOrder) rate() Rate     { return l.Rate }
func (l FirstOrder) check() *InputError {
	return first(checkRate(l.Rate), checkValue("start", l.Start), checkValue("end", l.End))
}

// NthOrder decays from Start by d value/dt = -k valueⁿ:
//
//	value = (Start^(1-n) + (n-1) ∫k dt)^(1/(1-n))
//
// Below order 1 it comes to zero in the end and stays there.
type NthOrder struct {
	Rate  Rate    // in 1/s times the quantity's unit to the power 1-n
	Order float64 // [-] n, 0 to 10
	Start float64 // [-] in the quantity's unit; above 0
}

func (l NthOrder) value(extent float64) float64 {
	m := l.Order - 1
	if m == 0 {
		return l.Start * math.Exp(-extent)
	}
	y := m * math.Pow(l.Start, m) * extent
	if y <= -1 {
		return 0
	}
	return l.Start * math.Exp(-math.Log1p(y)/m)
}
func (l NthOrder) fresh() float64 { return 0 }
func (l NthOrder) rate() Rate     { return l.Rate }
func (l NthOrder) check() *InputError {
	fault := first(checkRate(l.Rate), checkValue("start", l.Start))
	switch {
	case fault != nil:
		return fault
	case !(l.Order >= 0 && l.Order <= 10):
		return &InputError{Field: "order", Value: l.Order, Want: "0 to 10"}
	case !(l.Start >= 1e-12):
		return &InputError{Field: "start", Value: l.Start, Want: "1e-12 to 1e12"}
	}
	return nil
}

// ZeroOrder grows from Start by the rate itself: value = Start + ∫k dt.
type ZeroOrder struct {
	Rate  Rate    // in the quantity's unit a second
	Start float64 // [-] in the quantity's unit
}

func (l ZeroOrder) value(extent float64) float64 { return l.Start + extent }
func (l ZeroOrder) fresh() float64               { return 0 }
func (l ZeroOrder) rate() Rate                   { return l.Rate }
func (l ZeroOrder) check() *InputError {
	return first(checkRate(l.Rate), checkValue("start", l.Start))
}

// LogReduction is the number of decimal reductions, ∫k dt/ln 10: of 6, one germ
// in a million is left.
type LogReduction struct{ Rate Rate }

func (l LogReduction) value(extent float64) float64 { return extent / math.Ln10 }
func (l LogReduction) fresh() float64               { return 0 }
func (l LogReduction) rate() Rate                   { return l.Rate }
func (l LogReduction) check() *InputError           { return checkRate(l.Rate) }

// LogGrowth is the number of decades by which germs have grown, ∫µ dt/ln 10,
// without lag and without a largest number: an estimate from above.
type LogGrowth struct{ Rate Rate }

func (l LogGrowth) value(extent float64) float64 { return extent / math.Ln10 }
func (l LogGrowth) fresh() float64               { return 0 }
func (l LogGrowth) rate() Rate                   { return l.Rate }
func (l LogGrowth) check() *InputError           { return checkRate(l.Rate) }

// OwnLaw is a law of your own: the rate of the value, in the quantity's unit a
// second, at a temperature and the present value. It is integrated by a pair
// of Runge-Kutta formulas, to about 1e-7 of the value a step of the solver; a
// law that is one of the others is better given as that.
type OwnLaw struct {
	Start float64                        // [-] in the quantity's unit
	Rate  func(t, value float64) float64 // at t [°C]
}

func (l OwnLaw) value(extent float64) float64 { return extent }
func (l OwnLaw) fresh() float64               { return l.Start }
func (l OwnLaw) rate() Rate                   { return nil }
func (l OwnLaw) check() *InputError {
	if l.Rate == nil {
		return &InputError{Field: "rate of an OwnLaw", Value: "none", Want: "a function of temperature and value"}
	}
	return checkValue("start", l.Start)
}

func checkValue(field string, v float64) *InputError {
	if !(math.Abs(v) <= 1e12) {
		return &InputError{Field: field, Value: v, Want: "-1e12 to 1e12"}
	}
	return nil
}

// first gives the first fault there is.
func first(faults ...*InputError) *InputError {
	for _, f := range faults {
		if f != nil {
			return f
		}
	}
	return nil
}
