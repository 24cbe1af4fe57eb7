package main

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

func TestProgram(t *testing.T) {
	if testing.Short() {
		t.Skip("many cells")
	}
	for _, c := range []struct {
		args []string
		says []string
	}{
		{nil, []string{"CLOSED BY SPINACH AND PASTRY", "10.0", "20.0", "40.0", "endless", "AT SERVING", "20 cm: slices are right from", "Caution"}},
		{[]string{"-bare", "-length", "0.08", "-cells", "400"}, []string{"ITS ENDS BARE", "4.0", "8.0", "16.0", "4 cm: no slice is right", "would overcook it"}},
		{[]string{"-help"}, []string{"-length"}},
	} {
		var out strings.Builder
		require.NoError(t, program(context.Background(), c.args, &out), "%v", c.args)
		for _, s := range c.says {
			assert.Contains(t, out.String(), s, "%v", c.args)
		}
	}
}

// Slices are hotter and greyer towards the end, and right from where they are said to be.
func TestLook(t *testing.T) {
	if testing.Short() {
		t.Skip("many cells")
	}
	schedule := thermal.Schedule{
		{Medium: thermal.FanOven(220), Until: thermal.Elapsed(35 * time.Minute)},
		{Medium: thermal.FanOven(85), Until: thermal.Above(thermal.Centre(), target)},
	}
	for _, bare := range []bool{false, true} {
		const length = 0.3
		both, err := thermal.Flatten(context.Background(), dish(length, bare), schedule, &thermal.Settings{Cells: 800})
		require.NoError(t, err)
		r, err := look(both, length)
		require.NoError(t, err)
		require.Len(t, r.slices, 16)
		assert.True(t, r.slices[0].all)
		middle := r.slices[15]
		assert.InDelta(t, target, middle.axis, 0.01)
		assert.InDelta(t, r.long.rim, middle.rim, 2e-4, "the middle of a long roll is as the endless one's")
		_, rim, err := both.Two.PeakAbove("lamb", grey)
		require.NoError(t, err)
		assert.InDelta(t, rim, middle.rim, 5e-5)
		for i, s := range r.slices {
			if i > 0 {
				assert.LessOrEqual(t, s.axis, r.slices[i-1].axis+1e-3)
				assert.LessOrEqual(t, s.rim, r.slices[i-1].rim+1e-5)
			}
			fits := s.axis <= r.long.axis+warmer && s.rim <= r.long.rim+wider
			assert.Equal(t, s.fromEnd >= r.right, fits, "bare %v, %g m from the end, right from %g m", bare, s.fromEnd, r.right)
		}
	}
}

// The conclusion is that of the numbers.
func TestConclude(t *testing.T) {
	for says, r := range map[string]roll{
		"20 cm: no slice is right;\nit is done 20 min before":               {length: 0.2, right: math.NaN(), late: 0.2, time: 100 * time.Minute},
		"20 cm: all slices are right;\nthe time of the endless roll serves": {length: 0.2, right: 0, late: -0.01, time: 100 * time.Minute},
		"right from 6.0 cm off each end, 40 % of them":                      {length: 0.2, right: 0.06, late: 0.01, time: 100 * time.Minute},
		"it is done 10 min after":                                           {length: 0.2, right: 0.06, late: -0.1, time: 100 * time.Minute},
	} {
		var out strings.Builder
		conclude(&out, []roll{r})
		assert.Contains(t, out.String(), says)
	}
}

func TestProgramFaults(t *testing.T) {
	for args, says := range map[string]string{
		"-length 0.01": "-length is", "-length NaN": "-length is", "-cells -1": "cells", "roll": "no arguments", "-length thick": "invalid value",
	} {
		err := program(context.Background(), strings.Fields(args), &strings.Builder{})
		assert.ErrorContains(t, err, says, args)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, program(ctx, nil, &strings.Builder{}), context.Canceled)
}
