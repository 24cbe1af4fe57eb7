package thermal

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// withWater says whether water moves.
func withWater(set Settings, moves bool) Settings {
	set.Moisture = moves
	return set
}

// stillAndMoving runs f with water standing still and with water moving.
func stillAndMoving(t *testing.T, f func(t *testing.T, set Settings)) {
	t.Helper()
	t.Run("heat", func(t *testing.T) { f(t, withWater(Settings{Cells: 50}, false)) })
	t.Run("wet", func(t *testing.T) { f(t, withWater(Settings{Cells: 50}, true)) })
}

// Puff pastry sets between the point where dough softens and where its starch has
// gelatinised (common practice, no source); the ratio is one under a filling.
var puffs = &Rise{Points: []RisePoint{{At: 45, Ratio: 1}, {At: 70, Ratio: 2.2}, {At: 95, Ratio: 3}}}

// risingDish is a filling in pastry that rises.
func risingDish(s geometry.Shape, r *Rise) Dish {
	return Dish{Shape: s, Start: Uniform(5), Layers: []Layer{
		{Name: "filling", Food: materials.MustFind("lamb loin, cooked"), Thickness: 15e-3},
		{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 4e-3, Rise: r},
	}}
}

func requireAudits(t testing.TB, run *Run) {
	t.Helper()
	require.LessOrEqual(t, run.Energy.Relative, 1e-8, "energy: %+v", run.Energy)
	require.LessOrEqual(t, run.Water.Relative, 1e-8, "water: %+v", run.Water)
}

var fourShapes = []geometry.Shape{geometry.Slab{Area: 0.03}, geometry.HalfSlab{Area: 0.02}, geometry.Cylinder{Length: 0.2}, geometry.Sphere{}}

// While a dish rises no energy, water or mass goes astray; every cell has the
// thickness of its peak temperature, short by less than what is not noticeable; and
// what has risen stays so while it cools.
func TestRiseKeepsTheAccounts(t *testing.T) {
	s := Schedule{
		{Name: "bake", Medium: FanOven(200), Until: Elapsed(16 * time.Minute)},
		{Name: "cool", Medium: Room(20), Until: Elapsed(15 * time.Minute)},
	}
	for _, shape := range fourShapes {
		stillAndMoving(t, func(t *testing.T, set Settings) {
			d := risingDish(shape, puffs)
			thickest := d.Layers[1].Thickness
			set.Progress = func(s *State) {
				now := s.Layers()[1].Thickness
				require.GreaterOrEqual(t, now, thickest*(1-1e-12), "fell at %v", s.Time())
				thickest = now
			}
			run := simulate(t, d, s, set)
			requireAudits(t, run)
			start, end := run.At(0), run.End()
			lost := start.Mass() - end.Mass()
			require.InDelta(t, run.Lost(), lost, 1e-8*start.Mass())
			require.Positive(t, lost)
			first, past := end.model.mesh.Span(1)
			want := 0.0
			for i := first; i < past; i++ {
				c := end.model.mesh.Cells[i]
				ratio := puffs.ratio(run.Peaks()[i])
				require.LessOrEqual(t, run.final.ratio[i], ratio)
				require.GreaterOrEqual(t, run.final.ratio[i], ratio/(1+noticeable))
				want += (c.Outer - c.Inner) * ratio
			}
			got := end.Layers()
			require.InEpsilon(t, want, got[1].Thickness, 1.1*noticeable)
			require.Greater(t, got[1].Thickness, 1.5*d.Layers[1].Thickness, "it did rise")
			require.InEpsilon(t, d.Layers[0].Thickness, got[0].Thickness, 1e-12, "the filling did not")
			t.Logf("%v: %.2f mm from 4, energy off by %.0e, water by %.0e, %v", shape, got[1].Thickness*1e3, run.Energy.Relative, run.Water.Relative, run.Stats)
		})
	}
}

// A layer that rises inside of another, with a film on it, widens the film and what
// lies around it.
func TestRiseInside(t *testing.T) {
	d := Dish{Shape: geometry.Cylinder{Length: 0.2}, Start: Uniform(20), Layers: []Layer{
		{Name: "dough", Food: materials.MustFind("bread dough, raw"), Thickness: 10e-3, Film: &Film{Permeance: 1e-9}, Rise: &Rise{Against: RunTime, Points: []RisePoint{{0, 1}, {600, 2}}}},
		{Name: "paste", Food: materials.MustFind("tomato paste"), Thickness: 3e-3},
	}}
	stillAndMoving(t, func(t *testing.T, set Settings) {
		run := simulate(t, d, convecting(FanOven(160), 1200), set)
		requireAudits(t, run)
		got := run.End().Layers()
		assert.InEpsilon(t, 20e-3, got[0].Thickness, noticeable)
		assert.InEpsilon(t, 3e-3, got[1].Thickness, 1e-9)
		assert.InEpsilon(t, 2*math.Pi*23e-3*0.2, run.End().mesh.Surfaces[0].Area, noticeable, "the oven meets a wider roll")
	})
}

