package verdict

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/safety"
)

// celery is a ball of it: over a hot plate its rim dries while its middle boils.
func celery(start thermal.Start, more ...thermal.Layer) thermal.Dish {
	return thermal.Dish{Shape: geometry.Sphere{}, Start: start, Layers: append([]thermal.Layer{
		{Name: "celery", Food: materials.MustFind("celery, raw"), Thickness: 0.03}}, more...)}
}

// TestChainsThatChangeTheirCells are judged although boiling and frozen places come to
// other temperatures as cells are merged and cut.
func TestChainsThatChangeTheirCells(t *testing.T) {
	salmon := thermal.Layer{Name: "salmon", Food: materials.MustFind("salmon, cooked"), Thickness: 0.04}
	for name, c := range map[string]struct {
		start    float64
		medium   thermal.Surroundings
		moisture bool
		moves    float64 // [K] at least the mean, so that the test is of something
	}{
		"boiling":           {68, thermal.Plate(213), true, 1},
		"half frozen":       {5, thermal.BlastFreezer(-60), false, 0.1},
		"warm":              {5, thermal.WaterBath(60), false, 0},
		"boiling, no water": {68, thermal.Plate(213), false, 1},
	} {
		t.Run(name, func(t *testing.T) {
			first := simulate(t, celery(thermal.Uniform(c.start)), &thermal.Settings{Cells: 40, Moisture: c.moisture}, stage("first", c.medium, 25))
			next := simulate(t, celery(thermal.From(first).With("salmon", 10), salmon), &thermal.Settings{Cells: 6, Moisture: c.moisture}, stage("next", thermal.Room(20), 5))
			was, is := first.End().Layers()[0], next.At(0).Layers()[0]
			lo, hi := mixed(cellsOf(first.End(), "celery"), cellsOf(next.At(0), "celery"))
			t.Logf("mean %.2f, then %.2f °C within %.2f and %.2f; %.2f to %.2f in all", was.Mean, is.Mean, lo, hi, was.Coldest, was.Hottest)
			assert.GreaterOrEqual(t, math.Abs(is.Mean-was.Mean), c.moves)
			rule, err := safety.Find("food-code-plants-held-hot")
			require.NoError(t, err)
			_, err = Judge(Case{Runs: []*thermal.Run{first, next}, Wishes: []Wish{Served{thermal.Centre(), 0, 50}},
				Parts: []Part{{Facts: safety.Facts{Food: safety.Plant}, Rules: []safety.Rule{rule}}}})
			assert.NoError(t, err)
		})
	}
}

// TestOtherDishesDoNotFollow: on the same cells a mean is as it was, on others it keeps
// within what their neighbourhood had.
func TestOtherDishesDoNotFollow(t *testing.T) {
	first := simulate(t, celery(thermal.Uniform(5)), &thermal.Settings{Cells: 40}, stage("first", thermal.WaterBath(60), 20))
	mean := first.End().Layers()[0].Mean
	for _, c := range []struct {
		cells int
		off   float64
	}{{40, 0.9}, {40, 2}, {12, 6}, {12, -6}} {
		other := simulate(t, celery(thermal.Uniform(mean+c.off)), &thermal.Settings{Cells: c.cells}, stage("next", thermal.Room(20), 1))
		lo, hi := mixed(cellsOf(first.End(), "celery"), cellsOf(other.At(0), "celery"))
		if c.cells == 40 {
			assert.InDelta(t, mean, lo, 1e-6)
			assert.InDelta(t, mean, hi, 1e-6)
		}
		_, err := Judge(Case{Runs: []*thermal.Run{first, other}})
		if math.Abs(c.off) < sameTemperature {
			assert.NoError(t, err)
			continue
		}
		assert.ErrorContains(t, err, "run 2: start of celery", "%d cells, %g K off, %.2f to %.2f", c.cells, c.off, lo-mean, hi-mean)
	}
}

