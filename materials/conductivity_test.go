package materials

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// phases of a food at t [°C], air included, as conductivities and volumes
// [m³/kg], written apart from the code under test.
func phases(f Food, t, liquid, ice float64) (k, v []float64) {
	c := f.Composition
	var original, used float64
	for _, p := range []struct {
		c            Component
		first, later float64
	}{
		{Water, c.Water, liquid}, {Ice, 0, ice}, {Protein, c.Protein, c.Protein}, {Fat, c.Fat, c.Fat},
		{Carbohydrate, c.Carbohydrate, c.Carbohydrate}, {Fibre, c.Fibre, c.Fibre}, {Ash, c.Ash, c.Ash},
	} {
		rho := p.c.Density(20)
		original += p.first / rho
		used += p.later / rho
		k, v = append(k, p.c.Conductivity(t)), append(v, p.later/rho)
	}
	original /= 1 - f.Porosity
	return append(k, airConductivity(t)), append(v, max(0, original-used))
}

// For every food, structure and a grid of states: conductivity lies between the
// series and the parallel bound of its phases, and moves without steps.
func TestConductivityBoundsAndContinuity(t *testing.T) {
	foods := Foods()
	require.NotEmpty(t, foods)
	for _, f := range foods {
		w := f.Composition.Water
		for s := Structure(0); s < structures; s++ {
			f.Structure = s
			var last float64
			var lastPhases []float64
			for at := -120.0; at <= 450; at += 10 {
				for _, liquid := range []float64{0, 0.3 * w, w} {
					ice := 0.0
					if at < 0 {
						ice = w - liquid
					}
					got := f.Conductivity(at, liquid, ice)
					k, v := phases(f, at, liquid, ice)
					require.GreaterOrEqual(t, got, Series(k, v)*(1-1e-12), "%s %v at %v °C", f.Name, s, at)
					require.LessOrEqual(t, got, Parallel(k, v)*(1+1e-12), "%s %v at %v °C", f.Name, s, at)
					if liquid != w {
						continue
					}
					// A mean rises with each phase's conductivity and scales with all of
					// them, so it changes by no more than the phase that changes most.
					if lastPhases != nil {
						lo, hi := math.Inf(1), 0.0
						for i := range k {
							lo, hi = min(lo, k[i]/lastPhases[i]), max(hi, k[i]/lastPhases[i])
						}
						require.GreaterOrEqual(t, got/last, lo*(1-1e-12), "%s %v at %v °C", f.Name, s, at)
						require.LessOrEqual(t, got/last, hi*(1+1e-12), "%s %v at %v °C", f.Name, s, at)
					}
					last, lastPhases = got, k
				}
			}
			// The first crystal and the last drop make no step.
			a, b := f.Conductivity(-1, w, 0), f.Conductivity(-1, w-1e-9*w, 1e-9*w)
			require.InEpsilon(t, a, b, 1e-6, "%s %v", f.Name, s)
			a, b = f.Conductivity(50, 0, 0), f.Conductivity(50, 1e-9*w, 0)
			require.InEpsilon(t, a, b, 1e-6, "%s %v", f.Name, s)
		}
	}
}

