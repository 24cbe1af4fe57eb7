package chart

import (
	"bytes"
	"compress/zlib"
	"encoding/xml"
	"flag"
	"image"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/thawfront/thermal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgpdf"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

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

// TestSaveLeavesNoPart: a chart that cannot be written leaves the folder as it was.
func TestSaveLeavesNoPart(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "a.png")
	require.NoError(t, os.WriteFile(file, []byte("before"), 0o666))
	broken := &Chart{settings: Settings{Width: 800, Height: 500}, paint: func(*sheet) { panic("no fonts") }}
	assert.ErrorContains(t, broken.Save(file), "no fonts")
	b, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "before", string(b))

	runs, err := roll()
	require.NoError(t, err)
	whole, err := Profiles(runs, Temperature, nil, nil)
	require.NoError(t, err)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "b.png"), 0o777)) // in the way of the new name
	assert.Error(t, whole.Save(filepath.Join(dir, "b.png")))
	assert.Error(t, whole.Save(filepath.Join(dir, "no such folder", "c.png")))
	require.NoError(t, whole.Save(file))
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	var names []string
	for _, f := range left {
		names = append(names, f.Name())
	}
	assert.Equal(t, []string{"a.png", "b.png"}, names)
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
	all := charts(t, &Settings{Width: 400})
	for format, begin := range map[Format]string{PNG: "\x89PNG", SVG: "<?xml", PDF: "%PDF"} {
		for name, c := range all {
			file := filepath.Join(t.TempDir(), name+"."+string(format))
			require.NoError(t, c.Save(file))
			b, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.True(t, bytes.HasPrefix(b, []byte(begin)), "%s %s", name, format)
		}
	}
	run, err := roll()
	require.NoError(t, err)
	for _, width := range []int{800, 1600, 777} {
		var b bytes.Buffer
		c, err := Layers(run, Temperature, &Settings{Width: width})
		require.NoError(t, err)
		require.NoError(t, c.Write(&b, PNG))
		img, err := png.Decode(&b)
		require.NoError(t, err)
		assert.Equal(t, image.Rect(0, 0, width, width*5/8), img.Bounds())
	}
}

// TestSVG: a field fills its plot, which a viewer does only when told so.
func TestSVG(t *testing.T) {
	runs, err := roll()
	require.NoError(t, err)
	c, err := Section(runs, Temperature, &Settings{Title: "<image x=1> & co."})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, c.Write(&b, SVG))
	var svg struct {
		Images []struct {
			Aspect string `xml:"preserveAspectRatio,attr"`
			Data   string `xml:"http://www.w3.org/1999/xlink href,attr"`
		} `xml:"g>image"`
		Texts []struct {
			Style string `xml:"style,attr"`
			Text  string `xml:",chardata"`
		} `xml:"g>text"`
	}
	require.NoError(t, xml.Unmarshal(b.Bytes(), &svg))
	require.Len(t, svg.Images, 2) // the field and the bar of its colours
	for _, img := range svg.Images {
		assert.Equal(t, "none", img.Aspect)
		assert.True(t, strings.HasPrefix(img.Data, "data:image/png;base64,"))
	}
	assert.Equal(t, "<image x=1> & co.", svg.Texts[0].Text)
	assert.Contains(t, svg.Texts[0].Style, "sans-serif")
}

