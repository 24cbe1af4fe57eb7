package dishfile

import (
	"context"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/quality"
	"example.com/thawfront/thermal/safety"
	"example.com/thawfront/thermal/verdict"
)

// single runs a file without changes of its layers.
func single(t testing.TB, f *File) *thermal.Run {
	outcome, err := f.Simulate(context.Background(), nil)
	require.NoError(t, err)
	require.NoError(t, outcome.Stopped)
	require.Len(t, outcome.Runs, 1)
	return outcome.Runs[0]
}

func parsed(t testing.TB, text string) *File {
	f, err := Read(strings.NewReader(text), "test")
	require.NoError(t, err)
	return f
}

// TestJudge compares each finding with what the run itself says.
func TestJudge(t *testing.T) {
	f := readFile(t, folder+"/wanted.toml")
	run := single(t, f)
	r, err := f.judge([]*thermal.Run{run})
	require.NoError(t, err)
	require.Len(t, r.Findings, len(f.Checks))
	end := run.End()
	at := func(p thermal.Place) float64 {
		v, err := end.Temperature(p)
		require.NoError(t, err)
		return v
	}
	_, rim, err := run.PeakAbove("beef", 60)
	require.NoError(t, err)
	reached, _, err := run.PeakAbove("beef", 50)
	require.NoError(t, err)
	over, _, err := run.PeakAbove("beef", 95)
	require.NoError(t, err)
	done := reached - over
	mean, centre := at(thermal.MeanOf("beef")), at(thermal.Centre())
	spread := at(thermal.HottestOf("beef")) - at(thermal.ColdestOf("beef"))
	took := run.Duration().Seconds()
	known := func(kind string, v, margin float64) func(verdict.Finding) {
		return func(x verdict.Finding) {
			require.NotNil(t, x.Value, kind)
			assert.Equal(t, kind, x.Kind)
			assert.InDelta(t, v, *x.Value, 1e-9, kind)
			assert.InDelta(t, margin, *x.Margin, 1e-9, kind)
			want := verdict.Pass
			if margin < 0 {
				want = verdict.Fail
			}
			assert.Equal(t, want, x.Verdict, kind)
		}
	}
	is := func(kind string, v verdict.Verdict) func(verdict.Finding) {
		return func(x verdict.Finding) {
			assert.Equal(t, kind, x.Kind)
			assert.Equal(t, v, x.Verdict, x.Text)
		}
	}
	for i, check := range []func(verdict.Finding){
		known("served", mean, min(mean-490./9, 70-mean)), // 130 °F
		known("served", centre, 20-centre),
		known("done", done, done-0.8),
		known("rim", rim, 0.003-rim),
		known("even", spread, 40-spread),
		is("graded", verdict.Pass), // all of it is over 54 °C
		is("graded", verdict.Fail), // 60 °C is rare on the scale of research
		is("graded", verdict.Pass),
		is("colour", verdict.Fail),
		is("set", verdict.Pass),
		is("juicy", verdict.CannotTell), // water does not move
		is("crisp", verdict.CannotTell),
		is("loss", verdict.CannotTell),
		known("ready", took, 3*3600-took),
		is("thawed", verdict.Pass),
	} {
		check(r.Findings[i])
	}
	assert.Equal(t, verdict.Fail, r.Wishes)
	beef := r.Quality.Layer("beef")
	require.Len(t, beef.Doneness, 3)
	assert.Equal(t, []string{"kitchen meat", "proteins", "research meat"}, []string{beef.Doneness[0].Scale, beef.Doneness[1].Scale, beef.Doneness[2].Scale})

	rules := map[string]verdict.Verdict{}
	for _, c := range r.Checks {
		rules[c.Layer+" "+c.Rule] = c.Verdict
	}
	assert.Equal(t, verdict.Pass, rules["beef food-code-intact-meat-fish-eggs"], "72 °C for minutes")
	assert.Equal(t, verdict.CannotTell, rules["beef food-code-cooling"], "nothing cooled")
	assert.Equal(t, verdict.Pass, rules["dough food-code-plants-held-hot"])
	assert.Len(t, r.Checks, 2+len(safety.RulesOf(safety.Cooling)))
	assert.Empty(t, r.Unjudged)
}

