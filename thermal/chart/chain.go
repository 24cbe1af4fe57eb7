package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
)

// chain is runs each of which began as the one before ended, and the dish as it
// would be with all the layers on that ever were.
type chain struct {
	links  []link
	names  []string  // of the layers
	edges  []float64 // [mm] faces of the layers, one more than layers
	from   string    // where distance is counted from
	length float64   // [s]
}

// link is a run of a chain.
type link struct {
	run   *thermal.Run
	begin float64 // [s] since the start of the chain
	line  []int   // the cells on the middle line, which fields and edges show
	layer []int   // of each of those
	every []int   // the layer of each cell of the dish
	on    []bool  // the layers that it has
	// Where its cells lie with all the layers on [mm]; the last node is the surface.
	nodes, inner, outer []float64
	freezing            []float64 // [°C] of the layers' foods
	icy                 []bool    // layers with enough water that can freeze to count
}

// end is when a link ends [s].
func (l *link) end() float64 { return l.begin + l.run.Duration().Seconds() }

// chainOf checks that runs fit on to each other and lays their dishes over each
// other.
func chainOf(runs []*thermal.Run) (*chain, error) {
	if len(runs) == 0 {
		return nil, &InputError{"runs", "none", "one or more that Simulate computed"}
	}
	c := &chain{}
	thickness := map[string]float64{}
	for i, run := range runs {
		wrong := func(value any, want string) error {
			return &InputError{fmt.Sprintf("run %d of %d", i+1, len(runs)), value, want}
		}
		if run == nil || run.Grid().Len() == 0 {
			return nil, wrong("without any result", "one that Simulate computed")
		}
		if i > 0 {
			if _, carried := run.Dish.Start.(thermal.Carried); !carried {
				return nil, wrong("begun afresh", "one begun with thermal.From the run before")
			}
			if a, b := shapeOf(runs[0]), shapeOf(run); a != b {
				return nil, wrong(b, "the shape of the first, "+a)
			}
		}
		for k, name := range run.LayerNames() {
			d := run.Dish.Layers[k].Thickness
			if was, known := thickness[name]; known && math.Abs(was-d) > 1e-9*d {
				return nil, wrong(fmt.Sprintf("with %q of %g m", name, d), fmt.Sprintf("the thickness of the runs before, %g m", was))
			}
			thickness[name] = d
		}
		c.links = append(c.links, link{run: run, begin: c.length})
		c.length += run.Duration().Seconds()
	}
	if c.length <= 0 {
		return nil, &InputError{"runs", "without any time in them", "at least one that lasts"}
	}
	if c.names = order(runs); c.names == nil {
		return nil, &InputError{"runs", "with layers that change places", "layers in one order throughout"}
	}
	c.edges = []float64{0}
	for i, name := range c.names {
		c.edges = append(c.edges, c.edges[i]+thickness[name]*1e3)
	}
	c.from = origin(runs[0].Dish.Shape)
	for i := range c.links {
		if err := c.place(&c.links[i]); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// order merges the layers of runs into one order that all of them keep, those
// that came first inside where it leaves a choice; nil if there is none.
func order(runs []*thermal.Run) (out []string) {
	var waiting []string
	var dishes [][]string
	for _, run := range runs {
		dishes = append(dishes, run.LayerNames())
		for _, name := range dishes[len(dishes)-1] {
			if !slices.Contains(waiting, name) {
				waiting = append(waiting, name)
			}
		}
	}
	for len(waiting) > 0 {
		next := slices.IndexFunc(waiting, func(name string) bool {
			for _, names := range dishes {
				at := max(slices.Index(names, name), 0)
				if slices.ContainsFunc(names[:at], func(inner string) bool { return slices.Contains(waiting, inner) }) {
					return false
				}
			}
			return true
		})
		if next < 0 {
			return nil
		}
		out = append(out, waiting[next])
		waiting = slices.Delete(waiting, next, next+1)
	}
	return out
}

// leastWater is the water that can freeze [kg/kg of food] of which a layer must have
// more to have an ice edge, as for thermal.Frozen: the edge goes straight through a
// film of cured fat, whose brine stays liquid in any freezer.
const leastWater = 0.1

// place finds where the cells of a link lie among the layers of the chain.
func (c *chain) place(l *link) error {
	dish, set := l.run.Dish, l.run.Settings
	var laid []geometry.Layer
	for i, name := range l.run.LayerNames() {
		d := dish.Layers[i]
		laid = append(laid, geometry.Layer{Name: name, Thickness: d.Thickness, Contact: d.Contact, Cells: d.Cells})
	}
	mesh, err := dish.Shape.Mesh(laid, geometry.Resolution{Cells: set.Cells, Grading: set.Grading, Ratio: set.CellRatio})
	if err != nil {
		return err
	}
	n := len(c.names)
	l.on, l.freezing, l.icy = make([]bool, n), make([]float64, n), make([]bool, n)
	shift := make([]float64, len(laid)) // [mm]
	place := make([]int, len(laid))
	x := 0.0
	for i, d := range laid {
		k := slices.Index(c.names, d.Name)
		food := dish.Layers[i].Food
		l.on[k], l.freezing[k] = true, food.InitialFreezingPoint()
		l.icy[k] = food.Composition.Water-food.Bound() > leastWater
		place[i], shift[i] = k, c.edges[k]-x
		x += d.Thickness * 1e3
	}
	for _, cell := range mesh.Cells {
		l.every = append(l.every, place[cell.Layer])
	}
	l.line = mesh.Line()
	for _, i := range l.line {
		cell := mesh.Cells[i]
		by := shift[cell.Layer]
		l.layer = append(l.layer, place[cell.Layer])
		l.inner = append(l.inner, cell.Inner*1e3+by)
		l.nodes = append(l.nodes, cell.Node*1e3+by)
		l.outer = append(l.outer, cell.Outer*1e3+by)
	}
	l.nodes = append(l.nodes, l.outer[len(l.outer)-1])
	return nil
}

// gap says whether a layer that is not on lies between a cell and the one before.
func (l *link) gap(cell int) bool { return l.layer[cell] > l.layer[cell-1]+1 }

// at gives the link that time t [s] belongs to; that at which one ends and the
// next begins belongs to the next.
func (c *chain) at(t float64) int {
	for i := len(c.links) - 1; i > 0; i-- {
		if t >= c.links[i].begin {
			return i
		}
	}
	return 0
}

func (c *chain) stages() (out []span) {
	for _, l := range c.links {
		for _, st := range l.run.Stages {
			if st.End > st.Start {
				out = append(out, span{l.begin + st.Start.Seconds(), l.begin + st.End.Seconds(), st.Name})
			}
		}
	}
	return out
}

// ranks of events in a chart; the beginnings of stages stand in the strip.
var ranks = map[thermal.EventKind]int{thermal.Watched: 0, thermal.LastIce: 1, thermal.FirstIce: 2, thermal.Boiling: 3}

// events are those of the runs, and the coming and going of layers.
func (c *chain) events() (out []event) {
	for i, l := range c.links {
		if i > 0 {
			was := &c.links[i-1]
			out = append(out, c.change("taken off", l.begin, was, &l)...)
			out = append(out, c.change("put on", l.begin, &l, was)...)
		}
		for _, e := range l.run.Events {
			if rank, shown := ranks[e.Kind]; shown {
				out = append(out, event{l.begin + e.Time.Seconds(), e.Text, rank})
			}
		}
	}
	return out
}

// change is the event that one link has layers which the other lacks.
func (c *chain) change(how string, at float64, has, lacks *link) []event {
	var names []string
	for k, name := range c.names {
		if has.on[k] && !lacks.on[k] {
			names = append(names, name)
		}
	}
	if names == nil {
		return nil
	}
	return []event{{at, how + ": " + strings.Join(names, ", "), 0}}
}

// shapeOf is what all runs of a chain share: the ends of a round dish come and go with
// its layers.
func shapeOf(run *thermal.Run) string {
	shape := run.Dish.Shape
	if c, ok := shape.(geometry.FiniteCylinder); ok {
		c.Bottom, c.Top = nil, nil
		shape = c
	}
	return fmt.Sprintf("%T %v", shape, shape)
}

// distance labels the axis on which a place in the dish is.
func (c *chain) distance() string {
	label := "distance from the " + c.from + ", mm"
	if l := &c.links[0]; len(l.line) < len(l.every) {
		label = "middle line: " + label
	}
	return label
}

// origin says where distance is counted from.
func origin(shape geometry.Shape) string {
	switch shape.(type) {
	case geometry.Slab, *geometry.Slab, geometry.Tray:
		return "underside"
	}
	return "centre"
}
