package oven

import (
	"context"
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

func pie(cells ...thermal.Layer) thermal.Dish {
	return thermal.Dish{Shape: geometry.Slab{Area: 0.03}, Start: thermal.Uniform(-18), Layers: append(cells,
		thermal.Layer{Name: "base", Food: materials.MustFind("bread dough, raw"), Thickness: 0.01},
		thermal.Layer{Name: "beef", Food: materials.MustFind("beef mince, cooked"), Thickness: 0.02})}
}

func under(m thermal.Medium) map[geometry.Patch]thermal.Medium {
	return map[geometry.Patch]thermal.Medium{geometry.Underside: m}
}

// Both accounts close over random ovens, trays, doors and dishes, wet and dry.
func TestAudit(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	pick := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	solids := []Solid{Aluminium, DarkAluminium, CarbonSteel, StainlessSteel, CastIron, Stone, Glass}
	worst, worstDish := 0.0, 0.0
	for i := range 24 {
		o := []*Oven{DomesticStill(), DomesticFan(), Combi(), Deck(), Freezer(), Refrigerator(), BlastChiller()}[r.IntN(7)]
		if i%3 > 0 {
			o = o.Warmed(pick(-10, 230))
		}
		o.Power *= pick(0.7, 2)
		o.Air *= pick(0.3, 2)
		o.Exchange *= pick(0.7, 2)
		if r.IntN(2) == 0 {
			o.Thermostat = Thermostat{Band: pick(1, 20)}
		}
		first, second := pick(120, 200), pick(60, 120)
		if o.Cools {
			first, second = pick(-15, 10), pick(-15, 10)
		}
		if r.IntN(2) == 0 {
			o.Tray = &Tray{Solid: solids[r.IntN(len(solids))], Thickness: pick(0.001, 0.02), Area: 0.1, Covered: 0.03, Contact: pick(0.001, 0.02), Start: pick(0, 250)}
		}
		door := &Setting{Oven: o, To: second, FanOff: r.IntN(2) == 0, Steam: []float64{0, 1e-4}[r.IntN(2)],
			Openings: []Opening{{0, time.Minute}, {5 * time.Minute, 20 * time.Second}}}
		a, b := stage(o.At(first), 10*time.Minute), stage(door, 15*time.Minute)
		if o.Tray != nil {
			a.Patches, b.Patches = under(o.At(first).OnTray()), under(door.OnTray())
			a.Patches = under(a.Medium.(*Setting).OnTray())
		}
		dish := pie()
		dish.Start = thermal.Uniform(pick(-25, 30))
		run, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{a, b}, &thermal.Settings{Moisture: i%2 == 0, Cells: 30})
		require.NoError(t, err, "%d: %+v", i, o)
		body := run.Bodies[0]
		worst, worstDish = max(worst, body.Relative), max(worstDish, run.Energy.Relative)
		assert.NotZero(t, body.Given, i)
		assert.NotZero(t, body.Taken, i)
	}
	t.Logf("accounts: ovens %.1e, dishes %.1e", worst, worstDish)
	assert.Less(t, worst, 1e-8)
	assert.Less(t, worstDish, 1e-8)
}

// Without moving water the dish's heat is the oven's loss, joule for joule.
func TestTakenIsGiven(t *testing.T) {
	o := DomesticFan().Warmed(200)
	run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{stage(o.At(200), 20*time.Minute)}, nil)
	require.NoError(t, err)
	assert.InEpsilon(t, run.Energy.In, run.Bodies[0].Taken, 1e-12)
}

// The same input gives the same bits, whoever else uses the oven at the time, and leaves
// the oven as it is.
func TestOneOvenTwoRuns(t *testing.T) {
	o := DomesticFan().Warmed(200)
	o.Tray = &Tray{Solid: Stone, Thickness: 0.015, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 200}
	copied, tray := *o, *o.Tray
	s := o.At(200)
	var ends [3][]float64
	var group sync.WaitGroup
	for i := range ends {
		group.Go(func() {
			run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{{Medium: s, Patches: under(s.OnTray()), Until: thermal.Elapsed(10 * time.Minute)}}, &thermal.Settings{Moisture: true})
			if assert.NoError(t, err) {
				ends[i] = append(run.Bodies[0].State, run.Peaks()...)
				run.At(5 * time.Minute)
			}
		})
	}
	group.Wait()
	assert.Equal(t, ends[0], ends[1])
	assert.Equal(t, ends[0], ends[2])
	assert.True(t, reflect.DeepEqual(copied, *o) && tray == *o.Tray)
}

