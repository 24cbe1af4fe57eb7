package safety

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/kinetics"
)

func simulate(t *testing.T, d thermal.Dish, s thermal.Schedule, settings *thermal.Settings) *thermal.Run {
	t.Helper()
	run, err := thermal.Simulate(context.Background(), d, s, settings)
	require.NoError(t, err)
	return run
}

func stage(m thermal.Medium, length time.Duration) thermal.Schedule {
	return thermal.Schedule{{Medium: m, Until: thermal.Elapsed(length)}}
}

func lambAlone() thermal.Dish {
	return thermal.Dish{Shape: geometry.Cylinder{Length: 0.2}, Start: thermal.Uniform(5),
		Layers: []thermal.Layer{{Name: "lamb", Food: materials.MustFind("lamb loin, raw"), Thickness: 0.03}}}
}

func wrapped(start thermal.Start) thermal.Dish {
	d := lambAlone()
	d.Layers = append(d.Layers, thermal.Layer{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.004})
	d.Start = start
	return d
}

// What thinning leaves is within its swath of every point, has both extremes and
// both ends as they were, and no point that was not there.
func TestThinner(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 8))
	for range 300 {
		var all []reading
		clock, temp, slope := rng.Float64()*100, 20.0, 0.0
		for range 2 + rng.IntN(400) {
			all = append(all, reading{clock, temp})
			clock += math.Exp(rng.Float64()*12 - 4)
			if rng.IntN(30) == 0 {
				slope = rng.NormFloat64() * 0.05
			}
			temp += slope + rng.NormFloat64()*[]float64{0, 1e-3, 0.01}[rng.IntN(3)]
		}
		var k thinner
		there := map[reading]bool{}
		lowest, highest := math.Inf(1), math.Inf(-1)
		for _, r := range all {
			k.see(r)
			there[r] = true
			lowest, highest = min(lowest, r.temp), max(highest, r.temp)
		}
		h := k.end()
		require.NoError(t, h.Validate())
		for _, r := range all {
			require.InDelta(t, r.temp, h.At(r.t), swath*(1+1e-6))
		}
		low, high := math.Inf(1), math.Inf(-1)
		for i := range h.Time {
			require.True(t, there[reading{h.Time[i], h.Temperature[i]}], "a point of its own")
			low, high = min(low, h.Temperature[i]), max(high, h.Temperature[i])
		}
		assert.Equal(t, lowest, low)
		assert.Equal(t, highest, high)
		assert.Equal(t, all[0].t, h.Time[0])
		assert.Equal(t, all[len(all)-1].t, h.Time[len(h.Time)-1])
	}
}

// Straight lines need two points, whatever is on them; a jump keeps its two.
func TestThinnerLines(t *testing.T) {
	var k thinner
	for i := range 1000 {
		k.see(reading{float64(i), 5 + 0.01*float64(i)})
	}
	k.see(reading{999, 50})
	for i := range 1000 {
		k.step(999+float64(i), 1, 50, 50, 50)
	}
	h := k.end()
	assert.Equal(t, []float64{0, 999, 999, 1999}, h.Time)
	assert.InDeltaSlice(t, []float64{5, 14.99, 50, 50}, h.Temperature, 1e-12)
}

// A step is the parabola through its three points, held between each two.
func TestThinnerStep(t *testing.T) {
	for _, p := range [][3]float64{{0, 3, 4}, {0, 30, 40}, {80, 81, 60}, {60, 81, 80}, {0, 0, 20}, {5, 5, 5}, {-18, -2, -1}, {-1, -2, -18}} {
		a, m, b := p[0], p[1], p[2]
		var k thinner
		k.step(100, 60, a, m, b)
		h := k.end()
		require.NoError(t, h.Validate())
		for i := range 601 {
			x := float64(i)/300 - 1
			want := m + x*(b-a)/2 + x*x*(a-2*m+b)/2
			ends := []float64{a, m}
			if x > 0 {
				ends = []float64{m, b}
			}
			want = min(max(want, min(ends[0], ends[1])), max(ends[0], ends[1]))
			assert.InDelta(t, want, h.At(100+60*(x+1)/2), 0.01, "%v at %v", p, x)
		}
	}
	var k thinner
	k.step(0, 1, math.NaN(), math.NaN(), math.NaN())
	assert.Empty(t, k.end().Time)
}