// Heat that flows steadily through risen layers is that of their thickness now: in
// closed form, for a conductivity that does not change with the pores.
//
//	slab      q = ΔT/(1/h1 + ratio d/k + contact + 1/h2)
//	cylinder  q = ΔT/(ln(r1/r0)/(2π k) + 1/(2π r1 h)),  r1 = r0 + ratio d
//	sphere    q = ΔT/((1/r0 - 1/r1)/(4π k) + 1/(4π r1² h))
func TestRiseSteadyFlow(t *testing.T) {
	const (
		k, thickness, ratio, contact   = 0.21, 0.005, 3.4, 2e-3
		below, hBelow, above, hAbove   = 150.0, 80.0, -20.0, 12.0
		core, coreTemp, outside, hCore = 0.03, 60.0, 200.0, 25.0
	)
	byTime := &Rise{Against: RunTime, Points: []RisePoint{{60, 1}, {1800, ratio}}}
	set := Settings{Cells: 40, Tolerance: 1e-3}
	t.Run("slab", func(t *testing.T) {
		stillAndMoving(t, func(t *testing.T, set Settings) {
			d := one(geometry.Slab{}, constant(t, 2000, k), thickness, Uniform(20))
			d.Layers[0].Contact, d.Layers[0].Rise = contact, byTime
			run := simulate(t, d, Schedule{{Medium: Surroundings{Fluid: above, H: hAbove}, Until: Elapsed(duration(20 * hour)),
				Patches: map[geometry.Patch]Medium{geometry.Underside: Surroundings{Fluid: below, H: hBelow}}}}, set)
			end := run.End()
			thick := risenTo(t, run, 0, ratio) * thickness
			q := (below - above) / (1/hBelow + thick/k + contact + 1/hAbove)
			assert.InEpsilon(t, q, hBelow*(below-end.skins[0]), 1e-6)
			assert.InEpsilon(t, q, (end.skins[1]-above)/(contact+1/hAbove), 1e-6)
			assert.InDelta(t, below-q/hBelow-q*thick/k/2, at(t, run, Centre(), 20*hour), 1e-4, "half way through")
		})
	})
	for name, c := range map[string]struct {
		shape    geometry.Shape
		conducts func(r1 float64) float64 // [K/W]
		area     func(r1 float64) float64 // [m²]
	}{
		"cylinder": {geometry.Cylinder{}, func(r1 float64) float64 { return math.Log(r1/core) / (2 * math.Pi * k) }, func(r1 float64) float64 { return 2 * math.Pi * r1 }},
		"sphere":   {geometry.Sphere{}, func(r1 float64) float64 { return (1/core - 1/r1) / (4 * math.Pi * k) }, func(r1 float64) float64 { return 4 * math.Pi * r1 * r1 }},
	} {
		t.Run(name, func(t *testing.T) {
			// a core of endless heat capacity holds its temperature
			d := Dish{Shape: c.shape, Start: Uniform(coreTemp), Layers: []Layer{
				{Name: "core", Food: constant(t, 1e13, 1e12), Thickness: core, Cells: 3},
				{Name: "dough", Food: constant(t, 2000, k), Thickness: thickness, Rise: byTime},
			}}
			run := simulate(t, d, convecting(Surroundings{Fluid: outside, H: hCore}, 10*hour), set)
			r1 := core + risenTo(t, run, 1, ratio)*thickness
			passes := 1 / (hCore * c.area(r1))
			want := (outside - coreTemp) / (c.conducts(r1) + passes)
			skin := at(t, run, Skin(), 10*hour)
			assert.InEpsilon(t, want, (outside-skin)/passes, 1e-6)
		})
	}
}

// risenTo is the ratio of a layer that rose by the clock to a last one, which it may
// miss by what is not noticeable.
func risenTo(t testing.TB, run *Run, layer int, last float64) float64 {
	t.Helper()
	l := run.Dish.Layers[layer]
	ratio := run.End().Layers()[layer].Thickness / l.Thickness
	require.LessOrEqual(t, ratio, last*(1+1e-7))
	require.GreaterOrEqual(t, ratio, last/(1+noticeable))
	return ratio
}

