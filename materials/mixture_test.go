package materials

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestModelsOfEqualPhases(t *testing.T) {
	for _, k := range []float64{1e-3, 0.5, 2.4, 400} {
		for _, v := range []float64{0, 0.2, 0.5, 1} {
			ks, vs := []float64{k, k}, []float64{v, 1 - v}
			for name, got := range map[string]float64{
				"parallel": Parallel(ks, vs), "series": Series(ks, vs), "Krischer": Krischer(ks, vs, 0.3),
				"Maxwell-Eucken": MaxwellEucken(k, k, v), "Levy": Levy(k, k, v), "effective medium": EffectiveMedium(ks, vs),
			} {
				assert.InEpsilon(t, k, got, 1e-12, "%s k %v v %v", name, k, v)
			}
		}
	}
}

func TestModelsAtTheirLimits(t *testing.T) {
	const a, b = 2.4, 0.2
	for name, f := range map[string]func(v float64) float64{ // v of a
		"parallel":          func(v float64) float64 { return Parallel([]float64{a, b}, []float64{v, 1 - v}) },
		"series":            func(v float64) float64 { return Series([]float64{a, b}, []float64{v, 1 - v}) },
		"Krischer":          func(v float64) float64 { return Krischer([]float64{a, b}, []float64{v, 1 - v}, 0.4) },
		"Maxwell-Eucken":    func(v float64) float64 { return MaxwellEucken(b, a, v) },
		"Maxwell-Eucken, 2": func(v float64) float64 { return MaxwellEucken(a, b, 1-v) },
		"Levy":              func(v float64) float64 { return Levy(a, b, v) },
		"effective medium":  func(v float64) float64 { return EffectiveMedium([]float64{a, b}, []float64{v, 1 - v}) },
	} {
		assert.InEpsilon(t, b, f(0), 1e-12, name)
		assert.InEpsilon(t, a, f(1), 1e-12, name)
		last := 0.0
		for i := range 101 {
			k := f(float64(i) / 100)
			assert.Greater(t, k, last, name)
			last = k
		}
	}
}

// Wiener's bounds hold for all, Hashin & Shtrikman's (the two Maxwell-Eucken
// forms) for the isotropic ones; what is symmetric is so.
func TestModelsBetweenBounds(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		k1, k2, v := math.Exp(8*r.Float64()-4), math.Exp(8*r.Float64()-4), r.Float64()
		ks, vs := []float64{k1, k2}, []float64{v, 1 - v}
		lo, hi := Series(ks, vs), Parallel(ks, vs)
		hsLow, hsHigh := MaxwellEucken(k2, k1, v), MaxwellEucken(k1, k2, 1-v)
		if hsLow > hsHigh {
			hsLow, hsHigh = hsHigh, hsLow
		}
		const e = 1e-10
		assert.GreaterOrEqual(t, hsLow, lo*(1-e))
		assert.LessOrEqual(t, hsHigh, hi*(1+e))
		for name, k := range map[string]float64{"Levy": Levy(k1, k2, v), "effective medium": EffectiveMedium(ks, vs)} {
			assert.GreaterOrEqual(t, k, hsLow*(1-e), "%s %v %v %v", name, k1, k2, v)
			assert.LessOrEqual(t, k, hsHigh*(1+e), "%s %v %v %v", name, k1, k2, v)
		}
		assert.InEpsilon(t, Levy(k1, k2, v), Levy(k2, k1, 1-v), 1e-9, "%v %v %v", k1, k2, v)
		assert.InEpsilon(t, EffectiveMedium(ks, vs), EffectiveMedium([]float64{k2, k1}, []float64{1 - v, v}), 1e-12)
		assert.InEpsilon(t, lo, Krischer(ks, vs, 1), 1e-12)
		assert.InEpsilon(t, hi, Krischer(ks, vs, 0), 1e-12)
		k := Krischer(ks, vs, r.Float64())
		assert.True(t, k >= lo*(1-e) && k <= hi*(1+e))

		// Two phases have a closed form: 4k = b + √(b² + 8 k1 k2).
		b := (3*v-1)*k1 + (2-3*v)*k2
		assert.InEpsilon(t, (b+math.Sqrt(b*b+8*k1*k2))/4, EffectiveMedium(ks, vs), 1e-6)
	}
}

