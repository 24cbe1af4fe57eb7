package safety

import (
	"math"
	"time"
)

// Row is a line of a table: at or beyond a temperature, without a break, for a
// time. A time of 0 means that the temperature is reached.
type Row struct {
	Temperature float64 // [°C] as printed
	Time        time.Duration
}

// Cook asks that the place is at or above a row's temperature for the row's time;
// one row is enough. The margin is in K: by how much the whole history could be
// colder, or must be warmer.
type Cook struct{ Rows []Row }

// Freeze asks that the place is at or below a row's temperature for the row's
// time; one row is enough. The margin is in K.
type Freeze struct{ Rows []Row }

func (c Cook) fault() error   { return faultOfRows("cook", c.Rows) }
func (f Freeze) fault() error { return faultOfRows("freeze", f.Rows) }

func faultOfRows(criterion string, rows []Row) error {
	if len(rows) == 0 {
		return &CriterionError{criterion, "number of rows", 0, "at least 1"}
	}
	for _, r := range rows {
		if err := faultOf(criterion, []float64{r.Temperature}, r.Time); err != nil {
			return err
		}
	}
	return nil
}

func (c Cook) judge(h *History, _ *Facts) outcome   { return judgeRows(h, c.Rows, 1) }
func (f Freeze) judge(h *History, _ *Facts) outcome { return judgeRows(h, f.Rows, -1) }

// Required is the time asked for at a constant temperature t [°C]: that of the
// row at t or, between two rows, of the colder one, which never asks for less than
// the warmer. It is false below all rows and for what is not a number.
func (c Cook) Required(t float64) (time.Duration, bool) {
	least, found := longest, false
	for _, r := range c.Rows {
		if t >= r.Temperature {
			least, found = min(least, r.Time), true
		}
	}
	return least, found
}

// judgeRows judges a table. The sign is 1 if the place must be warm, -1 if cold.
func judgeRows(h *History, rows []Row, sign float64) outcome {
	side := "at or above "
	if sign < 0 {
		side = "at or below "
	}
	shift, row, ok := slack(h, rows, sign)
	if !ok {
		return outcome{verdict: Fail, text: "the history is shorter than the times asked for, " + span(duration(h)) + " in all"}
	}
	first := math.Inf(1)
	for _, r := range rows {
		enough := r.Time.Seconds() - rounding
		if length, start := stay(h, sign, r.Temperature, enough); length >= enough && start+r.Time.Seconds() < first {
			first, row = start+r.Time.Seconds(), r
		}
	}
	if math.IsInf(first, 1) {
		o := outcome{verdict: Fail, margin: math.Min(shift, math.Copysign(0, -1)), unit: "K"}
		o.text = side + deg(row.Temperature+sign*shift) + forTime(row) + ", " + deg(row.Temperature) + " asked for"
		return o
	}
	return outcome{verdict: Pass, margin: math.Max(shift, 0), unit: "K", at: &first,
		text: side + deg(row.Temperature) + forTime(row)}
}

// forTime tells how long a row asks for; a temperature that is to be reached takes none.
func forTime(r Row) string {
	if r.Time <= 0 {
		return ""
	}
	return " for " + span(r.Time.Seconds())
}

// slack finds the greatest shift [K] by which a table can be made harder and one
// row of it, which it returns, still be met. It is false if no shift is enough
// because the history is shorter than all rows.
func slack(h *History, rows []Row, sign float64) (shift float64, row Row, ok bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, t := range h.Temperature {
		lo, hi = math.Min(lo, sign*t), math.Max(hi, sign*t)
	}
	// Between these bounds a row goes from met to not met.
	met, missed := math.Inf(-1), math.Inf(-1)
	for _, r := range rows {
		missed = math.Max(missed, hi-sign*r.Temperature)
		if r.Time.Seconds() <= duration(h)+rounding && lo-sign*r.Temperature > met {
			met, row, ok = lo-sign*r.Temperature, r, true
		}
	}
	if !ok {
		return 0, row, false
	}
	missed += 1e-3
	for range 40 {
		if missed-met < 1e-5 {
			break
		}
		middle := (met + missed) / 2
		if r, enough := metRow(h, rows, sign, middle, hi); enough {
			met, row = middle, r
		} else {
			missed = middle
		}
	}
	return met, row, true
}

// metRow finds a row that is met when made harder by shift. No place is beyond most.
func metRow(h *History, rows []Row, sign, shift, most float64) (Row, bool) {
	total := duration(h) + rounding
	for _, r := range rows {
		if sign*r.Temperature+shift > most || r.Time.Seconds() > total {
			continue
		}
		enough := r.Time.Seconds() - rounding
		if length, _ := stay(h, sign, r.Temperature+sign*shift, enough); length >= enough {
			return r, true
		}
	}
	return Row{}, false
}

// stay is the first unbroken time [s] at or beyond a level that is enough, or else the
// longest, and when it began. It is -1 if the level is never met, 0 if it is touched.
func stay(h *History, sign, level, enough float64) (length, start float64) {
	length = -1
	in, since := false, 0.0
	see := func(end float64) {
		if end-since > length {
			length, start = end-since, since
		}
	}
	if sign*h.Temperature[0] >= sign*level {
		in, since = true, h.Time[0]
		see(since)
	}
	for i := 1; i < len(h.Time) && length < enough; i++ {
		beyond := sign*h.Temperature[i] >= sign*level
		switch {
		case in && beyond:
			see(h.Time[i])
		case in:
			see(h.piece(i).when(level))
			in = false
		case beyond:
			in, since = true, h.piece(i).when(level)
			see(h.Time[i])
		}
	}
	return length, start
}

func duration(h *History) float64 { return h.Time[len(h.Time)-1] - h.Time[0] }
