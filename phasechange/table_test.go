package phasechange

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

// The table of the original food against the formulas it stands for: the
// temperature it gives at their energy, its slope, its conductivity.
func TestTableAgainstFormulas(t *testing.T) {
	type pieceWorst struct{ temperature, slope, conductivity worst }
	var frozen, unfrozen, drying pieceWorst
	relations(t, func(t *testing.T, r *Relation) {
		a := r.Anchor(r.water)
		var hint int32
		check := func(w *pieceWorst, f pathFunc, temp float64) {
			u, slope, k := f(temp)
			got, dt, gotK, _ := r.At(u, &a, &hint, 0)
			w.temperature.see(math.Abs(got-temp), "%s, %s, %g °C", r.food.Name, r.ice.curve, temp)
			if !nearKink(&a, temp, 0.01) { // 100 tolerances
				w.slope.see(math.Abs(dt*slope-1), "%s, %s, %g °C", r.food.Name, r.ice.curve, temp)
			}
			w.conductivity.see(math.Abs(gotK/k-1), "%s, %s, %g °C", r.food.Name, r.ice.curve, temp)
		}
		for x := 1.0; x > 1e-5; x *= 0.83 { // closer and closer to the kinks
			if a.tf > r.lowest {
				check(&frozen, r.frozenPath, a.tf+x*(r.lowest-a.tf))
			}
			if a.tb > 0 && a.tb < r.highest {
				check(&unfrozen, r.unfrozenPath, a.tb*(1-x)+1e-9)
				check(&drying, r.dryingPath, a.tb+x*(r.highest-a.tb)*0.999)
			}
		}
	})
	for _, p := range []struct {
		name string
		w    *pieceWorst
	}{{"frozen", &frozen}, {"unfrozen", &unfrozen}, {"drying", &drying}} {
		t.Logf("%s: temperature %v K", p.name, &p.w.temperature)
		t.Logf("%s: slope %v, relative", p.name, &p.w.slope)
		t.Logf("%s: conductivity %v, relative", p.name, &p.w.conductivity)
		// the table is refined until it keeps its tolerances at some points between
		// nodes; at others it may be a little worse
		assert.Less(t, p.w.temperature.value, 5*tableTemperature, p.name)
		assert.Less(t, p.w.conductivity.value, 5*tableConductivity, p.name)
		assert.Less(t, p.w.slope.value, 0.02, p.name) // pure water turns within 0.05 K
	}
}

// The drying piece rests on an integral done by parts; here steam is added up as
// it leaves, in 20000 portions, each with the enthalpy it has.
func TestDryingAgainstPlainSum(t *testing.T) {
	var w worst
	for i, f := range materials.Foods() {
		if i%5 != 0 || f.Composition.Water < 0.01 {
			continue
		}
		r := newRelation(t, f, Settings{})
		if r.startT >= 240 {
			continue
		}
		a := r.Anchor(r.water)
		u := r.Energy(a.tb, &a)
		const n = 20000
		t0, w0 := a.tb, r.water
		// what takes the place of the water, counted from its boiling point
		place := func(t, w float64) float64 { return r.left * (1 - w/r.water) * (t - r.dry.ts) }
		s0, _ := r.solid.at(t0)
		for j := 1; j <= n; j++ {
			// steps that grow, as the water falls fast at first
			t1 := a.tb + (250-a.tb)*math.Pow(float64(j)/n, 3)
			w1, m := r.WaterHeld(t1, r.water), (t0+t1)/2
			s1, _ := r.solid.at(t1)
			u += s1 - s0 + place(t1, w1) - place(t0, w0) + (w0+w1)/2*(materials.Water.Enthalpy(t1)-materials.Water.Enthalpy(t0)) +
				(w0-w1)*(steamEnthalpy(m, r.dry.ts)-materials.Water.Enthalpy(m))
			t0, w0, s0 = t1, w1, s1
			if j%2000 == 0 {
				w.see(math.Abs(r.Temperature(u, &a)-t1), "%s, %g °C", f.Name, t1)
			}
		}
	}
	t.Logf("%v K", &w)
	require.Greater(t, w.n, 100)
	assert.Less(t, w.value, 0.01)
}

// Evaluate is At for many cells, with a copy of the table's arithmetic.
func TestEvaluateIsAt(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, c := range allCurves {
		for i, f := range materials.Foods() {
			if i%7 != 0 {
				continue
			}
			r := newRelation(t, f, Settings{IceCurve: c})
			const n = 60
			u, a, hints := make([]float64, n), make([]Anchor, n), make([]int32, n)
			to := newStates(n)
			for i := range u {
				a[i] = r.Anchor(r.water * (0.01 + 1.2*random.Float64()))
				u[i] = r.Energy(-99+450*random.Float64(), &a[i])
				hints[i] = random.Int32N(1000)
				to.T[i] = -50 + 200*random.Float64()
			}
			for range 2 { // the second time with the hints of the first
				for i := range u {
					h := hints[i]
					wt, wdt, wk, wdk := r.At(u[i], &a[i], &h, to.T[i])
					got, gh := newStates(1), []int32{hints[i]}
					got.T[0] = to.T[i]
					r.Evaluate(u[i:i+1], a[i:i+1], gh, got)
					// fused multiply-adds may round otherwise on some machines
					require.InDelta(t, wt, got.T[0], 1e-10)
					require.InEpsilon(t, wdt, got.TU[0], 1e-10)
					require.InEpsilon(t, wk, got.K[0], 1e-10)
					require.InDelta(t, wdk/wdt, got.KU[0]/got.TU[0], 1e-10)
				}
				want := make([]float64, n)
				for i := range want {
					want[i] = r.Temperature(u[i], &a[i])
				}
				r.Evaluate(u, a, hints, to)
				require.InDeltaSlice(t, want, to.T, 1e-7, f.Name)
			}
		}
	}
}

// A bad hint costs time, nothing else.
func TestHints(t *testing.T) {
	r := newRelation(t, materials.MustFind("beef sirloin, raw"), Settings{})
	a := r.Anchor(r.water)
	for _, at := range []float64{-80, -1.5, 20, 100.1, 180, 500} {
		u := r.Energy(at, &a)
		for _, h := range []int32{0, 5, math.MaxInt32} {
			got, _, _, _ := r.At(u, &a, &h, 0)
			assert.InDelta(t, at, got, 1e-9)
		}
	}
}

// The conductivity of the unfrozen food at any water content, between the nodes
// of its grid, over the range for which component properties are published and
// up to the hottest.
func TestMoistGrid(t *testing.T) {
	var wet, dry, cold worst
	for _, f := range materials.Foods() {
		r := newRelation(t, f, Settings{})
		for temp := -99.0; temp < 399; temp += 9 {
			for j := 0.0; j <= 100; j++ {
				share := j / 100
				got, _ := r.moist.at(temp, share*r.water)
				want := f.Conductivity(temp, share*f.Composition.Water, 0)
				w := &wet
				switch {
				case temp < -40:
					w = &cold
				case share < 0.1:
					w = &dry
				}
				w.see(math.Abs(got/want-1), "%s (%s), %g °C, %g of its water", f.Name, f.Structure, temp, share)
			}
		}
	}
	t.Logf("over a tenth of the water: %v, relative", &wet)
	t.Logf("under a tenth of the water: %v, relative", &dry)
	t.Logf("unfrozen below -40 °C: %v, relative", &cold)
	assert.Less(t, wet.value, 5e-3)
	// open pores on 8 % solids bend more when all but dry: raw mushrooms
	assert.Less(t, dry.value, 0.01)
}
