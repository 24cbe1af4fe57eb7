package thermal

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// brushing is what all runs of this file have: water moves.
var brushing = withWater(Settings{Cells: 50}, true)

// Water has no solids for the food table; a trace of ash does.
var plainWater = materials.Food{Name: "water", Composition: materials.Composition{Water: 0.9999, Ash: 0.0001}}

// eggWash is whole egg by the table of foods.
func eggWash(mass, temperature float64) *Brush {
	return &Brush{Food: materials.MustFind("egg, whole, raw"), Mass: mass, Temperature: temperature}
}

func pastry(s geometry.Shape, start float64) Dish {
	return Dish{Shape: s, Start: Uniform(start), Layers: []Layer{
		{Name: "filling", Food: materials.MustFind("lamb loin, cooked"), Thickness: 15e-3},
		{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 4e-3},
	}}
}

// What is brushed on is booked with its water and its heat, on a cold, a hot and a
// frozen surface, at the start and in the middle of a schedule, twice over; and the
// weight has its dry matter too.
func TestBrushIsBooked(t *testing.T) {
	const mass = 0.08 // [kg/m²] a thin coat (guess)
	egg := materials.MustFind("egg, whole, raw").Composition
	for _, shape := range fourShapes {
		for name, c := range map[string]struct{ start, glaze float64 }{
			"chilled": {5, 20}, "warm": {60, 5}, "frozen": {-18, 20}, "hot glaze on ice": {-30, 95}, "ice cold": {-4, 0},
		} {
			t.Run(name, func(t *testing.T) {
				wash := eggWash(mass, c.glaze)
				run := simulate(t, pastry(shape, c.start), Schedule{
					{Name: "first", Medium: FanOven(200), Brush: wash, Until: Elapsed(10 * time.Minute)},
					{Name: "again", Medium: FanOven(180), Brush: wash, Until: Elapsed(10 * time.Minute)},
					{Name: "plain", Medium: Room(20), Until: Elapsed(5 * time.Minute)},
				}, brushing)
				requireAudits(t, run)
				area := run.model.mesh.Surfaces[len(run.model.mesh.Surfaces)-1].Area
				water := 2 * mass * area * egg.Water / egg.Sum()
				dry := 2*mass*area - water
				require.InEpsilon(t, water, run.Water.Brushed, 1e-12)
				require.InDelta(t, water*materials.Water.Enthalpy(c.glaze), run.Energy.Brushed, 1e-9*(1+math.Abs(run.Energy.Brushed)))
				require.InDelta(t, dry, run.dry(run.Duration()), 1e-15)
				require.InDelta(t, run.Lost(), run.Water.Start+water-run.Water.End, 1e-12+1e-9*run.Water.Start)

				// the weight at the start has what was brushed on at the start
				start, end := run.At(0), run.End()
				require.InDelta(t, dry/2, run.dry(0), 1e-15)
				require.InDelta(t, run.Water.Start+water/2, start.Water(), 1e-6*run.Water.Start)
				require.InDelta(t, run.Lost()-water/2-dry/2, start.Mass()-end.Mass(), 1e-6*start.Mass())
			})
		}
	}
}

// The weight jumps by what is brushed on, and water and dry matter appear together.
func TestBrushWeighsAtOnce(t *testing.T) {
	d := pastry(geometry.Slab{}, 5)
	wash := eggWash(0.1, 20)
	run := simulate(t, d, Schedule{
		{Medium: Insulated(), Until: Elapsed(time.Minute)},
		{Medium: Insulated(), Brush: wash, Until: Elapsed(time.Minute)},
	}, brushing)
	requireAudits(t, run)
	plain := run.At(30 * time.Second).Mass()
	assert.InDelta(t, 0.1, run.End().Mass()-plain, 1e-6)
	for _, at := range []time.Duration{time.Minute - time.Millisecond, time.Minute, time.Minute + time.Millisecond} {
		more := run.At(at).Mass() - plain
		assert.True(t, math.Abs(more) < 1e-5 || math.Abs(more-0.1) < 1e-5, "%v: %g kg more, with the water or without", at, more)
	}

	// dry matter goes along a chain
	d.Start = From(run)
	next := simulate(t, d, convecting(Insulated(), 60), brushing)
	assert.InDelta(t, run.End().Mass(), next.At(0).Mass(), 1e-6, "the history is in single precision")
	assert.InDelta(t, run.End().Mass(), next.End().Mass(), 1e-6)
}

// Plain water on one face of a slab, the other left as it is.
func TestBrushOnAPatch(t *testing.T) {
	for patch, cell := range map[geometry.Patch]int{"": 49, geometry.Top: 49, geometry.Underside: 0} {
		d := pastry(geometry.Slab{}, 20)
		run := simulate(t, d, Schedule{{Medium: Insulated(), Brush: &Brush{Food: plainWater, Mass: 0.05, Temperature: 20, Patch: patch}, Until: Elapsed(time.Second)}}, brushing)
		requireAudits(t, run)
		wet, food := run.At(0).Cells(), d.Layers[0].Food
		if cell > 0 {
			food = d.Layers[1].Food
		}
		c := wet[cell]
		assert.InEpsilon(t, 0.05*0.9999, (c.Water-food.Composition.Water/food.Composition.Sum())*food.Density()*c.Volume, 1e-5, "patch %q", patch)
	}
}

