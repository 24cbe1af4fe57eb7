package safety

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// passing is a history and the facts with which a rule passes, and the facts it
// cannot do without.
type passing struct {
	h      History
	f      Facts
	needed []string
}

func passingCases() map[string]passing {
	outside := constant(64, time.Minute)
	outside.Surface = true
	cooled := path(0, 60, 30, 26, 100, 21, 150, 12, 200, 4, 300, 4)
	cold, hot := constant(4, 48*time.Hour), constant(75, time.Hour)
	food, animal := "Food", "Animal"
	meat := Facts{Food: Roast, Animal: Beef, WaterActivity: new(0.99)}
	return map[string]passing{
		"food-code-intact-meat-fish-eggs": {hot, Facts{Food: Fish}, []string{food}},
		"food-code-ground-injected":       {hot, Facts{Food: GroundFish}, []string{food}},
		"food-code-poultry-stuffed":       {hot, Facts{Food: Stuffed}, []string{food}},
		"food-code-poultry-stuffed-2013":  {hot, Facts{Food: Poultry}, []string{food}},
		"food-code-roast-oven": {hot, Facts{Food: Roast, Oven: StillOven, OvenTemperature: new(177.0), Mass: new(4.4)},
			[]string{food, "Oven", "OvenTemperature", "Mass"}},
		"food-code-roast-time":          {hot, Facts{Food: Roast}, []string{food}},
		"food-code-intact-steak":        {outside, Facts{Food: IntactMeat, Animal: Beef, LabelledIntact: Yes}, []string{food, animal, "LabelledIntact"}},
		"food-code-plants-held-hot":     {hot, Facts{Food: Plant}, []string{food}},
		"food-code-fish-freezing":       {constant(-21, 170*time.Hour), Facts{Food: Fish}, []string{food}},
		"food-code-reheating":           {path(0, 4, 60, 80, 70, 80), Facts{}, nil},
		"food-code-thawing-cold":        {cold, Facts{Thawing: Refrigerator}, []string{"Thawing"}},
		"food-code-thawing-water-ready": {cold, Facts{Thawing: RunningWater, ThawWater: new(20.0), ReadyToEat: Yes}, []string{"Thawing", "ThawWater", "ReadyToEat"}},
		"food-code-thawing-water-raw": {path(0, -18, 60, 5, 200, 10), Facts{Thawing: RunningWater, ThawWater: new(20.0), ReadyToEat: No},
			[]string{"Thawing", "ThawWater", "ReadyToEat"}},
		"food-code-cooling":           {cooled, Facts{}, nil},
		"food-code-cooling-2001":      {cooled, Facts{}, nil},
		"food-code-cooling-from-room": {path(0, 22, 200, 5), Facts{FromRoom: Yes}, []string{"FromRoom"}},
		"food-code-hot-holding":       {hot, Facts{}, nil},
		"food-code-hot-holding-roast": {constant(54.5, time.Hour), Facts{Food: Roast, RoastCooked: Yes}, []string{food, "RoastCooked"}},
		"food-code-cold-holding":      {cold, Facts{}, nil},
		"food-code-time-as-control":   {path(0, 60, 100, 20, 200, 20), Facts{}, nil},
		"fsis-beef-6.5-log":           {hot, meat, []string{food, animal}},
		"fsis-beef-7-log":             {hot, meat, []string{food, animal}},
		"fsis-chicken-7-log":          {hot, Facts{Food: Poultry, Animal: Chicken, Fat: new(0.1)}, []string{food, animal, "Fat"}},
		"cfr-beef-lethality":          {hot, meat, []string{food, animal, "WaterActivity"}},
		"cfr-chicken-lethality": {hot, Facts{Food: Poultry, Animal: Chicken, Fat: new(0.1), WaterActivity: new(0.99)},
			[]string{food, animal, "Fat", "WaterActivity"}},
		"cfr-beef-patties":         {hot, Facts{Food: GroundMeat, Animal: Beef}, []string{food, animal}},
		"fsis-ground-beef-at-home": {hot, Facts{Food: GroundMeat, Animal: Beef}, []string{food, animal}},
		"fsis-cooling-1":           {cooled, Facts{Food: Poultry}, []string{food}},
		"fsis-cooling-2":           {cooled, Facts{Food: Poultry, CookEnd: new(0.0)}, []string{food, "CookEnd"}},
		"fsis-cooling-3":           {cooled, Facts{Food: Poultry, Cured: Yes}, []string{food, "Cured"}},
		"cfr-cooling-growth":       {path(0, 60, 15, 5, 300, 4), Facts{Food: Roast}, []string{food}},
		"cfr-liquid-egg":           {hot, Facts{Food: LiquidEgg}, []string{food}},
		"uk-liquid-egg":            {hot, Facts{Food: LiquidEgg}, []string{food}},
		"baldwin-meat":             {hot, Facts{Food: Roast, Animal: Lamb, WaterActivity: new(0.97)}, []string{food, animal, "WaterActivity"}},
	}
}