// The pores that open take part: a dry dough at rest around the temperature that
// risen and unrisen food are compared at conducts as the same food does with the
// pores of its new thickness, joined up.
func TestRiseConductsThroughPores(t *testing.T) {
	food := materials.Food{Name: "dry dough", Structure: materials.Compact, Porosity: 0.1,
		Composition: materials.Composition{Protein: 0.12, Carbohydrate: 0.68, Fat: 0.2}}
	const thickness, h = 0.01, 500.0
	for _, ratio := range []float64{1.25, 2, 5} {
		puffed := food
		puffed.Porosity = 1 - (1-food.Porosity)/ratio
		puffed.Structure = materials.OpenPores
		k := puffed.Conductivity(riseTemperature, 0, 0)
		if ratio < 1.5 { // half of the way from the structure of the raw food
			puffed.Structure = food.Structure
			k = (k + puffed.Conductivity(riseTemperature, 0, 0)) / 2
		}
		d := one(geometry.Slab{}, food, thickness, Uniform(riseTemperature))
		d.Layers[0].Rise = &Rise{Against: RunTime, Points: []RisePoint{{0, 1}, {1200, ratio}}}
		run := simulate(t, d, Schedule{{Medium: Surroundings{Fluid: riseTemperature - 5, H: h}, Until: Elapsed(duration(30 * hour)),
			Patches: map[geometry.Patch]Medium{geometry.Underside: Surroundings{Fluid: riseTemperature + 5, H: h}}}}, Settings{Cells: 40, Tolerance: 1e-3})
		got := h * (riseTemperature + 5 - run.End().skins[0])
		want := 10 / (2/h + ratio*thickness/k)
		t.Logf("ratio %g: %.4f W/m², closed form %.4f; unrisen %.4f W/(m K), risen %.4f", ratio, got, want, food.Conductivity(riseTemperature, 0, 0), k)
		assert.InEpsilon(t, want, got, 0.01, "the grid of conductivities is good to 1 % where there is little water")
	}
}

// Pastry that rises keeps the filling cooler: it is thicker and full of air.
func TestRiseSlowsTheCentre(t *testing.T) {
	stillAndMoving(t, func(t *testing.T, set Settings) {
		var took [2]time.Duration
		for i, r := range []*Rise{nil, puffs} {
			run := simulate(t, risingDish(geometry.HalfSlab{}, r), Schedule{{Medium: FanOven(200), Until: Above(Centre(), 55)}}, set)
			requireAudits(t, run)
			took[i] = run.Duration()
		}
		t.Logf("55 °C in the centre after %v unrisen, %v risen", took[0].Round(time.Second), took[1].Round(time.Second))
		assert.Greater(t, took[1], took[0]*5/4)
	})
}

// By the clock of the run or by the peak: at a temperature that rises evenly both
// can say the same.
func TestRiseAgainst(t *testing.T) {
	food := constant(t, 2000, 50) // of one temperature all through
	d := one(geometry.Slab{}, food, 0.004, Uniform(20))
	heating := MediumFunc(func(t time.Duration) Surroundings { return Surroundings{Fluid: 20 + t.Minutes(), H: 1e5} })
	var at [2][]float64
	for i, r := range []*Rise{
		{Against: RunTime, Points: []RisePoint{{20 * 60, 1}, {60 * 60, 5}}},
		{Against: PeakTemperature, Points: []RisePoint{{40, 1}, {80, 5}}},
	} {
		d.Layers[0].Rise = r
		run := simulate(t, d, convecting(heating, 1.5*hour), Settings{Cells: 20})
		for s := range run.Each(5 * time.Minute) {
			at[i] = append(at[i], s.Layers()[0].Thickness)
		}
	}
	// it rises by a tenth of its thickness a minute, and a step may last that long
	require.InDeltaSlice(t, at[0], at[1], 0.0004*1.05)
	assert.InDelta(t, 0.004, at[0][4], 1e-12)
	assert.InDelta(t, 0.004*3, at[0][8], 0.0004*1.05, "half way at 40 minutes")
	assert.InEpsilon(t, 0.020, at[0][18], 1.1*noticeable)
}

// A dough that rises by the clock does so too where nothing else happens for which
// the solver would take short steps.
func TestRiseByTheClockAtRest(t *testing.T) {
	stillAndMoving(t, func(t *testing.T, set Settings) {
		d := risingDish(geometry.HalfSlab{}, &Rise{Against: RunTime, Points: []RisePoint{{0, 1}, {2 * hour, 2}}})
		run := simulate(t, d, convecting(Insulated(), 5*hour), set)
		for s := range run.Each(10 * time.Minute) {
			want := 4e-3 * (1 + math.Min(1, s.Time().Hours()/2))
			require.InDelta(t, want, s.Layers()[1].Thickness, 0.02*4e-3, "after %v", s.Time())
		}
		require.Less(t, run.Stats.Steps, 200)
	})
}

