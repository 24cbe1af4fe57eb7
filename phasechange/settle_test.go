package phasechange

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

// drying foods: wet, doughy, fatty, sugary, dry.
var dryingFoods = []string{
	"beef sirloin, raw", "spinach, cooked", "puff pastry, raw", "white bread", "butter", "honey",
	"wheat flour", "mushrooms, raw", "egg white, raw", "water",
}

func eachDrying(t *testing.T, run func(t *testing.T, r *Relation)) {
	for _, name := range dryingFoods {
		f, err := materials.Find(name)
		require.NoError(t, err)
		t.Run(name, func(t *testing.T) { run(t, newRelation(t, f, Settings{})) })
	}
}

// heatTo adds heat in steps that evaporate up to a fiftieth of the water there is,
// until the food is at temperature to [°C] or over, settling after each.
func heatTo(r *Relation, a *Anchor, u, to float64) (remains float64) {
	var hint int32
	for range 100000 {
		if r.Temperature(u, a) >= to {
			break
		}
		u = r.Settle(u+a.water*2.6e6/50, a, &hint)
	}
	return u
}

// Steam at 100 °C has 2676 kJ/kg over liquid water at 0 °C (steam tables, IAPWS:
// 2675.6). What a boiling cell has given away per kilogram of water is that much,
// rising by 1.99 kJ/(kg K) with the temperature at which it leaves.
func TestSteamEnthalpyCarried(t *testing.T) {
	var total, step worst
	eachDrying(t, func(t *testing.T, r *Relation) {
		a := r.Anchor(r.water)
		var hint int32
		u := r.Energy(a.tb, &a)
		var given, lost, carried float64 // carried: by the steam tables
		const n = 500
		for range n {
			if a.tb > 200 || a.water < 0.01*r.water {
				break
			}
			before, from := a.water, a.tb
			heat := r.water * 2.6e6 / n
			remains := r.Settle(u+heat, &a, &hint)
			gone, away := before-a.water, u+heat-remains
			require.Positive(t, gone)
			h := 2675.6e3 + 1.99e3*((from+a.tb)/2-100)
			step.see(math.Abs(away/(gone*h)-1), "%s, %g kg/m³ of water at %g °C", r.food.Name, a.water, a.tb)
			given += away
			lost += gone
			carried += gone * h
			u = remains
			if lost > 0.25*r.water { // before, the table's 1e-4 K counts as for a step
				total.see(math.Abs(given/carried-1), "%s, %g kg/m³ of water at %g °C", r.food.Name, a.water, a.tb)
			}
		}
		require.Greater(t, lost, 0.3*r.water)
	})
	t.Logf("since boiling began: %v, relative", &total)
	t.Logf("in a step: %v, relative", &step)
	assert.Less(t, total.value, 1e-3)
	// The water that goes in one step follows from the table's temperature, 1e-4 K
	// good, and the plateau of wet food is but half a kelvin long.
	assert.Less(t, step.value, 5e-3)
}

// One step of heat or a thousand: the same water, temperature and energy.
func TestSettlePathIndependent(t *testing.T) {
	eachDrying(t, func(t *testing.T, r *Relation) {
		for _, start := range []float64{0, 0.3, 0.6} { // part of the way dried before
			for _, heat := range []float64{1e7, 3e8, 2e9} { // [J/m³]
				once := r.Anchor(r.water)
				u := r.Energy(once.tb, &once)
				var hint int32
				u = r.Settle(u+start*r.water*2.6e6, &once, &hint)
				often, v := once, u
				u = r.Settle(u+heat, &once, &hint)
				const n = 1000
				for range n {
					v = r.Settle(v+heat/n, &often, &hint)
				}
				name := fmt.Sprintf("started %g, heat %g", start, heat)
				assert.InDelta(t, once.water, often.water, 1e-4*r.water, name)
				assert.InDelta(t, once.tb, often.tb, 1e-4*once.tb, name)
				assert.InDelta(t, u, v, 1e-4*heat, name)
			}
		}
	})
}

// What has left does not come back, and cooled food boils again where it stopped.
func TestNoRewetting(t *testing.T) {
	eachDrying(t, func(t *testing.T, r *Relation) {
		a := r.Anchor(r.water)
		u := heatTo(r, &a, r.Energy(20, &a), a.tb+5)
		require.Less(t, a.water, r.water)
		dried := a
		var hint int32
		for _, temp := range []float64{a.tb - 0.01, 60, 5, -5, -30, -10, 20, 90} {
			cold := r.Energy(temp, &a)
			require.Less(t, cold, u)
			require.Equal(t, cold, r.Settle(cold, &a, &hint))
			require.Equal(t, dried, a, "at %g °C", temp)
			require.LessOrEqual(t, r.Ice(temp, &a), a.water)
		}
		assert.Equal(t, a.ub, r.Settle(a.ub, &a, &hint), "at the boiling point")
		assert.Equal(t, dried, a)
		r.Settle(a.ub+0.01*a.water*2.6e6, &a, &hint)
		assert.Less(t, a.water, dried.water)
		assert.Greater(t, a.tb, dried.tb)
	})
}

