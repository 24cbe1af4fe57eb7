package kinetics

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

var germs = Quantity{Name: "germs", Unit: "-", Law: LogReduction{Rate: Bigelow{D: 100 * time.Second, Z: 6, Ref: 60}}}

// bathed is a slab of meat at start [°C] after a time in a bath.
func bathed(t *testing.T, start thermal.Start, bath float64, d time.Duration, layers ...thermal.Layer) *thermal.Run {
	t.Helper()
	if layers == nil {
		layers = []thermal.Layer{meat}
	}
	run, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: geometry.HalfSlab{}, Start: start, Layers: layers},
		thermal.Schedule{{Medium: thermal.Surroundings{Fluid: bath, H: 300}, Until: thermal.Elapsed(d)}}, &thermal.Settings{Cells: 40})
	require.NoError(t, err)
	return run
}

var (
	meat = thermal.Layer{Name: "meat", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.012}
	wrap = thermal.Layer{Name: "wrap", Food: materials.MustFind("spinach, cooked"), Thickness: 0.004}
)

func follow(t *testing.T, run *thermal.Run, before *Result, q ...Quantity) *Result {
	t.Helper()
	r, err := Follow(run, before, q...)
	require.NoError(t, err)
	return r
}

func read(t *testing.T, r *Result, name string, p thermal.Place) float64 {
	t.Helper()
	v, err := r.At(name, p)
	require.NoError(t, err)
	return v
}

// A dish that stays at one temperature: the whole way from Simulate to a value. The
// history's single precision (1e-5 K) is all that is lost.
func TestDishAtOneTemperature(t *testing.T) {
	run := bathed(t, thermal.Uniform(60), 60, 20*time.Minute)
	r := follow(t, run, nil, germs, Actin())
	k := Actin().Law.rate().At(60)
	for _, p := range []thermal.Place{thermal.Centre(), thermal.Skin(), thermal.MeanOf("meat"), thermal.ColdestOf("meat"), thermal.HottestOf("meat"), thermal.Depth(0.003)} {
		assert.InEpsilon(t, 12, read(t, r, "germs", p), 2e-5, "%v", p)
		assert.InEpsilon(t, 1-math.Exp(-k*1200), read(t, r, "actin denatured", p), 2e-5, "%v", p)
	}
}

// Halving the solver's tolerance moves every quantity by less than 0.5 %.
func TestSolverTolerance(t *testing.T) {
	coarse := follow(t, roll(t, nil), nil, ten()...)
	fine := follow(t, roll(t, &thermal.Settings{Tolerance: 0.035}), nil, ten()...)
	var worst float64
	for _, q := range ten() {
		for _, layer := range []string{"meat", "greens", "crust"} {
			for _, p := range []thermal.Place{thermal.ColdestOf(layer), thermal.MeanOf(layer), thermal.HottestOf(layer), thermal.Within(layer, 0.5)} {
				a, b := read(t, coarse, q.Name, p), read(t, fine, q.Name, p)
				assert.InDelta(t, b, a, 0.005*math.Abs(b)+1e-12, "%s at %v", q.Name, p)
				if math.Abs(b) > 1e-9 {
					worst = max(worst, math.Abs(a/b-1))
				}
			}
		}
	}
	t.Logf("within %.2g", worst)
}

// What was followed before a run is there at its start: in the same dish, with a
// layer put around, and with the layer taken off.
func TestChain(t *testing.T) {
	first := bathed(t, thermal.Uniform(5), 62, 20*time.Minute)
	one := follow(t, first, nil, germs, Myosin())
	whole := bathed(t, thermal.Uniform(5), 62, 40*time.Minute)

	again := bathed(t, thermal.From(first), 62, 20*time.Minute)
	two := follow(t, again, one, Myosin(), germs)
	for _, p := range []thermal.Place{thermal.Centre(), thermal.Skin(), thermal.MeanOf("meat")} {
		assert.InEpsilon(t, read(t, follow(t, whole, nil, germs), "germs", p), read(t, two, "germs", p), 2e-3, "two halves are the whole: %v", p)
		assert.Greater(t, read(t, two, "germs", p), read(t, one, "germs", p))
	}

	wrapped := bathed(t, thermal.From(first).With("wrap", 4), 4, time.Hour, meat, wrap)
	three := follow(t, wrapped, one, germs)
	assert.InEpsilon(t, read(t, one, "germs", thermal.MeanOf("meat")), read(t, three, "germs", thermal.MeanOf("meat")), 0.3)
	assert.GreaterOrEqual(t, read(t, three, "germs", thermal.ColdestOf("meat")), read(t, one, "germs", thermal.ColdestOf("meat")))
	assert.Less(t, read(t, three, "germs", thermal.MeanOf("wrap")), 0.01, "a new layer begins afresh")

	bare := bathed(t, thermal.From(wrapped), 4, time.Minute)
	four := follow(t, bare, three, germs)
	assert.InEpsilon(t, read(t, three, "germs", thermal.MeanOf("meat")), read(t, four, "germs", thermal.MeanOf("meat")), 1e-6)
}

