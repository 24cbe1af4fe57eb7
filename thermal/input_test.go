package thermal

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	notNumber = math.NaN()
	infinite  = math.Inf(1)
)

// inputCase is a small, valid simulation that a test spoils in one place.
type inputCase struct {
	dish     Dish
	schedule Schedule
	settings Settings
}

func soundCase() inputCase {
	return inputCase{
		dish: Dish{Shape: geometry.Cylinder{}, Start: Uniform(4), Layers: []Layer{
			{Name: "meat", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.02},
			{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.004},
		}},
		schedule: Schedule{{Name: "bake", Medium: FanOven(200), Until: Elapsed(2 * time.Minute)}},
		settings: Settings{Cells: 12},
	}
}

func (c inputCase) run() (*Run, error) {
	return Simulate(context.Background(), c.dish, c.schedule, &c.settings)
}

// earlierRun is a short run of the sound case with its crust left out or kept.
func earlierRun(t testing.TB, layers int) *Run {
	c := soundCase()
	c.dish.Layers = c.dish.Layers[:layers]
	run, err := c.run()
	require.NoError(t, err)
	return run
}

// leaves takes joined errors apart.
func leaves(err error) []error {
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		var out []error
		for _, e := range joined.Unwrap() {
			out = append(out, leaves(e)...)
		}
		return out
	}
	return []error{err}
}

func TestSoundCaseIsSound(t *testing.T) {
	run, err := soundCase().run()
	require.NoError(t, err)
	assert.Equal(t, 2*time.Minute, run.Duration())
}