func TestEffectiveMediumOfManyPhases(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		n := 1 + r.IntN(7)
		k, v := make([]float64, n), make([]float64, n)
		for i := range k {
			k[i], v[i] = math.Exp(12*r.Float64()-6), r.Float64()
		}
		x := EffectiveMedium(k, v)
		var f, size float64
		for i := range k {
			term := v[i] * (k[i] - x) / (k[i] + 2*x)
			f += term
			size += math.Abs(term)
		}
		assert.LessOrEqual(t, math.Abs(f), 1e-12*size+1e-15, "k %v v %v", k, v)
		assert.GreaterOrEqual(t, x, Series(k, v)*(1-1e-12))
		assert.LessOrEqual(t, x, Parallel(k, v)*(1+1e-12))
	}
	// Below the threshold of a third nothing passes through the insulator.
	assert.Less(t, EffectiveMedium([]float64{1, 0}, []float64{0.3, 0.7}), 1e-9)
	assert.InDelta(t, 0.25, EffectiveMedium([]float64{1, 0}, []float64{0.5, 0.5}), 1e-12) // (3v-1)/2
}

func TestModelsOnBadInput(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct{ k, v []float64 }{
		{nil, nil}, {[]float64{1}, nil}, {[]float64{1, 2}, []float64{1}}, {[]float64{-1, 1}, []float64{0.5, 0.5}},
		{[]float64{nan, 1}, []float64{0.5, 0.5}}, {[]float64{1, 1}, []float64{nan, 0.5}}, {[]float64{1, 1}, []float64{-0.5, 1}},
		{[]float64{1, 1}, []float64{0, 0}}, {[]float64{inf, 1}, []float64{0.5, 0.5}}, {[]float64{1, 1}, []float64{inf, 0.5}},
	} {
		assert.True(t, math.IsNaN(Parallel(c.k, c.v)), "%v", c)
		assert.True(t, math.IsNaN(Series(c.k, c.v)), "%v", c)
		assert.True(t, math.IsNaN(EffectiveMedium(c.k, c.v)), "%v", c)
		assert.True(t, math.IsNaN(Krischer(c.k, c.v, 0.5)), "%v", c)
	}
	assert.True(t, math.IsNaN(Krischer([]float64{1}, []float64{1}, 1.1)))
	for _, c := range [][3]float64{{-1, 1, 0.5}, {1, -1, 0.5}, {1, 1, -0.1}, {1, 1, 1.1}, {nan, 1, 0.5}, {1, 1, nan}, {inf, 1, 0.5}} {
		assert.True(t, math.IsNaN(MaxwellEucken(c[0], c[1], c[2])), "%v", c)
		assert.True(t, math.IsNaN(Levy(c[0], c[1], c[2])), "%v", c)
	}
}

// Lean pork shoulder at -40 °C, ASHRAE Handbook - Refrigeration, Thermal Properties
// of Foods, examples 4 and 5: 0.7263 water, 0.1955 protein, 0.0714 fat, 0.0102
// ash, ice after Tchigeov. Values in testdata/ashrae-refrigeration/examples.csv.
func TestPorkAtMinus40(t *testing.T) {
	const at = -40.0
	ice := 1.105 * 0.7263 / (1 + 0.7138/math.Log(-2.2-at+1))
	assert.InDelta(t, 0.6715, ice, 1e-4)
	mass := []float64{ice, 0.7263 - ice, 0.1955, 0.0714, 0.0102}
	phases := []Component{Ice, Water, Protein, Fat, Ash}
	var k, v []float64
	var volume float64
	for i, c := range phases {
		k, v = append(k, c.Conductivity(at)), append(v, mass[i]/c.Density(at))
		volume += v[i]
	}
	x := v[0] / volume
	rest := Parallel(k[1:], v[1:])
	got := map[string]float64{
		"parallel": Parallel(k, v), "series": Series(k, v), "Levy": Levy(k[0], rest, x),
		"Maxwell-Eucken, ice dispersed": MaxwellEucken(rest, k[0], x), "Maxwell-Eucken, ice continuous": MaxwellEucken(k[0], rest, 1-x),
		"density": 1 / volume,
	}
	checked := 0
	for _, r := range published(t, "ashrae-refrigeration/examples.csv") {
		if r["example"] != "pork at -40 °C" {
			continue
		}
		g, ok := got[r["quantity"]]
		require.True(t, ok, r["quantity"])
		assert.InEpsilon(t, r.number(t, "printed"), g, 1e-3, r["quantity"])
		checked++
	}
	assert.Equal(t, len(got), checked)
}