// Food too dry to boil before the end of the range, heated beyond it, has all of
// its water and yet has been settled; it freezes again like before.
func TestRefrozenWithAllWater(t *testing.T) {
	f := materials.Food{Name: "dry", FreezingPoint: -5, Isotherm: materials.Oswin(0.02, 0.01),
		Composition: materials.Composition{Water: 0.01, Fibre: 0.99}}
	bound := 0.0
	f.BoundWater = &bound
	for _, c := range allCurves {
		r := newRelation(t, f, Settings{IceCurve: c})
		fresh := r.Anchor(r.Water())
		require.Equal(t, MaxTemperature, fresh.BoilingPoint())
		a := fresh
		var hint int32
		r.Settle(r.Energy(410, &a), &a, &hint)
		require.Equal(t, r.Water(), a.Water())
		for _, temp := range []float64{-50, -10, -5.1, -4.9, 20} {
			u := r.Energy(temp, &a)
			assert.InEpsilon(t, r.Energy(temp, &fresh), u, 1e-5, "%s, %g °C", c, temp)
			assert.InDelta(t, temp, r.Temperature(u, &a), 1e-7, "%s, %g °C", c, temp)
		}
	}
}

// At the boiling point the water's vapour pressure is the pressure around, whatever
// is left of it; and the food as it was has the activity of its freezing point.
func TestBoilingPointIsVapourPressure(t *testing.T) {
	for _, f := range materials.Foods() {
		for _, p := range []float64{70e3, StandardPressure, 200e3} {
			r := newRelation(t, f, Settings{Pressure: p})
			anchors(r, func(share float64, a Anchor) {
				if share == 0 || a.tb > 399 {
					return
				}
				aw, known := r.WaterActivity(a.Water())
				require.True(t, known)
				require.InEpsilon(t, p, aw*SaturationPressure(a.BoilingPoint()), 1e-8, "%s, %g, %g Pa", f.Name, share, p)
			})
			aw, _ := r.WaterActivity(r.Water())
			if r.dry.solute > minSolute*r.Water() {
				require.InEpsilon(t, iceActivity(f.InitialFreezingPoint()), aw, 1e-9, f.Name)
			}
		}
	}
}

// The anchor that Settle leaves is the one made from its water content.
func TestSettledAnchor(t *testing.T) {
	eachDrying(t, func(t *testing.T, r *Relation) {
		a := r.Anchor(r.water)
		u := r.Energy(a.tb, &a)
		var hint int32
		for range 60 {
			u = r.Settle(u+3e7, &a, &hint)
			if a.tb > 300 {
				break
			}
			b := r.Anchor(a.water)
			where := fmt.Sprintf("%g kg/m³, %g °C", a.water, a.tb)
			require.InDelta(t, b.tb, a.tb, 1e-6, where)
			require.InDelta(t, b.tf, a.tf, 1e-9, where)
			// an energy of 3 J/m³ is a millionth of a kelvin
			require.InDelta(t, b.ub, a.ub, 10, where)
			require.InDelta(t, b.uf, a.uf, 1e-3, where)
			for _, temp := range []float64{-40, 50, a.tb + 20} {
				require.InDelta(t, r.Energy(temp, &b), r.Energy(temp, &a), 300+1e-6*math.Abs(a.shift), "%s, %g °C", where, temp)
			}
			require.Equal(t, a.ub, u)
			require.InDelta(t, a.tb, r.Temperature(u, &a), 1e-9)
			require.InDelta(t, a.water, r.WaterHeld(a.tb, r.water), 1e-6*r.water)
		}
		require.Less(t, a.water, r.water)
	})
}

// The plateau lies a little over the boiling point of pure water, from the
// saturation line of IAPWS-IF97 (values computed from its equation 31 by an
// independent program, see testdata/water-ice-steam).
func TestPlateauFollowsPressure(t *testing.T) {
	for _, p := range []float64{70e3, 85e3, StandardPressure, 150e3, 200e3} {
		ts := boilingByBisection(p)
		for _, name := range []string{"beef sirloin, raw", "spinach, cooked", "potatoes, raw"} {
			f, err := materials.Find(name)
			require.NoError(t, err)
			r := newRelation(t, f, Settings{Pressure: p})
			a := r.Anchor(r.water)
			assert.Greater(t, a.tb, ts, "%s at %g Pa", name, p)
			// the freezing point says the elevation: 0.51/1.86 of the depression, the
			// ratio of water's two constants, for an ideal solution at 1 atm
			elevation := 0.51 / 1.86 * -f.InitialFreezingPoint()
			assert.InEpsilon(t, elevation, a.tb-ts, 0.2, "%s at %g Pa", name, p)
			half := r.Anchor(r.water / 2)
			assert.InDelta(t, ts, half.tb, 3, "%s at %g Pa: still the plateau with half of the water", name, p)
		}
	}
}

// boilingByBisection turns SaturationPressure round without its own inverse.
func boilingByBisection(p float64) float64 {
	lo, hi := 0.0, 200.0
	for range 60 {
		if m := (lo + hi) / 2; SaturationPressure(m) < p {
			lo = m
		} else {
			hi = m
		}
	}
	return lo
}

// Settle takes no harm from an energy that is not a number, nor from heat far
// beyond what the relation covers.
func TestSettleExtremes(t *testing.T) {
	eachDrying(t, func(t *testing.T, r *Relation) {
		var hint int32
		a := r.Anchor(r.water)
		u := r.Settle(1e13, &a, &hint)
		assert.False(t, math.IsNaN(u) || math.IsInf(u, 0), "%v", u)
		assert.GreaterOrEqual(t, a.water, 0.0)
		assert.LessOrEqual(t, a.water, r.water)
		b := r.Anchor(r.water)
		assert.Equal(t, -1e13, r.Settle(-1e13, &b, &hint))
	})
}
