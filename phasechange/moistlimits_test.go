package phasechange

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

// TestMoistConductivitySlopes: KT and KW against differences, where vapour in pores
// conducts, in refrozen food that has dried, and in food with more water than its own.
func TestMoistConductivitySlopes(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 2))
	var warmth, water worst
	for _, name := range []string{"bread dough, proofed", "white bread", "meringue, raw", "chard, cooked", "beef round, raw", "mushrooms, raw"} {
		r, m := moistOf(t, name, Settings{})
		for range 200 {
			w := r.Water() * (0.02 + 1.2*rng.Float64())
			temp := -40 + 135*rng.Float64()
			freezing := m.FreezingPoint(w)
			if math.Abs(w/r.Water()-1) < 1e-3 || math.Abs(temp-freezing) < 0.05 || math.Abs(temp) < 0.05 {
				continue // the law has its kinks there
			}
			at := func(temp, w float64) MoistCell {
				c := MoistCell{T: temp}
				m.Evaluate(m.Energy(temp, w), w, &c)
				return c
			}
			c := at(temp, w)
			const d = 1e-3 // [K]
			a, b := at(temp-d, w), at(temp+d, w)
			if a.Iced == 1 != (b.Iced == 1) {
				continue
			}
			scale := 1e-3 * c.K // [W/(m K²)] a slope that is nothing
			warmth.see(math.Abs((b.K-a.K)/(b.T-a.T)-c.KT)/(scale+math.Abs(c.KT)), "%s, %g of its water, %g °C", name, w/r.Water(), temp)
			if c.Frozen {
				continue // KW leaves out what water does to the ice
			}
			dw := 1e-5 * w
			a, b = at(temp, w-dw), at(temp, w+dw)
			water.see(math.Abs((b.K-a.K)/(2*dw)-c.KW)/(0.01*c.K/w+math.Abs(c.KW)), "%s, %g of its water, %g °C", name, w/r.Water(), temp)
		}
	}
	t.Logf("by temperature: %v, by water: %v, relative", &warmth, &water)
	// nodes of the grids, 2 K and a twentieth of the water apart, bend the curves
	assert.Less(t, warmth.value, 0.03, warmth.where)
	assert.Less(t, water.value, 0.03, water.where)
}

// TestMoistNearZero: a cell that passes 0 °C without freezing is where its energy says,
// also when it goes little by little: half of the heat capacity of water that never
// freezes ends there.
func TestMoistNearZero(t *testing.T) {
	bound := 0.56
	r := newRelation(t, materials.Food{Name: "water that is bound", FreezingPoint: -3.3, BoundWater: &bound,
		Composition: materials.Composition{Water: 0.75, Protein: 0.25}}, Settings{})
	m, w := r.Moist(), r.Water()
	var still, moving worst
	for _, step := range []float64{0.001, 0.0073, 0.0097, 0.3} {
		for _, way := range []float64{1, -1} {
			var c MoistCell
			for i := -10; i <= 10; i++ {
				temp := way * step * (float64(i) + 0.4)
				fresh := MoistCell{T: temp - way*step}
				u := m.Energy(temp, w)
				m.Evaluate(u, w, &fresh)
				m.Evaluate(u, w, &c)
				still.see(math.Abs(fresh.T-temp), "%g °C in steps of %g K", temp, step)
				moving.see(math.Abs(c.T-temp), "%g °C in steps of %g K", temp, step)
			}
		}
	}
	assert.Less(t, still.value, 1e-5, still.where)
	assert.Less(t, moving.value, 1e-5, moving.where)
}

// TestMoistWithoutFreeWater: a food that has lost all of its water, or whose water never
// freezes, has no ice, whatever its cell held before; what it then takes up freezes at 0 °C.
func TestMoistWithoutFreeWater(t *testing.T) {
	for _, curve := range allCurves {
		bound := 0.3
		r := newRelation(t, materials.Food{Name: "all bound", BoundWater: &bound,
			Composition: materials.Composition{Water: 0.3, Carbohydrate: 0.7}}, Settings{IceCurve: curve})
		m := r.Moist()
		for _, temp := range []float64{-60, -20, -0.5, 20, 80} {
			c := MoistCell{T: temp}
			m.Evaluate(m.Energy(temp, 0), 0, &c)
			require.InDelta(t, temp, c.T, 1e-4, "%v, no water", curve)
			require.False(t, c.Frozen, "%v, no water, %g °C", curve, temp)
		}
		if curve != BoundWater && curve != IdealSolution {
			continue // they know of no bound water
		}
		for _, share := range []float64{1.0005, 1, 1.01, 0.9995, 1.0002, 0.5} {
			for _, temp := range []float64{-40, -1, -1e-4, 0.2, 30} {
				w := share * r.Water()
				c := MoistCell{T: temp}
				if share < 1 { // a cell that was a little wetter
					m.Evaluate(m.Energy(temp, 1.0002*r.Water()), 1.0002*r.Water(), &c)
				}
				m.Evaluate(m.Energy(temp, w), w, &c)
				require.InDelta(t, temp, c.T, 3e-4, "%v, %g of its water", curve, share)
				require.Equal(t, m.Ice(temp, w) > 0, c.Frozen, "%v, %g of its water, %g °C", curve, share, temp)
			}
		}
	}
}

// TestMoistLittleByLittle: a cell that goes on in small steps is as one that is evaluated
// anew, also where it passes the water it began with or the last of what can freeze at once.
func TestMoistLittleByLittle(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 6))
	foam := newRelation(t, materials.Food{Name: "foam", Porosity: 0.9, Structure: materials.OpenPores,
		Composition: materials.Composition{Water: 0.56, Carbohydrate: 0.44}}, Settings{}).Moist()
	brine := newRelation(t, materials.Food{Name: "brine", FreezingPoint: -14,
		Composition: materials.Composition{Water: 0.5, Carbohydrate: 0.35, Ash: 0.15, Salt: 0.1}}, Settings{IceCurve: Tchigeov}).Moist()
	var temperature, activity worst
	for _, m := range []*Moist{foam, brine} {
		own := m.r.Water()
		for _, temp := range []float64{-14.05, -14.04, -14.03, 8, 40, 90} {
			for _, wet := range []float64{0, 1e-4} {
				w := own * (1 + 1e-3*rng.Float64())
				u, c := m.Energy(temp, w), MoistCell{T: temp}
				down := 0.004 * (1 - 2*float64(rng.IntN(2)))
				for range 40 {
					u += down * m.r.HeatCapacity(temp, &Anchor{whole: true}) * rng.Float64()
					w -= wet * own * rng.Float64()
					m.Evaluate(u, w, &c)
					anew := MoistCell{T: temp}
					m.Evaluate(u, w, &anew)
					temperature.see(math.Abs(c.T-anew.T), "%s, %g of its water, %g °C", m.r.food.Name, w/own, anew.T)
					activity.see(math.Abs(c.A-anew.A), "%s, %g of its water, %g °C", m.r.food.Name, w/own, anew.T)
				}
			}
		}
	}
	assert.Less(t, temperature.value, 2*tableTemperature, temperature.where)
	assert.Less(t, activity.value, 1e-4, activity.where)
}
