package experiments

import (
	"context"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/dishfile"
)

// run simulates a file of the folder with some of its text replaced, as a student would.
func run(t *testing.T, name string, change ...string) *thermal.Run {
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	text := string(data)
	for i := 0; i < len(change); i += 2 {
		require.Contains(t, text, change[i])
		text = strings.Replace(text, change[i], change[i+1], 1)
	}
	f, err := dishfile.Read(strings.NewReader(text), name)
	require.NoError(t, err)
	outcome, err := f.Simulate(context.Background(), nil)
	require.NoError(t, err)
	require.NoError(t, outcome.Stopped)
	require.Len(t, outcome.Runs, 1)
	return outcome.Runs[0]
}

func TestSquare(t *testing.T) {
	minutes := func(change ...string) float64 { return run(t, "square.toml", change...).Duration().Minutes() }
	thick, gentle := []string{`"10 mm"`, `"20 mm"`}, []string{"5000 W", "10 W"}
	fierce10, fierce20 := minutes(), minutes(thick...)
	gentle10, gentle20 := minutes(gentle...), minutes(append(thick, gentle...)...)
	assert.InDelta(t, 10, fierce10, 0.5)
	assert.InDelta(t, 40, fierce20, 1)
	assert.InDelta(t, 136, gentle10, 2)
	assert.InDelta(t, 291, gentle20, 3)
	assert.InDelta(t, 4, fierce20/fierce10, 0.1)
	assert.InDelta(t, 2.1, gentle20/gentle10, 0.1)
}

func TestPlateau(t *testing.T) {
	for _, c := range []struct {
		change        []string
		first         float64 // [°C] of the centre when the surface's ice is far in
		late, through float64 // [min] at -5 °C, at -20 °C
	}{
		{nil, -1.1, 40, 51},
		{[]string{`"carrots, raw"`, `"syrup"`}, -3, 32, 49},
		{[]string{`"blast freezer"`, `"freezer"`}, -1.1, 122, 167},
	} {
		r := run(t, "plateau.toml", c.change...)
		at, met := r.Met(1)
		require.True(t, met)
		assert.InDelta(t, c.late, at.Minutes(), 1)
		assert.InDelta(t, c.through, r.Duration().Minutes(), 1)
		plateau, err := r.Temperature(thermal.Centre(), r.Duration()*3/10)
		require.NoError(t, err)
		assert.InDelta(t, c.first, plateau, 0.15)
	}
}

func TestWet(t *testing.T) {
	for _, c := range []struct {
		change      []string
		boils, dark float64 // [min]
		gain        float64 // [g] after 3 min
	}{
		{nil, 8.9, 18.4, -8.8},
		{[]string{"ratio 0.02 kg/kg", "steam"}, 1.1, 24, 24},
	} {
		r := run(t, "wet.toml", c.change...)
		boils, _ := r.Met(0)
		dark, met := r.Met(1)
		require.True(t, met)
		assert.InDelta(t, c.boils, boils.Minutes(), 0.2)
		assert.InDelta(t, c.dark, dark.Minutes(), 0.3)
		assert.InDelta(t, c.gain, 1e3*(r.At(thermal.Minutes(3)).Mass()-r.At(0).Mass()), 0.5)
	}
}
