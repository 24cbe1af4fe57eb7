package safety

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Cool asks for cooling in steps. The clock of a cooling starts when the place
// falls below From of the first step for the last time before it cools on; if it
// never was that warm, at its peak. Heating it up to there again ends the cooling.
// The margin is in s, of the step with the least left.
//
// A history that begins within the first step, cooling or not, does not tell how
// long the food has been there: it can fail, never pass.
type Cool struct{ Steps []CoolStep }

// CoolStep is one step of cooling, from when the place is at From to when it is at
// To. From of the first step must be the highest.
type CoolStep struct {
	From   float64 // [°C]
	To     float64 // [°C] under From
	Within time.Duration
}

func (c Cool) fault() error {
	if len(c.Steps) == 0 {
		return &CriterionError{"cool", "number of steps", 0, "at least 1"}
	}
	for _, s := range c.Steps {
		if err := faultOf("cool", []float64{s.From, s.To}, s.Within); err != nil {
			return err
		}
		if s.From <= s.To || s.From > c.Steps[0].From {
			return &CriterionError{"cool", "from and to [°C]", []float64{s.From, s.To}, "from over to, and no more than that of the first step"}
		}
	}
	return nil
}

// cooling is one cooling found in a history.
type cooling struct {
	start, last int  // points
	unknown     bool // whether what was before the start is not known
	reheated    bool // whether it ends by being heated again
}

func (c Cool) judge(h *History, _ *Facts) outcome {
	levels := make([]float64, 0, 2*len(c.Steps))
	for _, s := range c.Steps {
		levels = append(levels, s.From, s.To)
	}
	p := h.cut(levels...)
	worst := outcome{verdict: NotApplicable}
	for _, k := range c.coolings(&p) {
		worst = worse(worst, c.along(&p, k))
	}
	if worst.verdict == NotApplicable {
		return outcome{verdict: CannotTell, text: fmt.Sprintf("the history shows no cooling from over %s", deg(c.Steps[0].To))}
	}
	return worst
}

// along judges one cooling. One that was heated again before its last step was due
// is none, unless it was too slow before.
func (c Cool) along(p *History, k cooling) outcome {
	worst, again := outcome{verdict: NotApplicable}, false
	for _, s := range c.Steps {
		o := s.judge(p, k)
		worst = worse(worst, o)
		again = again || o.verdict == NotApplicable
	}
	if again && worst.verdict == Pass {
		return outcome{verdict: NotApplicable}
	}
	return worst
}

// coolings finds the coolings in a history that has points on all levels.
func (c Cool) coolings(p *History) (found []cooling) {
	hot := func(i int) bool { return p.Temperature[i] >= c.Steps[0].From }
	n := len(p.Time)
	for a := 0; a < n; {
		if hot(a) && (a+1 == n || hot(a+1)) {
			a++
			continue
		}
		b := a + 1
		for b < n && !hot(b) {
			b++
		}
		found = append(found, c.below(p, a, min(b, n-1), hot(a), b < n)...)
		a = b
	}
	return found
}

// below finds the coolings in a stay below From, points a to last. Each time the
// place is over To of the first step makes one, unless it only warms up.
func (c Cool) below(p *History, a, last int, fallen, reheated bool) (found []cooling) {
	warm := func(i int) bool { return p.Temperature[i] > c.Steps[0].To }
	for i := a; i <= last; i++ {
		if !warm(i) {
			continue
		}
		end, peak := i, i
		for ; end <= last && warm(end); end++ {
			if p.Temperature[end] >= p.Temperature[peak] {
				peak = end
			}
		}
		k := cooling{start: peak, last: last, reheated: reheated}
		switch {
		case i == a && fallen:
			k.start = a
		case i == 0:
			k.unknown = true
		}
		if k.start < last { // else it has not begun to cool
			found = append(found, k)
		}
		i = end
	}
	return found
}

func (s CoolStep) judge(p *History, k cooling) outcome {
	from := k.start
	for from <= k.last && p.Temperature[from] > s.From {
		from++
	}
	open := outcome{verdict: CannotTell, text: "the history ends before it is at " + deg(s.To)}
	if k.reheated {
		open = outcome{verdict: NotApplicable, text: "heated again in time"}
	}
	if from > k.last {
		return open
	}
	to := from
	for to < k.last && p.Temperature[to] > s.To {
		to++
	}
	start := p.Time[from]
	o := byMargin(s.Within.Seconds()-(p.Time[to]-start), rounding, "s")
	if o.verdict == Fail {
		due := start + s.Within.Seconds()
		o.at = &due
		o.text = fmt.Sprintf("%s from %s to %s, %s allowed", span(p.Time[to]-start), deg(p.Temperature[from]), deg(s.To), span(s.Within.Seconds()))
		if p.Temperature[to] > s.To {
			o.text = "more than " + o.text
		}
		return o
	}
	if p.Temperature[to] > s.To {
		return open
	}
	if k.unknown && from == k.start {
		return lacking(fmt.Sprintf("the time before the history, which begins at %s", deg(p.Temperature[0])))
	}
	o.at = &p.Time[to]
	o.text = fmt.Sprintf("%s from %s to %s", span(p.Time[to]-start), deg(p.Temperature[from]), deg(s.To))
	return o
}

// ChillStart asks that the place is at To within a time of the end of cooking. The
// margin is in s.
type ChillStart struct {
	To     float64 // [°C]
	Within time.Duration
}

func (c ChillStart) fault() error { return faultOf("chill start", []float64{c.To}, c.Within) }

func (c ChillStart) judge(h *History, f *Facts) outcome {
	first, last := h.Time[0], h.Time[len(h.Time)-1]
	if f.CookEnd == nil {
		return lacking("when cooking ended")
	}
	if *f.CookEnd < first || *f.CookEnd > last {
		return outcome{verdict: CannotTell, text: "the end of cooking is outside of the history"}
	}
	p := h.cut(c.To)
	at, arrived := last, false
	for i, t := range p.Time {
		if t >= *f.CookEnd && p.Temperature[i] <= c.To {
			at, arrived = t, true
			if i > 0 && p.Temperature[i-1] <= c.To { // it was there when cooking ended
				at = max(p.Time[i-1], *f.CookEnd)
			}
			break
		}
	}
	o := byMargin(c.Within.Seconds()-(at-*f.CookEnd), rounding, "s")
	o.at = &at
	o.text = fmt.Sprintf("%s from the end of cooking to %s", span(at-*f.CookEnd), deg(c.To))
	if o.verdict == Pass && !arrived {
		return outcome{verdict: CannotTell, text: "the history ends before it is at " + deg(c.To)}
	}
	return o
}

// cut is the history with a point wherever it passes one of the levels [°C].
func (h *History) cut(levels ...float64) History {
	levels = slices.Clone(levels)
	slices.Sort(levels)
	levels = slices.Compact(levels)
	out := History{Place: h.Place, Surface: h.Surface,
		Time: []float64{h.Time[0]}, Temperature: []float64{h.Temperature[0]}}
	add := func(t, temp float64) {
		out.Time = append(out.Time, t)
		out.Temperature = append(out.Temperature, temp)
	}
	for i := 1; i < len(h.Time); i++ {
		p := h.piece(i)
		lo, hi := math.Min(p.a, p.b), math.Max(p.a, p.b)
		for j := range levels {
			level := levels[j]
			if p.b < p.a {
				level = levels[len(levels)-1-j]
			}
			if level > lo && level < hi {
				add(p.when(level), level)
			}
		}
		add(p.t1, p.b)
	}
	return out
}
