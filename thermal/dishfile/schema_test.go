package dishfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write schema.json anew")

// TestSchemaIsThatOfTheTypes: go test ./thermal/dishfile -run SchemaIs -update writes it.
func TestSchemaIsThatOfTheTypes(t *testing.T) {
	want := generate(t)
	if *update {
		require.NoError(t, os.WriteFile("schema.json", want, 0o644))
		return
	}
	assert.Equal(t, string(want), string(Schema()), "schema.json is not that of the types: run the test with -update")
	Schema()[0] = 'x'
	assert.Equal(t, byte('{'), Schema()[0], "callers get a copy")
}

// compiled is the schema, which is itself held to the one of schemas.
func compiled(t testing.TB) *jsonschema.Schema {
	document := unmarshal(t, bytes.NewReader(Schema()))
	c := jsonschema.NewCompiler()
	meta, err := c.Compile("https://json-schema.org/draft/2020-12/schema")
	require.NoError(t, err)
	require.NoError(t, meta.Validate(document))
	require.NoError(t, c.AddResource("dish-file.json", document))
	s, err := c.Compile("dish-file.json")
	require.NoError(t, err)
	return s
}

func unmarshal(t testing.TB, r io.Reader) any {
	v, err := jsonschema.UnmarshalJSON(r)
	require.NoError(t, err)
	return v
}

// inJSON are the good files of the tests as WriteJSON writes them.
func inJSON(t testing.TB) map[string]any {
	out := map[string]any{}
	for _, name := range good(t) {
		var b bytes.Buffer
		require.NoError(t, readFile(t, name).WriteJSON(&b))
		out[name] = unmarshal(t, &b)
	}
	var b bytes.Buffer
	all, err := Read(strings.NewReader(everything), "everything")
	require.NoError(t, err)
	require.NoError(t, all.WriteJSON(&b))
	out["everything"] = unmarshal(t, &b)
	return out
}