// TestWrongInput spoils the sound case in one place each time. Every leaf of the
// error must be an *InputError, one of them must name the place and the field,
// and no run comes with it.
func TestWrongInput(t *testing.T) {
	one, both := earlierRun(t, 1), earlierRun(t, 2)
	meat := materials.MustFind("lamb loin, cooked")
	spoilt := func(change func(*materials.Food)) func(*inputCase) {
		return func(c *inputCase) { change(&c.dish.Layers[1].Food) }
	}
	thickness := func(v float64) func(*inputCase) {
		return func(c *inputCase) { c.dish.Layers[1].Thickness = v }
	}
	start := func(s Start) func(*inputCase) { return func(c *inputCase) { c.dish.Start = s } }
	shape := func(s geometry.Shape) func(*inputCase) { return func(c *inputCase) { c.dish.Shape = s } }
	medium := func(m Medium) func(*inputCase) { return func(c *inputCase) { c.schedule[0].Medium = m } }
	until := func(u Condition) func(*inputCase) { return func(c *inputCase) { c.schedule[0].Until = u } }
	watch := func(u Condition) func(*inputCase) { return func(c *inputCase) { c.settings.Watch = []Condition{u} } }
	const crust, bake = `layer 2 ("crust")`, `stage 1 ("bake")`
	for _, test := range []struct {
		name   string
		spoil  func(*inputCase)
		place  string // in the text of a leaf
		saying string // in the same text
	}{
		{"thickness NaN", thickness(notNumber), crust, "thickness"},
		{"thickness +Inf", thickness(infinite), crust, "thickness"},
		{"thickness -Inf", thickness(-infinite), crust, "thickness"},
		{"thickness negative", thickness(-0.003), crust, "thickness [m] -0.003"},
		{"thickness zero", thickness(0), crust, "thickness"},
		{"thickness tiny", thickness(5e-324), crust, "thickness"},
		{"thickness in mm", thickness(12), crust, "thickness [m] 12"},
		{"thickness absurd", thickness(math.MaxFloat64), crust, "thickness"},
		{"contact negative", func(c *inputCase) { c.dish.Layers[0].Contact = -1 }, `layer 1 ("meat")`, "contact"},
		{"contact NaN", func(c *inputCase) { c.dish.Layers[0].Contact = notNumber }, `layer 1 ("meat")`, "contact"},
		{"contact Inf", func(c *inputCase) { c.dish.Layers[1].Contact = infinite }, crust, "contact"},
		{"layer cells negative", func(c *inputCase) { c.dish.Layers[1].Cells = -1 }, crust, "cells"},
		{"layer cells too few", func(c *inputCase) { c.dish.Layers[1].Cells = 2 }, crust, "cells"},
		{"layer cells too many", func(c *inputCase) { c.dish.Layers[1].Cells = math.MaxInt32 }, crust, "cells"},
		{"no layers", func(c *inputCase) { c.dish.Layers = nil }, "dish", "number of layers 0"},
		{"a million layers", func(c *inputCase) { c.dish.Layers = make([]Layer, 1e6) }, "dish", "number of layers 1000000"},
		{"zero layers of zero value", func(c *inputCase) { c.dish.Layers = make([]Layer, 1) }, "layer 1", ""},
		{"duplicate names", func(c *inputCase) { c.dish.Layers[0].Name = "crust" }, crust, "name"},
		{"duplicate default names", func(c *inputCase) {
			c.dish.Layers[0].Name, c.dish.Layers[1].Name, c.dish.Layers[1].Food = "", "", meat
		}, `layer 2 ("lamb loin, cooked")`, "name"},
		{"no shape", shape(nil), "dish", "shape"},
		{"slab area negative", shape(geometry.Slab{Area: -1}), "slab", "area"},
		{"half slab area NaN", shape(geometry.HalfSlab{Area: notNumber}), "half slab", "area"},
		{"cylinder length Inf", shape(geometry.Cylinder{Length: infinite}), "cylinder", "length"},

		{"water NaN", spoilt(func(f *materials.Food) { f.Composition.Water = notNumber }), crust, "water"},
		{"water above one", spoilt(func(f *materials.Food) { f.Composition.Water = 1.5 }), crust, "water"},
		{"fat negative", spoilt(func(f *materials.Food) { f.Composition.Fat = -0.1 }), crust, "fat"},
		{"composition empty", spoilt(func(f *materials.Food) { f.Composition = materials.Composition{} }), crust, ""},
		{"structure unknown", spoilt(func(f *materials.Food) { f.Structure = 99 }), crust, "structure"},
		{"fat kind unknown", spoilt(func(f *materials.Food) { f.FatKind = 99 }), crust, "fat kind"},
		{"porosity one", spoilt(func(f *materials.Food) { f.Porosity = 1 }), crust, "porosity"},
		{"porosity NaN", spoilt(func(f *materials.Food) { f.Porosity = notNumber }), crust, "porosity"},
		{"freezing point above 0", spoilt(func(f *materials.Food) { f.FreezingPoint = 2 }), crust, "freezing point"},
		{"freezing point NaN", spoilt(func(f *materials.Food) { f.FreezingPoint = notNumber }), crust, "freezing point"},
		{"bound water above water", spoilt(func(f *materials.Food) { b := 0.99; f.BoundWater = &b }), crust, "bound water"},
		{"measured without points", spoilt(func(f *materials.Food) { f.Measured = &materials.Measured{Density: 1000} }), crust, "points"},
		{"measured not rising", spoilt(func(f *materials.Food) {
			f.Measured = &materials.Measured{Density: 1000, Points: []materials.Point{{T: 0, Enthalpy: 1, Conductivity: 1}, {T: 10, Enthalpy: 1, Conductivity: 1}}}
		}), crust, "enthalpy"},

		{"no start", start(nil), "dish", "start"},
		{"start NaN", start(Uniform(notNumber)), "start", "temperature"},
		{"start Inf", start(Uniform(infinite)), "start", "temperature"},
		{"start below absolute zero", start(Uniform(-300)), "start", "temperature"},
		{"start too hot", start(Uniform(401)), "start", "temperature"},
		{"by layer too few", start(ByLayer(3)), "start", "number of temperatures 1"},
		{"by layer too many", start(ByLayer(3, 4, 5)), "start", "number of temperatures 3"},
		{"by layer none", start(ByLayer()), "start", "number of temperatures 0"},
		{"by layer NaN", start(ByLayer(3, notNumber)), crust, "temperature"},
		{"profile nil", start(Profile(nil)), "start profile", "temperature"},
		{"profile NaN", start(Profile(func(float64) float64 { return notNumber })), "start profile", "temperature"},
		{"profile NaN outside", start(Profile(func(x float64) float64 {
			if x > 0.02 {
				return notNumber
			}
			return 4
		})), "start profile at 0.02", "temperature"},
		{"from nothing", start(From(nil)), "start", "earlier run"},
		{"from zero run", start(From(&Run{})), "start", "earlier run"},
		{"carried zero value", start(Carried{}), "start", "earlier run"},
		{"from with a layer too many", start(From(one)), crust, `With("crust", t)`},
		{"with unknown layer", start(From(both).With("sauce", 3)), "start", `"sauce"`},
		{"with carried layer", start(From(both).With("crust", 3)), crust, "has this layer"},
		{"with twice", start(From(one).With("crust", 3).With("crust", 4)), "start", "one temperature"},
		{"with NaN", start(From(one).With("crust", notNumber)), crust, "temperature"},
		{"from changed thickness", func(c *inputCase) {
			c.dish.Layers[1].Thickness, c.dish.Start = 0.005, From(both)
		}, crust, "thickness"},
		{"from changed food", func(c *inputCase) {
			c.dish.Layers[1].Food, c.dish.Start = meat, From(both)
		}, crust, "food"},
		{"from changed shape", func(c *inputCase) {
			c.dish.Shape, c.dish.Start = geometry.Slab{}, From(both)
		}, "dish", "shape"},
		{"from moved outwards", func(c *inputCase) {
			l := c.dish.Layers
			c.dish.Layers = []Layer{{Name: "core", Food: meat, Thickness: 0.01}, l[0], l[1]}
			c.dish.Start = From(both).With("core", 4)
		}, `layer 2 ("meat")`, "distance from the centre"},

		{"no stages", func(c *inputCase) { c.schedule = nil }, "schedule", "number of stages 0"},
		{"100000 stages", func(c *inputCase) { c.schedule = make(Schedule, 100000) }, "schedule", "number of stages 100000"},
		{"zero stage", func(c *inputCase) { c.schedule = Schedule{{}} }, "stage 1", "medium"},
		{"no medium", medium(nil), bake, "medium of side"},
		{"medium NaN", medium(FanOven(notNumber)), bake, "fluid temperature"},
		{"medium Inf", medium(FanOven(infinite)), bake, "fluid temperature"},
		{"medium below absolute zero", medium(Surroundings{Fluid: -274, H: 5}), bake, "fluid temperature"},
		{"medium 1001", medium(WaterBath(1001)), bake, "fluid temperature"},
		{"h negative", medium(Surroundings{Fluid: 200, H: -5}), bake, "heat transfer coefficient"},
		{"h NaN", medium(Surroundings{Fluid: 200, H: notNumber}), bake, "heat transfer coefficient"},
		{"h absurd", medium(Surroundings{Fluid: 200, H: 1e9}), bake, "heat transfer coefficient"},
		{"emissivity 2", medium(Surroundings{Fluid: 200, H: 5, Emissivity: 2}), bake, "emissivity 2"},
		{"emissivity negative", medium(Surroundings{Fluid: 200, H: 5, Emissivity: -0.1}), bake, "emissivity"},
		{"emissivity NaN", medium(Surroundings{Fluid: 200, H: 5, Emissivity: notNumber}), bake, "emissivity"},
		{"walls NaN", medium(Surroundings{Fluid: 200, H: 5, Emissivity: 0.9, Walls: notNumber}), bake, "wall temperature"},
		{"function NaN from the start", medium(MediumFunc(func(time.Duration) Surroundings { return Surroundings{H: notNumber} })), bake, "heat transfer"},
		{"unknown patch", func(c *inputCase) {
			c.schedule[0].Patches = map[geometry.Patch]Medium{geometry.Underside: Plate(200)}
		}, bake, `patch "underside"`},
		{"nil medium of a patch", func(c *inputCase) {
			c.schedule[0].Patches = map[geometry.Patch]Medium{geometry.Side: nil}
		}, bake, "medium of side"},
		{"NaN medium of a patch", func(c *inputCase) {
			c.schedule[0].Patches = map[geometry.Patch]Medium{geometry.Side: Plate(notNumber)}
		}, bake, "fluid temperature"},

		{"no condition", until(nil), bake, "Until"},
		{"empty any", until(Any()), bake, "number of conditions 0"},
		{"empty all", until(All()), bake, "number of conditions 0"},
		{"too many in any", until(Any(make([]Condition, 101)...)), bake, "number of conditions 101"},
		{"nil inside any", until(Any(nil, Elapsed(time.Minute))), bake, "condition"},
		{"nil deep inside", until(All(Any(Elapsed(time.Minute), Any(nil)), Elapsed(time.Minute))), bake, "condition"},
		{"elapsed negative", until(Elapsed(-time.Second)), bake, "elapsed time"},
		{"elapsed absurd", until(Elapsed(math.MaxInt64)), bake, "elapsed time"},
		{"elapsed most negative", until(Elapsed(math.MinInt64)), bake, "elapsed time"},
		{"limit negative", func(c *inputCase) { c.schedule[0].Limit = -1 }, bake, "limit"},
		{"limit absurd", func(c *inputCase) { c.schedule[0].Limit = math.MaxInt64 }, bake, "limit"},
		{"limit shorter than elapsed", func(c *inputCase) { c.schedule[0].Limit = time.Minute }, bake, "limit"},
		{"threshold NaN", until(Above(Centre(), notNumber)), bake, "threshold"},
		{"threshold Inf", until(Below(Centre(), infinite)), bake, "threshold"},
		{"threshold absurd", until(Below(Centre(), 1e6)), bake, "threshold"},
		{"threshold in unknown layer", until(Above(MeanOf("ham"), 50)), bake, `"ham"`},
		{"unknown layer inside all", until(All(Elapsed(time.Minute), Above(ColdestOf("ham"), 50))), bake, `"ham"`},
		{"depth negative", until(Above(Depth(-0.001), 50)), bake, "below the surface"},
		{"depth beyond the centre", until(Above(Depth(0.1), 50)), bake, "below the surface"},
		{"depth NaN", until(Above(Depth(notNumber), 50)), bake, "below the surface"},
		{"fraction above one", until(Above(Within("meat", 1.01), 50)), bake, "meat"},
		{"fraction negative", until(Above(Within("meat", -0.01), 50)), bake, "meat"},
		{"fraction NaN", until(Above(Within("meat", notNumber), 50)), bake, "meat"},
		{"when without function", until(When("done", nil)), bake, "function of When"},
		{"frozen 0", until(Frozen(0)), bake, "frozen share"},
		{"frozen 2", until(Frozen(2)), bake, "frozen share"},
		{"frozen NaN", until(Frozen(notNumber)), bake, "frozen share"},

		{"watch nil", watch(nil), "settings", "condition to watch"},
		{"watch unknown place", watch(Above(HottestOf("ham"), 3)), "settings", `"ham"`},
		{"watch NaN", watch(Above(Centre(), notNumber)), "settings", "threshold"},
		{"watch too many", func(c *inputCase) { c.settings.Watch = make([]Condition, 101) }, "settings", "number of conditions to watch"},
		{"tolerance negative", func(c *inputCase) { c.settings.Tolerance = -0.1 }, "settings", "tolerance"},
		{"tolerance NaN", func(c *inputCase) { c.settings.Tolerance = notNumber }, "settings", "tolerance"},
		{"tolerance absurd", func(c *inputCase) { c.settings.Tolerance = 1e-20 }, "settings", "tolerance"},
		{"pressure negative", func(c *inputCase) { c.settings.Pressure = -1 }, "settings", "pressure"},
		{"pressure in bar", func(c *inputCase) { c.settings.Pressure = 1.013 }, "settings", "pressure"},
		{"pressure NaN", func(c *inputCase) { c.settings.Pressure = notNumber }, "settings", "pressure"},
		{"steps negative", func(c *inputCase) { c.settings.MaxSteps = -1 }, "settings", "steps"},
		{"cells negative", func(c *inputCase) { c.settings.Cells = -1 }, "cylinder", "cells"},
		{"cells absurd", func(c *inputCase) { c.settings.Cells = math.MaxInt32 }, "cylinder", "cells"},
		{"grading unknown", func(c *inputCase) { c.settings.Grading = 77 }, "cylinder", "grading"},
		{"ice curve unknown", func(c *inputCase) { c.settings.IceCurve = 77 }, crust, "ice curve"},
	} {
		t.Run(test.name, func(t *testing.T) {
			c := soundCase()
			test.spoil(&c)
			began := time.Now()
			var run *Run
			var err error
			require.NotPanics(t, func() { run, err = c.run() })
			require.Error(t, err)
			assert.Nil(t, run, "no run comes with wrong input")
			assert.Less(t, time.Since(began), 5*time.Second, "refused at once, whatever the load of the machine")
			_, ok := errors.AsType[*InputError](err)
			require.True(t, ok, "%T %v", err, err)
			found := false
			for _, leaf := range leaves(err) {
				_, ok := errors.AsType[*InputError](leaf)
				assert.True(t, ok, "leaf of type %T: %v", leaf, leaf)
				assert.True(t, strings.HasPrefix(leaf.Error(), "thermal: "), leaf.Error())
				found = found || strings.Contains(leaf.Error(), test.place) && strings.Contains(leaf.Error(), test.saying)
			}
			assert.True(t, found, "no fault names %q and %q in: %v", test.place, test.saying, err)
		})
	}
}

