package verdict

import (
	"cmp"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/quality"
	"example.com/thawfront/thermal/safety"
)

// Case is what is to be judged.
type Case struct {
	// Runs of a chain in their order, each begun as the one before ended. The dish
	// is judged as the last one leaves it.
	Runs   []*thermal.Run
	Wishes []Wish // what the cook wants; none is needed
	// Layers say what the layers of the dish are judged as by package quality; those
	// that are not named are judged by water and temperature alone.
	Layers []quality.Layer
	Parts  []Part // what is judged for safety; without any safety cannot tell
	// Ahead names what was to come after the last run and was not begun, as after a run
	// that broke off; default: nothing. What it could still change cannot be told then.
	Ahead string
}

// Part is a part of the dish that is judged for safety.
type Part struct {
	// Layer is its name; "" means every layer, each as a food of these facts. One that
	// came into the chain on the way is judged from then on.
	Layer string
	Facts safety.Facts
	Rules []safety.Rule
	// Stages are the names of those over which the part is judged, from the start
	// of the first of them to the end of the last; default (none): the whole chain.
	// Rules of holding and thawing speak of one part of a chain only.
	Stages []string
}

// Bounds of a case.
const (
	maxRuns   = 1000
	maxWishes = 1000
	maxParts  = 1000
	maxRules  = 1000 // of a part
)

// Judge gives the report of a case. A fault of the case gives an [*InputError] and no
// report; that of another package, such as safety of a fact, is its cause.
func Judge(c Case) (*Report, error) {
	s, err := newSubject(c.Runs)
	if err != nil {
		return nil, err
	}
	s.broken, s.ahead = cmp.Or(s.broken, c.Ahead), c.Ahead != ""
	if n := len(c.Wishes); n > maxWishes {
		return nil, &InputError{Place: "case", Field: "number of wishes", Value: n, Want: fmt.Sprintf("at most %d", maxWishes)}
	}
	if err := s.assess(c.Layers); err != nil {
		return nil, err
	}
	r := s.describe()
	var changes []ranked
	for i, w := range c.Wishes {
		f, change, err := s.judge(i, w)
		if err != nil {
			return nil, err
		}
		r.Findings = append(r.Findings, f)
		if change != nil {
			changes = append(changes, *change)
		}
	}
	verdicts := make([]Verdict, len(r.Findings))
	for i := range r.Findings {
		verdicts[i] = r.Findings[i].Verdict
	}
	r.Wishes = gravest(verdicts...)
	safer, err := s.inspect(r, c.Parts)
	if err != nil {
		return nil, err
	}
	changes = append(append(changes, safer...), s.goOn()...)
	slices.SortStableFunc(changes, func(a, b ranked) int { return int(a.rank) - int(b.rank) })
	for _, x := range changes {
		same := slices.IndexFunc(r.Changes, func(c Change) bool { return c.Do == x.Do })
		if same < 0 {
			r.Changes = append(r.Changes, x.Change)
			continue
		}
		r.Changes[same].For = append(r.Changes[same].For, x.For...)
	}
	return r, nil
}

// judge judges one wish. What broke off before its end is not known.
func (s *subject) judge(i int, w Wish) (Finding, *ranked, error) {
	if isNil(w) {
		return Finding{}, nil, &InputError{Place: fmt.Sprintf("wish %d", i+1), Field: "wish", Value: "none", Want: "one of the package's"}
	}
	fault := w.fault(s)
	if fault != nil {
		fault.Place = fmt.Sprintf("wish %d (%s)", i+1, w.kind())
		return Finding{}, nil, fault
	}
	f := Finding{Verdict: CannotTell}
	if s.broken == "" {
		f = w.judge(s)
	} else {
		f.Text, f.Missing = "the run broke off", []string{s.broken}
	}
	f.Kind, f.Wish = w.kind(), w.String()
	if f.Verdict != Fail {
		return f, nil, nil
	}
	change := w.mend(s, &f)
	if change != nil {
		change.For = []string{f.Wish}
	}
	return f, change, nil
}

// subject is the chain of runs made ready to be judged.
type subject struct {
	runs    []*thermal.Run
	begins  []float64 // [s] when each run begins
	last    *thermal.Run
	end     *thermal.State
	layers  []thermal.LayerState // at the end
	broken  string               // what is missing of the chain as it broke off, if it did
	ahead   bool                 // whether there were to be more runs
	quality *quality.Report
	traces  map[traced]*trace // looked up, never walked through
}