func TestFollowRefuses(t *testing.T) {
	run := bathed(t, thermal.Uniform(5), 62, time.Minute)
	before := follow(t, run, nil, germs)
	next := bathed(t, thermal.From(run), 62, time.Minute)
	thick := meat
	thick.Thickness = 0.02
	other := germs
	other.Law = LogReduction{Rate: Bigelow{D: 100 * time.Second, Z: 7, Ref: 60}}
	nameless := germs
	nameless.Name = ""
	for what, f := range map[string]func() (*Result, error){
		"a run from thermal.Simulate": func() (*Result, error) { return Follow(nil, nil, germs) },
		"run none":                    func() (*Result, error) { return Follow(new(thermal.Run), nil, germs) },
		"number of quantities 0":      func() (*Result, error) { return Follow(run, nil) },
		"number of quantities 1001":   func() (*Result, error) { return Follow(run, nil, make([]Quantity, 1001)...) },
		"given twice":                 func() (*Result, error) { return Follow(run, nil, germs, Myosin(), germs) },
		"want a name":                 func() (*Result, error) { return Follow(run, nil, nameless) },
		"that of the run itself":      func() (*Result, error) { return Follow(run, before, germs) },
		`"myosin denatured", want one that was followed: ["germs"]`: func() (*Result, error) { return Follow(next, before, Myosin()) },
		"law kinetics.LogReduction":                                 func() (*Result, error) { return Follow(next, before, other) },
		"earlier field: number of cells 0": func() (*Result, error) {
			return Follow(next, &Result{quantities: []Quantity{germs}, extent: [][]float64{nil}}, germs)
		},
	} {
		_, err := f()
		assert.ErrorContains(t, err, what)
		var input *InputError
		var carried *thermal.InputError
		assert.True(t, errors.As(err, &input) || errors.As(err, &carried), what)
	}
	_, err := Follow(bathed(t, thermal.Uniform(5), 62, time.Minute, thick), before, germs)
	var place *thermal.InputError
	require.ErrorAs(t, err, &place)
	assert.ErrorContains(t, err, `quantity "germs": thermal: layer 1 ("meat"): thickness`)

	_, err = before.At("myosin", thermal.Centre())
	assert.ErrorContains(t, err, `quantity "myosin", want one that was followed`)
	_, err = before.At("germs", thermal.MeanOf("sauce"))
	var unknown *thermal.UnknownPlaceError
	require.ErrorAs(t, err, &unknown)
	_, err = before.Series("germs", thermal.Depth(3))
	require.ErrorAs(t, err, &unknown)
	for _, err := range []error{
		func() error { _, err := before.Cells("x"); return err }(),
		func() error { _, err := before.Layers("x"); return err }(),
		func() error { _, err := before.Series("x", thermal.Centre()); return err }(),
		func() error { _, err := new(Result).At("x", thermal.Centre()); return err }(),
	} {
		var input *InputError
		assert.ErrorAs(t, err, &input)
	}
}

// A rate that turns bad on the way says where and when.
func TestNonsenseRateInARun(t *testing.T) {
	run := bathed(t, thermal.Uniform(5), 80, time.Hour)
	bad := Quantity{Name: "bad", Law: OwnLaw{Rate: func(t, _ float64) float64 { return math.Sqrt(50 - t) }}}
	_, err := Follow(run, nil, bad)
	var rate *RateError
	require.ErrorAs(t, err, &rate)
	assert.Contains(t, rate.Place, `layer 1 ("meat")`)
	assert.Greater(t, rate.Time, 0.0)
	assert.InDelta(t, 55, rate.Temperature, 25)
}