// TestWrongInputCauses takes the errors of the packages below out of an
// *InputError.
func TestWrongInputCauses(t *testing.T) {
	c := soundCase()
	c.dish.Layers[1].Food.Composition.Water = notNumber
	_, err := c.run()
	food, ok := errors.AsType[*materials.FoodError](err)
	require.True(t, ok)
	assert.Equal(t, "puff pastry, raw", food.Food)
	_, ok = errors.AsType[*materials.CompositionError](err)
	assert.True(t, ok)

	c = soundCase()
	c.settings.IceCurve = 9
	_, err = c.run()
	_, ok = errors.AsType[*phasechange.Error](err)
	assert.True(t, ok)

	c = soundCase()
	c.schedule[0].Until = Above(MeanOf("ham"), 3)
	_, err = c.run()
	place, ok := errors.AsType[*UnknownPlaceError](err)
	require.True(t, ok)
	assert.Contains(t, place.Known, "meat, crust")
}

// TestAllFaultsAtOnce spoils a case in several parts and expects each of them
// among the joined errors.
func TestAllFaultsAtOnce(t *testing.T) {
	c := soundCase()
	c.dish.Layers[0].Thickness = -1
	c.dish.Layers[1].Contact = notNumber
	c.dish.Layers[1].Food.Porosity = 2
	c.settings.Tolerance = -3
	c.settings.Cells = -4
	_, err := c.run()
	require.Error(t, err)
	for _, want := range []string{"thickness [m] -1", "contact resistance", "porosity 2", "tolerance [K] -3", "cells -4"} {
		assert.ErrorContains(t, err, want)
	}

	c = soundCase()
	c.settings.MaxSteps = -1
	c.settings.Watch = []Condition{nil, Above(MeanOf("ham"), 3)}
	c.schedule = Schedule{{Name: "a", Medium: FanOven(notNumber), Limit: -1}, {Name: "b", Until: Frozen(7)}}
	c.dish.Start = nil
	_, err = c.run()
	require.Error(t, err)
	for _, want := range []string{"settings: steps -1", "condition to watch", `"ham"`, `stage 1 ("a"), side: fluid`, `stage 1 ("a"): Until`,
		`stage 2 ("b"): medium`, `stage 2 ("b"): frozen share 7`, "dish: start none"} {
		assert.ErrorContains(t, err, want)
	}
}

