package chart

import (
	"bytes"
	"context"
	"flag"
	"image"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// roll is an invented roll in pastry, from frozen.
var roll = sync.OnceValues(func() (*thermal.Run, error) { return bake(-18) })

func bake(start float64) (*thermal.Run, error) {
	return thermal.Simulate(context.Background(), thermal.Dish{
		Shape: geometry.Cylinder{}, Start: thermal.Uniform(start),
		Layers: []thermal.Layer{
			{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.033},
			{Name: "greens", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 0.006},
			{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.0045},
		}}, thermal.Schedule{
		{Name: "set the crust", Medium: thermal.FanOven(220), Until: thermal.Elapsed(35 * time.Minute)},
		{Name: "door open", Medium: thermal.Room(30), Until: thermal.Elapsed(2 * time.Minute)},
		{Name: "finish", Medium: thermal.FanOven(85), Until: thermal.Elapsed(60 * time.Minute)},
	}, &thermal.Settings{Cells: 80, Moisture: true})
}

func charts(t testing.TB, set *Settings) map[string]*Chart {
	run, err := roll()
	require.NoError(t, err)
	chilled, err := bake(4)
	require.NoError(t, err)
	out := map[string]*Chart{}
	keep := func(name string) func(*Chart, error) {
		return func(c *Chart, err error) {
			require.NoError(t, err)
			out[name] = c
		}
	}
	keep("layers")(Layers(run, Temperature, set))
	keep("layers-water")(Layers(run, WaterContent, set))
	keep("section")(Section(run, Temperature, set))
	keep("section-activity")(Section(run, WaterActivity, set))
	keep("profiles")(Profiles(run, Temperature, nil, set))
	keep("compare")(Compare(Named{"frozen", run}, Named{"chilled", chilled}, Temperature, set))
	return out
}

// TestGolden: the figures allow for another rounding of edges by another
// processor, not for a line that moved.
func TestGolden(t *testing.T) {
	all := charts(t, &Settings{Width: 480, Height: 300})
	for _, name := range []string{"layers", "section", "profiles", "compare"} {
		var b bytes.Buffer
		require.NoError(t, all[name].Write(&b, PNG))
		file := filepath.Join("..", "..", "testdata", "charts", name+".png")
		if *update {
			require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o777))
			require.NoError(t, os.WriteFile(file, b.Bytes(), 0o666))
		}
		golden, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Less(t, len(golden), 60_000, name)
		want, err := png.Decode(bytes.NewReader(golden))
		require.NoError(t, err)
		got, err := png.Decode(&b)
		require.NoError(t, err)
		require.Equal(t, image.Rect(0, 0, 480, 300), got.Bounds())
		far := 0
		for y := range 300 {
			for x := range 480 {
				r, g, b, _ := got.At(x, y).RGBA()
				R, G, B, _ := want.At(x, y).RGBA()
				if math.Abs(float64(r)-float64(R))+math.Abs(float64(g)-float64(G))+math.Abs(float64(b)-float64(B)) > 0x6000 {
					far++
				}
			}
		}
		assert.Less(t, far, 480*300/500, "%s: pixels that differ", name)
	}
}

// TestNoTextCoversAnother, nor leaves the page.
func TestNoTextCoversAnother(t *testing.T) {
	for _, set := range []Settings{{}, {Width: 1600}, {Fahrenheit: true, Height: 1000}, {Height: 360}} {
		for name, c := range charts(t, &set) {
			height := vg.Length(pageWidth * float64(c.settings.Height) / float64(c.settings.Width))
			s := c.drawOn(vgimg.New(pageWidth, height), pageWidth, height)
			require.Greater(t, len(s.boxes), 15, name)
			for i, a := range s.boxes {
				assert.True(t, a.Min.X >= 0 && a.Min.Y >= 0 && a.Max.X <= pageWidth && a.Max.Y <= height, "%s: %q leaves the page", name, s.words[i])
				for k, b := range s.boxes[:i] {
					cover := a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y-1 && b.Min.Y < a.Max.Y-1
					assert.False(t, cover, "%s: %q covers %q", name, s.words[i], s.words[k])
				}
			}
		}
	}
}