// A schedule in two runs, the second in the oven as the first left it, is the schedule in
// one run.
func TestAfter(t *testing.T) {
	o := DomesticStill().Warmed(200)
	o.Tray = &Tray{Solid: CarbonSteel, Thickness: 0.006, Area: 0.12, Covered: 0.03, Contact: 0.002, Start: 200}
	sim := func(d thermal.Dish, stages ...thermal.Stage) *thermal.Run {
		run, err := thermal.Simulate(context.Background(), d, stages, &thermal.Settings{Moisture: true})
		require.NoError(t, err)
		return run
	}
	at := func(o *Oven, to float64, d time.Duration) thermal.Stage {
		s := o.At(to)
		return thermal.Stage{Medium: s, Patches: under(s.OnTray()), Until: thermal.Elapsed(d)}
	}
	whole := sim(pie(), at(o, 200, 15*time.Minute), at(o, 85, 15*time.Minute))
	one := sim(pie(), at(o, 200, 15*time.Minute))
	left := o.After(one)
	dish := pie()
	dish.Start = thermal.From(one)
	two := sim(dish, at(left, 85, 15*time.Minute))
	a, b := o.Read(whole, 30*time.Minute), left.Read(two, 15*time.Minute)
	assert.InDelta(t, a.Air, b.Air, 0.05)
	assert.InDelta(t, a.Walls, b.Walls, 0.05)
	assert.InDelta(t, a.Tray[0], b.Tray[0], 0.05)
	assert.InDelta(t, a.Vapour, b.Vapour, 1e-3)
	assert.Equal(t, o.Read(one, one.Duration()).Air, left.Read(two, 0).Air)
	assert.Zero(t, left.Read(two, 0).Delivered)
	left.Tray = &Tray{Solid: CarbonSteel, Thickness: 0.006, Area: 0.12, Covered: 0.03, Contact: 0.002, Start: 20}
	assert.Equal(t, []float64{20}, left.Read(sim(dish, at(left, 85, time.Minute)), 0).Tray, "another tray is as cold as it is")
	assert.Equal(t, 200.0, DomesticFan().Warmed(200).After(one).Start, "a run in another oven leaves none")
}

// The past of a run is read amid the oven as it was then, not as it ended.
func TestPastSurroundings(t *testing.T) {
	o := DomesticFan().Warmed(220)
	var skins []float64
	var times []time.Duration
	run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{stage(o.At(220), 10*time.Minute), stage(o.Off(), time.Hour)},
		&thermal.Settings{Progress: func(s *thermal.State) {
			x, _ := s.Temperature(thermal.Skin())
			skins, times = append(skins, x), append(times, s.Time())
		}})
	require.NoError(t, err)
	for i := 5; i < len(skins); i += 7 {
		then, err := run.Temperature(thermal.Skin(), times[i])
		require.NoError(t, err)
		assert.InDelta(t, skins[i], then, 0.02, "%v", times[i])
	}
}

// What a patch met is the oven as it was, on both sides of a jump.
func TestSurroundings(t *testing.T) {
	o := DomesticFan().Warmed(220)
	o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 20}
	hot := o.At(220)
	run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{{Medium: hot, Patches: under(hot.OnTray()), Until: thermal.Elapsed(10 * time.Minute)},
		stage(thermal.Room(25), time.Minute)}, nil)
	require.NoError(t, err)
	for at := time.Duration(0); at <= 10*time.Minute; at += 90 * time.Second {
		top, err := run.Surroundings(geometry.Top, at)
		require.NoError(t, err)
		below, err := run.Surroundings(geometry.Underside, at)
		require.NoError(t, err)
		r := o.Read(run, at)
		assert.Equal(t, []float64{r.Air, r.Walls, r.Tray[0]}, []float64{top.Fluid, top.Walls, below.Fluid})
	}
	room, err := run.Surroundings(geometry.Top, time.Hour)
	require.NoError(t, err)
	assert.Equal(t, thermal.Room(25), room)
	_, err = run.Surroundings("lid", 0)
	assert.ErrorContains(t, err, `patch "lid"`)
	_, err = new(thermal.Run).Surroundings(geometry.Top, 0)
	assert.Error(t, err)
}

// Oil below and an oven above: two bodies at once, each with its own account.
func TestTwoBodies(t *testing.T) {
	o, b := DomesticStill().Warmed(200), Fryer()
	b.Start = 170
	run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{{Medium: o.At(200), Patches: under(b.At(170)), Until: thermal.Elapsed(10 * time.Minute)}},
		&thermal.Settings{Moisture: true})
	require.NoError(t, err)
	require.Len(t, run.Bodies, 2)
	for _, x := range run.Bodies {
		assert.Less(t, x.Relative, 1e-10)
		assert.Positive(t, x.Taken)
	}
	assert.InEpsilon(t, run.Energy.In-run.Energy.Steam, run.Bodies[0].Taken+run.Bodies[1].Taken, 1e-9)
}