// TestMixed by hand.
func TestMixed(t *testing.T) {
	cells := func(volume float64, temperatures ...float64) (out []thermal.CellState) {
		for _, x := range temperatures {
			out = append(out, thermal.CellState{Volume: volume, Temperature: x})
		}
		return out
	}
	for name, c := range map[string]struct {
		was, is []thermal.CellState
		lo, hi  float64
	}{
		"the same":        {cells(1, 0, 10, 20), cells(1, 7, 7, 7), 10, 10},
		"two into one":    {cells(1, 0, 10, 20, 30), cells(2, 0, 0), (0 + 10.) / 2, (20 + 30.) / 2},
		"one into two":    {cells(2, 0, 10), cells(1, 0, 0, 0, 0), 0, 10},
		"all into one":    {cells(1, 0, 10, 20, 30), cells(4, 0), 0, 30},
		"rounded volumes": {cells(1+1e-12, 0, 10), cells(1, 0, 0), 5, 5},
	} {
		lo, hi := mixed(c.was, c.is)
		assert.InDelta(t, c.lo, lo, 1e-9, name)
		assert.InDelta(t, c.hi, hi, 1e-9, name)
	}
}

// TestCutOffBeforeItWasCooked: what later stages may still mend is no failure, what
// cooled too slowly is one.
func TestCutOffBeforeItWasCooked(t *testing.T) {
	cook, err := safety.Find("food-code-intact-meat-fish-eggs")
	require.NoError(t, err)
	cool, err := safety.Find("food-code-cooling")
	require.NoError(t, err)
	limited := stage("bath", thermal.WaterBath(54), 0)
	limited.Until, limited.Limit = thermal.Above(thermal.Centre(), 53.9), 40*time.Minute
	run := func(planned ...thermal.Stage) *thermal.Run {
		d := lamb(5)
		d.Layers[0].Thickness = 0.03
		r, _ := thermal.Simulate(t.Context(), d, planned, still) // a limit is an error, with its run
		require.NotNil(t, r)
		return r
	}
	slow := stage("cool", thermal.Room(25), 300)
	finished := run(limited, stage("hot", thermal.WaterBath(80), 60))
	require.Len(t, finished.Stages, 1, "the test needs a limit that is met")
	facts := safety.Facts{Food: safety.IntactMeat, Animal: safety.Lamb}
	for name, c := range map[string]struct {
		runs   []*thermal.Run
		ahead  string
		stages []string
		rule   safety.Rule
		want   Verdict
	}{
		"cut off":                             {[]*thermal.Run{finished}, "", nil, cook, CannotTell},
		"cut off in the stage judged":         {[]*thermal.Run{finished}, "", []string{"bath"}, cook, CannotTell},
		"cut off before the stage judged":     {[]*thermal.Run{finished}, "", []string{"bath", "hot"}, cook, CannotTell},
		"more runs were to come":              {[]*thermal.Run{run(limited)}, `what comes from "hot" on`, nil, cook, CannotTell},
		"a stage of runs to come":             {[]*thermal.Run{run(limited)}, `what comes from "hot" on`, []string{"bath", "hot"}, cook, CannotTell},
		"whole, with a limit met at its end":  {[]*thermal.Run{run(limited)}, "", nil, cook, Fail},
		"another stage than that of the rule": {[]*thermal.Run{run(stage("bake", thermal.WaterBath(54), 30), limited, stage("hot", thermal.WaterBath(80), 60))}, "", []string{"bake"}, cook, Fail},
		"cooled too slowly": {[]*thermal.Run{run(stage("heat", thermal.WaterBath(75), 120), slow,
			limited, stage("hot", thermal.WaterBath(80), 60))}, "", nil, cool, Fail},
	} {
		t.Run(name, func(t *testing.T) {
			r := judge(t, Case{Runs: c.runs, Ahead: c.ahead, Parts: []Part{{Layer: "lamb", Facts: facts, Rules: []safety.Rule{c.rule}, Stages: c.stages}}})
			x := r.Checks[0]
			assert.Equal(t, c.want, x.Verdict, x.Text)
			assert.Equal(t, c.want, r.Safety)
			advised := false
			for _, change := range r.Changes {
				for _, of := range change.For {
					advised = advised || strings.HasPrefix(of, "lamb: ")
				}
			}
			assert.Equal(t, c.want == Fail, advised, "advice follows from what is known")
			if c.want == CannotTell {
				assert.Nil(t, x.Margin)
				assert.NotEmpty(t, x.Missing)
				assert.NotContains(t, r.Text(), "missed by")
			}
		})
	}
}
