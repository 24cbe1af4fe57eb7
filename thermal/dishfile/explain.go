package dishfile

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// Value is something that the runs of a file use, and where it comes from.
type Value struct {
	Key   string // such as layers[2].thickness, counted from 1, or what follows from the file: "layers[1] density"
	Value string // as given and in SI units, such as "1/4 in = 6.35 mm"
	From  string // such as "file, line 23", "default", "fan oven: ..." or "table of foods: ..."
}

// Explain lists all that the runs of the file use, in the order of the file: what is
// given, with its line if the file was read, what was not given and what stands for it,
// and what follows of foods and media, with the sources. The title and the note are left
// out. The error is that of Check.
func (f *File) Explain() ([]Value, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	e := &explainer{f: f, foods: f.checkFoods(&report{})}
	e.table(reflect.ValueOf(f).Elem(), "")
	return e.out, nil
}

// explainer walks through a checked file.
type explainer struct {
	f     *File
	foods pantry
	out   []Value
}

func (e *explainer) add(key, value, from string) {
	e.out = append(e.out, Value{key, oneLine(value), from})
}

// table explains the fields of a table, given or not, in their order.
func (e *explainer) table(v reflect.Value, key string) {
	for i := range v.NumField() {
		field := v.Type().Field(i)
		if !field.IsExported() {
			continue
		}
		k := below(key, keyOf(field))
		if x := v.Field(i); !given(x) {
			e.absent(v, field, k)
		} else if k != "title" && k != "note" {
			e.present(x, k)
		}
		e.after(v.Interface(), field.Name, key)
	}
}

// given says whether a field is in the file, or is as if it were.
func given(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.Map:
		return v.Len() > 0
	}
	return !v.IsZero()
}

func (e *explainer) present(v reflect.Value, key string) {
	switch v.Kind() {
	case reflect.Pointer:
		e.present(v.Elem(), key)
	case reflect.Struct:
		e.table(v, key)
	case reflect.Map:
		for _, k := range sorted(v) {
			e.present(v.MapIndex(reflect.ValueOf(k)), below(key, k))
		}
	case reflect.Slice:
		if kind := v.Type().Elem().Kind(); kind == reflect.String {
			e.add(key, joined(v), e.line(key))
			return
		}
		for i := range v.Len() {
			e.present(v.Index(i), item(key, i))
		}
	default:
		e.add(key, shown(v), e.line(key))
	}
}

// line says where in the file a key is.
func (e *explainer) line(key string) string {
	if n := e.f.lines[key]; n > 0 {
		return fmt.Sprintf("file, line %d", n)
	}
	return "file"
}

// joined lists texts.
func joined(v reflect.Value) string {
	out := make([]string, v.Len())
	for i := range out {
		out[i] = shown(v.Index(i))
	}
	return strings.Join(out, ", ")
}

// shown is a value as it was written, and in the base unit if that is another.
func shown(v reflect.Value) string {
	q, ok := v.Interface().(quantity)
	if !ok {
		return fmt.Sprint(v.Interface())
	}
	text, base := v.String(), inBase(q)
	if n, m := measure.FindStringSubmatch(text), measure.FindStringSubmatch(base); n != nil && m != nil && sameNumber(n[1], m[1]) {
		return base // the unit was that already
	}
	return text + " = " + base
}

func sameNumber(a, b string) bool {
	x, _ := number(a)
	y, _ := number(b)
	return x == y
}

// inBase writes a quantity in the unit in which cooks and engineers would compare it.
func inBase(q quantity) string {
	x := si(q)
	switch q.(type) {
	case Length:
		return digits6(x*1e3) + " mm"
	case Share:
		return digits6(x*100) + " %"
	}
	return digits6(x) + " " + q.base()
}

// digits6 writes a number with six digits, which hides the rounding of units.
func digits6(x float64) string {
	return strings.Replace(strconv.FormatFloat(x, 'g', 6, 64), "e-0", "e-", 1)
}

// absent explains a field that is not given, by its default. Some have none, as one of
// several is given.
func (e *explainer) absent(table reflect.Value, field reflect.StructField, key string) {
	value, from := defaults[table.Type().Name()+"."+field.Name], "default"
	switch t := table.Interface().(type) {
	case File:
		switch {
		case field.Name == "Settings":
			e.table(reflect.ValueOf(Settings{}), key)
		case field.Name == "Report":
			e.table(reflect.ValueOf(Report{}), key)
		}
	case Shape:
		switch {
		case !t.kind().may(keyOf(field)):
			return
		case field.Name == "Bottom" && t.Half:
			value = "as top: half of the dish is computed"
		}
	case Settings:
		switch {
		case field.Name == "Cells" && e.f.plane():
			value = strconv.Itoa(geometry.DefaultPlaneCells)
		case field.Name == "CellRatio" && !e.f.plane():
			return
		}
	case Food:
		value, from = e.absentOfFood(&t, field.Name, value)
	case Layer:
		switch field.Name {
		case "Name":
			value, from = t.Food, "default: the food"
		case "Start":
			value, from = shown(reflect.ValueOf(e.f.Start)), "default: start of the "+e.line("start")
		case "Film":
			if !e.f.moist() {
				return
			}
		}
	case Stage:
		switch field.Name {
		case "Limit":
			value = fmt.Sprintf("%s s", digits6(t.limit()))
			from = "default: 48 h beyond any time in until"
		case "Brush":
			if !e.f.moist() {
				return
			}
		}
	case Medium:
		value, from = e.absentOfMedium(&t, field.Name)
	case Appliance:
		value, from = e.absentOfAppliance(&t, field.Name)
	case Tray:
		if field.Name == "Covered" {
			value, from = digits6(e.f.slabArea())+" m²", "default: the area of the slab"
		}
	case Condition:
		if field.Name == "At" && t.Above == "" && t.Below == "" || field.Name == "Patch" && t.FluidAbove == "" && t.FluidBelow == "" {
			return
		}
	case Graded:
		if field.Name == "Scale" {
			s, _ := scaleOf(e.f.kindOf(t.Layer), "")
			value, from = s.Name, "default: the first of what the layer is judged as; "+s.Source
		}
	}
	if value == "" {
		return
	}
	if e.f.lines[key] > 0 { // a zero that stands in the file
		from = e.line(key)
	}
	e.add(key, value, from)
}

