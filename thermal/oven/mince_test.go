package oven

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// Raw mince loses the same in an oven that cools whatever the tolerance and the cells:
// its juice does not come by the solver's steps.
func TestJuiceKnowsNoSteps(t *testing.T) {
	lost := func(tolerance float64, cells int) float64 { // [g]
		o := DomesticFan()
		d := thermal.Dish{Shape: geometry.Slab{Area: 0.03}, Start: thermal.Uniform(5), Layers: []thermal.Layer{
			{Name: "mince", Food: materials.MustFind("beef mince, raw"), Thickness: 0.02}}}
		run, err := thermal.Simulate(context.Background(), d, thermal.Schedule{stage(o.At(200), 30*time.Minute), stage(o.At(85), time.Hour)},
			&thermal.Settings{Moisture: true, Tolerance: tolerance, Cells: cells})
		require.NoError(t, err)
		assert.Less(t, run.Energy.Relative, 1e-12)
		assert.Less(t, run.Water.Relative, 1e-12)
		t.Logf("%g K, %d cells: %.2f g, %v", tolerance, cells, 1e3*run.Lost(), run.Stats)
		return 1e3 * run.Lost()
	}
	want := lost(0.02, 0)
	assert.InEpsilon(t, want, lost(0.07, 0), 0.01)
	assert.InEpsilon(t, want, lost(0.28, 0), 0.01)
	assert.InEpsilon(t, want, lost(0.07, 240), 0.01)
}