// TestPDF: what vgpdf gets is text in its code page and the field upside down.
func TestPDF(t *testing.T) {
	for text, want := range map[string]string{
		"20 °C, 5 mm²": "20 \xb0C, 5 mm\xb2", "Füllung ½ …": "F\xfcllung \xbd \x85", "50 € “œuf”": "50 \x80 \x93\x9cuf\x94",
		"Žemlovka Ÿ ž": "\x8eemlovka \x9f \x9e", "łosoś, 鮭\x00": "?oso?, ??", "": "",
	} {
		assert.Equal(t, want, codePage(text))
	}
	r8, _, _, a8 := straight{R: 200, A: 45}.RGBA() // vgpdf takes the upper byte of each
	assert.Equal(t, [2]uint32{200, 45}, [2]uint32{r8 >> 8, a8 >> 8})
	img := image.NewNRGBA(image.Rect(0, 0, 1, 2))
	img.SetNRGBA(0, 0, white)
	img.SetNRGBA(0, 1, black)
	canvas := pdfCanvas{vgpdf.New(100, 100)}
	canvas.DrawImage(vg.Rectangle{Max: vg.Point{X: 10, Y: 20}}, img)
	var b bytes.Buffer
	_, err := canvas.WriteTo(&b)
	require.NoError(t, err)
	// Under a page turned over (the second cm), the image's first row, which PDF has at
	// the top of its square, must be the black one.
	doc := b.Bytes()
	start := bytes.Index(doc, []byte("/Subtype /Image"))
	require.Positive(t, start)
	from := start + bytes.Index(doc[start:], []byte("stream\n")) + len("stream\n")
	r, err := zlib.NewReader(bytes.NewReader(doc[from:]))
	require.NoError(t, err)
	rows, err := io.ReadAll(r)
	require.NoError(t, err)
	require.Len(t, rows, 8) // each row its filter and RGB
	assert.Equal(t, []byte{0, 0, 0}, rows[1:4])
}

func TestBadInput(t *testing.T) {
	run, err := roll()
	require.NoError(t, err)
	cold, err := chilled()
	require.NoError(t, err)
	for name, f := range map[string]func() (*Chart, error){
		"nil run":     func() (*Chart, error) { return Layers(nil, Temperature, nil) },
		"zero run":    func() (*Chart, error) { return Section([]*thermal.Run{{}}, Temperature, nil) },
		"nil second":  func() (*Chart, error) { return Compare(Named{"a", run}, Named{}, Temperature, nil) },
		"quantity":    func() (*Chart, error) { return Layers(run, 9, nil) },
		"narrow":      func() (*Chart, error) { return Layers(run, 0, &Settings{Width: 10}) },
		"wide":        func() (*Chart, error) { return Layers(run, 0, &Settings{Width: math.MaxInt}) },
		"high":        func() (*Chart, error) { return Layers(run, 0, &Settings{Height: 9999}) },
		"late":        func() (*Chart, error) { return Profiles(run, 0, []time.Duration{99 * time.Hour}, nil) },
		"before":      func() (*Chart, error) { return Profiles(run, 0, []time.Duration{-1}, nil) },
		"too many":    func() (*Chart, error) { return Profiles(run, 0, make([]time.Duration, 7), nil) },
		"no runs":     func() (*Chart, error) { return Layers([]*thermal.Run{}, 0, nil) },
		"nil in it":   func() (*Chart, error) { return Section([]*thermal.Run{run[0], nil}, 0, nil) },
		"zero in it":  func() (*Chart, error) { return Section([]*thermal.Run{run[0], {}}, 0, nil) },
		"begun anew":  func() (*Chart, error) { return Layers([]*thermal.Run{run[0], cold[0]}, 0, nil) },
		"zero Named":  func() (*Chart, error) { return Compare(Named{}, Named{"b", run}, 0, nil) },
		"nil profile": func() (*Chart, error) { return Profiles(nil, 0, []time.Duration{1}, nil) },
	} {
		c, err := f()
		var input *InputError
		assert.ErrorAs(t, err, &input, name)
		assert.Nil(t, c, name)
	}
	_, err = Section([]*thermal.Run{run[0], nil}, 0, nil)
	assert.ErrorContains(t, err, "run 2 of 2")
	var none *Chart
	assert.Error(t, none.Write(io.Discard, PNG))
	c, err := Layers(run, 0, nil)
	require.NoError(t, err)
	assert.ErrorContains(t, c.Save(filepath.Join(t.TempDir(), "a.gif")), "png, svg or pdf")
}
