package safety

import (
	"fmt"
	"math"
	"time"
)

// History is the temperature of one place over time, in straight lines between
// its points.
type History struct {
	Place   string // in words, for findings
	Surface bool   // whether the place is on the outside of the piece

	Time        []float64 // [s] never falling; two points at one time are a jump
	Temperature []float64 // [°C] -273.15 to 1000
}

// HistoryError is a fault in a history.
type HistoryError struct {
	Place string
	Point int // counted from 0; -1 if the fault is not of one point
	Field string
	Value any
	Want  string
}

// Error names the place, the point and what is wanted.
func (e *HistoryError) Error() string {
	point := ""
	if e.Point >= 0 {
		point = fmt.Sprintf(" point %d:", e.Point)
	}
	return fmt.Sprintf("safety: history of %q:%s %s %v, want %s", e.Place, point, e.Field, e.Value, e.Want)
}

// lastTime bounds times: 30 years either way [s].
const lastTime = 1e9

// Validate reports the first fault as a [*HistoryError]: no points, unequal
// lengths, a time or a temperature that is not a number or out of range, times that
// fall.
func (h *History) Validate() error {
	n := len(h.Time)
	switch {
	case n == 0:
		return &HistoryError{h.Place, -1, "number of points", 0, "at least 1"}
	case n != len(h.Temperature):
		return &HistoryError{h.Place, -1, "number of temperatures", len(h.Temperature), fmt.Sprintf("%d, one for each time", n)}
	}
	for i, t := range h.Time {
		switch temp := h.Temperature[i]; {
		case !(math.Abs(t) <= lastTime):
			return &HistoryError{h.Place, i, "time", t, "a number of seconds within 30 years"}
		case i > 0 && t < h.Time[i-1]:
			return &HistoryError{h.Place, i, "time", t, fmt.Sprintf("%v or later, as the point before", h.Time[i-1])}
		case !(temp >= -273.15 && temp <= 1000):
			return &HistoryError{h.Place, i, "temperature", temp, "-273.15 to 1000 °C"}
		}
	}
	return nil
}

// At is the temperature [°C] at time t [s]; before and after the history that of
// its first and last point. At a jump it is that after the jump. The history must
// be valid.
func (h *History) At(t float64) float64 {
	n := len(h.Time)
	if t < h.Time[0] {
		return h.Temperature[0]
	}
	i := lastAtOrBefore(h.Time, t)
	if i == n-1 {
		return h.Temperature[n-1]
	}
	return line(h.Time[i], h.Temperature[i], h.Time[i+1], h.Temperature[i+1], t)
}

// Between is the part from one time [s] to another [s], both within the history,
// or a [*HistoryError].
func (h *History) Between(from, to float64) (History, error) {
	if err := h.Validate(); err != nil {
		return History{}, err
	}
	first, last := h.Time[0], h.Time[len(h.Time)-1]
	switch {
	case !(from >= first && from <= last):
		return History{}, &HistoryError{h.Place, -1, "start of the part", from, fmt.Sprintf("%v to %v s", first, last)}
	case !(to >= from && to <= last):
		return History{}, &HistoryError{h.Place, -1, "end of the part", to, fmt.Sprintf("%v to %v s", from, last)}
	}
	part := History{Place: h.Place, Surface: h.Surface, Time: []float64{from}, Temperature: []float64{h.At(from)}}
	for i, t := range h.Time {
		if t > from && t < to {
			part.Time = append(part.Time, t)
			part.Temperature = append(part.Temperature, h.Temperature[i])
		}
	}
	if to > from {
		part.Time = append(part.Time, to)
		part.Temperature = append(part.Temperature, h.before(to))
	}
	return part, nil
}

// before is the temperature on arriving at t, which lies after the first point.
func (h *History) before(t float64) float64 {
	i := 1
	for h.Time[i] < t {
		i++
	}
	if h.Time[i] == t {
		return h.Temperature[i]
	}
	return line(h.Time[i-1], h.Temperature[i-1], h.Time[i], h.Temperature[i], t)
}

// Join puts histories of one place one after the other, as the runs of a chain
// are: each begins where the one before ended, whatever its own clock says. The
// result starts at the first one's start; it is of the surface if the last part is.
func Join(place string, parts ...History) (History, error) {
	joined := History{Place: place}
	end := 0.0
	for i := range parts {
		p := &parts[i]
		if err := p.Validate(); err != nil {
			return History{}, err
		}
		if i == 0 {
			end = p.Time[0]
		}
		shift := end - p.Time[0]
		for j, t := range p.Time {
			joined.Time = append(joined.Time, t+shift)
			joined.Temperature = append(joined.Temperature, p.Temperature[j])
		}
		end = joined.Time[len(joined.Time)-1]
		joined.Surface = p.Surface
	}
	return joined, joined.Validate()
}

// TimeBetween is how long the place was over low [°C] and under high [°C], all
// its stays taken together. Either bound may be infinite.
func (h *History) TimeBetween(low, high float64) (time.Duration, error) {
	if err := h.Validate(); err != nil {
		return 0, err
	}
	if math.IsNaN(low) || math.IsNaN(high) {
		return 0, &HistoryError{h.Place, -1, "bounds", []float64{low, high}, "numbers"}
	}
	sum := 0.0
	for i := 1; i < len(h.Time); i++ {
		sum += h.piece(i).within(low, high)
	}
	return seconds(sum), nil
}

// piece is a straight part of a history, from a time and temperature to another.
type piece struct {
	t0, a, t1, b float64 // [s], [°C], [s], [°C]
}

// piece gives the part that ends at point i, which is 1 or more.
func (h *History) piece(i int) piece {
	return piece{h.Time[i-1], h.Temperature[i-1], h.Time[i], h.Temperature[i]}
}

// within is the time [s] spent over low and under high.
func (p piece) within(low, high float64) float64 {
	cold, hot := math.Min(p.a, p.b), math.Max(p.a, p.b)
	if cold == hot {
		if cold > low && cold < high {
			return p.t1 - p.t0
		}
		return 0
	}
	share := (math.Min(hot, high) - math.Max(cold, low)) / (hot - cold)
	return math.Max(share, 0) * (p.t1 - p.t0)
}

// when is the time [s] at which a temperature is passed that lies within the
// piece's span.
func (p piece) when(temp float64) float64 {
	if p.a == p.b {
		return p.t0
	}
	return line(p.a, p.t0, p.b, p.t1, temp)
}

// line is the value at x of the line through two points, exact at both.
func line(x0, y0, x1, y1, x float64) float64 {
	switch {
	case x == x0:
		return y0
	case x == x1:
		return y1
	}
	return y0 + (y1-y0)*((x-x0)/(x1-x0))
}

// lastAtOrBefore is the index of the last of rising times that is not after t.
func lastAtOrBefore(times []float64, t float64) int {
	lo, hi := 0, len(times)
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; times[mid] <= t {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

func seconds(s float64) time.Duration { return time.Duration(math.Round(s * 1e9)) }
