package materials

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
)

var properties = map[string]func(Component, float64) float64{
	"conductivity":  Component.Conductivity,
	"density":       Component.Density,
	"specific-heat": func(c Component, t float64) float64 { return c.SpecificHeat(t) / 1000 },
}

func component(t *testing.T, name string) Component {
	t.Helper()
	for c := Water; c < components; c++ {
		if c.String() == name {
			return c
		}
	}
	require.Fail(t, "no component", name)
	return 0
}

// Choi & Okos (1986), coefficients as printed, see testdata/choi-okos-1986.
func TestComponentsFollowPrintedCoefficients(t *testing.T) {
	for _, r := range published(t, "choi-okos-1986/coefficients.csv") {
		low, high, name := -40.0, 150.0, r["component"]
		switch {
		case name == "ice":
			high = 0
		case name == "water-below-0":
			name, high = "water", -1e-9
		case name == "water" && r["property"] == "specific-heat":
			low = 0
		}
		f, c := properties[r["property"]], component(t, name)
		for i := range 20 {
			x := low + (high-low)*float64(i)/19
			want := r.number(t, "A") + r.number(t, "B")*x + r.number(t, "C")*x*x
			assert.InEpsilon(t, want, f(c, x), 1e-9, "%v at %v", r, x)
		}
	}
}

// The same polynomials evaluated by another program, 4 digits.
func TestComponentsAgainstTabulatedValues(t *testing.T) {
	for _, r := range published(t, "choi-okos-1986/values.csv") {
		got := properties[r["property"]](component(t, r["component"]), r.number(t, "t"))
		digits := 0.5e-4 // of the rounding
		if r["property"] == "density" {
			digits = 0.05
		}
		assert.InDelta(t, r.number(t, "value"), got, digits*1.001, "%v", r)
	}
}

// CRC Handbook, ice and supercooled water; Ohio University steam tables and
// measured water, 0 to 100 °C: the fits against measurement.
func TestComponentsAgainstMeasuredWater(t *testing.T) {
	tests := []struct {
		name            string
		got, want, band float64
	}{
		{"water cp 10 °C", Water.SpecificHeat(10), 4192, 0.005},
		{"water cp 20 °C", Water.SpecificHeat(20), 4182, 0.005},
		{"water cp 60 °C", Water.SpecificHeat(60), 4184, 0.005},
		{"water cp 100 °C", Water.SpecificHeat(100), 4216, 0.005},
		{"water density 20 °C", Water.Density(20), 998.21, 0.005},
		{"water density 60 °C", Water.Density(60), 983.2, 0.005},
		{"water density 100 °C", Water.Density(100), 958.4, 0.005},
		{"water k 0 °C", Water.Conductivity(0), 0.56, 0.025},
		{"ice density 0 °C", Ice.Density(0), 916.7, 0.001},
		{"ice density -30 °C", Ice.Density(-30), 921.6, 0.001},
		{"ice cp 0 °C", Ice.SpecificHeat(0), 2110, 0.03},
		{"ice cp -20 °C", Ice.SpecificHeat(-20), 1960, 0.03},
		{"ice k -10 °C", Ice.Conductivity(-10), 2.3, 0.04},
		{"ice k -20 °C", Ice.Conductivity(-20), 2.4, 0.04},
	}
	for _, test := range tests {
		assert.InEpsilon(t, test.want, test.got, test.band, test.name)
	}
}

func TestEnthalpyIsTheIntegralOfSpecificHeat(t *testing.T) {
	for c := Water; c < components; c++ {
		assert.Zero(t, c.Enthalpy(0), c)
		for x := -200.0; x <= 500; x += 7.3 {
			// Panels end at the joints of the curve.
			ends := []float64{0}
			for _, e := range []float64{fitLow, fitHigh} {
				if e*x > 0 && math.Abs(e) < math.Abs(x) {
					ends = append(ends, e)
				}
			}
			ends = append(ends, x)
			var want float64
			for i := 1; i < len(ends); i++ {
				a, b, sign := ends[i-1], ends[i], 1.0
				if b < a {
					a, b, sign = b, a, -1
				}
				want += sign * quad.Fixed(c.SpecificHeat, a, b, 40, nil, 0)
			}
			assert.InDelta(t, want, c.Enthalpy(x), 1e-7*math.Abs(want)+1e-6, "%v to %v °C", c, x)
		}
	}
}

// Outside of the fitted range every curve goes on without a step or a corner,
// keeps its direction, stays positive and within a fifth of its end.
func TestContinuation(t *testing.T) {
	for name, f := range properties {
		for c := Water; c < components; c++ {
			g := func(x float64) float64 { return f(c, x) }
			for _, end := range []float64{fitLow, fitHigh} {
				if c == Ice && end > 0 {
					continue
				}
				out := math.Copysign(1, end)
				const h = 1e-4
				inside, outside := (g(end)-g(end-out*h))/h, (g(end+out*h)-g(end))/h
				assert.InDelta(t, g(end), g(end+out*1e-9), 1e-9*g(end), "%s of %v steps at %v °C", name, c, end)
				assert.InDelta(t, inside, outside, 1e-5*g(end), "%s of %v has a corner at %v °C", name, c, end)
				last := g(end)
				for d := 5.0; d <= 600; d += 5 {
					now := g(end + out*d)
					assert.Positive(t, now)
					assert.LessOrEqual(t, math.Abs(now/g(end)-1), dampShare*(1+1e-12), "%s of %v at %v °C", name, c, end+out*d)
					assert.GreaterOrEqual(t, (now-last)*math.Copysign(1, inside), -1e-12*last, "%s of %v turns at %v °C", name, c, end+out*d)
					last = now
				}
			}
		}
	}
}

func TestIceIsHeldAboveZero(t *testing.T) {
	assert.Equal(t, Ice.Conductivity(0), Ice.Conductivity(50))
	assert.Equal(t, Ice.Density(0), Ice.Density(50))
	assert.Equal(t, Ice.SpecificHeat(0), Ice.SpecificHeat(50))
	assert.InDelta(t, 50*2062.3, Ice.Enthalpy(50), 1e-6)
}

func TestComponentsOnBadInput(t *testing.T) {
	for c := Water; c < components; c++ {
		for _, f := range []func(float64) float64{c.Conductivity, c.Density, c.SpecificHeat, c.Enthalpy} {
			assert.True(t, math.IsNaN(f(math.NaN())), c)
		}
		for _, x := range []float64{math.Inf(1), math.Inf(-1), 1e300, -1e300} {
			assert.Positive(t, c.Conductivity(x))
			assert.Positive(t, c.Density(x))
			assert.Positive(t, c.SpecificHeat(x))
		}
	}
	none := Component(200)
	assert.Equal(t, "Component(200)", none.String())
	assert.True(t, math.IsNaN(none.Conductivity(20)))
	assert.True(t, math.IsNaN(none.Density(20)))
	assert.True(t, math.IsNaN(none.SpecificHeat(-20)))
	assert.True(t, math.IsNaN(none.Enthalpy(20)))
}

func TestComponentNames(t *testing.T) {
	assert.Equal(t, "water", Water.String())
	assert.Equal(t, "ash", Ash.String())
}