// A run's histories are what the run says at any time, in few points, and kill as much
// as package kinetics computes along the solver's steps.
func TestHistoriesFollowTheRun(t *testing.T) {
	for name, d := range map[string]thermal.Dish{"alone": lambAlone(), "frozen roll": wrapped(thermal.Uniform(-18))} {
		run := simulate(t, d, thermal.Schedule{
			{Medium: thermal.FanOven(180), Until: thermal.Above(thermal.Centre(), 60), Limit: 5 * time.Hour},
			{Medium: thermal.Room(20), Until: thermal.Elapsed(time.Hour)},
		}, nil)
		hs, err := DishHistories(run)
		require.NoError(t, err)
		require.Len(t, hs, run.Grid().Len())
		points := 0
		for i := range hs {
			require.NoError(t, hs[i].Validate())
			points += len(hs[i].Time)
			assert.Equal(t, i == len(hs)-1, hs[i].Surface)
			assert.InDelta(t, run.Duration().Seconds(), hs[i].Time[len(hs[i].Time)-1], 1e-6)
		}
		assert.Less(t, points, run.Stats.Steps*len(hs), "%s: half of the solver's readings or more are left out", name)
		var squares, worst float64
		n := 0
		for at := time.Duration(0); at < run.Duration(); at += 97 * time.Second {
			for i, c := range run.At(at).Cells() {
				off := math.Abs(hs[i].At(at.Seconds()) - c.Temperature)
				squares, worst, n = squares+off*off, max(worst, off), n+1
			}
		}
		t.Logf("%s: rms %.4f K, worst %.3f K, %d steps, %d points a cell", name, math.Sqrt(squares/float64(n)), worst, run.Stats.Steps, points/len(hs))
		assert.Less(t, math.Sqrt(squares/float64(n)), 0.01, "%s", name)
		assert.Less(t, worst, 0.5, "%s: amid the steps in which a cell thaws or dries", name)

		set := Inactivation{D: 60, Reference: 60, Z: 6, Least: -50, Most: 200}
		followed, err := kinetics.Follow(run, nil, kinetics.Quantity{Name: "germs", Law: kinetics.LogReduction{
			Rate: kinetics.Bigelow{D: time.Minute, Ref: 60, Z: 6}}})
		require.NoError(t, err)
		along, err := followed.Cells("germs")
		require.NoError(t, err)
		for i := range hs {
			got, err := set.LogReduction(hs[i])
			require.NoError(t, err)
			assert.InEpsilon(t, along[i], got, 3e-3, "%s: %s", name, hs[i].Place)
		}
	}
}

