package oven

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

func TestOvenFaults(t *testing.T) {
	for says, change := range map[string]func(*Oven){
		"oven: power 0":                   func(o *Oven) { o.Power = 0 },
		"oven: power -5":                  func(o *Oven) { o.Power = -5 },
		"oven: power NaN":                 func(o *Oven) { o.Power = math.NaN() },
		"oven: volume 1e+09":              func(o *Oven) { o.Volume = 1e9 },
		"oven: hysteresis -10":            func(o *Oven) { o.Thermostat.Hysteresis = -10 },
		"oven: thermostat hysteresis 0 K": func(o *Oven) { o.Thermostat = Thermostat{} },
		"oven: thermostat hysteresis 5 K": func(o *Oven) { o.Thermostat = Thermostat{Hysteresis: 5, Band: 5} },
		"oven: offset 60":                 func(o *Oven) { o.Thermostat.Offset = 60 },
		"oven: heat capacity of the air":  func(o *Oven) { o.Air = 0 },
		"oven: walls 20 J/K":              func(o *Oven) { o.Walls = 20 },
		"oven: heater 10 J/K":             func(o *Oven) { o.Heater = 10 },
		"oven: exchange":                  func(o *Oven) { o.Exchange = 0 },
		"oven: start +Inf":                func(o *Oven) { o.Start = math.Inf(1) },
		"oven: emissivity 1.5":            func(o *Oven) { o.Emissivity = 1.5 },
		"that 500 W can hold":             func(o *Oven) { o.Power = 500 },
		"oven: start 600 °C, want no farther than the 589 °C that 2500 W can hold":    func(o *Oven) { *o = *o.Warmed(600) },
		"heater 2500 W at 0.7 W/K, want one that full power takes to -190 to 3000 °C": func(o *Oven) { o.HeaterConductance = 0.7 },
		"tray: thickness 0": func(o *Oven) { o.Tray = &Tray{Solid: Aluminium, Area: 0.1, Contact: 0.01} },
		"tray: covered area 0.2": func(o *Oven) {
			o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.1, Covered: 0.2, Contact: 0.01}
		},
		"tray: contact 0":      func(o *Oven) { o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.1} },
		"tray: conductivity 0": func(o *Oven) { o.Tray = &Tray{Thickness: 0.001, Area: 0.1, Contact: 0.01} },
		"tray: area 5, want one that takes 0.5 s and more to carry along air of 90 J/K": func(o *Oven) {
			o.Air, o.Tray = 90, &Tray{Solid: Aluminium, Thickness: 0.001, Area: 5, Contact: 0.01}
		},
		"a tray that follows less fast": func(o *Oven) {
			o.Tray = &Tray{Solid: Solid{"foam", 0.02, 10, 100, 0}, Thickness: 2e-4, Area: 0.1, Contact: 0.01}
		},
	} {
		o := DomesticFan()
		change(o)
		_, err := thermal.Simulate(context.Background(), crumb, thermal.Schedule{stage(o.At(200), time.Minute)}, nil)
		assert.ErrorContains(t, err, says)
		var mine *InputError
		assert.True(t, errors.As(err, &mine), says)
		var theirs *thermal.InputError
		assert.True(t, errors.As(err, &theirs), says)
	}
}

