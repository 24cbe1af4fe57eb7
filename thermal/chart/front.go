package chart

import (
	"fmt"
	"math"

	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
	"gonum.org/v1/plot/vg"
)

// edge is a line of the cross-section.
type edge struct {
	name   string
	dash   []vg.Length
	tracks [][][2]float64 // [s], [mm]
}

// point is where an edge is at a moment.
type point struct {
	moment int
	x      float64 // [mm]
	cell   int     // the last that has ice, or that is on this side of the edge
	side   int     // on which it has none: 1 outwards, -1 inwards
}

// fronts finds the edges that occur.
func (c *scene) fronts() (out []edge) {
	boiling := make([]float64, len(c.links))
	name := "boiling edge"
	for i, l := range c.links {
		boiling[i] = phasechange.SaturationTemperature(l.run.Settings.Pressure)
	}
	if boiling[0] == boiling[len(boiling)-1] {
		name = fmt.Sprintf("boiling edge, %.0f %s", c.set.degrees(boiling[0]), Temperature.unit(c.set))
	}
	for _, e := range []edge{
		{"ice edge", nil, c.iceTracks()},
		{name, []vg.Length{5, 3}, c.plain(func(k int) []point { return c.crossings(k, c.moments[k].temp, boiling[c.moments[k].link]) })},
		{fmt.Sprintf("dry edge, water activity %g", thermal.Crispness), []vg.Length{1.5, 2.5},
			c.plain(func(k int) []point { return c.crossings(k, c.moments[k].active, thermal.Crispness) })},
	} {
		if len(e.tracks) > 0 {
			out = append(out, e)
		}
	}
	return out
}

// tracks joins what is found at each moment to what was found near it at the
// moment before.
func (c *scene) tracks(find func(moment int) []point) (done [][]point) {
	var open [][]point
	for k := range c.moments {
		var going [][]point
		for _, p := range find(k) {
			best, reach := -1, 0.12*c.edges[len(c.edges)-1]
			for i, track := range open {
				last := track[len(track)-1]
				if d := math.Abs(last.x - p.x); d < reach && last.side == p.side {
					best, reach = i, d
				}
			}
			if best < 0 {
				going = append(going, []point{p})
				continue
			}
			going = append(going, append(open[best], p))
			open = append(open[:best], open[best+1:]...)
		}
		done, open = append(done, open...), going
	}
	return append(done, open...)
}

// plain gives tracks as lines through their points.
func (c *scene) plain(find func(int) []point) (out [][][2]float64) {
	for _, track := range c.tracks(find) {
		var line [][2]float64
		for _, p := range track {
			line = append(line, [2]float64{c.moments[p.moment].time, p.x})
		}
		out = append(out, line)
	}
	return out
}

// crossings are the places where values of the cells pass a level.
func (c *scene) crossings(k int, values []float64, level float64) (out []point) {
	l := &c.links[c.moments[k].link]
	for i := 1; i < len(values); i++ {
		a, b := values[i-1]-level, values[i]-level
		if a < 0 == (b < 0) || math.IsNaN(a+b) || l.gap(i) {
			continue
		}
		p := point{moment: k, x: l.nodes[i-1] + (l.nodes[i]-l.nodes[i-1])*a/(a-b), cell: i - 1, side: 1}
		if a < 0 {
			p.cell, p.side = i, -1
		}
		out = append(out, p)
	}
	return out
}
