package dishfile

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/oven"
	"example.com/thawfront/thermal/verdict"
)

// rehearse takes a file that is right in itself through its chain in no time and with as
// few cells as there can be: whatever the solver or the report would refuse is a fault of
// the file, found before anything long has begun.
func (f *File) rehearse(r *report) {
	if len(r.faults) > 0 {
		return
	}
	over, cancel := context.WithCancel(context.Background())
	cancel()
	links := f.links()
	chain := chain{file: f}
	for i := range links {
		l := &links[i]
		if f.coarsen(r, l); len(r.faults) > 0 {
			return
		}
		run, err := chain.simulate(over, l, nil)
		for _, fault := range parts[*thermal.InputError](err, nil) {
			f.refused(r, l, fault)
		}
		if run == nil || len(r.faults) > 0 {
			return
		}
	}
	_, err := f.forOneLayer(links[len(links)-1].Dish.Layers[0].Name).judge(chain.runs)
	if fault, ok := errors.AsType[*verdict.InputError](err); ok {
		r.add(judged(fault.Place), sentence(fault.Field, fault.Value, fault.Cause), fault.Want)
	} else if err != nil {
		r.add("", err.Error(), "what can be judged")
	}
}

// forOneLayer is the file with one layer of the dish held against food codes where all
// would be: what is wrong with the facts is so for each, and layers can be many.
func (f *File) forOneLayer(name string) *File {
	g := *f
	g.Safety = slices.Clone(f.Safety)
	for i := range g.Safety {
		g.Safety[i].Layer = cmp.Or(g.Safety[i].Layer, name)
	}
	return &g
}

// coarsen takes the cells out of a part of the chain, once there are known to be such
// cells.
func (f *File) coarsen(r *report, l *Link) {
	meshed, layers := f.plane(), make([]geometry.Layer, len(l.Dish.Layers))
	for i := range l.Dish.Layers {
		x := &l.Dish.Layers[i]
		layers[i] = geometry.Layer{Name: x.Name, Thickness: x.Thickness, Cells: x.Cells}
		meshed = meshed || x.Cells != 0
		x.Cells = 0
	}
	if meshed {
		mesh, err := l.Dish.Shape.Mesh(layers, geometry.Resolution{Cells: l.Settings.Cells, Grading: l.Settings.Grading, Ratio: l.Settings.CellRatio})
		f.countCells(r, mesh)
		for _, fault := range parts[*geometry.Error](err, nil) {
			key := "layers"
			if layer := f.keyOfPlace(l, fault.Place); strings.HasPrefix(layer, "layers") {
				key = below(layer, "cells")
			}
			if n, ok := fault.Value.(int); ok && n > 0 && n < 3 && fault.Quantity == "cells" {
				r.add(key, fmt.Sprintf("%d are too few to follow a temperature through a layer", n), "3 to 20000, or none for a share of the settings' cells")
				continue
			}
			r.add(key, sentence(fault.Quantity, fault.Value, nil), fault.Want)
		}
	}
	l.Settings.Cells = 1 // as few as a layer can have
}

// countCells holds a part of the chain in two dimensions to maxPlaneCells, and all parts
// together to as many cells as a mesh can have: their runs are all kept.
func (f *File) countCells(r *report, mesh *geometry.Mesh) {
	if mesh == nil || !f.plane() {
		return
	}
	n := len(mesh.Cells)
	if r.cells += n; n > maxPlaneCells {
		r.add("settings.cells", fmt.Sprintf("the layers come to %d cells in two dimensions", n), fmt.Sprintf("fewer cells or layers: at most %d, of which each layer takes three or more either way", maxPlaneCells))
	} else if r.cells > geometry.MaxCells {
		r.add("settings.cells", fmt.Sprintf("%d cells or more in all parts of the chain together", r.cells), fmt.Sprintf("at most %d", geometry.MaxCells))
	}
}

// parts takes joined errors apart into those of one type.
func parts[E error](err error, to []E) []E {
	if fault, ok := err.(E); ok {
		return append(to, fault)
	}
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range joined.Unwrap() {
			to = parts(e, to)
		}
	}
	return to
}

// refused reports what package thermal refuses in a part of the chain.
func (f *File) refused(r *report, l *Link, e *thermal.InputError) {
	want := e.Want
	if want == "" {
		want = "what can be simulated"
	}
	if fault, ok := errors.AsType[*oven.InputError](e.Cause); ok {
		r.add(f.keyOfPlace(l, e.Place), fault.Place+": "+sentence(fault.Field, fault.Value, nil), fault.Want)
		return
	}
	r.add(f.keyOfPlace(l, e.Place), sentence(e.Field, e.Value, e.Cause), want)
}

func sentence(field string, value any, cause error) string {
	if cause != nil {
		return strings.ReplaceAll(cause.Error(), "\n", "; ")
	}
	return fmt.Sprintf("%s %v", field, value)
}

// keyOfPlace finds the key of a place in a part of the chain, as package thermal calls it.
func (f *File) keyOfPlace(l *Link, place string) string {
	place, start := strings.CutPrefix(place, "start of ")
	var n int
	if _, err := fmt.Sscanf(place, "layer %d", &n); err == nil && n >= 1 && n <= len(l.Dish.Layers) {
		key := item("layers", slices.IndexFunc(f.Layers, func(x Layer) bool { return x.called() == l.Dish.Layers[n-1].Name }))
		if start {
			return below(key, "start")
		}
		return key
	}
	if _, err := fmt.Sscanf(place, "stage %d", &n); err == nil && n >= 1 && n <= len(l.Stages) {
		return item("stages", l.Stages[n-1])
	}
	switch place {
	case "settings":
		return place
	case l.Dish.Shape.String():
		return "shape"
	}
	return ""
}

// judged finds the key of a place in a case, as package verdict calls it.
func judged(place string) string {
	var n int
	if _, err := fmt.Sscanf(place, "wish %d", &n); err == nil {
		return item("checks", n-1)
	}
	if _, err := fmt.Sscanf(place, "part %d", &n); err == nil {
		return item("safety", n-1)
	}
	return ""
}