func newSubject(runs []*thermal.Run) (*subject, error) {
	if n := len(runs); n == 0 || n > maxRuns {
		return nil, &InputError{Place: "case", Field: "number of runs", Value: n, Want: fmt.Sprintf("1 to %d", maxRuns)}
	}
	s := &subject{runs: slices.Clone(runs), traces: map[traced]*trace{}}
	now := 0.0
	for i, run := range runs {
		place := fmt.Sprintf("run %d", i+1)
		if run == nil || run.Grid().Len() == 0 || len(run.Stages) == 0 {
			return nil, &InputError{Place: place, Field: "run", Value: "none", Want: "a run from thermal.Simulate"}
		}
		if i > 0 {
			if err := follows(place, runs[i-1], run); err != nil {
				return nil, err
			}
		}
		s.begins = append(s.begins, now)
		now += run.Duration().Seconds()
		ended := len(run.Stages) - 1
		reason := run.Stages[ended].Reason
		unfinished := i == len(runs)-1 && len(run.Stages) < len(run.Schedule) // a chain that goes on leaves nothing open
		if s.broken == "" && (unfinished || reason == thermal.Interrupted || reason == thermal.Failed) {
			s.broken = fmt.Sprintf("what comes after %s of run %d, where the run ended: %s", s.stageName(i, ended), i+1, reason)
		}
	}
	s.last = runs[len(runs)-1]
	s.end = s.last.End()
	s.layers = s.end.Layers()
	return s, nil
}

// layer gives the state of a layer at the end and its number, or -1.
func (s *subject) layer(name string) int {
	return slices.IndexFunc(s.layers, func(l thermal.LayerState) bool { return l.Name == name })
}

// known checks that a layer is in the dish at the end.
func (s *subject) known(layer string) *InputError {
	if s.layer(layer) < 0 {
		return &InputError{Field: "layer", Value: fmt.Sprintf("%q", layer), Want: fmt.Sprintf("one of %q", s.last.LayerNames())}
	}
	return nil
}

// since is the first of the last runs that have had a layer without a gap.
func (s *subject) since(layer string) int {
	i := len(s.runs) - 1
	for i > 0 && slices.Contains(s.runs[i-1].LayerNames(), layer) {
		i--
	}
	return i
}

// still lists the runs from the first on in which water stood still.
func (s *subject) still(first int) (missing []string) {
	for i, run := range s.runs[first:] {
		if !run.Settings.Moisture {
			missing = append(missing, fmt.Sprintf("where water went in run %d: simulate it with Settings.Moisture", first+i+1))
		}
	}
	return missing
}

// stageName names a stage of a run for readers.
func (s *subject) stageName(run, stage int) string {
	if name := s.runs[run].Stages[stage].Name; name != "" {
		return fmt.Sprintf("%q", name)
	}
	return fmt.Sprintf("stage %d", s.stageNumber(run, stage))
}

// stageNumber counts the stages through the chain, from 1.
func (s *subject) stageNumber(run, stage int) int {
	for _, r := range s.runs[:run] {
		stage += len(r.Stages)
	}
	return stage + 1
}

// seen is what the dish met of an Active medium, a time after the start of its stage.
func seen(run *thermal.Run, stage int, t time.Duration) thermal.Surroundings {
	for _, p := range []geometry.Patch{geometry.Side, geometry.Outside, geometry.Top, geometry.Ends, geometry.Rim, geometry.Contact, geometry.Underside} {
		if _, other := run.Schedule[stage].Patches[p]; other {
			continue
		}
		if s, err := run.Surroundings(p, run.Stages[stage].Start+t); err == nil {
			return s
		}
	}
	return run.Schedule[stage].Medium.At(t)
}

// stageOf is the last stage of a run that had begun by a time.
func stageOf(run *thermal.Run, t time.Duration) int {
	i := 0
	for i+1 < len(run.Stages) && run.Stages[i+1].Start < t {
		i++
	}
	return i
}

// medium is the temperature [°C] that drives heat into the dish in a stage, at a
// time of its run; of a dish with patches that around the rest, or the first of them.
func medium(run *thermal.Run, stage int, t time.Duration) float64 {
	x := run.Schedule[stage]
	around := x.Medium
	if v := reflect.ValueOf(around); !v.IsValid() || (v.Kind() == reflect.Func || v.Kind() == reflect.Pointer) && v.IsNil() {
		around = x.Patches[slices.Min(slices.Collect(maps.Keys(x.Patches)))] // a run has a medium everywhere
	}
	_, active := around.(thermal.Active)
	drives := func(t time.Duration) float64 {
		m := around.At(t)
		if active { // an oven has a course of its own
			m = seen(run, stage, t)
		}
		if m.H > 0 || m.Emissivity == 0 {
			return m.Fluid
		}
		return m.Walls
	}
	if now := drives(t - run.Stages[stage].Start); finite(now) {
		return now
	}
	return drives(0) // which Simulate has checked
}
