package oven

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// crumb is next to nothing in an oven: it follows at once and takes no heat to speak of.
var crumb = thermal.Dish{Shape: geometry.Sphere{}, Start: thermal.Uniform(20), Layers: []thermal.Layer{
	{Name: "crumb", Food: materials.MustFind("breadcrumbs, dry"), Thickness: 1e-3}}}

// empty runs stages with a crumb, in steps so short that readings between them are good.
func empty(t *testing.T, stages ...thermal.Stage) *thermal.Run {
	run, err := thermal.Simulate(context.Background(), crumb, stages, &thermal.Settings{Cells: 10, MaxStep: 2 * time.Second})
	require.NoError(t, err)
	require.Len(t, run.Bodies, 1)
	return run
}

func stage(m thermal.Medium, d time.Duration) thermal.Stage {
	return thermal.Stage{Medium: m, Until: thermal.Elapsed(d)}
}

// reach is when the air first passes a temperature, to 5 s; 0 if it does not.
func reach(o *Oven, run *thermal.Run, from time.Duration, to float64) time.Duration {
	for at := from; at <= run.Duration(); at += 5 * time.Second {
		if (o.Read(run, at).Air-to)*o.sign() >= 0 {
			return at - from
		}
	}
	return 0
}
