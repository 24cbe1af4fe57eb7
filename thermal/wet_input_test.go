package thermal

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func soundWetCase() inputCase {
	c := soundCase()
	c.dish.Layers[0].Film = &Film{Permeance: 1e-9, Holds: 1000}
	c.settings.Moisture = true
	return c
}

// TestWrongWetInput spoils one value of what only counts where water moves and
// expects an *InputError that names the place and the quantity, and no run.
func TestWrongWetInput(t *testing.T) {
	film := func(f Film) func(*inputCase) { return func(c *inputCase) { c.dish.Layers[1].Film = &f } }
	air := func(fluid float64, h Humidity) func(*inputCase) {
		return func(c *inputCase) { c.schedule[0].Medium = Surroundings{Fluid: fluid, H: 20, Humidity: h} }
	}
	food := func(f func(*materials.Food)) func(*inputCase) {
		return func(c *inputCase) { f(&c.dish.Layers[1].Food) }
	}
	const crust, bake = `layer 2 ("crust")`, `stage 1 ("bake"), side`
	for _, test := range []struct {
		name, place, saying string
		spoil               func(*inputCase)
	}{
		{"permeance NaN", crust, "permeance of the film", film(Film{Permeance: notNumber})},
		{"permeance negative", crust, "permeance of the film", film(Film{Permeance: -1e-12})},
		{"permeance Inf", crust, "permeance of the film", film(Film{Permeance: infinite})},
		{"permeance absurd", crust, "permeance of the film", film(Film{Permeance: 1.1})},
		{"holds NaN", crust, "pressure the film holds", film(Film{Holds: notNumber})},
		{"holds negative", crust, "pressure the film holds", film(Film{Holds: -1})},
		{"holds Inf", crust, "pressure the film holds", film(Film{Holds: infinite})},
		{"holds a pressure cooker", crust, "pressure the film holds", film(Film{Holds: 2e5})},
		{"permeability NaN", crust, "permeability", food(func(f *materials.Food) { f.Transport = &materials.Transport{Permeability: notNumber} })},
		{"diffusivity negative", crust, "diffusivity", food(func(f *materials.Food) { f.Transport = &materials.Transport{Diffusivity: -1e-10} })},
		{"soak NaN", crust, "soak", food(func(f *materials.Food) { f.Soak = notNumber })},
		{"soak negative", crust, "soak", food(func(f *materials.Food) { f.Soak = -1 })},
		{"holding without points", crust, "number of points", food(func(f *materials.Food) { f.Holding = &materials.WaterHolding{RawWater: 3} })},

		{"relative humidity 1.2", bake, "relative humidity 1.2", air(20, RelativeHumidity(1.2))},
		{"relative humidity negative", bake, "relative humidity -0.1", air(20, RelativeHumidity(-0.1))},
		{"relative humidity NaN", bake, "relative humidity NaN", air(20, RelativeHumidity(notNumber))},
		{"relative humidity 0.8 in an oven", bake, "no more than the total pressure", air(180, RelativeHumidity(0.8))},
		{"dew point above air", bake, "dew point [°C] 30", air(20, DewPoint(30))},
		{"dew point NaN", bake, "dew point [°C] NaN", air(20, DewPoint(notNumber))},
		{"dew point at the pole of cold", bake, "dew point [°C] -150", air(20, DewPoint(-150))},
		{"humidity ratio negative", bake, "humidity ratio [kg/kg] -0.01", air(20, HumidityRatio(-0.01))},
		{"humidity ratio NaN", bake, "humidity ratio [kg/kg] NaN", air(20, HumidityRatio(notNumber))},
		{"humidity ratio Inf", bake, "humidity ratio [kg/kg] +Inf", air(200, HumidityRatio(infinite))},
		{"humidity ratio of fog", bake, "no more vapour than saturates", air(20, HumidityRatio(0.1))},
		{"vapour pressure negative", bake, "vapour pressure [Pa] -1", air(20, VapourPressure(-1))},
		{"vapour pressure NaN", bake, "vapour pressure [Pa] NaN", air(20, VapourPressure(notNumber))},
		{"vapour pressure over the total", bake, "no more than the total pressure", air(200, VapourPressure(2e5))},
		{"wet bulb above air", bake, "wet bulb [°C] 30", air(20, WetBulb(30))},
		{"wet bulb NaN", bake, "wet bulb [°C] NaN", air(20, WetBulb(notNumber))},
		{"wet bulb in an oven too hot for it", bake, "dry-bulb temperature [°C] 400", air(400, WetBulb(60))},
		{"cold steam", bake, "near the boiling point", air(80, Steam())},
		{"steam too cold at this pressure", bake, "near the boiling point", func(c *inputCase) {
			c.settings.Pressure = 300e3
			air(120, Steam())(c)
		}},
	} {
		for _, moves := range []bool{true, false} { // it is a fault even where it does not count
			t.Run(test.name, func(t *testing.T) {
				c := soundWetCase()
				c.settings.Moisture = moves
				_, err := c.run()
				require.NoError(t, err, "sound before it is spoilt")
				test.spoil(&c)
				var run *Run
				require.NotPanics(t, func() { run, err = c.run() })
				require.Error(t, err)
				assert.Nil(t, run, "no run comes with wrong input")
				found := false
				for _, leaf := range leaves(err) {
					_, ok := errors.AsType[*InputError](leaf)
					assert.True(t, ok, "leaf of type %T: %v", leaf, leaf)
					found = found || strings.HasPrefix(leaf.Error(), "thermal: "+test.place) && strings.Contains(leaf.Error(), test.saying)
				}
				assert.True(t, found, "no fault names %q and %q in: %v", test.place, test.saying, err)
			})
		}
	}
}

