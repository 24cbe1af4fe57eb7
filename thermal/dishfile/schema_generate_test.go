package dishfile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
)

// object is a JSON object that keeps the order of its members.
type object []member

type member struct {
	key   string
	value any
}

func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		if slices.ContainsFunc(o[:i], func(before member) bool { return before.key == m.key }) {
			return nil, fmt.Errorf("key %q is there twice", m.key)
		}
		if err := e.Encode(m.key); err != nil {
			return nil, err
		}
		b.WriteByte(':')
		if err := e.Encode(m.value); err != nil {
			return nil, err
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// generator makes the schema from the types, their tags and their comments.
type generator struct {
	t        *testing.T
	comments map[string]string // of types and of 'Type.Field'
	defs     map[string]object
	used     map[string]bool // of the tables below
}

func generate(t *testing.T) []byte {
	g := &generator{t, comments(t), map[string]object{}, map[string]bool{}}
	root := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"$id", fmt.Sprintf("https://example.com/thawfront/dish-file-%d.schema.json", Version)},
		{"title", fmt.Sprintf("Dish file, version %d", Version)},
	}
	root = append(root, g.table(reflect.TypeFor[File]())...)
	var defs object
	for _, name := range slices.Sorted(maps.Keys(g.defs)) {
		defs = append(defs, member{name, g.defs[name]})
	}
	root = append(root, member{"$defs", defs})
	for _, keys := range [][]string{slices.Collect(maps.Keys(choices())), freeTexts, eachOnce, slices.Collect(maps.Keys(mostItems)), slices.Collect(maps.Keys(rules()))} {
		for _, k := range keys {
			require.True(t, g.used[k], "%s is no field or type of a dish file", k)
		}
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	require.NoError(t, e.Encode(root))
	return b.Bytes()
}

// comments reads the comments of the package's types and of their fields.
func comments(t *testing.T) map[string]string {
	out := map[string]string{}
	names, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, name := range names {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments|parser.SkipObjectResolution)
		require.NoError(t, err)
		for _, decl := range file.Decls {
			d, ok := decl.(*ast.GenDecl)
			if !ok || d.Tok != token.TYPE {
				continue
			}
			for _, spec := range d.Specs {
				s := spec.(*ast.TypeSpec)
				doc := s.Doc.Text() + s.Comment.Text()
				if !d.Lparen.IsValid() {
					doc = d.Doc.Text()
				}
				out[s.Name.Name] = inOneLine(doc)
				if fields, ok := s.Type.(*ast.StructType); ok {
					for _, f := range fields.Fields.List {
						for _, n := range f.Names {
							out[s.Name.Name+"."+n.Name] = inOneLine(f.Doc.Text() + f.Comment.Text())
						}
					}
				}
			}
		}
	}
	return out
}

func inOneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// freeTexts may be any text: titles and names.
var freeTexts = []string{"File.Title", "File.Note", "Food.Name", "Part.Food", "Layer.Name", "Layer.Food", "Layer.Joins", "Layer.Leaves", "End.Layer",
	"Stage.Name", "Brush.Food", "Check.Set", "Done.Layer", "Rim.Layer", "Even.Layer", "Graded.Layer", "Juicy.Layer",
	"Appliance.Name", "Medium.Appliance",
	"Safety.Layer", "Safety.Stages", "Safety.CookEnds"}

// mostItems bounds lists.
var mostItems = map[string]int{"File.Layers": geometry.MaxLayers, "Shape.Bottom": geometry.MaxLayers, "Shape.Top": geometry.MaxLayers, "File.Foods": geometry.MaxLayers, "File.Stages": maxStages,
	"Rise.Points": 1000, "Settings.Watch": 100, "Condition.Any": 100, "Condition.All": 100, "File.Checks": maxChecks, "File.Safety": maxChecks,
	"Safety.Rules": maxNames, "Safety.Stages": maxNames, "Report.Moments": maxNames, "Report.Places": maxPlaces, "Medium.Course": maxTurns,
	"File.Appliances": maxAppliances, "Medium.Door": maxOpenings}

