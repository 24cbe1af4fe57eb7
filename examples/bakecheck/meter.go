package main

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"sync"
	"time"
	"unicode/utf8"

	"example.com/thawfront/thermal/dishfile"
)

// meter shows on a terminal how far the runs are: one line that is drawn over and over,
// with a return to its start and blanks alone. Elsewhere it shows nothing.
type meter struct {
	to io.Writer // nil: nothing is shown
	// watch is told of every step of dish i, from many goroutines; for tests.
	watch func(i int, p dishfile.Progress)

	mutex  sync.Mutex
	dishes []*dish
	done   []bool
	now    []dishfile.Progress
	drawn  time.Time
	width  int // of what stands there
}

// meterWidth fits terminals of eighty columns.
const meterWidth = 78

// newMeter shows progress if errs is a terminal that can return to the start of a line.
func newMeter(errs io.Writer) *meter {
	f, ok := errs.(*os.File)
	if !ok || os.Getenv("TERM") == "dumb" {
		return &meter{}
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return &meter{}
	}
	return &meter{to: errs}
}

func (m *meter) start(dishes []*dish) {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.dishes, m.done, m.now = dishes, make([]bool, len(dishes)), make([]dishfile.Progress, len(dishes))
}

// of gives what Simulate is to call for dish i; nil if nobody looks.
func (m *meter) of(i int) func(dishfile.Progress) {
	if m.to == nil && m.watch == nil {
		return nil
	}
	return func(p dishfile.Progress) {
		if m.watch != nil {
			m.watch(i, p)
		}
		m.mutex.Lock()
		defer m.mutex.Unlock()
		m.now[i] = p
		if m.to != nil && time.Since(m.drawn) > 100*time.Millisecond {
			m.draw(m.line())
			m.drawn = time.Now()
		}
	}
}

func (m *meter) finish(i int) {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.done[i] = true
}

// clear takes the line away before something else is printed.
func (m *meter) clear() {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.width > 0 {
		m.draw("")
		_, _ = io.WriteString(m.to, "\r")
	}
}

// line speaks of the first dish that is under way.
func (m *meter) line() string {
	done, first := 0, -1
	for i := range m.done {
		switch {
		case m.done[i]:
			done++
		case first < 0 && m.now[i].Time > 0:
			first = i
		}
	}
	if first < 0 {
		return ""
	}
	p := m.now[first]
	text := fmt.Sprintf("%s: %s, %s in the dish, centre %.1f °C", m.dishes[first].label, cmp.Or(p.Name, fmt.Sprintf("stage %d", p.Stage+1)), hoursMinutes(p.Time.Seconds()), p.Centre)
	if n := len(m.done); n > 1 {
		text = fmt.Sprintf("%d of %d done; %s", done, n, text)
	}
	return shortened(text, meterWidth)
}

func (m *meter) draw(text string) {
	n := utf8.RuneCountInString(text)
	_, _ = fmt.Fprintf(m.to, "\r%s%*s", text, max(m.width-n, 0), "") // a lost line of progress harms nothing
	m.width = n
}
