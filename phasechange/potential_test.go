package phasechange

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.com/thawfront/materials"
)

// The flux potential is the integral of the conductivity over temperature, by a quadrature
// over the conductivity that At gives, and the same by energy, by temperature and with
// moving water.
func TestFluxPotential(t *testing.T) {
	var integral, slope, ways, moving, corner worst
	for _, curve := range allCurves {
		for i, f := range materials.Foods() {
			if i%5 != 0 {
				continue
			}
			r := newRelation(t, f, Settings{IceCurve: curve})
			a, m := r.Anchor(r.water), r.Moist()
			conductivity := func(temp float64) float64 {
				var hint int32
				_, _, k, _ := r.At(r.Energy(temp, &a), &a, &hint, math.NaN())
				return k
			}
			to := newStates(1)
			at := func(temp float64) (f, fu, tu float64) {
				r.Evaluate([]float64{r.Energy(temp, &a)}, []Anchor{a}, []int32{0}, to)
				return to.F[0], to.FU[0], to.TU[0]
			}
			ends := []float64{-80, -30, -5, a.tf - 0.5, a.tf - 0.05, a.tf, 0, 5, 60, a.tb} // all kinks
			slices.Sort(ends)
			for i := 1; i < len(ends); i++ {
				lo, hi := ends[i-1], ends[i]
				if !(hi > lo+1e-3) || lo < r.lowest || hi > a.tb {
					continue
				}
				from, _, _ := at(lo)
				upto, _, _ := at(hi)
				want := quad.Fixed(conductivity, lo, hi, 40, nil, 0)
				integral.see(math.Abs(upto-from-want)/conductivity(hi)/(1+0.1*(hi-lo)), "%s, %v, %g to %g °C", f.Name, curve, lo, hi)

				temp := lo + (hi-lo)*math.Phi/2
				got, fu, tu := at(temp)
				slope.see(math.Abs(fu/(tu*conductivity(temp))-1), "%s, %v, %g °C", f.Name, curve, temp)
				hint := int32(1000)
				other, k := r.Potential(temp, &hint)
				ways.see(math.Abs(other-got)/k, "%s, %v, %g °C", f.Name, curve, temp)
				if temp < a.tf {
					c := MoistCell{T: temp - 1}
					m.Evaluate(m.Energy(temp, r.water), r.water, &c)
					moving.see(math.Abs(c.F-got)/k, "%s, %v, %g °C", f.Name, curve, temp)
				}
			}
			if r.water > 0 && a.tf > r.lowest { // it is continuous where ice begins
				at := func(temp, w float64) float64 {
					c := MoistCell{T: temp}
					m.Evaluate(m.Energy(temp, w), w, &c)
					return c.F
				}
				for _, share := range []float64{1.1, 1, 0.9, 0.5} {
					tf := m.FreezingPoint(share * r.water)
					if tf < r.lowest+1 {
						continue
					}
					corner.see(math.Abs(at(tf+1e-7, share*r.water)-at(tf-1e-7, share*r.water)), "%s, %v, %g of its water", f.Name, curve, share)
				}
			}
		}
	}
	t.Logf("integral %v K; slope %v; by temperature %v K; with moving water %v K; at the freezing point %v W/m", &integral, &slope, &ways, &moving, &corner)
	assert.Less(t, integral.value, 2*tableTemperature)
	assert.Less(t, slope.value, 0.01) // it steers Newton's iteration and nothing else
	assert.Less(t, ways.value, 1e-9)
	assert.Less(t, moving.value, 2*tableTemperature)
	assert.Less(t, corner.value, 2*tableTemperature)
}

// What has lost water has none; above the boiling point the conductivity stays.
func TestFluxPotentialEnds(t *testing.T) {
	r := newRelation(t, materials.MustFind("beef sirloin, raw"), Settings{})
	dried := r.Anchor(0.9 * r.water)
	to := newStates(1)
	r.Evaluate([]float64{r.Energy(20, &dried)}, []Anchor{dried}, []int32{0}, to)
	assert.True(t, math.IsNaN(to.F[0]) && math.IsNaN(to.FU[0]))

	var hint int32
	boiling := r.startT
	at, k := r.Potential(boiling, &hint)
	beyond, same := r.Potential(boiling+50, &hint)
	require.InEpsilon(t, k, same, 1e-6)
	assert.InEpsilon(t, at+50*k, beyond, 1e-8)

	measured := measuredRelation(t)
	a := measured.Anchor(0)
	for _, temp := range []float64{-60, -3, 20, 300} { // also outside of what was measured
		f, k := measured.Potential(temp, &hint)
		next, _ := measured.Potential(temp+0.01, &hint)
		assert.InEpsilon(t, measured.Conductivity(math.Max(math.Min(temp, measured.highest), measured.lowest), &a), k, 1e-6, "%g °C", temp)
		assert.InEpsilon(t, k, (next-f)/0.01, 1e-3, "%g °C", temp)
	}
}
