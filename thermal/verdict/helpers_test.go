package verdict

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/quality"
	"example.com/thawfront/thermal/safety"
)

// lamb is 20 mm of lamb in a cylinder, cooked beforehand.
func lamb(start float64) thermal.Dish {
	return thermal.Dish{Shape: geometry.Cylinder{Length: 0.2}, Start: thermal.Uniform(start), Layers: []thermal.Layer{
		{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 20 * thermal.MM},
	}}
}

// pie is lamb, spinach and pastry.
func pie(start float64) thermal.Dish {
	d := lamb(start)
	d.Layers = append(d.Layers,
		thermal.Layer{Name: "spinach", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 5 * thermal.MM},
		thermal.Layer{Name: "pastry", Food: materials.MustFind("puff pastry, raw"), Thickness: 4 * thermal.MM})
	return d
}

// stage lasts for some minutes.
func stage(name string, m thermal.Medium, minutes float64) thermal.Stage {
	return thermal.Stage{Name: name, Medium: m, Until: thermal.Elapsed(time.Duration(minutes * float64(time.Minute)))}
}

var (
	still = &thermal.Settings{Cells: 40}
	wet   = &thermal.Settings{Cells: 60, Moisture: true}
)

func simulate(t testing.TB, d thermal.Dish, s *thermal.Settings, stages ...thermal.Stage) *thermal.Run {
	t.Helper()
	run, err := thermal.Simulate(context.Background(), d, stages, s)
	require.NoError(t, err)
	return run
}

// bakedPie is a pie in two stages, water moving.
func bakedPie(t testing.TB) *thermal.Run {
	return simulate(t, pie(-18), wet, stage("hot", thermal.FanOven(220), 30), stage("gentle", thermal.FanOven(90), 50))
}

func judge(t testing.TB, c Case) *Report {
	t.Helper()
	r, err := Judge(c)
	require.NoError(t, err)
	return r
}

// all wishes, for the pie.
func all() []Wish {
	return []Wish{
		Served{thermal.Centre(), 48, 58}, Done{"lamb", 48, 60, 0.8}, Rim{"lamb", 60, 2e-3}, Even{"lamb", 8}, Thawed{},
		Crisp{0.3}, Colour{60, 75}, Set{"pastry"}, Graded{"lamb", quality.KitchenMeat().Name, []string{"rare", "medium rare"}, 0.7},
		Graded{"lamb", quality.Proteins().Name, []string{"collagen shrunk"}, 0.7}, Juicy{"lamb", 0.9}, Loss{0.05}, Ready{time.Hour},
	}
}

var pieLayers = []quality.Layer{{Name: "lamb", Kind: quality.Meat}, {Name: "pastry", Kind: quality.Dough}}

// everything asks for all there is.
func everything(run *thermal.Run) Case {
	moist := 0.99
	return Case{Runs: []*thermal.Run{run}, Wishes: all(), Layers: pieLayers, Parts: []Part{
		{Layer: "lamb", Facts: safety.Facts{Food: safety.Roast, Animal: safety.Lamb, WaterActivity: &moist}, Rules: safety.Rules()},
		{Layer: "spinach", Facts: safety.Facts{Food: safety.Plant}, Rules: safety.RulesOf(safety.Cooking)},
	}}
}

// layersOf says what the layers of one of these dishes are.
func layersOf(d thermal.Dish) []quality.Layer { return pieLayers[:min(len(d.Layers), 2)] }
