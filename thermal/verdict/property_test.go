package verdict

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/safety"
)

// Forgetting a fact never makes a rule pass that did not, for any published rule.
func TestForgettingNeverPasses(t *testing.T) {
	run := simulate(t, lamb(5), still, stage("bath", thermal.WaterBath(75), 60), stage("ice water", thermal.WaterBath(1), 60), stage("cold", thermal.Refrigerator(3), 120))
	rng := rand.New(rand.NewPCG(1, 2))
	some := func(v float64) *float64 { return &v }
	passed, forgotten := 0, 0
	for range 20 {
		full := safety.Facts{Food: safety.Food(1 + rng.IntN(12)), Animal: safety.Animal(1 + rng.IntN(5)), Cured: safety.Answer(1 + rng.IntN(2)),
			Fat: some(0.1), WaterActivity: some(0.97 + 0.03*rng.Float64()), PH: some(5 + rng.Float64()), Mass: some(1), ReadyToEat: safety.Answer(1 + rng.IntN(2)),
			LabelledIntact: safety.Yes, RoastCooked: safety.Yes, FromRoom: safety.No, Oven: safety.Oven(1 + rng.IntN(3)), OvenTemperature: some(180),
			CookEnd: some(3600), Thawing: safety.Thawing(1 + rng.IntN(4)), ThawWater: some(10)}
		less := full
		for _, forget := range []func(){func() { less.Food = 0 }, func() { less.Animal = 0 }, func() { less.Cured = 0 }, func() { less.Fat = nil },
			func() { less.WaterActivity = nil }, func() { less.Mass = nil }, func() { less.ReadyToEat = 0 }, func() { less.Oven = 0 },
			func() { less.OvenTemperature = nil }, func() { less.CookEnd = nil }, func() { less.Thawing = 0 }} {
			if rng.IntN(3) == 0 {
				forget()
			}
		}
		r := judge(t, Case{Runs: []*thermal.Run{run}, Parts: []Part{{Layer: "lamb", Facts: full, Rules: safety.Rules()}, {Layer: "lamb", Facts: less, Rules: safety.Rules()}}})
		n := len(r.Checks) / 2
		for i := range n {
			known, unknown := r.Checks[i], r.Checks[n+i]
			if known.Verdict == Pass {
				passed++
			}
			if known.Verdict == Pass && unknown.Verdict == CannotTell {
				forgotten++
			}
			if unknown.Verdict == Pass {
				assert.Equal(t, Pass, known.Verdict, "%s passes with less known", known.Rule)
			}
			if unknown.Verdict == CannotTell {
				assert.NotEmpty(t, unknown.Text, unknown.Rule)
			}
		}
	}
	assert.NotZero(t, passed, "else nothing was tested")
	assert.NotZero(t, forgotten, "else nothing was tested")
}

// A layer without rules keeps the whole from being safe, whatever the others do.
func TestEveryLayerCounts(t *testing.T) {
	run := simulate(t, pie(20), still, stage("bath", thermal.WaterBath(80), 120))
	easy := safety.Rule{Name: "easy", Criteria: []safety.Criterion{safety.Cook{Rows: []safety.Row{{Temperature: 60}}}}}
	other := easy
	other.For = []safety.Food{safety.Fish} // does not apply to plants
	plant := safety.Facts{Food: safety.Plant}
	for _, c := range []struct {
		parts   []Part
		verdict Verdict
		left    int
	}{
		{[]Part{{Rules: []safety.Rule{easy}}}, Pass, 0},
		{[]Part{{Layer: "lamb", Rules: []safety.Rule{easy}}, {Layer: "spinach", Rules: []safety.Rule{easy}}}, CannotTell, 1},
		{[]Part{{Rules: []safety.Rule{other}, Facts: plant}}, CannotTell, 3},
		{[]Part{{Rules: []safety.Rule{easy, other}, Facts: plant}}, Pass, 0},
		{[]Part{{Rules: []safety.Rule{easy, other}}}, CannotTell, 0},
		{[]Part{{}}, CannotTell, 3},
	} {
		r := judge(t, Case{Runs: []*thermal.Run{run}, Parts: c.parts})
		assert.Equal(t, c.verdict, r.Safety, "%v", c.parts)
		assert.Len(t, r.Unjudged, c.left, "%v", c.parts)
	}
}

// Wishing for less never fails what passed, and what fails says what to change.
func TestWishesAreMonotone(t *testing.T) {
	run := bakedPie(t)
	rng := rand.New(rand.NewPCG(3, 4))
	of := func(w Wish) *Report {
		return judge(t, Case{Runs: []*thermal.Run{run}, Wishes: []Wish{w}, Layers: pieLayers})
	}
	passes, fails := 0, 0
	for range 8 {
		a, width, more := 80*rng.Float64(), 1+30*rng.Float64(), 10*rng.Float64()
		share, less := 0.1+0.9*rng.Float64(), 0.1+0.9*rng.Float64()
		for _, pair := range [][2]Wish{
			{Served{thermal.Centre(), a, a + width}, Served{thermal.Centre(), a - more, a + width + more}},
			{Done{"lamb", a, a + width, share}, Done{"lamb", a - more, a + width + more, share * less}},
			{Rim{"lamb", a, 1e-3 * width}, Rim{"lamb", a + more, 1e-3 * (width + more)}},
			{Even{"spinach", width}, Even{"spinach", width + more}},
			{Crisp{share}, Crisp{share * less}},
			{Colour{a, a + 10}, Colour{a * less, a + 20}},
			{Juicy{"lamb", share}, Juicy{"lamb", share * less}},
			{Loss{share * 0.2}, Loss{share*0.2 + more/100}},
			{Ready{time.Duration(width * float64(time.Hour) / 10)}, Ready{time.Duration((width + more) * float64(time.Hour) / 10)}},
		} {
			strict, lax := of(pair[0]), of(pair[1])
			require.NotEqual(t, CannotTell, strict.Wishes, "%v: %v", pair[0], strict.Findings)
			if strict.Wishes == Pass {
				passes++
				assert.Equal(t, Pass, lax.Wishes, "%v, then %v", pair[0], pair[1])
				continue
			}
			fails++
			require.Len(t, strict.Changes, 1, "%v", pair[0])
			assert.NotEmpty(t, strict.Changes[0].Do)
			assert.NotEmpty(t, strict.Changes[0].Why)
			assert.NotContains(t, strict.Text(), "NaN")
			assert.NotContains(t, strict.Text(), "Inf")
			if try := strict.Changes[0].Try; try != nil {
				for _, v := range []*float64{try.Medium, try.Longer} {
					assert.True(t, v == nil || !math.IsNaN(*v) && !math.IsInf(*v, 0), "%v", pair[0])
				}
			}
		}
	}
	assert.Greater(t, passes, 15)
	assert.Greater(t, fails, 15)
}

// Lines are no longer than they should be, but for the caution.
func TestLines(t *testing.T) {
	for line := range strings.Lines(judge(t, everything(bakedPie(t))).Text()) {
		if !strings.HasPrefix(line, safety.Caution) {
			assert.LessOrEqual(t, len([]rune(line)), width+5, line)
		}
	}
}
