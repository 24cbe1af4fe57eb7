package quality

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/kinetics"
)

// reached is the share that has come to each step of a scale, or further.
func reached(d Doneness) []float64 {
	out := make([]float64, len(d.Bands))
	sum := 0.0
	for k := len(d.Bands) - 1; k >= 0; k-- {
		sum += d.Bands[k].Share
		out[k] = sum
	}
	return out
}

// Of any profile shares are shares and sum to 1; of a hotter or longer one no less
// has come to any step, and no rim is narrower.
func TestShares(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 31))
	shapes := []geometry.Shape{geometry.HalfSlab{}, geometry.Slab{}, geometry.Cylinder{}, geometry.Sphere{}}
	layer := Layer{Name: "all", Kind: Meat, Scales: []Scale{KitchenMeat(), ResearchMeat(), KitchenFish(), Proteins(), mixed()}}
	for range 12 {
		shape := shapes[rng.IntN(len(shapes))]
		a, b, c, w := 20+60*rng.Float64(), 30*rng.NormFloat64(), 10*rng.NormFloat64(), 20*rng.Float64()
		profile := func(x float64) float64 {
			return min(max(a+b*x/0.02+c*math.Sin(w*x/0.02), 0), 95)
		}
		at := func(more float64, d time.Duration) *Report {
			run := insulated(t, shape, block(t), 0.02, thermal.Profile(func(x float64) float64 { return profile(x) + more }), d)
			return assess(t, run, layer)
		}
		base, hotter, longer := at(0, 20*time.Second), at(2, 20*time.Second), at(0, 30*time.Second)
		for k, d := range base.Layers[0].Doneness {
			sum := 0.0
			for _, band := range d.Bands {
				require.GreaterOrEqual(t, band.Share, 0.0, "%s", band.Name)
				require.LessOrEqual(t, band.Share, 1.0)
				sum += band.Share
			}
			require.InDelta(t, 1, sum, 1e-12, d.Scale)
			for _, more := range []*Report{hotter, longer} {
				further := reached(more.Layers[0].Doneness[k])
				for j, share := range reached(d) {
					require.GreaterOrEqual(t, further[j], share-1e-9, "%s, %s", d.Scale, d.Bands[j].Name)
				}
			}
		}
		for k, rim := range base.Layers[0].Rims {
			require.True(t, *rim.Share >= 0 && *rim.Share <= 1 && *rim.Width >= 0 && *rim.Width <= 0.02*(1+1e-9))
			require.GreaterOrEqual(t, *hotter.Layers[0].Rims[k].Width, *rim.Width-1e-12)
			require.GreaterOrEqual(t, *hotter.Layers[0].Rims[k].Share, *rim.Share-1e-12)
		}
		s := base.Layers[0].Peak
		require.True(t, s.Least <= s.Mean && s.Mean <= s.Most && s.Deviation >= 0 && s.Deviation <= (s.Most-s.Least)/2+1e-9, "%v", s)
	}
}

// mixed is a scale whose steps are in several quantities and do not follow on one
// another.
func mixed() Scale {
	return Scale{Name: "mixed", Source: "test", Below: "below", Steps: []Step{
		{Name: "actin", Quantity: kinetics.Actin().Name, From: 0.2}, {Name: "warm", From: 40},
		{Name: "myosin", Quantity: kinetics.Myosin().Name, From: 0.1}, {Name: "hot", From: 70}}}
}

// A sharper limit gives a narrower rim.
func TestRimFallsWithItsLimit(t *testing.T) {
	run := wrapped(t, 220, false, 30*time.Minute)
	var limits []Step
	for x := 20.0; x < 110; x += 3 {
		limits = append(limits, Step{Name: "limit", From: x})
	}
	rims := assess(t, run, Layer{Name: "meat", Overcooked: limits}).Layers[0].Rims
	require.Len(t, rims, len(limits))
	assert.InDelta(t, 0.02, *rims[0].Width, 1e-12)
	assert.Zero(t, *rims[len(rims)-1].Width)
	for i := 1; i < len(rims); i++ {
		assert.LessOrEqual(t, *rims[i].Width, *rims[i-1].Width)
		assert.LessOrEqual(t, *rims[i].Share, *rims[i-1].Share)
	}
}

func TestPublishedScalesAreSound(t *testing.T) {
	for _, s := range []Scale{KitchenMeat(), ResearchMeat(), KitchenFish(), Proteins()} {
		require.NoError(t, s.Validate())
		assert.NotEmpty(t, s.Source)
	}
	for kind, name := range map[Kind]string{Other: "other", Meat: "meat", Fish: "fish", Dough: "dough", 7: "Kind(7)"} {
		assert.Equal(t, name, kind.String())
		require.Equal(t, kind <= Dough, Layer{Name: "x", Kind: kind}.validate() == nil)
	}
	assert.Len(t, Quantities(roast...), 6)
	assert.Empty(t, Quantities(Layer{Kind: Fish}))
}