// Meat that is cooked, chilled, wrapped and baked has one history over all of it, in
// the cells it has at last; what is put around it begins when it is.
func TestChain(t *testing.T) {
	alone := lambAlone()
	cooked := simulate(t, alone, stage(thermal.WaterBath(57), 90*time.Minute), nil)
	alone.Start = thermal.From(cooked)
	chilled := simulate(t, alone, stage(thermal.WaterBath(1), time.Hour), &thermal.Settings{Cells: 90})
	roll := wrapped(thermal.From(chilled).With("crust", 5))
	baked := simulate(t, roll, stage(thermal.FanOven(200), 40*time.Minute), nil)
	wrappedAt := (cooked.Duration() + chilled.Duration()).Seconds()

	lamb, err := LayerHistories("lamb", cooked, chilled, baked)
	require.NoError(t, err)
	crust, err := LayerHistories("crust", cooked, chilled, baked)
	require.NoError(t, err)
	assert.Len(t, lamb, baked.Grid().Len()-len(crust))
	for i, h := range lamb {
		require.NoError(t, h.Validate())
		assert.Zero(t, h.Time[0])
		assert.InDelta(t, wrappedAt+baked.Duration().Seconds(), h.Time[len(h.Time)-1], 1e-6)
		assert.Equal(t, i == len(lamb)-1, h.Surface, "the meat's own surface, wrapped or not")
	}
	for i, h := range crust {
		assert.InDelta(t, wrappedAt, h.Time[0], 1e-6)
		assert.InDelta(t, 5, h.Temperature[0], 1e-3)
		assert.Equal(t, i == 0 || i == len(crust)-1, h.Surface, "a shell has two faces")
	}
	// The middle and the meat's outer half in each of the runs.
	for _, place := range []thermal.Place{thermal.Centre(), thermal.Within("lamb", 0.5), thermal.Within("lamb", 0.9)} {
		h, err := PlaceHistory(place, cooked, chilled, baked)
		require.NoError(t, err)
		clock := 0.0
		for _, run := range []*thermal.Run{cooked, chilled, baked} {
			for share := 0.05; share < 1; share += 0.1 {
				at := time.Duration(share * float64(run.Duration()))
				want, err := run.Temperature(place, at)
				require.NoError(t, err)
				assert.InDelta(t, want, h.At(clock+at.Seconds()), 0.08, "%v, %v", place, at)
			}
			clock += run.Duration().Seconds()
		}
	}
	// No run by itself tells the whole, and their histories joined do.
	whole := lamb[0]
	var parts []History
	for _, run := range []*thermal.Run{cooked, chilled, baked} {
		h, err := PlaceHistory(thermal.Centre(), run)
		require.NoError(t, err)
		parts = append(parts, h)
	}
	joined, err := Join("the centre", parts...)
	require.NoError(t, err)
	set := mustSet("salmonella, meat (Baldwin)")
	a, err := set.LogReduction(joined)
	require.NoError(t, err)
	b, err := set.LogReduction(whole)
	require.NoError(t, err)
	assert.InEpsilon(t, a, b, 2e-3)
	assert.Greater(t, a, 1.0)
}

// Runs may differ in their meshes, also if these have as many cells.
func TestChainOfMeshes(t *testing.T) {
	d := lambAlone()
	cooked := simulate(t, d, stage(thermal.FanOven(150), time.Hour), nil)
	d.Start = thermal.From(cooked)
	rested := simulate(t, d, stage(thermal.Room(20), time.Hour), &thermal.Settings{Grading: geometry.Uniform})
	hs, err := DishHistories(cooked, rested)
	require.NoError(t, err)
	for i, c := range rested.End().Cells() {
		end, err := cooked.Temperature(thermal.Within("lamb", c.X/0.03), cooked.Duration())
		require.NoError(t, err)
		assert.InDelta(t, end, hs[i].At(3599.99), 0.1, "%v", hs[i].Place)
	}
}

// The coldest cell at every moment is no warmer than any cell's history, and the skin is
// the outermost cell.
func TestPlaceHistory(t *testing.T) {
	run := simulate(t, lambAlone(), stage(thermal.FanOven(150), time.Hour), nil)
	hs, err := LayerHistories("lamb", run)
	require.NoError(t, err)
	coldest, err := PlaceHistory(thermal.ColdestOf("lamb"), run)
	require.NoError(t, err)
	skin, err := PlaceHistory(thermal.Skin(), run)
	require.NoError(t, err)
	assert.False(t, coldest.Surface)
	assert.True(t, skin.Surface)
	assert.Equal(t, "the surface", skin.Place)
	outermost := hs[len(hs)-1]
	for s := 0.0; s < 3600; s += 60 {
		assert.InDelta(t, outermost.At(s), skin.At(s), 1e-9)
		for i := range hs {
			assert.LessOrEqual(t, coldest.At(s), hs[i].At(s)+0.02)
		}
	}
}