// TestSafetyFails: meat that stays at 54 °C is no meat of 63 °C; the stages and the end
// of cooking are those of the file.
func TestSafetyFails(t *testing.T) {
	f := parsed(t, `version = 1
start = "4 C"
shape = { kind = "half slab" }
layers = [ { name = "beef", food = "beef tenderloin, raw", thickness = "1 cm" } ]
settings = { cells = 8 }
[[stages]]
name = "bath"
medium = { kind = "bath", temperature = "54 C" }
until = { time = "1 h" }
[[stages]]
name = "chill"
medium = { kind = "bath", temperature = "1 C" }
until = { time = "40 min" }
[[safety]]
food = "intact meat"
rules = ["food-code-intact-meat-fish-eggs"]
[[safety]]
food = "intact meat"
rules = ["cooling", "food-code-cooling"]
stages = ["chill"]
cook_ends = "bath"
from_room = false
`)
	runs := []*thermal.Run{single(t, f)}
	r, err := f.judge(runs)
	require.NoError(t, err)
	require.Len(t, r.Checks, 1+len(safety.RulesOf(safety.Cooling)), "a rule that is named twice counts once")
	assert.Equal(t, verdict.Fail, r.Safety)
	assert.Equal(t, verdict.Fail, r.Checks[0].Verdict)
	assert.Equal(t, "beef", r.Checks[0].Layer)
	require.NotNil(t, r.Checks[0].Margin)
	peaks := runs[0].Peaks()
	assert.InDelta(t, slices.Min(peaks)-63, *r.Checks[0].Margin, 0.05, "the coldest place against 63 °C")
	end := f.Safety[1].facts(runs).CookEnd
	require.NotNil(t, end)
	assert.Equal(t, 3600.0, *end)
	assert.Nil(t, f.Safety[0].facts(runs).CookEnd)
	assert.Equal(t, safety.No, f.Safety[1].facts(runs).FromRoom)
	assert.Equal(t, safety.Unknown, f.Safety[1].facts(runs).Cured)
}

// wrapped is a file of two runs: pastry is put on, and foil taken off, in between.
const wrapped = `version = 1
start = "4 C"
shape = { kind = "half slab" }
settings = { cells = 12 }
[[layers]]
name = "beef"
food = "beef tenderloin, raw"
thickness = "1 cm"
judged_as = "meat"
[[layers]]
name = "foil"
food = "butter"
thickness = "1 mm"
leaves = "bake"
[[layers]]
name = "pastry"
food = "puff pastry, raw"
thickness = "3 mm"
joins = "bake"
judged_as = "dough"
[[stages]]
name = "warm"
medium = { kind = "bath", temperature = "75 C" }
until = { time = "40 min" }
[[stages]]
name = "hold"
medium = { kind = "bath", temperature = "75 C" }
until = { time = "5 min" }
[[stages]]
name = "bake"
medium = { kind = "fan oven", temperature = "220 C" }
until = { time = "20 min" }
[[checks]]
served = { from = "40 C", to = "100 C" }
[[checks]]
set = "pastry"
[[safety]]
layer = "beef"
food = "intact meat"
rules = ["food-code-intact-meat-fish-eggs"]
cook_ends = "bake"
[[safety]]
layer = "beef"
food = "intact meat"
rules = ["holding cold"]
stages = ["hold", "bake"]
[[safety]]
layer = "pastry"
food = "plant food"
rules = ["cooking"]
[[safety]]
food = "intact meat"
rules = ["food-code-intact-meat-fish-eggs"]
stages = ["bake"]
`

// twoRuns simulates a chain of two.
func twoRuns(t testing.TB, f *File) []*thermal.Run {
	outcome, err := f.Simulate(context.Background(), nil)
	require.NoError(t, err)
	require.NoError(t, outcome.Stopped)
	require.Len(t, outcome.Runs, 2)
	return outcome.Runs
}

