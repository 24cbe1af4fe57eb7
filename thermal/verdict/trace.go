package verdict

import (
	"math"
	"time"

	"example.com/thawfront/thermal"
)

// trace is the temperature of a place along a run, at the start and the end of
// every step.
type trace struct {
	time        []float64 // [s] since the start of the run
	temperature []float64 // [°C]
}

// follow traces a place through a run, or gives an error if it is not there. A walk
// through the steps is not cheap, and several wishes ask for the same.
func (s *subject) follow(run *thermal.Run, p thermal.Place) (*trace, error) {
	k := traced{run, p}
	if t := s.traces[k]; t != nil {
		return t, nil
	}
	t := &trace{}
	grid := run.Grid()
	for v := range run.Intervals() {
		if t.time == nil {
			first, err := grid.Read(p, v.Temperature[0])
			if err != nil {
				return nil, err
			}
			t.add(v.Start, first)
		}
		x, err := grid.Read(p, v.Temperature[2])
		if err != nil {
			return nil, err
		}
		t.add(v.Start+v.Length, x)
	}
	if t.time == nil { // every stage ended as it began
		x, err := run.End().Temperature(p)
		if err != nil {
			return nil, err
		}
		t.add(0, x)
	}
	s.traces[k] = t
	return t, nil
}

// traced is what a trace is of.
type traced struct {
	run   *thermal.Run
	place thermal.Place
}

func (t *trace) add(at, temperature float64) {
	t.time, t.temperature = append(t.time, at), append(t.temperature, temperature)
}

// hottest gives the highest temperature [°C] and when it was first had [s].
func (t *trace) hottest() (temperature, at float64) {
	temperature = math.Inf(-1)
	for i, x := range t.temperature {
		if x > temperature {
			temperature, at = x, t.time[i]
		}
	}
	return temperature, at
}

// at is the temperature [°C] at a time [s], on straight lines.
func (t *trace) at(s float64) float64 {
	n := len(t.time)
	for i := 1; i < n; i++ {
		if s < t.time[i] {
			if s <= t.time[i-1] {
				return t.temperature[i-1]
			}
			share := (s - t.time[i-1]) / (t.time[i] - t.time[i-1])
			return t.temperature[i-1] + share*(t.temperature[i]-t.temperature[i-1])
		}
	}
	return t.temperature[n-1]
}

// slope is the mean rise [K/s] over the last tenth of the time from start to end
// [s].
func (t *trace) slope(start, end float64) float64 {
	from := end - (end-start)/10
	if from >= end {
		return 0
	}
	return (t.at(end) - t.at(from)) / (end - from)
}

// passed is when [s] a temperature [°C] was first reached from below at or after
// start [s].
func (t *trace) passed(temperature, start float64) (at float64, ok bool) {
	for i := 1; i < len(t.time); i++ {
		a, b := t.temperature[i-1], t.temperature[i]
		if t.time[i] >= start && a < temperature && b >= temperature {
			return t.time[i-1] + (t.time[i]-t.time[i-1])*(temperature-a)/(b-a), true
		}
	}
	return 0, false
}

func span(seconds float64) time.Duration { return time.Duration(math.Round(seconds * 1e9)) }
