package chart

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"slices"
	"time"

	"example.com/thawfront/thermal"
	"gonum.org/v1/plot/vg"
)

// curve is a line with a look of its own.
type curve struct {
	name   string
	colour color.NRGBA
	width  vg.Length
	dash   []vg.Length
	marker int // negative: none
	x, y   []float64
	low    []float64 // with high: the band around it
	high   []float64
}

// look is that of the i-th line: dash and marker alone tell 36 apart.
func look(i int, name string) curve {
	return curve{name: name, colour: lineColours[i%len(lineColours)], dash: dashes[i%len(dashes)], marker: i + i/len(dashes), width: 1.5}
}

// faint is a colour for the band around a line.
func faint(c color.NRGBA) color.NRGBA {
	c.A = 45
	return c
}

// curves draws lines and their bands.
func (f *frame) curves(s *sheet, list []curve) {
	for _, c := range list {
		if c.low == nil {
			continue
		}
		var upper, lower []vg.Point
		fill := func() {
			slices.Reverse(lower)
			if len(upper) > 1 {
				s.dc.FillPolygon(faint(c.colour), append(upper, lower...))
			}
			upper, lower = nil, nil
		}
		for i, x := range c.x {
			if math.IsNaN(c.low[i]) {
				fill()
				continue
			}
			upper, lower = append(upper, f.at(x, c.high[i])), append(lower, f.at(x, c.low[i]))
		}
		fill()
	}
	for i, c := range list {
		var pts []vg.Point
		for k, x := range c.x {
			if math.IsNaN(c.y[k]) {
				s.line(c.colour, c.width, c.dash, pts...)
				pts = nil
				continue
			}
			pts = append(pts, f.at(x, c.y[k]))
		}
		s.line(c.colour, c.width, c.dash, pts...)
		// Markers of different lines stand at different places.
		const apart = 7
		for k := range apart {
			at := int((float64(k) + 0.3 + 0.5*float64(i)/float64(len(list))) / apart * float64(len(c.x)))
			if c.marker >= 0 && at < len(c.x) && !math.IsNaN(c.y[at]) {
				s.mark(c.colour, c.marker, f.at(c.x[at], c.y[at]))
			}
		}
	}
}

func curveList(head string, curves []curve) list {
	l := list{head: head, vital: true}
	for _, c := range curves {
		l.add(c.name, func(s *sheet, from, to vg.Point) {
			if c.low != nil {
				s.fill(faint(c.colour), vg.Rectangle{Min: vg.Point{X: from.X, Y: from.Y - 4}, Max: vg.Point{X: to.X, Y: to.Y + 4}})
			}
			s.line(c.colour, c.width, c.dash, from, to)
			if c.marker >= 0 {
				s.mark(c.colour, c.marker, vg.Point{X: (from.X + to.X) / 2, Y: from.Y})
			}
		})
	}
	return l
}

func rangeOf(list []curve) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, c := range list {
		for _, values := range [][]float64{c.y, c.low, c.high} {
			for _, v := range values {
				if !math.IsNaN(v) && !math.IsInf(v, 0) {
					lo, hi = min(lo, v), max(hi, v)
				}
			}
		}
	}
	return lo, hi
}

func (q Quantity) axis(s Settings, lo, hi float64) axis {
	if q != Temperature {
		lo = 0
	}
	return upright(lo, hi, q.String()+", "+q.unit(s))
}

// history makes a curve of one number of every moment.
func (c *scene) history(look curve, of func(moment) float64) curve {
	for _, m := range c.moments {
		look.x, look.y = append(look.x, m.time), append(look.y, of(m))
	}
	return look
}

