package chart

import (
	"context"
	"math"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sitting is a chain of one-minute runs of a slab, of whose layers, one letter each,
// the words say which are on.
func sitting(t *testing.T, words ...string) (runs []*thermal.Run) {
	for i, word := range words {
		dish := thermal.Dish{Shape: geometry.Slab{}, Start: thermal.Uniform(10)}
		var start thermal.Carried
		if i > 0 {
			start = thermal.From(runs[i-1])
		}
		for _, letter := range word {
			name := string(letter)
			dish.Layers = append(dish.Layers, thermal.Layer{Name: name, Food: materials.MustFind("stock gel"), Thickness: float64(letter-'a'+1) * 1e-3})
			if i > 0 && !contains(words[i-1], letter) {
				start = start.With(name, 10)
			}
		}
		if i > 0 {
			dish.Start = start
		}
		run, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{{Name: word, Medium: thermal.Room(20), Until: thermal.Elapsed(time.Minute)}}, &thermal.Settings{Cells: 20})
		require.NoError(t, err)
		runs = append(runs, run)
	}
	return runs
}

func contains(word string, letter rune) bool {
	for _, r := range word {
		if r == letter {
			return true
		}
	}
	return false
}

// TestLayersOfAChain: layers keep the order that all runs have them in.
func TestLayersOfAChain(t *testing.T) {
	for _, test := range []struct {
		words []string
		want  string
	}{
		{[]string{"b"}, "b"},
		{[]string{"a", "ab", "abc"}, "abc"},
		{[]string{"ab", "a", "ac"}, "abc"}, // on one after the other: as they came
		{[]string{"b", "ab"}, "ab"},        // put under it
		{[]string{"ab", "a", "ac", "acb"}, "acb"},
		{[]string{"abc", "b", "dbe"}, "adbce"},
	} {
		c, err := chainOf(sitting(t, test.words...))
		require.NoError(t, err)
		var got string
		for _, name := range c.names {
			got += name
		}
		assert.Equal(t, test.want, got, test.words)
		assert.InDelta(t, 60*float64(len(test.words)), c.length, 1e-9)
		for i, l := range c.links {
			assert.InDelta(t, 60*float64(i), l.begin, 1e-9)
			for k, layer := range l.layer {
				assert.Greater(t, l.nodes[k], c.edges[layer], "%v run %d: a cell lies in its layer", test.words, i)
				assert.Less(t, l.nodes[k], c.edges[layer+1])
				assert.Contains(t, test.words[i], c.names[layer])
			}
		}
	}
	runs := sitting(t, "ab", "a", "ab")
	runs[2].Dish.Layers[1].Thickness *= 2 // it may be changed, although it should not
	_, err := chainOf(runs)
	assert.ErrorContains(t, err, "thickness")
}

// TestChainAgreesWithItsRuns: what a chart reads of a chain is what its runs say.
func TestChainAgreesWithItsRuns(t *testing.T) {
	runs, err := wrapped()
	require.NoError(t, err)
	c, err := sceneOf(runs, Temperature, Settings{}, samples)
	require.NoError(t, err)
	assert.Equal(t, []string{"lamb", "lard", "greens", "crust"}, c.names)
	last := -1.0
	for _, m := range c.moments {
		assert.GreaterOrEqual(t, m.time, last, "time runs on")
		last = m.time
		l := c.links[m.link]
		for k, name := range c.names {
			want, err := l.run.Temperature(thermal.MeanOf(name), duration(m.time-l.begin))
			if !l.on[k] {
				assert.Error(t, err)
				assert.True(t, math.IsNaN(m.mean[k]) && math.IsNaN(m.low[k]) && math.IsNaN(m.high[k]), name)
				continue
			}
			require.NoError(t, err)
			assert.InDelta(t, want, m.mean[k], 1e-6, name)
		}
	}
	assert.InDelta(t, c.length, last, 1e-6)
	var texts []string
	for _, e := range c.events() {
		texts = append(texts, e.text)
	}
	assert.Equal(t, []string{"taken off: lard", "put on: greens, crust"}, texts[:2])
	assert.Len(t, c.stages(), 5)

	// The page is blank exactly where there is no layer.
	img := c.field(axis{lo: -50, hi: 200})
	for _, p := range []struct {
		at    float64 // [s]
		mm    float64
		blank bool
	}{{600, 10, false}, {600, 26, false}, {600, 30, true}, {5000, 26, true}, {5000, 10, false}, {9000, 26, true}, {9000, 30, false}, {9000, 35, false}} {
		b := img.Bounds()
		x, y := int(p.at/c.length*float64(b.Dx())), int((1-p.mm/36)*float64(b.Dy()))
		assert.Equal(t, p.blank, img.At(x, y) == white, "%v", p)
	}
}
