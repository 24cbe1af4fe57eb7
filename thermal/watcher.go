package thermal

import (
	"fmt"
	"math"
	"time"
)

// EventKind says what an event is about.
type EventKind uint8

// The kinds of event.
const (
	StageBegins EventKind = iota
	FirstIce              // ice forms in a layer that had none
	LastIce               // the last ice of a layer is gone
	Boiling               // a layer begins to lose water as steam
	Watched               // a condition of Settings.Watch is met
)

var eventNames = [...]string{"stage begins", "first ice", "last ice gone", "boiling begins", "watched"}

// String names the kind.
func (k EventKind) String() string {
	if int(k) < len(eventNames) {
		return eventNames[k]
	}
	return fmt.Sprintf("EventKind(%d)", uint8(k))
}

// Event is something that happened at a time of the run.
type Event struct {
	Time  time.Duration // since the start of the run
	Kind  EventKind
	Stage int    // counted from 0
	Layer string // for events of a layer
	Watch int    // for Watched: the index into Settings.Watch
	Text  string // in words
}

// monitor is a quantity whose rise through zero is an event. Those of a layer
// read it off one of the watcher's levels, with a sign.
type monitor struct {
	event  Event
	level  int
	sign   float64
	margin func(s *State) float64 // of a condition being watched; nil for a layer's
	last   float64
	once   bool // only the first rise counts
	done   bool
}

// watcher looks for events after every step.
type watcher struct {
	monitors []monitor
	levels   []float64 // two a layer: [K] how far it is below freezing and above boiling at most
}

// begin sets the monitors up at the first stage and re-arms them at each later
// one: the media have jumped, but the dish has not.
func (w *watcher) begin(c *course, stage int) {
	c.run.Events = append(c.run.Events, Event{Time: duration(c.clock), Kind: StageBegins, Stage: stage,
		Text: fmt.Sprintf("%s begins", stagePlace(stage, c.stages[stage].Name))})
	if w.levels == nil {
		w.set(c)
	}
	w.measure(&c.state)
	for i := range w.monitors {
		m := &w.monitors[i]
		now := w.value(m, &c.state)
		if m.margin != nil && now >= 0 && (stage == 0 || m.last < 0) {
			w.note(c, m, stage, c.clock) // it holds at the start, or the new medium made the surface jump
		}
		m.last = now
	}
}

func (w *watcher) set(c *course) {
	w.levels = make([]float64, 2*len(c.model.names))
	for l, name := range c.model.names {
		if c.model.relations[l].Water() == 0 {
			continue
		}
		add := func(k EventKind, text string, level int, sign float64) {
			w.monitors = append(w.monitors, monitor{event: Event{Kind: k, Layer: name, Text: fmt.Sprintf(text, name)},
				level: 2*l + level, sign: sign, once: k == Boiling})
		}
		add(FirstIce, "first ice in %q", 0, 1)
		add(LastIce, "last ice gone from %q", 0, -1)
		add(Boiling, "%q begins to lose steam", 1, 1)
	}
	for i, cond := range c.settings.Watch {
		w.monitors = append(w.monitors, monitor{event: Event{Kind: Watched, Watch: i, Text: cond.String()}, margin: cond.margin})
	}
}

// measure fills the levels from a state.
func (w *watcher) measure(s *State) {
	for i := range w.levels {
		w.levels[i] = math.Inf(-1)
	}
	for i, t := range s.temp {
		l := 2 * s.model.mesh.Cells[i].Layer
		if x := s.freezing(i) - t; x > w.levels[l] {
			w.levels[l] = x
		}
		if x := s.boiling(i); x > w.levels[l+1] {
			w.levels[l+1] = x
		}
	}
}

func (w *watcher) value(m *monitor, s *State) float64 {
	if m.margin != nil {
		return m.margin(s)
	}
	return m.sign * w.levels[m.level]
}

// look compares every monitor with its value at the end of the step before and
// finds the time of those that rose through zero; for conditions watched it looks
// at the middle of the step as well.
func (w *watcher) look(c *course, stage int) {
	w.measure(&c.state)
	for i := range w.monitors {
		m := &w.monitors[i]
		now := w.value(m, &c.state)
		theta, found := 0.0, false
		switch {
		case m.last >= 0 || m.done:
		case m.margin != nil:
			theta, found = c.rise(m.margin)
		case now >= 0:
			theta, found = root(func(x float64) float64 {
				s := c.dense(x)
				w.measure(s)
				return w.value(m, s)
			}, 0, 1), true
			w.measure(&c.state)
		}
		if found {
			w.note(c, m, stage, c.clock+theta*c.step.h)
		}
		m.last = now
	}
}

func (w *watcher) note(c *course, m *monitor, stage int, at float64) {
	e := m.event
	e.Time, e.Stage = duration(at), stage
	m.done = m.once
	events := append(c.run.Events, e)
	for i := len(events) - 1; i > 0 && events[i].Time < events[i-1].Time; i-- {
		events[i], events[i-1] = events[i-1], events[i] // in order of time within a step
	}
	c.run.Events = events
}