// TestGrey: printed in grey, a palette rises (or falls) all the way.
func TestGrey(t *testing.T) {
	for _, q := range []Quantity{Temperature, WaterContent, WaterActivity} {
		grey := func(f float64) float64 {
			c := q.shade(f)
			return 0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B) // ITU-R BT.601
		}
		sign := math.Copysign(1, grey(1)-grey(0))
		for i := range 40 {
			step := sign * (grey(float64(i+1)/40) - grey(float64(i)/40))
			assert.Greater(t, step, 1.0, "%v at %d", q, i)
		}
		assert.Greater(t, math.Abs(grey(1)-grey(0)), 170.0)
	}
}

func TestFormats(t *testing.T) {
	all := charts(t, nil)
	for format, begin := range map[Format]string{PNG: "\x89PNG", SVG: "<?xml", PDF: "%PDF"} {
		for name, c := range all {
			file := filepath.Join(t.TempDir(), name+"."+string(format))
			require.NoError(t, c.Save(file))
			b, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.True(t, bytes.HasPrefix(b, []byte(begin)), "%s %s", name, format)
		}
	}
	for _, width := range []int{800, 1600, 777} {
		var b bytes.Buffer
		require.NoError(t, charts(t, &Settings{Width: width})["layers"].Write(&b, PNG))
		img, err := png.Decode(&b)
		require.NoError(t, err)
		assert.Equal(t, image.Rect(0, 0, width, width*5/8), img.Bounds())
	}
}

func TestBadInput(t *testing.T) {
	run, err := roll()
	require.NoError(t, err)
	for name, f := range map[string]func() (*Chart, error){
		"nil run":     func() (*Chart, error) { return Layers(nil, Temperature, nil) },
		"zero run":    func() (*Chart, error) { return Section(&thermal.Run{}, Temperature, nil) },
		"nil second":  func() (*Chart, error) { return Compare(Named{"a", run}, Named{}, Temperature, nil) },
		"quantity":    func() (*Chart, error) { return Layers(run, 9, nil) },
		"narrow":      func() (*Chart, error) { return Layers(run, 0, &Settings{Width: 10}) },
		"wide":        func() (*Chart, error) { return Layers(run, 0, &Settings{Width: math.MaxInt}) },
		"high":        func() (*Chart, error) { return Layers(run, 0, &Settings{Height: 9999}) },
		"late":        func() (*Chart, error) { return Profiles(run, 0, []time.Duration{99 * time.Hour}, nil) },
		"before":      func() (*Chart, error) { return Profiles(run, 0, []time.Duration{-1}, nil) },
		"too many":    func() (*Chart, error) { return Profiles(run, 0, make([]time.Duration, 7), nil) },
		"nil profile": func() (*Chart, error) { return Profiles(nil, 0, []time.Duration{1}, nil) },
	} {
		c, err := f()
		var input *InputError
		assert.ErrorAs(t, err, &input, name)
		assert.Nil(t, c, name)
	}
	var none *Chart
	assert.Error(t, none.Write(io.Discard, PNG))
	c, err := Layers(run, 0, nil)
	require.NoError(t, err)
	assert.ErrorContains(t, c.Save(filepath.Join(t.TempDir(), "a.gif")), "png, svg or pdf")
}

func BenchmarkChart(b *testing.B) {
	run, err := roll()
	require.NoError(b, err)
	for name, f := range map[string]func() (*Chart, error){
		"layers":  func() (*Chart, error) { return Layers(run, Temperature, nil) },
		"section": func() (*Chart, error) { return Section(run, Temperature, nil) },
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				c, err := f()
				require.NoError(b, err)
				require.NoError(b, c.Write(io.Discard, PNG))
			}
		})
	}
}
