package chart

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

// TestOnesStayApart: between the feet of the ones of "111" there are columns without ink at
// the default width, with kerning there are none.
func TestOnesStayApart(t *testing.T) {
	for _, size := range []vg.Length{tickBelow.size, headText.size} {
		face := textKind{size: size}.style().Font
		gaps := func(draw func(*vgimg.Canvas)) (n int) {
			img := vgimg.NewWith(vgimg.UseDPI(96), vgimg.UseWH(60, 20))
			draw(img)
			b, inked := img.Image().Bounds(), false
			blank := 0
			for x := b.Min.X; x < b.Max.X; x++ {
				ink := false
				for y := b.Min.Y; y < b.Max.Y; y++ {
					r, _, _, _ := img.Image().At(x, y).RGBA()
					ink = ink || r < 0x8000
				}
				if ink && inked && blank > 0 {
					n++
				}
				if ink {
					inked, blank = true, 0
				} else {
					blank++
				}
			}
			return n
		}
		f := fonts().Cache().Lookup(face, size)
		at := vg.Point{X: 10, Y: 8}
		apart := gaps(func(c *vgimg.Canvas) { pngCanvas{vgimg.PngCanvas{Canvas: c}}.FillString(f, at, "111") })
		kerned := gaps(func(c *vgimg.Canvas) { c.FillString(f, at, "111") })
		assert.Equal(t, 2, apart, "%v pt", size)
		assert.Zero(t, kerned, "%v pt: the font no longer needs this", size)
	}
}