func TestSettingFaults(t *testing.T) {
	o := DomesticFan()
	shut := DomesticFan()
	shut.Door = Door{}
	for says, m := range map[string]thermal.Medium{
		"set point NaN":                     o.At(math.NaN()),
		"set point +Inf":                    o.At(math.Inf(1)),
		"set point 990 °C, want no farther": o.At(990),
		"set point -60 °C, want no farther": Refrigerator().At(-60),
		"opening 1 0s, want a time over 0":  &Setting{Oven: o, To: 200, Openings: []Opening{{time.Minute, 0}}},
		"opening 2 30s, want openings in":   &Setting{Oven: o, To: 200, Openings: []Opening{{0, time.Minute}, {30 * time.Second, time.Minute}}},
		"opening 1 -1s":                     &Setting{Oven: o, To: 200, Openings: []Opening{{-time.Second, time.Minute}}},
		"the door has no size":              &Setting{Oven: shut, To: 200, Openings: []Opening{{0, time.Minute}}},
		"openings 1001":                     &Setting{Oven: o, To: 200, Openings: make([]Opening, 1001)},
		"steam -1":                          &Setting{Oven: o, To: 200, Steam: -1},
		"oven none":                         &Setting{},
		"tray none, want one in the oven":   o.At(200).OnTray(),
		"two settings of one body":          nil,
	} {
		st := stage(m, time.Minute)
		if m == nil {
			o := DomesticFan()
			o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 20}
			st = thermal.Stage{Medium: o.At(200), Patches: under(o.At(180).OnTray()), Until: thermal.Elapsed(time.Minute)}
			_, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{st}, nil)
			assert.ErrorContains(t, err, says)
			continue
		}
		_, err := thermal.Simulate(context.Background(), crumb, thermal.Schedule{st}, nil)
		assert.ErrorContains(t, err, says)
	}
	var none *Setting
	_, err := thermal.Simulate(context.Background(), crumb, thermal.Schedule{stage(none, time.Minute)}, nil)
	assert.Error(t, err)
}

// One wrong figure is one fault, whatever is made of it.
func TestOneFaultEach(t *testing.T) {
	count := func(err error) int {
		if err == nil {
			return 0
		}
		return len(err.(interface{ Unwrap() []error }).Unwrap())
	}
	spoil := func(what any, validate func() error) {
		v := reflect.ValueOf(what).Elem()
		for i := range v.NumField() {
			f := v.Field(i)
			if f.Kind() != reflect.Float64 || !f.CanSet() {
				continue
			}
			was := f.Float()
			for _, bad := range []float64{math.NaN(), math.Inf(1), -1e9, 1e9} {
				f.SetFloat(bad)
				assert.Equal(t, 1, count(validate()), "%T: %s %g: %v", what, v.Type().Field(i).Name, bad, validate())
			}
			f.SetFloat(was)
			require.NoError(t, validate())
		}
	}
	o, b := Combi(), Fryer()
	o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.1, Covered: 0.03, Contact: 0.01}
	s, oil := o.At(200), b.At(175)
	spoil(o, o.Validate)
	spoil(&o.Door, o.Validate)
	spoil(o.Tray, o.Validate)
	spoil(&o.Tray.Solid, o.Validate)
	spoil(&o.Thermostat, o.Validate)
	spoil(s, s.Validate)
	spoil(b, b.Validate)
	spoil(&b.Thermostat, b.Validate)
	spoil(oil, oil.Validate)

	o.Power, o.Tray.Area = math.NaN(), 0
	_, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{{Medium: s, Patches: under(s.OnTray()), Until: thermal.Elapsed(time.Minute)}}, nil)
	assert.Equal(t, 1, strings.Count(err.Error(), "power NaN"), "of air and tray")
}

// Air that a set point asks for is held by no heater hotter than there is, and a coil no
// colder; what the kitchen holds is asked of neither.
func TestHeaterThereIs(t *testing.T) {
	o := plain() // 5 W/K to the air and as much to the kitchen: the heater is as far above the air as that above the kitchen
	o.Power = 1e4
	o.Vent, o.HeaterConductance, o.Heater = 17/airHeat, 5, 100
	assert.NoError(t, o.At(570).Validate())
	assert.ErrorContains(t, o.At(700).Validate(), "want no farther than the 608 °C")
	o.Power, o.Vent = 14000, 15/airHeat
	assert.NoError(t, o.At(760).Validate())                                                               // heater at 760+3*740 = 2980 °C
	assert.ErrorContains(t, o.At(800).Validate(), "one held by a heater of at most 3000 °C, not 3140 °C") // 800+3*780
	cold := Freezer()
	cold.HeaterConductance, cold.Vent, cold.Loss = 0.6, 0, 1.6 // walls at (1.6*20-15*50)/16.6 = -43.3 °C, coil at -50-1.6*63.3/0.6
	assert.ErrorContains(t, cold.At(-50).Validate(), "a coil of at least -190 °C, not -219 °C")
	assert.NoError(t, cold.At(25).Validate())
}

