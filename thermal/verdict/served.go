package verdict

import (
	"fmt"

	"example.com/thawfront/thermal"
)

// Served wishes for a temperature at the end: in the centre, of the mean of a layer.
type Served struct {
	Place    thermal.Place
	From, To float64 // [°C] -200 to 1000, From below To
}

// String puts the wish into words.
func (w Served) String() string {
	return fmt.Sprintf("%v at %.4g to %.4g °C when served", w.Place, w.From, w.To)
}

func (Served) kind() string { return "served" }

func (w Served) fault(s *subject) *InputError {
	if f := band(w.From, w.To); f != nil {
		return f
	}
	if _, err := s.end.Temperature(w.Place); err != nil {
		return &InputError{Cause: err}
	}
	return nil
}

func (w Served) judge(s *subject) Finding {
	t, _ := s.end.Temperature(w.Place) // found by fault
	return measured(t, inBand(t, w.From, w.To), "°C", fmt.Sprintf("%v is at %s", w.Place, deg1(t)))
}

func (w Served) mend(s *subject, f *Finding) *ranked {
	if *f.Value < w.From {
		return s.warmer(w.Place, *f.Value, w.From)
	}
	return s.cooler(w.Place, *f.Value, w.From, w.To)
}

// heating lists the stages of the last run whose medium is warmer than t [°C], the
// last first.
func (s *subject) heating(t float64) (stages []int) {
	for i := len(s.last.Stages) - 1; i >= 0; i-- {
		if medium(s.last, i, s.last.Stages[i].End) > t+1 {
			stages = append(stages, i)
		}
	}
	return stages
}

// times gives the start and the end [s] of a stage of a run.
func times(run *thermal.Run, stage int) (start, end float64) {
	return run.Stages[stage].Start.Seconds(), run.Stages[stage].End.Seconds()
}

// named gives the name of a stage of the last run, and its medium [°C] at its end.
func (s *subject) named(stage int) (name string, at float64) {
	x := s.last.Stages[stage]
	return s.stageName(len(s.runs)-1, stage), medium(s.last, stage, x.End)
}

// warmer is what brings a place from t up to a target [°C].
func (s *subject) warmer(p thermal.Place, t, target float64) *ranked {
	c := &ranked{rank: forDoneness}
	stages := s.heating(target)
	if len(stages) == 0 {
		c.Do = fmt.Sprintf("add a stage warmer than %s at the end", deg(target))
		c.Why = fmt.Sprintf("no stage of the last run is warmer than that, and %v is at %s", p, deg1(t))
		return c
	}
	tr, err := s.follow(s.last, p)
	if err != nil {
		return nil
	}
	lacks, run := target-t, len(s.runs)-1
	for _, stage := range stages { // the last one that can do it
		start, end := times(s.last, stage)
		if rise := tr.slope(start, end); rise > 0 && lacks/rise <= end-start {
			name, _ := s.named(stage)
			longer := lacks / rise
			c.Do = fmt.Sprintf("let %s go on for %s", name, about(longer))
			c.Why = fmt.Sprintf("%v was rising by %s when it ended, and %s are missing", p, aMinute(rise), kelvin(lacks))
			c.try(run, stage, nil, &longer)
			return c
		}
	}
	name, m := s.named(stages[0])
	c.Do = fmt.Sprintf("let %s go on more than twice as long, or make it hotter than %s", name, deg(m))
	c.Why = fmt.Sprintf("%v is %s too cold: at the rise it had when %s ended, it takes more than as long again", p, kelvin(lacks), name)
	c.Else = []string{"thinner layers: time goes as the square of the thickness"}
	return c
}

// cooler is what brings a place from t down into a band [°C].
func (s *subject) cooler(p thermal.Place, t, from, to float64) *ranked {
	c := &ranked{rank: forRim}
	tr, err := s.follow(s.last, p)
	if err != nil {
		return nil
	}
	middle := (from + to) / 2
	stages := s.heating(middle)
	if len(stages) == 0 {
		c.Do = fmt.Sprintf("wait longer, or serve from a place cooler than %s", deg(middle))
		c.Why = fmt.Sprintf("%v is at %s and cooling", p, deg1(t))
		return c
	}
	stage := stages[0]
	name, m := s.named(stage)
	start, end := times(s.last, stage)
	if at, ok := tr.passed(middle, start); ok && at < end {
		longer := at - end
		c.Do = fmt.Sprintf("end %s %s earlier", name, about(-longer))
		c.try(len(s.runs)-1, stage, nil, &longer)
		c.Why = fmt.Sprintf("%v passed %s then, and is at %s at the end", p, deg(middle), deg1(t))
		return c
	}
	c.Do = fmt.Sprintf("make %s cooler than %s", name, deg(m))
	c.Why = fmt.Sprintf("%v is at %s, %s too hot", p, deg1(t), kelvin(t-to))
	return c
}

// Even wishes that a layer has nearly one temperature at the end.
type Even struct {
	Layer string
	Most  float64 // [K] 0 to 1000, between its coldest and its hottest
}

// String puts the wish into words.
func (w Even) String() string {
	return fmt.Sprintf("%s within %.4g K when served", w.Layer, w.Most)
}

func (Even) kind() string { return "even" }

func (w Even) fault(s *subject) *InputError {
	if f := outside(bound{"most [K]", w.Most, 0, 1000}); f != nil {
		return f
	}
	return s.known(w.Layer)
}

func (w Even) judge(s *subject) Finding {
	l := s.layers[s.layer(w.Layer)]
	spread := l.Hottest - l.Coldest
	f := measured(spread, w.Most-spread, "K", fmt.Sprintf("%s is between %s and %s", w.Layer, deg1(l.Coldest), deg1(l.Hottest)))
	f.Layer = w.Layer
	return f
}

func (w Even) mend(s *subject, f *Finding) *ranked {
	l := s.layers[s.layer(w.Layer)]
	name, _ := s.named(len(s.last.Stages) - 1)
	return &ranked{rank: forDoneness, Change: Change{
		Do:  fmt.Sprintf("rest it longer, or finish %s longer and cooler", name),
		Why: fmt.Sprintf("the mean of %s is %s: left alone, all of it comes near that", w.Layer, deg1(l.Mean)),
	}}
}
