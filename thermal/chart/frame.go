package chart

import (
	"fmt"
	"image/color"
	"math"
	"strconv"

	"gonum.org/v1/plot/vg"
)

var (
	titleText = textKind{size: 12, y: -1}
	headText  = textKind{size: 8.8, y: -0.5}
	keyText   = textKind{size: 7.5, y: -0.5}
	tickBelow = textKind{size: 7.5, x: -0.5, y: -1}
	tickLeft  = textKind{size: 7.5, x: -1, y: -0.5}
	axisText  = textKind{size: 8.5, x: -0.5, y: -1}
	sideText  = textKind{size: 8.5, x: -0.5, y: -1, turned: true}
	inStrip   = textKind{size: 7.5, x: -0.5, y: -0.5}
)

// span is a stage or a layer along an axis.
type span struct {
	from, to float64
	name     string
}

// axis is a range of values with its ticks.
type axis struct {
	lo, hi float64
	label  string
	ticks  []float64
	unit   float64 // what a tick's number is a multiple of; 0 = 1
}

// frame is the layout all charts share: title, strips of spans, rows of events,
// plot with its axes, and the key on the right.
type frame struct {
	title  string
	x, y   axis
	strips [][]span
	shaded bool
	margin vg.Length // between plot and key
	plot   vg.Rectangle
	key    []list
	bar    func(*sheet, vg.Rectangle)
}

const (
	keyWidth    vg.Length = 158
	rowHeight   vg.Length = 11
	headGap     vg.Length = 4 // above a list of the key
	barHeight   vg.Length = 34
	stripHeight vg.Length = 13
	eventHeight vg.Length = 12
)

func (f *frame) px(v float64) vg.Length {
	return f.plot.Min.X + vg.Length((v-f.x.lo)/(f.x.hi-f.x.lo))*f.plot.Size().X
}

func (f *frame) py(v float64) vg.Length {
	return f.plot.Min.Y + vg.Length((v-f.y.lo)/(f.y.hi-f.y.lo))*f.plot.Size().Y
}

func (f *frame) at(x, y float64) vg.Point { return vg.Point{X: f.px(x), Y: f.py(y)} }

// draw lays the frame out; content draws within it, under the axes.
func (f frame) draw(s *sheet, content func(*frame)) {
	page := s.dc.Rectangle
	s.fill(white, page)
	top := page.Max.Y - 8
	s.write(titleText, vg.Point{X: 12, Y: top}, fitted(titleText, f.title, page.Max.X-24))
	top -= 22
	key := vg.Rectangle{Min: vg.Point{X: page.Max.X - keyWidth - 10, Y: 8}, Max: vg.Point{X: page.Max.X - 10, Y: top}}
	f.key = fit(f.key, f.room(key))
	above := stripHeight * vg.Length(len(f.strips))
	if n := len(f.marked()); n > 0 {
		above += eventHeight*vg.Length(n) + 4
	}
	f.plot = vg.Rectangle{Min: vg.Point{X: 50, Y: 36}, Max: vg.Point{X: key.Min.X - 12 - f.margin, Y: top - above}}
	for i, strip := range f.strips {
		f.strip(s, strip, top-stripHeight*vg.Length(i))
	}
	content(&f)
	f.drawEvents(s)
	f.axes(s)
	f.drawKey(s, key)
}

// strip draws spans side by side: named where the name fits, else numbered.
func (f *frame) strip(s *sheet, spans []span, top vg.Length) {
	for i, p := range spans {
		r := vg.Rectangle{Min: vg.Point{X: f.px(p.from), Y: top - 12}, Max: vg.Point{X: f.px(p.to), Y: top}}
		shade := color.Color(white)
		if i%2 == 0 {
			shade = pale
		}
		s.fill(shade, r)
		if f.shaded {
			s.fill(shade, vg.Rectangle{Min: vg.Point{X: r.Min.X, Y: f.plot.Min.Y}, Max: vg.Point{X: r.Max.X, Y: f.plot.Max.Y}})
		}
		s.line(soft, 0.5, nil, r.Min, vg.Point{X: r.Max.X, Y: r.Min.Y}, r.Max, vg.Point{X: r.Min.X, Y: r.Max.Y}, r.Min)
		middle := vg.Point{X: (r.Min.X + r.Max.X) / 2, Y: top - 6}
		number := strconv.Itoa(i + 1)
		for _, txt := range []string{number + " " + p.name, number} {
			if inStrip.style().Width(txt) < r.Size().X-2 {
				s.write(inStrip, middle, txt)
				break
			}
		}
	}
}