// limit is the default of a stage's limit [s].
func (s *Stage) limit() float64 {
	return min(s.Until.longest()+48*3600, 400*86400)
}

// longest is the longest time in a condition [s].
func (c *Condition) longest() float64 {
	t := si(c.Time)
	for _, x := range slices.Concat(c.Any, c.All) {
		t = max(t, x.longest())
	}
	return t
}

// outermostSurface is the part of the surface that is meant where none is named.
const outermostSurface = "the outermost surface, of a slab, roll section, bar or tray its top"

// defaults are what stands for fields that are not given, but for those that follow from
// other things. Where nothing stands for a field it has no entry.
var defaults = map[string]string{
	"Shape.Length":             "1 m",
	"Shape.Area":               "1 m²",
	"Shape.ContactWidth":       "none: it lies on nothing",
	"Shape.Bottom":             "bare: all layers show there",
	"Shape.Top":                "bare: all layers show there",
	"Shape.Half":               "false: all of it is computed",
	"Composition.Water":        "0 %",
	"Composition.Protein":      "0 %",
	"Composition.Fat":          "0 %",
	"Composition.Carbohydrate": "0 %",
	"Composition.Fibre":        "0 %",
	"Composition.Ash":          "0 %",
	"Composition.Salt":         "0 %",
	"Composition.Sugar":        "0 %",
	"Food.Porosity":            "0 %",
	"Food.Structure":           materials.Compact.String(),
	"Food.FatKind":             materials.NoFat.String() + ": all of it liquid",
	"Layer.Contact":            "0 m² K/W",
	"Layer.Cells":              "a share of settings.cells",
	"Layer.Film":               "none",
	"Layer.Rise":               "none: it keeps its thickness",
	"Layer.Joins":              "there from the start",
	"Layer.Leaves":             "stays to the end",
	"Layer.JudgedAs":           "other: by water and temperature alone",
	"Film.Permeance":           "0 kg/(m² s Pa): no vapour passes",
	"Film.Holds":               "0 Pa",
	"Stage.Patches":            "none: the medium is all around",
	"Stage.Brush":              "nothing",
	"Condition.At":             "centre",
	"Condition.Patch":          outermostSurface,
	"Tray.Contact":             digits6(trayContact) + " m² K/W: a guess, from 500 W/(m² K) between bare metal and food",
	"Tray.Start":               "the temperature of the appliance's room",
	"Brush.Temperature":        "20 °C",
	"Brush.Patch":              outermostSurface,
	"Served.At":                "centre",
	"Done.Share":               "100 %",
	"Graded.Share":             "100 %",
	"Colour.Darkest":           "0: as dark as it gets",
	"Safety.Layer":             "every layer, each as a food of these facts",
	"Safety.Food":              notKnown,
	"Safety.Animal":            notKnown,
	"Safety.Stages":            "the whole chain",
	"Safety.Cured":             notKnown,
	"Safety.Fat":               notKnown,
	"Safety.Salt":              notKnown,
	"Safety.WaterActivity":     notKnown,
	"Safety.PH":                notKnown,
	"Safety.Mass":              notKnown,
	"Safety.ReadyToEat":        notKnown,
	"Safety.LabelledIntact":    notKnown,
	"Safety.RoastCooked":       notKnown,
	"Safety.FromRoom":          notKnown,
	"Safety.Oven":              notKnown,
	"Safety.OvenTemperature":   notKnown,
	"Safety.CookEnds":          notKnown,
	"Safety.Thawing":           notKnown,
	"Safety.ThawWater":         notKnown,
	"Report.Units":             "C",
	"Report.Every":             "about twenty lines in all",
	"Report.Places":            "centre, mean of each layer, surface",
	"Report.Charts":            "layers, section",
	"Report.Moments":           "five even ones",
	"Settings.Moisture":        "false: water stays where it is but for the steam that boils off",
	"Settings.Cells":           strconv.Itoa(geometry.DefaultCells),
	"Settings.CellRatio":       "cells alike in size",
	"Settings.Grading":         "graded",
	"Settings.Tolerance":       "0.07 K",
	"Settings.IceCurve":        phasechange.BoundWater.String(),
	"Settings.Pressure":        digits6(phasechange.StandardPressure) + " Pa",
	"Settings.MaxSteps":        "1000000",
	"Settings.MaxStep":         "none amid steady media, 60 s amid others",
	"Settings.Watch":           "nothing",
}

const notKnown = "not known"

// oneLine makes a text fit into a line of a table.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
