package thermal

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// juicyRoll is raw meat whose juice the greens around it take up.
func juicyRoll(shape geometry.Shape) Dish {
	return Dish{Shape: shape, Start: Uniform(5), Layers: []Layer{
		{Name: "lamb", Food: materials.MustFind("lamb loin, raw"), Thickness: 0.02},
		{Name: "greens", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 0.008},
	}}
}

// Nothing passes the surface in a bath, so weight can only fall, by what drips: juice
// between two layers weighs as well. What a layer holds never rises faster than juice
// comes.
func TestJuiceOnItsWayWeighs(t *testing.T) {
	for name, shape := range map[string]geometry.Shape{"cylinder": geometry.Cylinder{}, "slab": geometry.Slab{}} {
		t.Run(name, func(t *testing.T) {
			run := simulate(t, juicyRoll(shape), Schedule{
				{Name: "hot", Medium: WaterBath(75), Until: Elapsed(20 * time.Minute)},
				{Name: "hotter", Medium: WaterBath(85), Until: Elapsed(10 * time.Minute)},
				{Name: "cold", Medium: WaterBath(20), Until: Elapsed(5 * time.Minute)},
			}, Settings{Cells: 60, Moisture: true})
			requireAudits(t, run)
			start := run.At(0).Mass()
			last, rise, within := start, 0.0, 0.0
			for _, s := range run.history.steps {
				for _, share := range []float64{0.1, 0.3, 0.5, 0.8} {
					within = math.Max(within, run.at(s.start+share*s.h).Mass()-last)
				}
				m := run.at(s.start + s.h).Mass()
				rise, last = math.Max(rise, m-last), m
			}
			t.Logf("%.2f g of %.2f g lost, greatest rise %.2g g from step to step, %.2g g within one", 1e3*(start-last), 1e3*start, 1e3*rise, 1e3*within)
			assert.Less(t, rise, 1e-6*start)
			assert.Less(t, within, 1e-4*start, "where a cell fills and empties at once its cubic is cut")
			end := run.End()
			assert.Greater(t, end.Layers()[1].Water, 1.05*run.At(0).Layers()[1].Water, "the greens have drunk")
			assert.InDelta(t, start-run.Lost(), end.Mass(), 1e-6*start)
			assert.InDelta(t, run.Water.End, end.Water(), 1e-12*start)
		})
	}
}

// A run that ends with juice on its way hands it on: cut in two, a run ends alike.
func TestJuiceOnItsWayGoesOn(t *testing.T) {
	set := Settings{Cells: 60, Moisture: true}
	d := juicyRoll(geometry.Cylinder{})
	stage := func(minutes time.Duration) Schedule {
		return Schedule{{Medium: WaterBath(75), Until: Elapsed(minutes * time.Minute)}}
	}
	whole := simulate(t, d, stage(40), set)
	first := simulate(t, d, stage(20), set)
	requireAudits(t, first)
	end := first.End()
	way := end.Mass()
	for _, c := range end.Cells() {
		way -= c.Volume * first.model.relations[first.model.layer(c.Layer)].Density() * (1 - foodWater(first, c.Layer) + c.Water)
	}
	t.Logf("%.3g g on their way", 1e3*way)
	require.Greater(t, way, 1e-5, "kg on their way, or this shows nothing")
	d.Start = From(first)
	second := simulate(t, d, stage(20), set)
	requireAudits(t, second)
	assert.InDelta(t, end.Mass(), second.At(0).Mass(), 1e-6*end.Mass())
	for l, layer := range second.At(0).Layers() {
		assert.InDelta(t, end.Layers()[l].Water, layer.Water, 1e-6*end.Mass())
	}
	lost := first.Lost() + second.Lost()
	assert.InDelta(t, whole.Lost(), lost, 1e-3*whole.End().Mass())
	assert.InDelta(t, whole.End().Mass(), second.End().Mass(), 1e-3*whole.End().Mass())

	// where water stands still from then on, there is no room for it
	set.Moisture = false
	still := simulate(t, d, stage(1), set)
	assert.LessOrEqual(t, still.At(0).Mass(), end.Mass())
}

// foodWater is the water of a layer's food [kg/kg].
func foodWater(r *Run, layer string) float64 {
	c := r.model.relations[r.model.layer(layer)].Food().Composition
	return c.Water / c.Sum()
}

// What a condition or Settings.Progress sees of the weight while a run goes on is what
// the run says of it afterwards.
func TestJuiceOnItsWayIsSeenLive(t *testing.T) {
	type seen struct {
		at     time.Duration
		mass   float64
		greens float64
	}
	var live []seen
	set := Settings{Cells: 40, Moisture: true}
	set.Progress = func(s *State) { live = append(live, seen{s.Time(), s.Mass(), s.Layers()[1].Water}) }
	run := simulate(t, juicyRoll(geometry.HalfSlab{}), Schedule{{Medium: WaterBath(75), Until: Elapsed(15 * time.Minute)}}, set)
	for _, s := range live {
		then := run.At(s.at)
		require.InDelta(t, s.mass, then.Mass(), 1e-6*s.mass, "%v", s.at)
		greens := then.Layers()[1].Water
		require.InDelta(t, s.greens, greens, 1e-6*s.mass, "%v", s.at)
		content, _, err := then.Content(MeanOf("greens"))
		require.NoError(t, err)
		require.InEpsilon(t, greens/run.At(0).Layers()[1].Mass, content, 1e-6, "%v", s.at)
	}
}

// A mix in a bath loses in grams what its fish loses alone: the sauce keeps its water.
func TestJuiceOfAMix(t *testing.T) {
	cod, sauce := materials.MustFind("cod, raw"), materials.MustFind("bechamel sauce")
	mix, err := materials.Mix("fish in sauce", materials.Part{Food: cod, Mass: 450}, materials.Part{Food: sauce, Mass: 400})
	require.NoError(t, err)
	lost := func(f materials.Food) float64 { // [kg/kg]
		d := Dish{Shape: geometry.HalfSlab{}, Start: Uniform(5), Layers: []Layer{{Name: "f", Food: f, Thickness: 0.01}}}
		run := simulate(t, d, Schedule{{Medium: WaterBath(80), Until: Elapsed(2 * time.Hour)}}, Settings{Cells: 20, Moisture: true})
		requireAudits(t, run)
		return run.Lost() / run.At(0).Mass()
	}
	alone := lost(cod)
	require.Greater(t, alone, 0.2)
	assert.Zero(t, lost(sauce))
	assert.InEpsilon(t, alone*450/850, lost(mix), 0.02, "the sauce takes its time to warm as well")
}
