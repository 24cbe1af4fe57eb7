package safety

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// blunt is a body of a thickness [m] whose sections grow as the distance from the middle
// to the power of a shape factor, so that
//
//	ρc ∂T/∂t = x^-β ∂/∂x (x^β k ∂T/∂x)
//
// 0 is a slab, 1 a long cylinder, 2 a sphere; what lies between stands for pieces that
// are neither. The solver's shapes have whole powers. A half slab whose density
// and conductivity grow as x^β obeys the same equation: of thin layers, each has
// the mean of x^β as its density, for its heat, and that of x^-β as its resistance.
func blunt(t *testing.T, thickness, beta, alpha, k float64) thermal.Dish {
	t.Helper()
	const layers = 40
	d := thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(5)}
	n := layers
	if beta == 0 {
		n = 1
	}
	for i := range n {
		a, b := float64(i)/float64(n), float64(i+1)/float64(n)
		mass := (math.Pow(b, beta+1) - math.Pow(a, beta+1)) / (beta + 1) / (b - a)
		way := (1 - beta) * (b - a) / (math.Pow(b, 1-beta) - math.Pow(a, 1-beta))
		food, err := materials.FromEnthalpy("as printed", k/alpha/1000*mass,
			[]materials.Point{{T: -10, Enthalpy: 0, Conductivity: k * way}, {T: 110, Enthalpy: 120e3, Conductivity: k * way}})
		require.NoError(t, err)
		d.Layers = append(d.Layers, thermal.Layer{Name: fmt.Sprint(i), Food: food, Thickness: thickness / 2 / float64(n), Cells: 120 / n})
	}
	return d
}

// A blunt body heats as the series of its equation says.
func TestBluntBody(t *testing.T) {
	for _, beta := range []float64{0, 0.28, 0.6} {
		run := simulate(t, blunt(t, 0.05, beta, 1.4e-7, 0.48), thermal.Schedule{{Medium: thermal.Surroundings{Fluid: 55, H: 95},
			Until: thermal.Above(thermal.Centre(), 54.5), Limit: 24 * time.Hour}}, nil)
		want := bluntSeries(beta, 95*0.025/0.48, 0.5/50) * 0.025 * 0.025 / 1.4e-7 / 60
		t.Logf("shape factor %v: %.2f min, by the series %.2f", beta, run.Duration().Minutes(), want)
		assert.InEpsilon(t, want, run.Duration().Minutes(), 2e-3, "shape factor %v", beta)
	}
}