// Layers draws the mean of every layer against time, in a band from its lowest
// to its highest; for the temperature, centre and surface too. Stages are
// shaded, events marked by letters. The runs are a chain: each began with
// thermal.From the one before; layers, known by their names, may come and go.
func Layers(runs []*thermal.Run, q Quantity, settings *Settings) (*Chart, error) {
	set, err := filled(settings)
	if err != nil {
		return nil, err
	}
	c, err := sceneOf(runs, q, set, samples)
	if err != nil {
		return nil, err
	}
	var curves []curve
	for i, name := range c.names {
		line := c.history(look(i, name), func(m moment) float64 { return m.mean[i] })
		for _, m := range c.moments {
			line.low, line.high = append(line.low, m.low[i]), append(line.high, m.high[i])
		}
		curves = append(curves, line)
	}
	if q == Temperature {
		curves = append(curves, c.history(curve{name: "centre", colour: black, width: 0.8, marker: -1}, func(m moment) float64 { return m.centre }),
			c.history(curve{name: "surface", colour: black, width: 0.8, dash: []vg.Length{3, 2}, marker: -1}, func(m moment) float64 { return m.skin }))
	}
	lo, hi := rangeOf(curves)
	f := frame{title: cmp.Or(set.Title, "Layers: "+q.String()+" against time"), shaded: true,
		x: clock(c.length), y: q.axis(set, lo, hi), strips: [][]span{c.stages()}}
	f.key = []list{curveList("Mean; band: lowest to highest", curves), f.stageList("Stages", f.strips[0]), f.eventList("Events", c.events())}
	return &Chart{set, func(s *sheet) { f.draw(s, func(f *frame) { f.curves(s, curves) }) }}, nil
}

// Profiles draws a quantity against the distance from the centre (of a Slab,
// from the underside) at 1 to 6 moments since the start of the chain; none gives
// five even ones. Distances are those of the dish with every layer on that ever
// was, as they were laid, before any rise.
func Profiles(runs []*thermal.Run, q Quantity, moments []time.Duration, settings *Settings) (*Chart, error) {
	set, err := filled(settings)
	if err != nil {
		return nil, err
	}
	if len(moments) > len(dashes) {
		return nil, &InputError{"moments", len(moments), fmt.Sprintf("at most %d", len(dashes))}
	}
	c, err := newScene(runs, q, set)
	if err != nil {
		return nil, err
	}
	var at []float64
	for _, t := range moments {
		if t < 0 || t.Seconds() > c.length {
			return nil, &InputError{"moment", t, "one within the chain, 0 to " + duration(c.length).String()}
		}
		at = append(at, t.Seconds())
	}
	if len(at) == 0 {
		for i := range 5 {
			at = append(at, c.length*float64(i)/4)
		}
	}
	if err := c.readAt(at); err != nil {
		return nil, err
	}
	x := clock(c.length)
	var curves []curve
	for i, m := range c.moments {
		line := look(i, x.when(m.time))
		line.x, line.y = c.profile(m)
		curves = append(curves, line)
	}
	lo, hi := rangeOf(curves)
	end := c.edges[len(c.edges)-1]
	f := frame{title: cmp.Or(set.Title, "Profiles of "+q.String()), shaded: true, y: q.axis(set, lo, hi),
		x:      axis{hi: end, label: c.distance(), ticks: ticks(0, end, 9)},
		strips: [][]span{c.layerSpans()}}
	layers := list{head: "Layers"}
	for i, p := range f.strips[0] {
		layers.add(fmt.Sprintf("%d  %s, %.3g mm", i+1, p.name, p.to-p.from), nil)
	}
	f.key = []list{curveList("Time since the start", curves), layers}
	return &Chart{set, func(s *sheet) { f.draw(s, func(f *frame) { f.curves(s, curves) }) }}, nil
}

// profile is a moment along the distance; where a layer is not on, the line breaks.
func (c *scene) profile(m moment) (x, y []float64) {
	l := &c.links[m.link]
	if c.q == Temperature && c.from == "centre" && l.layer[0] == 0 {
		x, y = append(x, 0), append(y, m.centre)
	}
	for i, v := range m.values {
		if i > 0 && i < len(l.layer) && l.gap(i) {
			x, y = append(x, l.nodes[i-1]), append(y, math.NaN())
		}
		x, y = append(x, l.nodes[i]), append(y, v)
	}
	return x, y
}

func (c *scene) layerSpans() (out []span) {
	for i, name := range c.names {
		out = append(out, span{c.edges[i], c.edges[i+1], name})
	}
	return out
}
