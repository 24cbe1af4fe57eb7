package main

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

func TestProgram(t *testing.T) {
	for _, c := range []struct {
		args []string
		says []string
	}{
		{nil, []string{"WITHOUT FAT", "WITH 1 MM OF cocoa butter", "frozen", "baked", "open", "covered", "CONCLUSION"}},
		{[]string{"-fat", "butter", "-film", "0.3", "-hotfor", "2m", "-hold", "3h"}, []string{"WITH 0.3 MM OF butter"}},
		{[]string{"-help"}, []string{"-hotfor"}},
	} {
		var out strings.Builder
		require.NoError(t, program(context.Background(), c.args, &out), "%v", c.args)
		for _, s := range c.says {
			assert.Contains(t, out.String(), s, "%v", c.args)
		}
	}
}

// The conclusion is that of the numbers.
func TestConclude(t *testing.T) {
	held := func(water, crisp float64) report {
		at := func(name string, inside, zone float64) moment {
			return moment{name: name, layers: []thermal.LayerState{{Name: "inside", Water: inside}, {Name: "pastry", Thickness: 0.01}}, crust: thermal.Crust{Thickness: zone}}
		}
		return report{moments: []moment{at("frozen", 0.5, 0), at("baked", 0.45, 0.01), at("held", 0.45-water, crisp*0.01)}}
	}
	for says, c := range map[string][2]report{
		"It is soft either way.":     {held(0.01, 0), held(0, 0)},
		"Only fat keeps it crisp.":   {held(0.01, 0), held(0, 0.5)},
		"Fat keeps more of it crisp": {held(0.01, 0.3), held(0, 2)}, // dry fat counts, but not for more than all
		"Fat makes no difference.":   {held(0.01, 0.5), held(0, 0.53)},
		"Fat does harm.":             {held(0.01, 0.5), held(0, 0.2)},
	} {
		var out strings.Builder
		conclude(&out, c[0], c[1])
		assert.Contains(t, out.String(), says)
		assert.Contains(t, out.String(), "In the oven the water of the inside changed by -50.0 g without fat and by -50.0 g with it.")
		assert.Contains(t, out.String(), "Held held, it changed by -10.0 g without fat")
	}
}

func TestProgramFaults(t *testing.T) {
	for args, says := range map[string]string{
		"-fat granite": "unknown food", "-film -1": `layer 3 ("fat")`, "-hold -1h": "elapsed time", "-place NaN": "fluid temperature", "roll": "no arguments", "-film thick": "invalid value",
	} {
		err := program(context.Background(), strings.Fields(args), &strings.Builder{})
		assert.ErrorContains(t, err, says, args)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, program(ctx, nil, &strings.Builder{}), context.Canceled)
}
