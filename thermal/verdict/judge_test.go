package verdict

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/safety"
)

// Lamb that stays at 50 °C: every number is known beforehand.
func TestKnownAnswer(t *testing.T) {
	run := simulate(t, lamb(50), still, stage("wait", thermal.Insulated(), 10))
	for _, c := range []struct {
		wish          Wish
		verdict       Verdict
		value, margin float64
	}{
		{Served{thermal.Centre(), 45, 52}, Pass, 50, 2},
		{Served{thermal.MeanOf("lamb"), 52, 60}, Fail, 50, -2},
		{Served{thermal.Skin(), 40, 47}, Fail, 50, -3},
		{Done{"lamb", 45, 55, 0.9}, Pass, 1, 0.1},
		{Done{"lamb", 51, 55, 0.9}, Fail, 0, -0.9},
		{Done{"lamb", 40, 49, 0.5}, Fail, 0, -0.5},
		{Rim{"lamb", 55, 1e-3}, Pass, 0, 1e-3},
		{Rim{"lamb", 45, 1e-3}, Fail, 0.020, -0.019},
		{Even{"lamb", 1}, Pass, 0, 1},
		{Thawed{}, Pass, 0, 0},
		{Ready{10 * time.Minute}, Pass, 600, 0},
		{Ready{9 * time.Minute}, Fail, 600, -60},
	} {
		r := judge(t, Case{Runs: []*thermal.Run{run}, Wishes: []Wish{c.wish}})
		f := r.Findings[0]
		assert.Equal(t, c.verdict, f.Verdict, "%v", c.wish)
		assert.Equal(t, c.verdict, r.Wishes, "%v", c.wish)
		require.NotNil(t, f.Value, "%v", c.wish)
		assert.InDelta(t, c.value, *f.Value, 1e-6, "%v", c.wish)
		assert.InDelta(t, c.margin, *f.Margin, 1e-6, "%v", c.wish)
		assert.Equal(t, c.verdict == Fail, len(r.Changes) > 0, "%v: %v", c.wish, r.Changes)
		assert.Equal(t, c.wish.String(), f.Wish)
	}
	r := judge(t, Case{Runs: []*thermal.Run{run}})
	assert.Equal(t, 600.0, r.Duration)
	assert.Len(t, r.Stages, 1)
	assert.InDelta(t, 50, r.End.Centre, 1e-6)
	assert.InDelta(t, run.End().Mass(), r.End.Mass, 1e-12)
	assert.Zero(t, r.End.LostShare)
	assert.Equal(t, CannotTell, r.Wishes, "without wishes nothing is right")
	assert.Equal(t, CannotTell, r.Safety, "without parts nothing is safe")
	assert.Equal(t, []string{"lamb"}, r.Unjudged)
}

// What water does is not known of a run in which it stands still; nor is a quantity
// that was not followed.
func TestWhatARunDoesNotKnow(t *testing.T) {
	run := simulate(t, pie(-18), still, stage("hot", thermal.FanOven(220), 20))
	for _, w := range []Wish{Crisp{1e-6}, Loss{1}, Juicy{"lamb", 0}, Colour{0, 100}, Set{"pastry"}} {
		f := judge(t, Case{Runs: []*thermal.Run{run}, Wishes: []Wish{w}}).Findings[0]
		assert.Equal(t, CannotTell, f.Verdict, "%v", w)
		assert.Nil(t, f.Value, "%v", w)
		assert.Nil(t, f.Margin, "%v", w)
		assert.NotEmpty(t, f.Missing, "%v", w)
	}
}