// eachOnce are lists in which nothing may be twice.
var eachOnce = []string{"Graded.Bands", "Report.Charts"}

// rules are those of a type on which of its keys go together. A type without any needs
// all fields whose comments name no default.
func rules() map[string]object {
	kind := func(is string) object {
		return object{{"properties", object{{"kind", object{{"const", is}}}}}, {"required", []string{"kind"}}}
	}
	without := func(keys ...string) object {
		var o object
		for _, k := range keys {
			o = append(o, member{k, false})
		}
		return object{{"properties", o}}
	}
	given := func(key string) object { return object{{"required", []string{key}}} }
	filled := func(key string) object {
		return object{{"properties", object{{key, object{{"minItems", 1}}}}}, {"required", []string{key}}}
	}
	yes := func(key string) object {
		return object{{"properties", object{{key, object{{"const", true}}}}}, {"required", []string{key}}}
	}
	kinds := func(key string, of ...string) object {
		return object{{"properties", object{{key, object{{"enum", of}}}}}, {"required", []string{key}}}
	}
	notBoth := func(keys ...string) object { return object{{"not", object{{"required", keys}}}} }
	either := func(of ...object) member { return member{"oneOf", of} }
	var shapes []object
	for _, k := range shapeKinds {
		foreign := slices.DeleteFunc(keysOf(reflect.TypeFor[Shape]()), k.may)
		then := append(without(foreign...), member{"required", append([]string{"kind"}, k.needs...)})
		shapes = append(shapes, object{{"if", kind(k.name)}, {"then", then}})
	}
	return map[string]object{
		"Shape": {{"required", []string{"kind"}}, {"allOf", shapes}},
		"Food": {{"required", []string{"name"}}, either(given("composition"), object{
			{"properties", append(object{{"mix", object{{"minItems", 1}}}},
				without("freezing_point", "bound_water", "porosity", "structure", "fat_kind")[0].value.(object)...)}, {"required", []string{"mix"}}})},
		"RisePoint": {{"required", []string{"ratio"}}, either(given("temperature"), given("time"))},
		"Medium": {{"required", []string{"kind"}}, {"allOf", []object{
			{{"if", kind(insulated)}, {"then", object{{"maxProperties", 1}}}},
			{{"if", kind(onTray)}, {"then", append(given("appliance"), member{"maxProperties", 2})}},
			{{"if", kind(inAppliance)}, {"then", append(append(given("appliance"), either(given("set_point"), yes("off"))),
				without("temperature", "course", "h", "emissivity", "walls", "humidity")...)}},
			{{"if", kinds("kind", insulated, onTray, inAppliance)}, {"else", append(object{either(given("temperature"), filled("course"))},
				without("appliance", "set_point", "off", "door", "fan_off", "steam")...)}},
			{{"if", kind(custom)}, {"then", given("h")}}}}},
		"Appliance": {{"required", []string{"name", "preset"}}, {"if", kinds("preset", bathNames()...)}, {"then", without(ofOvens...)}, {"else", without(ofBaths...)},
			{"allOf", []object{notBoth("start", "ready_at"), notBoth("hysteresis", "band")}}},
		"Condition": {either(given("time"), given("above"), given("below"), given("fluid_above"), given("fluid_below"), yes("ice_gone"), given("frozen"), filled("any"), filled("all")),
			{"dependentSchemas", object{{"at", object{{"anyOf", []object{given("above"), given("below")}}}},
				{"patch", object{{"anyOf", []object{given("fluid_above"), given("fluid_below")}}}}}}},
		"Check": {either(given("served"), given("done"), given("rim"), given("even"), given("graded"), given("colour"), given("juicy"), given("set"),
			given("crisp"), given("loss"), given("ready"), yes("thawed"))},
		"Composition": {},
		"Safety":      {{"allOf", []object{filled("rules")}}},
		"Colour":      given("lightest"),
	}
}

