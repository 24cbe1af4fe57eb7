package main

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestProgram(t *testing.T) {
	for _, c := range []struct {
		args []string
		says []string
	}{
		{nil, []string{"AT 220 °C FOR 40m0s", "ideal", "turned down", "door opened", "CONCLUSION"}},
		{[]string{"-core", "-5", "-hotfor", "20m"}, []string{"-5 °C"}},
		{[]string{"-help"}, []string{"-hotfor"}},
	} {
		var out strings.Builder
		require.NoError(t, program(context.Background(), c.args, &out), "%v", c.args)
		for _, s := range c.says {
			assert.Contains(t, out.String(), s, "%v", c.args)
		}
		t.Log(out.String())
	}
}

// The conclusion is that of the numbers.
func TestConclude(t *testing.T) {
	ways := func(down, door float64) []row {
		return []row{{hottest: 60, total: time.Hour}, {hottest: 60 + down, total: 50 * time.Minute}, {hottest: 60 + door}}
	}
	for says, rows := range map[string][]row{
		"nothing to open the door for": ways(0.2, 0.1),
		"lamb 4.0 K cooler":            ways(5, 1),
		"lamb 6.0 K cooler":            ways(5, -1),
	} {
		var out strings.Builder
		conclude(&out, rows)
		assert.Contains(t, out.String(), says)
	}
}

func TestProgramFaults(t *testing.T) {
	for args, says := range map[string]string{
		"-hot NaN": "fluid temperature", "-hot 990": "properties", "-gentle -5000": "fluid temperature", "-door 0s": "a time over 0", "-hotfor -1h": "elapsed time", "-core 500": "not reached", "roll": "no arguments",
	} {
		err := program(context.Background(), strings.Fields(args), &strings.Builder{})
		assert.ErrorContains(t, err, says, args)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, program(ctx, nil, &strings.Builder{}), context.Canceled)
}
