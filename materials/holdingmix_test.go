package materials

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// expelled is the water [kg] that so much of a food lets go if held at t for long.
func expelled(f Food, mass, t float64) float64 {
	if f.Holding == nil {
		return 0
	}
	c := f.Composition
	return mass * math.Max(0, c.Water-c.Protein*f.Holding.Kept(t)) / c.Sum()
}

// What a mix lets go is what its muscles would let go on their own: the other water
// stays, whichever part is the heaviest.
func TestAMixLetsGoTheJuiceOfItsMuscleOnly(t *testing.T) {
	part := func(name string, mass float64) Part { return Part{MustFind(name), mass} }
	for name, parts := range map[string][]Part{
		"cod in a sauce":         {part("cod, raw", 450), part("bechamel sauce", 400)},
		"lamb and rice":          {part("lamb, lean, raw", 300), part("rice, cooked", 200)},
		"muscle not heaviest":    {part("rice, cooked", 300), part("lamb, lean, raw", 200)},
		"two kinds of muscle":    {part("cod, raw", 300), part("beef mince, raw", 200), part("bechamel sauce", 400)},
		"muscle alone":           {part("lamb loin, raw", 3)},
		"two cuts":               {part("lamb loin, raw", 3), part("lamb leg, raw", 4)},
		"cooked muscle, wetted":  {part("beef sirloin, cooked", 300), part("bechamel sauce", 100)},
		"muscle and pure fat":    {part("pork loin, raw", 3), part("lard", 2)},
		"muscle and pure water":  {part("cod, raw", 2), part("water", 1)},
		"a scrap of it in stock": {part("chicken breast, raw", 1), part("water", 8)},
	} {
		t.Run(name, func(t *testing.T) {
			mix, err := Mix(name, parts...)
			require.NoError(t, err)
			require.NoError(t, mix.Validate())
			require.NotNil(t, mix.Holding)
			var total float64
			for _, p := range parts {
				total += p.Mass
			}
			for at := -20.0; at <= 130; at += 2.5 {
				want := 0.0
				for _, p := range parts {
					// also what a cooked muscle, which has less than it holds, could still take up
					if h, c := p.Food.Holding, p.Food.Composition; h != nil {
						want += p.Mass * (c.Water - c.Protein*h.Kept(at)) / c.Sum()
					}
				}
				got := expelled(mix, total, at)
				assert.InDelta(t, math.Max(0, want), got, 1e-9*total, "%v °C", at)
			}
		})
	}
}

// A mix lets go at the rate of its muscle, or at one between those of two.
func TestRatesOfAMix(t *testing.T) {
	cod, beef, rice := MustFind("cod, raw"), MustFind("beef mince, raw"), MustFind("rice, cooked")
	one, err := Mix("one", Part{cod, 1}, Part{rice, 5})
	require.NoError(t, err)
	two, err := Mix("two", Part{cod, 1}, Part{beef, 1})
	require.NoError(t, err)
	for at := 20.0; at < 100; at += 1 {
		assert.InEpsilon(t, cod.Holding.Rate(at), one.Holding.Rate(at), 1e-12, "%v °C", at)
	}
	for _, p := range two.Holding.Points {
		at := p.Temperature
		lo, hi := beef.Holding.Rate(at), cod.Holding.Rate(at)
		r := two.Holding.Rate(at)
		assert.True(t, r >= math.Min(lo, hi)*(1-1e-9) && r <= math.Max(lo, hi)*(1+1e-9), "%v °C: %g of %g and %g", at, r, lo, hi)
	}
	assert.InEpsilon(t, cod.Holding.Rate(30), two.Holding.Rate(30), 1e-12, "only the cod lets go")
}

// A mix of mixes is the mix of all of their parts.
func TestMixesOfMixes(t *testing.T) {
	cod, sauce, beef := MustFind("cod, raw"), MustFind("bechamel sauce"), MustFind("beef mince, raw")
	inner, err := Mix("inner", Part{cod, 2}, Part{sauce, 1})
	require.NoError(t, err)
	outer, err := Mix("outer", Part{inner, 3}, Part{beef, 2})
	require.NoError(t, err)
	flat, err := Mix("flat", Part{cod, 2}, Part{sauce, 1}, Part{beef, 2})
	require.NoError(t, err)
	for at := 0.0; at < 120; at += 3 {
		assert.InEpsilon(t, flat.Holding.Kept(at), outer.Holding.Kept(at), 1e-9, "%v °C", at)
		assert.InEpsilon(t, flat.Holding.Rate(at), outer.Holding.Rate(at), 1e-9, "%v °C", at)
	}
}

// Water that is added is not the muscle's, and stays; what was dried off comes back as
// its own.
func TestWettedMuscleKeepsWhatWasAdded(t *testing.T) {
	cod := MustFind("cod, raw")
	solids := cod.Composition.Solids() / cod.Composition.Sum()
	wet, err := cod.WithWater(0.9)
	require.NoError(t, err)
	require.NoError(t, wet.Validate())
	mass := solids / 0.1 // of the wetted food, of 1 kg of cod
	for _, at := range []float64{0, 20, 30, 45, 60, 100} {
		assert.InDelta(t, expelled(cod, 1, at), expelled(wet, mass, at), 1e-9, "%v °C", at)
	}
	dry, err := cod.WithWater(0.5)
	require.NoError(t, err)
	assert.Equal(t, cod.Holding, dry.Holding)
	again, err := dry.WithWater(cod.Composition.Water)
	require.NoError(t, err)
	assert.Equal(t, cod.Holding, again.Holding)

	// a stew cooked down has less to lose by what went off
	stew, err := Mix("stew", Part{MustFind("lamb, lean, raw"), 300}, Part{MustFind("tomato sauce"), 500})
	require.NoError(t, err)
	down, err := stew.LoseWater(0.1)
	require.NoError(t, err)
	assert.InDelta(t, math.Max(0, expelled(stew, 1, 90)-0.1), expelled(down, 0.9, 90), 1e-9)
	loaf, err := stew.Baked("loaf", 0.5, 0.1)
	require.NoError(t, err)
	assert.Equal(t, stew.Holding, loaf.Holding)
}

// Whatever is mixed, the curve is a valid one or none, and its points do not grow
// without end.
func TestHoldingOfAnyMixIsValid(t *testing.T) {
	var all []Part
	for i, f := range Foods() {
		all = append(all, Part{f, float64(1 + i%7)})
	}
	mix, err := Mix("all", all...)
	require.NoError(t, err)
	require.NoError(t, mix.Validate())
	require.NotNil(t, mix.Holding)

	many := make([]Part, 5)
	for i := range many {
		f := sirloin()
		f.Holding = &WaterHolding{Name: fmt.Sprint(i), RawWater: 3 + float64(i), Source: "guess"}
		for k := range maxHoldingPoints {
			x := float64(k)
			f.Holding.Points = append(f.Holding.Points, HoldingPoint{x + 0.1*float64(i), math.Min(greatestLost, 0.01*x), greatestRate})
		}
		many[i] = Part{f, 1}
	}
	mix, err = Mix("many", many...)
	require.NoError(t, err)
	require.NoError(t, mix.Validate())
	assert.Len(t, mix.Holding.Points, maxHoldingPoints)
	assert.Equal(t, "mixed", mix.Holding.Name)

	// next to no muscle
	thin, err := Mix("thin", Part{MustFind("cod, raw"), 1}, Part{MustFind("water"), 1e4})
	require.NoError(t, err)
	require.NoError(t, thin.Validate())
	assert.Nil(t, thin.Holding)
}
