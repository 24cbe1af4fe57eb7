package thermal

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// Where a cell has all of its water, the surface is at the temperature at which as much
// heat comes as goes on to the node by the flux potential, from whatever guess: halving
// finds the same. Among the surfaces are thin cells behind a wrapper or an air gap, where
// a guess that is a kelvin off asks for less than absolute zero outside, and conductivities
// that jump a hundredfold, between which Newton's method goes to and fro.
func TestWholeSurfaceFromAnyGuess(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	size := func(lo, hi float64) float64 { return math.Exp(between(math.Log(lo), math.Log(hi))) }
	jumping := measured(t, 1000, []materials.Point{{T: -40, Enthalpy: 0, Conductivity: 5}, {T: -0.001, Enthalpy: 8e4, Conductivity: 5},
		{T: 0.001, Enthalpy: 4e5, Conductivity: 0.05}, {T: 50, Enthalpy: 6e5, Conductivity: 5}, {T: 50.001, Enthalpy: 6.001e5, Conductivity: 0.05},
		{T: 90, Enthalpy: 8e5, Conductivity: 0.05}})
	for _, food := range []materials.Food{materials.MustFind("spinach, raw"), materials.MustFind("water"), materials.MustFind("lard"), jumping} {
		r, err := phasechange.New(food, phasechange.Settings{})
		require.NoError(t, err)
		var worst float64
		for range 20000 {
			cell := between(-60, 90)
			var f surface
			var hint int32
			pot, k := r.Potential(cell, &hint)
			f.Area = size(1e-4, 1)
			f.Half = size(1e-5, 0.1) / f.Area
			f.meets = Surroundings{Fluid: between(-200, 500), H: size(1e-3, 1e5)}
			if rng.IntN(2) == 0 {
				f.Contact = size(1e-5, 10)
			}
			if rng.IntN(2) == 0 {
				f.meets.Emissivity, f.meets.Walls = rng.Float64(), between(-270, 1700)
			}
			if rng.IntN(4) == 0 {
				f.meets.H = 0
			}
			f.inner = between(-200, 600)
			if rng.IntN(2) == 0 {
				f.temp = math.NaN() // none before
			}
			f.solveWhole(r, f.Half, cell, pot, k*1e-6)
			want := bisect(func(inner float64) float64 {
				at, _ := r.Potential(inner, &hint)
				q := (at - pot) / f.Half
				gain, _ := f.outside(math.Max(inner+q*f.Contact/f.Area, -kelvin))
				return gain - q
			}, -kelvin, 2000)
			worst = math.Max(worst, math.Abs(f.inner-want))
			require.InDelta(t, want, f.inner, 1e-8, "%s at %g °C: %+v", food.Name, cell, f)
		}
		t.Logf("%s: within %.1e K", food.Name, worst)
	}
}
