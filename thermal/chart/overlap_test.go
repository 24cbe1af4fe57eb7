package chart

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/recorder"
)

// noneCovers checks that no text of a chart covers another or leaves the page.
func noneCovers(t *testing.T, name string, c *Chart) {
	t.Helper()
	height := vg.Length(pageWidth * float64(c.settings.Height) / float64(c.settings.Width))
	s := c.drawOn(&recorder.Canvas{}, pageWidth, height)
	require.Greater(t, len(s.boxes), 15, name)
	for i, a := range s.boxes {
		assert.True(t, a.Min.X >= 0 && a.Min.Y >= 0 && a.Max.X <= pageWidth && a.Max.Y <= height, "%s: %q leaves the page", name, s.words[i])
		for k, b := range s.boxes[:i] {
			cover := a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y-1 && b.Min.Y < a.Max.Y-1
			assert.False(t, cover, "%s: %q covers %q", name, s.words[i], s.words[k])
		}
	}
}

// everyKind draws all that there is of a chain and checks it.
func everyKind(t *testing.T, name string, runs []*thermal.Run, set Settings, of ...Quantity) {
	t.Helper()
	for _, q := range of {
		for kind, f := range map[string]func() (*Chart, error){
			"layers":   func() (*Chart, error) { return Layers(runs, q, &set) },
			"section":  func() (*Chart, error) { return Section(runs, q, &set) },
			"profiles": func() (*Chart, error) { return Profiles(runs, q, nil, &set) },
			"compare":  func() (*Chart, error) { return Compare(Named{"as it is", runs}, Named{name, runs}, q, &set) },
		} {
			c, err := f()
			require.NoError(t, err)
			noneCovers(t, fmt.Sprintf("%s, %s, %v, %+v", name, kind, q, set), c)
		}
	}
}

func TestNoTextCoversAnother(t *testing.T) {
	for _, set := range []Settings{{}, {Width: 1600}, {Fahrenheit: true, Height: 1000}, {Height: 360}} {
		for name, c := range charts(t, &set) {
			noneCovers(t, name, c)
		}
	}
}

// TestNoTextCoversAnotherInALargeDish of many layers with long names and stages.
func TestNoTextCoversAnotherInALargeDish(t *testing.T) {
	if testing.Short() {
		t.Skip("draws or computes a great deal")
	}
	foods := []string{"puff pastry, raw", "stock gel", "spinach, cooked and pressed", "lamb loin, cooked"}
	for _, test := range []struct {
		layers, stages int
		name           string
	}{
		{10, 12, "a layer of herbs, breadcrumbs and mustard that goes on and on"}, {40, 40, "W"}, {1, 1, ""},
		{3, 12, "Füllung aus Grünkohl, Maronen & Äpfeln (fein gehackt) ½"},
	} {
		dish := thermal.Dish{Shape: geometry.Slab{}, Start: thermal.Uniform(-18)}
		for i := range test.layers {
			dish.Layers = append(dish.Layers, thermal.Layer{Name: fmt.Sprintf("%s %d", test.name, i+1), Food: materials.MustFind(foods[i%len(foods)]), Thickness: 0.03 / float64(test.layers)})
		}
		var schedule thermal.Schedule
		for i := range test.stages {
			schedule = append(schedule, thermal.Stage{Name: fmt.Sprintf("%s, stage %d", test.name, i+1), Medium: thermal.FanOven(160 + 60*float64(i%2)), Until: thermal.Elapsed(time.Duration(i*i+1) * time.Minute / 2)})
		}
		run, err := thermal.Simulate(context.Background(), dish, schedule, &thermal.Settings{Cells: 50, Watch: []thermal.Condition{
			thermal.Above(thermal.Centre(), 0), thermal.Above(thermal.MeanOf(dish.Layers[0].Name), 40), thermal.Above(thermal.Skin(), 100)}})
		require.NoError(t, err)
		runs := []*thermal.Run{run}
		everyKind(t, test.name, runs, Settings{}, Temperature, WaterContent)
		everyKind(t, test.name, runs, Settings{Fahrenheit: true, Width: 1600, Height: 720}, Temperature)
		everyKind(t, test.name, runs, Settings{Width: 400, Height: 600, Title: strings.Repeat(test.name+" ", 5)}, WaterContent)
	}
}
