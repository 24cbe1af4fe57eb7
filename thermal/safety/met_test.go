package safety

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The moment is that of the first stay long enough, not that of the longest.
func TestMetAtFirst(t *testing.T) {
	rule := MustFind("food-code-intact-meat-fish-eggs") // 63 °C for 15 s
	got := check(t, rule, Facts{Food: Fish}, path(0, 20, 10, 63, 11, 63, 20, 50, 60, 63, 120, 63, 130, 40))
	require.Equal(t, Pass, got.Verdict)
	assert.InDelta(t, 10*60+15, *got.Time, 1e-9)

	frozen := check(t, criterion(Freeze{[]Row{{-20, time.Hour}}}), Facts{}, path(0, 0, 60, -20, 150, -20, 160, -5, 200, -20, 900, -20))
	require.Equal(t, Pass, frozen.Verdict)
	assert.InDelta(t, 120*60, *frozen.Time, 1e-9)
}

// The same over random histories, against a walk along all their points.
func TestMetAsOnAWalk(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 9))
	passed := 0
	for range 300 {
		h := wandering(rng, 50, 72)
		rows := []Row{{55, time.Duration(rng.IntN(2000)) * time.Second}, {60, time.Duration(rng.IntN(500)) * time.Second}, {65, 0}}
		points, first := h.cut(55, 60, 65), math.Inf(1)
		for _, r := range rows {
			since := math.Inf(1)
			for i, temp := range points.Temperature {
				if temp < r.Temperature {
					since = math.Inf(1)
					continue
				}
				since = min(since, points.Time[i])
				if met := since + r.Time.Seconds(); points.Time[i] >= met-rounding {
					first = min(first, met)
				}
			}
		}
		got := check(t, criterion(Cook{rows}), Facts{}, h)
		require.Equal(t, !math.IsInf(first, 1), got.Verdict == Pass, "%v of %v", got, h)
		if got.Verdict == Pass {
			passed++
			require.InDelta(t, first, *got.Time, 1e-6, "%v of %v", got, h)
		}
	}
	require.Greater(t, passed, 100)
}

// Appendix A of FSIS (1999): 6.5 log at 130 °F take 112 min, however far apart the
// points of the history lie.
func TestKilledBetweenPoints(t *testing.T) {
	rule := MustFind("cfr-beef-lethality")
	at := celsius(130)
	for _, h := range []History{path(0, at, 600, at), path(0, at, 600, at, 601, 20), path(0, at, 100, at, 600, at)} {
		got := check(t, rule, Facts{Food: Roast, Animal: Beef, WaterActivity: new(0.99)}, h)
		require.Equal(t, Pass, got.Verdict, "%v", got)
		assert.InDelta(t, 112*60, *got.Time, 1e-3, "%v", got)
	}
	// On a ramp the time found is that up to which the history has killed as much.
	k := mustSet("salmonella, cooked beef (FSIS)")
	h := path(0, 20, 100, 80, 200, 10)
	got := check(t, criterion(Kill{k, 6.5}), Facts{WaterActivity: new(0.99)}, h)
	part, err := h.Between(0, *got.Time)
	require.NoError(t, err)
	reduction, err := k.LogReduction(part)
	require.NoError(t, err)
	assert.InDelta(t, 6.5, reduction, 1e-9)
}

// What is cold enough when cooking ends has begun to chill then, whenever the next point
// of the history is.
func TestColdAtTheEndOfCooking(t *testing.T) {
	rule := criterion(ChillStart{48.9, 90 * time.Minute})
	h := path(0, 5, 100, 47, 400, 45)
	got := check(t, rule, Facts{CookEnd: new(120 * 60.0)}, h)
	require.Equal(t, Pass, got.Verdict, "%v", got)
	assert.InDelta(t, 90*60, *got.Margin, 1e-9)
	assert.InDelta(t, 120*60, *got.Time, 1e-9)

	// On a jump it is what comes after.
	jump := path(0, 60, 120, 60, 120, 10, 500, 5)
	got = check(t, rule, Facts{CookEnd: new(120 * 60.0)}, jump)
	require.Equal(t, Pass, got.Verdict, "%v", got)
	assert.InDelta(t, 90*60, *got.Margin, 1e-9)
}