// A chain counts on one clock; the second run carries the peaks of the first.
func TestChain(t *testing.T) {
	first := simulate(t, lamb(5), still, stage("bath", thermal.WaterBath(62), 60))
	d := pie(0)
	d.Start = thermal.From(first).With("spinach", 5).With("pastry", 5)
	second := simulate(t, d, still, stage("rest", thermal.Room(20), 30), stage("oven", thermal.FanOven(150), 3))
	chain := []*thermal.Run{first, second}
	least := 57.0
	rule := safety.Rule{Name: "own", Step: safety.Cooking, Criteria: []safety.Criterion{safety.Cook{Rows: []safety.Row{{Temperature: least}}}}}
	r := judge(t, Case{Runs: chain, Wishes: []Wish{Done{"lamb", 55, 62, 1}}, Parts: []Part{
		{Layer: "lamb", Rules: []safety.Rule{rule}},
		{Layer: "lamb", Rules: []safety.Rule{rule}, Stages: []string{"oven"}},
		{Layer: "spinach", Rules: []safety.Rule{rule}},
		{Layer: "spinach", Rules: []safety.Rule{rule}, Stages: []string{"bath", "oven"}},
	}})
	assert.Equal(t, 5580.0, r.Duration)
	require.Len(t, r.Stages, 3)
	assert.Equal(t, []float64{0, 3600, 5400}, []float64{r.Stages[0].Start, r.Stages[1].Start, r.Stages[2].Start})
	assert.Equal(t, Pass, r.Findings[0].Verdict, "the bath did it: %s", r.Findings[0].Text)
	verdicts := []Verdict{}
	for _, c := range r.Checks {
		verdicts = append(verdicts, c.Verdict)
	}
	assert.Equal(t, []Verdict{Pass, Fail, Fail, Fail}, verdicts, "%v", r.Checks)
	assert.Less(t, *r.Checks[0].Time, 3600.0)
	for i := 1; i < len(r.Timeline); i++ {
		assert.GreaterOrEqual(t, r.Timeline[i].Time, r.Timeline[i-1].Time)
	}

	// over stages before a layer was there nothing passes
	low := rule
	low.Criteria = []safety.Criterion{safety.Cook{Rows: []safety.Row{{Temperature: -50}}}}
	c := judge(t, Case{Runs: chain, Parts: []Part{{Layer: "spinach", Rules: []safety.Rule{low}, Stages: []string{"bath", "oven"}}}}).Checks[0]
	assert.Equal(t, CannotTell, c.Verdict)
	assert.NotEmpty(t, c.Missing)

	_, err := Judge(Case{Runs: []*thermal.Run{second, first}})
	fault, ok := errors.AsType[*InputError](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, "run 2", fault.Place)
}

// Nothing passes of a run that broke off.
func TestBrokenOff(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	settings := *wet
	settings.Progress = func(s *thermal.State) {
		if s.Time() > 20*time.Minute {
			cancel()
		}
	}
	stages := thermal.Schedule{stage("hot", thermal.FanOven(200), 40)}
	interrupted, err := thermal.Simulate(ctx, pie(50), stages, &settings)
	require.ErrorIs(t, err, context.Canceled)

	stages = thermal.Schedule{{Name: "hot", Medium: thermal.FanOven(100), Until: thermal.Above(thermal.Centre(), 90), Limit: 10 * time.Minute}, stage("rest", thermal.Room(20), 5)}
	limited, err := thermal.Simulate(context.Background(), pie(50), stages, wet)
	limit, ok := errors.AsType[*thermal.StageLimitError](err)
	require.True(t, ok, "%v", limit)

	for name, run := range map[string]*thermal.Run{"interrupted": interrupted, "limited": limited} {
		c := everything(run)
		easy := safety.Rule{Name: "easy", Criteria: []safety.Criterion{safety.Cook{Rows: []safety.Row{{Temperature: 0}}}}}
		c.Parts = []Part{{Rules: []safety.Rule{easy}}, {Rules: []safety.Rule{easy}, Stages: []string{"hot"}}}
		r := judge(t, c)
		for _, f := range r.Findings {
			assert.Equal(t, CannotTell, f.Verdict, "%s: %s", name, f.Wish)
		}
		for _, x := range r.Checks {
			assert.NotEqual(t, Pass, x.Verdict, "%s: %s", name, x.Rule)
		}
		assert.Equal(t, CannotTell, r.Safety, name)
	}
	r := judge(t, Case{Runs: []*thermal.Run{limited}, Parts: []Part{{Layer: "lamb", Stages: []string{"rest"}, Rules: safety.Rules()}}})
	assert.Contains(t, r.Changes[0].Do, "more time")
	for _, x := range r.Checks {
		assert.NotEqual(t, Pass, x.Verdict, "a stage that was not run: %s", x.Rule)
	}
	assert.Contains(t, r.Text(), "ended early: limit reached")
}

