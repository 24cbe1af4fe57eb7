package kinetics

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Laws against d value/dt at ∫k dt = x, by central differences, and their starts.
func TestLawsSolveTheirEquations(t *testing.T) {
	for name, c := range map[string]struct {
		law   Law
		slope func(value float64) float64 // by ∫k dt
		start float64
	}{
		"first order":    {FirstOrder{Start: 85, End: 20}, func(v float64) float64 { return -(v - 20) }, 85},
		"reacted":        {FirstOrder{Start: 0, End: 1}, func(v float64) float64 { return 1 - v }, 0},
		"zero order":     {ZeroOrder{Start: 4}, func(float64) float64 { return 1 }, 4},
		"order 0":        {NthOrder{Order: 0, Start: 10}, func(float64) float64 { return -1 }, 10},
		"half order":     {NthOrder{Order: 0.5, Start: 10}, func(v float64) float64 { return -math.Sqrt(v) }, 10},
		"order 1":        {NthOrder{Order: 1, Start: 3}, func(v float64) float64 { return -v }, 3},
		"next to 1":      {NthOrder{Order: 1 + 1e-9, Start: 3}, func(v float64) float64 { return -v }, 3},
		"second order":   {NthOrder{Order: 2, Start: 3}, func(v float64) float64 { return -v * v }, 3},
		"order 2.5":      {NthOrder{Order: 2.5, Start: 0.2}, func(v float64) float64 { return -math.Pow(v, 2.5) }, 0.2},
		"log reduction":  {LogReduction{}, func(float64) float64 { return 1 / math.Ln10 }, 0},
		"log growth":     {LogGrowth{}, func(float64) float64 { return 1 / math.Ln10 }, 0},
		"your own value": {OwnLaw{Start: 7}, func(float64) float64 { return 1 }, 7},
	} {
		assert.InDelta(t, c.start, c.law.value(c.law.fresh()), 1e-12, name)
		for _, x := range []float64{0.01, 0.3, 1, 2.5} {
			const d = 1e-5
			slope := (c.law.value(x+d) - c.law.value(x-d)) / (2 * d)
			want := c.slope(c.law.value(x))
			assert.InDelta(t, want, slope, 1e-6*(1+math.Abs(want)), "%s at %g", name, x)
		}
	}
	used := NthOrder{Order: 0.5, Start: 1}
	assert.Zero(t, used.value(2.1), "below order 1 there is an end")
	assert.InEpsilon(t, 1e-3, FirstOrder{Start: 0, End: 1}.value(1e-3), 1e-3)
	assert.InEpsilon(t, 1e-30, FirstOrder{Start: 0, End: 1}.value(1e-30), 1e-12, "small shares are not lost in rounding")
}

func TestChecks(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	sound := Bigelow{D: time.Minute, Z: 10, Ref: 60}
	var none RateFunc
	for what, law := range map[string]Law{
		"law":                                nil,
		"law *kinetics.FirstOrder":           &FirstOrder{Rate: sound, End: 1},
		"rate <nil>":                         LogReduction{},
		"rate *kinetics.Bigelow":             LogReduction{Rate: &sound},
		"RateFunc none":                      LogReduction{Rate: none},
		"decimal reduction time D 0s":        LogReduction{Rate: Bigelow{Z: 10, Ref: 60}},
		"decimal reduction time D -1s":       LogReduction{Rate: Bigelow{D: -time.Second, Z: 10, Ref: 60}},
		"z [K] 0":                            LogReduction{Rate: Bigelow{D: time.Minute, Ref: 60}},
		"z [K] NaN":                          LogReduction{Rate: Bigelow{D: time.Minute, Z: nan, Ref: 60}},
		"reference temperature [°C] NaN":     LogReduction{Rate: Bigelow{D: time.Minute, Z: 10, Ref: nan}},
		"reference temperature [°C] -300":    LogReduction{Rate: Arrhenius{K: 1, Ref: -300, Ea: 1e5}},
		"rate constant K [1/s] 0":            FirstOrder{Rate: Arrhenius{Ea: 1e5}, End: 1},
		"rate constant K [1/s] +Inf":         FirstOrder{Rate: Arrhenius{K: inf, Ea: 1e5}, End: 1},
		"activation energy [J/mol] -1":       FirstOrder{Rate: Arrhenius{K: 1, Ea: -1}, End: 1},
		"activation energy [J/mol] NaN":      FirstOrder{Rate: Arrhenius{K: 1, Ea: nan}, End: 1},
		"activation energy [J/mol] 1e+08":    FirstOrder{Rate: Arrhenius{K: 1, Ea: 1e8}, End: 1},
		"start NaN":                          FirstOrder{Rate: sound, Start: nan},
		"end +Inf":                           FirstOrder{Rate: sound, End: inf},
		"start 0":                            NthOrder{Rate: sound, Order: 2},
		"order NaN":                          NthOrder{Rate: sound, Order: nan, Start: 1},
		"order -1":                           NthOrder{Rate: sound, Order: -1, Start: 1},
		"start -Inf":                         ZeroOrder{Rate: sound, Start: -inf},
		"onset [°C] NaN":                     LogReduction{Rate: Onset{Lowest: nan, Rate: sound}},
		"rate of an Onset an Onset":          LogReduction{Rate: Onset{Rate: Onset{Rate: sound}}},
		"growth constant B [1/(K √h)] 0":     LogGrowth{Rate: SquareRoot{C: 0.2, Tmin: 5, Tmax: 40}},
		"growth constant C [1/K] NaN":        LogGrowth{Rate: SquareRoot{B: 0.03, C: nan, Tmin: 5, Tmax: 40}},
		"lowest temperature Tmin [°C] NaN":   LogGrowth{Rate: SquareRoot{B: 0.03, C: 0.2, Tmin: nan, Tmax: 40}},
		"highest temperature Tmax [°C] 5":    LogGrowth{Rate: SquareRoot{B: 0.03, C: 0.2, Tmin: 5, Tmax: 5}},
		"highest temperature Tmax [°C] +Inf": LogGrowth{Rate: SquareRoot{B: 0.03, C: 0.2, Tmin: 5, Tmax: inf}},
		"rate of an OwnLaw none":             OwnLaw{},
	} {
		q := Quantity{Name: "germs", Law: law}
		err := q.check()
		var input *InputError
		require.ErrorAs(t, err, &input, what)
		assert.Equal(t, "germs", input.Quantity)
		assert.ErrorContains(t, err, `kinetics: quantity "germs": `+what)
		assert.NotContains(t, err.Error(), "want ,")
	}
	nameless := Quantity{Law: LogReduction{Rate: sound}}
	assert.ErrorContains(t, nameless.check(), "name")
}
