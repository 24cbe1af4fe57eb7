package kinetics

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

// Any law along any course gives an error or a number, and quickly.
func FuzzLaws(f *testing.F) {
	for kind := range byte(16) {
		f.Add(kind, 1e-3, 60.0, 2e5, 6.0, 5.0, 55.0, 65.0, 100.0)
	}
	f.Add(byte(1), math.NaN(), math.Inf(1), -1.0, 0.0, -300.0, 1e5, -1e5, 1e9)
	f.Add(byte(8), 1e30, -100.0, 2e6, 0.1, -20.0, 250.0, 20.0, 1e7)
	f.Fuzz(func(t *testing.T, kind byte, a, b, c, d, start, middle, end, h float64) {
		var rate Rate
		switch kind % 4 {
		case 0:
			rate = Arrhenius{K: a, Ref: b, Ea: c}
		case 1:
			rate = Bigelow{D: time.Duration(a * 1e9), Z: d, Ref: b}
		case 2:
			rate = SquareRoot{B: a, C: d, Tmin: b, Tmax: b + c}
		case 3:
			rate = Onset{Lowest: d, Rate: Arrhenius{K: a, Ref: b, Ea: c}}
		}
		var law Law
		switch kind / 4 % 4 {
		case 0:
			law = LogReduction{Rate: rate}
		case 1:
			law = FirstOrder{Rate: rate, Start: d, End: c}
		case 2:
			law = NthOrder{Rate: rate, Order: d, Start: c}
		case 3:
			law = ZeroOrder{Rate: rate, Start: d}
		}
		q := Quantity{Name: "q", Law: law}
		if err := q.check(); err != nil {
			var input *InputError
			require.True(t, errors.As(err, &input))
			return
		}
		if !(min(start, middle, end) > -200 && max(start, middle, end) < 1000 && h > 0 && h < 1e9) {
			return // no run gives these
		}
		i := newIntegral(q, []float64{law.fresh()})
		e := newEngine(i)
		v := thermal.Interval{Length: h, Temperature: [3][]float64{{start}, {middle}, {end}}}
		require.NoError(t, e.step(&v))
		require.NoError(t, e.flush())
		require.True(t, i.extent[0] >= 0 && i.extent[0] < 1e41, "%g", i.extent[0])
		value := law.value(i.extent[0])
		require.False(t, math.IsNaN(value) || math.IsInf(value, 0), "%#v: %g", law, value)
	})
}
