package thermal

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// crusting is what all runs of this file have: water moves.
var crusting = withWater(Settings{Cells: 60}, true)

// stateOf is a dish at rest, for hands to change.
func stateOf(t testing.TB, d Dish, set Settings) *State {
	t.Helper()
	return simulate(t, d, convecting(Insulated(), 1), set).At(0)
}

// The crust of a profile that is a straight line in activity and water is known: its
// edge where the line passes, its means those over it.
func TestCrustOfAKnownProfile(t *testing.T) {
	const thickness = 0.012
	food := materials.MustFind("bread dough, raw")
	density, water := food.Density(), food.Density()*food.Composition.Water
	for _, shape := range fourShapes {
		set := crusting
		set.Cells, set.Grading = 400, geometry.Uniform
		s := stateOf(t, one(shape, food, thickness, Uniform(20)), set)
		line := func(x float64) float64 { return 1 - 0.9*x/thickness }
		for i := range s.moist {
			a := line(s.mesh.Cells[i].Node)
			s.moist[i].activity, s.moist[i].water = a, 100*a
		}
		for _, below := range []float64{0.15, 0.6, 0.95} {
			c := s.Crust(below)
			edge := thickness * (1 - below) / 0.9
			require.InDelta(t, thickness-edge, c.Thickness, 1e-9, "%v below %g", shape, below)
			// mean of the line over the shell, weighted with area
			var sum, all float64
			for k := range 10000 {
				x := edge + (thickness-edge)*(float64(k)+0.5)/10000
				w := areaOf(shape, x)
				sum, all = sum+w*line(x), all+w
			}
			require.InDelta(t, sum/all, c.Activity, 2e-3, "within a cell, %v below %g", shape, below)
			require.InEpsilon(t, 100*c.Activity/(density-water), c.Water, 1e-9)
		}
		require.Zero(t, s.Crust(0.05), "nothing is as dry as that")
		require.Zero(t, s.Crust(math.NaN()))
		require.InEpsilon(t, thickness, s.Crust(1.5).Thickness, 1e-12, "all of it")
		// a dry zone further in is no crust
		last := len(s.moist) - 1
		s.moist[last].activity = 0.99
		require.Zero(t, s.Crust(Crispness))
		// one that reaches the outermost cell ends between nodes
		for i := range s.moist {
			s.moist[i].activity = 0.9
		}
		s.moist[last].activity = 0.3
		cells := s.mesh.Cells
		require.InDelta(t, cells[last].Outer-(cells[last-1].Node+cells[last].Node)/2, s.Crust(0.6).Thickness, 1e-12)
	}
}

func areaOf(s geometry.Shape, x float64) float64 {
	switch s.(type) {
	case geometry.Cylinder:
		return x
	case geometry.Sphere:
		return x * x
	}
	return 1
}

// Where the food inside is one of which no activity is known, the crust ends at it.
func TestCrustOnMeasuredFood(t *testing.T) {
	d := Dish{Shape: geometry.Cylinder{}, Start: Uniform(20), Layers: []Layer{
		{Name: "core", Food: constant(t, 3500, 0.5), Thickness: 0.02},
		{Name: "crumbs", Food: materials.MustFind("breadcrumbs, dry"), Thickness: 0.003},
	}}
	for _, wet := range []bool{true, false} {
		set := withWater(crusting, wet)
		s := stateOf(t, d, set)
		c := s.Crust(Crispness)
		assert.InEpsilon(t, 0.003, c.Thickness, 1e-9)
		crumbs := d.Layers[1].Food
		w := crumbs.Composition.Water / crumbs.Composition.Sum()
		assert.InEpsilon(t, w/(1-w), c.Water, 1e-5)
		a, err := s.Activity(Within("core", 0.5))
		require.NoError(t, err)
		assert.True(t, math.IsNaN(a))
		a, err = s.Activity(MeanOf("core"))
		require.NoError(t, err)
		assert.True(t, math.IsNaN(a))
		assert.Zero(t, s.Layers()[0].WaterActivity)
		a, err = s.Activity(Skin())
		require.NoError(t, err)
		assert.InDelta(t, c.Activity, a, 1e-9)
	}
}