// What a run tells while it goes and what it tells afterwards are the same dish.
func TestRiseAtAgreesWithProgress(t *testing.T) {
	stillAndMoving(t, func(t *testing.T, set Settings) {
		type seen struct {
			at              time.Duration
			thickness, mass float64
			skin, centre    float64
		}
		look := func(s *State) seen {
			skin, err := s.Temperature(Skin())
			require.NoError(t, err)
			centre, err := s.Temperature(Centre())
			require.NoError(t, err)
			return seen{s.Time(), s.Layers()[1].Thickness, s.Mass(), skin, centre}
		}
		var then []seen
		set.Progress = func(s *State) { then = append(then, look(s)) }
		run := simulate(t, risingDish(geometry.Cylinder{Length: 0.2}, puffs), convecting(FanOven(200), 900), set)
		var worst seen
		for _, s := range then {
			now := look(run.At(s.at))
			worst.thickness = math.Max(worst.thickness, math.Abs(now.thickness/s.thickness-1))
			worst.mass = math.Max(worst.mass, math.Abs(now.mass/s.mass-1))
			worst.skin = math.Max(worst.skin, math.Abs(now.skin-s.skin))
			worst.centre = math.Max(worst.centre, math.Abs(now.centre-s.centre))
		}
		t.Logf("%d steps, at most apart: thickness %.1e, mass %.1e, skin %.1e K, centre %.1e K", len(then), worst.thickness, worst.mass, worst.skin, worst.centre)
		assert.LessOrEqual(t, worst.thickness, 1e-6)
		assert.LessOrEqual(t, worst.mass, 1e-7)
		// while it goes on cells are as Newton's last, linear update left them
		assert.LessOrEqual(t, worst.skin, 0.01)
		assert.LessOrEqual(t, worst.centre, 0.01)
		before := 0.0
		for s := range run.Each(10 * time.Second) {
			now := s.Layers()[1].Thickness
			require.GreaterOrEqual(t, now, before)
			before = now
		}
	})
}

// Risen once, a layer stays so through a chain of runs, colder ones too, on another
// mesh and under a layer added outside; and goes on from there where it gets hotter.
func TestRiseIsCarriedOn(t *testing.T) {
	for _, shape := range fourShapes {
		stillAndMoving(t, func(t *testing.T, set Settings) {
			d := risingDish(shape, puffs)
			baked := simulate(t, d, convecting(FanOven(180), 500), set)
			crust := baked.End().Layers()[1].Thickness
			require.Greater(t, crust, 1.25*d.Layers[1].Thickness)

			d.Start = From(baked)
			frozen := simulate(t, d, convecting(BlastFreezer(-30), hour), set)
			requireAudits(t, frozen)
			require.InEpsilon(t, crust, frozen.At(0).Layers()[1].Thickness, 1e-6)
			require.Less(t, frozen.Stats.Steps, 300)
			// its hot outside may still warm its inside
			require.GreaterOrEqual(t, frozen.End().Layers()[1].Thickness, crust*(1-1e-6))
			require.Less(t, frozen.End().Layers()[1].Thickness, crust*1.05)
			crust = frozen.End().Layers()[1].Thickness

			coated := d
			coated.Layers = append(append([]Layer(nil), d.Layers...), Layer{Name: "coat", Food: materials.MustFind("butter"), Thickness: 1e-3})
			coated.Start = From(frozen).With("coat", 5)
			finer := set
			finer.Cells = 70
			warm := simulate(t, coated, convecting(FanOven(120), 300), finer)
			requireAudits(t, warm)
			layers := warm.At(0).Layers()
			require.InEpsilon(t, crust, layers[1].Thickness, 0.01, "means over other cells")
			require.InEpsilon(t, 1e-3, layers[2].Thickness, 1e-12)
			require.InDelta(t, frozen.End().Mass(), layers[0].Mass+layers[1].Mass, 1e-7)

			d.Start = From(frozen)
			again := simulate(t, d, convecting(FanOven(220), 1500), set)
			require.Greater(t, again.End().Layers()[1].Thickness, 1.1*crust)
			requireAudits(t, again)
		})
	}
}

