package oven

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

// plain is an oven of one time constant: walls that neither lose heat nor exchange it, a
// heater that follows at once, so that only the vent takes heat from the air.
func plain() *Oven {
	return &Oven{Power: 1000, Volume: 0.06, Heater: 10, HeaterConductance: 5, Air: 1000, Walls: 1e6, Exchange: 1e-9, Vent: 5 / airHeat,
		H: 1e-3, Thermostat: Thermostat{Hysteresis: 20}, Room: 20, RoomVapour: 0.01, Start: 20}
}

// The air of a lumped oven warms by an exponential, T = room + P/V (1 - exp(-t V/C)),
// later by the heater's own lag.
func TestWarmUp(t *testing.T) {
	o := plain()
	run := empty(t, stage(o.At(200), 4*time.Minute))
	lag, constant := o.Heater/o.HeaterConductance, (o.Air+o.Heater)/5
	for at := 30 * time.Second; at <= run.Duration(); at += 30 * time.Second {
		want := 20 + 200*(1-math.Exp(-(at.Seconds()-lag)/constant))
		assert.InDelta(t, want, o.Read(run, at).Air, 0.3, "%v", at)
	}
}

// A relay whose heater acts with a lag goes round in C/V [ln((hi-off)/(lo-off)) +
// ln((on-lo)/(on-hi))], with off and on the temperatures to which the air would go, and lo
// and hi to where the lag carries it beyond the edges.
func TestRelayPeriod(t *testing.T) {
	o := plain()
	o.Heater, o.HeaterConductance = 10, 5
	o.Start = 150
	run := empty(t, stage(o.At(150), time.Hour))
	const off, on, lag, constant = 20.0, 220, 2.0, 1000.0/5 + 2
	hi, lo := on-(on-160)*math.Exp(-lag/constant), off+(140-off)*math.Exp(-lag/constant)
	want := constant * (math.Log((hi-off)/(lo-off)) + math.Log((on-lo)/(on-hi)))
	var switched []float64
	was := false
	for at := time.Duration(0); at <= run.Duration(); at += 100 * time.Millisecond {
		if r := o.Read(run, at); r.Heating != was {
			if was = r.Heating; was {
				switched = append(switched, at.Seconds())
			}
		}
	}
	n := len(switched)
	period := (switched[n-1] - switched[1]) / float64(n-2)
	t.Log("period", period, "closed form", want)
	assert.InEpsilon(t, want, period, 0.005)
}

// What the thermostat calls for in the end is what walls and vent lose, and air and walls
// are those of Begin's steady state.
func TestSteadyPower(t *testing.T) {
	for name, o := range map[string]*Oven{"still": DomesticStill(), "fan": DomesticFan(), "combi": Combi(), "refrigerator": Refrigerator()} {
		c := *o
		c.Thermostat = Thermostat{Band: 5}
		to := 180.0
		if c.Cools {
			to = 4
		}
		run := empty(t, stage(c.At(to), 6*time.Hour))
		end := c.Read(run, run.Duration())
		power := (end.Delivered - c.Read(run, run.Duration()-10*time.Minute).Delivered) / 600
		lost := c.Loss*(end.Walls-c.Room) + c.Vent*airHeat*(end.Air-c.Room)
		heater, walls, steady := c.steady(end.Air)
		if c.Cools { // less what freezes out
			assert.InEpsilon(t, lost, power, 0.02, name)
			continue
		}
		assert.InEpsilon(t, lost, power, 1e-4, name)
		assert.InEpsilon(t, steady, power, 1e-4, name)
		assert.InDelta(t, walls, end.Walls, 0.02, name)
		assert.InDelta(t, heater, end.Heater, 0.2, name)
	}
}

// An oven switched off falls as air, walls and heater together: in the end by one
// exponential of all they hold over all they lose.
func TestCoasting(t *testing.T) {
	o := DomesticFan().Warmed(220)
	run := empty(t, stage(o.Off(), 90*time.Minute))
	a, b := o.Read(run, 30*time.Minute), o.Read(run, 90*time.Minute)
	assert.Zero(t, b.Delivered)
	rate := math.Log((a.Walls-20)/(b.Walls-20)) / 3600
	want := (o.Loss + o.Vent*airHeat) / (o.Walls + o.Air + o.Heater)
	assert.InEpsilon(t, want, rate, 0.03)
	// turned down, it coasts likewise until the thermostat takes over
	low := empty(t, stage(o.At(220), time.Minute), stage(o.At(85), 2*time.Hour))
	r := o.Read(low, low.Duration())
	assert.InDelta(t, 85, r.Air, 12)
	assert.Equal(t, o.Read(low, 3*time.Minute).Delivered, o.Read(low, 20*time.Minute).Delivered)
}

