package dishfile

import (
	"context"
	"errors"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// bare has every kind of table, each with no more keys than it needs.
const bare = `version = 1
start = "4 C"
shape = { kind = "cylinder" }
settings = { moisture = true }

[[foods]]
name = "paste"
composition = { water = "60 %", carbohydrate = "40 %" }
[[foods]]
name = "blend"
mix = [ { food = "paste", weight = "1 kg" }, { food = "butter", weight = "1 kg" } ]

[[appliances]]
name = "oven"
preset = "domestic still oven"
tray = { material = "stone", thickness = "1 cm", area = "0.1 m²", covered = "0.02 m²" }
[[appliances]]
name = "pot"
preset = "circulator"

[[layers]]
food = "blend"
thickness = "1 cm"
film = {}
judged_as = "meat"

[[layers]]
food = "puff pastry, raw"
thickness = "3 mm"
rise = { points = [ { temperature = "40 C", ratio = 1 } ] }
judged_as = "dough"

[[stages]]
medium = { kind = "fan oven", temperature = "200 C" }
patches = { side = { kind = "room", temperature = "20 C" } }
until = { above = "50 C" }
brush = { food = "egg, whole, raw", amount = "100 g/m²" }

[[stages]]
medium = { kind = "appliance", appliance = "oven", set_point = "200 C", door = [ { at = "1 min", for = "9 s" } ] }
until = { fluid_above = "150 C" }

[[stages]]
medium = { kind = "appliance", appliance = "pot", off = true }
until = { time = "1 min" }

[[checks]]
served = { from = "40 C", to = "60 C" }
[[checks]]
done = { layer = "blend", from = "40 C", to = "60 C" }
[[checks]]
graded = { layer = "blend", bands = ["rare"] }
[[checks]]
colour = { lightest = 70 }
[[checks]]
rim = { layer = "blend", over = "60 C", most = "1 mm" }
[[checks]]
even = { layer = "blend", most_kelvin = 5 }
[[checks]]
juicy = { layer = "blend", kept = "90 %" }

[[safety]]
rules = ["cooking"]
`

// explained gives the values by key, which must be whole and each there once.
func explained(t *testing.T, f *File) map[string]Value {
	values, err := f.Explain()
	require.NoError(t, err)
	out := map[string]Value{}
	for _, v := range values {
		assert.NotContains(t, out, v.Key)
		assert.NotContains(t, v.Key+v.Value+v.From, "\n")
		assert.NotEmpty(t, v.Value, v.Key)
		assert.NotEmpty(t, v.From, v.Key)
		out[v.Key] = v
	}
	return out
}

// TestExplainTellsAllThatIsGiven: every value of every file, with the line that it is on.
func TestExplainTellsAllThatIsGiven(t *testing.T) {
	for _, name := range good(t) {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		lines := strings.Split(string(data), "\n")
		f := readFile(t, name)
		values := explained(t, f)
		leaves(reflect.ValueOf(*f), "", func(key string, v reflect.Value) {
			if key == "title" || key == "note" {
				return
			}
			if i := strings.LastIndex(key, "["); v.Kind() == reflect.String && i > strings.LastIndex(key, ".") {
				key = key[:i] // texts of a list are one value
			}
			got, ok := values[key]
			if !assert.True(t, ok, "%s: %s", name, key) {
				return
			}
			var line int
			_, err := fmt.Sscanf(got.From, "file, line %d", &line)
			require.NoError(t, err, "%s: %v", name, got)
			last := key[strings.LastIndex(key, ".")+1:]
			assert.Contains(t, lines[line-1], last, "%s: %s", name, key)
			assert.Contains(t, got.Value, strings.Fields(strings.NewReplacer(".0", "").Replace(fmt.Sprint(v.Interface())))[0], key)
		})
	}
}

// leaves visits every value of a file that is given, whatever Explain thinks of it.
func leaves(v reflect.Value, key string, visit func(string, reflect.Value)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			leaves(v.Elem(), key, visit)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				leaves(v.Field(i), below(key, keyOf(f)), visit)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			leaves(v.Index(i), item(key, i), visit)
		}
	case reflect.Map:
		for _, k := range sorted(v) {
			leaves(v.MapIndex(reflect.ValueOf(k)), below(key, k), visit)
		}
	default:
		if !v.IsZero() {
			visit(key, v)
		}
	}
}

