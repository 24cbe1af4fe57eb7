package phasechange

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

// TestFoundFromAnywhere asks for temperatures of foods rich in each fat, at full and lower
// water contents, from guesses far and near: where the fat melts the slope changes tenfold
// within a few kelvin, and Newton's method alone goes back and forth.
func TestFoundFromAnywhere(t *testing.T) {
	guesses := []float64{math.NaN(), -60, -3.2, 0, 0.5, 15, 20, 25, 28, 30, 33, 35, 36, 40, 60, 99, 200}
	var still, moist worst
	for fat := materials.NoFat; fat <= materials.PastryMargarine; fat++ {
		for _, water := range []float64{0, 0.05, 0.2, 0.4318181818181835, 0.8} {
			r, err := New(materials.Food{Name: "fat and water", FatKind: fat, FreezingPoint: -3.2,
				Composition: materials.Composition{Water: water, Fat: 1 - water}}, Settings{})
			require.NoError(t, err)
			m := r.Moist()
			for _, share := range []float64{1, 0.9, 0.4, 0.02} {
				a := r.Anchor(share * r.water)
				for temp := -59.3; temp < 95; temp += 0.5 {
					u := r.Energy(temp, &a)
					for _, guess := range guesses {
						var hint int32
						got, dt, _, _ := r.At(u, &a, &hint, guess)
						require.Greater(t, dt, 0.0)
						still.see(math.Abs(got-temp), "%v, %v water, %v of it left, %v °C from %v", fat, water, share, temp, guess)

						v, c := m.Energy(temp, a.water), MoistCell{T: guess}
						m.solve(v, a.water, &c)
						require.Greater(t, c.TU, 0.0)
						moist.see(math.Abs(c.T-temp), "%v, %v water, %v of it left, %v °C from %v", fat, water, share, temp, guess)
					}
				}
			}
		}
	}
	require.Less(t, still.value, 2e-6, still.where)
	require.Less(t, moist.value, 2*tableTemperature, moist.where)
}
