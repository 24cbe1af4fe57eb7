package dishfile

import (
	"fmt"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReadingIsCheap: however large a dish a file describes, to read it takes little: its
// chain is rehearsed with few cells, and what is held against codes with one layer.
func TestReadingIsCheap(t *testing.T) {
	if testing.Short() {
		t.Skip("the race detector empties the pools of regexp, so that it counts other memory")
	}
	layers := func(n, joining int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "[[layers]]\nname = \"l%d\"\nfood = \"carrots, raw\"\nthickness = \"1 mm\"\n", i)
			if i > 0 && i <= joining {
				fmt.Fprintf(&b, "joins = \"s%d\"\n", i)
			}
		}
		return b.String()
	}
	stages := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "[[stages]]\nname = \"s%d\"\nmedium = { kind = \"room\", temperature = \"20 C\" }\nuntil = { time = \"1 min\" }\n", i)
		}
		return b.String()
	}
	const (
		head  = "version = 1\nstart = \"4 C\"\nshape = { kind = \"slab\" }\n"
		moist = "[settings]\nmoisture = true\ncells = 20000\n"
	)
	safety := strings.Repeat("[[safety]]\nfood = \"intact meat\"\nrules = [\"cooking\", \"cooling\", \"holding hot\", \"pasteurising\"]\n", 100)
	for name, c := range map[string]struct{ text, want string }{
		"many layers and cells": {head + layers(200, 0) + stages(1) + moist, ""},
		"many parts":            {head + layers(44, 43) + stages(44) + moist, ""},
		"too many parts":        {head + layers(200, 199) + stages(200) + moist, "20100 layers in all parts"},
		"many stages":           {head + layers(3, 2) + stages(1000), ""},
		"much held to codes":    {head + layers(200, 0) + stages(1) + safety, ""},
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := Read(strings.NewReader(c.text), name)
			runtime.ReadMemStats(&after)
			if c.want == "" {
				require.NoError(t, err)
			} else {
				require.ErrorContains(t, err, c.want)
			}
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(400<<20))
		})
	}
}

// TestPlacesHaveKeys: what other packages call a place is a key of the file.
func TestPlacesHaveKeys(t *testing.T) {
	f := readFile(t, folder+"/wrapped-roll.toml")
	links, err := f.Chain()
	require.NoError(t, err)
	for place, want := range map[string]string{
		`layer 1 ("pork")`:            "layers[1]",
		`layer 2 ("pastry")`:          "layers[3]",
		`start of layer 2 ("pastry")`: "layers[3].start",
		`stage 1 ("wrap")`:            "stages[3]",
		`stage 2 ("bake"), side`:      "stages[4]",
		`stage 3`:                     "",
		`layer 0`:                     "",
		"settings":                    "settings",
		"dish":                        "",
	} {
		assert.Equal(t, want, f.keyOfPlace(&links[1], place), place)
	}
	assert.Equal(t, "checks[2]", judged("wish 2 (crisp)"))
	assert.Equal(t, "safety[3]", judged("part 3"))
	assert.Empty(t, judged("case"))
}
