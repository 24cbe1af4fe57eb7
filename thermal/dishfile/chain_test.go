package dishfile

import (
	"context"
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
	}{{-1, 220}, {0, 220}, {14.999, 220}, {15, 180}, {27.5, 150}, {40, 120}, {300, 120}} {
		s := oven.At(thermal.Minutes(c.at))
		assert.InDelta(t, c.want, s.Fluid, 1e-9)
		assert.Equal(t, s.Fluid, s.Walls, "walls follow where they are not given")
		assert.Equal(t, thermal.FanOven(s.Fluid), s)
	}
	assert.Zero(t, testing.AllocsPerRun(100, func() { oven.At(20 * time.Minute) }), "the solver asks in every step")
	changer, ok := oven.(thermal.Changer)
	require.True(t, ok)
	assert.Contains(t, changer.Changes(), 15*time.Minute)
}

// TestCourseOfTexts: what else is said of a medium stays as it changes, whatever becomes
// of the file.
func TestCourseOfTexts(t *testing.T) {
	f := readFile(t, folder+"/filled-tray.toml")
	emissivity := *f.Stages[0].Medium.Emissivity
	links, err := f.Chain()
	require.NoError(t, err)
	proof := links[0].Schedule[0].Medium
	*f.Stages[0].Medium.Emissivity = 0.5
	s := proof.At(5 * time.Minute)
	assert.InDelta(t, 28, s.Fluid, 1e-9)
	assert.Equal(t, thermal.Surroundings{Fluid: s.Fluid, H: 6, Walls: s.Fluid, Emissivity: emissivity, Humidity: thermal.DewPoint(20)}, s)
	plate := links[1].Schedule[1].Patches["underside"].At(2 * time.Minute)
	assert.Equal(t, thermal.Surroundings{Fluid: 25 + 145.0/4, H: 80}, plate)
}

// TestLayersBetween: in a flat dish layers may come and go anywhere.
func TestLayersBetween(t *testing.T) {
	f := readFile(t, folder+"/filled-tray.toml")
	f.Layers[0].Joins, f.Layers[0].Leaves = "", "open"
	f.Checks, f.Safety, f.Settings.Watch = nil, nil, nil
	require.NoError(t, f.Check())
	f.Shape = &Shape{Kind: "cylinder"}
	for i := range f.Stages {
		f.Stages[i].Patches = nil
	}
	var faults Faults
	require.ErrorAs(t, f.Check(), &faults)
	assert.Equal(t, "layers[1].leaves", faults[0].Key)
}

// TestRiseByTime: the times of a rise are those since its layer was put on, however many
// runs there are.
func TestRiseByTime(t *testing.T) {
	rise := &thermal.Rise{Against: thermal.RunTime, Points: []thermal.RisePoint{{At: 600, Ratio: 1}, {At: 1200, Ratio: 2}, {At: 3000, Ratio: 3}}}
	for _, c := range []struct {
		passed float64 // [s]
		want   []thermal.RisePoint
	}{
		{0, rise.Points},
		{300, []thermal.RisePoint{{At: 300, Ratio: 1}, {At: 900, Ratio: 2}, {At: 2700, Ratio: 3}}},
		{600, []thermal.RisePoint{{At: 0, Ratio: 1}, {At: 600, Ratio: 2}, {At: 2400, Ratio: 3}}},
		{900, []thermal.RisePoint{{At: 0, Ratio: 1.5}, {At: 300, Ratio: 2}, {At: 2100, Ratio: 3}}},
		{2100, []thermal.RisePoint{{At: 0, Ratio: 2.5}, {At: 900, Ratio: 3}}},
		{9000, []thermal.RisePoint{{At: 0, Ratio: 3}}},
	} {
		assert.Equal(t, c.want, later(rise, c.passed).Points, c.passed)
	}
	byPeak := &thermal.Rise{Points: []thermal.RisePoint{{At: 60, Ratio: 1}}}
	assert.Same(t, byPeak, later(byPeak, 600))

	f := readFile(t, folder+"/filled-tray.toml")
	f.Settings.Moisture, f.Stages[3].Brush = false, nil
	outcome, err := f.Simulate(context.Background(), nil)
	require.NoError(t, err)
	require.Len(t, outcome.Runs, 3)
	assert.InDelta(t, 1+0.5*25/40, risen(outcome.Runs[0]), 0.01)
	assert.InDelta(t, 1+0.5*25/40, outcome.Runs[1].Dish.Layers[0].Rise.Points[0].Ratio, 1e-12)
	assert.InDelta(t, 1.5, risen(outcome.Runs[1]), 0.01, "40 min after it was put on, within the second run")
}

// risen is the thickness of the innermost layer at the end of a run over the original.
func risen(r *thermal.Run) float64 {
	return r.End().Layers()[0].Thickness / r.Dish.Layers[0].Thickness
}
