package phasechange

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

// Where all that is left of the water is bound there is nothing to melt, and the
// food has the heat of its solids and of as much ice; above 0 °C of as much water.
func TestBoundWaterHasTheHeatOfIce(t *testing.T) {
	for _, name := range []string{"white bread", "beef round, raw", "egg white, raw"} {
		f := materials.MustFind(name)
		f.FatKind = materials.NoFat // its melting is another matter
		r := newRelation(t, f, Settings{})
		c := f.Composition
		const part = 0.8
		a := r.Anchor(part * r.Bound())
		heat := func(from, to float64, water materials.Component) float64 {
			var h float64
			for x, m := range map[materials.Component]float64{materials.Protein: c.Protein, materials.Fat: c.Fat,
				materials.Carbohydrate: c.Carbohydrate, materials.Fibre: c.Fibre, materials.Ash: c.Ash, water: part * f.Bound()} {
				h += m * (x.Enthalpy(to) - x.Enthalpy(from))
			}
			return r.Density() * h
		}
		for _, span := range [][2]float64{{-40, -20}, {-20, -1}, {-1, 0}} {
			want := heat(span[0], span[1], materials.Ice)
			assert.InEpsilon(t, want, r.Energy(span[1], &a)-r.Energy(span[0], &a), 1e-4, "%s, %v °C", name, span)
		}
		assert.InEpsilon(t, heat(0, 30, materials.Water), r.Energy(30, &a)-r.Energy(0, &a), 1e-4, name)
	}
}

// At fixed temperature U is linear in the water from the bound water up to what
// freezes there, and from there on, and steady where one line meets the next.
func TestEnergyIsLinearInWater(t *testing.T) {
	for _, name := range []string{"white bread", "spinach, raw", "water"} {
		r := newRelation(t, materials.MustFind(name), Settings{})
		for _, temp := range []float64{-30, -5, -0.5, 5, 60} {
			at := func(w float64) float64 {
				a := r.Anchor(w)
				a.whole = false // the formulas, not the table
				return r.Energy(temp, &a)
			}
			edges := []float64{0, r.Bound(), r.water}
			if m, _ := r.ice.unfrozen(temp); m < r.water {
				edges = []float64{0, r.Bound(), m, r.water}
			}
			for i := 1; i < len(edges); i++ {
				lo, hi := edges[i-1], edges[i]
				if hi-lo < 1e-6*r.water {
					continue
				}
				scale := math.Abs(at(hi)) + math.Abs(at(lo)) + 1e3
				assert.InDelta(t, (at(lo)+at(hi))/2, at((lo+hi)/2), 1e-9*scale, "%s, %g °C, %g to %g kg/m³", name, temp, lo, hi)
				assert.InDelta(t, at(hi), at(hi+1e-9*r.water), 1e-7*scale+10, "%s, %g °C, %g kg/m³", name, temp, hi)
			}
		}
	}
}

// Food with its water has no heat capacity but its components'; what takes the
// place of boiled-off water has, and is not paid for with the heat of steam.
func TestResidualHeatOnlyWhereWaterLeft(t *testing.T) {
	r := newRelation(t, materials.MustFind("water"), Settings{})
	require.Equal(t, residualHeat, r.left)
	whole := r.Anchor(r.water)
	for _, temp := range []float64{5, 40, 80} {
		assert.InEpsilon(t, r.density*materials.Water.SpecificHeat(temp), r.HeatCapacity(temp, &whole), 1e-4, "%g °C", temp)
	}
	var hint int32
	dry := whole
	r.Settle(r.Energy(200, &whole), &dry, &hint)
	require.Less(t, dry.water, 1e-3*r.water)
	for _, temp := range []float64{-30, 20, 90} {
		assert.Greater(t, r.HeatCapacity(temp, &dry), 0.99*residualHeat, "%g °C", temp)
	}
	assert.Zero(t, newRelation(t, materials.MustFind("beef sirloin, raw"), Settings{}).left)
}

// On either side of 0 °C, where the heat capacity jumps, dried food finds its way
// back from energy to temperature, whatever the guess.
func TestDriedFoodAroundZero(t *testing.T) {
	for _, name := range []string{"white bread", "honey", "water", "butter"} {
		r := newRelation(t, materials.MustFind(name), Settings{})
		for _, share := range []float64{0.7, 0.3, 0.05} {
			a := r.Anchor(share * r.water)
			for _, temp := range []float64{-1e-3, -3e-5, -1e-7, 0, 1e-7, 3e-5, 1e-3} {
				if temp < a.tf {
					continue
				}
				for _, guess := range []float64{math.NaN(), -50, -1e-5, 0, 1e-5, 70} {
					hint := int32(0)
					got, _, _, _ := r.At(r.Energy(temp, &a), &a, &hint, guess)
					assert.InDelta(t, temp, got, 1e-9, "%s, share %g, %g °C from %g", name, share, temp, guess)
				}
			}
		}
	}
}

// Loose foods of little or no water, where a share of the water is a hard thing to
// divide by.
func TestResidualHeatOfLooseFood(t *testing.T) {
	for _, water := range []float64{0, 1e-12, 1e-6, 1e-3, 0.3} {
		f := materials.Food{Name: "loose", Porosity: 0.97, Composition: materials.Composition{Water: water, Carbohydrate: 1 - water}}
		r := newRelation(t, f, Settings{})
		anchors(r, func(share float64, a Anchor) {
			last := math.Inf(-1)
			for _, temp := range temperatures(&a) {
				u := r.Energy(temp, &a)
				require.Greater(t, u, last, "water %g, share %g, %g °C", water, share, temp)
				require.InDelta(t, temp, r.Temperature(u, &a), 1e-6, "water %g, share %g", water, share)
				last = u
			}
		})
	}
}