// without are the fields that nothing stands for where they are not given.
var without = map[string]string{
	"File.Title": "no number", "File.Note": "no number", "Stage.Name": "no number",
	"File.Foods": "nothing to explain", "File.Checks": "nothing to explain", "File.Safety": "nothing to explain",
	"File.Start":       "then every layer has its own",
	"Food.Mix":         "instead of a composition",
	"Medium.Course":    "instead of a temperature",
	"File.Appliances":  "nothing to explain",
	"Medium.Appliance": "of other kinds", "Medium.SetPoint": "of other kinds", "Medium.Off": "of other kinds", "Medium.Door": "of other kinds",
	"Medium.FanOff": "of other kinds", "Medium.Steam": "of other kinds",
	"appliance.Temperature": "its own", "appliance.Course": "its own", "appliance.H": "its own", "appliance.Emissivity": "its own", "appliance.Walls": "its own",
	"appliance.Humidity": "its own", "appliance.SetPoint": "off", "appliance.Off": "it is not", "appliance.Door": "of an oven", "appliance.FanOff": "of an oven", "appliance.Steam": "of an oven",
	"Appliance.ReadyAt": "instead of a start", "Appliance.Band": "instead of a hysteresis", "Appliance.Mass": "of baths", "Appliance.OpenSurface": "of baths",
	"bath.Hysteresis": "instead of a band", "bath.ReadyAt": "instead of a start", "bath.Volume": "of ovens", "bath.StillH": "of ovens", "bath.Emissivity": "of ovens",
	"bath.Vent": "of ovens", "bath.DoorWidth": "of ovens", "bath.DoorHeight": "of ovens", "bath.Tray": "of ovens",
	"RisePoint.Time": "instead of a temperature",
	"Shape.Area":     "not of a cylinder",
	"Shape.Width":    "not of a cylinder", "Shape.ContactWidth": "not of a cylinder", "Shape.Bottom": "not of a cylinder", "Shape.Top": "not of a cylinder", "Shape.Half": "not of a cylinder",
	"Settings.CellRatio": "not of a cylinder",
	"Safety.Rules":       "needed",
	// exactly one of these
	"Condition.Time": "", "Condition.Above": "", "Condition.Below": "", "Condition.IceGone": "", "Condition.Frozen": "", "Condition.FluidAbove": "", "Condition.FluidBelow": "", "Condition.Patch": "with these two", "Condition.Any": "", "Condition.All": "",
	"Check.Served": "", "Check.Done": "", "Check.Rim": "", "Check.Even": "", "Check.Graded": "", "Check.Colour": "", "Check.Juicy": "",
	"Check.Set": "", "Check.Crisp": "", "Check.Loss": "", "Check.Ready": "", "Check.Thawed": "",
	// a mix has them from its parts, and has no composition of its own
	"mix.Composition": "", "mix.FreezingPoint": "", "mix.BoundWater": "", "mix.Porosity": "", "mix.Structure": "", "mix.FatKind": "",
}

// TestExplainTellsAllThatIsNotGiven: every field that a bare file leaves out has a value
// that stands for it, and says that it is not from the file.
func TestExplainTellsAllThatIsNotGiven(t *testing.T) {
	f := parsed(t, bare)
	values := explained(t, f)
	seen := 0
	var walk func(v reflect.Value, key string)
	walk = func(v reflect.Value, key string) {
		switch v.Kind() {
		case reflect.Pointer:
			walk(v.Elem(), key)
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i), item(key, i))
			}
		case reflect.Map:
			for _, k := range sorted(v) {
				walk(v.MapIndex(reflect.ValueOf(k)), below(key, k))
			}
		case reflect.Struct:
			name := v.Type().Name()
			if x, ok := v.Interface().(Food); ok && len(x.Mix) > 0 {
				name = "mix"
			}
			if x, ok := v.Interface().(Medium); ok && x.Kind == inAppliance {
				name = "appliance"
			}
			if x, ok := v.Interface().(Appliance); ok && x.bath() {
				name = "bath"
			}
			for i := range v.NumField() {
				field := v.Type().Field(i)
				if !field.IsExported() {
					continue
				}
				if x, ok := v.Interface().(Condition); ok && x.Above == "" && field.Name == "At" {
					continue // of what is not in the dish
				}
				k := below(key, keyOf(field))
				if _, none := without[name+"."+field.Name]; given(v.Field(i)) {
					walk(v.Field(i), k)
				} else if sub, ok := map[string]any{"report": Report{}}[k]; ok {
					walk(reflect.ValueOf(sub), k)
				} else if !none {
					seen++
					if assert.Contains(t, values, k, "%s.%s", name, field.Name) {
						assert.False(t, strings.HasPrefix(values[k].From, "file"), "%v", values[k])
					}
				}
			}
		}
	}
	walk(reflect.ValueOf(*f), "")
	assert.Greater(t, seen, 70)
}

