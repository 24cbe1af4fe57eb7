package thermal

import (
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Why baking lies outside of what is published.
const (
	brightDough = "1.07 here, 0.65 by a formula from memory; bubbles by Maxwell-Eucken are whole and round"
	muchWater   = "our paste has 30 % of water: with a loss in its published range there are at least 13 % left"
)

// loaf is a proofed loaf of 80 mm in an oven of 210 °C.
func loaf(t *testing.T, food materials.Food) *Run {
	t.Helper()
	d := one(geometry.Cylinder{}, food, 0.04, Uniform(28))
	return cooked(t, d, Schedule{{Medium: radiating(210, 20, HumidityRatio(0.02)), Until: Above(Centre(), 98), Limit: 40 * time.Minute}})
}

// dryingFront is the first cell from the centre out that holds less than half of the
// water of the dough, if there is one.
func dryingFront(s *State, water float64) (CellState, bool) {
	for _, c := range s.Cells() {
		if c.Water < water/2 {
			return c, true
		}
	}
	return CellState{}, false
}

func TestLoafBakesAsPublished(t *testing.T) {
	published := readSpans(t, "baking/spans.csv")
	dough := materials.MustFind("bread dough, proofed")
	run := loaf(t, dough)
	end := run.End()
	published.check(t, "time of a loaf", run.Duration().Minutes(), "")
	published.check(t, "loss of a loaf", lost(run, run.Duration()), "")
	published.check(t, "water the crumb loses", dough.Composition.Water-end.Cells()[0].Water, "")
	skin, err := end.Temperature(Skin())
	require.NoError(t, err)
	published.check(t, "crust", skin, "")
	crust, err := end.Activity(Depth(0.5e-3))
	require.NoError(t, err)
	published.check(t, "activity of the crust", crust, "")
}

// Left in the oven for 25 min the loaf is over-baked, and its crumb stays what it was.
func TestCrumbTendsToBoiling(t *testing.T) {
	published := readSpans(t, "baking/spans.csv")
	dough := materials.MustFind("bread dough, proofed")
	d := one(geometry.Cylinder{}, dough, 0.04, Uniform(28))
	run := cooked(t, d, Schedule{{Medium: radiating(210, 20, HumidityRatio(0.02)), Until: Elapsed(25 * time.Minute)}})
	end := run.End()
	centre, err := end.Temperature(Centre())
	require.NoError(t, err)
	published.check(t, "centre of the crumb", centre, "")
	published.check(t, "water the crumb loses", dough.Composition.Water-end.Cells()[0].Water, "")
	edge, found := dryingFront(end, dough.Composition.Water)
	require.True(t, found)
	published.check(t, "front", edge.Temperature, "")
	crust, err := end.Activity(Depth(1e-3))
	require.NoError(t, err)
	published.check(t, "activity of the crust", crust, "")
	skin, err := end.Temperature(Skin())
	require.NoError(t, err)
	published.check(t, "crust", skin, "")

	// From the front inwards the temperature falls and water rises, to the centre.
	cells := end.Cells()
	for i, c := range cells[:len(cells)-1] {
		if c.X < edge.X {
			continue
		}
		assert.LessOrEqual(t, c.Temperature, cells[i+1].Temperature+1e-6)
		assert.GreaterOrEqual(t, c.Water, cells[i+1].Water-1e-9)
	}
}

// A part-baked loaf is an open crumb from the start.
func TestOpenCrumbInTheOven(t *testing.T) {
	published := readSpans(t, "baking/spans.csv")
	bread := materials.MustFind("white bread")
	d := one(geometry.Cylinder{}, bread, 0.04, Uniform(25))
	run := cooked(t, d, Schedule{{Medium: radiating(210, 20, HumidityRatio(0.02)), Until: Elapsed(25 * time.Minute)}})
	end := run.End()
	edge, found := dryingFront(end, bread.Composition.Water)
	require.True(t, found)
	published.check(t, "front", edge.Temperature, "")
	crust, err := end.Activity(Depth(1e-3))
	require.NoError(t, err)
	published.check(t, "activity of the crust", crust, "")
}

// Purlis & Salvadori (2009), from memory.
func TestDoughConductsAsPublished(t *testing.T) {
	published := readSpans(t, "baking/spans.csv")
	r, err := phasechange.New(materials.MustFind("bread dough, proofed"), phasechange.Settings{})
	require.NoError(t, err)
	law := r.Moist()
	conducts := func(at float64) float64 {
		c := phasechange.MoistCell{T: at}
		law.Evaluate(law.Energy(at, r.Water()), r.Water(), &c)
		return c.K
	}
	published.check(t, "dough at 80 °C", conducts(80), brightDough)
	published.check(t, "dough at 99 °C", conducts(99), "")
}

// Sheets on a rack, in the middle of the published thickness and rise; both decide.
func TestPuffPastryDries(t *testing.T) {
	published := readSpans(t, "baking/spans.csv")
	sheet := func(thickness, rise float64) *Run {
		l := Layer{Food: materials.MustFind("puff pastry, raw"), Thickness: thickness, Rise: &Rise{Points: []RisePoint{{50, 1}, {98, rise}}}}
		return cooked(t, Dish{Shape: geometry.Slab{}, Layers: []Layer{l}, Start: Uniform(5)},
			Schedule{{Medium: radiating(200, 20, HumidityRatio(0.02)), Until: Elapsed(20 * time.Minute)}})
	}
	water := func(r *Run) float64 { return 100 * r.End().Water() / r.End().Mass() }
	run := sheet(0.0035, 6)
	published.check(t, "water in puff pastry", water(run), muchWater)
	published.check(t, "loss of puff pastry", lost(run, run.Duration()), "")
	crisp, err := run.End().Activity(Depth(0.2e-3))
	require.NoError(t, err)
	published.check(t, "activity of the crust", crisp, "")

	thick, flat := sheet(0.005, 6), sheet(0.0035, 1)
	t.Logf("5 mm: %.1f %% of water; not risen: %.1f %%", water(thick), water(flat))
	assert.Greater(t, water(thick), water(run))
	assert.Less(t, water(flat), water(run), "what has not risen has a shorter way for its heat")
}
