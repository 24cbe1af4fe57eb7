package dishfile

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

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

		var data map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(first.Bytes(), &data))
		require.Greater(t, len(data["runs"]), 1000)
		require.Greater(t, len(data["report"]), 100)
		assert.NotContains(t, data, "stopped")
		var made map[string]string
		require.NoError(t, json.Unmarshal(data["made_by"], &made))
		assert.Equal(t, materials.TableSum(), made["foods_sha256"])
		assert.NotEmpty(t, made["go"])
		assert.NotEmpty(t, made["arch"])
		assert.NotEmpty(t, made["thawfront"])
		t.Log(name, first.Len()>>10, "KB")
	}
}

const smallDish = `{"version":1,"start":"4 C","shape":{"kind":"sphere"},"layers":[{"food":"butter","thickness":"1 in"}],
"stages":[{"medium":{"kind":"room","temperature":"20 C"},"until":{"time":"5 min"}}]}`

func TestOutcomesAreRead(t *testing.T) {
	want, err := Read(strings.NewReader(smallDish), "dish")
	require.NoError(t, err)
	want.lines = nil
	deep := `{"time":"1 h"}`
	for range 5 {
		deep = `{"any":[` + deep + `]}`
	}
	for name, text := range map[string]string{
		"keys in another order":                 `{"outcome":1,"runs":[{"a":[1,2]}],"dish":` + smallDish + `,"report":null}`,
		"the dish first":                        `{"dish":` + smallDish + `,"outcome":1,"runs":[]}`,
		"more in the runs than a file may hold": `{"outcome":1,"dish":` + smallDish + `,"runs":[` + strings.Repeat("0.123456789,", 200_000) + `0]}`,
		"runs nested deeper than a file may be": `{"outcome":1,"dish":` + smallDish + `,"runs":` + strings.Repeat("[", 30) + strings.Repeat("]", 30) + `}`,
	} {
		f, err := Read(strings.NewReader(text), name)
		require.NoError(t, err, name)
		f.lines = nil
		assert.Equal(t, want, f, name)
	}
	// as deep as a file may be: its table in that of an outcome is one deeper
	text := strings.Replace(smallDish, `{"time":"5 min"}`, deep, 1)
	_, err = Read(strings.NewReader(text), "deep dish")
	require.NoError(t, err)
	_, err = Read(strings.NewReader(`{"outcome":1,"dish":`+text+`}`), "deep outcome")
	require.NoError(t, err)
	text = strings.Replace(smallDish, `{"time":"5 min"}`, `{"any":[{"any":[`+deep+`]}]}`, 1)
	_, err = Read(strings.NewReader(text), "too deep")
	require.ErrorContains(t, err, "nested too deeply")
	_, err = Read(strings.NewReader(`{"outcome":1,"dish":`+text+`}`), "too deep")
	require.ErrorContains(t, err, "nested too deeply")
}

func TestBrokenOutcomes(t *testing.T) {
	for text, want := range map[string]string{
		`{"outcome":2,"dish":{}}`:                                   "another version",
		`{"outcome":1}`:                                             "without its dish",
		`{"outcome":1,"dish":[]}`:                                   "without its dish",
		`{"outcome":"2","dish":{"version":1}}`:                      "another version",
		`{"outcome":"1","dish":{"version":1}}`:                      "another version",
		`{"outcome":1,"dish":{"version":1},"runs":[}`:               "not JSON",
		`{"outcome":1,"dish":{"version":1},"runs":[`:                "not JSON",
		`{"outcome":1,"dish":{"version":1},"dish":{}}`:              "there twice",
		"{\"outcome\":1,\n\"dish\":{\n\"version\":1,\"a\":2}}":      "broken:3: a: unknown key",
		`{"a":"` + strings.Repeat("a", 2<<20) + `"}`:                "file too large",
		`{"outcome":1,"a":"` + strings.Repeat("a", maxWhole) + `"}`: "file too large",
	} {
		_, err := Read(strings.NewReader(text), "broken")
		var faults Faults
		require.ErrorAs(t, err, &faults, shorten(text))
		assert.ErrorContains(t, err, want)
	}
}

