package verdict

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

// apply follows the advice: the same stages, of which one is changed.
func (try *Try) apply(t *testing.T, run *thermal.Run) thermal.Schedule {
	t.Helper()
	s := append(thermal.Schedule{}, run.Schedule...)
	x := &s[try.Stage-1]
	if try.Medium != nil {
		m := x.Medium.(thermal.Surroundings)
		m.Fluid, m.Walls = *try.Medium, *try.Medium
		x.Medium = m
	}
	if try.Longer != nil {
		was := run.Stages[try.Stage-1]
		longer := was.End - was.Start + time.Duration(*try.Longer*1e9)
		require.Greater(t, longer, time.Duration(0))
		x.Until = thermal.Elapsed(longer)
	}
	return s
}

// What is tried helps: the wish that was missed is missed by much less, or met.
func TestAdviceHelps(t *testing.T) {
	bath := func(t, minutes float64) thermal.Stage { return stage("bath", thermal.WaterBath(t), minutes) }
	until := func(temp float64) thermal.Stage {
		return thermal.Stage{Name: "bath", Medium: thermal.WaterBath(temp), Until: thermal.Above(thermal.Centre(), 55), Limit: 6 * time.Hour}
	}
	hot := func(minutes float64) thermal.Stage { return stage("hot", thermal.FanOven(220), minutes) }
	for name, c := range map[string]struct {
		dish     thermal.Dish
		settings *thermal.Settings
		stages   thermal.Schedule
		wish     Wish
		left     float64 // [-] of what was missing that may still be
	}{
		"too cold, a longer stage":  {lamb(5), still, thermal.Schedule{bath(70, 16)}, Served{thermal.Centre(), 50, 60}, 0.4},
		"a layer not done":          {lamb(5), still, thermal.Schedule{bath(65, 18)}, Done{"lamb", 52, 70, 1}, 0.4},
		"too hot, a shorter stage":  {lamb(5), still, thermal.Schedule{bath(80, 45)}, Served{thermal.Centre(), 50, 56}, 0},
		"ice, a longer stage":       {lamb(-18), still, thermal.Schedule{stage("thaw", thermal.Room(20), 90)}, Thawed{}, 0.4},
		"a rim, a cooler bath":      {lamb(5), still, thermal.Schedule{until(70)}, Rim{"lamb", 62, 2e-3}, 0.1},
		"too much overdone, cooler": {lamb(5), still, thermal.Schedule{until(75)}, Done{"lamb", 50, 65, 0.9}, 0.1},
		"a rim, a shorter hot oven": {pie(5), still, thermal.Schedule{hot(15), stage("gentle", thermal.FanOven(50), 40)}, Rim{"lamb", 52, 2e-3}, 0.6},
		"a wet crust":               {pie(-18), wet, thermal.Schedule{hot(20)}, Crisp{0.5}, 0.3},
		"a pale crust":              {pie(-18), wet, thermal.Schedule{hot(35)}, Colour{60, 70}, 0.5},
		"a dark crust":              {pie(-18), wet, thermal.Schedule{hot(60)}, Colour{60, 70}, 0.5},
		"dough inside":              {pie(20), wet, thermal.Schedule{stage("hot", thermal.FanOven(200), 13)}, Set{"pastry"}, 0.5},
	} {
		t.Run(name, func(t *testing.T) {
			look := func(stages thermal.Schedule) (*thermal.Run, *Report) {
				run := simulate(t, c.dish, c.settings, stages...)
				return run, judge(t, Case{Runs: []*thermal.Run{run}, Wishes: []Wish{c.wish}, Layers: layersOf(c.dish)})
			}
			run, before := look(c.stages)
			require.Equal(t, Fail, before.Findings[0].Verdict, before.Findings[0].Text)
			require.Len(t, before.Changes, 1)
			change := before.Changes[0]
			t.Logf("%s\ndo: %s\nwhy: %s\nelse: %s", before.Findings[0].Text, change.Do, change.Why, strings.Join(change.Else, "; "))
			require.NotNil(t, change.Try, change.Do)
			_, after := look(change.Try.apply(t, run))
			f := after.Findings[0]
			t.Logf("then: %s, %s", f.Verdict, f.Text)
			missed := math.Max(0, -*f.Margin)
			t.Logf("%.3f of what was missing is left", missed/-*before.Findings[0].Margin)
			assert.LessOrEqual(t, missed, c.left*-*before.Findings[0].Margin+1e-9)
		})
	}
}
