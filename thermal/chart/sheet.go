package chart

import (
	"image/color"
	"math"
	"sync"
	"time"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

var fonts = sync.OnceValue(func() text.Handler {
	return text.Plain{Fonts: font.NewCache(liberation.Collection())}
})

// sheet is what a chart is drawn on. It keeps the box of every text, so that
// tests can see that none covers another.
type sheet struct {
	dc    draw.Canvas
	boxes []vg.Rectangle
	words []string
}

// textKind is a size and a placing. There is no bold: the PDF writer (vgpdf
// v0.17) loses bold fonts.
type textKind struct {
	size   vg.Length
	x, y   float64 // alignment, see write
	turned bool
}

func (k textKind) style() draw.TextStyle {
	f := font.Font{Typeface: "Liberation", Variant: "Sans", Size: k.size}
	s := draw.TextStyle{Color: black, Font: f, Handler: fonts(),
		XAlign: text.XAlignment(k.x), YAlign: text.YAlignment(k.y)}
	if k.turned {
		s.Rotation = math.Pi / 2
	}
	return s
}

// write puts text at a point: x and y of its kind are the parts of its width
// and height, 0 to -1, by which it lies left of and below the point.
func (s *sheet) write(k textKind, p vg.Point, txt string) {
	style := k.style()
	s.dc.FillText(style, p, txt)
	s.boxes = append(s.boxes, style.Rectangle(txt).Add(p))
	s.words = append(s.words, txt)
}

// fitted is txt, shortened with an ellipsis until it is no wider than width.
func fitted(k textKind, txt string, width vg.Length) string {
	style := k.style()
	r := []rune(txt)
	if len(r) > 200 {
		r = r[:200]
		txt = string(r) + "…"
	}
	for len(r) > 0 && style.Width(txt) > width {
		r = r[:len(r)-1]
		txt = string(r) + "…"
	}
	if len(r) == 0 {
		return ""
	}
	return txt
}

func (s *sheet) fill(c color.Color, r vg.Rectangle) {
	s.dc.FillPolygon(c, []vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}})
}

func (s *sheet) line(c color.Color, width vg.Length, dash []vg.Length, pts ...vg.Point) {
	if len(pts) > 1 {
		s.dc.StrokeLines(draw.LineStyle{Color: c, Width: width, Dashes: dash}, pts)
	}
}

var markers = []draw.GlyphDrawer{draw.CircleGlyph{}, draw.SquareGlyph{}, draw.PyramidGlyph{}, draw.RingGlyph{}, draw.BoxGlyph{}, draw.TriangleGlyph{}}

func (s *sheet) mark(c color.Color, kind int, p vg.Point) {
	s.dc.DrawGlyph(draw.GlyphStyle{Color: c, Radius: 2.4, Shape: markers[kind%len(markers)]}, p)
}

// apart moves rising positions to at least gap from each other within lo to hi,
// as little as a pass in each direction can.
func apart(at []vg.Length, gap, lo, hi vg.Length) []vg.Length {
	out := append([]vg.Length(nil), at...)
	for i := range out {
		out[i] = max(out[i], lo)
		if i > 0 {
			out[i] = max(out[i], out[i-1]+gap)
		}
	}
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = min(out[i], hi)
		if i < len(out)-1 {
			out[i] = min(out[i], out[i+1]-gap)
		}
	}
	return out
}

// ticks are about n round values within lo to hi.
func ticks(lo, hi float64, n int, steps ...float64) []float64 {
	step := 0.0
	for _, v := range steps {
		if (hi-lo)/v <= float64(n) {
			step = v
			break
		}
	}
	if step == 0 {
		raw := (hi - lo) / float64(max(n, 1))
		step = math.Pow(10, math.Floor(math.Log10(raw)))
		for _, v := range []float64{1, 2, 5, 10} {
			if step*v >= raw*0.999 {
				step *= v
				break
			}
		}
	}
	var out []float64
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+step*1e-9 && len(out) < 100; k++ {
		out = append(out, k*step)
	}
	return out
}

func duration(seconds float64) time.Duration {
	return time.Duration(math.Round(seconds * float64(time.Second)))
}
