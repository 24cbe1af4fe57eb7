package oven

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

func potato(start float64) thermal.Dish {
	return thermal.Dish{Shape: geometry.Slab{Area: 0.1}, Start: thermal.Uniform(start), Layers: []thermal.Layer{
		{Name: "potato", Food: materials.MustFind("potatoes, boiled"), Thickness: 0.02}}}
}

// An empty bath without loss warms by P t/C, with a loss by an exponential.
func TestBathWarmsUp(t *testing.T) {
	for _, loss := range []float64{0, 10} {
		b := &Bath{Power: 1000, Mass: 2, HeatCapacity: 4000, Vessel: 500, Loss: loss, H: 1e-3, Thermostat: Thermostat{Hysteresis: 1}, Room: 20, Start: 20}
		run := empty(t, stage(b.At(90), 6*time.Minute))
		for at := time.Minute; at <= run.Duration(); at += time.Minute {
			want := 20 + 1000*at.Seconds()/8500
			if loss > 0 {
				want = 20 + 1000/loss*(1-math.Exp(-at.Seconds()*loss/8500))
			}
			assert.InDelta(t, want, b.Read(run, at).Temperature, 0.01)
		}
		assert.InDelta(t, 360e3, b.Read(run, run.Duration()).Delivered, 1)
	}
}

// A bath cooled by a known load: switched off, bath and food come to the temperature at
// which the heat the one lost is what the other has gained.
func TestBathTakesLoad(t *testing.T) {
	b := &Bath{Power: 1000, Mass: 3, HeatCapacity: 4186, H: 200, Thermostat: Thermostat{Hysteresis: 1}, Room: 20, Start: 80}
	run, err := thermal.Simulate(context.Background(), potato(-18), thermal.Schedule{stage(b.Off(), 6*time.Hour)}, nil)
	require.NoError(t, err)
	end := b.Read(run, run.Duration()).Temperature
	assert.InDelta(t, end, run.End().Layers()[0].Mean, 0.02)
	assert.InEpsilon(t, run.Energy.Stored, 3*4186*(80-end), 1e-9)
	assert.Less(t, run.Bodies[0].Relative, 1e-10)
}

// The accounts of water baths and fryers close, wet and dry, boiling and evaporating; a
// frozen load pulls the oil down and boiling water stays at its boiling point.
func TestBathAudit(t *testing.T) {
	fryer, boiling, open := Fryer(), Circulator(), Circulator()
	fryer.Start, boiling.Start, open.Start = 175, 95, 60
	boiling.Mass, boiling.Power, boiling.Open = 3, 6000, 0.05
	for name, s := range map[string]*BathSetting{"fryer": fryer.At(175), "boiling": boiling.At(120), "open": open.At(60)} {
		for _, moist := range []bool{false, true} {
			run, err := thermal.Simulate(context.Background(), potato(-18), thermal.Schedule{stage(s, 15*time.Minute), stage(s.Bath.Off(), 10*time.Minute)},
				&thermal.Settings{Moisture: moist, Pressure: 95e3})
			require.NoError(t, err, name)
			assert.Less(t, run.Bodies[0].Relative, 1e-10, name)
			assert.Less(t, run.Energy.Relative, 1e-8, name)
			end, least := s.Bath.Read(run, run.Duration()), 999.0
			for at := time.Duration(0); at <= 10*time.Minute; at += 10 * time.Second {
				least = min(least, s.Bath.Read(run, at).Temperature)
			}
			t.Logf("%s, moist %v: down to %.1f °C, %.3f kg gone, %v", name, moist, least, end.Gone, run.Stats.Steps)
			switch name {
			case "fryer":
				assert.Less(t, least, 150.0)
				assert.Zero(t, end.Gone)
			case "boiling":
				assert.InDelta(t, 98.2, s.Bath.Read(run, 15*time.Minute).Temperature, 0.1) // 95 kPa (IAPWS-IF97)
				assert.Greater(t, end.Gone, 0.1)
			case "open":
				assert.Greater(t, least, 50.0)
				assert.Greater(t, end.Gone, 0.0)
			}
		}
	}
}

func TestBathAfter(t *testing.T) {
	b := Fryer()
	one := empty(t, stage(b.At(175), 5*time.Minute))
	two := empty(t, stage(b.After(one).At(175), time.Minute))
	assert.InDelta(t, b.Read(one, one.Duration()).Temperature, two.Bodies[0].State[bathT]-(two.Bodies[0].Given-two.Bodies[0].Taken)/b.capacity(), 1e-9)
	assert.Zero(t, b.Read(nil, 0))
	assert.Zero(t, b.Read(two, 0))
	assert.Equal(t, *b, *b.After(nil))
}

func TestBathFaults(t *testing.T) {
	for says, change := range map[string]func(*Bath){
		"bath: power 0":               func(b *Bath) { b.Power = 0 },
		"bath: mass 0":                func(b *Bath) { b.Mass = 0 },
		"bath: mass 1e+09":            func(b *Bath) { b.Mass = 1e9 },
		"bath: heat capacity NaN":     func(b *Bath) { b.HeatCapacity = math.NaN() },
		"bath: hysteresis -1":         func(b *Bath) { b.Thermostat.Hysteresis = -1 },
		"bath: h 0":                   func(b *Bath) { b.H = 0 },
		"start 120, want 0 to 100 °C": func(b *Bath) { b.Water, b.Start = true, 120 },
		"no more than the heater can": func(b *Bath) { b.Power = 50 },
		"start -5, want 0 to 100 °C":  func(b *Bath) { b.Water, b.Start = true, -5 },
		"within seconds":              func(b *Bath) { b.Loss = 1e5 },
	} {
		b := Fryer()
		change(b)
		_, err := thermal.Simulate(context.Background(), crumb, thermal.Schedule{stage(b.At(175), time.Minute)}, nil)
		assert.ErrorContains(t, err, says)
	}
	for says, s := range map[string]*BathSetting{"set point NaN": Fryer().At(math.NaN()), "bath none": {}, "set point -5": Fryer().At(-5)} {
		_, err := thermal.Simulate(context.Background(), crumb, thermal.Schedule{stage(s, time.Minute)}, nil)
		assert.ErrorContains(t, err, says)
	}
}
