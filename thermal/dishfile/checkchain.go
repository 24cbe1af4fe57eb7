package dishfile

import (
	"fmt"
	"slices"

	"example.com/thawfront/geometry"
)

// maxInParts bounds the layers of all parts of a chain: each part is a run that is kept.
const maxInParts = 1000

// checkChain checks when layers join and leave.
func (f *File) checkChain(r *report) {
	if len(f.Layers) == 0 || len(f.Layers) > geometry.MaxLayers || len(f.Stages) > maxStages || !f.checkJoins(r) {
		return
	}
	var before []int
	spans, parts := f.spans(), 0
	unseen := f.watches(r)
	for i := range f.Stages {
		key, on := item("stages", i), spans.on(i)
		if len(on) == 0 {
			r.add(key, "no layer is on the dish in this stage", "a layer that does not join later or has left before")
			return
		}
		if i == 0 || !slices.Equal(on, before) {
			parts += len(on)
			f.checkContact(r, on)
			if i > 0 {
				f.checkChange(r, before, on)
			}
			unseen = slices.DeleteFunc(unseen, func(j int) bool { return f.astray(&f.Settings.Watch[j], on) == "" })
		}
		if u := f.Stages[i].Until; u != nil && !r.has(key) {
			if problem := f.astray(u, on); problem != "" {
				r.add(below(key, "until"), problem+" in this stage", "a place in the layers that are on then")
			}
		}
		before = on
	}
	if parts > maxInParts {
		r.add("layers", fmt.Sprintf("%d layers in all parts of the chain together", parts), fmt.Sprintf("at most %d", maxInParts))
	}
	for _, j := range unseen {
		r.add(item("settings.watch", j), "its places are never there together: at the end "+f.astray(&f.Settings.Watch[j], before), "places that are there at the same time")
	}
}

// watches lists the conditions to be watched that nothing is wrong with so far.
func (f *File) watches(r *report) (out []int) {
	if f.Settings == nil || r.has("settings.watch") || r.has("layers") {
		return nil
	}
	for j := range f.Settings.Watch {
		out = append(out, j)
	}
	return out
}

// checkJoins says whether joins and leaves make sense by themselves.
func (f *File) checkJoins(r *report) bool {
	right := true
	for i := range f.Layers {
		l, key := &f.Layers[i], item("layers", i)
		known := true
		for _, x := range []struct{ field, stage string }{{"joins", l.Joins}, {"leaves", l.Leaves}} {
			if x.stage == "" {
				continue
			}
			at := f.stageCalled(x.stage)
			switch twice := slices.ContainsFunc(f.Stages[at+1:], func(s Stage) bool { return s.Name == x.stage }); {
			case at < 0:
				r.unknown(below(key, x.field), "stage", x.stage, f.stageNames)
			case twice:
				r.add(below(key, x.field), "two stages are called "+quote(x.stage), "a name that one stage has")
			default:
				continue
			}
			known = false
		}
		if known && l.Leaves != "" {
			switch to := f.stageCalled(l.Leaves); {
			case l.Joins != "" && f.stageCalled(l.Joins) >= to:
				r.add(below(key, "leaves"), "the layer leaves before it has joined", "a later stage than "+quote(l.Joins))
				known = false
			case to == 0:
				r.add(below(key, "leaves"), "the layer leaves as the first stage begins", "a later stage")
				known = false
			}
		}
		right = right && known
	}
	return right
}

// checkChange checks what changes from stage to stage: round dishes change on their outside
// only, and something must stay.
func (f *File) checkChange(r *report, before, on []int) {
	stays := slices.DeleteFunc(slices.Clone(on), func(l int) bool { return !slices.Contains(before, l) })
	if len(stays) == 0 {
		r.add(below(item("layers", on[0]), "joins"), "nothing stays on the dish as this layer joins", "a dish of its own in a file of its own")
		return
	}
	if f.Shape == nil || f.Shape.Kind == slab || f.Shape.Kind == halfSlab || f.Shape.Kind == tray {
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