func TestJudgeChain(t *testing.T) {
	f := parsed(t, wrapped)
	runs := twoRuns(t, f)

	r, err := f.judge(runs)
	require.NoError(t, err)
	assert.Equal(t, verdict.Pass, r.Findings[0].Verdict, r.Findings[0].Text)
	assert.Equal(t, verdict.Pass, r.Findings[1].Verdict, r.Findings[1].Text)
	require.GreaterOrEqual(t, len(r.Checks), 4)
	assert.Equal(t, verdict.Pass, r.Checks[0].Verdict, "75 °C is over 63")
	assert.Equal(t, verdict.Fail, r.Checks[1].Verdict, "75 °C is over 5")
	assert.NotNil(t, r.Quality.Layer("pastry").Starch)
	end := f.Safety[0].facts(runs).CookEnd
	require.NotNil(t, end)
	assert.Equal(t, (65 * time.Minute).Seconds(), *end, "on the clock of the chain")

	// the second run was never begun: nothing is right, what is wrong stays wrong
	r, err = f.judge(runs[:1])
	require.NoError(t, err)
	require.Len(t, r.Findings, 2)
	for i, kind := range []string{"served", "set"} {
		assert.Equal(t, kind, r.Findings[i].Kind)
		assert.Equal(t, verdict.CannotTell, r.Findings[i].Verdict)
		assert.Equal(t, []string{`what comes from "bake" on, which was not begun`}, r.Findings[i].Missing)
	}
	assert.Equal(t, verdict.CannotTell, r.Wishes)
	require.Len(t, r.Checks, 2, "pastry is not there, and baking was not begun")
	assert.Equal(t, verdict.CannotTell, r.Checks[0].Verdict, "passes so far, and may not stay")
	assert.Nil(t, r.Checks[0].Margin)
	assert.Contains(t, r.Checks[0].Missing, `what comes from "bake" on, which was not begun`)
	assert.Equal(t, verdict.Fail, r.Checks[1].Verdict)
	assert.Equal(t, verdict.Fail, r.Safety)
	assert.Nil(t, f.Safety[0].facts(runs[:1]).CookEnd)
	assert.Contains(t, r.Text(), safety.Caution)
}

// TestJudgeInterrupted: a run that ends within its own stages.
func TestJudgeInterrupted(t *testing.T) {
	f := parsed(t, wrapped)
	dish := thermal.Dish{Shape: f.shape([]int{0}), Layers: []thermal.Layer{{Name: "beef", Food: pantry{}.find(&report{}, "", "beef tenderloin, raw"), Thickness: 0.01}}, Start: thermal.Uniform(4)}
	ctx, cancel := context.WithCancel(context.Background())
	steps := 0
	run, err := thermal.Simulate(ctx, dish, thermal.Schedule{{Name: "warm", Medium: thermal.WaterBath(75), Until: thermal.Elapsed(time.Hour)}, {Name: "hold", Medium: thermal.WaterBath(75), Until: thermal.Elapsed(time.Hour)}},
		&thermal.Settings{Cells: 8, Progress: func(*thermal.State) {
			if steps++; steps == 10 {
				cancel()
			}
		}})
	require.Error(t, err)
	require.NotNil(t, run)
	r, err := f.judge([]*thermal.Run{run})
	require.NoError(t, err)
	for _, x := range r.Findings {
		assert.Equal(t, verdict.CannotTell, x.Verdict)
	}
	for _, c := range r.Checks {
		assert.NotEqual(t, verdict.Pass, c.Verdict)
	}
}