// TestEveryTypeIsBare: the bare file has every type of table of a file, so that the test
// above leaves none out. A course and an end have nothing but what they need.
func TestEveryTypeIsBare(t *testing.T) {
	there := map[reflect.Type]bool{reflect.TypeFor[Turn](): true, reflect.TypeFor[End](): true, reflect.TypeFor[Report](): true}
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() {
				walk(v.Elem())
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Map:
			for _, k := range v.MapKeys() {
				walk(v.MapIndex(k))
			}
		case reflect.Struct:
			there[v.Type()] = true
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		}
	}
	walk(reflect.ValueOf(*parsed(t, bare)))
	checked := map[reflect.Type]bool{}
	var types func(x reflect.Type)
	types = func(x reflect.Type) {
		switch x.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Map:
			types(x.Elem())
		case reflect.Struct:
			if checked[x] {
				return
			}
			checked[x] = true
			assert.True(t, there[x], x.Name())
			for f := range x.Fields() {
				types(f.Type)
			}
		}
	}
	types(reflect.TypeFor[File]())
}

// TestDefaultsAreTrue compares what is said of defaults with what runs use.
func TestDefaultsAreTrue(t *testing.T) {
	f := parsed(t, bare)
	values := explained(t, f)
	value := func(key string) string { return values[key].Value }

	links, err := f.Chain()
	require.NoError(t, err)
	schedule := links[0].Schedule
	assert.Equal(t, fmt.Sprintf("%g °C", schedule[0].Brush.Temperature), value("stages[1].brush.temperature"))
	oven := schedule[0].Medium.At(0)
	assert.Equal(t, fmt.Sprintf("%g W/(m² K)", oven.H), value("stages[1].medium.h"))
	assert.Equal(t, fmt.Sprint(oven.Emissivity), value("stages[1].medium.emissivity"))
	assert.Equal(t, oven.Humidity.String(), value("stages[1].medium.humidity"))
	assert.Contains(t, values["stages[1].medium.h"].From, "fan oven: ")

	paste := f.checkFoods(&report{})["paste"]
	assert.Equal(t, fmt.Sprintf("%.4g °C", paste.InitialFreezingPoint()), value("foods[1].freezing_point"))
	assert.Equal(t, "12 %", value("foods[1].bound_water"), "0.3 of 40 % starch")

	// a freezer never thaws the dish: the stage runs into its limit
	g := parsed(t, `version = 1
start = "-18 C"
shape = { kind = "cylinder" }
[[layers]]
food = "butter"
thickness = "1 cm"
[[stages]]
medium = { kind = "freezer", temperature = "-18 C" }
until = { ice_gone = true }
`)
	values = explained(t, g)
	outcome, err := g.Simulate(context.Background(), nil)
	require.NoError(t, err)
	run := outcome.Runs[0]
	var limit *thermal.StageLimitError
	require.ErrorAs(t, outcome.Stopped, &limit)
	assert.Equal(t, fmt.Sprintf("%g s", run.Stages[0].End.Seconds()), value("stages[1].limit"))
	assert.Equal(t, fmt.Sprint(run.Settings.Cells), value("settings.cells"))
	assert.Equal(t, fmt.Sprintf("%g K", run.Settings.Tolerance), value("settings.tolerance"))
	assert.Equal(t, fmt.Sprintf("%g Pa", run.Settings.Pressure), value("settings.pressure"))
	assert.Equal(t, fmt.Sprint(run.Settings.MaxSteps), value("settings.max_steps"))
	assert.Equal(t, geometry.Graded, run.Settings.Grading)
	assert.Equal(t, "graded", value("settings.grading"))
	assert.Equal(t, run.Settings.IceCurve.String(), value("settings.ice_curve"))
	assert.False(t, run.Settings.Moisture)
	assert.InDelta(t, 3.14159265e-4*run.Dish.Layers[0].Food.Density(), run.End().Mass(), 1e-9, "a length of 1 m")
	assert.Equal(t, "1 m", value("shape.length"))
}

// TestExplainFoods: a food of the table, one of the file and a mix say where they are from.
func TestExplainFoods(t *testing.T) {
	values := explained(t, parsed(t, bare))
	butter := materials.MustFind("butter")
	assert.Equal(t, "table of foods: "+butter.Source, values["foods[2].mix[2] composition"].From)
	assert.Equal(t, "foods[1]", values["foods[2].mix[1] composition"].From)
	assert.Equal(t, "water 60 %, carbohydrate 40 %", values["foods[2].mix[1] composition"].Value)
	assert.Equal(t, "computed: foods[2].mix by weight", values["layers[1] composition"].From)
	pastry := materials.MustFind("puff pastry, raw")
	for what, want := range map[string]string{
		"density": fmt.Sprintf("%.4g kg/m³", pastry.Density()), "structure": pastry.Structure.String(),
		"conductivity at 20 °C": fmt.Sprintf("%.4g W/(m K)", pastry.Conductivity(20, pastry.Composition.Water, 0)),
		"freezing point":        fmt.Sprintf("%.4g °C", pastry.InitialFreezingPoint()),
		"kind of fat":           pastry.FatKind.String(),
	} {
		assert.Equal(t, want, values["layers[2] "+what].Value, what)
	}
	transport, given := pastry.WaterTransport()
	assert.False(t, given)
	assert.Contains(t, values["layers[2] permeability to vapour at 25 °C"].From, transport.Source)
	assert.Contains(t, values["layers[2] permeability to vapour at 25 °C"].Value, fmt.Sprintf("%.4g", transport.Permeability))
	assert.Contains(t, values, "layers[1] soak")

	dry := explained(t, readFile(t, folder+"/tray.toml"))
	assert.NotContains(t, dry, "layers[1] soak", "water does not move")
	assert.NotContains(t, dry, "stages[1].medium.humidity")
}