// bluntSeries is the Fourier number at which the middle of a body is left with a share of
// its difference of temperature. Its modes are the hypergeometric function
// 0F1((β+1)/2; -(λx)²/4), the cosine for β = 0 and Bessel's J0 for β = 1.
func bluntSeries(beta, biot, left float64) float64 {
	mode := func(l, x float64) (value, slope float64) {
		term := 1.0
		for n := 1.0; n < 80; n++ {
			value += term
			term *= -l * l * x * x / 4 / n / ((beta-1)/2 + n)
			slope += 2 * n / x * term
		}
		return value, slope
	}
	outside := func(l float64) float64 {
		v, d := mode(l, 1)
		return d + biot*v
	}
	var roots, weights []float64
	for l := 0.01; len(roots) < 4; l += 0.01 {
		if outside(l)*outside(l+0.01) > 0 {
			continue
		}
		lo, hi := l, l+0.01
		for range 60 {
			if mid := (lo + hi) / 2; outside(lo)*outside(mid) <= 0 {
				hi = mid
			} else {
				lo = mid
			}
		}
		roots = append(roots, lo)
		share := func(power int) float64 { // over the volume, which goes as x^(β+1)
			return quad.Fixed(func(v float64) float64 {
				m, _ := mode(lo, math.Pow(v, 1/(beta+1)))
				return math.Pow(m, float64(power))
			}, 0, 1, 200, nil, 0)
		}
		weights = append(weights, share(1)/share(2))
	}
	lo, hi := 0.1, 100.0
	for range 80 {
		mid, sum := (lo+hi)/2, 0.0
		for i, l := range roots {
			sum += weights[i] * math.Exp(-l*l*mid)
		}
		if sum > left {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// pasteurised is after how many minutes in a bath the worst of all cells of a dish has
// lost what Baldwin (2012) asks for.
func pasteurised(t *testing.T, d thermal.Dish, bath, hours float64) float64 {
	t.Helper()
	run := simulate(t, d, stage(thermal.Surroundings{Fluid: bath, H: 95}, time.Duration(hours*float64(time.Hour))), nil)
	hs, err := DishHistories(run)
	require.NoError(t, err)
	rule := MustFind("baldwin-meat")
	needed := 0.0
	for _, c := range rule.Criteria {
		k := c.(Kill)
		_, at, err := k.Set.Weakest(hs)
		require.NoError(t, err)
		assert.Less(t, at, len(hs)/10, "the middle is the last")
		needed = max(needed, reached(t, k.Set, hs[at], k.Least))
	}
	found := check(t, rule, Facts{Food: IntactMeat, Animal: Beef, WaterActivity: new(0.99)}, hs...)
	assert.Equal(t, Pass, found.Verdict, "%v", found)
	return needed
}

// From the material to the germs, by the solver, against the printed table of Baldwin (2012,
// International Journal of Gastronomy and Food Science 1) for beef, pork and lamb from 5 °C, which is rounded up: -5 to +25 %.
//
// Its constants, from memory: 1.11e-7 m²/s, 0.40 W/(m K), 95 W/(m² K), and a
// slab up to 30 mm, beyond it a shape factor of 0.28.
func TestPasteurisationEndToEnd(t *testing.T) {
	least, most := math.Inf(1), 0.0
	for _, row := range readTable(t, "water-bath-pasteurisation", "times.csv") {
		thickness, bath, printed := number(t, row["thickness_mm"]), number(t, row["bath_C"]), number(t, row["printed_min"])
		beta := 0.0
		if thickness > 30 {
			beta = 0.28
		}
		needed := pasteurised(t, blunt(t, thickness/1e3, beta, 1.11e-7, 0.40), bath, 12)
		ratio := printed / needed
		least, most = min(least, ratio), max(most, ratio)
		t.Logf("%2.0f mm, %.0f °C: printed %3.0f, computed %5.1f min (%+.1f %%)", thickness, bath, printed, needed, 100*(ratio-1))
		assert.True(t, ratio >= 0.95 && ratio <= 1.25, "%v mm, %v °C: printed %v, computed %.1f min", thickness, bath, printed, needed)
	}
	t.Logf("printed over computed: %.3f to %.3f", least, most)
}

// The heating table of Baldwin (2012), slabs from 5 to 54.5 °C in a bath of 55 °C, from memory
// with its constants. The print steps by a quarter of an hour from an hour on; 25 mm is
// where that is more than 5 %.
func TestHeatingTable(t *testing.T) {
	rounded := map[string]float64{"25": -8.6} // [%]
	for _, row := range readTable(t, "water-bath-heating", "heating-times.csv") {
		thickness, printed := number(t, row["thickness"]), number(t, row["printed"])
		run := simulate(t, blunt(t, thickness/1e3, 0, 1.4e-7, 0.48), thermal.Schedule{{Medium: thermal.Surroundings{Fluid: 55, H: 95},
			Until: thermal.Above(thermal.Centre(), 54.5), Limit: 24 * time.Hour}}, nil)
		off := 100 * (run.Duration().Minutes()/printed - 1)
		t.Logf("%2.0f mm: printed %3.0f, computed %5.1f min (%+.1f %%)", thickness, printed, run.Duration().Minutes(), off)
		if known, ok := rounded[row["thickness"]]; ok {
			assert.InDelta(t, known, off, 0.1, "%v mm", thickness)
			continue
		}
		assert.InDelta(t, 0, off, 5, "%v mm", thickness)
	}
}