// everything is a dish file that has nearly all of the keys there are.
const everything = `# Invented data.
version = 1
title = "All keys"
note = "so many"
start = "30 F"
shape = { kind = "slab", area = "0.05 m2" }

[[foods]]
name = "dough"
composition = { water = "40 %", protein = "8 %", fat = "5 %", carbohydrate = "42 %", fibre = "3 %", ash = "2 %", salt = "1 %", sugar = "2 %" }
freezing_point = "-4 C"
bound_water = "12 %"
porosity = "10 %"
structure = "closed-foam"
fat_kind = "milk-fat"

[[foods]]
name = "filling"
mix = [ { food = "beef mince, raw", weight = "1 lb" }, { food = "dough", weight = "2 oz" } ]

[[layers]]
name = "meat"
food = "beef sirloin, raw"
thickness = "1 1/4 in"
start = "277.15 K"
contact = "0.001 m² K/W"
cells = 12
judged_as = "meat"

[[layers]]
name = "between"
food = "filling"
thickness = "5 mm"
film = { permeance = "1e-9 kg/(m² s Pa)", holds = "1 kPa" }
judged_as = "other"

[[layers]]
name = "crust"
food = "dough"
thickness = "4 mm"
rise = { points = [ { time = "5 min", ratio = 1.1 }, { time = "20 min", ratio = 2 } ] }
judged_as = "dough"

[[layers]]
name = "cloth"
food = "butter"
thickness = "1 mm"
start = "4 C"
joins = "coast"
leaves = "bag"

[[appliances]]
name = "oven"
preset = "domestic fan oven"
power = "2 kW"
hysteresis = "15 K"
offset = "-5 K"
h = "18 W/(m² K)"
loss = "4.5 W/K"
room = "22 C"
room_humidity = "40 %"
ready_at = "200 C"
volume = "45 l"
still_h = "8 W/(m² K)"
emissivity = 0.9
vent = "0.8 g/s"
door_width = "400 mm"
door_height = "300 mm"
tray = { material = "carbon steel", thickness = "1.5 mm", area = "1200 cm²", covered = "500 cm²", contact = "0.003 m² K/W", start = "20 C" }

[[appliances]]
name = "pot"
preset = "circulator"
band = "2 K"
start = "85 C"
mass = "10 kg"
open_surface = "700 cm²"

[[stages]]
name = "bake"
medium = { kind = "fan oven", temperature = "200 C", h = "22 W/m2K", emissivity = 0.85, walls = "210 C", humidity = "dew point 40 C" }
patches = { underside = { kind = "plate", temperature = "180 C" }, top = { kind = "still oven", temperature = "200 C", humidity = "ratio 0.03 kg/kg" } }
brush = { food = "egg, whole, raw", amount = "60 g/m²", temperature = "8 C", patch = "top" }
until = { any = [ { time = "25 min" }, { all = [ { at = "50 % into meat", above = "52 C" }, { ice_gone = true } ] } ] }
limit = "1 h"

[[stages]]
name = "rest"
medium = { kind = "custom", temperature = "20 C", h = "8 W/m2/K", humidity = "50 %" }
until = { at = "surface", below = "60 C" }

[[stages]]
name = "coast"
medium = { kind = "still oven", course = [ { time = "0 s", temperature = "80 C" }, { time = "10 min", temperature = "60 C" } ] }
until = { time = "5 min" }

[[stages]]
name = "oven"
medium = { kind = "appliance", appliance = "oven", set_point = "180 C", door = [ { at = "1 min", for = "20 s" } ], fan_off = true, steam = "0.1 g/s" }
patches = { underside = { kind = "tray", appliance = "oven" } }
until = { fluid_above = "150 C", patch = "top" }
limit = "10 min"

[[stages]]
name = "off"
medium = { kind = "appliance", appliance = "pot", off = true }
until = { any = [ { fluid_below = "80 C" }, { time = "5 min" } ] }

[[stages]]
name = "bag"
medium = { kind = "insulated" }
until = { frozen = "1 %" }
limit = "1 min"

[[checks]]
served = { at = "mean of meat", from = "45 C", to = "60 C" }
[[checks]]
done = { layer = "meat", from = "45 C", to = "60 C", share = "50 %" }
[[checks]]
rim = { layer = "meat", over = "65 C", most = "4 mm" }
[[checks]]
even = { layer = "meat", most_kelvin = 20 }
[[checks]]
graded = { layer = "meat", scale = "kitchen meat", bands = ["rare", "medium rare"], share = "30 %" }
[[checks]]
colour = { darkest = 45, lightest = 70 }
[[checks]]
juicy = { layer = "meat", kept = "90 %" }
[[checks]]
set = "crust"
[[checks]]
crisp = "20 %"
[[checks]]
loss = "15 %"
[[checks]]
ready = "1 h"
[[checks]]
thawed = true

[[safety]]
layer = "meat"
food = "intact meat"
animal = "beef"
rules = ["cooking", "food-code-intact-steak"]
stages = ["bake", "rest"]
cured = false
fat = "8 %"
salt = "0.5 %"
water_activity = 0.99
ph = 5.8
mass = "1.5 kg"
ready_to_eat = false
labelled_intact = true
roast_cooked = false
from_room = false
oven = "convection oven"
oven_temperature = "200 C"
cook_ends = "rest"
thawing = "refrigerator"
thaw_water = "15 C"

[report]
units = "F"
every = "2 min"
places = ["centre", "hottest of crust", "6 mm deep"]
charts = ["layers", "water"]
moments = ["0 s", "20 min"]

[settings]
moisture = true
cells = 60
grading = "uniform"
tolerance = 0.1
ice_curve = "Tchigeov"
pressure = "950 hPa"
max_steps = 100000
max_step = "1 min"
watch = [ { at = "coldest of meat", above = "50 C" } ]
`

// tomlData is a TOML text as the data of JSON.
func tomlData(data []byte) (any, error) {
	var table map[string]any
	if err := toml.Unmarshal(data, &table); err != nil {
		return nil, err
	}
	text, err := json.Marshal(table)
	if err != nil {
		return nil, err
	}
	return jsonschema.UnmarshalJSON(bytes.NewReader(text))
}

func TestSchemaTakesGoodFiles(t *testing.T) {
	s := compiled(t)
	for name, document := range inJSON(t) {
		assert.NoError(t, s.Validate(document), name)
	}
	examples, err := filepath.Glob("../../examples/dishes/*.toml")
	require.NoError(t, err)
	for _, name := range append(good(t), examples...) {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		document, err := tomlData(data)
		require.NoError(t, err)
		assert.NoError(t, s.Validate(document), name)
	}
}

// beyondSchema are the broken files whose fault lies between parts of the file, in the
// foods or in the size of a quantity, of which a schema knows nothing.
var beyondSchema = []string{
	"bath-with-fan.toml", "beyond-power.toml", "beyond-the-dish.toml", "composition-sum.toml", "contact-of-no-width.toml", "contact-wider.toml",
	"cool-steam.toml", "door-overlaps.toml", "dry-brush.toml", "end-orders.toml", "ends-of-a-whole.toml", "falling-rise.toml", "fine-tolerance.toml",
	"half-with-bottom.toml", "humid-beyond.toml", "joins-boiling.toml", "joins-inside-a-bar.toml", "joins-inside.toml", "joins-nowhere.toml",
	"joins-without-start.toml", "leaves-at-once.toml", "leaves-before.toml", "limit-too-early.toml", "many-layers.toml", "negative-thickness.toml",
	"never-reached-any.toml", "never-reached-wet.toml", "never-reached.toml", "never-so-hot.toml", "no-start.toml", "no-tray.toml", "not-on-yet.toml",
	"nothing-on.toml", "odd-appliance.toml", "odd-cells.toml", "points-outside.toml", "pressure-in-hpa.toml", "ready-beyond-power.toml",
	"reversed-hysteresis.toml", "rises-in-a-bar.toml", "same-name.toml", "too-many-cells.toml", "too-thick.toml", "two-settings.toml",
	"unknown-appliance.toml", "unknown-end-layer.toml", "unknown-food.toml", "unknown-layer.toml", "until-outside.toml", "unwrapped-contact.toml",
	"wrong-patch.toml",
}