// TestNilBehindInterface gives media and shapes that are interfaces around
// nothing: the caller made a mistake that a plain comparison with nil misses.
func TestNilBehindInterface(t *testing.T) {
	var noShape *geometry.Slab
	for _, test := range []struct {
		name  string
		spoil func(*inputCase)
	}{
		{"nil MediumFunc", func(c *inputCase) { c.schedule[0].Medium = MediumFunc(nil) }},
		{"changing nothing", func(c *inputCase) { c.schedule[0].Medium = Changing(nil, time.Minute) }},
		{"nil shape pointer", func(c *inputCase) { c.dish.Shape = noShape }},
	} {
		t.Run(test.name, func(t *testing.T) {
			c := soundCase()
			test.spoil(&c)
			var err error
			require.NotPanics(t, func() { _, err = c.run() })
			_, ok := errors.AsType[*InputError](err)
			assert.True(t, ok, "%v", err)
		})
	}
}

// TestPlacesOfARun asks a finished run for places it does not have.
func TestPlacesOfARun(t *testing.T) {
	run := earlierRun(t, 2)
	for _, p := range []Place{MeanOf("ham"), Depth(1), Depth(-1), Depth(notNumber), Within("meat", 2), Within("", 0), ColdestOf(""), HottestOf("x")} {
		_, err := run.Temperature(p, time.Minute)
		_, ok := errors.AsType[*UnknownPlaceError](err)
		assert.True(t, ok, "%v: %v", p, err)
	}
	_, _, err := run.PeakAbove("ham", 60)
	_, ok := errors.AsType[*UnknownPlaceError](err)
	assert.True(t, ok, "%v", err)
	for _, at := range []time.Duration{math.MinInt64, -1, math.MaxInt64} {
		v, err := run.Temperature(Centre(), at)
		require.NoError(t, err)
		assert.InDelta(t, 4, v, 0.5, "times outside of the run give its start or end")
	}
}

