package phasechange

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

// leanBeef is the food of testdata/ashrae-worked-examples/ice-in-lean-beef.csv.
func leanBeef() materials.Food {
	return materials.Food{Name: "lean beef", FreezingPoint: -1,
		Composition: materials.Composition{Water: 0.745, Protein: 0.22, Fat: 0.024, Ash: 0.011}}
}

func TestIceInLeanBeef(t *testing.T) {
	for _, c := range []struct {
		curve  IceCurve
		column string
	}{{BoundWater, "bound water"}, {Miles, "Miles"}, {Tchigeov, "Tchigeov"}} {
		r := newRelation(t, leanBeef(), Settings{IceCurve: c.curve})
		a := r.Anchor(r.Water())
		for _, row := range published(t, "ashrae-worked-examples/ice-in-lean-beef.csv") {
			temp := row.number(t, "t")
			got := r.Ice(temp, &a) / r.Density()
			// printed with four digits
			assert.InDelta(t, row.number(t, c.column), got, 6e-5, "%s at %g °C", c.curve, temp)
			if row["Riedel"] != "" {
				t.Logf("%s at %g °C: %.3f, measured %.3f (from memory)", c.curve, temp, got, row.number(t, "Riedel"))
			}
		}
	}
	r := newRelation(t, leanBeef(), Settings{})
	assert.InEpsilon(t, 0.4*0.22*r.Density(), r.Bound(), 1e-12, "bound water is 0.4 of the protein, Schwartzberg (1976)")
}

// Only the two curves with bound water have it.
func TestBound(t *testing.T) {
	for _, c := range allCurves {
		r := newRelation(t, leanBeef(), Settings{IceCurve: c})
		if c == BoundWater || c == IdealSolution {
			assert.Positive(t, r.Bound(), c.String())
		} else {
			assert.Zero(t, r.Bound(), c.String())
		}
	}
}

// The ideal solution has at every temperature the same moles of solute in what
// water dissolves it, counted back by Raoult's law from the activity of ice; and
// near the freezing point it is the dilute solution of BoundWater.
func TestIdealSolutionIsRaoult(t *testing.T) {
	ideal := newRelation(t, leanBeef(), Settings{IceCurve: IdealSolution})
	dilute := newRelation(t, leanBeef(), Settings{})
	a, b := ideal.Anchor(ideal.Water()), dilute.Anchor(dilute.Water())
	moles := func(temp float64) float64 {
		free := ideal.Water() - ideal.Ice(temp, &a) - ideal.Bound()
		// ln x_w = -λ/R (1/T - 1/T0), CRC constants
		x := math.Exp(-333.6e3 * 0.01801528 / 8.314463 * (1/(temp+273.15) - 1/273.15))
		return free / 0.01801528 * (1 - x) / x
	}
	for _, temp := range []float64{-1, -1.5, -3, -10, -40} {
		assert.InEpsilon(t, moles(-1), moles(temp), 1e-9, "%g °C", temp)
	}
	// To first order ln a = -y with y = -λ t/(R T0 T), and a/(1-a) = 1/y - 1/2: the
	// water that stays is less than of the dilute solution by a share of
	// (λ/(2 R T0²) + 1/T0) per kelvin below the freezing point.
	const perKelvin = 333.6e3*0.01801528/8.314463/273.15/273.15/2 + 1/273.15
	for _, temp := range []float64{-1.5, -3, -10} {
		free := func(r *Relation, a *Anchor) float64 { return r.Water() - r.Bound() - r.Ice(temp, a) }
		below := -1 - temp
		got := 1 - free(ideal, &a)/free(dilute, &b)
		assert.InEpsilon(t, perKelvin*below, got, 0.05, "%g °C", temp)
	}
}

// Less water freezes later, at the temperature where the solutes of all of it
// would be that strong.
func TestDryingLowersFreezingPoint(t *testing.T) {
	for _, c := range allCurves {
		r := newRelation(t, leanBeef(), Settings{IceCurve: c})
		last := math.Inf(1)
		for _, share := range []float64{1, 0.9, 0.7, 0.5, 0.3, 0.2} {
			a := r.Anchor(share * r.Water())
			assert.Less(t, a.FreezingPoint(), last, "%s, %g", c, share)
			last = a.FreezingPoint()
			if c == BoundWater {
				// the dilute solution: depression times free water stays
				assert.InEpsilon(t, -(r.Water() - r.Bound()), a.FreezingPoint()*(a.Water()-r.Bound()), 1e-9)
			}
		}
	}
}

func TestIceCurveNames(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range allCurves {
		assert.NotContains(t, c.String(), "IceCurve")
		seen[c.String()] = true
	}
	assert.Len(t, seen, len(allCurves))
	assert.Equal(t, "IceCurve(99)", IceCurve(99).String())
}

// solution of a solute [kg/kg of solution], everything else left to the estimate.
func solution(solute string, x float64) materials.Food {
	c := materials.Composition{Water: 1 - x}
	if solute == "NaCl" {
		c.Ash, c.Salt = x, x
	} else {
		c.Carbohydrate, c.Sugar = x, x
	}
	return materials.Food{Name: fmt.Sprintf("%s, %g %%", solute, 100*x), Composition: c}
}

// The freezing point estimated from the solutes, where it is known. Salt counts as
// ideal, which a measured solution is within a tenth up to 10 % of salt. Sugars are
// counted at 240 g/mol, between glucose and sucrose.
func TestFreezingPointOfSolutions(t *testing.T) {
	for _, row := range published(t, "water-ice-steam/freezing-of-solutions.csv") {
		x := row.number(t, "amount") / 100
		if row["by"] == "mol/kg water" {
			m := row.number(t, "amount") * 0.05844
			x = m / (1 + m)
		}
		f, want := solution(row["solute"], x), row.number(t, "depression")
		r := newRelation(t, f, Settings{})
		a := r.Anchor(r.Water())
		got := -a.FreezingPoint()
		require.InDelta(t, -f.InitialFreezingPoint(), got, 1e-12)
		t.Logf("%-8s %5.2f %%: %.3f K, known %.2f (%s), %+.0f %%", row["solute"], 100*x, got, want, row["status"], 100*(got/want-1))
		switch row["solute"] {
		case "NaCl":
			within := 0.10
			if x > 0.12 {
				within = 0.16 // ions hold water: far from ideal
			}
			assert.InEpsilon(t, want, got, within, "%v", row)
		case "sucrose":
			assert.Greater(t, got, 0.99*want, "%v: less than of sucrose", row)
		case "glucose":
			assert.Less(t, got, 1.01*want, "%v: more than of glucose", row)
		}
	}
}
