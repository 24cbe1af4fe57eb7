package materials

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWithWater(t *testing.T) {
	raw := MustFind("mushrooms, raw")
	dry, err := raw.WithWater(0.7)
	require.NoError(t, err)
	require.NoError(t, dry.Validate())
	assert.Equal(t, "mushrooms, raw, dried to 70 % water", dry.Name)
	assert.InDelta(t, 0.7, dry.Composition.Water, 1e-15)
	assert.InDelta(t, raw.Composition.Protein/raw.Composition.Solids(), dry.Composition.Protein/dry.Composition.Solids(), 1e-12)
	assert.InDelta(t, raw.Composition.Salt/raw.Composition.Solids(), dry.Composition.Salt/dry.Composition.Solids(), 1e-12)
	assert.Less(t, dry.InitialFreezingPoint(), raw.InitialFreezingPoint())

	// Without bound water, Raoult: the same moles in less water.
	none := 0.0
	raw.BoundWater, raw.FreezingPoint = &none, -1
	dry, err = raw.WithWater(0.7)
	require.NoError(t, err)
	ratio := func(f Food) float64 { // mol of solute per mol of water
		a := iceActivity(f.FreezingPoint)
		return (1 - a) / a * f.Composition.Water / f.Composition.Solids()
	}
	assert.InEpsilon(t, ratio(raw), ratio(dry), 1e-9)

	back, err := dry.WithWater(raw.Composition.Water)
	require.NoError(t, err)
	assert.InDelta(t, -1, back.FreezingPoint, 1e-9)
	assert.Contains(t, back.Name, "wetted to")

	given := 0.1
	raw.BoundWater = &given
	dry, err = raw.WithWater(0.05)
	require.NoError(t, err)
	assert.InDelta(t, 0.05*greatestBound, *dry.BoundWater, 1e-12)
	assert.Equal(t, 0.1, given)
	bone, err := raw.WithWater(0)
	require.NoError(t, err)
	assert.NoError(t, bone.Validate())
	assert.Equal(t, lowestEstimate, bone.InitialFreezingPoint())
}

func TestDryingIsMonotone(t *testing.T) {
	for _, f := range Foods() {
		if f.Composition.Solids() < 0.01 || f.Composition.Water < 0.3 {
			continue
		}
		last := f.InitialFreezingPoint()
		for w := f.Composition.Water - 0.02; w > 0; w -= 0.02 {
			g, err := f.WithWater(w)
			require.NoError(t, err)
			require.NoError(t, g.Validate(), g.Name)
			now := g.InitialFreezingPoint()
			require.LessOrEqual(t, now, last+1e-9, g.Name)
			last = now
		}
	}
}

func TestLoseWater(t *testing.T) {
	f := MustFind("lamb loin, raw")
	g, err := f.LoseWater(0.2)
	require.NoError(t, err)
	assert.InDelta(t, f.Composition.Protein/0.8, g.Composition.Protein, 1e-9)
	assert.InDelta(t, (f.Composition.Water-0.2)/0.8, g.Composition.Water, 1e-9)
	assert.Equal(t, "lamb loin, raw, less 20 % of its mass in water", g.Name)
	for _, bad := range []float64{-0.1, 0.9, 1, math.NaN(), math.Inf(1)} {
		_, err := f.LoseWater(bad)
		var e *FoodError
		assert.ErrorAs(t, err, &e, "%v", bad)
	}
}

func TestBaked(t *testing.T) {
	f := MustFind("bread dough, raw")
	crumb, err := f.Baked("crumb", 0.38, 0.75)
	require.NoError(t, err)
	require.NoError(t, crumb.Validate())
	assert.Equal(t, OpenPores, crumb.Structure)
	assert.Equal(t, "crumb", crumb.Name)
	assert.InDelta(t, 0.38, crumb.Composition.Water, 1e-12)
	assert.Less(t, crumb.Density(), 400.0)
	for _, bad := range [][2]float64{{1, 0.5}, {-0.1, 0.5}, {math.NaN(), 0.5}, {0.3, 1}, {0.3, -0.1}, {0.3, math.NaN()}} {
		_, err := f.Baked("x", bad[0], bad[1])
		var e *FoodError
		assert.ErrorAs(t, err, &e, "%v", bad)
	}
}

