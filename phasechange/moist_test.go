package phasechange

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/thawfront/materials"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var moistFoods = []string{"beef round, raw", "spinach, cooked", "puff pastry, raw", "lard", "butter", "water", "sugar, white", "white bread"}

func moistOf(t *testing.T, name string, s Settings) (*Relation, *Moist) {
	t.Helper()
	f, err := materials.Find(name)
	require.NoError(t, err)
	r, err := New(f, s)
	require.NoError(t, err)
	return r, r.Moist()
}

// TestMoistInverts: Evaluate is the inverse of Energy at any water content, from
// any guess, and its slopes are those of differences.
func TestMoistInverts(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	for _, curve := range []IceCurve{BoundWater, IdealSolution} {
		for _, name := range moistFoods {
			r, m := moistOf(t, name, Settings{IceCurve: curve})
			top := math.Max(r.Water()*1.3, 20)
			for range 400 {
				w := top * rng.Float64()
				if rng.IntN(3) == 0 {
					w = r.Water() * (1 + 2e-3*(rng.Float64()-0.5)) // just about the food's own
				}
				want := -60 + 210*rng.Float64()
				if rng.IntN(3) == 0 {
					want = m.FreezingPoint(w) + 0.2*rng.NormFloat64()
				}
				if !(want > -90) {
					continue
				}
				u := m.Energy(want, w)
				c := MoistCell{T: -80 + 300*rng.Float64(), Frozen: rng.IntN(2) == 0}
				m.Evaluate(u, w, &c)
				if !assert.InDelta(t, want, c.T, 3e-4, "%s: T at w %g of %g", name, w, r.Water()) {
					return
				}
				assert.Equal(t, m.Ice(want, w) > 0, c.Frozen || math.Abs(want-m.FreezingPoint(w)) < 1e-6, "%s: ice at %g °C, w %g", name, want, w)
				if math.Abs(want-m.FreezingPoint(w)) < 0.05 || math.Abs(want) < 0.02 {
					continue
				}
				at := func(du, dw float64) MoistCell {
					x := c
					m.Evaluate(u+du, w+dw, &x)
					return x
				}
				du, dw := 2e3, 1e-4*(w+0.1)
				a, b := at(-du, 0), at(du, 0)
				assert.InEpsilon(t, (b.T-a.T)/(2*du), c.TU, 0.03, "%s: TU at %g °C, w %g", name, want, w)
				if want < -0.1 && want > -40 && math.Abs(w-r.Water()) < 2*dw {
					continue // the table and the formulas meet there, at 1e-4 K
				}
				a, b = at(0, -dw), at(0, dw)
				assert.InDelta(t, (b.T-a.T)/(2*dw), c.TW, 0.03*math.Abs(c.TW)+2e-4/dw, "%s: TW at %g °C, w %g", name, want, w)
			}
		}
	}
}

// TestMoistForgetsItsIce: a cell that was freezing a moment ago and is warm again is as one
// that never froze, with every slope.
func TestMoistForgetsItsIce(t *testing.T) {
	r, m := moistOf(t, "beef round, raw", Settings{})
	w := r.Water()
	var thawed, fresh MoistCell
	for below := 0.0; thawed.Iced == 0 || thawed.Iced == 1; below += 1e-3 {
		require.Less(t, below, 1.0, "no cell that is half frozen")
		m.Evaluate(m.Energy(m.FreezingPoint(w)-below, w), w, &thawed)
	}
	require.NotZero(t, thawed.IcedT)
	warm := m.Energy(70, w)
	m.Evaluate(warm, w, &thawed)
	m.Evaluate(warm, w, &fresh)
	require.Positive(t, fresh.Juice)
	assert.InEpsilon(t, fresh.Juice, thawed.Juice, 1e-6)
	assert.InEpsilon(t, fresh.JT, thawed.JT, 1e-6)
	assert.InEpsilon(t, fresh.JW, thawed.JW, 1e-6)
	assert.Zero(t, thawed.IcedT)
	assert.Zero(t, thawed.IcedW)
}

// TestMoistPressure: activity stays within 0 and 1 and rises with water, vapour
// pressure is the pure water's or ice's times it, and passes the freezing point
// without a jump of more than the ice curve and the isotherm differ by.
func TestMoistPressure(t *testing.T) {
	for _, name := range moistFoods {
		r, m := moistOf(t, name, Settings{})
		last := -1.0
		top := math.Max(r.Water()*3, 50)
		for i := range 3000 {
			w := top * float64(i) / 3000
			c := MoistCell{T: 20}
			m.Evaluate(m.Energy(20, w), w, &c)
			assert.GreaterOrEqual(t, c.A, last, "%s: activity falls at w %g", name, w)
			assert.True(t, c.A >= 0 && c.A < 1, "%s: activity %g at w %g", name, c.A, w)
			assert.InEpsilon(t, c.A*SaturationPressure(20)+1, c.P+1, 1e-6)
			last = c.A
		}
		for _, a := range []float64{0.02, 0.1, 0.5, 0.8, 0.93, 0.985, 0.999} {
			assert.InDelta(t, a, m.Activity(m.Water(a)), 2e-4*(1-a)+1e-5, "%s: activity there and back", name)
		}
	}
	_, m := moistOf(t, "beef round, raw", Settings{})
	for _, at := range []float64{-30, -10, -2} {
		c := MoistCell{T: at}
		w := m.r.Water()
		m.Evaluate(m.Energy(at, w), w, &c)
		assert.InEpsilon(t, SublimationPressure(c.T), c.P, 1e-5, "ice's vapour pressure at %g °C", at)
	}
}
