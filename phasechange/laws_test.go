package phasechange

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Law 1: T rises strictly with U; read the other way round, U with T.
func TestEnergyRises(t *testing.T) {
	relations(t, func(t *testing.T, r *Relation) {
		anchors(r, func(share float64, a Anchor) {
			last, at := math.Inf(-1), math.Inf(-1)
			for _, temp := range temperatures(&a) {
				u := r.Energy(temp, &a)
				require.Greater(t, u, last, "share %g: U(%g) against U(%g)", share, temp, at)
				last, at = u, temp
			}
		})
	})
}

func TestTemperatureRises(t *testing.T) {
	relations(t, func(t *testing.T, r *Relation) {
		anchors(r, func(share float64, a Anchor) {
			lo, hi := r.Energy(-60, &a), r.Energy(250, &a)
			const n = 200
			last := math.Inf(-1)
			for i := 0; i <= n; i++ {
				u := lo + (hi-lo)*float64(i)/n
				temp := r.Temperature(u, &a)
				require.Greater(t, temp, last, "share %g, step %d", share, i)
				last = temp
			}
			require.InDelta(t, 250, last, 1e-6)
		})
	})
}

// Law 2. Both ways use one table on the path of the original food and one set of
// formulas elsewhere, so only rounding is left.
func TestRoundTrip(t *testing.T) {
	var whole, dried worst
	relations(t, func(t *testing.T, r *Relation) {
		anchors(r, func(share float64, a Anchor) {
			w := &dried
			if a.whole {
				w = &whole
			}
			for _, temp := range temperatures(&a) {
				got := r.Temperature(r.Energy(temp, &a), &a)
				w.see(math.Abs(got-temp), "%s, %s, share %g, %g °C", r.food.Name, r.ice.curve, share, temp)
			}
		})
	})
	t.Logf("original food: %v K", &whole)
	t.Logf("dried food: %v K", &dried)
	assert.Less(t, whole.value, 1e-7)
	assert.Less(t, dried.value, 1e-7)
}

// The guess of At only saves time.
func TestGuessDoesNotMatter(t *testing.T) {
	guesses := []float64{math.NaN(), math.Inf(-1), math.Inf(1), -1e9, 1e9, 0, -30, 60}
	var w worst
	relations(t, func(t *testing.T, r *Relation) {
		if r.ice.curve != BoundWater && r.ice.curve != IdealSolution {
			return
		}
		anchors(r, func(share float64, a Anchor) {
			for temp := -55.0; temp < 240; temp += 19 {
				u := r.Energy(temp, &a)
				for i, g := range guesses {
					hint := int32(i * i * i)
					got, _, _, _ := r.At(u, &a, &hint, g)
					w.see(math.Abs(got-temp), "%s, %s, share %g, %g °C from %g", r.food.Name, r.ice.curve, share, temp, g)
				}
			}
		})
	})
	t.Logf("%v K", &w)
	assert.Less(t, w.value, 1e-7)
}

// Law 3, with the unfrozen water the same at any water content, and no ice at
// the freezing point. The ice has nothing but what is not bound.
func TestIce(t *testing.T) {
	relations(t, func(t *testing.T, r *Relation) {
		whole := r.Anchor(r.Water())
		anchors(r, func(share float64, a Anchor) {
			last := math.Inf(1)
			for _, temp := range temperatures(&a) {
				ice := r.Ice(temp, &a)
				require.GreaterOrEqual(t, ice, 0.0)
				require.LessOrEqual(t, ice, math.Max(0, a.water-r.Bound()), "share %g, %g °C", share, temp)
				require.LessOrEqual(t, ice, last, "share %g, %g °C", share, temp)
				if temp >= a.tf {
					require.Zero(t, ice)
				} else {
					require.InDelta(t, r.Water()-r.Ice(temp, &whole), a.water-ice, 1e-9*r.Water(), "share %g, %g °C", share, temp)
				}
				last = ice
			}
			if a.tf > -60 {
				// the ice of the dilute solution begins with a slope of w/-tf, less where water is bound
				const below = 1e-9 // [K]
				require.InDelta(t, 0, r.Ice(a.tf-below, &a), 2*below*a.water*math.Max(2, -1/a.tf), "share %g", share)
			}
		})
	})
}