// sameAsFar checks that a run cut short at its end agrees with a whole run: the
// cut has thrown nothing away.
func sameAsFar(t *testing.T, whole, cut *Run, places ...Place) {
	t.Helper()
	require.NotNil(t, cut)
	require.Positive(t, cut.Duration())
	for _, share := range []float64{0, 0.3, 0.7, 1} {
		at := time.Duration(share * float64(cut.Duration()))
		for _, p := range places {
			want, err := whole.Temperature(p, at)
			require.NoError(t, err)
			got, err := cut.Temperature(p, at)
			require.NoError(t, err)
			// five steps' worth of the default tolerance: the steps may differ
			assert.InDelta(t, want, got, 5*defaultTolerance, "%v at %v", p, at)
		}
	}
	assert.LessOrEqual(t, cut.Energy.Relative, 1e-8)
	assert.LessOrEqual(t, cut.Water.Relative, 1e-10)
	end := time.Duration(0)
	for _, s := range cut.Stages {
		assert.Equal(t, end, s.Start)
		end = s.End
	}
	assert.Equal(t, cut.Duration(), end, "the last stage ends with the run")
}

func TestStageLimit(t *testing.T) {
	c := soundCase()
	c.schedule = Schedule{
		{Name: "warm", Medium: FanOven(80), Until: Elapsed(5 * time.Minute)},
		{Name: "forever", Medium: FanOven(80), Until: Above(Centre(), 90), Limit: 20 * time.Minute},
		{Name: "never reached", Medium: FanOven(200), Until: Elapsed(time.Minute)},
	}
	run, err := c.run()
	limit, ok := errors.AsType[*StageLimitError](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, 1, limit.Stage)
	assert.Equal(t, "forever", limit.Name)
	assert.Equal(t, 20*time.Minute, limit.Limit)
	assert.Equal(t, "the centre is above 90 °C", limit.Until)
	assert.ErrorContains(t, err, `stage 2 ("forever")`)
	require.Len(t, run.Stages, 2)
	assert.Equal(t, []StopReason{ConditionMet, LimitReached}, []StopReason{run.Stages[0].Reason, run.Stages[1].Reason})
	assert.Equal(t, 25*time.Minute, run.Duration(), "the run ends exactly on the limit")
	centre, _ := run.End().Temperature(Centre())
	// the margin was read off Newton's last, linear update, the end evaluated anew
	assert.InDelta(t, centre-90, limit.Margin, 1e-3*defaultTolerance)

	c.schedule = Schedule{{Medium: FanOven(80), Until: Elapsed(25 * time.Minute)}}
	whole, err := c.run()
	require.NoError(t, err)
	sameAsFar(t, whole, run, Centre(), Skin(), MeanOf("crust"))

	// the partial run starts another
	c.dish.Start = From(run)
	c.schedule = Schedule{{Medium: Room(20), Until: Elapsed(time.Minute)}}
	next, err := c.run()
	require.NoError(t, err)
	again, _ := next.Temperature(Centre(), 0)
	assert.InDelta(t, centre, again, 1e-5, "the history keeps single precision, 1e-5 K")
}