// A dish that goes on without the Rise it had would fall: that is refused.
func TestRiseDoesNotFallByBeingLeftOut(t *testing.T) {
	d := risingDish(geometry.HalfSlab{}, puffs)
	baked := simulate(t, d, convecting(FanOven(180), 600), Settings{Cells: 30})
	require.Greater(t, baked.End().Layers()[1].Thickness, 1.5*d.Layers[1].Thickness)
	d.Start, d.Layers[1].Rise = From(baked), nil
	_, err := Simulate(context.Background(), d, convecting(Room(20), 60), &Settings{Cells: 30})
	var fault *InputError
	require.ErrorAs(t, err, &fault)
	assert.Contains(t, fault.Error(), `layer 2 ("crust")`)
}

// Points may say that a layer has risen from the start, or never does.
func TestRiseFromTheStart(t *testing.T) {
	stillAndMoving(t, func(t *testing.T, set Settings) {
		for ratio, name := range map[float64]string{1: "never", 2.5: "from the start", 20: "much"} {
			d := risingDish(geometry.HalfSlab{}, &Rise{Points: []RisePoint{{0, ratio}}})
			run := simulate(t, d, convecting(Room(40), 60), set)
			assert.InEpsilon(t, 4e-3*ratio, run.At(0).Layers()[1].Thickness, 1e-6, name)
			assert.InEpsilon(t, 4e-3*ratio, run.End().Layers()[1].Thickness, 1e-6, name)
			requireAudits(t, run)
		}
		// one that could and does not is the same run, to the last bit
		plain := simulate(t, risingDish(geometry.Sphere{}, nil), convecting(FanOven(180), 600), set)
		idle := simulate(t, risingDish(geometry.Sphere{}, &Rise{Points: []RisePoint{{0, 1}}}), convecting(FanOven(180), 600), set)
		assert.Equal(t, plain.final.u, idle.final.u)
		assert.Equal(t, plain.Stats, idle.Stats)
	})
}

func TestRiseRatio(t *testing.T) {
	for x, want := range map[float64]float64{-300: 1, 45: 1, 57.5: 1.6, 70: 2.2, 82.5: 2.6, 95: 3, 400: 3} {
		assert.InDelta(t, want, puffs.ratio(x), 1e-12, "at %g °C", x)
	}
	one := &Rise{Points: []RisePoint{{50, 2}}}
	assert.Equal(t, []float64{2, 2, 2}, []float64{one.ratio(-10), one.ratio(50), one.ratio(90)})
}

func TestRiseFaults(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		rise Rise
		says string
	}{
		"no points":         {Rise{}, "points of the rise 0"},
		"too many":          {Rise{Points: make([]RisePoint, 1001)}, "points of the rise 1001"},
		"against what":      {Rise{Against: 7, Points: []RisePoint{{0, 1}}}, "quantity the rise goes by 7"},
		"falls":             {Rise{Points: []RisePoint{{40, 3}, {90, 2}}}, "ratio at point 2 of the rise 2"},
		"back in time":      {Rise{Points: []RisePoint{{40, 1}, {30, 2}}}, "point 2 of the rise 30"},
		"twice at one":      {Rise{Points: []RisePoint{{40, 1}, {40, 2}}}, "point 2 of the rise 40"},
		"at NaN":            {Rise{Points: []RisePoint{{nan, 1}}}, "point 1 of the rise NaN"},
		"at infinity":       {Rise{Points: []RisePoint{{0, 1}, {inf, 2}}}, "point 2 of the rise +Inf"},
		"ratio NaN":         {Rise{Points: []RisePoint{{0, 1}, {50, nan}}}, "ratio at point 2 of the rise NaN"},
		"shrinks":           {Rise{Points: []RisePoint{{0, 0.5}}}, "ratio at point 1 of the rise 0.5"},
		"bursts":            {Rise{Points: []RisePoint{{0, 1}, {90, 50}}}, "ratio at point 2 of the rise 50"},
		"negative":          {Rise{Points: []RisePoint{{0, -1}}}, "ratio at point 1 of the rise -1"},
		"below what can be": {Rise{Points: []RisePoint{{-400, 1}}}, "point 1 of the rise -400"},
	} {
		t.Run(name, func(t *testing.T) {
			stillAndMoving(t, func(t *testing.T, set Settings) {
				_, err := Simulate(context.Background(), risingDish(geometry.Slab{}, &c.rise), convecting(Room(20), 60), &set)
				var fault *InputError
				require.ErrorAs(t, err, &fault)
				assert.Equal(t, `layer 2 ("crust")`, fault.Place)
				assert.Contains(t, fmt.Sprint(err), c.says)
			})
		})
	}
}