// TestWetFaultsAtOnce: faults of films, foods and air come together.
func TestWetFaultsAtOnce(t *testing.T) {
	c := soundWetCase()
	c.dish.Layers[0].Film = &Film{Permeance: -1, Holds: -2}
	c.dish.Layers[1].Food.Soak = -3
	c.settings.Tolerance = -4
	_, err := c.run()
	for _, want := range []string{`layer 1 ("meat"): permeance of the film [kg/(m² s Pa)] -1`, `layer 1 ("meat"): pressure the film holds [Pa] -2`, "-3", "tolerance [K] -4"} {
		assert.ErrorContains(t, err, want)
	}
	c = soundWetCase()
	c.schedule = append(c.schedule, c.schedule[0])
	for i := range c.schedule {
		c.schedule[i].Medium = Surroundings{Fluid: 20, H: 5, Humidity: RelativeHumidity(1.5 + float64(i))}
	}
	_, err = c.run()
	assert.ErrorContains(t, err, "relative humidity 1.5")
	assert.ErrorContains(t, err, "relative humidity 2.5")
}

// TestHumidityTurnsBad: a medium whose humidity becomes impossible on the way, at once
// or by and by, ends the run with the place and what it has so far.
func TestHumidityTurnsBad(t *testing.T) {
	for name, bad := range map[string]func(at time.Duration) Surroundings{
		"too damp": func(time.Duration) Surroundings {
			return Surroundings{Fluid: 30, H: 20, Humidity: RelativeHumidity(1.2)}
		},
		"NaN":         func(time.Duration) Surroundings { return Surroundings{Fluid: 30, H: 20, Humidity: DewPoint(notNumber)} },
		"negative":    func(time.Duration) Surroundings { return Surroundings{Fluid: 30, H: 20, Humidity: HumidityRatio(-1)} },
		"steam cools": func(time.Duration) Surroundings { return Surroundings{Fluid: 50, H: 20, Humidity: Steam()} },
		"cools below its dew": func(at time.Duration) Surroundings {
			return Surroundings{Fluid: 30 - 3*(at-5*time.Minute).Minutes(), H: 20, Humidity: DewPoint(25)}
		},
		"heats beyond wet bulb": func(at time.Duration) Surroundings {
			return Surroundings{Fluid: 200 + 60*(at-5*time.Minute).Minutes(), H: 20, Humidity: WetBulb(60)}
		},
	} {
		for _, known := range []bool{false, true} {
			t.Run(name, func(t *testing.T) {
				c := soundWetCase()
				m := MediumFunc(func(at time.Duration) Surroundings {
					if at < 5*time.Minute {
						return Surroundings{Fluid: 30, H: 20, Humidity: RelativeHumidity(0.5)}
					}
					return bad(at)
				})
				c.schedule = Schedule{{Name: "first", Medium: Room(20), Until: Elapsed(time.Minute)}, {Name: "bake", Medium: m, Until: Elapsed(20 * time.Minute)}}
				if known {
					c.schedule[1].Medium = Changing(m, 5*time.Minute)
				}
				run, err := c.run()
				fault, ok := errors.AsType[*InputError](err)
				require.True(t, ok, "%v", err)
				assert.Equal(t, `stage 2 ("bake")`, fault.Place)
				assert.Equal(t, "humidity", fault.Field)
				require.NotNil(t, run)
				assert.Equal(t, Failed, run.Stages[1].Reason)
				assert.Greater(t, run.Duration(), 2*time.Minute)
				assert.LessOrEqual(t, run.Duration(), 12*time.Minute)
				mustBeSound(t, run, err)
			})
		}
	}
}