// TestDefaultLimit: a condition that is never met ends by itself, 48 h on.
func TestDefaultLimit(t *testing.T) {
	c := soundCase()
	c.schedule = Schedule{{Medium: Refrigerator(4), Until: Any(Above(Centre(), 50), All(Elapsed(time.Hour), Above(Skin(), 50)))}}
	run, err := c.run()
	limit, ok := errors.AsType[*StageLimitError](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, 49*time.Hour, limit.Limit)
	assert.Equal(t, 49*time.Hour, run.Duration())
	assert.Less(t, run.Stats.Steps, 100, "nothing happens, so steps grow")
}

func TestInterrupted(t *testing.T) {
	why := errors.New("the guests have come")
	c := soundCase()
	c.schedule = Schedule{
		{Name: "hot", Medium: FanOven(220), Until: Elapsed(10 * time.Minute)},
		{Name: "gentle", Medium: FanOven(80), Until: Elapsed(30 * time.Minute)},
	}
	whole, err := c.run()
	require.NoError(t, err)

	ctx, cancel := context.WithCancelCause(context.Background())
	defer cancel(nil)
	calls, last := 0, time.Duration(0)
	c.settings.Progress = func(s *State) {
		calls++
		assert.Greater(t, s.Time(), last, "time goes on")
		if last = s.Time(); last > 15*time.Minute {
			cancel(why)
		}
	}
	run, err := Simulate(ctx, c.dish, c.schedule, &c.settings)
	stopped, ok := errors.AsType[*InterruptedError](err)
	require.True(t, ok, "%v", err)
	assert.ErrorIs(t, err, why)
	assert.ErrorContains(t, err, `stage 2 ("gentle") interrupted`)
	assert.Equal(t, 1, stopped.Stage)
	assert.Equal(t, run.Duration(), stopped.Time)
	assert.Equal(t, last, run.Duration(), "no step is made after the context has ended")
	assert.Equal(t, calls, run.Stats.Steps, "Progress is called once a step")
	assert.Equal(t, Interrupted, run.Stages[1].Reason)
	assert.True(t, run.Stages[1].Reason.Early())
	sameAsFar(t, whole, run, Centre(), Skin(), ColdestOf("meat"))

	// a context that has ended before the run begins
	run, err = Simulate(ctx, c.dish, c.schedule, nil)
	assert.ErrorIs(t, err, why)
	require.NotNil(t, run)
	assert.Zero(t, run.Duration())
	centre, err := run.Temperature(Centre(), 0)
	require.NoError(t, err)
	assert.InDelta(t, 4, centre, 1e-9)

	ctx, stop := context.WithTimeout(context.Background(), -1)
	defer stop()
	_, err = Simulate(ctx, c.dish, c.schedule, nil)
	assert.ErrorIs(t, err, context.DeadlineExceeded)
}