// A stage that waits for the air of an oven which a frozen load holds down ends at its limit,
// and says how far the air came; the oven alone would be there in half of the time.
func TestOvenTooWeakForItsLoad(t *testing.T) {
	const limit = 20 * time.Minute
	wait := func(o *Oven) thermal.Schedule {
		return thermal.Schedule{{Name: "back to heat", Medium: o.At(200), Until: thermal.FluidAbove(geometry.Top, 200), Limit: limit}}
	}
	roast := thermal.Dish{Shape: geometry.Slab{Area: 0.15}, Start: thermal.Uniform(-18), Layers: []thermal.Layer{
		{Name: "beef", Food: materials.MustFind("beef mince, cooked"), Thickness: 0.06}}}
	for _, moist := range []bool{false, true} {
		o := DomesticStill()
		run, err := thermal.Simulate(context.Background(), pie(), wait(o), &thermal.Settings{Moisture: moist})
		require.NoError(t, err)
		assert.InDelta(t, 200, o.Read(run, run.Duration()).Air, 0.1)
		assert.Less(t, run.Duration(), limit)
		alone := run.Duration()

		weak := DomesticStill()
		weak.Power = 1200 // holds 320 °C
		run, err = thermal.Simulate(context.Background(), roast, wait(weak), &thermal.Settings{Moisture: moist})
		fault, ok := errors.AsType[*thermal.StageLimitError](err)
		require.True(t, ok, "%v", err)
		air := weak.Read(run, run.Duration()).Air
		assert.Equal(t, limit, run.Duration())
		assert.InDelta(t, 200-air, -fault.Margin, 0.1)
		assert.ErrorContains(t, err, "\"back to heat\"): not reached within 20m0s: the fluid at the top is above 200 °C (at ")
		assert.Contains(t, fault.Error(), fmt.Sprintf("(at %.4g °C, short by %.3g)", 200+fault.Margin, -fault.Margin))
		t.Logf("moist %v: %v after %v; %v", moist, 200, alone, err)
		weak.Power = 700 // less than 200 °C
		_, err = thermal.Simulate(context.Background(), roast, wait(weak), nil)
		assert.ErrorContains(t, err, "no farther than the")
	}
}

// A dish that is larger than the tray it lies on: a slab is of 1 m² unless it says otherwise.
func TestDishFitsTray(t *testing.T) {
	o := DomesticFan()
	o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 20}
	for shape, fits := range map[geometry.Shape]bool{geometry.Slab{}: false, geometry.Slab{Area: 0.13}: false, geometry.Slab{Area: 0.12}: true, geometry.Bar{Width: 0.2, Length: 1}: false, geometry.Bar{Width: 0.06, Length: 1}: true} {
		dish := pie()
		dish.Shape = shape
		s := o.At(180)
		_, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{{Medium: s, Patches: under(s.OnTray()), Until: thermal.Elapsed(10 * time.Second)}}, &thermal.Settings{Cells: 40})
		if fits {
			assert.NoError(t, err, shape)
			continue
		}
		fault, ok := errors.AsType[*InputError](err)
		require.True(t, ok, "%v: %v", shape, err)
		assert.Equal(t, []string{"tray", "area"}, []string{fault.Place, fault.Field})
	}
}

// A stage that waits for more than the oven gives ends at its limit, with the run so far.
func TestLimits(t *testing.T) {
	o := DomesticFan()
	st := thermal.Stage{Medium: o.At(100), Until: thermal.Above(thermal.Centre(), 150), Limit: 20 * time.Minute}
	run, err := thermal.Simulate(context.Background(), crumb, thermal.Schedule{st}, nil)
	var limit *thermal.StageLimitError
	assert.ErrorAs(t, err, &limit)
	assert.Len(t, run.Bodies, 1)
	assert.NotEmpty(t, o.Read(run, 10*time.Minute).Air)

	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	run, err = thermal.Simulate(ctx, crumb, thermal.Schedule{st}, nil)
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, 20.0, o.Read(run, time.Hour).Air)
	assert.Zero(t, o.Read(nil, 0))
	assert.Zero(t, DomesticFan().Read(run, 0))
}
