package oven

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// Something cold on a hot tray, as long as neither is felt at its far side: two bodies of
// effusivities e meet through a contact, b = (1/e1 + 1/e2)/R, and the face of the cold one
// rises by (T1-T2) e1/(e1+e2) [1 - exp(b²t) erfc(b√t)] (Carslaw & Jaeger 1959, chapter 2, the
// half space that gives heat off by a coefficient, put together for two).
func TestContactTemperature(t *testing.T) {
	const k, density, cp = 0.45, 1100, 2900
	food, err := materials.FromSpecificHeat("plain", density, []float64{0, 300}, []float64{cp, cp}, []float64{k, k})
	require.NoError(t, err)
	for _, c := range []struct {
		solid     Solid
		thickness float64
		until     int // [s] a tenth of the way through the tray by diffusion
	}{{Stone, 0.02, 40}, {Stone, 0.05, 120}, {CarbonSteel, 0.02, 3}, {CastIron, 0.05, 18}, {StainlessSteel, 0.01, 2}} {
		for _, contact := range []float64{1e-4, 1e-3, 5e-3} {
			o := Deck()
			o.H, o.Emissivity, c.solid.Emissivity = 0, 0, 0
			o.Tray = &Tray{Solid: c.solid, Thickness: c.thickness, Area: 0.1, Covered: 0.1, Contact: contact, Start: 250}
			dish := thermal.Dish{Shape: geometry.Slab{Area: 0.1}, Start: thermal.Uniform(20), Layers: []thermal.Layer{{Name: "plain", Food: food, Thickness: 0.03}}}
			hot := o.At(250)
			run, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{{Medium: hot, Patches: under(hot.OnTray()), Until: thermal.Elapsed(2 * time.Minute)}}, &thermal.Settings{Cells: 300})
			require.NoError(t, err)
			mine, its := math.Sqrt(c.solid.Conductivity*c.solid.Density*c.solid.HeatCapacity), math.Sqrt(k*density*cp)
			b := (1/mine + 1/its) / contact
			for s := 1; s <= c.until; s++ {
				at := float64(s)
				want := 20 + 230*mine/(mine+its)*(1-late(b*math.Sqrt(at)))
				skin, err := run.Temperature(thermal.SkinOf(geometry.Underside), time.Duration(s)*time.Second)
				require.NoError(t, err)
				// 3 % of the step after a second, as heat goes through the node below within half of one, 1 % after nine
				assert.InDelta(t, want, skin, 230*0.03/math.Sqrt(at), "%s of %g m, contact %g, %d s", c.solid.Name, c.thickness, contact, s)
			}
		}
	}
}

// late is exp(x²) erfc(x).
func late(x float64) float64 {
	if x < 20 {
		return math.Exp(x*x) * math.Erfc(x)
	}
	return 1 / (x * math.Sqrt(math.Pi))
}

// A stone amid hot air warms as the series for a slab says: that of its mean is Σ 2 sin²(x)/(x (x + sin x cos x)) exp(-x² a t/l²), x tan x = Bi (Carslaw & Jaeger
// 1959, chapter 3; Incropera & DeWitt, chapter 5).
func TestStoneWarmsThrough(t *testing.T) {
	for _, thickness := range []float64{0.01, 0.03, 0.1} { // of 0.3 m, with nodes of 60 mm below, 10 % too little after 5 min
		o := DomesticFan().Warmed(200)
		o.H, o.Air, o.Walls = 30, 1e6, 1e8
		o.Tray = &Tray{Solid: Stone, Thickness: thickness, Area: 0.01, Contact: 1, Start: 20}
		o.Tray.Solid.Emissivity = 0
		run := empty(t, stage(o.At(200), time.Hour))
		half := thickness / 2
		biot := o.H * half / Stone.Conductivity
		for _, minutes := range []int{5, 15, 60} {
			left := 0.0
			for n := range 60 {
				low, high := float64(n)*math.Pi, (float64(n)+0.5)*math.Pi
				for range 60 {
					if x := (low + high) / 2; x*math.Tan(x) < biot {
						low = x
					} else {
						high = x
					}
				}
				sin, cos := math.Sincos(low)
				left += 2 * sin * sin / (low * (low + sin*cos)) * math.Exp(-low*low*Stone.Conductivity/(Stone.Density*Stone.HeatCapacity)*float64(minutes*60)/(half*half))
			}
			r := o.Read(run, time.Duration(minutes)*time.Minute)
			mean := o.Tray.stored(r.Tray) / o.Tray.capacity()
			warmed := (mean - 20) / (r.Air - 20)
			t.Logf("%g m, %d min: %.4f, series %.4f", thickness, minutes, warmed, 1-left)
			assert.InEpsilon(t, 1-left, warmed, 0.03, "%g m, %d min", thickness, minutes)
		}
	}
}

