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

// Cold water in which something very cold is thawed stays at 0 °C and freezes in part: what
// the dish takes up to 0 °C is what the water gives down to there and the heat of fusion (333.6
// kJ/kg, as of all ice here) of what freezes. A heater first melts that, then warms it by P t/C.
func TestBathFreezes(t *testing.T) {
	food, err := materials.FromSpecificHeat("plain", 1000, []float64{-80, 100}, []float64{2000, 2000}, []float64{1, 1})
	require.NoError(t, err)
	dish := thermal.Dish{Shape: geometry.Slab{Area: 0.1}, Start: thermal.Uniform(-60), Layers: []thermal.Layer{{Name: "plain", Food: food, Thickness: 0.01}}}
	b := &Bath{Power: 500, Mass: 2, HeatCapacity: 4186, Water: true, H: 200, Thermostat: Thermostat{Hysteresis: 1}, Room: 20, Start: 5}
	run, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{stage(b.Off(), time.Hour)}, nil)
	require.NoError(t, err)
	end := b.Read(run, run.Duration())
	ice := (1*2000*60 - 2*4186*5) / 333.6e3
	assert.Zero(t, end.Temperature)
	assert.InEpsilon(t, ice, end.Ice, 1e-6)
	assert.Less(t, run.Bodies[0].Relative, 1e-12)

	on := b.After(run)
	melts := ice * 333.6e3 / 500 // [s]
	run = empty(t, stage(on.At(60), seconds(melts+300)))
	assert.InEpsilon(t, ice/2, on.Read(run, seconds(melts/2)).Ice, 0.01)
	end = on.Read(run, run.Duration())
	assert.Zero(t, end.Ice)
	assert.InDelta(t, 500*300/(2*4186.0), end.Temperature, 0.02)
}

// An open bath dries by Stefan's law, m" = h/cp (M/M_air) ln[(1 - x_room)/(1 - x)] (Bird, Stewart
// & Lightfoot, chapter 18, from memory), which at 85 °C is half as much again as h/cp (M/M_air)
// (x - x_room): 12.5 kW/m² at 93 °C, where tables of the heat lost by open tanks have about 13
// (from memory).
func TestBathEvaporates(t *testing.T) {
	for _, c := range []struct{ t, pressure float64 }{{30, 4.247}, {60, 19.946}, {85, 57.867}, {93, 78.55}} { // kPa, steam tables, from memory
		b := Circulator()
		rate, latent := b.evaporation(c.t, 101325)
		want := 6 / 1006. * 0.018015 / 0.028966 * math.Log((1-0.0115)/(1-c.pressure/101.325))
		t.Logf("%g °C: %.2f kg/(m² h), %.1f kW/m²", c.t, rate/b.Open*3600, rate*latent/b.Open/1000)
		assert.InEpsilon(t, want*b.Open, rate, 2e-3, "%g °C", c.t)
	}
	last := 0.0
	for at := 50.0; at < 99.9; at += 0.01 {
		rate, latent := Circulator().evaporation(at, 101325)
		assert.True(t, rate > last && (rate-last)*latent/0.01/0.12 < mostByBath || last == 0, "%g °C", at)
		last = rate
	}
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
		"loss 100000, want one":       func(b *Bath) { b.Loss = 1e5 },
		"open surface 90, want one":   func(b *Bath) { b.Water, b.Start, b.Open = true, 20, 90 },
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
