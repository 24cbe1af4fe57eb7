package dishfile

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

const folder = "../../testdata/dish-files"

func good(t testing.TB) []string {
	names, err := filepath.Glob(folder + "/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	return names
}

func readFile(t testing.TB, name string) *File {
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	f, err := Read(bytes.NewReader(data), filepath.Base(name))
	require.NoError(t, err)
	return f
}

func TestRoundTrip(t *testing.T) {
	for _, name := range good(t) {
		f := readFile(t, name)
		for _, write := range []func(*File, *bytes.Buffer) error{
			func(f *File, b *bytes.Buffer) error { return f.WriteTOML(b) },
			func(f *File, b *bytes.Buffer) error { return f.WriteJSON(b) },
		} {
			var b bytes.Buffer
			require.NoError(t, write(f, &b))
			again, err := Read(bytes.NewReader(b.Bytes()), "again")
			require.NoError(t, err, b.String())
			again.lines = f.lines // other texts
			assert.Equal(t, f, again)
		}
	}
}

func TestGoodFilesRun(t *testing.T) {
	for _, name := range good(t) {
		f := readFile(t, name)
		outcome, err := f.Simulate(context.Background(), nil)
		require.NoError(t, err, name)
		require.NoError(t, outcome.Stopped, name)
		assert.NotNil(t, outcome.Report)
	}
}

func TestValuesArrive(t *testing.T) {
	f := readFile(t, folder+"/lamb-roll.toml")
	links, err := f.Chain()
	require.NoError(t, err)
	require.Len(t, links, 1)
	d, s := links[0].Dish, links[0].Schedule
	assert.InDelta(t, 0.00635, d.Layers[1].Thickness, 1e-15)
	assert.Equal(t, 2e-9, d.Layers[1].Film.Permeance)
	assert.Equal(t, 2.5, d.Layers[2].Rise.Points[1].Ratio)
	assert.InDelta(t, (425-32)/1.8, s[0].Medium.At(0).Fluid, 1e-12)
	assert.Equal(t, 0.1, s[0].Brush.Mass)
	assert.Equal(t, 3*time.Hour+30*time.Minute, s[2].Limit)
	assert.Equal(t, 15.0, s[2].Medium.At(0).H)
}

// TestBroken compares the faults of each broken file with the text beside it.
func TestBroken(t *testing.T) {
	names, err := filepath.Glob(folder + "/broken/*.toml")
	require.NoError(t, err)
	require.Greater(t, len(names), 20)
	for _, name := range names {
		t.Run(filepath.Base(name), func(t *testing.T) {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			_, err = Read(bytes.NewReader(data), filepath.Base(name))
			require.Error(t, err)
			var faults Faults
			require.ErrorAs(t, err, &faults)
			expected := strings.TrimSuffix(name, ".toml") + ".txt"
			if os.Getenv("UPDATE") != "" {
				require.NoError(t, os.WriteFile(expected, []byte(err.Error()+"\n"), 0o644))
			}
			want, e := os.ReadFile(expected)
			require.NoError(t, e)
			assert.Equal(t, string(want), err.Error()+"\n")
		})
	}
}

func TestHugeFilesAreRefused(t *testing.T) {
	for name, text := range map[string]string{
		"layers":       "version = 1\n" + strings.Repeat("[[layers]]\n", 1_000_000),
		"layers, 1 MB": "version = 1\n" + strings.Repeat("[[layers]]\n", 95_000),
		"stages, 1 MB": "version = 1\n" + strings.Repeat("[[stages]]\n", 95_000),
		"10 MB":        strings.Repeat("# much ado\n", 1_000_000),
		"nested lists": "a = " + strings.Repeat("[", 1_000_000),
		"nested JSON":  strings.Repeat(`{"a":`, 200_000),
		"JSON layers":  `{"version":1,"layers":[` + strings.Repeat("{},", 300_000) + `{}]}`,
		"quotes":       "a = " + strings.Repeat(`"" `, 300_000) + "\n",
		"long word":    "version = 1\nshape = { kind = \"" + strings.Repeat("x", 1_000_000) + "\" }",
		"braces":       "a = [ " + strings.Repeat("{}, ", 9000) + "x ]",
		"dotted keys":  "a" + strings.Repeat(".a", 500_000) + " = 1",
		"dotted table": "[a" + strings.Repeat(".a", 500_000) + "]",
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			_, err := Read(strings.NewReader(text), name)
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			require.Error(t, err)
			assert.Less(t, took, 20*time.Second, "no more than a busy machine takes for what is bounded")
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(100<<20))
			t.Log(took, (after.TotalAlloc-before.TotalAlloc)>>10, "KB", err)
		})
	}
}

