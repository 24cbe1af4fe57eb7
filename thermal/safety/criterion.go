package safety

import (
	"fmt"
	"math"
	"time"
)

// Criterion is one thing a rule asks of a history: [Cook], [Freeze], [Stay],
// [Exposure], [Rise], [Cool], [ChillStart], [OvenSetting], [WaterSetting], [Kill] or
// [Grow].
type Criterion interface {
	fault() error
	judge(h *History, f *Facts) outcome
}

// outcome is what a criterion finds at one place.
type outcome struct {
	verdict Verdict
	margin  float64  // in unit; negative if it fails
	unit    string   // of the margin; empty if there is none
	at      *float64 // [s]
	text    string
	missing string // the fact that would settle it
}

// rounding is what sums of times may be off by [s].
const rounding = 1e-6

// byMargin passes what has a margin of no less than zero but for rounding.
func byMargin(margin, rounding float64, unit string) outcome {
	switch {
	case margin >= 0:
		return outcome{verdict: Pass, margin: margin, unit: unit}
	case margin >= -rounding:
		return outcome{verdict: Pass, unit: unit}
	}
	return outcome{verdict: Fail, margin: margin, unit: unit}
}

func lacking(fact string) outcome {
	return outcome{verdict: CannotTell, text: "not known: " + fact, missing: fact}
}

// CriterionError is a fault in a number of a criterion.
type CriterionError struct {
	Criterion string
	Field     string
	Value     any
	Want      string
}

// Error names the criterion, the field and what is wanted.
func (e *CriterionError) Error() string {
	return fmt.Sprintf("safety: criterion %s: %s %v, want %s", e.Criterion, e.Field, e.Value, e.Want)
}

// longest bounds the durations of criteria.
const longest = 10 * 365 * 24 * time.Hour

func faultOf(criterion string, temps []float64, times ...time.Duration) error {
	for _, t := range temps {
		if !(t >= -273.15 && t <= 1000) {
			return &CriterionError{criterion, "temperature [°C]", t, "-273.15 to 1000"}
		}
	}
	for _, d := range times {
		if d < 0 || d > longest {
			return &CriterionError{criterion, "time", d, fmt.Sprintf("0 to %v", longest)}
		}
	}
	return nil
}

// Stay asks that the place is never colder than Least and never warmer than Most.
// The margin is in K.
type Stay struct {
	Least float64 // [°C] minus infinity for no bound
	Most  float64 // [°C] infinity for no bound
}

func (s Stay) fault() error {
	var temps []float64
	for _, t := range []float64{s.Least, s.Most} {
		if !math.IsInf(t, 0) {
			temps = append(temps, t)
		}
	}
	if math.IsInf(s.Least, 1) || math.IsInf(s.Most, -1) || s.Least > s.Most || len(temps) == 0 {
		return &CriterionError{"stay", "least and most [°C]", []float64{s.Least, s.Most}, "at least one bound, least no more than most"}
	}
	return faultOf("stay", temps)
}

func (s Stay) judge(h *History, _ *Facts) outcome {
	margin, at := math.Inf(1), 0
	for i, t := range h.Temperature {
		if m := math.Min(t-s.Least, s.Most-t); m < margin {
			margin, at = m, i
		}
	}
	o := byMargin(margin, 0, "K")
	o.at = &h.Time[at]
	o.text = "nearest to the limit at " + deg(h.Temperature[at])
	return o
}

// Exposure asks that the place is over Low and under High for no longer than
// Most, all its stays taken together. The margin is in s.
type Exposure struct {
	Low  float64 // [°C]
	High float64 // [°C] infinity for no bound
	Most time.Duration
}

func (e Exposure) fault() error {
	if !(e.Low < e.High) {
		return &CriterionError{"exposure", "low and high [°C]", []float64{e.Low, e.High}, "low under high"}
	}
	temps := []float64{e.Low}
	if !math.IsInf(e.High, 1) {
		temps = append(temps, e.High)
	}
	return faultOf("exposure", temps, e.Most)
}

func (e Exposure) judge(h *History, _ *Facts) outcome {
	spent := 0.0
	for i := 1; i < len(h.Time); i++ {
		spent += h.piece(i).within(e.Low, e.High)
	}
	o := byMargin(e.Most.Seconds()-spent, rounding, "s")
	o.text = fmt.Sprintf("%s over %s", span(spent), deg(e.Low))
	if !math.IsInf(e.High, 1) {
		o.text += " and under " + deg(e.High)
	}
	return o
}

