package chart

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"time"

	"example.com/thawfront/thermal"
	"gonum.org/v1/plot/vg"
)

// curve is a line with a look of its own.
type curve struct {
	name   string
	colour color.Color
	width  vg.Length
	dash   []vg.Length
	marker int // negative: none
	x, y   []float64
	low    []float64 // with high: the band around it
	high   []float64
}

func look(i int, name string) curve {
	return curve{name: name, colour: lineColours[i%len(lineColours)], dash: dashes[i%len(dashes)], marker: i, width: 1.5}
}

// curves draws lines and their bands.
func (f *frame) curves(s *sheet, list []curve) {
	for _, c := range list {
		if c.low == nil {
			continue
		}
		r, g, b, _ := c.colour.RGBA()
		var around, lower []vg.Point
		for i, x := range c.x {
			if !math.IsNaN(c.low[i]) {
				around = append(around, f.at(x, c.high[i]))
				lower = append(lower, f.at(x, c.low[i]))
			}
		}
		for i := len(lower) - 1; i >= 0; i-- {
			around = append(around, lower[i])
		}
		if len(around) > 0 {
			s.dc.FillPolygon(color.NRGBA{R: uint8(r >> 8), G: uint8(g >> 8), B: uint8(b >> 8), A: 45}, around)
		}
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

func (f *frame) listCurves(list []curve) {
	for _, c := range list {
		f.add(c.name, func(s *sheet, from, to vg.Point) {
			if c.low != nil {
				r, g, b, _ := c.colour.RGBA()
				s.fill(color.NRGBA{R: uint8(r >> 8), G: uint8(g >> 8), B: uint8(b >> 8), A: 45}, vg.Rectangle{Min: vg.Point{X: from.X, Y: from.Y - 4}, Max: vg.Point{X: to.X, Y: to.Y + 4}})
			}
			s.line(c.colour, c.width, c.dash, from, to)
			if c.marker >= 0 {
				s.mark(c.colour, c.marker, vg.Point{X: (from.X + to.X) / 2, Y: from.Y})
			}
		})
	}
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

const samples = 361 // of a run, along the time axis

// Layers draws the mean of every layer against time, in a band from its lowest
// to its highest; for the temperature, centre and surface too. Stages are
// shaded, events marked by letters.
func Layers(run *thermal.Run, q Quantity, settings *Settings) (*Chart, error) {
	set, err := filled(settings)
	if err != nil {
		return nil, err
	}
	c, err := sceneOf(run, q, set, samples, nil)
	if err != nil {
		return nil, err
	}
	var list []curve
	for i, name := range c.names {
		line := c.history(look(i, name), func(m moment) float64 { return m.mean[i] })
		for _, m := range c.moments {
			line.low, line.high = append(line.low, m.low[i]), append(line.high, m.high[i])
		}
		list = append(list, line)
	}
	if q == Temperature {
		list = append(list, c.history(curve{name: "centre", colour: black, width: 0.8, marker: -1}, func(m moment) float64 { return m.centre }),
			c.history(curve{name: "surface", colour: black, width: 0.8, dash: []vg.Length{3, 2}, marker: -1}, func(m moment) float64 { return m.skin }))
	}
	lo, hi := rangeOf(list)
	f := frame{title: cmp.Or(set.Title, "Layers: "+q.String()+" against time"), shaded: true,
		x: clock(run.Duration().Seconds()), y: q.axis(set, lo, hi), strips: [][]span{stagesOf(run)}}
	f.head("Mean; band: lowest to highest")
	f.listCurves(list)
	f.listStages("Stages", f.strips[0])
	f.takeEvents(run)
	return &Chart{set, func(s *sheet) { g := f; g.draw(s, func() { g.curves(s, list) }) }}, nil
}

// Profiles draws a quantity against the distance from the centre (of a Slab,
// from the underside) at 1 to 6 moments within the run; none gives five even
// ones. Distances are those of the dish as it was laid, before any rise.
func Profiles(run *thermal.Run, q Quantity, moments []time.Duration, settings *Settings) (*Chart, error) {
	set, err := filled(settings)
	if err != nil {
		return nil, err
	}
	if len(moments) > len(dashes) {
		return nil, &InputError{"moments", len(moments), fmt.Sprintf("at most %d", len(dashes))}
	}
	var at []float64
	for _, t := range moments {
		if run != nil && (t < 0 || t > run.Duration()) {
			return nil, &InputError{"moment", t, "one within the run, 0 to " + run.Duration().String()}
		}
		at = append(at, t.Seconds())
	}
	c, err := sceneOf(run, q, set, 5, at)
	if err != nil {
		return nil, err
	}
	x := clock(run.Duration().Seconds())
	var list []curve
	for i, m := range c.moments {
		line := look(i, x.when(m.time))
		line.x, line.y = c.nodes, m.values
		if q == Temperature && c.from == "centre" {
			line.x, line.y = append([]float64{0}, c.nodes...), append([]float64{m.centre}, m.values...)
		}
		list = append(list, line)
	}
	lo, hi := rangeOf(list)
	end := c.edges[len(c.edges)-1]
	f := frame{title: cmp.Or(set.Title, "Profiles of "+q.String()), shaded: true, y: q.axis(set, lo, hi),
		x:      axis{hi: end, label: "distance from the " + c.from + ", mm", ticks: ticks(0, end, 9)},
		strips: [][]span{c.layerSpans()}}
	f.head("Time since the start")
	f.listCurves(list)
	f.head("Layers")
	for i, p := range f.strips[0] {
		f.add(fmt.Sprintf("%d  %s, %.3g mm", i+1, p.name, p.to-p.from), nil)
	}
	return &Chart{set, func(s *sheet) { g := f; g.draw(s, func() { g.curves(s, list) }) }}, nil
}

func (c *scene) layerSpans() (out []span) {
	for i, name := range c.names {
		out = append(out, span{c.edges[i], c.edges[i+1], name})
	}
	return out
}

// Named is a run and what to call it.
type Named struct {
	Name string
	Run  *thermal.Run
}

// Compare draws two runs over each other, the second dashed and with other markers: centre
// and surface for the temperature, else the mean of every layer.
func Compare(first, second Named, q Quantity, settings *Settings) (*Chart, error) {
	set, err := filled(settings)
	if err != nil {
		return nil, err
	}
	f := frame{title: cmp.Or(set.Title, fmt.Sprintf("Compared by %s: %s and %s", q, first.Name, second.Name))}
	var list []curve
	end := 0.0
	for k, n := range []Named{first, second} {
		c, err := sceneOf(n.Run, q, set, samples, nil)
		if err != nil {
			return nil, err
		}
		end = max(end, n.Run.Duration().Seconds())
		style := func(i int, name string) curve {
			l := look(i, n.Name+": "+name)
			l.dash, l.marker = [][]vg.Length{nil, {5, 3}}[k], (2*i+k)%len(markers)
			return l
		}
		if q == Temperature {
			list = append(list, c.history(style(0, "centre"), func(m moment) float64 { return m.centre }),
				c.history(style(1, "surface"), func(m moment) float64 { return m.skin }))
		} else {
			for i, name := range c.names {
				list = append(list, c.history(style(i, name), func(m moment) float64 { return m.mean[i] }))
			}
		}
		f.strips = append(f.strips, stagesOf(n.Run))
	}
	lo, hi := rangeOf(list)
	f.x, f.y = clock(end), q.axis(set, lo, hi)
	f.head("Lines")
	f.listCurves(list)
	f.listStages("Upper strip: "+first.Name, f.strips[0])
	f.listStages("Lower strip: "+second.Name, f.strips[1])
	return &Chart{set, func(s *sheet) { g := f; g.draw(s, func() { g.curves(s, list) }) }}, nil
}
