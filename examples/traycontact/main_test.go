package main

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestProgram(t *testing.T) {
	for _, c := range []struct {
		args []string
		says []string
	}{
		{nil, []string{"FROM -18 °C", "rack", "cold tray, paper", "hot steel", "The thickest bottom crust"}},
		{[]string{"-oven", "100", "-start", "4"}, []string{"None of them makes a bottom crust"}},
		{[]string{"-help"}, []string{"-contact"}},
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
	rows := []row{{name: "rack", crust: 1e-3}, {name: "tray", crust: 1.5e-3}, {crust: 1e-3}, {name: "steel", crust: 3e-3}, {crust: 2.8e-3}}
	var out strings.Builder
	conclude(&out, rows)
	assert.Contains(t, out.String(), "3.0 mm, is that on: steel. Paper costs 0.5 mm of it on the cold tray and 0.2 mm on the steel.")
	out.Reset()
	conclude(&out, make([]row, 5))
	assert.Contains(t, out.String(), "None of them")
}

func TestProgramFaults(t *testing.T) {
	for args, says := range map[string]string{
		"-oven NaN": "start NaN", "-oven 900": "can hold", "-start 500": "temperature", "-bake 5m": "-bake is 20m", "-contact -1": "contact -1", "-steel 0": "thickness 0", "bread": "no arguments",
	} {
		err := program(context.Background(), strings.Fields(args), &strings.Builder{})
		assert.ErrorContains(t, err, says, args)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, program(ctx, nil, &strings.Builder{}), context.Canceled)
}
