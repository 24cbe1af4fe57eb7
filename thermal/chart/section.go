package chart

import (
	"cmp"
	"image"
	"image/color"
	"math"

	"example.com/thawfront/thermal"
	"gonum.org/v1/plot/vg"
)

// Section draws the cross-section as a field: distance against time, the
// quantity as colour. Over it lie the ice edge (where ice begins), the boiling
// edge (boiling point of water at the run's pressure) and the dry edge (water
// activity of thermal.Crispness), as far as they occur. Distances are those of
// the dish with every layer on that ever was, as they were laid, before any rise;
// where a layer is not on, the page is blank. For runs see Layers.
func Section(runs []*thermal.Run, q Quantity, settings *Settings) (*Chart, error) {
	set, err := filled(settings)
	if err != nil {
		return nil, err
	}
	c, err := sceneOf(runs, q, set, samples)
	if err != nil {
		return nil, err
	}
	if err := c.closely(); err != nil {
		return nil, err
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, m := range c.moments {
		for _, v := range m.values {
			if !math.IsNaN(v) {
				lo, hi = min(lo, v), max(hi, v)
			}
		}
	}
	scale := q.axis(set, lo, hi)
	field := c.field(scale)
	end := c.edges[len(c.edges)-1]
	f := frame{title: cmp.Or(set.Title, "Cross-section: "+q.String()), x: clock(c.length), margin: 66,
		y:      axis{hi: end, label: c.distance(), ticks: ticks(0, end, 8)},
		strips: [][]span{c.stages()}}
	f.bar = func(s *sheet, r vg.Rectangle) { colourBar(s, r, q, scale) }
	edges := c.fronts()
	lines := list{head: "Lines", vital: true}
	for _, e := range edges {
		lines.add(e.name, func(s *sheet, from, to vg.Point) { s.cased(e.dash, from, to) })
	}
	lines.add("between layers", func(s *sheet, from, to vg.Point) { s.line(soft, 0.7, nil, from, to) })
	f.key = []list{lines, f.stageList("Stages", f.strips[0]), f.eventList("Events", c.events())}
	return &Chart{set, func(s *sheet) {
		f.draw(s, func(f *frame) {
			s.dc.DrawImage(f.plot, field)
			f.outline(s, c)
			f.layerNames(s, c)
			for _, e := range edges {
				for _, track := range e.tracks {
					var pts []vg.Point
					for _, p := range track {
						pts = append(pts, f.at(p[0], p[1]))
					}
					s.cased(e.dash, pts...)
				}
			}
		})
	}}, nil
}

// cased draws a white line in a black one, which shows on any colour.
func (s *sheet) cased(dash []vg.Length, pts ...vg.Point) {
	s.line(black, 2.6, nil, pts...)
	s.line(white, 1.3, dash, pts...)
}

// field is the picture of the cross-section, the outermost row first.
func (c *scene) field(scale axis) image.Image {
	const columns, rows = samples, 240
	var shades [256]color.NRGBA
	for i := range shades {
		shades[i] = c.q.shade(float64(i) / 255)
	}
	mixes := make([][]mix, len(c.links))
	for i := range c.links {
		mixes[i] = c.mixes(&c.links[i], rows)
	}
	img := image.NewNRGBA(image.Rect(0, 0, columns, rows))
	k := 0
	for column := range columns {
		t := c.length * (float64(column) + 0.5) / columns
		for k < len(c.moments)-2 && c.moments[k+1].time < t {
			k++
		}
		a, b := &c.moments[k], &c.moments[k+1]
		later := (t - a.time) / (b.time - a.time)
		for row, m := range mixes[a.link] {
			shade := white
			if m.on {
				shade = unknown
				if v := m.of(a.values)*(1-later) + m.of(b.values)*later; !math.IsNaN(v) {
					shade = shades[int(255*min(max((v-scale.lo)/(scale.hi-scale.lo), 0), 1))]
				}
			}
			img.SetNRGBA(column, row, shade)
		}
	}
	return img
}

// mix says how a row of the field is made of values: (1-w) of i and w of j.
type mix struct {
	on   bool
	i, j int
	w    float64
}

func (m mix) of(values []float64) float64 {
	if m.w == 0 { // the other may be unknown
		return values[m.i]
	}
	return values[m.i]*(1-m.w) + values[m.j]*m.w
}

// mixes gives the rows of a link.
func (c *scene) mixes(l *link, rows int) []mix {
	out := make([]mix, rows)
	end := c.edges[len(c.edges)-1]
	k, layer := 0, 0
	for row := rows - 1; row >= 0; row-- {
		x := end * (float64(rows-row) - 0.5) / float64(rows)
		for layer < len(c.names)-1 && c.edges[layer+1] < x {
			layer++
		}
		if !l.on[layer] {
			continue
		}
		for k < len(l.nodes)-2 && l.nodes[k+1] < x {
			k++
		}
		m := mix{on: true, i: k, j: k + 1}
		m.w = min(max((x-l.nodes[k])/max(l.nodes[k+1]-l.nodes[k], 1e-12), 0), 1)
		// Water may jump from layer to layer, and anything where one is missing.
		if m.j < len(l.layer) && l.layer[m.i] != l.layer[m.j] && (c.q != Temperature || l.gap(m.j)) {
			if m.w = 0; layer == l.layer[m.j] {
				m.i = m.j
			}
		}
		out[row] = m
	}
	return out
}

// outline draws the faces of the dish and those between its layers.
func (f *frame) outline(s *sheet, c *scene) {
	on := func(i, layer int) bool {
		return i >= 0 && i < len(c.links) && layer >= 0 && layer < len(c.names) && c.links[i].on[layer]
	}
	for i := range c.links {
		l := &c.links[i]
		for k, x := range c.edges {
			from, to := f.at(l.begin, x), f.at(l.end(), x)
			switch inner, outer := on(i, k-1), on(i, k); {
			case inner && outer:
				s.line(soft, 0.7, nil, from, to)
			case inner || outer:
				s.line(black, 0.8, nil, from, to)
			}
			if i > 0 && on(i, k) != on(i-1, k) {
				s.line(black, 0.8, nil, from, f.at(l.begin, c.edges[k+1]))
			}
		}
	}
}

// layerNames writes the layers beside the field, moved apart.
func (f *frame) layerNames(s *sheet, c *scene) {
	var at []vg.Length
	for i := range c.names {
		at = append(at, f.py((c.edges[i]+c.edges[i+1])/2))
	}
	const gap = 10
	if vg.Length(len(at)*gap) > f.plot.Size().Y {
		return
	}
	x := f.plot.Max.X
	for i, y := range apart(at, gap, f.plot.Min.Y+4, f.plot.Max.Y-4) {
		s.line(soft, 0.6, nil, vg.Point{X: x + 1, Y: at[i]}, vg.Point{X: x + 4, Y: at[i]}, vg.Point{X: x + 9, Y: y})
		s.write(keyText, vg.Point{X: x + 11, Y: y}, fitted(keyText, c.names[i], f.margin-10))
	}
}

func colourBar(s *sheet, r vg.Rectangle, q Quantity, scale axis) {
	s.write(headText, vg.Point{X: r.Min.X, Y: r.Max.Y - 6}, q.String()+", "+q.unit(Settings{Fahrenheit: scale.label == "temperature, °F"}))
	bar := vg.Rectangle{Min: vg.Point{X: r.Min.X + 8, Y: r.Min.Y + 11}, Max: vg.Point{X: r.Max.X - 8, Y: r.Max.Y - 13}}
	img := image.NewNRGBA(image.Rect(0, 0, 256, 1))
	for i := range 256 {
		img.Set(i, 0, q.shade(float64(i)/255))
	}
	s.dc.DrawImage(bar, img)
	for _, v := range ticks(scale.lo, scale.hi, 5) {
		x := bar.Min.X + vg.Length((v-scale.lo)/(scale.hi-scale.lo))*bar.Size().X
		s.line(black, 0.7, nil, vg.Point{X: x, Y: bar.Min.Y}, vg.Point{X: x, Y: bar.Min.Y - 2})
		s.write(tickBelow, vg.Point{X: x, Y: bar.Min.Y - 3}, scale.number(v))
	}
}
