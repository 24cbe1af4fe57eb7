package chart

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/thawfront/thermal"
	"gonum.org/v1/plot/vg"
)

// Named is a chain of runs, as in Layers, and what to call it.
type Named struct {
	Name string
	Runs []*thermal.Run
}

// compared are the dashes of the two chains, for six lines each: with the markers,
// 18 lines of each are told apart without colour.
var compared = [2][][]vg.Length{{nil, {1.5, 2}, {8, 2, 1.5, 2}}, {{5, 3}, {10, 3}, {2.5, 2.5}}}

// Compare draws two chains over each other, the second dashed and with other
// markers: centre and surface for the temperature, else the mean of every layer.
// Each has a strip of stages and letters of events of its own, the first's small
// and the second's capitals.
func Compare(first, second Named, q Quantity, settings *Settings) (*Chart, error) {
	set, err := filled(settings)
	if err != nil {
		return nil, err
	}
	f := frame{title: cmp.Or(set.Title, fmt.Sprintf("Compared by %s: %s and %s", q, first.Name, second.Name))}
	var curves []curve
	var chains []*chain
	var known []string // a layer has one colour in both
	for k, n := range []Named{first, second} {
		c, err := sceneOf(n.Runs, q, set, samples)
		if err != nil {
			return nil, err
		}
		chains = append(chains, c.chain)
		style := func(name string) curve {
			i := slices.Index(known, name)
			if i < 0 {
				i = len(known)
				known = append(known, name)
			}
			l := look(i, n.Name+": "+name)
			l.dash, l.marker = compared[k][i/len(markers)%len(compared[k])], i+len(markers)/2*k
			return l
		}
		if q == Temperature {
			curves = append(curves, c.history(style("centre"), func(m moment) float64 { return m.centre }),
				c.history(style("surface"), func(m moment) float64 { return m.skin }))
		} else {
			for i, name := range c.names {
				curves = append(curves, c.history(style(name), func(m moment) float64 { return m.mean[i] }))
			}
		}
		f.strips = append(f.strips, c.stages())
	}
	lo, hi := rangeOf(curves)
	f.x, f.y = clock(max(chains[0].length, chains[1].length)), q.axis(set, lo, hi)
	f.key = []list{curveList("Lines", curves)}
	for k, n := range []Named{first, second} {
		f.key = append(f.key, f.stageList([]string{"Upper strip: ", "Lower strip: "}[k]+n.Name, f.strips[k]),
			f.eventList("Events of "+n.Name, chains[k].events()))
	}
	return &Chart{set, func(s *sheet) { f.draw(s, func(f *frame) { f.curves(s, curves) }) }}, nil
}