// TestStopped: whatever ends a chain, what was computed is there and judged, and can be
// written.
func TestStopped(t *testing.T) {
	written := func(o *Outcome) string {
		var b bytes.Buffer
		require.NoError(t, o.WriteJSON(&b))
		var data struct{ Stopped string }
		require.NoError(t, json.Unmarshal(b.Bytes(), &data))
		_, err := Read(&b, "outcome")
		require.NoError(t, err)
		return data.Stopped
	}
	for _, stage := range []int{0, 1, 2, 3} {
		f := readFile(t, folder+"/wrapped-roll.toml")
		ctx, cancel := context.WithCancelCause(context.Background())
		why := errors.New("enough")
		outcome, err := f.Simulate(ctx, func(p Progress) {
			if p.Stage == stage {
				cancel(why)
			}
		})
		require.NoError(t, err)
		assert.True(t, outcome.Interrupted())
		assert.ErrorIs(t, outcome.Stopped, why)
		require.Len(t, outcome.Runs, 1+stage/2)
		assert.Positive(t, outcome.Runs[stage/2].Duration())
		require.NotNil(t, outcome.Report)
		assert.Equal(t, "cannot tell", fmt.Sprint(outcome.Report.Wishes))
		assert.Contains(t, written(outcome), "enough")
	}

	f := readFile(t, folder+"/wrapped-roll.toml")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	outcome, err := f.Simulate(ctx, nil)
	require.NoError(t, err)
	assert.True(t, outcome.Interrupted())
	require.Len(t, outcome.Runs, 1)
	assert.Zero(t, outcome.Runs[0].Duration())
	written(outcome)

	for stage, limit := range map[int]Time{0: "5 min", 3: "2 min"} {
		f := readFile(t, folder+"/wrapped-roll.toml")
		f.Stages[stage].Limit = limit
		outcome, err = f.Simulate(context.Background(), nil)
		require.NoError(t, err)
		var stopped *thermal.StageLimitError
		require.ErrorAs(t, outcome.Stopped, &stopped)
		assert.Equal(t, f.Stages[stage].Name, stopped.Name)
		assert.False(t, outcome.Interrupted())
		last := outcome.Runs[len(outcome.Runs)-1].Stages
		assert.InDelta(t, si(limit), (last[len(last)-1].End - last[len(last)-1].Start).Seconds(), 1e-6)
		assert.False(t, math.IsNaN(outcome.Report.End.Centre))
		written(outcome)
	}

	f = readFile(t, folder+"/wrapped-roll.toml")
	f.Settings.MaxSteps = 80
	outcome, err = f.Simulate(context.Background(), nil)
	require.NoError(t, err)
	var gaveUp *thermal.SolverError
	require.ErrorAs(t, outcome.Stopped, &gaveUp)
	written(outcome)
}

func TestProgress(t *testing.T) {
	f := readFile(t, folder+"/wrapped-roll.toml")
	links, err := f.Chain()
	require.NoError(t, err)
	last, stages := Progress{}, map[int]bool{}
	outcome, err := f.Simulate(context.Background(), func(p Progress) {
		require.GreaterOrEqual(t, p.Time, last.Time)
		require.GreaterOrEqual(t, p.Stage, last.Stage)
		require.Equal(t, f.Stages[p.Stage].Name, p.Name)
		stages[p.Stage], last = true, p
	})
	require.NoError(t, err)
	assert.Len(t, stages, len(f.Stages))
	assert.Equal(t, outcome.Runs[0].Duration()+outcome.Runs[1].Duration(), last.Time)

	c := chain{file: f}
	seen := 0
	watch := c.watch(&links[0], func(Progress) { seen++ })
	state := outcome.Runs[0].At(time.Minute)
	assert.Zero(t, testing.AllocsPerRun(100, func() { watch(state) }), "it is called after every step")
	assert.Positive(t, seen)
}

// TestProgressSkips what is over as it begins.
func TestProgressSkips(t *testing.T) {
	f := readFile(t, folder+"/wrapped-roll.toml")
	f.Stages[1].Until = &Condition{Above: "20 C"}
	f.Safety = nil
	seen := map[int]int{}
	_, err := f.Simulate(context.Background(), func(p Progress) { seen[p.Stage]++ })
	require.NoError(t, err)
	assert.Zero(t, seen[1])
	assert.Positive(t, seen[2])
}

// TestSideBySide: one File may be simulated by many at once.
func TestSideBySide(t *testing.T) {
	f := readFile(t, folder+"/wrapped-roll.toml")
	texts := make(chan string)
	for range 3 {
		go func() {
			var b bytes.Buffer
			if outcome, err := f.Simulate(context.Background(), nil); err == nil {
				_ = outcome.WriteJSON(&b)
			}
			texts <- b.String()
		}()
	}
	first := <-texts
	assert.Greater(t, len(first), 1000)
	assert.Equal(t, first, <-texts)
	assert.Equal(t, first, <-texts)
}

// TestNilContext never ends, as with thermal.Simulate.
func TestNilContext(t *testing.T) {
	f, err := Read(strings.NewReader(smallDish), "dish")
	require.NoError(t, err)
	var none context.Context // which never ends
	outcome, err := f.Simulate(none, nil)
	require.NoError(t, err)
	assert.NoError(t, outcome.Stopped)
}
