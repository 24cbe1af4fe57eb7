package chart

import (
	"fmt"

	"gonum.org/v1/plot/vg"
)

// list is a part of the key.
type list struct {
	head   string
	lines  []entry
	vital  bool    // it is the last to be cut short
	events []event // which its lines explain, one each
	left   int     // lines there was no room for
}

// entry is a line of the key.
type entry struct {
	text   string
	sample func(s *sheet, from, to vg.Point)
}

// event is a moment marked on the time axis.
type event struct {
	at   float64 // [s]
	text string
	rank int // the lower, the longer it stays when room gets short
}

const mostEvents = 12 // of a row; more would be a picket fence

func (l *list) add(text string, sample func(*sheet, vg.Point, vg.Point)) {
	l.lines = append(l.lines, entry{text, sample})
}

// stageList says what the numbers in a strip mean.
func (f *frame) stageList(head string, spans []span) list {
	l := list{head: head}
	for i, p := range spans {
		l.add(fmt.Sprintf("%d  %s, to %s", i+1, p.name, f.x.when(p.to)), nil)
	}
	return l
}

// eventList says what the letters over the plot mean.
func (f *frame) eventList(head string, events []event) list {
	l := list{head: head, events: events}
	for _, e := range events {
		l.add(f.x.when(e.at)+"  "+e.text, nil)
	}
	l.shorten(mostEvents)
	return l
}

// shorten cuts a list to a number of lines.
func (l *list) shorten(lines int) {
	for len(l.lines) > lines {
		k := len(l.lines) - 1
		for i := k; i >= 0 && l.events != nil; i-- {
			if l.events[i].rank > l.events[k].rank {
				k = i
			}
		}
		l.lines = without(l.lines, k)
		if l.events != nil {
			l.events = without(l.events, k)
		}
		l.left++
	}
}

// without is a new slice that lacks element k.
func without[T any](from []T, k int) []T {
	return append(append(make([]T, 0, len(from)), from[:k]...), from[k+1:]...)
}

// height is what a list takes in the key.
func (l *list) height() vg.Length {
	n := 1 + len(l.lines)
	if l.left > 0 {
		n++
	}
	return rowHeight*vg.Length(n) + headGap
}

// fit gives lists cut short so that together they are no higher than room: always
// the longest, those that are vital last.
func fit(lists []list, room vg.Length) []list {
	var out []list
	for _, l := range lists {
		if len(l.lines) > 0 {
			out = append(out, l)
		}
	}
	for {
		total, longest := -headGap, -1
		for i := range out {
			l := &out[i]
			total += l.height()
			if len(l.lines) > 1 && (longest < 0 || out[longest].vital && !l.vital || out[longest].vital == l.vital && l.height() >= out[longest].height()) {
				longest = i
			}
		}
		if total <= room || longest < 0 {
			return out
		}
		out[longest].shorten(len(out[longest].lines) - 1)
	}
}

// room is the height of a key that is left for its lists.
func (f *frame) room(r vg.Rectangle) vg.Length {
	y := r.Size().Y
	if f.bar != nil {
		y -= barHeight + 6
	}
	return y
}

func (f *frame) drawKey(s *sheet, r vg.Rectangle) {
	p := vg.Point{X: r.Min.X, Y: r.Max.Y - 6}
	if f.bar != nil {
		f.bar(s, vg.Rectangle{Min: vg.Point{X: r.Min.X, Y: r.Max.Y - barHeight}, Max: r.Max})
		p.Y -= barHeight + 6
	}
	write := func(kind textKind, x vg.Length, text string) {
		s.write(kind, vg.Point{X: x, Y: p.Y}, fitted(kind, text, r.Max.X-x))
		p.Y -= rowHeight
	}
	row := 0
	for _, l := range f.key {
		write(headText, p.X, l.head)
		for i, e := range l.lines {
			switch {
			case e.sample != nil:
				e.sample(s, p, vg.Point{X: p.X + 24, Y: p.Y})
				write(keyText, p.X+29, e.text)
			case l.events != nil:
				write(keyText, p.X, letter(row, i)+"  "+e.text)
			default:
				write(keyText, p.X, e.text)
			}
		}
		if l.left > 0 {
			write(keyText, p.X, fmt.Sprintf("and %d more", l.left))
		}
		if l.events != nil {
			row++
		}
		p.Y -= headGap
	}
}

// marked are the lists of events, in the order of their rows over the plot.
func (f *frame) marked() (out []list) {
	for _, l := range f.key {
		if l.events != nil {
			out = append(out, l)
		}
	}
	return out
}

// drawEvents marks events by letters in rows above the plot, moved apart.
func (f *frame) drawEvents(s *sheet) {
	lists := f.marked()
	for row, l := range lists {
		var at []vg.Length
		for _, e := range l.events {
			at = append(at, f.px(e.at))
		}
		edge := f.plot.Max.Y
		base := edge + eventHeight*vg.Length(len(lists)-1-row)
		for i, x := range apart(at, 9, f.plot.Min.X, f.plot.Max.X) {
			s.line(soft, 0.6, [][]vg.Length{{1, 2}, {4, 3}}[row%2], vg.Point{X: at[i], Y: f.plot.Min.Y}, vg.Point{X: at[i], Y: edge})
			s.line(soft, 0.6, nil, vg.Point{X: at[i], Y: edge}, vg.Point{X: at[i], Y: base}, vg.Point{X: x, Y: base + 5})
			s.write(inStrip, vg.Point{X: x, Y: base + 10}, letter(row, i))
		}
	}
}

// letter is the i-th of a row of events: small ones in the first, capitals in the
// second.
func letter(row, i int) string { return string(rune("aA"[row%2]) + rune(i)) }