// Each rule passes with all that it needs, and cannot tell without any one of it:
// no fact, no history.
func TestNeverPassesWithMissingData(t *testing.T) {
	cases := passingCases()
	for _, rule := range Rules() {
		t.Run(rule.Name, func(t *testing.T) {
			c, ok := cases[rule.Name]
			require.True(t, ok, "no case for the rule")
			full := check(t, rule, c.f, c.h)
			require.Equal(t, Pass, full.Verdict, "%v", full)
			require.NotNil(t, full.Margin)
			assert.GreaterOrEqual(t, *full.Margin, 0.0)
			assert.Empty(t, full.Missing)

			for _, name := range c.needed {
				f := c.f
				reflect.ValueOf(&f).Elem().FieldByName(name).SetZero()
				got := check(t, rule, f, c.h)
				assert.Equal(t, CannotTell, got.Verdict, "without %s: %v", name, got)
				assert.NotEmpty(t, got.Missing, "without %s", name)
			}
			got := check(t, rule, c.f)
			assert.Equal(t, CannotTell, got.Verdict, "without a history: %v", got)
			assert.NotEmpty(t, got.Missing)
			if len(c.needed) > 0 {
				assert.Equal(t, CannotTell, check(t, rule, Facts{}, c.h).Verdict, "without facts")
			}
		})
	}
	assert.Len(t, cases, len(Rules()))
}

// Taking facts away never turns anything into a pass, whatever they are.
func TestForgettingNeverPasses(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 6))
	optional := func(v float64) *float64 {
		if rng.IntN(3) == 0 {
			return nil
		}
		return &v
	}
	passes := 0
	for range 4000 {
		f := Facts{Food: Food(rng.IntN(len(foodNames))), Animal: Animal(rng.IntN(len(animalNames))), Cured: Answer(rng.IntN(3)),
			Fat: optional(rng.Float64() * 0.3), Salt: optional(rng.Float64()), WaterActivity: optional(0.9 + rng.Float64()*0.1),
			PH: optional(4.2 + rng.Float64()*4), Mass: optional(rng.Float64()*8 + 1), ReadyToEat: Answer(rng.IntN(3)), LabelledIntact: Answer(rng.IntN(3)),
			RoastCooked: Answer(rng.IntN(3)), FromRoom: Answer(rng.IntN(3)), Oven: Oven(rng.IntN(len(ovenNames))), OvenTemperature: optional(rng.Float64() * 250),
			CookEnd: optional(rng.Float64() * 1000), Thawing: Thawing(rng.IntN(len(thawingNames))), ThawWater: optional(rng.Float64() * 30)}
		h := wandering(rng, -30, 90)
		h.Surface = rng.IntN(2) == 0
		less := f
		field := reflect.ValueOf(&less).Elem().Field(rng.IntN(reflect.TypeFor[Facts]().NumField()))
		field.SetZero()
		before, err := Check([]History{h}, f, Rules()...)
		require.NoError(t, err)
		after, err := Check([]History{h}, less, Rules()...)
		require.NoError(t, err)
		for i := range after {
			if after[i].Verdict == Pass {
				passes++
				require.Equal(t, Pass, before[i].Verdict, "%v\n%v\n%+v", before[i], after[i], f)
			}
		}
	}
	assert.Greater(t, passes, 3000, "too few passes to mean anything")
}

