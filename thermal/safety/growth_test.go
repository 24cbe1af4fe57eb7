package safety

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
)

func TestGrowthRates(t *testing.T) {
	tests := []struct {
		set      string
		temp     float64
		doubling float64 // [min]
		within   float64
		source   string
	}{
		{"clostridium perfringens, roasted chicken", 46.4, 6.9, 0.05, "ln 2 over 6.06 per h, Food Control"},
		{"clostridium perfringens, braised beef", 43.5, 7.4, 0.05, "ln 2 over 5.64 per h, Food Control"},
		{"salmonella, chicken", 37, 30, 15, "typical, from memory"},
		{"e. coli, meat", 37, 30, 15, "typical, from memory"},
		{"listeria, meat", 37, 45, 15, "typical, from memory"},
		{"listeria, meat", 5, 15 * 60, 8 * 60, "typical, from memory"},
	}
	for _, tt := range tests {
		g, err := FindGrowth(tt.set)
		require.NoError(t, err)
		assert.InDelta(t, tt.doubling, 60*math.Ln2/g.Rate(tt.temp), tt.within, "%s at %v °C (%s)", tt.set, tt.temp, tt.source)
	}
	for _, g := range Growths() {
		best, top := 0.0, 0.0
		for temp := g.Lowest - 5; temp < g.Highest+5; temp += 0.01 {
			r := g.Rate(temp)
			require.GreaterOrEqual(t, r, 0.0)
			if r > top {
				best, top = temp, r
			}
		}
		assert.Zero(t, g.Rate(g.Lowest))
		assert.Zero(t, g.Rate(g.Highest))
		assert.Zero(t, g.Rate(math.NaN()))
		if g.Fastest > 0 {
			assert.InDelta(t, g.Best, best, 0.02, g.Name)
			assert.InEpsilon(t, g.Fastest, top, 1e-6, g.Name)
		}
	}
	// Ratkowsky's formula by hand: (0.04 (37 - 4)(1 - exp(0.3 (37 - 49))))².
	assert.InEpsilon(t, math.Pow(0.04*33*(1-math.Exp(-3.6)), 2), ptr(mustGrowth("salmonella, chicken")).Rate(37), 1e-12)
}

func ptr[T any](v T) *T { return &v }

func TestGrowthIntegral(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 6))
	for range 200 {
		g := growths[rng.IntN(len(growths))]
		h := wandering(rng, -20, 80)
		got, err := g.LogGrowth(h)
		require.NoError(t, err)
		want := 0.0
		smooth := h.cut(g.Lowest, g.Highest) // no kink within a piece
		for i := 1; i < len(smooth.Time); i++ {
			p := smooth.piece(i)
			const parts = 100
			for j := range parts {
				want += (p.t1 - p.t0) * quad.Fixed(func(s float64) float64 { return g.Rate(p.a + (p.b-p.a)*s) },
					float64(j)/parts, float64(j+1)/parts, 4, nil, 0)
			}
		}
		assert.InDelta(t, want/3600/math.Ln10, got, 1e-8*(1+got))

		cut := h.Time[0] + rng.Float64()*(h.Time[len(h.Time)-1]-h.Time[0])
		a, err := h.Between(h.Time[0], cut)
		require.NoError(t, err)
		early, err := g.LogGrowth(a)
		require.NoError(t, err)
		assert.LessOrEqual(t, early, got*(1+1e-12), "growth falls")
	}
	g := mustGrowth("listeria, meat")
	got, err := g.LogGrowth(constant(20, 10*time.Hour))
	require.NoError(t, err)
	assert.InEpsilon(t, 10*g.Rate(20)/math.Ln10, got, 1e-12)
	most, at, err := g.Strongest([]History{constant(5, time.Hour), constant(30, time.Hour), constant(20, time.Hour)})
	require.NoError(t, err)
	assert.Equal(t, 1, at)
	assert.InEpsilon(t, g.Rate(30)/math.Ln10, most, 1e-12)
}

// Without lag the estimate is over what was measured in cured meat cooled with a
// logarithm of temperature that falls evenly: 3.2 times, 95 % limit 8.5, from 51
// to 11 °C in 8 h (cured beef, Juneja et al. 2001); 9.4 times, 95 % limit 21.3,
// from 51 to 12 °C in 8 h (cured chicken, Juneja & Marks 2002).
func TestGrowthIsNotUnderestimated(t *testing.T) {
	for _, tt := range []struct {
		set    string
		end    float64
		factor float64
	}{
		{"clostridium perfringens, braised beef", 11, 8.5},
		{"clostridium perfringens, roasted chicken", 12, 21.3},
	} {
		h := History{}
		for i := range 97 {
			h.Time = append(h.Time, float64(i)*300)
			h.Temperature = append(h.Temperature, 51*math.Pow(tt.end/51, float64(i)/96))
		}
		got, err := ptr(mustGrowth(tt.set)).LogGrowth(h)
		require.NoError(t, err)
		assert.Greater(t, got, math.Log10(tt.factor), tt.set)
		t.Logf("%s: %.2f log10 estimated, %.2f measured at most", tt.set, got, math.Log10(tt.factor))
	}
}

func TestGermLimits(t *testing.T) {
	for _, g := range Germs() {
		assert.Less(t, g.Lowest, g.Highest, g.Name)
		assert.NotEmpty(t, g.Source, g.Name)
	}
}
