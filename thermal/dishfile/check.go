package dishfile

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

const maxStages = 1000

// maxPlaneCells bounds the cells of a run in two dimensions, whose time goes with more
// than their square: as many take some 15 times as long as the default.
const maxPlaneCells = 6400

// Check lists all that is wrong with a File, as Faults; Read has done so with what
// it gives.
func (f *File) Check() error {
	r := &report{}
	f.check(r)
	return r.err()
}

func versionFound(v int) string {
	if v == 0 {
		return "missing"
	}
	return fmt.Sprintf("version %d", v)
}

func (f *File) check(r *report) {
	if f.Version != Version {
		if !r.has("version") {
			r.add("version", versionFound(f.Version), fmt.Sprintf("version = %d", Version))
		}
		return // another version has other rules
	}
	r.values(reflect.ValueOf(*f), "", "", 0)
	f.checkShape(r)
	foods := f.checkFoods(r)
	f.checkLayers(r, foods)
	f.checkAppliances(r)
	f.checkStages(r, foods)
	f.checkSettings(r)
	f.checkChain(r)
	f.checkWanted(r)
	f.rehearse(r)
}

// need reports a key that is not there, unless it is and was refused already.
func (r *report) need(key, want string) {
	if !r.has(key) {
		r.add(key, "missing", want)
	}
}

// oneOf reports a word that is none of those wanted, which want lists.
func (r *report) oneOf(key, got, want string, of []string) {
	if got == "" {
		r.need(key, want)
		return
	}
	r.add(key, "unknown "+quote(got)+nearest(got, of), want)
}

// unknown reports a name that is none of the file's own. These can be many: they are
// looked through only for a fault that will be told.
func (r *report) unknown(key, what, name string, of func() []string) {
	if len(r.faults) >= maxFaults {
		r.more++
		return
	}
	names := of()
	want := "the name of a " + what
	if strings.HasPrefix(what, "a") {
		want = "the name of an " + what
	}
	if len(names) > 0 {
		want += ": " + some(names)
	}
	if name == "" {
		r.need(key, want)
		return
	}
	r.add(key, "unknown "+what+" "+quote(name)+nearest(name, names), want)
}

func (f *File) checkLayers(r *report, foods pantry) {
	switch n := len(f.Layers); {
	case n == 0:
		r.need("layers", "at least one [[layers]] with food and thickness")
	case n > geometry.MaxLayers:
		r.add("layers", fmt.Sprintf("%d layers", n), fmt.Sprintf("at most %d", geometry.MaxLayers))
		return
	}
	for i, l := range f.Layers {
		key := item("layers", i)
		foods.find(r, below(key, "food"), l.Food)
		if l.Thickness == "" {
			r.need(below(key, "thickness"), wanted(l.Thickness))
		}
		if l.Start == "" && f.Start == "" && !r.has("start") {
			r.need(below(key, "start"), "a start of the layer or, before the first table, of the whole dish, as "+wanted(l.Start))
		}
		for j := range i {
			if f.Layers[j].called() == l.called() && l.called() != "" {
				r.add(below(key, "name"), fmt.Sprintf("%s is the name of layer %d too", quote(l.called()), j+1), "a name no other layer has")
				break
			}
		}
		if l.Rise != nil {
			l.Rise.check(r, below(key, "rise.points"))
			if f.plane() {
				r.add(below(key, "rise"), "a "+f.Shape.Kind+" has two dimensions, in which a layer keeps its thickness", "none, or a shape of one dimension")
			}
		}
	}
}

func (l *Layer) called() string {
	if l.Name != "" {
		return l.Name
	}
	return l.Food
}

func (s *Rise) check(r *report, key string) {
	if len(s.Points) == 0 || len(s.Points) > 1000 {
		r.need(key, "1 to 1000 points with temperature or time, and ratio")
		return
	}
	timed := s.Points[0].Time != ""
	at, ratio := math.Inf(-1), 0.0
	for i, p := range s.Points {
		k := item(key, i)
		if (p.Time != "") == (p.Temperature != "") || (p.Time != "") != timed {
			if !r.has(k) {
				r.add(k, "time and temperature do not go together", "a temperature in every point, or a time in every point")
			}
			continue
		}
		x := p.at()
		if !r.has(k) && !(x > at && p.Ratio >= ratio) {
			r.add(k, "the points do not rise", "a higher temperature or later time than the point before, and no smaller ratio")
		}
		at, ratio = x, p.Ratio
	}
}

func (p *RisePoint) at() float64 {
	if p.Time != "" {
		return si(p.Time)
	}
	return si(p.Temperature)
}

// pantry is the foods of a file's own, by name.
type pantry map[string]materials.Food

// find gives a food of the file or of the table.
func (p pantry) find(r *report, key, name string) materials.Food {
	if food, ok := p[name]; ok {
		return food
	}
	if name == "" {
		r.need(key, "the name of a food")
		return materials.Food{}
	}
	food, err := materials.Find(name)
	if u, ok := err.(*materials.UnknownFoodError); ok {
		want := "a food of the table, or of [[foods]]"
		if len(u.Nearest) > 0 {
			want = "such as \"" + strings.Join(u.Nearest, "\", \"") + "\""
		}
		r.add(key, "unknown food "+quote(name), want)
	}
	return food
}

