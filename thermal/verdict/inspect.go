package verdict

import (
	"fmt"
	"math"
	"slices"

	"example.com/thawfront/thermal/safety"
)

// inspect judges the parts by their rules, fills the report's safety and gives
// what to change for it.
func (s *subject) inspect(r *Report, parts []Part) ([]ranked, error) {
	if n := len(parts); n > maxParts {
		return nil, &InputError{Place: "case", Field: "number of parts", Value: n, Want: fmt.Sprintf("at most %d", maxParts)}
	}
	var failed []failure
	judged := map[string]bool{}
	for i := range parts {
		p := &parts[i]
		fail := func(err *InputError) error {
			err.Place = fmt.Sprintf("part %d", i+1)
			return err
		}
		if n := len(p.Rules); n > maxRules {
			return nil, fail(&InputError{Field: "number of rules", Value: n, Want: fmt.Sprintf("at most %d", maxRules)})
		}
		layers := []string{p.Layer}
		if p.Layer == "" {
			layers = s.last.LayerNames()
		} else if err := s.known(p.Layer); err != nil {
			return nil, fail(err)
		}
		from, to, run, fault := s.between(p.Stages)
		if fault != nil {
			return nil, fail(fault)
		}
		open := s.broken != "" && (!run || len(p.Stages) == 0 || slices.Contains(p.Stages, s.lastStage()))
		for _, layer := range layers {
			histories, whole, err := s.histories(layer, from, to)
			if err != nil {
				return nil, fail(&InputError{Cause: err})
			}
			findings, err := safety.Check(histories, p.Facts, p.Rules...)
			if err != nil {
				return nil, fail(&InputError{Cause: err})
			}
			for j, f := range findings {
				c := s.check(layer, f, whole, run)
				if open && c.Verdict == Fail && laterMends(p.Rules[j].Step) {
					c.open(s.broken)
				}
				r.Checks = append(r.Checks, c)
				judged[layer] = judged[layer] || c.Verdict != NotApplicable
				if c.Verdict == Fail {
					failed = append(failed, failure{c, p.Rules[j].Step})
				}
			}
		}
	}
	var verdicts []Verdict
	for _, c := range r.Checks {
		verdicts = append(verdicts, c.Verdict)
	}
	for _, layer := range s.last.LayerNames() {
		if !judged[layer] {
			r.Unjudged = append(r.Unjudged, layer)
			verdicts = append(verdicts, CannotTell)
		}
	}
	r.Safety = gravest(verdicts...)
	return s.safer(failed), nil
}

// check takes over a finding. Where the history is not whole or a stage was not run,
// no rule passes.
func (s *subject) check(layer string, f safety.Finding, whole, run bool) Check {
	c := Check{Layer: layer, Rule: f.Rule, Code: f.Code, Number: f.Number, Title: f.Title, Year: f.Year, Words: f.Words, Source: f.Source,
		Verdict: verdictOf(f.Verdict), Place: f.Place, Time: f.Time, Margin: f.Margin, Unit: f.Unit, Text: f.Text, Missing: slices.Clone(f.Missing)}
	if c.Verdict != Pass {
		return c
	}
	if s.broken != "" {
		c.Verdict, c.Missing = CannotTell, append(c.Missing, s.broken)
	}
	if !whole {
		c.Verdict, c.Missing = CannotTell, append(c.Missing, fmt.Sprintf("where %s was before it came into the chain", layer))
	}
	if !run {
		c.Verdict, c.Missing = CannotTell, append(c.Missing, "the stages that were not run")
	}
	if c.Verdict == CannotTell {
		c.Margin, c.Unit, c.Time = nil, "", nil
	}
	return c
}

// laterMends says whether what comes after a run broke off may still meet a rule: heat
// that is missing may come later, what cooled too slowly stays so.
func laterMends(step safety.Step) bool {
	return step == safety.Cooking || step == safety.Reheating || step == safety.Pasteurising
}

// open takes a verdict back for what is missing.
func (c *Check) open(missing string) {
	c.Verdict, c.Missing = CannotTell, append(c.Missing, missing)
	c.Margin, c.Unit, c.Time = nil, "", nil
}

// lastStage is the name of the last stage that was begun.
func (s *subject) lastStage() string { return s.last.Stages[len(s.last.Stages)-1].Name }

func verdictOf(v safety.Verdict) Verdict {
	switch v {
	case safety.Pass:
		return Pass
	case safety.Fail:
		return Fail
	case safety.NotApplicable:
		return NotApplicable
	}
	return CannotTell
}

// between gives the time [s] over which stages of these names went, all of the chain
// for no names, and whether all of them were run.
func (s *subject) between(names []string) (from, to float64, run bool, fault *InputError) {
	if len(names) == 0 {
		return math.Inf(-1), math.Inf(1), true, nil
	}
	from, to, run = math.Inf(1), math.Inf(-1), true
	for _, name := range names {
		planned := false
		for i, r := range s.runs {
			for j := range r.Schedule {
				switch {
				case r.Schedule[j].Name != name:
				case j < len(r.Stages):
					planned = true
					start, end := times(r, j)
					from, to = math.Min(from, s.begins[i]+start), math.Max(to, s.begins[i]+end)
				default:
					planned, run = true, false
				}
			}
		}
		if !planned && s.ahead {
			run = false
		} else if !planned {
			return 0, 0, false, &InputError{Field: "stage", Value: fmt.Sprintf("%q", name), Want: "the name of a stage of the runs"}
		}
	}
	if from > to { // none was run
		from, to = math.Inf(-1), math.Inf(1)
	}
	return from, to, run, nil
}

// slack [s] allows for times that went through a time.Duration.
const slack = 1e-6

// histories gives those of a layer's cells from one time [s] to another, as far as it
// was there, and whether it was there over all of it.
func (s *subject) histories(layer string, from, to float64) (parts []safety.History, whole bool, err error) {
	parts, err = safety.LayerHistories(layer, s.runs[s.since(layer):]...)
	if err != nil {
		return nil, false, err
	}
	begins := s.begins[s.since(layer)] // on the clock of the chain
	whole = true
	for i := range parts {
		h := &parts[i]
		for j := range h.Time {
			h.Time[j] += begins
		}
		first, last := h.Time[0], h.Time[len(h.Time)-1]
		if math.IsInf(from, -1) {
			continue
		}
		whole = whole && from >= first-slack && to <= last+slack
		clamp := func(t float64) float64 { return math.Min(math.Max(t, first), last) }
		if *h, err = h.Between(clamp(from), clamp(to)); err != nil {
			return nil, false, err
		}
	}
	return parts, whole, nil
}
