package thermal

import (
	"fmt"
	"math"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWetChain goes on from the end of random wet runs, on the same mesh, on another
// and with a layer added outside, and finds the water and energy that were left, layer
// by layer, and no less history.
func TestWetChain(t *testing.T) {
	for seed := uint64(40); seed < 60; seed++ {
		c := drawWetCase(seed)
		before, err := c.run()
		require.NoError(t, err, "%v", c)
		same, finer, wrapped := c.dish, c.dish, c.dish
		same.Start, finer.Start = From(before), From(before)
		wrapped.Layers = append(append([]Layer(nil), c.dish.Layers...), Layer{Name: "wrap", Food: materials.MustFind("puff pastry, raw"), Thickness: 2e-3})
		wrapped.Start = From(before).With("wrap", 5)
		finerSettings := c.settings
		finerSettings.Cells = c.settings.Cells*3/2 + 1
		for what, next := range map[string]struct {
			dish Dish
			set  Settings
		}{"same mesh": {same, c.settings}, "finer": {finer, finerSettings}, "wrapped": {wrapped, c.settings}} {
			run := mustRun(t, next.dish, Schedule{{Medium: Room(20), Until: Elapsed(10 * time.Minute)}}, &next.set)
			label := fmt.Sprintf("seed %d, %s", seed, what)
			requireAudits(t, run)
			for _, l := range before.LayerNames() {
				heat, water := heatAndWater(before, l, true)
				heatNow, waterNow := heatAndWater(run, l, false)
				assert.InDelta(t, water, waterNow, 1e-12*water, "%s, %s", label, l)
				// near 0 °C a layer may have next to no energy: a kilojoule is some 0.1 K of it
				assert.InDelta(t, heat, heatNow, 1e-12*(math.Abs(heat)+1e3), "%s, %s", label, l)
			}
			if what != "wrapped" {
				assert.InEpsilon(t, before.Water.End, run.Water.Start, 1e-12, label)
			}
			if what == "same mesh" {
				for i, p := range before.Peaks() {
					assert.GreaterOrEqual(t, run.Peaks()[i], p-1e-9, label)
				}
			}
		}
	}
}

// TestWetChainIsOneRun: a wet run cut in two is the whole run, within the error of
// its steps.
func TestWetChainIsOneRun(t *testing.T) {
	d := standardDish()
	s := standardSchedule()
	set := Settings{Cells: 60, Moisture: true}
	whole := mustRun(t, d, s, &set)
	for _, st := range s {
		run := mustRun(t, d, Schedule{st}, &set)
		requireAudits(t, run)
		if d.Start = From(run); st.Name == s[len(s)-1].Name {
			a, b := whole.End(), run.End()
			for i := range a.temp {
				assert.InDelta(t, a.temp[i], b.temp[i], 5*defaultTolerance, "cell %d", i)
			}
			assert.InEpsilon(t, a.Water(), b.Water(), 1e-4)
		}
	}
}

// TestWetAndDryChain goes from moving water to water at rest and back. Food whose water
// stands still has no room for more than its own, as dew or the juice of others, which
// is left behind; nothing else is. A fat has no water then, and a trace of it again
// where water moves.
func TestWetAndDryChain(t *testing.T) {
	bake := Schedule{{Medium: FanOven(200), Until: Elapsed(20 * time.Minute)}}
	cool := Schedule{{Medium: Refrigerator(4), Until: Elapsed(30 * time.Minute)}}
	for name, foods := range map[string][2]string{"roll": {"lamb loin, cooked", "puff pastry, raw"}, "loaf": {"bread dough, raw", "bread dough, raw"},
		"in fat": {"beef tenderloin, raw", "lard"}} {
		t.Run(name, func(t *testing.T) {
			d := Dish{Shape: geometry.Cylinder{}, Start: Uniform(4), Layers: []Layer{
				{Name: "core", Food: materials.MustFind(foods[0]), Thickness: 15e-3}, {Name: "coat", Food: materials.MustFind(foods[1]), Thickness: 3e-3}}}
			wet, dry := Settings{Cells: 40, Moisture: true}, Settings{Cells: 40}
			first := mustRun(t, d, bake, &wet)
			d.Start = From(first)
			second := mustRun(t, d, cool, &dry)
			d.Start = From(second)
			third := mustRun(t, d, bake, &wet)
			for _, r := range []*Run{first, second, third} {
				requireAudits(t, r)
			}
			var kept, restored float64
			left, again := first.contents().water, second.contents().water
			for i, c := range first.model.mesh.Cells {
				own := first.model.relations[c.Layer].Water()
				kept += math.Min(left[i], own) * c.Volume
				if again[i] == 0 && own == 0 {
					again[i] = first.model.laws[c.Layer].Water(traceActivity)
				}
				restored += again[i] * c.Volume
			}
			assert.InEpsilon(t, kept, second.Water.Start, 1e-9, "wet to dry")
			assert.InEpsilon(t, restored, third.Water.Start, 1e-9, "dry to wet")
			sameTemperatures := func(a, b *State, what string) {
				for i := range a.temp {
					if late := first.books.late; what == "wet to dry" && late != nil && late[i] > 0 {
						continue // juice that was on its way has come in
					}
					// a cell from which steam flows is some 0.1 K above its boiling point
					assert.InDelta(t, a.temp[i], b.temp[i], 0.2, "%s, cell %d", what, i)
				}
			}
			sameTemperatures(first.End(), second.At(0), "wet to dry")
			d.Start = From(first)
			sameTemperatures(mustRun(t, d, cool, &wet).At(0), second.At(0), "wet or dry from wet")
			sameTemperatures(second.End(), third.At(0), "dry to wet")
		})
	}
}

// roast is raw beef alone or with a neighbour, of which the juice is watched.
func roast(layers ...Layer) Dish {
	return Dish{Shape: geometry.Cylinder{}, Start: Uniform(5),
		Layers: append([]Layer{{Name: "meat", Food: materials.MustFind("beef tenderloin, raw"), Thickness: 0.02}}, layers...)}
}

func bath(t float64, d time.Duration) Schedule {
	return Schedule{{Medium: WaterBath(t), Until: Elapsed(d)}}
}

// TestJuiceRemembers: meat that was hot enough once has no juice left for a gentler
// heat; only a fiercer one draws more.
func TestJuiceRemembers(t *testing.T) {
	set := Settings{Cells: 30, Moisture: true}
	chain := func(temps ...float64) (share []float64) {
		d := roast()
		mass := 0.0
		for _, temp := range temps {
			run := mustRun(t, d, bath(temp, 4*time.Hour), &set)
			requireAudits(t, run)
			if mass == 0 {
				mass = run.At(0).Mass()
			}
			assert.Zero(t, run.Water.Evaporated+run.Water.Condensed+run.Water.Steam, "a bath is sealed")
			assert.InDelta(t, run.Lost(), run.Water.Drip, 1e-12)
			share = append(share, run.Water.Drip/mass)
			d.Start = From(run)
		}
		return share
	}
	after60 := chain(60, 5, 50, 60, 70)
	t.Logf("60, 5, 50, 60, 70 °C: lost %.4f of the mass", after60)
	assert.Greater(t, after60[0], 0.1)
	assert.Less(t, after60[1], 1e-3)
	assert.Less(t, after60[2], 1e-3, "reheated to 50 °C")
	assert.Less(t, after60[3], 5e-3, "and to 60 °C")
	assert.Greater(t, after60[4], 0.02, "70 °C draws more")

	after54 := chain(54.4, 5, 54, 60)
	t.Logf("54.4, 5, 54, 60 °C: lost %.4f of the mass", after54)
	assert.Greater(t, after54[0], 0.05)
	assert.Less(t, after54[1]+after54[2], 5e-3)
	assert.Greater(t, after54[3], 5e-3)
	whole := after60[0] + after60[1] + after60[2] + after60[3]
	assert.InDelta(t, whole, after54[0]+after54[1]+after54[2]+after54[3], 5e-3, "either way 60 °C decides")
}

// TestJuiceIsSoakedUp: a layer that absorbs takes up the juice of the meat next to it,
// as far as it has room, and the rest drips; with a film between all of it does. No
// water may pass between them but the juice.
func TestJuiceIsSoakedUp(t *testing.T) {
	crumb := materials.MustFind("breadcrumbs, dry")
	crumb.Transport = &materials.Transport{}
	for _, test := range []struct {
		name string
		room float64 // [kg/kg dry non-fat solids]
		film *Film
	}{
		{"plenty of room", 40, nil}, {"little room", 0.5, nil}, {"no room", 0, nil},
		{"film between", 40, &Film{Permeance: 0}}, {"permeable film between", 40, &Film{Permeance: 1}},
	} {
		t.Run(test.name, func(t *testing.T) {
			crumb.Soak = test.room
			d := roast(Layer{Name: "crumb", Food: crumb, Thickness: 0.004})
			d.Layers[0].Film = test.film
			// the juice of the last step is still on its way at the end, and drips
			s := append(bath(70, 3*time.Hour), bath(70, time.Minute)...)
			run := mustRun(t, d, s, &Settings{Cells: 40, Moisture: true})
			requireAudits(t, run)
			was, is := run.At(0).Layers(), run.End().Layers()
			lost, gained := was[0].Water-is[0].Water, is[1].Water-was[1].Water
			c := crumb.Composition
			room := test.room*(c.Solids()-c.Fat)*was[1].Mass - was[1].Water
			if test.film != nil || room < 0 {
				room = 0
			}
			t.Logf("meat lost %.4f kg, crumb gained %.4f kg of room for %.4f kg, %.4f kg dripped", lost, gained, room, run.Water.Drip)
			assert.Greater(t, lost, 0.1*was[0].Water)
			assert.InDelta(t, math.Min(lost, room), gained, 1e-3*lost)
			assert.InDelta(t, lost-gained, run.Water.Drip, 1e-6*lost)
		})
	}
}

// TestFilmHoldsSteam: water under films that hold a pressure p between them boils at
// the saturation temperature at the surroundings' pressure and p; steam takes the
// easier way. A crumb around it dries and lets the heat in.
func TestFilmHoldsSteam(t *testing.T) {
	for _, test := range []struct {
		name         string
		shape        geometry.Shape
		minutes      time.Duration
		pressure     float64 // [Pa]
		inner, outer *Film
		held         float64 // [Pa] in the water
	}{
		{"no film", geometry.HalfSlab{}, 12, 101325, nil, nil, 0},
		{"loose film", geometry.Cylinder{}, 7, 101325, nil, &Film{Permeance: 1e-9}, 0},
		{"film outside", geometry.HalfSlab{}, 12, 101325, nil, &Film{Holds: 2e4}, 2e4},
		{"film inside", geometry.HalfSlab{}, 12, 101325, &Film{Holds: 2e4}, nil, 2e4},
		{"both", geometry.Sphere{}, 5, 101325, &Film{Holds: 1e4}, &Film{Holds: 3e4}, 4e4},
		{"on a mountain", geometry.Sphere{}, 3, 60e3, nil, &Film{Holds: 5e4}, 5e4},
		{"open underneath", geometry.Slab{}, 5, 101325, &Film{Holds: 1e4}, &Film{Holds: 2e4}, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			d := Dish{Shape: test.shape, Start: Uniform(60), Layers: []Layer{
				{Name: "water", Food: materials.MustFind("water"), Thickness: 4e-3, Film: test.inner},
				{Name: "crumb", Food: materials.MustFind("breadcrumbs, dry"), Thickness: 1e-3, Film: test.outer}}}
			s := Schedule{{Medium: Surroundings{Fluid: 180, H: 60}, Until: Elapsed(test.minutes * time.Minute)}}
			run := mustRun(t, d, s, &Settings{Cells: 24, Moisture: true, Pressure: test.pressure})
			requireAudits(t, run)
			require.Positive(t, run.Water.Steam)
			boils, wet := phasechange.SaturationTemperature(test.pressure+test.held), 0
			end, own := run.End(), run.model.relations[0].Water()
			for i, c := range run.model.mesh.Cells {
				if c.Layer == 0 && end.moist[i].water > own/2 {
					wet++
					assert.InDelta(t, boils, end.temp[i], 0.3, "cell %d", i)
				}
			}
			assert.Greater(t, wet, 3, "cells that are still wet")
		})
	}
}

