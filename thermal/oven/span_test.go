package oven

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
)

// Whatever ovens and baths are set to, what a dish meets stays in their span and the
// dish's; full power held long comes near the end of it.
func TestSpan(t *testing.T) {
	r := wild{rand.New(rand.NewPCG(3, 3))}
	closest, ran := math.Inf(1), 0
	for i := range 60 {
		o, dish := r.oven(), pie()
		o.Start, o.Warm = r.pick(-30, 300), false
		if o.Validate() != nil {
			continue
		}
		s := r.setting(o)
		if i%2 == 0 { // full power for long
			s.To, s.Openings = o.farthest()-o.Thermostat.Offset-o.sign()*0.01, nil
		}
		start := r.pick(-30, 60)
		dish.Start = thermal.Uniform(start)
		st := stage(s, 2*time.Hour)
		if o.Tray != nil {
			st.Patches = under(s.OnTray())
		}
		if s.Validate() != nil {
			continue
		}
		run, err := thermal.Simulate(t.Context(), dish, thermal.Schedule{st}, &thermal.Settings{Cells: 10, MaxSteps: 3000})
		if err != nil {
			continue // its own tests ask why
		}
		ran++
		lo, hi := o.Span()
		lo, hi = min(lo, start)-0.1, max(hi, start)+0.1
		for at := time.Duration(0); at <= run.Duration(); at += time.Minute {
			x := o.Read(run, at)
			for _, v := range append(x.Tray, x.Air, x.Walls) {
				assert.True(t, v >= lo && v <= hi, "%d: %g at %v is not in %g to %g: %+v", i, v, at, lo, hi, o)
			}
		}
		if i%2 == 0 {
			closest = min(closest, math.Abs((o.Read(run, run.Duration()).Air-o.farthest())/(o.farthest()-o.Room)))
		}
	}
	t.Log(ran, "ran, to within", closest)
	assert.Greater(t, ran, 20)
	assert.Less(t, closest, 0.02)

	b := Fryer()
	b.Start = 160
	run, err := thermal.Simulate(t.Context(), pie(), thermal.Schedule{{Medium: b.At(170), Until: thermal.Elapsed(30 * time.Minute)}}, &thermal.Settings{Cells: 10})
	require.NoError(t, err)
	_, hi := b.Span(170)
	assert.Equal(t, 175.0, hi, "half the hysteresis of 8 K, and one")
	for at := time.Duration(0); at <= run.Duration(); at += 5 * time.Second {
		met, err := run.Surroundings(geometry.Top, at)
		require.NoError(t, err)
		assert.LessOrEqual(t, met.Fluid, hi)
	}
	lo, hi := (*Oven)(nil).Span()
	assert.True(t, math.IsInf(lo, -1) && math.IsInf(hi, 1))
}

// What an earlier run has left hot is in the span, though the oven or the bath has less power now.
func TestSpanOfWhatIsLeft(t *testing.T) {
	o := DomesticFan()
	o.Tray = &Tray{Solid: Stone, Thickness: 0.02, Area: 0.12, Contact: 0.004, Start: 300}
	before := empty(t, stage(o.At(250), 20*time.Minute))
	left := o.After(before)
	left.Power, left.Start, left.Tray.Start = 300, 20, 20
	run := empty(t, stage(left.At(60), time.Hour))
	lo, hi := left.Span()
	highest := 0.0
	for at := time.Duration(0); at <= run.Duration(); at += 10 * time.Second {
		x := left.Read(run, at)
		for _, v := range append(x.Tray, x.Air, x.Walls) {
			assert.True(t, v >= lo && v <= hi, "%g at %v is not in %g to %g", v, at, lo, hi)
			highest = max(highest, v)
		}
	}
	t.Logf("%.1f of %.1f °C", highest, hi)
	_, far := DomesticFan().Span()
	assert.Less(t, hi, far)

	b := Fryer()
	b.Start = 180
	cooling := b.After(empty(t, stage(b.At(180), time.Minute)))
	cooling.Start = 20
	lo, hi = cooling.Span(100)
	met := cooling.Read(empty(t, stage(cooling.At(100), time.Minute)), 0).Temperature
	assert.True(t, met >= lo && met <= hi, "%g is not in %g to %g", met, lo, hi)
}

// An oven that loses nothing may get as hot as it likes, a cabinet as cold, but never beyond
// where it begins on the other side.
func TestSpanWithoutLoss(t *testing.T) {
	for _, radiant := range []float64{0, 0.5, 1} {
		for _, o := range []*Oven{DomesticStill(), Freezer()} {
			o.Loss, o.Vent, o.Radiant, o.Start = 0, 0, radiant, 30
			require.NoError(t, o.Validate())
			lo, hi := o.Span()
			if o.Cools {
				lo, hi = -hi, -lo
				assert.Equal(t, -30.0, lo)
			} else {
				assert.Equal(t, 20.0, lo)
			}
			assert.Equal(t, math.Inf(1), hi)
		}
	}
}