// A slab has two outer faces, half a slab one.
func TestFacesOfSlabs(t *testing.T) {
	for _, shape := range []geometry.Shape{geometry.Slab{}, geometry.HalfSlab{}, geometry.Sphere{}} {
		d := wrapped(thermal.Uniform(5))
		d.Shape = shape
		run := simulate(t, d, stage(thermal.FanOven(150), 10*time.Minute), nil)
		_, both := shape.(geometry.Slab)
		whole, err := DishHistories(run)
		require.NoError(t, err)
		lamb, err := LayerHistories("lamb", run)
		require.NoError(t, err)
		for i, h := range whole {
			assert.Equal(t, i == len(whole)-1 || both && i == 0, h.Surface, "%v, cell %d", shape, i)
		}
		assert.Equal(t, both, lamb[0].Surface, "%v", shape)
		assert.True(t, lamb[len(lamb)-1].Surface, "%v", shape)
	}
}

func TestFaultyChains(t *testing.T) {
	cooked := simulate(t, lambAlone(), stage(thermal.WaterBath(57), 90*time.Minute), nil)
	fresh := simulate(t, lambAlone(), stage(thermal.WaterBath(57), time.Minute), nil)
	roll := simulate(t, wrapped(thermal.From(cooked).With("crust", 5)), stage(thermal.Room(50), time.Minute), nil)
	bare := lambAlone()
	bare.Start = thermal.From(roll)
	unwrapped := simulate(t, bare, stage(thermal.Room(50), time.Minute), nil)
	again := simulate(t, wrapped(thermal.From(unwrapped).With("crust", 5)), stage(thermal.Room(50), time.Minute), nil)
	ball := lambAlone()
	ball.Shape = geometry.Sphere{}
	round := simulate(t, ball, stage(thermal.Room(20), time.Minute), nil)

	for says, runs := range map[string][]*thermal.Run{
		"number of runs 0":               nil,
		"run 2 of the chain":             {cooked, nil},
		"a run from thermal.Simulate":    {{}},
		`one of ["lamb"]`:                {roll, unwrapped},
		`start of "lamb"`:                {cooked, fresh, roll},
		`without "crust"`:                {cooked, roll, unwrapped, again},
		"the shape of the earlier run":   {round, roll},
		`run 3 of the chain": start of `: {cooked, roll, roll, simulate(t, wrapped(thermal.Uniform(40)), stage(thermal.Room(40), time.Minute), nil)},
	} {
		hs, err := LayerHistories("crust", runs...)
		assert.ErrorContains(t, err, says)
		assert.Nil(t, hs)
	}
	_, err := LayerHistories("lamb", cooked, fresh)
	var fault *HistoryError
	require.ErrorAs(t, err, &fault)
	assert.Equal(t, "run 2 of the chain", fault.Place)
	_, err = PlaceHistory(thermal.MeanOf("crust"), cooked)
	var nowhere *thermal.UnknownPlaceError
	assert.ErrorAs(t, err, &nowhere)
	_, err = DishHistories()
	assert.ErrorAs(t, err, &fault)
}

// A run that ended at once has the one moment.
func TestRunWithoutSteps(t *testing.T) {
	run := simulate(t, lambAlone(), thermal.Schedule{{Medium: thermal.Room(20), Until: thermal.Below(thermal.Centre(), 10)}}, nil)
	require.Zero(t, run.Duration())
	hs, err := DishHistories(run, run)
	require.NoError(t, err)
	for _, h := range hs {
		assert.Equal(t, []float64{0}, h.Time)
		assert.InDelta(t, 5, h.Temperature[0], 1e-6)
	}
	got := check(t, MustFind("food-code-cooling"), Facts{Food: Roast}, hs...)
	assert.Equal(t, CannotTell, got.Verdict)
}
