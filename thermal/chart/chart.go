package chart

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Settings say how a chart looks. The zero value, or nil, is a good default.
type Settings struct {
	Title      string // default (empty): what the chart shows
	Fahrenheit bool   // temperatures in °F; default (false) °C
	Width      int    // of a PNG in pixels, 400 to 4000; default (0) = 800
	Height     int    // in pixels, 0.45 to 1.5 of the width; default (0) = 5/8 of it
}

// Format is a kind of picture.
type Format string

// The formats, named as file names end.
const (
	PNG Format = "png"
	SVG Format = "svg"
	PDF Format = "pdf"
)

// InputError is a fault in what a chart was asked to show.
type InputError struct {
	Field string // such as "width"
	Value any    // what was given
	Want  string // what would be accepted
}

// Error names the field, the value and what would be accepted.
func (e *InputError) Error() string {
	return fmt.Sprintf("chart: %s %v, want %s", e.Field, e.Value, e.Want)
}

// Chart is a chart ready to be written, as often and in as many formats as
// wanted. The functions of this package make one.
type Chart struct {
	settings Settings
	paint    func(*sheet)
}

// pageWidth is the width of the layout. Larger pictures are the same layout at
// a higher resolution, so that what fits once fits at every size.
const pageWidth = 600 // [pt]

// filled checks settings and gives them with their defaults.
func filled(s *Settings) (Settings, error) {
	var out Settings
	if s != nil {
		out = *s
	}
	out.Width = cmp.Or(out.Width, 800)
	if out.Width < 400 || out.Width > 4000 {
		return out, &InputError{"width", out.Width, "400 to 4000 pixels"}
	}
	out.Height = cmp.Or(out.Height, out.Width*5/8)
	if r := float64(out.Height) / float64(out.Width); r < 0.45 || r > 1.5 {
		return out, &InputError{"height", out.Height, fmt.Sprintf("%.0f to %.0f pixels at this width", math.Ceil(0.45*float64(out.Width)), math.Floor(1.5*float64(out.Width)))}
	}
	return out, nil
}

// Save writes the chart to a file, in the format its name ends with. If it fails,
// what was there before stays.
func (c *Chart) Save(file string) error {
	format := Format(strings.ToLower(strings.TrimPrefix(filepath.Ext(file), ".")))
	var b bytes.Buffer
	if err := c.Write(&b, format); err != nil {
		return err
	}
	// Not os.CreateTemp, whose files only their owner can read.
	part := fmt.Sprintf("%s.%016x.part", file, rand.Uint64())
	f, err := os.OpenFile(part, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(b.Bytes())
	if err = cmp.Or(err, f.Close()); err == nil {
		err = os.Rename(part, file)
	}
	if err != nil {
		return errors.Join(err, os.Remove(part))
	}
	return nil
}

// Write writes the chart in a format.
func (c *Chart) Write(w io.Writer, format Format) (err error) {
	if err := c.check(format); err != nil {
		return err
	}
	defer func() {
		if p := recover(); p != nil { // the PDF writer does so if it finds no room for its fonts
			err = fmt.Errorf("chart: %v", p)
		}
	}()
	width := vg.Length(pageWidth)
	height := width * vg.Length(c.settings.Height) / vg.Length(c.settings.Width)
	var canvas vg.CanvasWriterTo
	switch format {
	case SVG:
		canvas = vgsvg.New(width, height)
	case PDF:
		canvas = pdfCanvas{vgpdf.New(width, height)}
	default:
		// Letters are drawn at the image's whole dots to the inch; the rest, nought
		// for widths that are multiples of 25, is a scale.
		dpi := int(math.Round(float64(c.settings.Width) * 72 / pageWidth))
		points := func(pixels int) vg.Length { return vg.Length(float64(pixels) * 72 / float64(dpi)) }
		img := vgimg.NewWith(vgimg.UseDPI(dpi), vgimg.UseWH(points(c.settings.Width), points(c.settings.Height)))
		scale := float64(points(c.settings.Width)) / pageWidth
		img.Scale(scale, scale)
		canvas = pngCanvas{vgimg.PngCanvas{Canvas: img}}
	}
	c.drawOn(canvas, width, height)
	if format != SVG {
		_, err = canvas.WriteTo(w)
		return err
	}
	var b strings.Builder
	if _, err = canvas.WriteTo(&b); err == nil {
		_, err = svgRepair.WriteString(w, b.String())
	}
	return err
}

// pngCanvas keeps figures apart that the font's kerning would push together: the feet of
// two ones touch at small sizes.
type pngCanvas struct{ vgimg.PngCanvas }

// FillString writes text without kerning between ones, which the letter of no width stops.
func (c pngCanvas) FillString(f font.Face, at vg.Point, text string) {
	const noJoiner = "1\u200c1"
	text = strings.ReplaceAll(text, "11", noJoiner)
	c.Canvas.FillString(f, at, strings.ReplaceAll(text, "11", noJoiner)) // the third of three
}

// svgRepair mends what vgsvg v0.17 writes: images must fill their rectangle, are PNG,
// and who lacks the font needs another.
var svgRepair = strings.NewReplacer(
	`<image x=`, `<image preserveAspectRatio="none" x=`,
	`"data:image/jpg;`, `"data:image/png;`,
	`font-family:Liberation Sans;`, `font-family:Liberation Sans,Helvetica,Arial,sans-serif;`,
)

func (c *Chart) check(format Format) error {
	if c == nil || c.paint == nil {
		return &InputError{"chart", "none", "one made by Layers, Section, Profiles or Compare"}
	}
	switch format {
	case PNG, SVG, PDF:
		return nil
	}
	return &InputError{"format", fmt.Sprintf("%q", format), "png, svg or pdf"}
}

func (c *Chart) drawOn(canvas vg.Canvas, width, height vg.Length) *sheet {
	s := &sheet{dc: draw.NewCanvas(canvas, width, height)}
	c.paint(s)
	return s
}