// TestWordsAsTyped takes words in any case and spelling; what is written has the listed.
func TestWordsAsTyped(t *testing.T) {
	f, err := Read(strings.NewReader(typedWords), "typed")
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.WriteTOML(&b))
	text := b.String()
	for _, typed := range []string{"Slab", "Center", "CENTER", "Fan", "BATH", "Meat", "Top", "Fiber", "Tchi-geov", "Graded", "Intact-Meat", "BEEF", "Cooking", "Medium-Rare", "SURFACE", "Water-Section", "Steam", "°"} {
		assert.NotContains(t, text, typed)
	}
	for _, word := range []string{"'slab'", "'centre'", "'fan oven'", "'bath'", "'meat'", "top = ", "'fibre-across'", "'Tchigeov'", "'intact meat'", "'beef'",
		"'cooking'", "'medium rare'", "'surface'", "'water section'", "units = 'F'", "name = 'center'", "'Mean of center'"} {
		assert.Contains(t, text, word)
	}
	again, err := Read(&b, "again")
	require.NoError(t, err)
	again.lines = f.lines // another text
	assert.Equal(t, f, again)
	plain := strings.NewReplacer("DEW POINT", "dew point", "Mean of", "mean of", " Deep", " deep") // these hold more than a word
	document, err := tomlData([]byte(plain.Replace(text)))
	require.NoError(t, err)
	assert.NoError(t, compiled(t).Validate(document))
	at, err := Place("Center").Find()
	require.NoError(t, err)
	assert.Equal(t, thermal.Centre(), at)
}

// typedWords is an invented dish whose words are as somebody might type them.
const typedWords = `version = 1
start = "4 C"
shape = { kind = "Slab" }
[[foods]]
name = "mince"
composition = { water = "70 %", protein = "20 %", fat = "10 %" }
structure = "Fiber Across"
[[layers]]
name = "center"
food = "mince"
thickness = "20 mm"
judged_as = "Meat"
[[stages]]
name = "Bake"
medium = { kind = "Fan-Oven", temperature = "200 C", humidity = "DEW POINT 50 C" }
patches = { Top = { kind = "BATH", temperature = "60 C" } }
until = { any = [ { time = "5 min" }, { at = "Center", above = "50 C" }, { at = "Mean of center", above = "60 C" }, { at = "6 mm Deep", above = "60 C" } ] }
[[checks]]
served = { at = "center", from = "5 C", to = "60 C" }
[[checks]]
graded = { layer = "center", scale = "Kitchen Meat", bands = [ "Medium-Rare" ] }
[[safety]]
food = "Intact-Meat"
animal = "BEEF"
rules = [ "Cooking" ]
[report]
units = "°f"
places = [ "CENTER", "SURFACE" ]
charts = [ "Water-Section" ]
[settings]
moisture = true
grading = "Graded"
ice_curve = "tchigeov"
`

// TestListedWordsAreApart: no two words of a list may be one when they are typed.
func TestListedWordsAreApart(t *testing.T) {
	for field, words := range choices() {
		there := map[string]bool{}
		for _, w := range words {
			assert.False(t, there[folded(w)], "%s: %s", field, w)
			there[folded(w)] = true
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"/*.toml", "/broken/*.toml"} {
		names, _ := filepath.Glob(folder + pattern)
		for _, name := range names {
			data, err := os.ReadFile(name)
			require.NoError(f, err)
			f.Add(data)
		}
	}
	f.Add([]byte(smallDish))
	f.Add([]byte(`{"outcome":1,"made_by":{},"dish":` + smallDish + `,"runs":[{"a":1}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Read(bytes.NewReader(data), "fuzz")
		if err != nil {
			var faults Faults
			require.ErrorAs(t, err, &faults)
			return
		}
		again := func(write func(io.Writer) error) *File {
			var b bytes.Buffer
			require.NoError(t, write(&b))
			f, err := Read(bytes.NewReader(b.Bytes()), "again")
			require.NoError(t, err, b.String())
			f.lines = file.lines // another text
			return f
		}
		require.Equal(t, file, again(file.WriteTOML))
		require.Equal(t, file, again(file.WriteJSON))
		require.Equal(t, file, again((&Outcome{File: file}).WriteJSON))
		links, err := file.Chain()
		require.NoError(t, err)
		stages := 0
		for _, l := range links {
			stages += len(l.Stages)
		}
		require.Equal(t, len(file.Stages), stages)
		over, cancel := context.WithCancel(context.Background())
		cancel()
		c := chain{file: file}
		run, err := c.simulate(over, &links[0], nil)
		require.NotNil(t, run, "nothing is left to refuse once a file has been read: %v", err)
	})
}

// TestAsPeopleType: what editors and word processors make of a file.
func TestAsPeopleType(t *testing.T) {
	text := "version = 1\nstart = \"−18 ºC\"\nshape = { kind = \"sphere\" }\n[[layers]]\nfood = \"butter\"\nthickness = \"2 inches\"\n[[stages]]\nmedium = { kind = \"room\", temperature = \"20 C\" }\nuntil = { time = \"1 hour 5 minutes\" }\n"
	f, err := Read(strings.NewReader("\xef\xbb\xbf"+strings.ReplaceAll(text, "\n", "\r\n")), "windows.toml")
	require.NoError(t, err)
	links, err := f.Chain()
	require.NoError(t, err)
	assert.InDelta(t, 0.0508, links[0].Dish.Layers[0].Thickness, 1e-12)
	start, err := f.Start.SI()
	require.NoError(t, err)
	assert.InDelta(t, -18, start, 1e-12)
}