func TestHotterThanMeasured(t *testing.T) {
	narrow, err := materials.FromEnthalpy("gel", 1000, []materials.Point{
		{T: -10, Enthalpy: 0, Conductivity: 0.6}, {T: 60, Enthalpy: 280e3, Conductivity: 0.6}})
	require.NoError(t, err)
	run, err := Simulate(context.Background(), Dish{Shape: geometry.Slab{}, Start: Uniform(20),
		Layers: []Layer{{Name: "gel", Food: narrow, Thickness: 0.02}}},
		Schedule{{Name: "sear", Medium: Insulated(), Patches: map[geometry.Patch]Medium{geometry.Top: Plate(900)}, Until: Elapsed(time.Hour)}}, nil)
	failed, ok := errors.AsType[*SolverError](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, "gel", failed.Layer)
	assert.Equal(t, "sear", failed.Name)
	assert.InDelta(t, 0.02, failed.X, 1e-3, "the face on the plate is the first to leave the range")
	assert.Contains(t, failed.Reason, "outside of what the foods' properties cover")
	require.NotNil(t, run)
	assert.Equal(t, Failed, run.Stages[0].Reason)
	assert.Equal(t, failed.Time, run.Duration())
	assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
	// The cell at the plate reaches 60 °C and not more.
	cells := run.End().Cells()
	assert.InDelta(t, 60, cells[len(cells)-1].Temperature, 0.5)
	assert.LessOrEqual(t, cells[len(cells)-1].Temperature, 60.0)

	// below the range
	run, err = Simulate(context.Background(), Dish{Shape: geometry.Slab{}, Start: Uniform(20),
		Layers: []Layer{{Name: "gel", Food: narrow, Thickness: 0.02}}},
		Schedule{{Medium: BlastFreezer(-40), Until: Elapsed(6 * time.Hour)}}, nil)
	failed, ok = errors.AsType[*SolverError](err)
	require.True(t, ok, "%v", err)
	assert.Contains(t, failed.Reason, "properties cover")
	cells = run.End().Cells()
	assert.InDelta(t, -10, cells[len(cells)-1].Temperature, 0.5)
}

// TestHotterThanFood takes a dish beyond the 400 °C that the foods' properties
// cover.
func TestHotterThanFood(t *testing.T) {
	c := soundCase()
	c.schedule[0].Medium, c.schedule[0].Until = Plate(900), Elapsed(3*time.Hour)
	run, err := c.run()
	failed, ok := errors.AsType[*SolverError](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, "crust", failed.Layer)
	assert.Contains(t, failed.Reason, "properties cover")
	require.NotNil(t, run)
	assert.Greater(t, run.Stats.Steps, 10)
	assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
	assert.LessOrEqual(t, run.Water.Relative, 1e-10)
}