// TestSchemaRefusesBrokenFiles but for those listed, and those that are no TOML.
func TestSchemaRefusesBrokenFiles(t *testing.T) {
	s := compiled(t)
	names, err := filepath.Glob(folder + "/broken/*")
	require.NoError(t, err)
	var unknown, noData []string
	for _, name := range names {
		if filepath.Ext(name) == ".txt" {
			continue
		}
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		read := tomlData
		if filepath.Ext(name) == ".json" {
			read = func(b []byte) (any, error) { return jsonschema.UnmarshalJSON(bytes.NewReader(b)) }
		}
		document, err := read(data)
		if err != nil {
			noData = append(noData, filepath.Base(name))
			continue
		}
		if s.Validate(document) == nil {
			unknown = append(unknown, filepath.Base(name))
		}
	}
	assert.Equal(t, beyondSchema, unknown)
	noData = slices.DeleteFunc(noData, func(name string) bool { return strings.HasPrefix(name, "syntax-") })
	assert.Equal(t, []string{"duplicate-key.toml", "syntax.toml"}, noData)
}

// TestSchemaAgreesWithRead spoils good files at every place, one after the other: what
// the schema refuses Read must refuse, and Read must not refuse for keys, types or what
// is missing in a table what the schema takes.
func TestSchemaAgreesWithRead(t *testing.T) {
	if testing.Short() {
		t.Skip("many files")
	}
	s := compiled(t)
	refused, taken := 0, 0
	for name, document := range inJSON(t) {
		if testing.Short() && name != "everything" {
			continue
		}
		spoil(document, func(what string, structural bool) {
			text, err := json.Marshal(document)
			require.NoError(t, err)
			fault := s.Validate(unmarshal(t, bytes.NewReader(text)))
			_, err = Read(bytes.NewReader(text), "spoilt")
			switch {
			case fault != nil && err == nil:
				t.Errorf("%s, %s: the schema refuses what Read takes: %v", name, what, fault)
			case fault == nil && structural:
				t.Errorf("%s, %s: the schema takes it, Read says %v", name, what, err)
			case fault == nil && err != nil && lacks(err):
				t.Errorf("%s, %s: the schema takes what lacks something: %v", name, what, err)
			case fault != nil:
				refused++
			default:
				taken++
			}
		})
	}
	t.Logf("%d refused by both, %d taken by the schema", refused, taken)
	assert.Greater(t, refused, 100)
	assert.Greater(t, taken, 20)
}

// lacks says whether a file lacks a key of a table, but for a start, which the file or
// the layer may have.
func lacks(err error) bool {
	faults, _ := errors.AsType[Faults](err)
	return slices.ContainsFunc(faults, func(f *Fault) bool { return f.Problem == "missing" && !strings.HasSuffix(f.Key, ".start") })
}

// spoil changes a document at one place after the other, calls try and puts it back.
// A change is structural if no file may have such a thing there.
func spoil(v any, try func(what string, structural bool)) {
	switch v := v.(type) {
	case map[string]any:
		for _, k := range slices.Sorted(maps.Keys(v)) {
			was := v[k]
			delete(v, k)
			try("without "+k, false)
			for _, other := range []any{nil, 3, "", "nonsense", []any{}} {
				v[k] = other
				try(fmt.Sprintf("%s = %#v", k, other), other == nil || other == "" || kindOf(other) != kindOf(was))
			}
			v[k] = was
			spoil(was, func(what string, structural bool) { try(k+": "+what, structural) })
		}
		v["thicknes"] = "6 mm"
		try("an unknown key", true)
		delete(v, "thicknes")
	case []any:
		for i := range v {
			spoil(v[i], func(what string, structural bool) { try(fmt.Sprintf("%d: %s", i+1, what), structural) })
		}
	}
}

// kindOf tells apart text, number, list and so on.
func kindOf(v any) string {
	if _, ok := v.(json.Number); ok {
		return reflect.Int.String()
	}
	if v == nil {
		return ""
	}
	return reflect.TypeOf(v).Kind().String()
}