func TestMix(t *testing.T) {
	flour, water, butter := MustFind("wheat flour"), MustFind("water"), MustFind("butter")
	dough, err := Mix("dough", Part{flour, 500}, Part{water, 280}, Part{butter, 60})
	require.NoError(t, err)
	require.NoError(t, dough.Validate())
	assert.InDelta(t, 1, dough.Composition.Sum(), 1e-12)
	want := (500*flour.Composition.Water + 280 + 60*butter.Composition.Water) / 840
	assert.InDelta(t, want, dough.Composition.Water, 1e-3)
	assert.Equal(t, MilkFat, dough.FatKind)
	assert.Equal(t, flour.Isotherm, dough.Isotherm)
	assert.Equal(t, flour.Structure, dough.Structure)

	// Volume and air add up.
	volume := (500/flour.Density() + 280/water.Density() + 60/butter.Density()) / 840
	assert.InEpsilon(t, 1/volume, dough.Density(), 1e-3)

	// Any unit; one part is itself; order is of no account.
	again, err := Mix("dough", Part{water, 0.280}, Part{butter, 0.060}, Part{flour, 0.500})
	require.NoError(t, err)
	assert.InDelta(t, dough.FreezingPoint, again.FreezingPoint, 1e-9)
	lamb := MustFind("lamb loin, raw")
	one, err := Mix("same", Part{lamb, 3})
	require.NoError(t, err)
	assert.InDelta(t, lamb.FreezingPoint, one.FreezingPoint, 1e-9)
	assert.InDelta(t, lamb.Density(), one.Density(), 1e-6)

	// Raoult, no bound water: 0.6 mol/kg from each half gives the mean of molalities.
	a := Food{Name: "a", FreezingPoint: -1, Composition: Composition{Water: 0.9, Carbohydrate: 0.1}, BoundWater: new(float64)}
	b := a
	b.FreezingPoint = -3
	half, err := Mix("half", Part{a, 1}, Part{b, 1})
	require.NoError(t, err)
	m := func(t float64) float64 { x := iceActivity(t); return (1 - x) / x }
	assert.InEpsilon(t, (m(-1)+m(-3))/2, m(half.FreezingPoint), 1e-9)
}

func TestMixRefuses(t *testing.T) {
	f := MustFind("lamb loin, raw")
	curve, err := FromEnthalpy("curve", 1000, []Point{{0, 0, 1}, {1, 1, 1}})
	require.NoError(t, err)
	for name, parts := range map[string][]Part{
		"none": nil, "zero": {{f, 0}}, "negative": {{f, 1}, {f, -1}}, "NaN": {{f, math.NaN()}}, "infinite": {{f, math.Inf(1)}},
		"overflow": {{f, 1.7e308}, {f, 1.7e308}}, "measured": {{f, 1}, {curve, 1}}, "invalid": {{Food{}, 1}},
	} {
		_, err := Mix("x", parts...)
		var e *FoodError
		if assert.ErrorAs(t, err, &e, name) {
			assert.Equal(t, "x", e.Food, name)
		}
	}
	_, err = curve.WithWater(0.5)
	assert.Error(t, err)
	_, err = Food{Name: "pure", Composition: Composition{Water: 1}}.WithWater(0.5)
	assert.ErrorContains(t, err, "solids")
}

// How water moves, is held and taken up goes with the solids into what is made of
// a food, and can be changed there without touching it.
func TestRecipesKeepTransportHoldingAndSoak(t *testing.T) {
	f := MustFind("cod, raw")
	f.Soak = 3
	made := map[string]Food{}
	var err error
	made["with water"], err = f.WithWater(0.6)
	require.NoError(t, err)
	made["less water"], err = f.LoseWater(0.2)
	require.NoError(t, err)
	made["baked"], err = f.Baked("baked", 0.5, 0.2)
	require.NoError(t, err)
	made["mix"], err = Mix("mix", Part{f, 2}, Part{MustFind("water"), 1})
	require.NoError(t, err)
	for name, g := range made {
		require.NoError(t, g.Validate(), name)
		assert.Equal(t, f.Transport, g.Transport, name)
		assert.NotSame(t, f.Transport, g.Transport, name)
		if name != "mix" { // see TestAMixLetsGoTheJuiceOfItsMuscleOnly
			assert.Equal(t, f.Holding, g.Holding, name)
		}
		assert.NotSame(t, &f.Holding.Points[0], &g.Holding.Points[0], name)
		assert.InDelta(t, 3, g.Soak, 1e-12, name)
	}

	// Muscle that was dried expels only what is over the curve.
	dry := made["less water"]
	water := dry.Composition.Water / dry.Composition.Protein
	assert.Less(t, water, dry.Holding.Kept(20))
	assert.Greater(t, water, dry.Holding.Kept(90))
}

func TestMixTakesTransportOfTheLargestPart(t *testing.T) {
	beef, crumb := MustFind("beef mince, raw"), MustFind("breadcrumbs, dry")
	patty, err := Mix("patty", Part{beef, 9}, Part{crumb, 1})
	require.NoError(t, err)
	assert.Equal(t, beef.Holding.Name, patty.Holding.Name)
	assert.Nil(t, patty.Transport)
	solids := func(f Food) float64 { return f.Composition.Solids() - f.Composition.Fat }
	want := crumb.Soak * solids(crumb) / (9*solids(beef) + solids(crumb))
	assert.InEpsilon(t, want, patty.Soak, 1e-9)

	stuffing, err := Mix("stuffing", Part{beef, 1}, Part{crumb, 2})
	require.NoError(t, err)
	assert.NotNil(t, stuffing.Holding, "its meat lets juice go all the same")
	bread, err := Mix("bread", Part{crumb, 2})
	require.NoError(t, err)
	assert.Nil(t, bread.Holding)
}