// A dish has no crust when it is raw; in the oven one grows and only grows; the crust
// of a risen one is counted as it has risen; and in a warm room what is inside
// moistens it again.
func TestCrustGrowsInTheOven(t *testing.T) {
	d := risingDish(geometry.Cylinder{Length: 0.2}, &Rise{Points: []RisePoint{{At: 40, Ratio: 1}, {At: 90, Ratio: 3}}})
	run := simulate(t, d, Schedule{
		{Name: "bake", Medium: FanOven(210), Until: Elapsed(35 * time.Minute)},
		{Name: "hold", Medium: Surroundings{Fluid: 30, H: 5}, Until: Elapsed(2 * time.Hour)}, // sealed in
	}, crusting)
	requireAudits(t, run)
	require.Zero(t, run.At(0).Crust(Crispness))
	var before Crust
	for m := 0; m <= 35; m++ {
		s := run.At(time.Duration(m) * time.Minute)
		c := s.Crust(Crispness)
		require.GreaterOrEqual(t, c.Thickness, before.Thickness*(1-1e-3), "after %d min", m)
		if c.Thickness > 0 {
			require.Less(t, c.Activity, Crispness)
			require.Greater(t, c.Activity, 0.0)
			require.Less(t, c.Water, 0.1, "dry pastry")
			require.LessOrEqual(t, c.Thickness, s.Layers()[1].Thickness)
		}
		before = c
	}
	require.Greater(t, before.Thickness, 3e-3)
	end := run.End().Crust(Crispness)
	t.Logf("after the oven %.2f mm at %.2f; two hours later, sealed in, %.2f mm at %.2f", before.Thickness*1e3, before.Activity, end.Thickness*1e3, end.Activity)
	skin := func(at time.Duration) float64 {
		a, err := run.At(at).Activity(Skin())
		require.NoError(t, err)
		return a
	}
	require.Less(t, end.Thickness, before.Thickness)
	require.Greater(t, skin(run.Duration()), skin(35*time.Minute)+0.05)
}

func TestActivityAtPlaces(t *testing.T) {
	d := Dish{Shape: geometry.HalfSlab{}, Start: Uniform(20), Layers: []Layer{
		{Name: "dough", Food: materials.MustFind("bread dough, raw"), Thickness: 0.01},
		{Name: "crumbs", Food: materials.MustFind("breadcrumbs, dry"), Thickness: 0.003},
	}}
	for _, wet := range []bool{true, false} {
		set := withWater(crusting, wet)
		s := stateOf(t, d, set)
		get := func(p Place) float64 {
			a, err := s.Activity(p)
			require.NoError(t, err)
			return a
		}
		for l, layer := range d.Layers {
			want, known := s.model.relations[l].WaterActivity(layer.Food.Density() * layer.Food.Composition.Water / layer.Food.Composition.Sum())
			require.True(t, known)
			for _, p := range []Place{Within(layer.Name, 0), Within(layer.Name, 0.5), Within(layer.Name, 1), MeanOf(layer.Name), ColdestOf(layer.Name), HottestOf(layer.Name)} {
				assert.InDelta(t, want, get(p), 3e-4, "%v, moving: %v", p, wet)
			}
			assert.InDelta(t, want, s.Layers()[l].WaterActivity, 3e-4)
		}
		assert.Equal(t, get(Within("dough", 0)), get(Centre()))
		assert.Equal(t, get(Within("crumbs", 1)), get(Skin()))
		assert.Equal(t, get(Within("crumbs", 1)), get(Depth(0)))
		for _, p := range []Place{Within("jam", 0.5), MeanOf("jam"), Depth(1), Depth(math.NaN()), Within("dough", 2)} {
			_, err := s.Activity(p)
			var unknown *UnknownPlaceError
			assert.ErrorAs(t, err, &unknown, "%v", p)
		}
	}
}

// Over ice the activity is that of ice, whatever the food.
func TestActivityOfFrozenFood(t *testing.T) {
	for _, wet := range []bool{true, false} {
		set := withWater(crusting, wet)
		s := stateOf(t, one(geometry.Sphere{}, materials.MustFind("beef tenderloin, raw"), 0.02, Uniform(-18)), set)
		a, err := s.Activity(Centre())
		require.NoError(t, err)
		assert.InDelta(t, phasechange.SublimationPressure(-18)/phasechange.SaturationPressure(-18), a, 2e-4)
		assert.InDelta(t, 0.839, a, 2e-3, "ice at -18 °C: 124.9 Pa over 148.9 Pa of supercooled water (Murphy & Koop 2005, from memory)")
		assert.Zero(t, s.Crust(Crispness))
	}
}

// What a muscle lets go is told layer by layer, as a share of its weight; what no
// other layer takes up drips.
func TestJuices(t *testing.T) {
	roast := func(around string, start float64) *Run {
		d := Dish{Shape: geometry.Cylinder{Length: 0.2}, Start: Uniform(start), Layers: []Layer{
			{Name: "meat", Food: materials.MustFind("beef tenderloin, raw"), Thickness: 0.025},
			{Name: "around", Food: materials.MustFind(around), Thickness: 0.004},
		}}
		return simulate(t, d, convecting(WaterBath(70), 2*hour), crusting)
	}
	for _, c := range []struct {
		around string
		takes  bool
	}{{"mushroom duxelles, cooked dry", true}, {"butter", false}} {
		run := roast(c.around, 5)
		requireAudits(t, run)
		j := run.Juices()
		require.Len(t, j, 2)
		assert.Equal(t, []string{"meat", "around"}, []string{j[0].Layer, j[1].Layer})
		mass := run.At(0).Layers()[0].Mass
		assert.InEpsilon(t, j[0].Mass/mass, j[0].Share, 1e-5)
		assert.Zero(t, j[1].Mass, "%s has no muscle", c.around)
		// the limit at 70 °C: a share of the raw water, over what protein keeps
		meat := run.Dish.Layers[0].Food
		keeps := meat.Holding.Kept(70) * meat.Composition.Protein / meat.Composition.Sum()
		most := meat.Composition.Water/meat.Composition.Sum() - keeps
		assert.Greater(t, j[0].Share, 0.7*most)
		assert.LessOrEqual(t, j[0].Share, most*1.1)
		taken := j[0].Mass - run.Water.Drip
		t.Logf("in %s: %.1f %% of the meat, at most %.1f; %.0f %% of it taken up", c.around, 100*j[0].Share, 100*most, 100*taken/j[0].Mass)
		if c.takes {
			assert.Greater(t, taken, 0.2*j[0].Mass)
		} else {
			assert.InDelta(t, 0, taken, 1e-9)
		}
		assert.InDelta(t, run.Lost(), run.At(0).Mass()-run.End().Mass(), 1e-7)
	}
	d := one(geometry.Sphere{}, materials.MustFind("beef tenderloin, raw"), 0.02, Uniform(5))
	cold := simulate(t, d, convecting(WaterBath(20), hour), crusting).Juices()
	assert.Less(t, cold[0].Share, 1e-5, "what vapour from the warmer rim adds in the middle")
	set := withWater(crusting, false)
	assert.Equal(t, []Juice{{Layer: "all"}}, simulate(t, d, convecting(WaterBath(70), hour), set).Juices(), "where water stands still")
}