// The model sums against the exported models on slices.
func TestConductivityIsBuiltOfTheModels(t *testing.T) {
	f := sirloin()
	f.Porosity = 0.1
	const at = -10.0
	w := f.Composition.Water
	liquid, ice := 0.3*w, 0.5*w // and 0.2 lost
	k, v := phases(f, at, liquid, ice)
	var whole, wet float64
	for i, x := range v {
		whole += x
		if i != 1 && i != 7 {
			wet += x
		}
	}
	pick := func(a []float64, not ...int) (b []float64) {
		for i, x := range a {
			keep := true
			for _, n := range not {
				keep = keep && i != n
			}
			if keep {
				b = append(b, x)
			}
		}
		return b
	}
	par := Parallel(pick(k, 1, 7), pick(v, 1, 7))
	across := Krischer(pick(k, 1, 7), pick(v, 1, 7), acrossSeries)
	x := v[1] / (wet + v[1])
	air := v[7] / whole
	frozen := Levy(k[1], par, x)
	dough := Levy(k[1], Parallel(pick(k, 1, 3, 7), pick(v, 1, 3, 7)), v[1]/(wet-v[3]+v[1]))
	layered := Series([]float64{dough, k[3]}, []float64{wet + v[1] - v[3], v[3]})
	fat := v[3] / (wet + v[1])
	for s, want := range map[Structure]float64{
		Compact:     MaxwellEucken(frozen, k[7], air),
		ClosedFoam:  MaxwellEucken(frozen, k[7], air),
		FibreAcross: MaxwellEucken(Levy(k[1], across, x), k[7], air),
		FibreAlong:  MaxwellEucken((1-alongColumns)*frozen+alongColumns*Parallel([]float64{k[1], par}, []float64{x, 1 - x}), k[7], air),
		OpenPores:   Krischer([]float64{frozen, k[7]}, []float64{1 - air, air}, poreSeries),
		Layered:     MaxwellEucken(layered, k[7], air),

		FatContinuous: MaxwellEucken(MaxwellEucken(k[3], dough, 1-fat), k[7], air),
		FatDispersed:  MaxwellEucken(MaxwellEucken(dough, k[3], fat), k[7], air),
	} {
		f.Structure = s
		assert.InEpsilon(t, want, f.Conductivity(at, liquid, ice), 1e-12, s)
	}
}

func TestConductivityAcrossIsLessThanAlong(t *testing.T) {
	f := sirloin()
	for _, ice := range []float64{0, 0.3, 0.6} {
		f.Structure = FibreAcross
		across := f.Conductivity(-10, f.Composition.Water-ice, ice)
		f.Structure = FibreAlong
		assert.Greater(t, f.Conductivity(-10, f.Composition.Water-ice, ice), across)
	}
}

// The better conductor does more when it is the continuous phase; in sheets along
// the heat flow it does most, across it least.
func TestConductivityByWhereTheFatIs(t *testing.T) {
	for _, name := range []string{"butter", "cheddar cheese", "cream, table", "mayonnaise"} {
		f := MustFind(name)
		w := f.Composition.Water
		for _, ice := range []float64{0, 0.7 * w} {
			last := 0.0
			for _, s := range []Structure{Layered, FatContinuous, FatDispersed, Compact} {
				f.Structure = s
				k := f.Conductivity(-10, w-ice, ice)
				if s == Compact && ice > 0 {
					break // there the ice lies in the fat, too
				}
				assert.Greater(t, k, last, "%s %v, ice %g", name, s, ice)
				last = k
			}
		}
	}
}

func TestConductivityOfAWaterlessRest(t *testing.T) {
	water := Food{Composition: Composition{Water: 1}}
	assert.InEpsilon(t, Water.Conductivity(20), water.Conductivity(20, 1, 0), 1e-12)
	assert.InEpsilon(t, Ice.Conductivity(-20), water.Conductivity(-20, 0, 1), 1e-12) // more than its room
	assert.InEpsilon(t, airConductivity(20), water.Conductivity(20, 0, 0), 1e-12)
	assert.Equal(t, water.Conductivity(20, 0, 0), water.Conductivity(20, -1, -1))
	for _, s := range []Structure{Compact, Layered, FatContinuous, FatDispersed} {
		fat := Food{Composition: Composition{Fat: 1}, Structure: s}
		assert.InEpsilon(t, Fat.Conductivity(20), fat.Conductivity(20, 0, 0), 1e-12, s)
	}
	assert.True(t, math.IsNaN(Food{}.Conductivity(20, 0, 0)))
	assert.True(t, math.IsNaN(water.Conductivity(math.NaN(), 1, 0)))
}

func TestConductivityAllocatesNothing(t *testing.T) {
	f := MustFind("lamb loin, cooked")
	assert.Zero(t, testing.AllocsPerRun(100, func() { f.Conductivity(-10, 0.2, 0.4) }))
}