// TestWaterAtRestKnowsNothingOfMovingWater: with Settings.Moisture false a film, a
// humidity and what moves the water of a food change no bit of a run.
func TestWaterAtRestKnowsNothingOfMovingWater(t *testing.T) {
	for seed := uint64(0); seed < 20; seed++ {
		c := drawWetCase(seed)
		c.settings.Moisture = false
		with, err := c.run()
		require.NoError(t, err, "%v", c)
		plain := c
		plain.dish.Layers = nil
		for _, l := range c.dish.Layers {
			l.Film, l.Food.Holding, l.Food.Transport, l.Food.Soak = nil, nil, nil, 0
			plain.dish.Layers = append(plain.dish.Layers, l)
		}
		still := func(m Medium) Medium {
			s := m.At(0)
			s.Humidity = Humidity{}
			return s
		}
		plain.schedule = nil
		for _, st := range c.schedule {
			st.Medium = still(st.Medium)
			patches := st.Patches
			st.Patches = map[geometry.Patch]Medium{}
			for p, m := range patches {
				st.Patches[p] = still(m)
			}
			plain.schedule = append(plain.schedule, st)
		}
		without, err := plain.run()
		require.NoError(t, err)
		sameWetRun(t, without, with, fmt.Sprintf("seed %d", seed))
		require.Nil(t, with.End().moist)
	}
}

// TestFatThatMeltsInAFewKelvin: where a fat melts, energy rises so steeply with
// temperature that a search for the temperature may lose its way. A dish that nothing
// reaches stays as it is.
func TestFatThatMeltsInAFewKelvin(t *testing.T) {
	for _, food := range []string{"cocoa butter", "coconut oil", "dark chocolate"} {
		for temp := 15.0; temp < 45; temp += 1.7 {
			run := mustRun(t, blockOf(food, 0.01, temp), Schedule{{Medium: Insulated(), Until: Elapsed(time.Minute)}}, &Settings{Cells: 10, Moisture: true})
			for _, s := range []*State{run.At(0), run.End()} {
				for _, v := range s.temp {
					// the table of energies, and the enthalpy of the trace of water in a fat
					require.InDelta(t, temp, v, 0.1, "%s from %g °C at %v", food, temp, s.Time())
				}
			}
		}
	}
}