// Faulty input names its place and never panics.
func TestInputErrors(t *testing.T) {
	run := simulate(t, pie(20), still, stage("wait", thermal.Room(20), 1))
	nan, inf := math.NaN(), math.Inf(1)
	var nilWish *Served
	one := []*thermal.Run{run}
	for says, c := range map[string]Case{
		"number of runs":           {},
		"run 1: run":               {Runs: []*thermal.Run{nil}},
		"run 2: run":               {Runs: []*thermal.Run{run, {}}},
		"wish 1: wish none":        {Runs: one, Wishes: []Wish{nil}},
		"wish 2: wish none":        {Runs: one, Wishes: []Wish{Thawed{}, nilWish}},
		"wish 1 (served): from":    {Runs: one, Wishes: []Wish{Served{thermal.Centre(), nan, 1}}},
		"(served): to":             {Runs: one, Wishes: []Wish{Served{thermal.Centre(), 5, 5}}},
		"place 10000 mm below":     {Runs: one, Wishes: []Wish{Served{thermal.Depth(10), 0, 1}}},
		"(done): layer":            {Runs: one, Wishes: []Wish{Done{"beef", 0, 1, 0.5}}},
		"(done): share":            {Runs: one, Wishes: []Wish{Done{"lamb", 0, 1, 0}}},
		"(done): share NaN":        {Runs: one, Wishes: []Wish{Done{"lamb", 0, 1, nan}}},
		"(rim): over":              {Runs: one, Wishes: []Wish{Rim{"lamb", inf, 0}}},
		"(rim): most":              {Runs: one, Wishes: []Wish{Rim{"lamb", 60, -1}}},
		"(even): most":             {Runs: one, Wishes: []Wish{Even{"lamb", nan}}},
		"(crisp): share":           {Runs: one, Wishes: []Wish{Crisp{1.1}}},
		"(colour): lightest":       {Runs: one, Wishes: []Wish{Colour{50, 40}}},
		"(set): layer":             {Runs: one, Wishes: []Wish{Set{""}}},
		"(juicy): kept":            {Runs: one, Wishes: []Wish{Juicy{"lamb", -inf}}},
		"(loss): most":             {Runs: one, Wishes: []Wish{Loss{nan}}},
		"(ready): within":          {Runs: one, Wishes: []Wish{Ready{-1}}},
		"(graded): number of":      {Runs: one, Wishes: []Wish{Graded{"lamb", "kitchen meat", nil, 0.5}}},
		"(graded): scale":          {Runs: one, Wishes: []Wish{Graded{"lamb", "kitchen meat", []string{"rare"}, 0.5}}},
		"(graded): band":           {Runs: one, Wishes: []Wish{Graded{"lamb", "kitchen meat", []string{"blue"}, 0.5}}, Layers: pieLayers[:1]},
		"part 1: layer":            {Runs: one, Parts: []Part{{Layer: "beef"}}},
		"part 1: stage":            {Runs: one, Parts: []Part{{Stages: []string{"bake"}}}},
		"part 1: safety: facts":    {Runs: one, Parts: []Part{{Facts: safety.Facts{PH: &nan}}}},
		"part 1: safety: rule":     {Runs: one, Parts: []Part{{Rules: []safety.Rule{{Name: "empty"}}}}},
		"layers: quality: layer":   {Runs: one, Layers: append(pieLayers[:1:1], pieLayers[0])},
		"number of wishes 1001":    {Runs: one, Wishes: make([]Wish, 1001)},
		"number of parts 1001":     {Runs: one, Parts: make([]Part, 1001)},
		"part 1: number of rules ": {Runs: one, Parts: []Part{{Rules: make([]safety.Rule, 1001)}}},
	} {
		report, err := Judge(c)
		assert.ErrorContains(t, err, says)
		assert.Nil(t, report, says)
		_, ok := errors.AsType[*InputError](err)
		assert.True(t, ok, "%v", err)
	}
}

// A report goes through JSON and back, numbers, words and all.
func TestRoundTrip(t *testing.T) {
	for name, run := range map[string]*thermal.Run{
		"wet": bakedPie(t), "still": simulate(t, pie(-18), still, stage("hot", thermal.FanOven(220), 30)),
	} {
		r := judge(t, everything(run))
		data, err := json.Marshal(r)
		require.NoError(t, err, name)
		var back Report
		require.NoError(t, json.Unmarshal(data, &back), name)
		again, err := json.Marshal(&back)
		require.NoError(t, err, name)
		assert.Equal(t, string(data), string(again), name)
		assert.Equal(t, r.Text(), back.Text(), name)
		assert.Equal(t, r.Findings, back.Findings, name)
		assert.Equal(t, r.Checks, back.Checks, name)
		assert.Equal(t, r.Changes, back.Changes, name)
	}
}