// A board of cork amid hot walls and air takes what a half space takes through a coefficient h,
// h ΔT/b² [exp(b²t) erfc(b√t) - 1 + 2b √(t/π)], b = h/√(k ρ c) (Carslaw & Jaeger 1959, chapter
// 2), with that of radiation no less than from the cold board and no more than from a hot one.
func TestInsulatorTakesRadiation(t *testing.T) {
	cork := Solid{"cork board, typical", 0.04, 120, 1800, 0.9}
	for _, hot := range []float64{150, 250, 450} {
		tray := &Tray{Solid: cork, Thickness: 0.05, Area: 1, Covered: 1, Contact: 1}
		state := make([]float64, trayT+tray.nodes())
		for i := range state {
			state[i] = 20
		}
		took, seconds := 0.0, 1800
		for range seconds {
			out := tray.move(state, 10, hot, hot, nil, 0, 1)
			took += out.air + out.walls
		}
		through := func(radiation float64) float64 {
			h := 10 + radiation
			b := h / math.Sqrt(cork.Conductivity*cork.Density*cork.HeatCapacity)
			x := b * math.Sqrt(float64(seconds))
			return h * (hot - 20) / (b * b) * (late(x) - 1 + 2*x/math.Sqrt(math.Pi))
		}
		grey, k := cork.Emissivity*sigma, hot+kelvin
		least, most := through(grey*(fourth(hot)-fourth(20))/(hot-20)), through(4*grey*k*k*k)
		t.Logf("%g °C: %.4g of %.4g to %.4g J", hot, took, least, most)
		assert.True(t, took > least && took < most, "%g °C: %g of %g to %g J", hot, took, least, most)
		assert.InEpsilon(t, tray.stored(state[trayT:])-20*tray.capacity(), took, 1e-9)
	}
}

// What a tray's nodes weigh is the tray, however they are graded, and none is thinner than
// heat goes through in half a second.
func TestTrayNodes(t *testing.T) {
	for _, solid := range []Solid{Aluminium, CarbonSteel, StainlessSteel, CastIron, Stone, Glass, {"wool", 0.02, 100, 1000, 0.9}} {
		for thickness := 1e-4; thickness < 0.5; thickness *= 1.3 {
			tray := &Tray{Solid: solid, Thickness: thickness, Area: 0.1, Contact: 0.01}
			n := tray.nodes()
			require.True(t, n >= 1 && n <= maxNodes)
			thick, sum := tray.thicknesses(), 0.0
			for i := range n {
				sum += thick[i]
				if i > 0 {
					assert.LessOrEqual(t, thick[i], thick[i-1]*(1+1e-9), "%s %g", solid.Name, thickness)
				}
			}
			assert.InEpsilon(t, thickness, sum, 1e-12)
			assert.InEpsilon(t, tray.top(), thick[n-1], 1e-9)
		}
	}
	assert.Equal(t, 1, (&Tray{Solid: CarbonSteel, Thickness: 0.006}).nodes())
	assert.Equal(t, 12, (&Tray{Solid: Stone, Thickness: 0.02}).nodes())
}