// TestJudgeRefusesNothingThatCheckTakes draws checks and parts at random, good and
// bad ones: those that Check takes must not fail when the run is over.
func TestJudgeRefusesNothingThatCheckTakes(t *testing.T) {
	base := readFile(t, folder+"/wanted.toml")
	runs := []*thermal.Run{single(t, base)}
	random := rand.New(rand.NewPCG(7, 7))
	one := func(of ...string) string { return of[random.IntN(len(of))] }
	temp := func() Temp { return Temp(one("-200 C", "20 C", "54 C", "140 F", "1000 C", "")) }
	layer := func() string { return one("beef", "dough", "dough", "beef", "jam", "") }
	share := func() Share { return Share(one("0 %", "1e-4 %", "50 %", "100 %", "200 %", "")) }
	taken := map[string]int{}
	for round := range 1500 {
		f := *base
		f.Layers = slices.Clone(base.Layers)
		f.Layers[0].JudgedAs, f.Layers[1].JudgedAs = one("meat", "fish", "other", ""), one("dough", "meat", "")
		c, kind := Check{}, ""
		switch random.IntN(12) {
		case 0:
			c.Served, kind = &Served{Place(one("", "surface", "30 mm deep", "31 mm deep", "0 mm deep", "0 % into beef", "100 % into dough", "coldest of jam")), temp(), temp()}, "served"
		case 1:
			c.Done, kind = &Done{layer(), temp(), temp(), share()}, "done"
		case 2:
			c.Rim, kind = &Rim{layer(), temp(), Length(one("0 mm", "5 m", "6 m"))}, "rim"
		case 3:
			c.Even, kind = &Even{layer(), []float64{0, 1e-300, 1000, 1001}[random.IntN(4)]}, "even"
		case 4:
			c.Graded, kind = &Graded{layer(), one("", "kitchen meat", "kitchen fish", "proteins", "research meat", "mine"),
				[]string{one("raw", "medium", "rare"), one("raw", "rare", "flaking", "very well done")}[random.IntN(2):], share()}, "graded"
		case 5:
			c.Colour, kind = &Colour{float64(random.IntN(110)), float64(random.IntN(110))}, "colour"
		case 6:
			c.Juicy, kind = &Juicy{layer(), share()}, "juicy"
		case 7:
			c.Set, kind = layer(), "set"
		case 8:
			c.Crisp, kind = share(), "crisp"
		case 9:
			c.Loss, kind = share(), "loss"
		case 10:
			c.Ready, kind = Time(one("1 s", "10000 h", "10001 h", "0 s")), "ready"
		default:
			c.Thawed, kind = random.IntN(2) == 0, "thawed"
		}
		f.Checks, f.Safety = []Check{c}, nil
		if round%2 == 0 {
			f.Checks, kind = nil, "safety"
			f.Safety = []Safety{{Layer: layer(), Food: one(foodWords...), Animal: one(animalWords...), Oven: one(ovenWords...), Thawing: one(thawingWords...),
				Rules: []string{one(append(ruleNames(), stepWords...)...)}, Stages: [][]string{nil, {"rest"}, {"bake", "rest"}, {"rest", "bake"}, {"wrap"}}[random.IntN(5)],
				OvenTemperature: temp(), ThawWater: temp(), CookEnds: one("", "bake", "rest", "x"), Mass: Mass(one("", "1 mg", "10000 kg", "0.1 mg")), Fat: share(), Salt: share()}}
		}
		if f.Check() != nil {
			continue
		}
		taken[kind]++
		r, err := f.judge(runs)
		require.NoError(t, err, "%+v\n%+v", f.Checks, f.Safety)
		if kind != "safety" {
			require.Len(t, r.Findings, 1)
			assert.Equal(t, kind, r.Findings[0].Kind)
		}
	}
	t.Log(taken)
	assert.Len(t, taken, 13, "every kind is drawn: %v", taken)
}

// TestWords: every word of package safety can be written, and means itself.
func TestWords(t *testing.T) {
	assert.Equal(t, "Food(13)", safety.Food(len(foodWords)).String(), "no kind of food is left out")
	assert.Equal(t, "Animal(6)", safety.Animal(len(animalWords)).String())
	assert.Equal(t, "Oven(4)", safety.Oven(len(ovenWords)).String())
	assert.Equal(t, "Thawing(5)", safety.Thawing(len(thawingWords)).String())
	for i, w := range foodWords[1:] {
		s := Safety{Food: w}
		assert.Equal(t, safety.Food(i+1), s.facts(nil).Food)
	}
	counted := 0
	for i, w := range stepWords[1:] {
		s := Safety{Rules: []string{w}}
		rules := s.rules()
		assert.NotEmpty(t, rules, w)
		for _, r := range rules {
			assert.Equal(t, safety.Step(i+1), r.Step)
		}
		counted += len(rules)
	}
	assert.Len(t, safety.Rules(), counted, "every rule is of a step that has a word")
	assert.Equal(t, "Kind(4)", quality.Kind(quality.Dough+1).String(), "no kind of layer is left out")
	assert.Equal(t, []quality.Kind{quality.Meat, quality.Fish, quality.Dough, quality.Other, quality.Other},
		[]quality.Kind{judgedAs("meat"), judgedAs("fish"), judgedAs("dough"), judgedAs("other"), judgedAs("")})
}

// TestRulesLike: a rule that is misspelt finds the one that was meant.
func TestRulesLike(t *testing.T) {
	for wrong, right := range map[string]string{
		"food-code-coolin": "food-code-cooling", "fsis chicken 7 log": "fsis-chicken-7-log", "poultry": "food-code-poultry-stuffed",
		"baldwin": "baldwin-meat", "time as control": "food-code-time-as-control",
	} {
		assert.Contains(t, rulesLike(wrong), right)
	}
	assert.NotPanics(t, func() { rulesLike(""); rulesLike("é"); rulesLike(strings.Repeat("ü", 1000)) })
}
