package dishfile

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal/quality"
)

// Most entries of lists of what is wanted.
const (
	maxChecks = 100 // and parts for safety
	maxNames  = 100 // rules, stages, bands, moments
	maxPlaces = 50
)

// checkWanted checks what is wished for, held against codes and shown, so strictly that
// nothing of it is refused when the run is over.
func (f *File) checkWanted(r *report) {
	if len(f.Layers) > geometry.MaxLayers || len(f.Stages) > maxStages {
		return // reported, and too many to be looked through for every check
	}
	for i := range f.Layers {
		if w := f.Layers[i].JudgedAs; w != "" && w != quality.Other.String() && judgedAs(w) == quality.Other {
			r.oneOf(below(item("layers", i), "judged_as"), w, "meat, fish, dough or other", choices()["Layer.JudgedAs"])
		}
	}
	if n := len(f.Checks); n > maxChecks {
		r.add("checks", fmt.Sprintf("%d checks", n), fmt.Sprintf("at most %d", maxChecks))
	} else {
		for i := range f.Checks {
			f.checkCheck(r, &f.Checks[i], item("checks", i))
		}
	}
	if n := len(f.Safety); n > maxChecks {
		r.add("safety", fmt.Sprintf("%d parts", n), fmt.Sprintf("at most %d", maxChecks))
	} else {
		for i := range f.Safety {
			f.checkSafety(r, &f.Safety[i], item("safety", i))
		}
	}
	if f.Report != nil {
		f.checkReport(r, f.Report)
	}
}

const checkWant = "exactly one of served, done, rim, even, graded, colour, juicy, set, crisp, loss, ready, thawed = true"

func (f *File) checkCheck(r *report, c *Check, key string) {
	n := 0
	for _, given := range []bool{c.Served != nil, c.Done != nil, c.Rim != nil, c.Even != nil, c.Graded != nil, c.Colour != nil, c.Juicy != nil,
		c.Set != "", c.Crisp != "", c.Loss != "", c.Ready != "", c.Thawed} {
		if given {
			n++
		}
	}
	if n != 1 {
		if !r.has(key) {
			r.add(key, fmt.Sprintf("%d wishes in one check", n), checkWant)
		}
		return
	}
	switch kind, _ := c.wish(f); kind {
	case "served":
		k := below(key, "served")
		f.checkPlace(r, c.Served.At, below(k, "at"), (*Layer).served)
		r.band(k, c.Served.From, c.Served.To)
	case "done":
		k := below(key, "done")
		f.onAtEnd(r, c.Done.Layer, below(k, "layer"))
		r.band(k, c.Done.From, c.Done.To)
	case "rim":
		k := below(key, "rim")
		f.onAtEnd(r, c.Rim.Layer, below(k, "layer"))
		r.needQuantity(below(k, "over"), c.Rim.Over)
		r.needQuantity(below(k, "most"), c.Rim.Most)
	case "even":
		k := below(key, "even")
		f.onAtEnd(r, c.Even.Layer, below(k, "layer"))
		if c.Even.Most == 0 && !r.has(below(k, "most_kelvin")) {
			r.add(below(k, "most_kelvin"), "missing or 0", "a number of kelvins over 0")
		}
	case "graded":
		f.checkGraded(r, c.Graded, below(key, "graded"))
	case "colour":
		k := below(key, "colour")
		if c.Colour.Lightest <= c.Colour.Darkest && !r.has(k) {
			r.add(below(k, "lightest"), fmt.Sprintf("%g is not over the darkest, %g", c.Colour.Lightest, c.Colour.Darkest), "a lightness of darkest to 100: dough has 85, a brown crust 50 to 60")
		}
		if l := f.outermost(); l != nil && judgedAs(l.JudgedAs) != quality.Dough && !r.has(k) {
			r.add(k, fmt.Sprintf("the outermost layer at the end, %s, is not judged as dough", quote(l.called())), `judged_as = "dough" in that layer`)
		}
	case "juicy":
		k := below(key, "juicy")
		f.onAtEnd(r, c.Juicy.Layer, below(k, "layer"))
		r.needQuantity(below(k, "kept"), c.Juicy.Kept)
	case "set":
		k := below(key, "set")
		if l := f.onAtEnd(r, c.Set, k); l != nil && judgedAs(l.JudgedAs) != quality.Dough {
			r.add(k, quote(c.Set)+" is not judged as dough", `judged_as = "dough" in that layer`)
		}
	}
}

// layerNames are those of all layers.
func (f *File) layerNames() (names []string) {
	for i := range f.Layers {
		names = append(names, f.Layers[i].called())
	}
	return names
}

func (f *File) hasLayer(name string) bool {
	return slices.ContainsFunc(f.Layers, func(l Layer) bool { return l.called() == name })
}

// served says whether a layer is on at the end of the chain.
func (l *Layer) served() bool { return l.Leaves == "" }

// outermost is the outermost layer at the end, or nil.
func (f *File) outermost() *Layer {
	for i := len(f.Layers) - 1; i >= 0; i-- {
		if f.Layers[i].served() {
			return &f.Layers[i]
		}
	}
	return nil
}

// onAtEnd gives the layer of a name, which must be on at the end of the chain, or
// reports that it is not.
func (f *File) onAtEnd(r *report, name, key string) *Layer {
	var names []string
	for i := range f.Layers {
		l := &f.Layers[i]
		if l.served() {
			if l.called() == name && name != "" {
				return l
			}
			names = append(names, l.called())
		}
	}
	want := "a layer that is on at the end: " + some(names)
	for i := range f.Layers {
		if l := &f.Layers[i]; l.called() == name && name != "" {
			r.add(key, fmt.Sprintf("%s is taken off at %s", quote(name), quote(l.Leaves)), want)
			return nil
		}
	}
	if name == "" {
		r.need(key, want)
	} else {
		r.add(key, "unknown layer "+quote(name)+nearest(name, names), want)
	}
	return nil
}

