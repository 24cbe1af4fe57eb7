package oven

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

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
		"tray: thickness 0":               func(o *Oven) { o.Tray = &Tray{Solid: Aluminium, Area: 0.1, Contact: 0.01} },
		"tray: covered area 0.2": func(o *Oven) {
			o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.1, Covered: 0.2, Contact: 0.01}
		},
		"tray: contact 0":      func(o *Oven) { o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.1} },
		"tray: conductivity 0": func(o *Oven) { o.Tray = &Tray{Thickness: 0.001, Area: 0.1, Contact: 0.01} },
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
		"set point NaN":                      o.At(math.NaN()),
		"set point +Inf":                     o.At(math.Inf(1)),
		"set point 990 °C, want no farther":  o.At(990),
		"set point -150 °C, want no farther": Freezer().At(-150),
		"opening 1 0s, want a time over 0":   &Setting{Oven: o, To: 200, Openings: []Opening{{time.Minute, 0}}},
		"opening 2 30s, want openings in":    &Setting{Oven: o, To: 200, Openings: []Opening{{0, time.Minute}, {30 * time.Second, time.Minute}}},
		"opening 1 -1s":                      &Setting{Oven: o, To: 200, Openings: []Opening{{-time.Second, time.Minute}}},
		"the door has no size":               &Setting{Oven: shut, To: 200, Openings: []Opening{{0, time.Minute}}},
		"openings 1001":                      &Setting{Oven: o, To: 200, Openings: make([]Opening, 1001)},
		"steam -1":                           &Setting{Oven: o, To: 200, Steam: -1},
		"oven none":                          &Setting{},
		"port of the medium 1, want one of":  o.At(200).OnTray(),
		"two settings of one body":           nil,
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
