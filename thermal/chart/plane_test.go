package chart

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// TestTwoDimensions: a long roll looks like the cylinder through its middle, and every
// shape can be drawn.
func TestTwoDimensions(t *testing.T) {
	bake := func(shape geometry.Shape) []*thermal.Run {
		run, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: shape, Start: thermal.Uniform(-18), Layers: []thermal.Layer{
			{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.02},
			{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.004}}},
			thermal.Schedule{{Name: "bake", Medium: thermal.FanOven(200), Until: thermal.Elapsed(20 * time.Minute)}}, &thermal.Settings{Cells: 400})
		require.NoError(t, err)
		return []*thermal.Run{run}
	}
	for _, shape := range []geometry.Shape{geometry.FiniteCylinder{Length: 0.3}, geometry.RollSection{ContactWidth: 0.01}, geometry.Bar{Width: 0.06}, geometry.Tray{Width: 0.2}} {
		runs := bake(shape)
		for i, of := range []func() (*Chart, error){
			func() (*Chart, error) { return Layers(runs, Temperature, nil) },
			func() (*Chart, error) { return Section(runs, Temperature, nil) },
			func() (*Chart, error) { return Profiles(runs, WaterContent, nil, nil) },
		} {
			c, err := of()
			require.NoError(t, err)
			var b bytes.Buffer
			require.NoError(t, c.Write(&b, SVG))
			assert.Equal(t, i > 0, strings.Contains(b.String(), "middle line: distance from the"), "what has an axis through the dish says which")
		}
	}
	long, err := newScene(bake(geometry.FiniteCylinder{Length: 0.3}), Temperature, Settings{})
	require.NoError(t, err)
	require.NoError(t, long.readAt([]float64{600}))
	flat, err := newScene(bake(geometry.Cylinder{Length: 0.3}), Temperature, Settings{})
	require.NoError(t, err)
	require.NoError(t, flat.readAt([]float64{600}))
	last := func(s *scene) float64 { return s.moments[0].values[len(s.moments[0].values)-1] }
	assert.InDelta(t, last(flat), last(long), 2, "the surface at mid-length")
	assert.InDelta(t, flat.moments[0].values[0], long.moments[0].values[0], 1)
	assert.Greater(t, len(long.links[0].every), 5*len(long.links[0].line))
	assert.InDelta(t, 24, long.links[0].nodes[len(long.links[0].nodes)-1], 1e-9)
}
