package chart

import (
	"context"
	"sync"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"github.com/stretchr/testify/require"
)

// roll is an invented roll in pastry, from frozen.
var roll = sync.OnceValues(func() ([]*thermal.Run, error) { return bake(-18) })

// chilled is the same from the refrigerator.
var chilled = sync.OnceValues(func() ([]*thermal.Run, error) { return bake(4) })

func bake(start float64) ([]*thermal.Run, error) {
	run, err := thermal.Simulate(context.Background(), thermal.Dish{
		Shape: geometry.Cylinder{}, Start: thermal.Uniform(start),
		Layers: []thermal.Layer{
			{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.033},
			{Name: "greens", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 0.006},
			{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.0045},
		}}, thermal.Schedule{
		{Name: "set the crust", Medium: thermal.FanOven(220), Until: thermal.Elapsed(35 * time.Minute)},
		{Name: "door open", Medium: thermal.Room(30), Until: thermal.Elapsed(2 * time.Minute)},
		{Name: "finish", Medium: thermal.FanOven(85), Until: thermal.Elapsed(60 * time.Minute)},
	}, &thermal.Settings{Cells: 80, Moisture: true})
	return []*thermal.Run{run}, err
}

// wrapped is an invented chain: the centre cooked under a film of fat that is then
// taken off, chilled, wrapped, frozen and baked.
var wrapped = sync.OnceValues(func() (runs []*thermal.Run, err error) {
	lamb := thermal.Layer{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.025}
	lard := thermal.Layer{Name: "lard", Food: materials.MustFind("lard"), Thickness: 0.002}
	greens := thermal.Layer{Name: "greens", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 0.005}
	crust := thermal.Layer{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.004}
	for i, part := range []struct {
		layers   []thermal.Layer
		added    []string
		schedule thermal.Schedule
	}{
		{[]thermal.Layer{lamb, lard}, nil, thermal.Schedule{{Name: "cook", Medium: thermal.WaterBath(58), Until: thermal.Elapsed(40 * time.Minute)}}},
		{[]thermal.Layer{lamb}, nil, thermal.Schedule{{Name: "chill", Medium: thermal.Refrigerator(3), Until: thermal.Elapsed(90 * time.Minute)}}},
		{[]thermal.Layer{lamb, greens, crust}, []string{"greens", "crust"}, thermal.Schedule{
			{Name: "freeze", Medium: thermal.BlastFreezer(-35), Until: thermal.Below(thermal.Centre(), -15), Limit: 8 * time.Hour},
			{Name: "bake", Medium: thermal.FanOven(200), Until: thermal.Elapsed(60 * time.Minute)},
			{Name: "rest", Medium: thermal.Room(24), Until: thermal.Elapsed(15 * time.Minute)}}},
	} {
		dish := thermal.Dish{Shape: geometry.Cylinder{}, Layers: part.layers, Start: thermal.Uniform(4)}
		if i > 0 {
			start := thermal.From(runs[i-1])
			for _, name := range part.added {
				start = start.With(name, 8)
			}
			dish.Start = start
		}
		run, err := thermal.Simulate(context.Background(), dish, part.schedule, &thermal.Settings{Cells: 60})
		if err != nil {
			return nil, err
		}
		runs = append(runs, run)
	}
	return runs, nil
})

func charts(t testing.TB, set *Settings) map[string]*Chart {
	run, err := roll()
	require.NoError(t, err)
	cold, err := chilled()
	require.NoError(t, err)
	out := map[string]*Chart{}
	keep := func(name string) func(*Chart, error) {
		return func(c *Chart, err error) {
			require.NoError(t, err)
			out[name] = c
		}
	}
	keep("layers")(Layers(run, Temperature, set))
	keep("layers-water")(Layers(run, WaterContent, set))
	keep("section")(Section(run, Temperature, set))
	keep("section-activity")(Section(run, WaterActivity, set))
	keep("profiles")(Profiles(run, Temperature, nil, set))
	chain, err := wrapped()
	require.NoError(t, err)
	keep("chain")(Layers(chain, Temperature, set))
	keep("chain-section")(Section(chain, Temperature, set))
	keep("chain-section-water")(Section(chain, WaterContent, set))
	keep("chain-profiles")(Profiles(chain, Temperature, []time.Duration{0, 30 * time.Minute, 2 * time.Hour, chain[0].Duration() + chain[1].Duration(), 5 * time.Hour}, set))
	keep("chain-compare")(Compare(Named{"chain", chain}, Named{"chilled", cold}, WaterContent, set))
	keep("compare")(Compare(Named{"frozen", run}, Named{"chilled", cold}, Temperature, set))
	return out
}