// table is a struct.
func (g *generator) table(t reflect.Type) object {
	own, ruled := rules()[t.Name()]
	var properties object
	var needed []string
	for f := range t.Fields() {
		if !f.IsExported() {
			continue
		}
		name := t.Name() + "." + f.Name
		comment := g.comments[name]
		key, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		require.Equal(g.t, keyOf(f), key, "%s has one key in TOML and another in JSON", name)
		s := g.value(f.Type, name, f.Tag.Get("in"))
		if !strings.Contains(comment, "default") {
			needed = append(needed, key)
			if f.Type.Kind() == reflect.Slice && !ruled {
				s = append(s, member{"minItems", 1})
			}
		}
		if f.Name == "Version" {
			s = object{{"const", Version}}
		}
		if d := description(comment, f); d != "" {
			s = append(object{{"description", d}}, s...)
		}
		properties = append(properties, member{key, s})
	}
	out := object{{"description", g.comments[t.Name()]}, {"type", "object"}, {"properties", properties}, {"additionalProperties", false}}
	if ruled {
		g.used[t.Name()] = true
		return append(out, own...)
	}
	if needed != nil {
		out = append(out, member{"required", needed})
	}
	return out
}

// description is a field's comment, with the range of a quantity, which no keyword of the
// schema can hold it to.
func description(comment string, f reflect.StructField) string {
	t := f.Type
	for t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	q, ok := reflect.Zero(t).Interface().(quantity)
	low, high, limited := strings.Cut(f.Tag.Get("in"), ",")
	if !ok || !limited {
		return comment
	}
	limits := fmt.Sprintf("%s to %s %s", low, high, q.base())
	if comment == "" {
		return limits
	}
	return comment + "; " + limits
}

// value is what stands under a key.
func (g *generator) value(t reflect.Type, field, limits string) object {
	g.used[field] = true
	switch t.Kind() {
	case reflect.Pointer:
		return g.value(t.Elem(), field, limits)
	case reflect.Struct:
		if _, ok := g.defs[t.Name()]; !ok {
			g.defs[t.Name()] = nil // it may hold itself
			g.defs[t.Name()] = g.table(t)
		}
		return object{{"$ref", "#/$defs/" + t.Name()}}
	case reflect.Slice:
		out := object{{"type", "array"}, {"items", g.value(t.Elem(), field, limits)}}
		if most, ok := mostItems[field]; ok {
			out = append(out, member{"maxItems", most})
		}
		if slices.Contains(eachOnce, field) {
			out = append(out, member{"uniqueItems", true})
		}
		return out
	case reflect.Map:
		return object{{"type", "object"}, {"propertyNames", object{{"enum", choices()[field]}}}, {"additionalProperties", g.value(t.Elem(), field, "")}}
	case reflect.Bool:
		return object{{"type", "boolean"}}
	case reflect.Int:
		return append(object{{"type", "integer"}}, g.limits(limits)...)
	case reflect.Float64:
		return append(object{{"type", "number"}}, g.limits(limits)...)
	case reflect.String:
		return g.text(t, field)
	}
	require.Fail(g.t, "no schema for a field", "%s of type %v", field, t)
	return nil
}

func (g *generator) limits(limits string) object {
	lo, hi, ok := strings.Cut(limits, ",")
	if !ok {
		return nil
	}
	low, err := strconv.ParseFloat(lo, 64)
	require.NoError(g.t, err)
	high, err := strconv.ParseFloat(hi, 64)
	require.NoError(g.t, err)
	return object{{"minimum", low}, {"maximum", high}}
}

func (g *generator) text(t reflect.Type, field string) object {
	if t.Name() == "string" {
		if of, ok := choices()[field]; ok {
			return object{{"enum", of}}
		}
		require.Contains(g.t, freeTexts, field, "a text must have its words, or be free")
		return object{{"type", "string"}, {"minLength", 1}}
	}
	pattern, what := g.pattern(t)
	g.defs[t.Name()] = object{{"description", what}, {"type", "string"}, {"pattern", pattern}, {"maxLength", maxText}, {"examples", examples(what)}}
	return object{{"$ref", "#/$defs/" + t.Name()}}
}