func TestMaxSteps(t *testing.T) {
	c := soundCase()
	c.settings.MaxSteps = 7
	run, err := c.run()
	failed, ok := errors.AsType[*SolverError](err)
	require.True(t, ok, "%v", err)
	assert.Contains(t, failed.Reason, "MaxSteps")
	assert.Equal(t, 7, run.Stats.Steps+run.Stats.Rejected)
	whole, err := soundCase().run()
	require.NoError(t, err)
	sameAsFar(t, whole, run, Centre(), Skin())
}

// TestMediumTurnsBad: a user's function fails in the middle of a stage. What was
// computed stays, the error names the stage, and asking the run for a time near
// its end does not meet the bad value again.
func TestMediumTurnsBad(t *testing.T) {
	bad := map[string]Surroundings{
		"NaN":        {Fluid: notNumber, H: 20},
		"Inf":        {Fluid: 200, H: infinite},
		"negative H": {Fluid: 200, H: -1},
		"emissivity": {Fluid: 200, H: 20, Walls: 200, Emissivity: 1.5},
	}
	whole := soundCase()
	whole.schedule = Schedule{{Name: "bake", Medium: FanOven(200), Until: Elapsed(20 * time.Minute)}}
	reference, err := whole.run()
	require.NoError(t, err)
	for name, surroundings := range bad {
		t.Run(name, func(t *testing.T) {
			c := soundCase()
			c.schedule = Schedule{{Name: "bake", Until: Elapsed(20 * time.Minute), Medium: MediumFunc(func(at time.Duration) Surroundings {
				if at > 10*time.Minute {
					return surroundings
				}
				return steadyOven(200)
			})}}
			run, err := c.run()
			fault, ok := errors.AsType[*InputError](err)
			require.True(t, ok, "%v", err)
			assert.Equal(t, `stage 1 ("bake")`, fault.Place)
			assert.Equal(t, Failed, run.Stages[0].Reason)
			assert.Greater(t, run.Duration(), time.Minute)
			assert.LessOrEqual(t, run.Duration(), 10*time.Minute)
			sameAsFar(t, reference, run, Centre(), Skin())
		})
	}
}

// steadyOven is FanOven as it is at any time.
func steadyOven(t float64) Surroundings {
	return Surroundings{Fluid: t, H: 20, Walls: t, Emissivity: foodEmissivity}
}

// TestMediumTurnsBadAtAChange: the bad value comes with a known jump.
func TestMediumTurnsBadAtAChange(t *testing.T) {
	c := soundCase()
	c.schedule = Schedule{{Name: "bake", Until: Elapsed(20 * time.Minute), Medium: Changing(MediumFunc(func(at time.Duration) Surroundings {
		if at >= 10*time.Minute {
			return Surroundings{Fluid: math.NaN()}
		}
		return steadyOven(200)
	}), 10*time.Minute)}}
	run, err := c.run()
	_, ok := errors.AsType[*InputError](err)
	require.True(t, ok, "%v", err)
	require.NotNil(t, run)
	assert.Greater(t, run.Duration(), time.Minute)
	assert.LessOrEqual(t, run.Duration(), 10*time.Minute)
}

// TestPanicOfCallerIsTheCallers: functions of the caller may panic; what they
// say comes through.
func TestPanicOfCallerIsTheCallers(t *testing.T) {
	c := soundCase()
	c.settings.Progress = func(*State) { panic("mine") }
	assert.PanicsWithValue(t, "mine", func() { _, _ = c.run() })
}

// TestTinyFreezingPoint: freezing points next to zero, which a food may have by
// its own rules, are computed or refused.
func TestTinyFreezingPoint(t *testing.T) {
	for _, tf := range []float64{-0.01, -1e-6, -1e-12, -1e-20, -1e-90, -1e-300, -5e-324, -59.9} {
		c := soundCase()
		c.dish.Layers[1].Food.FreezingPoint = tf
		c.dish.Start = Uniform(-18)
		assert.NotPanics(t, func() {
			run, err := c.run()
			mustBeSound(t, run, err)
		}, "freezing point %g °C", tf)
	}
}