// Door and recovery of the household ovens. S. Corriher (Bakewise, as quoted): 30 s of open
// door take at least 83 K (150 °F) off the air. From memory: walls fall 5 to 20 K, 180 to
// 200 °C takes 8 to 15 min without and 5 to 10 min with a fan, and 200 °C loses 500 to 900 W.
// Recovery takes 2 to 6 min from memory, as slow thermometers show it; here it is that of the
// air itself, which cannot come sooner than full power makes up for what the door let out.
func TestHouseholdOvens(t *testing.T) {
	for name, c := range map[string]struct {
		oven        *Oven
		least, most time.Duration
	}{"still": {DomesticStill(), 8 * time.Minute, 15 * time.Minute}, "fan": {DomesticFan(), 5 * time.Minute, 10 * time.Minute}} {
		o := c.oven
		run := empty(t, stage(o.At(200), 30*time.Minute))
		assert.GreaterOrEqual(t, reach(o, run, 0, 180), c.least, name)
		assert.LessOrEqual(t, reach(o, run, 0, 200), c.most, name)
		warm := reach(o, run, 0, 200)
		_, _, loss := o.steady(200)
		assert.True(t, loss >= 500 && loss <= 900, "%s: %g W", name, loss)

		o = o.Warmed(200)
		run = empty(t, stage(o.At(200), 20*time.Minute), stage(&Setting{Oven: o, To: 200, Openings: []Opening{{0, 30 * time.Second}}}, 20*time.Minute))
		before, after := o.Read(run, 20*time.Minute), o.Read(run, 20*time.Minute+30*time.Second)
		recovery := reach(o, run, 20*time.Minute+30*time.Second, 200)
		missing := o.Air*(before.Air-after.Air) + o.Walls*(before.Walls-after.Walls)
		soonest := time.Duration(missing / (o.Power - loss) * float64(time.Second))
		t.Logf("%s: to 200 °C %v, loses %.0f W, door %.0f K of the air, %.1f K of the walls, back in %v, at full power %v", name, warm, loss, before.Air-after.Air, before.Walls-after.Walls, recovery, soonest)
		assert.GreaterOrEqual(t, before.Air-after.Air, 83.0, name)
		assert.True(t, before.Walls-after.Walls >= 5 && before.Walls-after.Walls <= 20, "%s: %g K", name, before.Walls-after.Walls)
		assert.True(t, recovery > soonest && recovery <= 6*time.Minute, "%s: %v", name, recovery)
	}
}

// Cold cabinets keep their set point within their hysteresis and a little, idle most of the
// time when empty (from memory), dry the air by frost, and warm up when opened.
func TestColdCabinets(t *testing.T) {
	for name, c := range map[string]struct {
		oven *Oven
		to   float64
	}{"refrigerator": {Refrigerator(), 4}, "freezer": {Freezer(), -18}, "chiller": {BlastChiller(), 3}, "shock": {BlastChiller(), -35}} {
		o := c.oven.Warmed(c.to)
		const long, door = 4 * time.Hour, 30 * time.Second
		run := empty(t, stage(o.At(c.to), long), thermal.Stage{Medium: &Setting{Oven: o, To: c.to, Openings: []Opening{{0, door}}}, Until: thermal.Elapsed(time.Hour)})
		on := 0.0
		for at := time.Hour; at < long; at += 10 * time.Second {
			r := o.Read(run, at)
			assert.InDelta(t, c.to, r.Air, o.Thermostat.Hysteresis/2+1.5, "%s after %v", name, at)
			on += asFlag(r.Heating)
		}
		on /= (long - time.Hour).Seconds() / 10
		open := o.Read(run, long+door)
		t.Logf("%s: on %.2f of the time, door lets the air come to %.1f °C, back in %v", name, on, open.Air, reach(o, run, long+door, c.to))
		assert.True(t, on > 0.01 && on < 0.6, "%s: %g", name, on)
		assert.Greater(t, open.Air, c.to+3, name)
		assert.Less(t, o.Read(run, long).Vapour, o.RoomVapour/1.5, name)
		assert.Negative(t, open.Delivered, name)
	}
}

// Vapour that settles on a coil leaves its heat there: of condensation at 5 °C 2.51 MJ/kg above
// liquid at 0 °C, of sublimation at -5 °C 2.83 above ice of 0 °C (steam tables, from memory).
func TestCoilTakesDewAndFrost(t *testing.T) {
	for coil, each := range map[float64]float64{5: 2.51e6, -5: 2.825e6} {
		o := Refrigerator()
		o.Loss, o.Vent, o.Room = 0, 0, coil
		s := o.Off()
		state := make([]float64, s.Size())
		s.Begin(state, 101325)
		state[heaterT], state[airT], state[wallT], state[vapour] = coil, coil, coil, 0.03
		was, _ := s.Account(state)
		const x = 0.03
		s.Advance(state, 0, 0.5, nil)
		stored, given := s.Account(state)
		settled := (x - state[vapour]) / (1 - x) * 101325 * o.Volume / (gasR * (coil + kelvin)) * waterMolar
		require.Greater(t, settled, 1e-6)
		assert.InEpsilon(t, each, (stored-was)/settled, 0.005, "%g °C", coil)
		assert.InEpsilon(t, stored-was, given, 1e-9)
	}
}

// A thermostat that is off keeps the air by so much off, and a relay's air swings about
// its set point by half the hysteresis and what the heater's lag adds.
func TestThermostatIsOff(t *testing.T) {
	mean := func(offset float64) (mean, low, high float64) {
		o := DomesticFan()
		o.Thermostat.Offset = offset
		run := empty(t, stage(o.At(180), time.Hour))
		low, high = math.Inf(1), 0
		for at := 30 * time.Minute; at <= run.Duration(); at += 2 * time.Second {
			air := o.Read(run, at).Air
			mean += air / 901
			low, high = min(low, air), max(high, air)
		}
		return mean, low, high
	}
	right, low, high := mean(0)
	wrong, _, _ := mean(-15)
	assert.InDelta(t, 180, right, DomesticFan().Thermostat.Hysteresis/2) // over it: it heats faster than it cools
	assert.InDelta(t, -15, wrong-right, 1)
	t.Logf("mean %.1f, between %.1f and %.1f °C", right, low, high)
	assert.True(t, low < 174 && low > 165 && high > 186 && high < 195) // ±5 to ±15 K of electronic control, from memory
}