// What a dish weighs less at the end is what it lost, with all ways of losing and
// gaining in one run.
func TestLostIsTheDifferenceOfWeights(t *testing.T) {
	d := Dish{Shape: geometry.Sphere{}, Start: Uniform(-18), Layers: []Layer{
		{Name: "meat", Food: materials.MustFind("chicken breast, raw"), Thickness: 0.02},
		{Name: "crust", Food: materials.MustFind("bread dough, raw"), Thickness: 0.004, Film: &Film{Permeance: 1e-8}},
	}}
	const glaze = 0.3 // [kg/m²] more than clings
	egg := materials.MustFind("egg, whole, raw")
	run := simulate(t, d, Schedule{
		{Medium: SteamOven(100), Until: Elapsed(5 * time.Minute)},
		{Medium: FanOven(200), Until: Elapsed(10 * time.Minute), Brush: &Brush{Food: egg, Mass: glaze, Temperature: 10}},
		{Medium: FanOven(180), Until: Elapsed(20 * time.Minute)},
	}, crusting)
	requireAudits(t, run)
	w := run.Water
	for name, v := range map[string]float64{"steam": w.Steam, "evaporated": w.Evaporated, "condensed": w.Condensed, "drip": w.Drip, "brushed": w.Brushed} {
		assert.Positive(t, v, name)
	}
	dry := run.dry(run.Duration())
	assert.InEpsilon(t, glaze*4*math.Pi*0.024*0.024*(1-egg.Composition.Water/egg.Composition.Sum()), dry, 1e-9)
	assert.InDelta(t, run.Lost()-w.Brushed-dry, run.At(0).Mass()-run.End().Mass(), 1e-7)
	assert.InDelta(t, run.Lost(), w.Start+w.Brushed-w.End, 1e-12)
}

// Every medium of the package has a humidity that its air can have, wherever it may
// be set, in the mountains too.
func TestMediaHaveAHumidityEverywhere(t *testing.T) {
	for _, c := range []struct {
		name   string
		of     func(float64) Surroundings
		lo, hi float64 // [°C]
		open   bool
	}{
		{"FanOven", FanOven, -100, 400, true}, {"StillOven", StillOven, -100, 400, true}, {"Room", Room, -100, 400, true},
		{"Refrigerator", Refrigerator, -60, 60, true}, {"StillFreezer", StillFreezer, -100, 40, true}, {"BlastFreezer", BlastFreezer, -100, 40, true},
		{"SteamOven", SteamOven, 99, 400, true},
		{"WaterBath", WaterBath, -100, 400, false}, {"HotOil", HotOil, -100, 400, false}, {"Plate", Plate, -100, 400, false},
		{"Insulated", func(float64) Surroundings { return Insulated() }, 0, 0, false},
	} {
		for _, total := range []float64{phasechange.StandardPressure, 70e3} {
			t.Run(fmt.Sprintf("%s at %g kPa", c.name, total/1e3), func(t *testing.T) {
				for x := c.lo; x <= c.hi; x += 0.25 {
					s := c.of(x)
					require.Empty(t, s.faults("here", total), "at %g °C", x)
					p, open, err := s.Humidity.pressure(s.Fluid, total)
					require.NoError(t, err, "at %g °C", x)
					require.Equal(t, c.open, open)
					require.True(t, !open || p > 0 && p <= total, "at %g °C: %g Pa", x, p)
					if open && x < lastBoiling {
						require.LessOrEqual(t, p, saturatedOver(x)*(1+1e-9), "at %g °C", x)
					}
				}
			})
		}
	}
	for _, s := range []Surroundings{FanOven(math.NaN()), Room(math.Inf(1)), SteamOven(90), SteamOven(-20), StillFreezer(120), Refrigerator(500)} {
		assert.NotEmpty(t, s.faults("here", phasechange.StandardPressure), "%+v", s)
	}
}
