package quality

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/kinetics"
)

// block is a food of measured curves without a phase change.
func block(t *testing.T) materials.Food {
	t.Helper()
	food, err := materials.FromEnthalpy("block", 1000, []materials.Point{{T: -100, Enthalpy: 0, Conductivity: 0.5}, {T: 300, Enthalpy: 1.4e6, Conductivity: 0.5}})
	require.NoError(t, err)
	return food
}

// insulated keeps a layer for a time as it starts.
func insulated(t *testing.T, shape geometry.Shape, food materials.Food, thickness float64, start thermal.Start, d time.Duration) *thermal.Run {
	t.Helper()
	run, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: shape, Start: start,
		Layers: []thermal.Layer{{Name: "all", Food: food, Thickness: thickness}}},
		thermal.Schedule{{Medium: thermal.Insulated(), Until: thermal.Elapsed(d)}}, &thermal.Settings{Cells: 40})
	require.NoError(t, err)
	return run
}

// held is a layer that stays at a temperature [°C].
func held(t *testing.T, temperature float64, d time.Duration) *thermal.Run {
	t.Helper()
	return insulated(t, geometry.HalfSlab{}, block(t), 0.02, thermal.Uniform(temperature), d)
}

// wrapped is meat in pastry in an oven at a temperature [°C].
func wrapped(t *testing.T, oven float64, moisture bool, d time.Duration) *thermal.Run {
	t.Helper()
	run, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: geometry.Cylinder{}, Start: thermal.Uniform(5), Layers: []thermal.Layer{
		{Name: "meat", Food: materials.MustFind("beef tenderloin, raw"), Thickness: 0.02},
		{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.005},
	}}, thermal.Schedule{{Medium: thermal.FanOven(oven), Until: thermal.Elapsed(d)}}, &thermal.Settings{Cells: 40, Moisture: moisture})
	require.NoError(t, err)
	return run
}

var roast = []Layer{{Name: "meat", Kind: Meat}, {Name: "crust", Kind: Dough}}

// assess follows what the layers ask for, and judges.
func assess(t *testing.T, run *thermal.Run, layers ...Layer) *Report {
	t.Helper()
	var followed *kinetics.Result
	if q := Quantities(layers...); len(q) > 0 {
		var err error
		followed, err = kinetics.Follow(run, nil, q...)
		require.NoError(t, err)
	}
	r, err := Assess(run, followed, layers...)
	require.NoError(t, err)
	return r
}

func inputError(t *testing.T, err error, contains string) {
	t.Helper()
	var input *InputError
	require.True(t, errors.As(err, &input), "%v", err)
	require.ErrorContains(t, err, contains)
}