// Thermostats and air that no appliance has cost time, but neither hang nor blow up.
func TestNervousOvens(t *testing.T) {
	for name, change := range map[string]func(*Oven){
		"relay": func(o *Oven) { o.Thermostat.Hysteresis = 1e-9 },
		"light": func(o *Oven) { o.Air, o.Volume = 1, 1e-3 },
		"both":  func(o *Oven) { o.Air, o.Heater, o.HeaterConductance, o.Thermostat.Hysteresis = 1, 10, 5, 1e-9 },
		"stiff": func(o *Oven) { o.Exchange, o.Walls, o.Air, o.Power, o.HeaterConductance = 1e6, 3e6, 1, 1e5, 100 },
		"gale":  func(o *Oven) { o.Vent, o.Power, o.HeaterConductance, o.Heater = 1.5, 1e6, 1e3, 4e3 },
	} {
		o := DomesticFan()
		change(o)
		run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{stage(o.At(100), 5*time.Minute)}, nil)
		if assert.NoError(t, err, name) {
			assert.Less(t, run.Bodies[0].Relative, 1e-8, name)
			r := o.Read(run, 5*time.Minute)
			assert.True(t, r.Air > 20 && r.Air < 400, "%s: %g", name, r.Air)
			t.Log(name, r, run.Stats)
		}
	}
}

func TestExport(t *testing.T) {
	o := DomesticFan()
	run := empty(t, stage(o.At(100), time.Minute))
	text, err := json.Marshal(run)
	require.NoError(t, err)
	var got struct {
		Bodies []struct {
			Given float64 `json:"given_J"`
		} `json:"bodies"`
	}
	require.NoError(t, json.Unmarshal(text, &got))
	require.Len(t, got.Bodies, 1)
	assert.Equal(t, run.Bodies[0].Given, got.Bodies[0].Given)
}

// A moist dish in an oven without a fresh air vent fills the air with its vapour.
func TestVapour(t *testing.T) {
	wet := func(vent float64) Reading {
		o := DomesticFan().Warmed(150)
		o.Vent = vent
		run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{stage(o.At(150), 25*time.Minute)}, &thermal.Settings{Moisture: true})
		require.NoError(t, err)
		return o.Read(run, 25*time.Minute)
	}
	tight, vented := wet(1e-5), wet(2e-3)
	assert.Greater(t, tight.Vapour, 3*vented.Vapour)
	assert.Greater(t, vented.Vapour, 1.5*DomesticFan().RoomVapour)
}

// Steam that is let in neither heats nor cools the air, and leaves with what the vent
// lets out: x = (steam + fresh x_room)/(steam + fresh) of moles, once it has long come.
func TestSteamLetIn(t *testing.T) {
	read := func(steam float64) Reading {
		o := DomesticFan().Warmed(200)
		run := empty(t, stage(&Setting{Oven: o, To: 200, Steam: steam}, 10*time.Minute))
		return o.Read(run, 10*time.Minute)
	}
	dry, moist := read(0), read(1e-3)
	steam, fresh := 1e-3/waterMolar, DomesticFan().Vent/airMolar
	assert.InDelta(t, (steam+fresh*dry.Vapour)/(steam+fresh), moist.Vapour, 1e-5)
	moist.Vapour = dry.Vapour
	assert.Equal(t, dry, moist)
}

// Pressure is that of the settings: the same mole fraction is less vapour on a mountain.
func TestPressure(t *testing.T) {
	o := DomesticFan().Warmed(150)
	s := o.At(150)
	state := make([]float64, s.Size())
	s.Begin(state, 70e3)
	assert.Equal(t, thermal.VapourPressure(0.0115*70e3), s.Meets(airPort, state, 0).Humidity)
	_, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{stage(s, 10*time.Minute)}, &thermal.Settings{Moisture: true, Pressure: 70e3})
	require.NoError(t, err)
}

// A step of the oven's own takes nothing from the heap.
func TestAdvanceDoesNotAllocate(t *testing.T) {
	o := Combi().Warmed(200)
	o.Tray = &Tray{Solid: Stone, Thickness: 0.02, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 20}
	s := o.At(200)
	state := make([]float64, s.Size())
	s.Begin(state, 101325)
	dish := []thermal.Exchange{{Port: airPort, Area: 0.05, Surface: 60, Water: 1e-5}, {Port: trayPort, Area: 0.03, Surface: 40}}
	assert.Zero(t, testing.AllocsPerRun(10, func() { s.Advance(state, 0, 10, dish) }))
	assert.Zero(t, testing.AllocsPerRun(10, func() { s.Meets(airPort, state, 0) }))
}

