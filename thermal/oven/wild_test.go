package oven

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.com/thawfront/thermal"
)

// Ovens with any figures that are allowed are refused, cook, or fail with an error that
// says where; their accounts close all the same.
func TestWildOvens(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	some := func(lo, hi float64) float64 { return lo * math.Exp(r.Float64()*math.Log(hi/lo)) }
	cooked, refused, failed := 0, 0, 0
	for i := range 200 {
		o := &Oven{Power: some(1, 1e6), Cools: r.IntN(4) == 0, Volume: some(1e-3, 100), Heater: some(10, 1e7), Glow: some(1e-2, 1e6), Radiant: r.Float64(),
			Air: some(1, 1e6), Walls: some(10, 1e8), Exchange: some(1e-2, 1e6), Loss: some(1e-3, 1e5), Vent: some(1e-6, 10), Door: Door{some(0.01, 5), some(0.01, 5)},
			H: some(1, 1e4), Emissivity: r.Float64(), Thermostat: Thermostat{Hysteresis: some(1e-6, 200)}, Room: 20, RoomVapour: 0.01, Start: -50 + 300*r.Float64(), Warm: r.IntN(2) == 0}
		s := &Setting{Oven: o, To: 250 * r.Float64(), Steam: some(1e-9, 1), Openings: []Opening{{time.Minute, time.Minute}}}
		st := stage(s, 5*time.Minute)
		if r.IntN(2) == 0 {
			o.Tray = &Tray{Solid: Solid{"any", some(0.01, 1000), some(10, 30000), some(100, 10000), r.Float64()}, Thickness: some(1e-4, 0.5), Area: some(1e-2, 10), Covered: 0.01,
				Contact: some(1e-4, 10), Start: 300 * r.Float64()}
			st.Patches = under(s.OnTray())
		}
		run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{st}, &thermal.Settings{Moisture: i%2 == 0, Cells: 20, MaxSteps: 3000})
		var input *thermal.InputError
		var solver *thermal.SolverError
		switch {
		case err == nil:
			cooked++
			assert.Less(t, run.Bodies[0].Relative, 1e-8, "%d: %+v", i, o)
			assert.Less(t, run.Energy.Relative, 1e-8, "%d: %+v", i, o)
		case run == nil:
			refused++
			assert.True(t, errors.As(err, &input), err)
		default:
			failed++
			assert.True(t, errors.As(err, &input) || errors.As(err, &solver), err)
		}
	}
	t.Log(cooked, "cooked,", refused, "refused,", failed, "failed")
	assert.Greater(t, cooked, 20)
}
