package oven

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// block is a block of aluminium of 1 kg.
var block = TestBody{Capacity: 900, Area: 0.032}

// warming is a log of an oven in which air and walls go apart, of n points.
func warming(t *testing.T, n int, every float64) *Log {
	var points []LogPoint
	for i := range n {
		s := float64(i) * every
		points = append(points, LogPoint{s, 200 - 150*math.Exp(-s/200) + 6*math.Sin(s/60), 180 - 160*math.Exp(-s/700)})
	}
	log, err := NewLog(points)
	require.NoError(t, err)
	return log
}

// The integrator against the exponential of a body without radiation.
func TestFollow(t *testing.T) {
	log, err := NewLog([]LogPoint{{0, 200, math.NaN()}, {60, 200, math.NaN()}, {900, 200, math.NaN()}})
	require.NoError(t, err)
	out := make([]float64, 3)
	block.follow(log, thermal.Surroundings{H: 20}, 20, out, make([]float64, 3))
	for i, s := range []float64{0, 60, 900} {
		assert.InDelta(t, 200-180*math.Exp(-s*20*0.032/900), out[i], 1e-3)
	}
}

// A thin cup of 50 J/K in a bath follows a rising temperature with a lag of C/(h A), under a
// second, by the closed form of a ramp.
func TestFollowsFast(t *testing.T) {
	log, err := NewLog([]LogPoint{{0, 20, math.NaN()}, {60, 80, math.NaN()}, {90, 80, math.NaN()}})
	require.NoError(t, err)
	out := make([]float64, 3)
	TestBody{Capacity: 50, Area: 0.032}.follow(log, thermal.Surroundings{H: 2000}, 20, out, make([]float64, 3))
	const lag = 50 / (2000 * 0.032)
	assert.InDelta(t, 80-lag*(1-math.Exp(-60/lag)), out[1], 1e-6)
	assert.InDelta(t, 80, out[2], 1e-6)
}

// Logs of bodies that were computed with steps of 10 ms give back what they were made with,
// to a hundredth: of bodies slow and fast, in still air and in a bath, black and bright.
func TestFitsBack(t *testing.T) {
	log := warming(t, 121, 15)
	for _, capacity := range []float64{50, 900} {
		for _, truth := range []thermal.Surroundings{{H: 0.5}, {H: 0.5, Emissivity: 0.05}, {H: 5, Emissivity: 1}, {H: 100, Emissivity: 0.5}, {H: 500, Emissivity: 0.9}, {H: 2000, Emissivity: 0.5}} {
			body := TestBody{Capacity: capacity, Area: 0.032}
			const dt = 0.01
			at, temps := 20.0, []float64{20}
			for i := range int(120 * 15 / dt) {
				air, walls := log.at((float64(i) + 0.5) * dt)
				rise := func(at float64) float64 {
					return body.Area / body.Capacity * (truth.H*(air-at) + truth.Emissivity*sigma*(fourth(walls)-fourth(at)))
				}
				at += dt * rise(at+dt/2*rise(at))
				if (i+1)%int(15/dt) == 0 {
					temps = append(temps, at)
				}
			}
			f, err := Fit(context.Background(), body, log, temps)
			if assert.NoError(t, err, "%g J/K, %+v", capacity, truth) {
				assert.InEpsilon(t, truth.H, f.H, 0.01, "%g J/K, %+v", capacity, truth)
				assert.InDelta(t, truth.Emissivity, f.Emissivity, 0.01, "%g J/K, %+v", capacity, truth)
			}
		}
	}
}