// Law 4: both slopes of At against central differences.
func TestSlopes(t *testing.T) {
	var temperature, conductivity worst
	relations(t, func(t *testing.T, r *Relation) {
		anchors(r, func(share float64, a Anchor) {
			for _, temp := range temperatures(&a) {
				const d = 1e-4 // [K]
				if nearKink(&a, temp, 2*d) {
					continue
				}
				var hint int32
				u := r.Energy(temp, &a)
				_, dt, k, dk := r.At(u, &a, &hint, temp)
				du := d / dt
				tl, _, kl, _ := r.At(u-du, &a, &hint, temp)
				th, _, kh, _ := r.At(u+du, &a, &hint, temp)
				temperature.see(math.Abs((th-tl)/(2*du)/dt-1), "%s, %s, share %g, %g °C", r.food.Name, r.ice.curve, share, temp)
				// dk goes through 0: a hundredth of k per K counts as the least to compare with
				if !a.whole && temp < 0 && temp > -0.1 {
					continue // dried food refrozen: a difference over 1 mK of a curve in 1/T
				}
				conductivity.see(math.Abs((kh-kl)/(2*du)-dk)/math.Max(math.Abs(dk), 0.01*k*dt), "%s, %s, share %g, %g °C", r.food.Name, r.ice.curve, share, temp)
			}
		})
	})
	t.Logf("dT/dU: %v, relative", &temperature)
	t.Logf("dk/dU: %v, relative", &conductivity)
	assert.Less(t, temperature.value, 1e-3)
	assert.Less(t, conductivity.value, 0.02)
}

// T(U) and k(U) have no jumps at the kinks.
func TestContinuity(t *testing.T) {
	var energy, conductivity, cold worst
	relations(t, func(t *testing.T, r *Relation) {
		anchors(r, func(share float64, a Anchor) {
			for _, kink := range []struct {
				name string
				t    float64
			}{{"freezing", a.tf}, {"0", 0}, {"boiling", a.tb}} {
				if kink.t < -99 || kink.t > 399 {
					continue
				}
				const e = 1e-8 // [K]
				ul, uh := r.Energy(kink.t-e, &a), r.Energy(kink.t+e, &a)
				steep := math.Max(r.HeatCapacity(kink.t-e, &a), r.HeatCapacity(kink.t+e, &a))
				// the jump of U beyond what 2e of rise explain, in K of the food's usual 3 MJ/(m³ K)
				energy.see(math.Max(0, uh-ul-3*e*steep)/3e6, "%s, %s, share %g, %s", r.food.Name, r.ice.curve, share, kink.name)
				kl, kh := r.Conductivity(kink.t-e, &a), r.Conductivity(kink.t+e, &a)
				w := &conductivity
				if kink.t < -40 {
					w = &cold
				}
				w.see(math.Abs(kh/kl-1), "%s, %s, share %g, %s", r.food.Name, r.ice.curve, share, kink.name)
			}
		})
	})
	t.Logf("energy: %v, K", &energy)
	t.Logf("conductivity: %v, relative", &conductivity)
	t.Logf("conductivity, of foods that begin to freeze below -40 °C: %v, relative", &cold)
	assert.Less(t, energy.value, 1e-7)
	assert.Less(t, conductivity.value, 0.01) // see TestMoistGrid
}

// The energy is the integral of the heat capacity over each smooth piece.
func TestHeatCapacityIntegral(t *testing.T) {
	var w worst
	relations(t, func(t *testing.T, r *Relation) {
		anchors(r, func(share float64, a Anchor) {
			edges := []float64{-60}
			for _, e := range []float64{a.tf, 0, a.tb, 250} {
				if e > edges[len(edges)-1] && e <= 250 {
					edges = append(edges, e)
				}
			}
			total := r.Energy(250, &a) - r.Energy(-60, &a)
			for i := 1; i < len(edges); i++ {
				lo, hi := edges[i-1], edges[i]
				got := integral(func(t float64) float64 { return r.HeatCapacity(t, &a) }, lo, hi)
				want := r.Energy(hi, &a) - r.Energy(lo, &a)
				w.see(math.Abs(got-want)/total, "%s, %s, share %g, %g to %g °C", r.food.Name, r.ice.curve, share, lo, hi)
			}
		})
	})
	t.Logf("%v of the energy from -60 to 250 °C", &w)
	assert.Less(t, w.value, 1e-4)
}

// integral of f from lo to hi by Gauss-Legendre with three points on intervals
// that shrink towards both ends, where the heat capacity of freezing and of
// boiling food is steep, and are 2 K at most, for the melting of fat.
func integral(f func(float64) float64, lo, hi float64) float64 {
	edges := []float64{lo, hi}
	for d := (hi - lo) / 2; d > 1e-7; d *= 0.7 {
		edges = append(edges, lo+d, hi-d)
	}
	for t := lo + 2; t < hi; t += 2 {
		edges = append(edges, t)
	}
	slices.Sort(edges)
	var sum float64
	for i := 1; i < len(edges); i++ {
		m, d := (edges[i]+edges[i-1])/2, (edges[i]-edges[i-1])/2
		sum += d * (8*f(m) + 5*(f(m-d*math.Sqrt(0.6))+f(m+d*math.Sqrt(0.6)))) / 9
	}
	return sum
}
