package dishfile

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

func TestChain(t *testing.T) {
	f := readFile(t, folder+"/wrapped-roll.toml")
	links, err := f.Chain()
	require.NoError(t, err)
	require.Len(t, links, 2)
	assert.Equal(t, []int{0, 1}, links[0].Stages)
	assert.Equal(t, []int{2, 3}, links[1].Stages)
	names := func(l Link) (out []string) {
		for _, x := range l.Dish.Layers {
			out = append(out, x.Name)
		}
		return out
	}
	assert.Equal(t, []string{"pork", "bag"}, names(links[0]))
	assert.Equal(t, []string{"pork", "pastry"}, names(links[1]))
	assert.Equal(t, map[string]float64{"pastry": 6}, links[1].Joins)
	assert.Len(t, links[0].Settings.Watch, 1, "the pastry cannot be watched before it is on")
	assert.Len(t, links[1].Settings.Watch, 2)

	var seen []Progress
	outcome, err := f.Simulate(context.Background(), func(p Progress) { seen = append(seen, p) })
	require.NoError(t, err)
	require.NoError(t, outcome.Stopped)
	require.Len(t, outcome.Runs, 2)
	cold, warm := outcome.Runs[0].End().Layers()[0], outcome.Runs[1].At(0).Layers()[0]
	assert.InDelta(t, cold.Mean, warm.Mean, 1e-3)
	assert.InDelta(t, 6, outcome.Runs[1].At(0).Layers()[1].Mean, 1e-6)
	assert.InDelta(t, 50, outcome.Report.End.Centre, 0.01)

	last := Progress{}
	stages := map[int]bool{}
	for _, p := range seen {
		require.GreaterOrEqual(t, p.Time, last.Time)
		require.GreaterOrEqual(t, p.Stage, last.Stage)
		require.Equal(t, f.Stages[p.Stage].Name, p.Name)
		stages[p.Stage] = true
		last = p
	}
	assert.Len(t, stages, 4)
	assert.Equal(t, outcome.Runs[0].Duration()+outcome.Runs[1].Duration(), last.Time)
}

func TestCourse(t *testing.T) {
	f := readFile(t, folder+"/wrapped-roll.toml")
	links, err := f.Chain()
	require.NoError(t, err)
	oven := links[1].Schedule[1].Medium
	for _, c := range []struct {
		at   float64 // [min]
		want float64 // [°C]
	}{{0, 220}, {14.999, 220}, {15, 180}, {27.5, 150}, {40, 120}, {300, 120}} {
		s := oven.At(thermal.Minutes(c.at))
		assert.InDelta(t, c.want, s.Fluid, 1e-9)
		assert.Equal(t, s.Fluid, s.Walls, "walls follow where they are not given")
		assert.Equal(t, thermal.FanOven(s.Fluid), s)
	}
	changer, ok := oven.(thermal.Changer)
	require.True(t, ok)
	assert.Contains(t, changer.Changes(), 15*time.Minute)
}

// TestAgain: an outcome in JSON is enough to get the same figures to the last bit.
func TestAgain(t *testing.T) {
	for _, name := range good(t) {
		f := readFile(t, name)
		var first, second bytes.Buffer
		outcome, err := f.Simulate(context.Background(), nil)
		require.NoError(t, err)
		require.NoError(t, outcome.WriteJSON(&first))
		g, err := Read(bytes.NewReader(first.Bytes()), "outcome")
		require.NoError(t, err)
		again, err := g.Simulate(context.Background(), nil)
		require.NoError(t, err)
		require.NoError(t, again.WriteJSON(&second))
		assert.True(t, bytes.Equal(first.Bytes(), second.Bytes()), name)

		var data map[string]any
		require.NoError(t, json.Unmarshal(first.Bytes(), &data))
		made := data["made_by"].(map[string]any)
		assert.Len(t, made["foods_sha256"], 64)
		assert.NotEmpty(t, made["go"])
		t.Log(name, len(first.Bytes())>>10, "KB")
	}
}

func TestBrokenOutcomes(t *testing.T) {
	for _, text := range []string{`{"outcome":2,"dish":{}}`, `{"outcome":1}`, `{"outcome":1,"dish":[]}`, `{"outcome":"1","dish":{"version":1}}`} {
		_, err := Read(bytes.NewReader([]byte(text)), "outcome")
		var faults Faults
		require.ErrorAs(t, err, &faults, text)
	}
}

// TestStopped: whatever ends a chain, what was computed is there and judged.
func TestStopped(t *testing.T) {
	f := readFile(t, folder+"/wrapped-roll.toml")
	ctx, cancel := context.WithCancel(context.Background())
	outcome, err := f.Simulate(ctx, func(p Progress) {
		if p.Stage == 1 {
			cancel()
		}
	})
	require.NoError(t, err)
	assert.True(t, outcome.Interrupted())
	require.Len(t, outcome.Runs, 1)
	assert.Positive(t, outcome.Runs[0].Duration())
	require.NotNil(t, outcome.Report)
	assert.NotEqual(t, "pass", string(outcome.Report.Wishes))

	f.Stages[0].Limit = "5 min"
	outcome, err = f.Simulate(context.Background(), nil)
	require.NoError(t, err)
	var limit *thermal.StageLimitError
	require.ErrorAs(t, outcome.Stopped, &limit)
	assert.Equal(t, "bath", limit.Name)
	assert.False(t, outcome.Interrupted())
	assert.InDelta(t, 300, outcome.Runs[0].Duration().Seconds(), 1e-6)
	assert.False(t, math.IsNaN(outcome.Report.End.Centre))
}