// A wet surface stays near the wet bulb of the air for as long as its water lasts.
// Brushed with water the crust is under 100 °C for longer, by what it takes the oven to
// evaporate the coat: m L/q, with q that of convection and radiation to a surface at
// the mean of what it goes through, 20 to 100 °C. Most of the coat evaporates; the
// crust has drawn in the rest.
func TestBrushKeepsTheSurfaceCool(t *testing.T) {
	const oven, latent = 200.0, 2.4e6
	cool := func(mass float64) (*Run, float64) {
		st := Stage{Medium: FanOven(oven), Until: Above(Skin(), 100)}
		if mass > 0 {
			st.Brush = &Brush{Food: plainWater, Mass: mass, Temperature: 20}
		}
		run := simulate(t, pastry(geometry.HalfSlab{}, 20), Schedule{st}, brushing)
		requireAudits(t, run)
		return run, run.Duration().Seconds()
	}
	plain, until := cool(0)
	q := 20*(oven-60) + foodEmissivity*stefanBoltzmann*(math.Pow(oven+kelvin, 4)-math.Pow(60+kelvin, 4))
	for _, mass := range []float64{0.05, 0.1} {
		run, longer := cool(mass)
		evaporated := (run.Water.Evaporated - plain.Water.Evaporated) / 2
		t.Logf("%g kg/m²: the surface passes 100 °C after %.0f s, %.0f s without, m L/q = %.0f s; %.3f kg/m² more evaporated", mass, longer, until, mass*latent/q, evaporated)
		assert.InEpsilon(t, mass*latent/q, longer-until, 0.3)
		assert.InEpsilon(t, mass, evaporated, 0.15)
		assert.Less(t, at(t, run, Skin(), 60), at(t, plain, Skin(), 60)-10, "near the wet bulb of the oven's air, 50 °C")
	}
}

func TestBrushFaults(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := Brush{Food: plainWater, Mass: 0.1, Temperature: 20}
	change := func(f func(*Brush)) *Brush { b := good; f(&b); return &b }
	still := measured(t, 1000, []materials.Point{{T: -40, Enthalpy: 0, Conductivity: 0.5}, {T: 100, Enthalpy: 4e5, Conductivity: 0.5}})
	for name, c := range map[string]struct {
		brush *Brush
		says  string
	}{
		"no mass":         {change(func(b *Brush) { b.Mass = 0 }), "mass brushed on [kg/m²] 0"},
		"negative mass":   {change(func(b *Brush) { b.Mass = -0.1 }), "mass brushed on"},
		"mass NaN":        {change(func(b *Brush) { b.Mass = nan }), "mass brushed on"},
		"a flood":         {change(func(b *Brush) { b.Mass = 6 }), "mass brushed on"},
		"endless":         {change(func(b *Brush) { b.Mass = inf }), "mass brushed on"},
		"ice":             {change(func(b *Brush) { b.Temperature = -1 }), "temperature of what is brushed on [°C] -1"},
		"steam":           {change(func(b *Brush) { b.Temperature = 101 }), "temperature of what is brushed on"},
		"temperature NaN": {change(func(b *Brush) { b.Temperature = nan }), "temperature of what is brushed on"},
		"no food":         {change(func(b *Brush) { b.Food = materials.Food{} }), `food ""`},
		"measured food":   {change(func(b *Brush) { b.Food = still }), "food brushed on"},
		"no such patch":   {change(func(b *Brush) { b.Patch = geometry.Side }), "patch to brush side"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Simulate(context.Background(), pastry(geometry.Slab{}, 5), Schedule{{Name: "bake", Medium: Room(20), Brush: c.brush, Until: Elapsed(time.Minute)}}, &brushing)
			var fault *InputError
			require.ErrorAs(t, err, &fault)
			assert.Contains(t, err.Error(), `stage 1 ("bake")`)
			assert.Contains(t, err.Error(), c.says)
		})
	}
	t.Run("where water stands still", func(t *testing.T) {
		set := withWater(brushing, false)
		_, err := Simulate(context.Background(), pastry(geometry.Slab{}, 5), Schedule{{Medium: Room(20), Brush: &good, Until: Elapsed(time.Minute)}}, &set)
		assert.ErrorContains(t, err, "water does not move")
	})
	t.Run("on a measured food", func(t *testing.T) {
		_, err := Simulate(context.Background(), one(geometry.Slab{}, still, 0.01, Uniform(5)), Schedule{{Medium: Room(20), Brush: &good, Until: Elapsed(time.Minute)}}, &brushing)
		assert.ErrorContains(t, err, "takes no water")
	})
}

// The most that may be brushed on, boiling hot or ice cold, on thin cells of any
// temperature: the run goes through and the surplus drips.
func TestBrushAtItsBounds(t *testing.T) {
	for _, c := range []struct{ start, glaze, mass, medium float64 }{
		{-30, 100, 5, -30}, {-30, 0, 5, -30}, {90, 0, 5, 90}, {5, 100, 5, 5}, {5, 100, 1e-9, 5}, {-100, 100, 1, -100},
	} {
		run, err := Simulate(context.Background(), pastry(geometry.Sphere{}, c.start), Schedule{{Medium: Surroundings{Fluid: c.medium, H: 20, Humidity: VapourPressure(0)},
			Brush: &Brush{Food: plainWater, Mass: c.mass, Temperature: c.glaze}, Until: Elapsed(10 * time.Minute)}}, &brushing)
		if !assert.NoError(t, err, "%+v", c) {
			continue
		}
		requireAudits(t, run)
		if c.mass == 5 && run.End().Ice() == 0 { // what freezes on stays
			assert.Greater(t, run.Water.Drip, 0.9*run.Water.Brushed, "%+v", c)
		}
		t.Logf("%+v: drip %.3g of %.3g kg, %v", c, run.Water.Drip, run.Water.Brushed, run.Stats)
	}
}