// Synthetic logs with noise: what they were made with lies within three standard errors, and
// the spread over many logs is what one log's errors say.
func TestFit(t *testing.T) {
	log := warming(t, 121, 15)
	for _, truth := range []thermal.Surroundings{{H: 20, Emissivity: 0.85}, {H: 8, Emissivity: 0.3}, {H: 45, Emissivity: 0.1}} {
		r := rand.New(rand.NewPCG(3, uint64(truth.H)))
		const logs = 40
		inH, inE, spread, said := 0, 0, 0.0, 0.0
		for range logs {
			temps := make([]float64, 121)
			block.follow(log, truth, 20, temps, make([]float64, 121))
			for i := range temps { // the first too, from which the body sets out
				temps[i] += 0.3 * r.NormFloat64()
			}
			f, err := Fit(context.Background(), block, log, temps)
			require.NoError(t, err)
			if math.Abs(f.H-truth.H) < 2*f.HError {
				inH++
			}
			if math.Abs(f.Emissivity-truth.Emissivity) < 2*f.EmissivityError {
				inE++
			}
			assert.InDelta(t, truth.H, f.H, 4*f.HError)
			assert.InDelta(t, 0.3, f.Residual, 0.08)
			assert.Equal(t, thermal.Surroundings{H: f.H, Emissivity: f.Emissivity}, f.Like())
			spread += (f.H - truth.H) * (f.H - truth.H) / logs
			said += f.HError * f.HError / logs
		}
		t.Logf("%+v: within two errors %d and %d of %d; h ± %.3f said, %.3f found", truth, inH, inE, logs, math.Sqrt(said), math.Sqrt(spread))
		assert.GreaterOrEqual(t, inH, logs*85/100) // 95 % of a normal distribution
		assert.GreaterOrEqual(t, inE, logs*85/100)
		assert.InEpsilon(t, said, spread, 0.6)
	}
}

// A body with an inside, simulated.
func TestFitDish(t *testing.T) {
	dish := thermal.Dish{Shape: geometry.Sphere{}, Start: thermal.Uniform(10), Layers: []thermal.Layer{
		{Name: "potato", Food: materials.MustFind("potatoes, boiled"), Thickness: 0.02}}}
	log := warming(t, 41, 30)
	truth := thermal.Surroundings{H: 15, Emissivity: 0.6}
	settings := &thermal.Settings{Cells: 15}
	run, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{stage(log.In(truth), 20*time.Minute)}, settings)
	require.NoError(t, err)
	var temps []float64
	for _, p := range log.Points() {
		c, err := run.Temperature(thermal.Centre(), seconds(p.Time))
		require.NoError(t, err)
		temps = append(temps, c)
	}
	f, err := FitDish(context.Background(), dish, thermal.Centre(), log, temps, settings)
	require.NoError(t, err)
	t.Logf("%+v", *f)
	assert.InDelta(t, 15, f.H, 0.5)
	assert.InDelta(t, 0.6, f.Emissivity, 0.05)
}

func TestFitRefuses(t *testing.T) {
	ctx := context.Background()
	log := warming(t, 121, 15)
	temps := make([]float64, 121)
	block.follow(log, thermal.Surroundings{H: 20, Emissivity: 0.5}, 20, temps, make([]float64, 121))
	refused := func(err error, says string) {
		var fault *FitError
		assert.True(t, errors.As(err, &fault), "%v", err)
		assert.ErrorContains(t, err, says)
	}
	// air and walls alike, little warming, some noise: nothing tells the two apart
	var points []LogPoint
	r, noisy := rand.New(rand.NewPCG(1, 1)), []float64{}
	for i := range 121 {
		points = append(points, LogPoint{float64(i) * 15, 60, math.NaN()})
	}
	alike, err := NewLog(points)
	require.NoError(t, err)
	out := make([]float64, 121)
	block.follow(alike, thermal.Surroundings{H: 20, Emissivity: 0.5}, 50, out, make([]float64, len(out)))
	for _, v := range out {
		noisy = append(noisy, v+0.3*r.NormFloat64())
	}
	_, err = Fit(ctx, block, alike, noisy)
	refused(err, "does not tell convection from radiation")

	_, err = Fit(ctx, block, log, temps[:50])
	refused(err, "as many temperatures")
	_, err = Fit(ctx, block, nil, nil)
	refused(err, "a log of")
	bad := append([]float64(nil), temps...)
	bad[7] = math.NaN()
	_, err = Fit(ctx, block, log, bad)
	refused(err, "temperature 8")
	_, err = Fit(ctx, TestBody{Capacity: -1, Area: 0.1}, log, temps)
	assert.ErrorContains(t, err, "test body: heat capacity")
	ended, cancel := context.WithCancel(ctx)
	cancel()
	_, err = Fit(ended, block, log, temps)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = FitDish(ctx, thermal.Dish{}, thermal.Centre(), log, temps, nil)
	refused(err, "a try failed")
}
