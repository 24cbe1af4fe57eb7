package dishfile

import (
	"fmt"
	"time"

	"example.com/thawfront/thermal"
)

// maxTurns bounds the course of a medium.
const maxTurns = 1000

// course is a medium whose temperature changes within the stage.
type course struct {
	medium *Medium
	time   []time.Duration
	temp   []float64 // [°C]
}

// around gives the medium of a checked m.
func (m *Medium) around() thermal.Medium {
	if len(m.Course) == 0 {
		return m.build()
	}
	c := &course{medium: m}
	for _, p := range m.Course {
		c.time, c.temp = append(c.time, duration(p.Time)), append(c.temp, si(p.Temperature))
	}
	return c
}

// At is the medium at the temperature that its course has at t.
func (c *course) At(t time.Duration) thermal.Surroundings {
	i := 0
	for i < len(c.time) && c.time[i] <= t {
		i++
	}
	switch {
	case i == 0:
		return c.medium.at(c.temp[0])
	case i == len(c.time):
		return c.medium.at(c.temp[i-1])
	}
	w := float64(t-c.time[i-1]) / float64(c.time[i]-c.time[i-1])
	return c.medium.at(c.temp[i-1]*(1-w) + c.temp[i]*w)
}

// Changes lists the points: there the temperature turns, if it does not jump.
func (c *course) Changes() []time.Duration { return c.time }

// temps are the temperatures [°C] between which a medium stays.
func (m *Medium) temps() []float64 {
	if len(m.Course) == 0 {
		return []float64{si(m.Temperature)}
	}
	var out []float64
	for _, p := range m.Course {
		out = append(out, si(p.Temperature))
	}
	return out
}

func checkCourse(r *report, course []Turn, key string) {
	if len(course) > maxTurns {
		r.add(key, fmt.Sprintf("%d points", len(course)), fmt.Sprintf("at most %d", maxTurns))
		return
	}
	for i, p := range course {
		k := item(key, i)
		if p.Time == "" {
			r.need(below(k, "time"), wanted(p.Time))
		}
		if p.Temperature == "" {
			r.need(below(k, "temperature"), wanted(p.Temperature))
		}
		if i == 0 || r.has(key) {
			continue
		}
		switch last := si(course[i-1].Time); {
		case si(p.Time) < last:
			r.add(below(k, "time"), "the points go back in time", "a time no earlier than that of the point before")
		case si(p.Time) == last && i > 1 && si(course[i-2].Time) == last:
			r.add(below(k, "time"), "three points at one time", "two at most, for a jump")
		}
	}
}