// Warmer by δ, a cooking criterion's margin is δ greater; a longer history never
// makes it smaller.
func TestCookIsMonotone(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	passed := 0
	for range 300 {
		rule := criterion(MustFind("food-code-roast-time").Criteria[0])
		h := wandering(rng, 20, 80)
		a := check(t, rule, Facts{}, h)
		by := rng.Float64() * 20
		b := check(t, rule, Facts{}, shifted(h, by))
		require.NotNil(t, a.Margin)
		assert.InDelta(t, *a.Margin+by, *b.Margin, 1e-4)
		assert.Equal(t, *a.Margin >= 0, a.Verdict == Pass)
		if a.Verdict == Pass {
			passed++
			assert.Equal(t, Pass, b.Verdict)
		}
		longer := h
		longer.Time = append(append([]float64(nil), h.Time...), h.Time[len(h.Time)-1]+rng.Float64()*1e4)
		longer.Temperature = append(append([]float64(nil), h.Temperature...), rng.Float64()*90)
		c := check(t, rule, Facts{}, longer)
		assert.GreaterOrEqual(t, *c.Margin, *a.Margin-1e-4)
		// Frozen is the mirror image of cooked.
		rows := MustFind("food-code-roast-time").Criteria[0].(Cook).Rows
		mirrored := Freeze{}
		for _, r := range rows {
			mirrored.Rows = append(mirrored.Rows, Row{-r.Temperature, r.Time})
		}
		m := h
		m.Temperature = nil
		for _, v := range h.Temperature {
			m.Temperature = append(m.Temperature, -v)
		}
		d := check(t, criterion(mirrored), Facts{}, m)
		assert.Equal(t, a.Verdict, d.Verdict)
		assert.InDelta(t, *a.Margin, *d.Margin, 1e-9)
	}
	assert.Greater(t, passed, 50)
}

// One more place never makes a verdict better, and the coldest one decides.
func TestMorePlacesNeverHelp(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range 150 {
		hs := []History{wandering(rng, -30, 90), wandering(rng, -30, 90), wandering(rng, 50, 90)}
		f := Facts{Food: Roast, Animal: Beef, WaterActivity: new(0.99)}
		some, err := Check(hs[:2], f, Rules()...)
		require.NoError(t, err)
		all, err := Check(hs, f, Rules()...)
		require.NoError(t, err)
		for i := range all {
			if some[i].Verdict == NotApplicable {
				continue
			}
			require.GreaterOrEqual(t, all[i].Verdict.gravity(), some[i].Verdict.gravity(), "%v\n%v", some[i], all[i])
			if all[i].Verdict == some[i].Verdict && all[i].Margin != nil && some[i].Margin != nil && len(MustFind(all[i].Rule).Criteria) == 1 {
				require.LessOrEqual(t, *all[i].Margin, *some[i].Margin)
			}
		}
	}
	cold, warm := constant(59.9, 13*time.Minute), constant(65, 13*time.Minute)
	cold.Place, warm.Place = "axis", "rim"
	got := check(t, MustFind("food-code-roast-time"), Facts{Food: Roast}, warm, cold, warm)
	assert.Equal(t, Fail, got.Verdict)
	assert.Equal(t, "axis", got.Place)
	assert.InDelta(t, -0.1, *got.Margin, 2e-5)
	assert.Equal(t, "K", got.Unit)
}

func TestFoodsAreToldApart(t *testing.T) {
	h := constant(65, time.Hour)
	for _, tt := range []struct {
		rule string
		f    Facts
		want Verdict
	}{
		{"food-code-roast-time", Facts{Food: Poultry}, NotApplicable},
		{"fsis-beef-6.5-log", Facts{Food: Roast, Animal: Lamb}, NotApplicable},
		{"fsis-beef-6.5-log", Facts{Food: Roast}, CannotTell},
		{"fsis-beef-6.5-log", Facts{Animal: Lamb}, NotApplicable},
		{"fsis-chicken-7-log", Facts{Food: Poultry, Animal: Chicken, Fat: new(0.13)}, NotApplicable},
		{"food-code-hot-holding", Facts{WaterActivity: new(0.8)}, NotApplicable},
		{"food-code-hot-holding", Facts{PH: new(4.0)}, NotApplicable},
		{"food-code-hot-holding", Facts{PH: new(4.3), WaterActivity: new(0.9)}, Pass},
		{"cfr-beef-lethality", Facts{Food: Roast, Animal: Beef, WaterActivity: new(0.9)}, CannotTell},
		{"cfr-beef-lethality", Facts{Food: Roast, Animal: Beef, WaterActivity: new(0.98)}, Pass},
		{"food-code-intact-steak", Facts{Food: IntactMeat, Animal: Beef, LabelledIntact: Yes}, CannotTell}, // no surface
		{"food-code-thawing-cold", Facts{Thawing: PartOfCooking}, NotApplicable},
	} {
		got := check(t, MustFind(tt.rule), tt.f, h)
		assert.Equal(t, tt.want, got.Verdict, "%s: %v", tt.rule, got)
	}
}

