package main

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

func TestProgram(t *testing.T) {
	for _, c := range []struct {
		args []string
		says []string
	}{
		{nil, []string{"potatoes, boiled", "dry kitchen air", `"steam only" first puts`}},
		{[]string{"-noradiation", "-longest", "20m"}, []string{`"steam only" does not dry it within 20m0s`}},
		{[]string{"-oven", "300", "-food", "carrots, boiled"}, []string{"AT 300 °C: carrots, boiled"}},
		{[]string{"-help"}, []string{"-noradiation"}},
	} {
		var out strings.Builder
		require.NoError(t, program(context.Background(), c.args, &out), "%v", c.args)
		for _, s := range c.says {
			assert.Contains(t, out.String(), s, "%v", c.args)
		}
	}
}

// The more humid the air the hotter the wet surface, always near the wet bulb, and the
// longer until it is dry.
func TestSurfaceFollowsTheWetBulb(t *testing.T) {
	dish := thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(20),
		Layers: []thermal.Layer{{Name: "block", Food: materials.MustFind("potatoes, boiled"), Thickness: 0.02}}}
	var before row
	for _, ratio := range []float64{0.005, 0.05, 0.3} {
		r, err := air{ratio: ratio}.cook(context.Background(), dish, thermal.FanOven(160), 2*60*60*1e9)
		require.NoError(t, err)
		require.True(t, r.dried)
		assert.InDelta(t, r.wetBulb, r.surface, 4, "%g kg/kg", ratio)
		assert.Greater(t, r.surface, before.surface+5)
		assert.Greater(t, r.took, before.took)
		before = r
	}
}

func TestProgramFaults(t *testing.T) {
	for args, says := range map[string]string{
		"-food granite": "unknown food", "-oven NaN": "dry-bulb temperature", "-oven 50": "humidity ratio", "-longest 0s": "-longest", "block": "no arguments", "-oven hot": "invalid value",
	} {
		err := program(context.Background(), strings.Fields(args), &strings.Builder{})
		assert.ErrorContains(t, err, says, args)
	}
}