// Rise asks that the place comes from From up to To within a time. The margin
// is in s. What is over From when the history begins may have been so for long.
type Rise struct {
	From   float64 // [°C]
	To     float64 // [°C] over From
	Within time.Duration
}

func (r Rise) fault() error {
	if !(r.From < r.To) {
		return &CriterionError{"rise", "from and to [°C]", []float64{r.From, r.To}, "from under to"}
	}
	return faultOf("rise", []float64{r.From, r.To}, r.Within)
}

func (r Rise) judge(h *History, _ *Facts) outcome {
	c := h.cut(r.From, r.To)
	start, known := c.Time[0], false
	for i, t := range c.Temperature {
		if t <= r.From {
			start, known = c.Time[i], true
		}
		if t >= r.To {
			return r.took(c.Time[i]-start, c.Time[i], known, true)
		}
	}
	end := c.Time[len(c.Time)-1]
	return r.took(end-start, end, known, false)
}

func (r Rise) took(spent, at float64, known, arrived bool) outcome {
	o := byMargin(r.Within.Seconds()-spent, rounding, "s")
	o.at = &at
	o.text = fmt.Sprintf("%s from %s to %s", span(spent), deg(r.From), deg(r.To))
	switch {
	case o.verdict == Fail:
		o.text = "at least " + o.text
	case !arrived:
		o = outcome{verdict: CannotTell, text: "never at " + deg(r.To)}
	case !known:
		o = lacking("the time before the history, which begins over " + deg(r.From))
	}
	return o
}

// OvenSetting asks for the oven of the piece's mass. The margin is in K.
type OvenSetting struct{ Rows []OvenRow }

// OvenRow is what a kind of oven must do for pieces of a span of masses.
type OvenRow struct {
	Oven  Oven
	From  float64 // [kg] this mass and more
	Under float64 // [kg] less than this; infinity for no bound
	Least float64 // [°C] minus infinity for no bound
	Most  float64 // [°C] infinity for no bound
}

func (o OvenSetting) fault() error {
	for _, r := range o.Rows {
		if !(r.From >= 0 && r.From < r.Under) {
			return &CriterionError{"oven setting", "masses [kg]", []float64{r.From, r.Under}, "0 or more, the first under the second"}
		}
		if err := (Stay{r.Least, r.Most}).fault(); err != nil {
			return err
		}
	}
	return nil
}

func (o OvenSetting) judge(_ *History, f *Facts) outcome {
	switch {
	case f.Oven == UnknownOven:
		return lacking("the kind of oven")
	case f.Mass == nil:
		return lacking("the mass of the piece")
	case f.OvenTemperature == nil:
		return lacking("the temperature of the oven")
	}
	for _, r := range o.Rows {
		if r.Oven == f.Oven && *f.Mass >= r.From && *f.Mass < r.Under {
			found := byMargin(math.Min(*f.OvenTemperature-r.Least, r.Most-*f.OvenTemperature), 0, "K")
			found.text = fmt.Sprintf("%v at %s with %.4g kg", f.Oven, deg(*f.OvenTemperature), *f.Mass)
			return found
		}
	}
	return outcome{verdict: CannotTell, text: "the rule has no row for this oven and mass"}
}

// WaterSetting asks that the water in which food thaws is no warmer than Most. The
// margin is in K.
type WaterSetting struct {
	Most float64 // [°C]
}

func (w WaterSetting) fault() error { return faultOf("water setting", []float64{w.Most}) }

func (w WaterSetting) judge(_ *History, f *Facts) outcome {
	if f.ThawWater == nil {
		return lacking("the temperature of the water")
	}
	o := byMargin(w.Most-*f.ThawWater, 0, "K")
	o.text = "water at " + deg(*f.ThawWater)
	return o
}

// span writes a time in the units of a kitchen.
func span(s float64) string {
	d := seconds(math.Abs(s))
	switch {
	case d < 10*time.Second:
		return fmt.Sprintf("%.3g s", s)
	case d < 10*time.Minute:
		return fmt.Sprintf("%.0f s", s)
	case d < 10*time.Hour:
		return fmt.Sprintf("%.0f min", s/60)
	}
	return fmt.Sprintf("%.1f h", s/3600)
}
