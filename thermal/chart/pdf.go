package chart

import (
	"image"
	"image/color"
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgpdf"
)

// pdfCanvas mends what vgpdf v0.17 draws: it takes text for code page 1252, draws
// images upside down and darkens colours that let others through.
type pdfCanvas struct{ *vgpdf.Canvas }

// SetColor sets the colour of what is drawn next.
func (c pdfCanvas) SetColor(to color.Color) {
	c.Canvas.SetColor(straight(color.NRGBAModel.Convert(to).(color.NRGBA)))
}

// straight gives its parts without the opacity in them, which vgpdf applies itself.
type straight color.NRGBA

// RGBA gives the parts as said.
func (s straight) RGBA() (r, g, b, a uint32) {
	return uint32(s.R) * 0x101, uint32(s.G) * 0x101, uint32(s.B) * 0x101, uint32(s.A) * 0x101
}

// FillString writes text in code page 1252, with ? for letters that it lacks.
func (c pdfCanvas) FillString(f font.Face, at vg.Point, text string) {
	c.Canvas.FillString(f, at, codePage(text))
}

// DrawImage draws an image the right way up.
func (c pdfCanvas) DrawImage(r vg.Rectangle, img image.Image) {
	b := img.Bounds()
	turned := image.NewNRGBA(b)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			turned.Set(x, b.Min.Y+b.Max.Y-1-y, img.At(x, y))
		}
	}
	c.Canvas.DrawImage(r, turned)
}

// beyondLatin are the characters of code page 1252 from 0x80 to 0x9f; a blank is one
// that it does not use.
const beyondLatin = "€ ‚ƒ„…†‡ˆ‰Š‹Œ Ž  ‘’“”•–—˜™š›œ žŸ"

func codePage(text string) string {
	var out strings.Builder
	for _, r := range text {
		code := byte('?')
		if r >= ' ' && r < 0x7f || r >= 0xa0 && r <= 0xff {
			code = byte(r)
		} else {
			place := 0
			for _, other := range beyondLatin {
				if r == other {
					code = byte(0x80 + place)
				}
				place++
			}
		}
		out.WriteByte(code)
	}
	return out.String()
}
