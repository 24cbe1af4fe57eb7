package kinetics

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A rate's line is the rate.
func TestLinesAreTheRates(t *testing.T) {
	for _, r := range []Rate{
		Arrhenius{K: 3e-3, Ref: 70, Ea: 250e3},
		Arrhenius{K: 3e-3, Ref: 0, Ea: 0},
		PreExponential(2.8e18, 139e3),
		Bigelow{D: 100 * time.Second, Z: 5.56, Ref: 60},
	} {
		for _, at := range []float64{-40, -1, 0, 25, 60, 99.7, 140, 250} {
			var want float64
			switch r := r.(type) {
			case Arrhenius:
				want = r.K * math.Exp(r.Ea/8.31446261815324*(1/(r.Ref+273.15)-1/(at+273.15)))
			case Bigelow:
				want = math.Ln10 / (r.D.Seconds() * math.Pow(10, (r.Ref-at)/r.Z))
			}
			assert.InEpsilon(t, min(want, fastest), r.At(at), 1e-12, "%#v at %g °C", r, at)
		}
	}
	assert.InEpsilon(t, 2.8e18*math.Exp(-139e3/(8.31446261815324*353.15)), PreExponential(2.8e18, 139e3).At(80), 1e-12)
}

func TestOnset(t *testing.T) {
	whole := Bigelow{D: time.Minute, Z: 6, Ref: 60}
	r := Onset{Lowest: 54.4, Rate: whole}
	assert.Zero(t, r.At(54.3999))
	assert.Equal(t, whole.At(54.4), r.At(54.4))
	assert.Equal(t, whole.At(70), r.At(70))
}

// The square-root model (Ratkowsky et al. 1983).
func TestSquareRoot(t *testing.T) {
	r := SquareRoot{B: 0.0735, C: 0.4, Tmin: 10, Tmax: 52}
	for _, at := range []float64{-20, 10, 52, 80} {
		assert.Zero(t, r.At(at), "no growth at %g °C", at)
	}
	want := math.Pow(0.0735*(30-10)*(1-math.Exp(0.4*(30-52))), 2) / 3600
	assert.InEpsilon(t, want, r.At(30), 1e-12)
	// Clostridium perfringens grows at best by 5.64 and 6.06 ln units an hour, at 43.5
	// and 46.4 °C (one-step dynamic analysis of its growth in braised beef and roasted
	// chicken while they cool). Constants from memory: Tmin 10 to 12, Tmax 51 to 53 °C,
	// C 0.3 to 0.6, B 0.045 to 0.06 in decades, which is 0.068 to 0.091 here.
	best, at := 0.0, 0.0
	for x := 10.0; x < 52; x += 0.1 {
		if k := r.At(x) * 3600; k > best {
			best, at = k, x
		}
	}
	assert.InDelta(t, 5.85, best, 0.21)
	assert.InDelta(t, 44.95, at, 1.45)
}

// Rates rise with temperature, but for growth beyond its optimum.
func TestRatesRise(t *testing.T) {
	for _, r := range []Rate{
		Arrhenius{K: 1e-3, Ref: 60, Ea: 1e5}, Bigelow{D: time.Second, Z: 10, Ref: 121.1},
		Onset{Lowest: 50, Rate: Arrhenius{K: 1e-3, Ref: 60, Ea: 1e5}},
	} {
		last := 0.0
		for at := -80.0; at < 300; at += 0.37 {
			k := r.At(at)
			require.GreaterOrEqual(t, k, last, "%#v at %g °C", r, at)
			last = k
		}
	}
}

// Nothing that a rate can be given makes it infinite.
func TestRatesStayFinite(t *testing.T) {
	for _, r := range []Rate{
		Arrhenius{K: 1e30, Ref: -100, Ea: 2e6}, Arrhenius{K: 1e-300, Ref: 1000, Ea: 2e6},
		Bigelow{D: 1, Z: 0.1, Ref: -100}, Bigelow{D: math.MaxInt64, Z: 0.1, Ref: 1000},
	} {
		require.Nil(t, r.check(), "%#v", r)
		for _, at := range []float64{-300, -273.15, -100, 0, 60, 1000, 1e6} {
			k := r.At(at)
			assert.True(t, k >= 0 && k <= 1.0001e30, "%g for %#v at %g °C", k, r, at)
		}
	}
}