func TestOvens(t *testing.T) {
	rule := MustFind("food-code-roast-oven")
	for _, tt := range []struct {
		oven       Oven
		mass, temp float64
		want       Verdict
		margin     float64
	}{
		{StillOven, 4.4, 177, Pass, 0}, {StillOven, 4.4, 176, Fail, -1}, {StillOven, 4.5, 121, Pass, 0},
		{ConvectionOven, 2, 170, Pass, 7}, {ConvectionOven, 2, 121, Fail, -42}, {ConvectionOven, 9, 130, Pass, 9},
		{HumidOven, 2, 100, Pass, 21}, {HumidOven, 2, 130, Fail, -9},
	} {
		got := check(t, rule, Facts{Food: Roast, Oven: tt.oven, Mass: &tt.mass, OvenTemperature: &tt.temp}, constant(60, time.Minute))
		assert.Equal(t, tt.want, got.Verdict, "%v", got)
		assert.InDelta(t, tt.margin, *got.Margin, 1e-9, "%v", got)
	}
}

func TestReheatingAndExposure(t *testing.T) {
	rule := MustFind("food-code-reheating")
	assert.Equal(t, Pass, check(t, rule, Facts{}, path(0, 5, 119, 74, 120, 74)).Verdict)
	late := check(t, rule, Facts{}, path(0, 5, 121, 74, 122, 74))
	assert.Equal(t, Fail, late.Verdict)
	assert.InDelta(t, -60, *late.Margin, 1e-6)
	assert.Equal(t, CannotTell, check(t, rule, Facts{}, path(0, 6, 60, 74, 61, 74)).Verdict, "over 5 °C when it begins")
	assert.Equal(t, Fail, check(t, rule, Facts{}, path(0, 5, 60, 74, 60.1, 74)).Verdict, "6 s at 74 °C")

	rule = MustFind("food-code-time-as-control")
	assert.Equal(t, Pass, check(t, rule, Facts{}, path(0, 57, 240, 40)).Verdict)
	over := check(t, rule, Facts{}, path(0, 60, 0, 40, 241, 40))
	assert.Equal(t, Fail, over.Verdict)
	assert.InDelta(t, -60, *over.Margin, 1e-6)
}

func TestFindingsSayAll(t *testing.T) {
	names := map[string]bool{}
	for _, r := range Rules() {
		assert.False(t, names[r.Name], "%s twice", r.Name)
		names[r.Name] = true
		assert.NotEqual(t, OtherStep, r.Step, r.Name)
		require.NoError(t, r.Validate())
		for _, f := range []Facts{{}, passingCases()[r.Name].f, {Food: Plant, Animal: OtherAnimal}} {
			got := check(t, r, f, constant(60, time.Hour))
			assert.Equal(t, Caution, got.Caution)
			for _, text := range []string{got.Rule, got.Code, got.Number, got.Title, got.Words, got.Source, got.Text} {
				assert.NotEmpty(t, text, "%+v", got)
			}
			assert.True(t, got.Year >= 1963 && got.Year <= 2022, r.Name)
			assert.Contains(t, got.String(), Caution)
			assert.Contains(t, got.String(), got.Number)
			_, err := json.Marshal(got)
			assert.NoError(t, err)
		}
	}
	findings, err := Check([]History{constant(60, 12*time.Minute)}, Facts{Food: Roast}, RulesOf(Cooking)...)
	require.NoError(t, err)
	assert.Contains(t, Text(findings), Caution)
	found, err := json.Marshal(check(t, MustFind("food-code-roast-time"), Facts{Food: Roast}, constant(60, 12*time.Minute)))
	require.NoError(t, err)
	assert.Contains(t, string(found), `"Verdict":"pass"`)
	assert.Contains(t, string(found), `"Margin":0`)
}

func TestOverall(t *testing.T) {
	of := func(verdicts ...Verdict) Verdict {
		var findings []Finding
		for _, v := range verdicts {
			findings = append(findings, Finding{Verdict: v})
		}
		return Overall(findings)
	}
	assert.Equal(t, CannotTell, of())
	assert.Equal(t, CannotTell, of(NotApplicable))
	assert.Equal(t, Pass, of(NotApplicable, Pass))
	assert.Equal(t, CannotTell, of(Pass, CannotTell, Pass))
	assert.Equal(t, Fail, of(Pass, CannotTell, Fail))
	assert.Equal(t, "Verdict(9)", Verdict(9).String())
}