// The caution is in every text and in the data, whatever was asked.
func TestCaution(t *testing.T) {
	run := simulate(t, pie(20), still, stage("wait", thermal.Room(20), 1))
	for i, c := range []Case{{}, {Wishes: all(), Layers: pieLayers}, {Parts: []Part{{Rules: safety.Rules()}}}, everything(run)} {
		c.Runs = []*thermal.Run{run}
		r := judge(t, c)
		assert.Equal(t, safety.Caution, r.Caution, "case %d", i)
		assert.Contains(t, r.Text(), safety.Caution, "case %d", i)
		assert.Contains(t, fmt.Sprint(r), "\nSAFETY: ", "case %d", i)
	}
}

// A judgement is the same each time, to the last bit.
func TestDeterministic(t *testing.T) {
	run := bakedPie(t)
	first, err := json.Marshal(judge(t, everything(run)))
	require.NoError(t, err)
	for range 3 {
		again, err := json.Marshal(judge(t, everything(run)))
		require.NoError(t, err)
		assert.Equal(t, string(first), string(again))
	}
}

// A slab between two media of its own, stages without names, a rise, food given by
// measured curves: all is judged, what is not known of it cannot be told.
func TestOtherDishes(t *testing.T) {
	gel, err := materials.FromEnthalpy("gel", 1000, []materials.Point{{T: -40, Enthalpy: 0, Conductivity: 0.5}, {T: 120, Enthalpy: 6e5, Conductivity: 0.5}})
	require.NoError(t, err)
	d := thermal.Dish{Shape: geometry.Slab{Area: 0.01}, Start: thermal.Uniform(5), Layers: []thermal.Layer{
		{Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.02}, {Name: "gel", Food: gel, Thickness: 0.01},
	}}
	run := simulate(t, d, wet, thermal.Stage{Until: thermal.Elapsed(20 * time.Minute), Patches: map[geometry.Patch]thermal.Medium{
		geometry.Underside: thermal.Plate(70), geometry.Top: thermal.Room(30)}})
	r := judge(t, Case{Runs: []*thermal.Run{run}, Wishes: []Wish{
		Rim{"lamb loin, cooked", 60, 1e-3}, Crisp{0.5}, Colour{50, 60}, Juicy{"gel", 1}, Served{thermal.MeanOf("gel"), 90, 95},
	}})
	verdicts := []Verdict{}
	for _, f := range r.Findings {
		verdicts = append(verdicts, f.Verdict)
	}
	assert.Equal(t, []Verdict{Fail, CannotTell, CannotTell, CannotTell, Fail}, verdicts, "%v", r.Findings)
	assert.Contains(t, r.Text(), "stage 1")
	assert.Contains(t, []float64{30, 70}, r.Stages[0].Medium)
	_, err = json.Marshal(r)
	assert.NoError(t, err)
}

// The zero Report and one read from data that lack the most have a text too.
func TestZeroReport(t *testing.T) {
	var r Report
	require.NoError(t, json.Unmarshal([]byte(`{"findings":[{"verdict":"fail"}],"stages":[{}],"changes":[{}]}`), &r))
	assert.NotEmpty(t, r.Text())
	assert.NotEmpty(t, (&Report{}).Text())
}

// A slab overcooked from below is no better than one overcooked from above.
func TestRimOfEitherFace(t *testing.T) {
	d := thermal.Dish{Shape: geometry.Slab{Area: 0.01}, Start: thermal.Uniform(5), Layers: []thermal.Layer{
		{Name: "meat", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.02},
	}}
	var widths []float64
	for _, patch := range []geometry.Patch{geometry.Underside, geometry.Top} {
		run := simulate(t, d, still, thermal.Stage{Medium: thermal.Insulated(), Until: thermal.Elapsed(5 * time.Minute),
			Patches: map[geometry.Patch]thermal.Medium{patch: thermal.Plate(80)}})
		f := judge(t, Case{Runs: []*thermal.Run{run}, Wishes: []Wish{Rim{"meat", 55, 1e-3}}}).Findings[0]
		assert.Equal(t, Fail, f.Verdict, "%s: %s", patch, f.Text)
		widths = append(widths, *f.Value)
	}
	assert.InDelta(t, widths[1], widths[0], 1e-6)
	assert.Greater(t, widths[0], 2e-3)
}