func (f *frame) axes(s *sheet) {
	r := f.plot
	s.line(black, 0.8, nil, r.Min, vg.Point{X: r.Max.X, Y: r.Min.Y}, r.Max, vg.Point{X: r.Min.X, Y: r.Max.Y}, r.Min)
	for _, v := range f.x.ticks {
		x := f.px(v)
		s.line(black, 0.8, nil, vg.Point{X: x, Y: r.Min.Y}, vg.Point{X: x, Y: r.Min.Y - 3})
		s.write(tickBelow, vg.Point{X: x, Y: r.Min.Y - 5}, f.x.number(v))
	}
	for _, v := range f.y.ticks {
		y := f.py(v)
		s.line(black, 0.8, nil, vg.Point{X: r.Min.X, Y: y}, vg.Point{X: r.Min.X - 3, Y: y})
		s.write(tickLeft, vg.Point{X: r.Min.X - 5, Y: y}, f.y.number(v))
	}
	s.write(axisText, vg.Point{X: (r.Min.X + r.Max.X) / 2, Y: r.Min.Y - 18}, f.x.label)
	s.write(sideText, vg.Point{X: 10, Y: (r.Min.Y + r.Max.Y) / 2}, f.y.label)
}

func (a axis) number(v float64) string {
	if a.unit > 0 {
		v /= a.unit
	}
	return strconv.FormatFloat(v+0, 'g', 5, 64) // +0 turns -0 into 0
}

// clock is an axis of time over seconds, in a unit that suits its length.
func clock(end float64) axis {
	a := axis{hi: end, label: "time, min", unit: 60}
	steps := []float64{60, 120, 300, 600, 900, 1200, 1800, 3600}
	switch {
	case end <= 240:
		a.label, a.unit, steps = "time, s", 1, nil
	case end > 72*3600:
		a.label, a.unit = "time, d", 86400
		steps = []float64{43200, 86400, 2 * 86400, 5 * 86400, 10 * 86400, 20 * 86400, 50 * 86400}
	case end > 4*3600:
		a.label, a.unit = "time, h", 3600
		steps = []float64{1800, 3600, 7200, 4 * 3600, 6 * 3600, 12 * 3600}
	}
	a.ticks = ticks(0, end, 9, steps...)
	return a
}

// when is a time in words, as exact as suits the axis.
func (a axis) when(t float64) string {
	minutes := math.Round(t / 60)
	switch unit := a.label[len("time, "):]; unit {
	case "d":
		return fmt.Sprintf("%.0f d %.1f h", math.Floor(minutes/1440), math.Mod(minutes, 1440)/60)
	case "h":
		if minutes < 60 {
			return fmt.Sprintf("%.0f min", minutes)
		}
		return fmt.Sprintf("%.0f h %.0f min", math.Floor(minutes/60), math.Mod(minutes, 60))
	default:
		return strconv.FormatFloat(math.Round(10*t/a.unit)/10, 'f', -1, 64) + " " + unit
	}
}

// upright is an axis that takes lo to hi [any unit] and ends on round values.
func upright(lo, hi float64, label string) axis {
	hi = max(hi, lo+1e-3)
	t := ticks(lo, hi, 8)
	step := t[1] - t[0]
	a := axis{lo: t[0], hi: t[len(t)-1], label: label}
	if a.lo > lo+1e-9*step {
		a.lo -= step
	}
	if a.hi < hi-1e-9*step {
		a.hi += step
	}
	a.ticks = ticks(a.lo, a.hi, 10, step)
	return a
}