// TestExplainSpecificHeat holds that of a food without fat at 20 °C to its components by
// weight, by their laws of Choi & Okos 1986 (package materials has their source), and asks
// that the one with ice in it says so.
func TestExplainSpecificHeat(t *testing.T) {
	f := parsed(t, `version = 1
start = "20 C"
shape = { kind = "sphere" }
[[foods]]
name = "lean"
composition = { water = "70 %", protein = "20 %", carbohydrate = "10 %" }
[[layers]]
food = "lean"
thickness = "10 mm"
[[stages]]
medium = { kind = "room", temperature = "30 C" }
until = { time = "1 min" }
`)
	values := explained(t, f)
	want := 0.7*materials.Water.SpecificHeat(20) + 0.2*materials.Protein.SpecificHeat(20) + 0.1*materials.Carbohydrate.SpecificHeat(20)
	warm, cold := values["layers[1] specific heat at 20 °C"], values["layers[1] specific heat at -20 °C"]
	assert.Equal(t, fmt.Sprintf("%.4g kJ/(kg K)", want/1e3), warm.Value)
	assert.NotContains(t, warm.From, "ice")
	assert.Contains(t, cold.From, "with the ice that melts")
}

// TestSourcesAreWhole: every kind of medium and every structure has its words.
func TestSourcesAreWhole(t *testing.T) {
	for _, k := range mediumKinds {
		s, ok := mediumSources[k.name]
		assert.Equal(t, k.name != insulated, ok, k.name)
		if k.name != insulated && k.name != custom {
			assert.NotEmpty(t, s.h, k.name)
			assert.NotEmpty(t, s.humidity, k.name)
		}
	}
	assert.Len(t, mediumSources, len(mediumKinds)-1)
	_, err := materials.ParseStructure(materials.Structure(len(conductivityModels)).String())
	var unknown *materials.NameError
	require.True(t, errors.As(err, &unknown))
	assert.Len(t, conductivityModels, len(unknown.Want))
	for _, m := range conductivityModels {
		assert.NotEmpty(t, m)
	}
	for key := range defaults {
		typ, name, _ := strings.Cut(key, ".")
		found := false
		for _, x := range []any{Shape{}, Composition{}, Food{}, Layer{}, Film{}, Stage{}, Condition{}, Brush{}, Tray{}, Served{}, Done{}, Graded{}, Colour{}, Safety{}, Report{}, Settings{}} {
			if reflect.TypeOf(x).Name() == typ {
				_, found = reflect.TypeOf(x).FieldByName(name)
			}
		}
		assert.True(t, found, key)
	}
}

// TestExplainOfAProgram: without a text there are no lines, and a faulty file has its
// faults.
func TestExplainOfAProgram(t *testing.T) {
	f := &File{Version: 1, Start: "4 C", Shape: &Shape{Kind: "sphere"}, Layers: []Layer{{Food: "butter", Thickness: "1 in"}},
		Stages: []Stage{{Medium: &Medium{Kind: "insulated"}, Until: &Condition{Time: "1 min"}}}}
	values := explained(t, f)
	assert.Equal(t, Value{"layers[1].thickness", "1 in = 25.4 mm", "file"}, values["layers[1].thickness"])
	assert.NotContains(t, values, "stages[1].medium.h")
	f.Shape = nil
	_, err := f.Explain()
	var faults Faults
	assert.ErrorAs(t, err, &faults)
}

func TestShown(t *testing.T) {
	for q, want := range map[quantity]string{
		Temp("48 C"): "48 °C", Temp("425 F"): "425 F = 218.333 °C", Length("34 mm"): "34 mm", Length("1/4 in"): "1/4 in = 6.35 mm",
		Time("30 min"): "30 min = 1800 s", Time("90 s"): "90 s", Share("62.5 %"): "62.5 %", Permeance("2e-9 kg/(m² s Pa)"): "2e-9 kg/(m² s Pa)",
		Coefficient("15 W/m2K"): "15 W/(m² K)", Mass("1 lb"): "1 lb = 0.453592 kg", Temp("273.15 K"): "273.15 K = 0 °C",
	} {
		assert.Equal(t, want, shown(reflect.ValueOf(q)))
	}
}
