package dishfile

import (
	"fmt"
	"sort"
	"time"

	"example.com/thawfront/thermal"
)

// maxTurns bounds the course of a medium.
const maxTurns = 1000

// course is a medium whose temperature changes within the stage.
type course struct {
	at   func(t float64) thermal.Surroundings // at a temperature [°C]
	time []time.Duration
	temp []float64 // [°C]
}

// around gives the medium of a checked m.
func (m *Medium) around() thermal.Medium {
	if len(m.Course) == 0 {
		return m.build()
	}
	c := &course{at: m.maker(), temp: m.temps()}
	for _, p := range m.Course {
		c.time = append(c.time, duration(p.Time))
	}
	return c
}

// At is the medium at the temperature that its course has at t; at a jump, that after it.
func (c *course) At(t time.Duration) thermal.Surroundings {
	i := sort.Search(len(c.time), func(i int) bool { return c.time[i] > t })
	switch {
	case i == 0:
		return c.at(c.temp[0])
	case i == len(c.time):
		return c.at(c.temp[i-1])
	}
	w := float64(t-c.time[i-1]) / float64(c.time[i]-c.time[i-1])
	return c.at(c.temp[i-1] + w*(c.temp[i]-c.temp[i-1]))
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