// A result's readings agree with each other, and the series ends in the value.
func TestReadings(t *testing.T) {
	run := roll(t, &thermal.Settings{Cells: 60})
	own := Quantity{Name: "mine", Law: OwnLaw{Start: 3, Rate: func(t, v float64) float64 { return 1e-4 * (t - v) }}}
	left := Quantity{Name: "left", Law: FirstOrder{Rate: Bigelow{D: 100 * time.Second, Z: 6, Ref: 60}, Start: 1, End: 0}}
	r := follow(t, run, nil, append(ten(), own, left)...)
	require.Len(t, r.Quantities(), 12)
	cells := run.End().Cells()
	for _, q := range r.Quantities() {
		values, err := r.Cells(q.Name)
		require.NoError(t, err)
		require.Len(t, values, len(cells))
		layers, err := r.Layers(q.Name)
		require.NoError(t, err)
		require.Len(t, layers, 4)
		var sum, volume float64
		least, most := math.Inf(1), math.Inf(-1)
		for i, c := range cells {
			if c.Layer == "crust" {
				sum, volume = sum+c.Volume*values[i], volume+c.Volume
				least, most = min(least, values[i]), max(most, values[i])
			}
		}
		crust := layers[3]
		assert.Equal(t, LayerValue{Name: "crust", Least: least, Mean: crust.Mean, Most: most}, crust, q.Name)
		assert.InDelta(t, sum/volume, crust.Mean, 1e-12*math.Abs(crust.Mean))
		assert.Equal(t, crust.Mean, read(t, r, q.Name, thermal.MeanOf("crust")))
		assert.Equal(t, values[len(values)-1], read(t, r, q.Name, thermal.Skin()))
		for _, p := range []thermal.Place{thermal.MeanOf("greens"), thermal.Within("crust", 0.5), thermal.ColdestOf("crust")} {
			series, err := r.Series(q.Name, p)
			require.NoError(t, err)
			n, last, at := 0, 0.0, time.Duration(-1)
			for when, v := range series {
				require.Greater(t, when, at)
				if n == 0 {
					assert.Zero(t, when)
					assert.InDelta(t, q.Law.value(q.Law.fresh()), v, 1e-12)
				}
				n, last, at = n+1, v, when
			}
			assert.Equal(t, run.Stats.Steps+1, n)
			assert.Equal(t, run.Duration(), at)
			// where it is flushed at each step the blocks are others
			assert.InDelta(t, read(t, r, q.Name, p), last, 1e-4*math.Abs(last)+1e-15, "%s at %v", q.Name, p)
		}
		for range must(r.Series(q.Name, thermal.Centre())) {
			break
		}
	}
	// the coldest is where least has happened, also of what dwindles
	layers, err := r.Layers("left")
	require.NoError(t, err)
	assert.Equal(t, layers[3].Most, read(t, r, "left", thermal.ColdestOf("crust")))
	assert.Equal(t, layers[3].Least, read(t, r, "left", thermal.HottestOf("crust")))
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// The same run gives the same bits, and following changes nothing of the run.
func TestFollowIsDeterministic(t *testing.T) {
	run := roll(t, &thermal.Settings{Cells: 50})
	end := run.End().Cells()
	a, b := follow(t, run, nil, ten()...), follow(t, run, nil, ten()...)
	assert.Equal(t, a.extent, b.extent)
	assert.Equal(t, end, run.End().Cells())
}

// Along any run what happens never goes back, a hotter medium does more of it,
// and shares stay shares.
func TestRandomRuns(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	foods := materials.Foods()
	for range 6 {
		food := foods[rng.IntN(len(foods))]
		start, fluid, h := -30+40*rng.Float64(), 40+160*rng.Float64(), 10+200*rng.Float64()
		run, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: geometry.Cylinder{}, Start: thermal.Uniform(start),
			Layers: []thermal.Layer{{Name: "all", Food: food, Thickness: 0.005 + 0.03*rng.Float64()}}},
			thermal.Schedule{{Medium: thermal.Surroundings{Fluid: fluid, H: h}, Until: thermal.Elapsed(30 * time.Minute)}}, &thermal.Settings{Cells: 30})
		require.NoError(t, err)
		r := follow(t, run, nil, ten()...)
		for _, q := range ten()[:9] {
			last := math.Inf(-1)
			for _, v := range must(r.Series(q.Name, thermal.Depth(0.002))) {
				if q.Name == "crust lightness" {
					v = -v
				}
				require.GreaterOrEqual(t, v, last, "%s in %s", q.Name, food.Name)
				last = v
			}
			if law, ok := q.Law.(FirstOrder); ok {
				values := must(r.Cells(q.Name))
				for _, v := range values {
					assert.True(t, v >= min(law.Start, law.End) && v <= max(law.Start, law.End), "%s %g", q.Name, v)
				}
			}
		}
	}
	cool, hot := bathed(t, thermal.Uniform(5), 60, time.Hour), bathed(t, thermal.Uniform(5), 61, time.Hour)
	longer := bathed(t, thermal.Uniform(5), 60, time.Hour+time.Minute)
	for _, p := range []thermal.Place{thermal.Centre(), thermal.Skin(), thermal.MeanOf("meat")} {
		least := read(t, follow(t, cool, nil, germs), "germs", p)
		assert.Greater(t, read(t, follow(t, hot, nil, germs), "germs", p), least)
		assert.Greater(t, read(t, follow(t, longer, nil, germs), "germs", p), least)
	}
}

// A run that ended early is followed as far as it came, one with moving water too.
func TestOtherRuns(t *testing.T) {
	short, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(5), Layers: []thermal.Layer{meat}},
		thermal.Schedule{{Medium: thermal.Surroundings{Fluid: 60, H: 300}, Until: thermal.Above(thermal.Centre(), 70), Limit: 30 * time.Minute}}, nil)
	var limit *thermal.StageLimitError
	require.True(t, errors.As(err, &limit))
	assert.Positive(t, read(t, follow(t, short, nil, germs), "germs", thermal.Centre()))

	moist, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(5), Layers: []thermal.Layer{meat}},
		thermal.Schedule{{Medium: thermal.Surroundings{Fluid: 60, H: 300}, Until: thermal.Elapsed(30 * time.Minute)}}, &thermal.Settings{Moisture: true})
	require.NoError(t, err)
	assert.InEpsilon(t, read(t, follow(t, short, nil, germs), "germs", thermal.Centre()), read(t, follow(t, moist, nil, germs), "germs", thermal.Centre()), 0.3)

	still := bathed(t, thermal.Uniform(5), 60, 0)
	assert.Zero(t, read(t, follow(t, still, nil, germs), "germs", thermal.Centre()))
}
