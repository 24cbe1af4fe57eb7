package chart

import (
	"fmt"
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// visions turn linear sRGB into what is seen without one kind of cone: Machado,
// Oliveira & Fernandes (2009), IEEE Trans. Vis. Comput. Graph. 15, 1291, the
// matrices of severity 1.0; their figures from memory.
var visions = []struct {
	name   string
	matrix [3][3]float64
}{
	{"full", [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
	{"protanopia", [3][3]float64{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}},
	{"deuteranopia", [3][3]float64{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}},
	{"tritanopia", [3][3]float64{{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}},
}

// lab is a colour as seen, in CIELAB (CIE 15, white D65).
func lab(c color.NRGBA, vision [3][3]float64) (out [3]float64) {
	var in, seen [3]float64
	for i, v := range []uint8{c.R, c.G, c.B} { // IEC 61966-2-1
		if in[i] = float64(v) / 255; in[i] <= 0.04045 {
			in[i] /= 12.92
		} else {
			in[i] = math.Pow((in[i]+0.055)/1.055, 2.4)
		}
	}
	for i := range seen {
		for j := range in {
			seen[i] += vision[i][j] * in[j]
		}
		seen[i] = min(max(seen[i], 0), 1)
	}
	f := func(v float64) float64 {
		if v > 216.0/24389 {
			return math.Cbrt(v)
		}
		return (24389.0/27*v + 16) / 116
	}
	x := f((0.4124*seen[0] + 0.3576*seen[1] + 0.1805*seen[2]) / 0.9505)
	y := f(0.2126*seen[0] + 0.7152*seen[1] + 0.0722*seen[2])
	z := f((0.0193*seen[0] + 0.1192*seen[1] + 0.9505*seen[2]) / 1.089)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

func TestVisions(t *testing.T) {
	for _, v := range visions {
		for _, row := range v.matrix {
			assert.InDelta(t, 1, row[0]+row[1]+row[2], 2e-6, "%s: white and grey stay as they are", v.name)
		}
	}
	white := lab(white, visions[0].matrix)
	assert.InDelta(t, 100, white[0], 0.01)
	red := lab(color.NRGBA{R: 255, A: 255}, visions[0].matrix) // L* a* b* 53.2, 80.1, 67.2, from memory
	assert.InDeltaSlice(t, []float64{53.2, 80.1, 67.2}, red[:], 0.2)
}

// TestPalettesUnderColourBlindness: each step of a palette is lighter (or darker)
// than the one before by a good part of its even share.
func TestPalettesUnderColourBlindness(t *testing.T) {
	for _, v := range visions {
		for _, q := range []Quantity{Temperature, WaterContent, WaterActivity} {
			lightness := func(f float64) float64 { return lab(q.shade(f), v.matrix)[0] }
			whole := lightness(1) - lightness(0)
			least := math.Inf(1)
			for i := range 40 {
				least = min(least, (lightness(float64(i+1)/40)-lightness(float64(i)/40))/whole*40)
			}
			t.Logf("%s, %v: L* goes by %.0f, the smallest of 40 steps is %.2f of the even one", v.name, q, whole, least)
			assert.Greater(t, math.Abs(whole), 60.0, "%s %v", v.name, q)
			assert.Greater(t, least, 0.25, "%s %v", v.name, q)
		}
	}
}

// TestLinesUnderColourBlindness: 25 of CIELAB is seen at a glance also in thin
// lines (guess); dash and marker tell lines apart in any case.
func TestLinesUnderColourBlindness(t *testing.T) {
	for _, v := range visions {
		least, pair := math.Inf(1), ""
		for i, a := range lineColours {
			for k, b := range lineColours[:i] {
				p, q := lab(a, v.matrix), lab(b, v.matrix)
				if d := math.Hypot(math.Hypot(p[0]-q[0], p[1]-q[1]), p[2]-q[2]); d < least {
					least, pair = d, fmt.Sprintf("%d and %d", k, i)
				}
			}
		}
		t.Logf("%s: the nearest colours, %s, are %.1f apart", v.name, pair, least)
		assert.Greater(t, least, 25.0, v.name)
	}
	for i, c := range lineColours { // 3 to 1: WCAG 2.1, 1.4.11
		f := (lab(c, visions[0].matrix)[0] + 16) / 116
		assert.Greater(t, 1.05/(f*f*f+0.05), 3.0, "contrast of colour %d on white", i)
	}
	seen := map[string]bool{}
	for i := range 36 {
		c := look(i, "")
		kind := fmt.Sprint(c.dash, c.marker%len(markers))
		assert.False(t, seen[kind], "line %d looks like another in grey", i)
		seen[kind] = true
	}
}