// checkPlace checks a place in the layers that are on.
func (f *File) checkPlace(r *report, p Place, key string, on func(*Layer) bool) {
	at, layer, err := p.parse()
	if err != nil || r.has(key) {
		return // values has reported it
	}
	var there []int
	var names []string
	for i := range f.Layers {
		if l := &f.Layers[i]; on(l) {
			there = append(there, i)
			names = append(names, l.called())
		}
	}
	if layer != "" && !slices.Contains(names, layer) {
		problem := "unknown layer "
		if f.hasLayer(layer) {
			problem = "at the end there is no layer "
		}
		r.add(key, problem+quote(layer)+nearest(layer, names), "one of "+some(names))
	}
	f.checkSpot(r, p, key)
	if r.has("layers") || r.has("shape") || r.has(key) {
		return
	}
	if x, ok := p.depth(); ok {
		if thick := f.thickness(there); !(x < thick*(1-1e-12)) {
			r.add(key, at.String()+" is not inside of the dish", fmt.Sprintf("less than %.4g mm, or 'centre'", thick*1e3))
		}
	}
	if x, y, ok := p.point(); ok && !f.holds(x, y, there) {
		r.add(key, at.String()+" is not in the dish", "a point of its section")
	}
}

// band checks a range of temperatures, both ends of which are needed.
func (r *report) band(key string, from, to Temp) {
	r.needQuantity(below(key, "from"), from)
	r.needQuantity(below(key, "to"), to)
	if from != "" && to != "" && !(si(from) < si(to)) && !r.has(key) {
		r.add(below(key, "to"), fmt.Sprintf("%s is not above from, %s", quote(string(to)), quote(string(from))), "a higher temperature")
	}
}

// needQuantity reports a quantity that is not given.
func (r *report) needQuantity(key string, q quantity) {
	if reflect.ValueOf(q).String() == "" {
		r.need(key, wanted(q))
	}
}

func (f *File) checkGraded(r *report, g *Graded, key string) {
	l := f.onAtEnd(r, g.Layer, below(key, "layer"))
	if len(g.Bands) == 0 {
		r.need(below(key, "bands"), "a list of bands of the scale")
	}
	if l == nil {
		return
	}
	kind := judgedAs(l.JudgedAs)
	scale, _ := scaleOf(kind, g.Scale)
	if scale.Name == "" {
		if of := scales[kind]; of.own == nil {
			r.add(key, quote(g.Layer)+" is judged as nothing that has a scale of doneness", `judged_as = "meat" or "fish" in that layer`)
		} else {
			r.oneOf(below(key, "scale"), g.Scale, "one of "+joinNames(slices.Concat(of.own, of.more), func(s quality.Scale) string { return s.Name }), choices()["Graded.Scale"])
		}
		return
	}
	bands := append([]quality.Step{{Name: scale.Below}}, scale.Steps...)
	want := fmt.Sprintf("one of %s on the scale %s, each once", joinNames(bands, func(s quality.Step) string { return s.Name }), scale.Name)
	for i, b := range g.Bands[:min(len(g.Bands), maxNames)] {
		k := item(below(key, "bands"), i)
		switch {
		case !slices.ContainsFunc(bands, func(s quality.Step) bool { return s.Name == b }):
			r.oneOf(k, b, want, choices()["Graded.Bands"])
		case slices.Contains(g.Bands[:i], b):
			r.add(k, quote(b)+" is there twice", want)
		}
	}
	if len(g.Bands) > len(bands) && !r.has(key) {
		r.add(below(key, "bands"), fmt.Sprintf("%d bands", len(g.Bands)), want)
	}
}

// chartNames are the charts of a report.
var chartNames = []string{"layers", "section", "profiles", "water", "water section", "activity section"}

func (f *File) checkReport(r *report, x *Report) {
	if x.Units != "" && x.Units != "C" && x.Units != "F" {
		r.oneOf("report.units", x.Units, "C or F", choices()["Report.Units"])
	}
	if n := len(x.Places); n > maxPlaces {
		r.add("report.places", fmt.Sprintf("%d places", n), fmt.Sprintf("at most %d", maxPlaces))
	} else {
		for i, p := range x.Places {
			f.checkPlace(r, p, item("report.places", i), func(*Layer) bool { return true })
		}
	}
	for i, c := range x.Charts[:min(len(x.Charts), maxNames)] {
		k := item("report.charts", i)
		switch {
		case !slices.Contains(chartNames, c):
			r.oneOf(k, c, "one of "+strings.Join(chartNames, ", "), chartNames)
		case slices.Contains(x.Charts[:i], c):
			r.add(k, quote(c)+" is there twice", "each chart once")
		case slices.Index(chartNames, c) > 2 && !f.moist():
			r.add(k, quote(c)+" has nothing to show where water does not move", "moisture = true in [settings], or another chart")
		}
	}
	if n := len(x.Charts); n > len(chartNames) && !r.has("report.charts") {
		r.add("report.charts", fmt.Sprintf("%d charts", n), "each chart once")
	}
	if n := len(x.Moments); n > maxNames {
		r.add("report.moments", fmt.Sprintf("%d moments", n), fmt.Sprintf("at most %d", maxNames))
	}
}
