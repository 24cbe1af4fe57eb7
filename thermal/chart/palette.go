package chart

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

// lch is a colour of the Oklab space (Ottosson 2020, matrices from memory) by
// lightness [-], chroma [-] and hue [°]. Chroma is lowered until a screen can
// show it, which keeps lightness what it was asked to be.
func lch(lightness, chroma, hue float64) color.NRGBA {
	sin, cos := math.Sincos(hue * math.Pi / 180)
	for ; ; chroma *= 0.97 {
		a, b := chroma*cos, chroma*sin
		l := math.Pow(lightness+0.3963377774*a+0.2158037573*b, 3)
		m := math.Pow(lightness-0.1055613458*a-0.0638541728*b, 3)
		s := math.Pow(lightness-0.0894841775*a-1.2914855480*b, 3)
		rgb := [3]float64{
			4.0767416621*l - 3.3077115913*m + 0.2309699292*s,
			-1.2684380046*l + 2.6097574011*m - 0.3413193965*s,
			-0.0041960863*l - 0.7034186147*m + 1.7076147010*s,
		}
		if chroma < 1e-3 || min(rgb[0], rgb[1], rgb[2]) >= 0 && max(rgb[0], rgb[1], rgb[2]) <= 1 {
			return color.NRGBA{R: encoded(rgb[0]), G: encoded(rgb[1]), B: encoded(rgb[2]), A: 255}
		}
	}
}

// encoded is the sRGB byte of a linear intensity (IEC 61966-2-1).
func encoded(v float64) uint8 {
	v = min(max(v, 0), 1)
	if v <= 0.0031308 {
		v *= 12.92
	} else {
		v = 1.055*math.Pow(v, 1/2.4) - 0.055
	}
	return uint8(math.Round(v * 255))
}

// shade is the colour of a quantity at a fraction f [-] of its range: from dark
// blue through red to pale yellow for temperature, from straw to dark blue for
// water.
func (q Quantity) shade(f float64) color.NRGBA {
	f = min(max(f, 0), 1)
	if q == Temperature {
		return lch(0.24+0.73*f, 0.06+0.13*math.Sin(math.Pi*f), 265+200*f)
	}
	return lch(0.96-0.70*f, 0.04+0.10*math.Sin(math.Pi*f), 95+170*f)
}

var (
	black   = color.NRGBA{A: 255}
	white   = color.NRGBA{R: 255, G: 255, B: 255, A: 255}
	soft    = color.NRGBA{R: 110, G: 110, B: 110, A: 255}
	pale    = color.NRGBA{R: 238, G: 238, B: 238, A: 255}
	unknown = color.NRGBA{R: 150, G: 150, B: 150, A: 255}
)

// lineColours are far apart for every kind of colour vision and stand out from
// white: a search put the least distance of two as high as it would go (see the test).
var lineColours = []color.NRGBA{lch(0.34, 0.20, 284), lch(0.68, 0.17, 60), lch(0.44, 0.20, 175), lch(0.30, 0.12, 320), lch(0.66, 0.07, 94), lch(0.66, 0.18, 243)}

var dashes = [][]vg.Length{nil, {6, 2.5}, {1.5, 2}, {8, 2, 1.5, 2}, {3, 3}, {10, 3}}