func TestFaultyFactsAndRules(t *testing.T) {
	h := []History{constant(60, time.Hour)}
	nan, inf := math.NaN(), math.Inf(1)
	for _, f := range []Facts{
		{PH: &nan}, {PH: new(15.0)}, {WaterActivity: new(1.5)}, {Salt: new(-0.1)}, {Fat: &inf}, {Mass: new(0.0)}, {CookEnd: &inf},
		{OvenTemperature: new(-500.0)}, {ThawWater: new(200.0)}, {Food: 99}, {Animal: 99}, {Oven: 99}, {Thawing: 99}, {Cured: 3}, {ReadyToEat: 7},
	} {
		_, err := Check(h, f, Rules()...)
		var fault *FactError
		assert.ErrorAs(t, err, &fault, "%+v", f)
	}
	set, growth := inactivations[0], growths[0]
	set.D = nan
	growth.Best = nan
	steps := func(s ...CoolStep) Criterion { return Cool{s} }
	for _, c := range []Criterion{
		nil, Cook{}, &Cook{Rows: roastRows}, (*Cook)(nil), Cook{[]Row{{nan, 0}}}, Cook{[]Row{{60, -1}}}, Freeze{}, Freeze{[]Row{{inf, 0}}}, Stay{nan, 5}, Stay{-inf, inf}, Stay{5, 4},
		Exposure{5, 5, 0}, Exposure{nan, 5, 0}, Exposure{5, 57, -1}, Rise{74, 5, 0}, Rise{nan, 5, 0}, Rise{5, inf, 0}, steps(), steps(CoolStep{5, 57, 0}),
		steps(CoolStep{57, 21, 0}, CoolStep{60, 5, 0}), steps(CoolStep{nan, 5, 0}), ChillStart{nan, 0}, ChillStart{48, -1},
		OvenSetting{[]OvenRow{{StillOven, 5, 4, 1, 2}}}, OvenSetting{[]OvenRow{{StillOven, 0, 4, nan, 2}}}, WaterSetting{nan},
		Kill{set, 6}, Kill{inactivations[0], nan}, Kill{inactivations[0], -1}, Grow{growth, 1}, Grow{growths[0], inf},
	} {
		_, err := Check(h, Facts{}, criterion(c))
		var fault *RuleError
		if assert.ErrorAs(t, err, &fault, "%#v", c) {
			assert.Equal(t, "test", fault.Rule)
		}
	}
	_, err := Check(h, Facts{}, Rule{Name: "empty"})
	assert.ErrorContains(t, err, `rule "empty": number of criteria 0`)
	faulty := criterion(Stay{Least: 5, Most: inf})
	faulty.Where = []Condition{{Name: "x"}}
	_, err = Check(h, Facts{}, faulty)
	assert.ErrorContains(t, err, "condition x")
	_, err = Find("no such")
	assert.ErrorContains(t, err, "food-code-cooling")
	assert.Panics(t, func() { MustFind("no such") })
}

// The lists are copies: changing them changes nothing.
func TestListsAreCopies(t *testing.T) {
	Inactivations()[0].D = 1
	Growths()[0].Fastest = 99
	Germs()[0].Lowest = 99
	assert.NotEqual(t, 1.0, Inactivations()[0].D)
	assert.NotEqual(t, 99.0, Growths()[0].Fastest)
	assert.NotEqual(t, 99.0, Germs()[0].Lowest)
	rules := Rules()
	for _, r := range rules {
		for _, c := range r.Criteria {
			if cook, ok := c.(Cook); ok {
				cook.Rows[0].Temperature = 1
			}
			if oven, ok := c.(OvenSetting); ok {
				oven.Rows[0].Least = 1
			}
		}
		for i := range r.For {
			r.For[i] = Plant
		}
	}
	for _, r := range Rules() {
		assert.False(t, len(r.For) > 0 && r.For[0] == Plant && r.Name != "food-code-plants-held-hot", r.Name)
		for _, c := range r.Criteria {
			if cook, ok := c.(Cook); ok {
				assert.NotEqual(t, 1.0, cook.Rows[0].Temperature, r.Name)
			}
			if oven, ok := c.(OvenSetting); ok {
				assert.NotEqual(t, 1.0, oven.Rows[0].Least, r.Name)
			}
		}
	}
}