func TestMeasuredCurves(t *testing.T) {
	points := []Point{{-40, 0, 1.5}, {-1, 1e5, 1.3}, {0, 3e5, 0.5}, {100, 7e5, 0.6}}
	f, err := FromEnthalpy("gel", 1010, points)
	require.NoError(t, err)
	points[0].Conductivity = 99 // its own copy
	assert.Equal(t, 1010.0, f.Density())
	assert.Zero(t, f.Bound())
	for _, c := range []struct{ t, k float64 }{{-60, 1.5}, {-40, 1.5}, {-20.5, 1.4}, {-0.5, 0.9}, {0, 0.5}, {50, 0.55}, {100, 0.6}, {200, 0.6}} {
		assert.InDelta(t, c.k, f.Conductivity(c.t, 1, 1), 1e-12, "%v", c.t)
	}
	nan := math.NaN()
	for name, c := range map[string]struct {
		density float64
		points  []Point
		field   string
	}{
		"few":          {1000, points[:1], "number of points"},
		"many":         {1000, make([]Point, maxPoints+1), "number of points"},
		"density":      {0, points, "measured density"},
		"density NaN":  {nan, points, "measured density"},
		"back":         {1000, []Point{{0, 0, 1}, {-1, 1, 1}}, "temperature of point 2"},
		"same":         {1000, []Point{{0, 0, 1}, {0, 1, 1}}, "temperature of point 2"},
		"cold":         {1000, []Point{{-273, 0, 1}, {0, 1, 1}}, "temperature of point 1"},
		"NaN":          {1000, []Point{{nan, 0, 1}, {0, 1, 1}}, "temperature of point 1"},
		"flat":         {1000, []Point{{0, 1, 1}, {1, 1, 1}}, "enthalpy of point 2"},
		"enthalpy NaN": {1000, []Point{{0, 1, 1}, {1, nan, 1}}, "enthalpy of point 2"},
		"k":            {1000, []Point{{0, 1, 1}, {1, 2, 0}}, "conductivity of point 2"},
		"k too high":   {1000, []Point{{0, 1, 1}, {1, 2, 2e12}}, "conductivity of point 2"},
		"k infinite":   {1000, []Point{{0, 1, math.Inf(1)}, {1, 2, 1}}, "conductivity of point 1"},
	} {
		_, err := FromEnthalpy("x", c.density, c.points)
		var bad *FoodError
		if assert.ErrorAs(t, err, &bad, name) {
			assert.Equal(t, c.field, bad.Field, name)
		}
	}
}

func TestFromSpecificHeat(t *testing.T) {
	f, err := FromSpecificHeat("x", 900, []float64{-10, 0, 30}, []float64{2000, 3000, 3600}, []float64{1, 0.5, 0.8})
	require.NoError(t, err)
	p := f.Measured.Points
	assert.InDelta(t, 25000+99000, p[len(p)-1].Enthalpy, 1e-6)
	for i := 1; i < len(p); i++ { // chords have the slope of cp in their middle
		mid := (p[i].T + p[i-1].T) / 2
		want := 3000 + 100*mid
		if mid > 0 {
			want = 3000 + 20*mid
		}
		assert.InEpsilon(t, want, (p[i].Enthalpy-p[i-1].Enthalpy)/(p[i].T-p[i-1].T), 1e-9)
	}
	assert.InDelta(t, 0.65, f.Conductivity(15, 0, 0), 1e-12)
	long := make([]float64, maxPoints)
	for i := range long {
		long[i] = 1 + float64(i)/1000
	}
	f, err = FromSpecificHeat("long", 900, long, long, long)
	require.NoError(t, err)
	assert.Len(t, f.Measured.Points, maxPoints)

	for name, c := range map[string][3][]float64{
		"lengths":  {{0, 1}, {1}, {1, 1}},
		"few":      {{0}, {1}, {1}},
		"none":     {nil, nil, nil},
		"zero cp":  {{0, 1}, {1, 0}, {1, 1}},
		"NaN cp":   {{0, 1}, {1, math.NaN()}, {1, 1}},
		"order":    {{1, 0}, {1, 1}, {1, 1}},
		"NaN t":    {{0, math.NaN()}, {1, 1}, {1, 1}},
		"absurd t": {{0, 1e300}, {1, 1}, {1, 1}},
		"k":        {{0, 1}, {1, 1}, {1, -1}},
	} {
		_, err := FromSpecificHeat("x", 900, c[0], c[1], c[2])
		var bad *FoodError
		assert.ErrorAs(t, err, &bad, name)
	}
}
