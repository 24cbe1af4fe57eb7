package chart

import (
	"cmp"
	"fmt"
	"image"
	"math"

	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
	"gonum.org/v1/plot/vg"
)

// iceShare is the share [-] of a cell's water as ice at which the ice edge is drawn.
const iceShare = 0.01

// edge is a line of the cross-section.
type edge struct {
	name   string
	dash   []vg.Length
	tracks [][][2]float64 // [s], [mm]
}

// Section draws the cross-section as a field: distance against time, the
// quantity as colour. Over it lie the ice edge (1 % of the water is ice), the
// boiling edge (boiling point of water at the run's pressure) and the dry edge
// (water activity of thermal.Crispness), as far as they occur. Distances are
// those of the dish as it was laid, before any rise.
func Section(run *thermal.Run, q Quantity, settings *Settings) (*Chart, error) {
	set, err := filled(settings)
	if err != nil {
		return nil, err
	}
	c, err := sceneOf(run, q, set, samples, nil)
	if err != nil {
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
	f := frame{title: cmp.Or(set.Title, "Cross-section: "+q.String()), x: clock(run.Duration().Seconds()), margin: 66,
		y:      axis{hi: end, label: "distance from the " + c.from + ", mm", ticks: ticks(0, end, 8)},
		strips: [][]span{stagesOf(run)}}
	edges := c.fronts(set)
	f.bar = func(s *sheet, r vg.Rectangle) { colourBar(s, r, q, scale) }
	f.head("Lines")
	for _, e := range edges {
		f.add(e.name, func(s *sheet, from, to vg.Point) { s.cased(e.dash, from, to) })
	}
	f.add("between layers", func(s *sheet, from, to vg.Point) { s.line(soft, 0.7, nil, from, to) })
	f.listStages("Stages", f.strips[0])
	f.takeEvents(run)
	return &Chart{set, func(s *sheet) {
		g := f
		g.draw(s, func() {
			s.dc.DrawImage(g.plot, field)
			g.layerNames(s, c)
			for _, e := range edges {
				for _, track := range e.tracks {
					var pts []vg.Point
					for _, p := range track {
						pts = append(pts, g.at(p[0], p[1]))
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
	const rows = 240
	var shades [256]image.Uniform
	for i := range shades {
		shades[i].C = c.q.shade(float64(i) / 255)
	}
	img := image.NewNRGBA(image.Rect(0, 0, len(c.moments), rows))
	end := c.edges[len(c.edges)-1]
	k := 0
	for row := rows - 1; row >= 0; row-- {
		x := end * (float64(rows-row) - 0.5) / rows
		for k < len(c.nodes)-2 && c.nodes[k+1] < x {
			k++
		}
		i, j, w := k, k+1, min(max((x-c.nodes[k])/max(c.nodes[k+1]-c.nodes[k], 1e-12), 0), 1)
		// Water may jump from layer to layer, temperature does not.
		if c.q != Temperature && j < len(c.layer) && c.layer[i] != c.layer[j] {
			if w = 0; x > c.edges[c.layer[j]] {
				w = 1
			}
		}
		for column, m := range c.moments {
			v := m.values[i]
			if w > 0 {
				v = v*(1-w) + m.values[j]*w
				if w == 1 {
					v = m.values[j]
				}
			}
			if math.IsNaN(v) {
				img.Set(column, row, unknown)
				continue
			}
			img.Set(column, row, shades[int(255*min(max((v-scale.lo)/(scale.hi-scale.lo), 0), 1))].C)
		}
	}
	return img
}

// fronts finds the edges that occur.
func (c *scene) fronts(s Settings) (out []edge) {
	boiling := phasechange.SaturationTemperature(cmp.Or(c.run.Settings.Pressure, 101325))
	shown := boiling
	if s.Fahrenheit {
		shown = thermal.ToFahrenheit(boiling)
	}
	for _, e := range []struct {
		edge
		level float64
		of    func(moment) []float64
	}{
		{edge{name: "ice edge"}, iceShare, func(m moment) []float64 { return m.ice }},
		{edge{name: fmt.Sprintf("boiling edge, %.0f %s", shown, Temperature.unit(s)), dash: []vg.Length{5, 3}}, boiling, func(m moment) []float64 { return m.temp }},
		{edge{name: fmt.Sprintf("dry edge, water activity %g", thermal.Crispness), dash: []vg.Length{1.5, 2.5}}, thermal.Crispness, func(m moment) []float64 { return m.active }},
	} {
		var open [][][2]float64
		for _, m := range c.moments {
			var going [][][2]float64
			for _, x := range c.crossings(e.of(m), e.level) {
				point := [2]float64{m.time, x}
				best, reach := -1, 0.12*c.edges[len(c.edges)-1]
				for i, track := range open {
					if d := math.Abs(track[len(track)-1][1] - x); d < reach {
						best, reach = i, d
					}
				}
				if best < 0 {
					going = append(going, [][2]float64{point})
					continue
				}
				going = append(going, append(open[best], point))
				open = append(open[:best], open[best+1:]...)
			}
			e.tracks, open = append(e.tracks, open...), going
		}
		e.tracks = append(e.tracks, open...)
		if len(e.tracks) > 0 {
			out = append(out, e.edge)
		}
	}
	return out
}

// crossings are the places [mm] where values of the cells pass a level.
func (c *scene) crossings(values []float64, level float64) (out []float64) {
	for i := 1; i < len(values); i++ {
		a, b := values[i-1]-level, values[i]-level
		if a < 0 != (b < 0) && !math.IsNaN(a+b) {
			out = append(out, c.nodes[i-1]+(c.nodes[i]-c.nodes[i-1])*a/(a-b))
		}
	}
	return out
}

// layerNames writes the layers beside the field, moved apart.
func (f *frame) layerNames(s *sheet, c *scene) {
	var at []vg.Length
	for i := range c.names {
		at = append(at, f.py((c.edges[i]+c.edges[i+1])/2))
		if i > 0 {
			s.line(soft, 0.7, nil, f.at(f.x.lo, c.edges[i]), f.at(f.x.hi, c.edges[i]))
		}
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