func (f *File) checkFoods(r *report) pantry {
	p := pantry{}
	if len(f.Foods) > geometry.MaxLayers {
		r.add("foods", fmt.Sprintf("%d foods", len(f.Foods)), fmt.Sprintf("at most %d", geometry.MaxLayers))
		return p
	}
	for i := range f.Foods {
		x, key := &f.Foods[i], item("foods", i)
		if x.Name == "" {
			r.need(below(key, "name"), "a name for layers to use")
		} else if _, twice := p[x.Name]; twice {
			r.add(below(key, "name"), quote(x.Name)+" is there twice", "a name no other food of the file has")
		}
		if (x.Composition != nil) == (len(x.Mix) > 0) {
			if !r.has(key) {
				r.add(key, "composition and mix exclude each other and one is needed", "composition = { water = \"62 %\", ... } or mix = [ { food = ..., weight = ... }, ... ]")
			}
			p[x.Name] = materials.Food{Name: x.Name}
			continue
		}
		p[x.Name] = x.build(r, key, p)
	}
	return p
}

func (x *Food) build(r *report, key string, p pantry) materials.Food {
	if len(x.Mix) > 0 {
		return x.mixed(r, key, p)
	}
	c := x.Composition
	food := materials.Food{Name: x.Name, FreezingPoint: si(x.FreezingPoint), Porosity: si(x.Porosity), Source: "dish file",
		Composition: materials.Composition{Water: si(c.Water), Protein: si(c.Protein), Fat: si(c.Fat), Carbohydrate: si(c.Carbohydrate),
			Fibre: si(c.Fibre), Ash: si(c.Ash), Salt: si(c.Salt), Sugar: si(c.Sugar)}}
	if x.BoundWater != "" {
		b := si(x.BoundWater)
		food.BoundWater = &b
	}
	var err error
	if x.Structure != "" {
		if food.Structure, err = materials.ParseStructure(x.Structure); err != nil {
			names := choices()["Food.Structure"]
			r.oneOf(below(key, "structure"), x.Structure, strings.Join(names, ", "), names)
		}
	}
	if x.FatKind != "" {
		if food.FatKind, err = materials.ParseFatKind(x.FatKind); err != nil {
			names := choices()["Food.FatKind"]
			r.oneOf(below(key, "fat_kind"), x.FatKind, strings.Join(names, ", "), names)
		}
	}
	if !r.has(key) {
		if err := food.Validate(); err != nil {
			r.add(below(key, "composition"), strings.ReplaceAll(err.Error(), "\n", "; "), "shares of a whole that sum to 100 %")
		}
	}
	return food
}

func (x *Food) mixed(r *report, key string, p pantry) materials.Food {
	if x.FreezingPoint+Temp(x.BoundWater)+Temp(x.Porosity)+Temp(x.Structure)+Temp(x.FatKind) != "" {
		r.add(key, "a mix takes freezing_point, bound_water, porosity, structure and fat_kind from its parts", "none of them")
	}
	var parts []materials.Part
	for i, m := range x.Mix {
		k := below(key, item("mix", i))
		if m.Weight == "" {
			r.need(below(k, "weight"), wanted(m.Weight))
		}
		parts = append(parts, materials.Part{Food: p.find(r, below(k, "food"), m.Food), Mass: si(m.Weight)})
	}
	food, err := materials.Mix(x.Name, parts...)
	if err != nil && !r.has(key) && !r.has("foods") {
		r.add(key, err.Error(), "valid parts")
	}
	food.Name = x.Name
	return food
}

func (f *File) checkSettings(r *report) {
	s := f.Settings
	if s == nil {
		return
	}
	if s.Grading != "" && s.Grading != "graded" && s.Grading != "uniform" {
		r.oneOf("settings.grading", s.Grading, "graded or uniform", choices()["Settings.Grading"])
	}
	if _, ok := iceCurve(s.IceCurve); !ok {
		r.oneOf("settings.ice_curve", s.IceCurve, strings.Join(iceCurves(), ", "), iceCurves())
	}
	if x := s.CellRatio; x != 0 && f.Shape.kind() != nil && !r.has("settings.cell_ratio") {
		if !f.plane() {
			r.add("settings.cell_ratio", "a "+f.Shape.Kind+" has cells through its layers only", "none, or a shape of two dimensions")
		} else if !(x >= 0.02) {
			r.add("settings.cell_ratio", fmt.Sprintf("%g is out of range", x), "0.02 to 50, or 0 for cells alike in size")
		}
	}
	if n := s.Cells; n > maxPlaneCells && f.plane() {
		r.add("settings.cells", fmt.Sprintf("%d are too many in two dimensions", n), fmt.Sprintf("at most %d, or none for %d", maxPlaneCells, geometry.DefaultPlaneCells))
	}
	if len(s.Watch) > 100 {
		r.add("settings.watch", fmt.Sprintf("%d conditions", len(s.Watch)), "at most 100")
	}
	for i := range s.Watch {
		f.checkCondition(r, &s.Watch[i], item("settings.watch", i), 0)
	}
}

func iceCurves() (names []string) {
	for c := phasechange.BoundWater; c <= phasechange.IdealSolution; c++ {
		names = append(names, c.String())
	}
	return names
}

// iceCurve finds a curve by name, the default for none.
func iceCurve(name string) (phasechange.IceCurve, bool) {
	i := slices.Index(iceCurves(), name)
	return phasechange.IceCurve(max(i, 0)), i >= 0 || name == ""
}

// sorted gives the keys of a map in order.
func sorted(m reflect.Value) []string {
	var keys []string
	for _, k := range m.MapKeys() {
		keys = append(keys, k.String())
	}
	slices.Sort(keys)
	return keys
}
