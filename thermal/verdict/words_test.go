package verdict

import (
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/safety"
)

// flat joins the lines of a text.
func flat(r *Report) string { return strings.Join(strings.Fields(r.Text()), " ") }

// Bands that were given in degrees Fahrenheit are no round numbers, and are written as
// such all the same.
func TestNumbersAreShort(t *testing.T) {
	celsius := func(f float64) float64 { return (f - 32) / 1.8 }
	run := simulate(t, lamb(50), still, stage("wait", thermal.Insulated(), 10))
	r := judge(t, Case{Runs: []*thermal.Run{run}, Wishes: []Wish{
		Served{thermal.Centre(), celsius(122) + 1e-14, celsius(131)}, Done{"lamb", celsius(122.1), celsius(131.7), 2. / 3},
		Rim{"lamb", celsius(140.3), 1e-3 / 3}, Even{"lamb", 10. / 3}, Colour{100. / 3, 200. / 3},
	}})
	assert.NotRegexp(t, regexp.MustCompile(`\d\.\d{4}`), r.Text())
}

// Stages are counted through the chain, whether they have names or not.
func TestStagesAreCountedThroughTheChain(t *testing.T) {
	first := simulate(t, lamb(5), still, stage("bath", thermal.WaterBath(62), 60), stage("", thermal.Room(20), 5))
	d := lamb(0)
	d.Start = thermal.From(first)
	second := simulate(t, d, still, stage("", thermal.Room(20), 30), stage("oven", thermal.FanOven(80), 30))
	r := judge(t, Case{Runs: []*thermal.Run{first, second}, Wishes: []Wish{Ready{time.Minute}, Served{thermal.Centre(), 58, 60}}})
	var began []string
	for _, m := range r.Timeline {
		if m.Kind == thermal.StageBegins.String() {
			began = append(began, m.Text)
		}
	}
	assert.Equal(t, []string{`stage 1 ("bath") begins`, "stage 2 begins", "stage 3 begins", `stage 4 ("oven") begins`}, began)
	assert.Contains(t, flat(r), "stage 3", r.Text())
	assert.Contains(t, r.Changes[len(r.Changes)-1].Why, "stage 3 takes", "the longest stage of the last run: %v", r.Changes)
	assert.NotContains(t, flat(r), "stage 1 takes")
}

// A cook is told no split seconds.
func TestShortTimes(t *testing.T) {
	for s, want := range map[float64]string{0.4: "0.4 s", 1.86: "1.9 s", 45: "45 s", 99: "99 s", 110: "1.8 min", 600: "10 min", 7200: "2 h 0 min"} {
		assert.Equal(t, want, minutes(s))
	}
	for s, want := range map[float64]string{0: "a little", 1.86: "a little", 45: "about 45 s", 600: "about 10 min"} {
		assert.Equal(t, want, about(s))
	}
	run := simulate(t, lamb(50), still, thermal.Stage{Name: "bath", Medium: thermal.WaterBath(80), Until: thermal.Elapsed(20 * time.Minute)})
	centre, err := run.End().Temperature(thermal.Centre())
	require.NoError(t, err)
	r := judge(t, Case{Runs: []*thermal.Run{run}, Wishes: []Wish{Served{thermal.Centre(), centre + 0.02, centre + 1}}})
	assert.Equal(t, `let "bath" go on for a little`, r.Changes[0].Do)
	require.NotNil(t, r.Changes[0].Try.Longer)
	assert.Less(t, *r.Changes[0].Try.Longer, instant)
}

// What steam leaves on a cold dish is gained, what is brushed on is not.
func TestGainedIsNotLost(t *testing.T) {
	d := thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(5), Layers: []thermal.Layer{
		{Name: "crumb", Food: materials.MustFind("white bread"), Thickness: 0.02},
	}}
	steamed := simulate(t, d, wet, stage("steam", thermal.SteamOven(100), 3))
	require.Negative(t, steamed.Lost())
	r := judge(t, Case{Runs: []*thermal.Run{steamed}, Wishes: []Wish{Loss{0.05}}})
	assert.Regexp(t, `It weighs .* and has gained [0-9.]+ k?g of water, [0-9.]+ %\.`, r.Text())
	assert.Contains(t, r.Findings[0].Text, "it has gained")
	assert.NotRegexp(t, `-\d`, flat(r))

	glazed := simulate(t, d, wet, thermal.Stage{Name: "bake", Medium: thermal.FanOven(180), Until: thermal.Elapsed(time.Minute),
		Brush: &thermal.Brush{Food: materials.MustFind("egg, whole, raw"), Mass: 0.5, Temperature: 10}})
	r = judge(t, Case{Runs: []*thermal.Run{glazed}, Wishes: []Wish{Loss{0.05}}})
	w := glazed.Water
	assert.InDelta(t, w.Steam+w.Evaporated+w.Drip-w.Condensed, r.End.Lost, 1e-12)
	assert.Positive(t, r.End.Lost)
	assert.Contains(t, r.Text(), "has lost")
	assert.Equal(t, "lost 0 g of water, 0 %", lostOrGained(-1e-12, -1e-12))
	assert.False(t, math.IsNaN(r.End.LostShare))
}

// A rule that asks for a temperature without a time says no time.
func TestNoTimeIsNotSaid(t *testing.T) {
	run := simulate(t, lamb(50), still, stage("wait", thermal.Insulated(), 10))
	rule := func(least float64) safety.Rule {
		return safety.Rule{Name: "own", Code: "own", Criteria: []safety.Criterion{safety.Cook{Rows: []safety.Row{{Temperature: least}}}}}
	}
	r := judge(t, Case{Runs: []*thermal.Run{run}, Parts: []Part{{Rules: []safety.Rule{rule(45), rule(57)}}}})
	assert.Equal(t, "at or above 45 °C", r.Checks[0].Text)
	assert.Equal(t, "at or above 50 °C, 57 °C asked for", r.Checks[1].Text)
}
