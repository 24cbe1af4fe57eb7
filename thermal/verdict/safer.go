package verdict

import (
	"fmt"
	"math"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/safety"
)

// failure is a rule that is not met.
type failure struct {
	Check
	step safety.Step
}

// safer says what to change for rules that fail: one change a layer and step, after
// the rule that is missed by most.
func (s *subject) safer(failed []failure) (out []ranked) {
	type key struct {
		layer string
		step  safety.Step
	}
	known := map[key]int{} // looked up, never walked through
	var worst []failure
	var rules [][]string
	for _, f := range failed {
		k := key{f.Layer, f.step}
		rule := fmt.Sprintf("%s: %s %s (%d)", f.Layer, f.Code, f.Number, f.Year)
		i, ok := known[k]
		if !ok {
			known[k] = len(worst)
			worst, rules = append(worst, f), append(rules, []string{rule})
			continue
		}
		rules[i] = append(rules[i], rule)
		if f.outweighs(&worst[i]) {
			worst[i] = f
		}
	}
	for i := range worst {
		c := s.mendRule(&worst[i])
		c.For = rules[i]
		out = append(out, c)
	}
	return out
}

// outweighs prefers the rule from which more follows: missing kelvins before
// missing time before others, more of one before less.
func (f *failure) outweighs(g *failure) bool {
	weight := func(f *failure) int {
		switch {
		case f.Margin == nil:
			return 0
		case f.Unit == "K":
			return 3
		case f.Unit == "s":
			return 2
		}
		return 1
	}
	if a, b := weight(f), weight(g); a != b || a == 0 {
		return a > b
	}
	return *f.Margin < *g.Margin
}

func (s *subject) mendRule(f *failure) ranked {
	c := ranked{rank: forSafety, Change: Change{Why: f.Text}}
	if f.Margin != nil {
		c.Why += ", which misses the rule by " + amount(math.Abs(*f.Margin), f.Unit)
	}
	switch f.step {
	case safety.Cooking, safety.Reheating, safety.Pasteurising:
		c.Do = fmt.Sprintf("heat %s more, until the rule is met at its coldest place", f.Layer)
		c.Else = []string{"hold it longer at its temperature, if the rule has a time for that"}
		switch {
		case f.Margin == nil:
		case f.Unit == "K":
			least := lowest(s.last.Peaks(), s.last, f.Layer)
			if w := s.warmer(thermal.ColdestOf(f.Layer), least, least-*f.Margin); w != nil {
				c.Do, c.Try = c.Do+": "+w.Do, w.Try
			}
		case f.Unit == "s":
			c.Do += fmt.Sprintf(": hold it for %s longer", briefly(-*f.Margin))
			c.Else = nil
		}
	case safety.Cooling:
		c.Do = fmt.Sprintf("cool %s faster: thinner pieces, moving air or ice water", f.Layer)
	case safety.Thawed:
		c.Do = fmt.Sprintf("thaw %s colder, in a refrigerator", f.Layer)
	case safety.HeldHot:
		c.Do = fmt.Sprintf("hold %s hotter", f.Layer)
	case safety.HeldCold:
		c.Do = fmt.Sprintf("hold %s colder", f.Layer)
	case safety.HeldByTime:
		c.Do = fmt.Sprintf("use %s up or throw it away sooner", f.Layer)
	case safety.EatenRaw:
		c.Do = fmt.Sprintf("freeze %s colder or for longer", f.Layer)
	default:
		c.Do = fmt.Sprintf("keep %s to what the rule asks: %s", f.Layer, f.Words)
	}
	return c
}

// goOn is what to do about a last run that met the limit of a stage.
func (s *subject) goOn() []ranked {
	stage := len(s.last.Stages) - 1
	if s.last.Stages[stage].Reason != thermal.LimitReached {
		return nil
	}
	name, m := s.named(stage)
	start, end := times(s.last, stage)
	return []ranked{{rank: forEnd, Change: Change{
		For: []string{fmt.Sprintf("the end of %s", name)},
		Do:  fmt.Sprintf("give %s more time, or make it hotter than %s", name, deg(m)),
		Why: fmt.Sprintf("it met its limit of %s before %v", minutes(end-start), s.last.Schedule[stage].Until),
	}}}
}