// Nor does a step of a dish in it, water moving or not: a hundred steps more cost a few
// allocations, for what the run keeps.
func TestNoAllocationPerStep(t *testing.T) {
	for _, moist := range []bool{false, true} {
		count := func(tolerance float64) (allocs float64, steps int) {
			o := Combi().Warmed(200)
			o.Tray = &Tray{Solid: Stone, Thickness: 0.02, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 20}
			s := o.At(200)
			schedule := thermal.Schedule{{Medium: s, Patches: under(s.OnTray()), Until: thermal.Elapsed(2 * time.Hour)}}
			allocs = testing.AllocsPerRun(2, func() {
				run, err := thermal.Simulate(context.Background(), pie(), schedule, &thermal.Settings{Moisture: moist, Cells: 30, Tolerance: tolerance})
				require.NoError(t, err)
				steps = run.Stats.Steps
			})
			return allocs, steps
		}
		coarse, few := count(0.3)
		fine, many := count(0.01)
		require.Greater(t, many, few+150)
		perStep := (fine - coarse) / float64(many-few)
		t.Logf("moist %v: %.3f allocations a step (%d against %d steps)", moist, perStep, many, few)
		assert.Less(t, perStep, 0.1)
	}
}

// What a setting says it is at first is that at standard pressure.
func TestFirstHumidity(t *testing.T) {
	o := DomesticFan().Warmed(150)
	assert.Equal(t, thermal.VapourPressure(0.0115*101325), o.At(150).At(0).Humidity)
	run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{stage(o.At(150), time.Second)}, &thermal.Settings{Moisture: true})
	require.NoError(t, err)
	met, err := run.Surroundings(geometry.Top, 0)
	require.NoError(t, err)
	assert.Equal(t, o.At(150).At(0), met)
	// air full of vapour at the pressure of a mountain is not refused for what it would be here
	wet := DomesticFan().Warmed(150)
	wet.RoomVapour = 0.2
	_, err = thermal.Simulate(context.Background(), pie(), thermal.Schedule{stage(&Setting{Oven: wet, To: 150, Steam: 1e-2}, time.Minute)}, &thermal.Settings{Moisture: true, Pressure: 60e3})
	require.NoError(t, err)
}

func BenchmarkLoadedOven(b *testing.B) {
	o := DomesticFan().Warmed(200)
	o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 20}
	s := o.At(200)
	for b.Loop() {
		run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{{Medium: s, Patches: under(s.OnTray()), Until: thermal.Elapsed(30 * time.Minute)}}, nil)
		require.NoError(b, err)
		b.ReportMetric(float64(run.Stats.Steps), "steps")
	}
}

// An oven with its thermostat, a tray and a load costs at most three times the steps of
// surroundings that stay as they are; where water stands still the surface is as good, too.
func TestFollowedCheaply(t *testing.T) {
	for name, o := range map[string]*Oven{"still": DomesticStill(), "fan": DomesticFan(), "combi": Combi()} {
		o = o.Warmed(220)
		o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 20}
		for _, moist := range []bool{false, true} {
			sim := func(hot, low, hotTray, lowTray thermal.Medium, tolerance float64) *thermal.Run {
				a, b := stage(hot, 30*time.Minute), stage(low, time.Hour)
				a.Patches, b.Patches = under(hotTray), under(lowTray)
				run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{a, b}, &thermal.Settings{Moisture: moist, Tolerance: tolerance})
				require.NoError(t, err)
				return run
			}
			hot, low := o.At(220), o.At(85)
			run := sim(hot, low, hot.OnTray(), low.OnTray(), 0)
			ideal := sim(thermal.FanOven(220), thermal.FanOven(85), thermal.FanOven(220), thermal.FanOven(85), 0)
			assert.LessOrEqual(t, run.Stats.Steps, 3*ideal.Stats.Steps, "%s, moist %v", name, moist)
			t.Logf("%s, moist %v: %d steps against %d", name, moist, run.Stats.Steps, ideal.Stats.Steps)
			if moist {
				continue
			}
			fine, worst := sim(hot, low, hot.OnTray(), low.OnTray(), 0.007), 0.0
			for at := time.Minute; at <= run.Duration(); at += time.Minute {
				x, _ := run.Temperature(thermal.Skin(), at)
				y, _ := fine.Temperature(thermal.Skin(), at)
				worst = max(worst, x-y, y-x)
			}
			t.Logf("surface within %.3f K", worst)
			assert.Less(t, worst, 0.1, name)
		}
	}
}
