package dishfile

import (
	"fmt"
	"slices"

	"example.com/thawfront/thermal"
)

// Link is the part of a chain between two changes of the layers: one run.
type Link struct {
	// Dish has a Start of its own in the first link; each later one begins as the run
	// before it ended, see thermal.From, with the layers that join it at Joins.
	Dish     thermal.Dish
	Joins    map[string]float64 // [°C] at which layers join, by name
	Stages   []int              // of the file, from 0
	Schedule thermal.Schedule
	Settings thermal.Settings
}

// Chain gives the parts of the file between changes of its layers, one if there are none.
// The error is that of Check.
func (f *File) Chain() ([]Link, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	layers, starts := f.layers()
	stages := f.schedule()
	settings := f.settings()
	var out []Link
	var before []int
	for i := range f.Stages {
		on := f.on(i)
		if i > 0 && slices.Equal(on, before) {
			last := &out[len(out)-1]
			last.Stages, last.Schedule = append(last.Stages, i), append(last.Schedule, stages[i])
			continue
		}
		link := Link{Dish: thermal.Dish{Shape: f.Shape.build()}, Joins: map[string]float64{}, Stages: []int{i}, Schedule: thermal.Schedule{stages[i]}, Settings: settings}
		var begin []float64
		for _, l := range on {
			link.Dish.Layers = append(link.Dish.Layers, layers[l])
			begin = append(begin, starts[l])
			if i > 0 && !slices.Contains(before, l) {
				link.Joins[layers[l].Name] = starts[l]
			}
		}
		if i == 0 {
			link.Dish.Start = thermal.ByLayer(begin...)
		}
		if f.Settings != nil {
			link.Settings.Watch = f.watched(on)
		}
		out, before = append(out, link), on
	}
	return out, nil
}

// watched are the conditions that speak of no layer but those that are on.
func (f *File) watched(on []int) (out []thermal.Condition) {
	for i := range f.Settings.Watch {
		c := &f.Settings.Watch[i]
		if !slices.ContainsFunc(c.layers(nil), func(name string) bool {
			return !slices.ContainsFunc(on, func(l int) bool { return f.Layers[l].called() == name })
		}) {
			out = append(out, c.build())
		}
	}
	return out
}

// layers adds the names of the layers that a condition speaks of.
func (c *Condition) layers(names []string) []string {
	if _, name, err := c.At.parse(); err == nil && name != "" {
		names = append(names, name)
	}
	for _, of := range [][]Condition{c.Any, c.All} {
		for i := range of {
			names = of[i].layers(names)
		}
	}
	return names
}

// on lists the layers that are on in a stage.
func (f *File) on(stage int) (out []int) {
	for i := range f.Layers {
		l := &f.Layers[i]
		from, to := 0, len(f.Stages)
		if l.Joins != "" {
			from = f.stageCalled(l.Joins)
		}
		if l.Leaves != "" {
			to = f.stageCalled(l.Leaves)
		}
		if stage >= from && stage < to {
			out = append(out, i)
		}
	}
	return out
}

// stageCalled is the first stage of a name, or -1.
func (f *File) stageCalled(name string) int {
	return slices.IndexFunc(f.Stages, func(s Stage) bool { return s.Name == name })
}

// checkChain checks when layers join and leave.
func (f *File) checkChain(r *report) {
	known := true
	for i := range f.Layers {
		l, key := &f.Layers[i], item("layers", i)
		for _, x := range []struct{ field, stage string }{{"joins", l.Joins}, {"leaves", l.Leaves}} {
			if x.stage == "" {
				continue
			}
			at := f.stageCalled(x.stage)
			switch twice := slices.ContainsFunc(f.Stages[at+1:], func(s Stage) bool { return s.Name == x.stage }); {
			case at < 0:
				r.add(below(key, x.field), "unknown stage "+quote(x.stage), "the name of a stage")
			case twice:
				r.add(below(key, x.field), "two stages are called "+quote(x.stage), "a name that one stage has")
			default:
				continue
			}
			known = false
		}
		if known && l.Joins != "" && l.Leaves != "" && f.stageCalled(l.Joins) >= f.stageCalled(l.Leaves) {
			r.add(below(key, "leaves"), "the layer leaves before it has joined", "a later stage than "+quote(l.Joins))
		}
	}
	if !known || len(f.Layers) == 0 || len(f.Layers) > maxStages || len(f.Stages) > maxStages {
		return
	}
	var before []int
	for i := range f.Stages {
		key, on := item("stages", i), f.on(i)
		if len(on) == 0 {
			r.add(key, "no layer is on the dish in this stage", "a layer that does not join later or has left before")
			return
		}
		if i > 0 && !slices.Equal(on, before) {
			f.checkChange(r, before, on)
		}
		if u := f.Stages[i].Until; u != nil && !r.has(key) {
			for _, name := range u.layers(nil) {
				if !slices.ContainsFunc(on, func(l int) bool { return f.Layers[l].called() == name }) {
					r.add(below(key, "until"), fmt.Sprintf("layer %s is not on the dish in this stage", quote(name)), "a layer that is, or that joins earlier")
				}
			}
		}
		before = on
	}
}

// checkChange checks what changes from stage to stage: round dishes change on their outside
// only, and something must stay.
func (f *File) checkChange(r *report, before, on []int) {
	stays := slices.DeleteFunc(slices.Clone(on), func(l int) bool { return !slices.Contains(before, l) })
	if len(stays) == 0 {
		r.add(below(item("layers", on[0]), "joins"), "nothing stays on the dish as this layer joins", "a dish of its own in a file of its own")
		return
	}
	if f.Shape == nil || f.Shape.Kind == "slab" || f.Shape.Kind == "half slab" {
		return
	}
	inner := stays[len(stays)-1]
	for _, l := range on {
		if l < inner && !slices.Contains(before, l) && !r.has(item("layers", l)) {
			r.add(below(item("layers", l), "joins"), "the layer joins inside of "+quote(f.Layers[inner].called()), "in this shape, layers that join outside of all that are there")
		}
	}
	for _, l := range before {
		if l < inner && !slices.Contains(on, l) && !r.has(item("layers", l)) {
			r.add(below(item("layers", l), "leaves"), "the layer leaves from inside of "+quote(f.Layers[inner].called()), "in this shape, layers that leave from the outside")
		}
	}
}
