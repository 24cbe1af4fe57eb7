package main

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal/safety"
)

func TestProgram(t *testing.T) {
	for _, c := range []struct {
		args []string
		says []string
	}{
		{nil, []string{"beef round, raw, slab, FROM 5 °C IN A BATH AT 57 °C", "Salmonella", "3-401.11(B)(2) (2022)", safety.Caution}},
		{[]string{"-bath", "62", "-shape", "cylinder", "-food", "lamb loin, raw"}, []string{"lamb loin, raw, cylinder"}},
		{[]string{"-bath", "49"}, []string{"-          -          -        -       -        -\n"}}, // nothing is killed
		{[]string{"-help"}, []string{"-longest"}},
	} {
		var out strings.Builder
		require.NoError(t, program(context.Background(), c.args, &out), "%v", c.args)
		for _, s := range c.says {
			assert.Contains(t, out.String(), s, "%v", c.args)
		}
	}
}

// Thicker takes longer, hotter shorter, and a cylinder is faster than a slab.
func TestOrder(t *testing.T) {
	needed := func(args ...string) (column []string) {
		var out strings.Builder
		require.NoError(t, program(context.Background(), args, &out))
		for _, line := range strings.Split(out.String(), "\n") {
			if f := strings.Fields(line); len(f) >= 8 && strings.HasSuffix(f[0], "0") && len(f[0]) == 2 {
				column = append(column, f[5])
			}
		}
		return column
	}
	slab, hot, round := needed(), needed("-bath", "60"), needed("-shape", "cylinder")
	require.Len(t, slab, 7)
	for i := range slab {
		pad := func(s string) string { return strings.Repeat("0", 6-len(s)) + s }
		assert.Less(t, pad(hot[i]), pad(slab[i]))
		assert.Less(t, pad(round[i]), pad(slab[i]))
		if i > 0 {
			assert.Less(t, pad(slab[i-1]), pad(slab[i]))
		}
	}
}

func TestReached(t *testing.T) {
	warm := func(limit float64) func(safety.History) bool {
		return func(p safety.History) bool { return p.Temperature[len(p.Temperature)-1] >= limit }
	}
	fast := safety.History{Time: []float64{0, 100}, Temperature: []float64{0, 100}}
	slow := safety.History{Time: []float64{0, 100}, Temperature: []float64{0, 50}}
	assert.InDelta(t, 40, reached([]safety.History{fast, slow}, warm(20)), 1)
	assert.InDelta(t, 40, reached([]safety.History{slow, fast}, warm(20)), 1)
	assert.Equal(t, never, reached([]safety.History{fast, slow}, warm(60)))
}

func TestProgramFaults(t *testing.T) {
	for args, says := range map[string]string{
		"-food granite": "unknown food", "-shape cube": "want slab, cylinder or sphere", "-bath NaN": "fluid temperature",
		"-longest -1h": "elapsed time", "-h -3": "heat transfer coefficient", "beef": "no arguments", "-from cold": "invalid value",
	} {
		err := program(context.Background(), strings.Fields(args), &strings.Builder{})
		assert.ErrorContains(t, err, says, args)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, program(ctx, nil, &strings.Builder{}), context.Canceled)
}
