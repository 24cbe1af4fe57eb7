package phasechange

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

func TestBadSettings(t *testing.T) {
	f := materials.MustFind("beef sirloin, raw")
	measured, err := materials.FromEnthalpy("a measured one", 1000, measuredPoints)
	require.NoError(t, err)
	for _, c := range []struct {
		name     string
		settings Settings
		quantity string
	}{
		{"NaN", Settings{Pressure: math.NaN()}, "pressure"},
		{"+Inf", Settings{Pressure: math.Inf(1)}, "pressure"},
		{"-Inf", Settings{Pressure: math.Inf(-1)}, "pressure"},
		{"negative", Settings{Pressure: -101325}, "pressure"},
		{"next to nothing", Settings{Pressure: math.SmallestNonzeroFloat64}, "pressure"},
		{"bar for pascal", Settings{Pressure: 1.013}, "pressure"},
		{"a little low", Settings{Pressure: 19999}, "pressure"},
		{"a little high", Settings{Pressure: 500001}, "pressure"},
		{"unknown ice curve", Settings{IceCurve: 99}, "ice curve"},
		{"first unknown ice curve", Settings{IceCurve: IdealSolution + 1}, "ice curve"},
	} {
		for _, food := range []materials.Food{f, measured} {
			t.Run(c.name+", "+food.Name, func(t *testing.T) {
				r, err := New(food, c.settings)
				assert.Nil(t, r)
				var bad *Error
				require.ErrorAs(t, err, &bad)
				assert.Equal(t, food.Name, bad.Food)
				assert.Contains(t, bad.Quantity, c.quantity)
				for _, part := range []string{"phasechange: ", food.Name, c.quantity, bad.Want} {
					assert.Contains(t, err.Error(), part)
				}
			})
		}
	}
}

func TestGoodSettings(t *testing.T) {
	f := materials.MustFind("beef sirloin, raw")
	for _, p := range []float64{0, 20e3, 101325, 500e3} {
		r, err := New(f, Settings{Pressure: p})
		require.NoError(t, err, "%g Pa", p)
		a := r.Anchor(r.Water())
		if p == 0 {
			p = StandardPressure
		}
		assert.InDelta(t, SaturationTemperature(p), a.BoilingPoint(), 1)
	}
}

// A faulty food is refused with the error of package materials, which names the
// food and the field.
func TestInvalidFood(t *testing.T) {
	good := materials.Composition{Water: 0.7, Protein: 0.2, Fat: 0.1}
	bound := 0.9
	for _, c := range []struct {
		name  string
		food  materials.Food
		field string
	}{
		{"empty", materials.Food{}, "sum"},
		{"NaN", materials.Food{Composition: materials.Composition{Water: math.NaN(), Protein: 1}}, "water"},
		{"negative", materials.Food{Composition: materials.Composition{Water: 0.9, Fat: 0.2, Protein: -0.1}}, "protein"},
		{"sum", materials.Food{Composition: materials.Composition{Water: 0.7}}, "sum"},
		{"porosity", materials.Food{Composition: good, Porosity: 1}, "porosity"},
		{"freezing point", materials.Food{Composition: good, FreezingPoint: 3}, "freezing point"},
		{"bound water", materials.Food{Composition: good, BoundWater: &bound}, "bound water"},
		{"fat kind", materials.Food{Composition: good, FatKind: 99}, "fat kind"},
		{"structure", materials.Food{Composition: good, Structure: 99}, "structure"},
		{"isotherm", materials.Food{Composition: good, Isotherm: materials.GAB(0.1, 10, 1.2)}, "isotherm"},
		{"measured", materials.Food{Measured: &materials.Measured{Density: 1000}}, "number of points"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.food.Name = "a " + c.name + " one"
			r, err := New(c.food, Settings{})
			assert.Nil(t, r)
			var bad *materials.FoodError
			require.True(t, errors.As(err, &bad), "%v", err)
			assert.Equal(t, c.food.Name, bad.Food)
			assert.Contains(t, bad.Field, c.field)
		})
	}
}

// Water contents out of range are taken as the nearest in range.
func TestAnchorClamps(t *testing.T) {
	r := newRelation(t, materials.MustFind("beef sirloin, raw"), Settings{})
	whole := r.Anchor(r.Water())
	for _, w := range []float64{r.Water() * 1.001, 1e9, math.Inf(1)} {
		assert.Equal(t, whole, r.Anchor(w), "%g", w)
	}
	dry := r.Anchor(0)
	for _, w := range []float64{-1e-9, -1e9, math.Inf(-1)} {
		assert.Equal(t, dry, r.Anchor(w), "%g", w)
	}
	assert.Zero(t, dry.Water())
}

func TestAnchorOfNoNumber(t *testing.T) {
	for _, c := range allCurves {
		r := newRelation(t, materials.MustFind("beef sirloin, raw"), Settings{IceCurve: c})
		assert.NotPanics(t, func() {
			a := r.Anchor(math.NaN())
			var hint int32
			r.At(1e8, &a, &hint, 0)
			r.Settle(1e9, &a, &hint)
		}, c.String())
	}
}

// Energies and temperatures that are not numbers come back so, in finite time.
func TestNotANumber(t *testing.T) {
	r := newRelation(t, materials.MustFind("beef sirloin, raw"), Settings{})
	nan := math.NaN()
	anchors(r, func(share float64, a Anchor) {
		var hint int32
		got, _, _, _ := r.At(nan, &a, &hint, 0)
		assert.True(t, math.IsNaN(got), "share %g: temperature %g of no energy", share, got)
		assert.True(t, math.IsNaN(r.Energy(nan, &a)), "share %g: energy %g at no temperature", share, r.Energy(nan, &a))
		for _, far := range []float64{-1e15, 1e15} {
			got, dt, k, _ := r.At(far, &a, &hint, 0)
			assert.False(t, math.IsNaN(got+dt+k), "share %g, energy %g", share, far)
		}
	})
}