// TestWetEnds: a wet run that is stopped, limited or out of steps keeps what it has.
func TestWetEnds(t *testing.T) {
	c := soundWetCase()
	c.schedule = Schedule{{Name: "bake", Medium: FanOven(200), Until: Above(Centre(), 90), Limit: 5 * time.Minute}}
	run, err := c.run()
	_, ok := errors.AsType[*StageLimitError](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, 5*time.Minute, run.Duration())
	mustBeSound(t, run, err)

	c.settings.MaxSteps = 20
	run, err = c.run()
	solver, ok := errors.AsType[*SolverError](err)
	require.True(t, ok, "%v", err)
	assert.Contains(t, solver.Reason, "more steps")
	assert.Contains(t, []string{"meat", "crust"}, solver.Layer)
	mustBeSound(t, run, err)

	ctx, cancel := context.WithCancel(context.Background())
	c.settings.MaxSteps = 0
	steps := 0
	c.settings.Progress = func(*State) {
		if steps++; steps == 10 {
			cancel()
		}
	}
	run, err = Simulate(ctx, c.dish, c.schedule, &c.settings)
	_, ok = errors.AsType[*InterruptedError](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, 10, run.Stats.Steps)
	require.NotNil(t, run)
	assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
	assert.LessOrEqual(t, run.Water.Relative, 1e-8)
}

func (b *bytesReader) humidity() Humidity {
	switch b.below(9) {
	case 0:
		return HumidityRatio(b.float(0, 0.05))
	case 1:
		return RelativeHumidity(b.float(0, 1))
	case 2:
		return DewPoint(b.float(-40, 60))
	case 3:
		return WetBulb(b.float(-20, 80))
	case 4:
		return Steam()
	case 5:
		return Sealed()
	}
	return VapourPressure(b.float(0, 3000))
}

// dampMedium is a medium with its humidity, mostly one that air can have.
func (b *bytesReader) dampMedium() Medium {
	m := b.medium()
	s, steady := m.(Surroundings)
	if !steady {
		return m
	}
	s.Humidity = b.humidity()
	if _, _, err := s.Humidity.pressure(s.Fluid, atmosphere); err != nil && b.byte() > 40 {
		s.Humidity = VapourPressure(0.5 * math.Min(saturatedOver(math.Max(s.Fluid, -90)), atmosphere))
	}
	return s
}

// FuzzWetRun moves water through any dish at all, in any media, and goes on from there
// with the water moving or at rest.
func FuzzWetRun(f *testing.F) {
	seedCorpus(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		defer noPanic(t)
		b := &bytesReader{data}
		set := b.settings()
		set.Moisture, set.MaxSteps = true, min(set.MaxSteps, 1000)
		d := b.dish(nil)
		for i := range d.Layers {
			l := &d.Layers[i]
			if b.byte() < 60 {
				l.Film = &Film{Permeance: b.float(0, 1e-7), Holds: b.float(0, 3e4)}
			}
			if b.byte() < 40 {
				l.Food.Soak = b.float(0, 5)
			}
			if b.byte() < 40 {
				l.Food.Transport = &materials.Transport{Diffusivity: b.float(0, 1e-8), HalfMoisture: b.float(0, 1), Permeability: b.float(0, 2e-10)}
			}
		}
		s := Schedule{{Medium: b.dampMedium(), Until: Elapsed(3 * time.Minute)}, {Medium: b.dampMedium(), Until: Elapsed(2 * time.Minute)}}
		if b.byte() < 128 {
			s[0].Patches = map[geometry.Patch]Medium{geometry.Underside: b.dampMedium()}
			if _, slab := d.Shape.(geometry.Slab); !slab {
				s[0].Patches = nil
			}
		}
		run, err := Simulate(context.Background(), d, s, set)
		mustBeSound(t, run, err)
		if run == nil {
			return
		}
		d.Start = From(run)
		set.Moisture = b.byte() < 128
		next, err := Simulate(context.Background(), d, Schedule{{Medium: b.dampMedium(), Until: Elapsed(time.Minute)}}, set)
		mustBeSound(t, next, err)
		if next != nil && set.Moisture {
			if was, is := run.Water.End, next.Water.Start; !(math.Abs(is-was) <= 1e-12*was) {
				t.Fatalf("%g kg of water became %g from one run to the next", was, is)
			}
		}
	})
}
