package thermal

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stefanFlow is the flow by the formula as it stands, h_m first, with the two poles
// taken off as airFilm says.
func stefanFlow(h, surface, fluid, vapour, total, source float64) float64 {
	T := math.Max(-150, math.Min((surface+fluid)/2, 600)) + 273.15
	t := T - 273.15
	rho := total / (airGas * T)
	cp := 1006 + 0.01*t + 4e-4*t*t
	k := 0.02436 + 7.5e-5*t - 2.8e-8*t*t
	d := 2.16e-5 * math.Pow(T/273.15, 1.8) * 101325 / total
	hm := h / (rho * cp * math.Pow(k/(rho*cp)/d, 2.0/3))
	factor := hm * total / (airGas / vapourToAir * T)
	p := math.Max(total, vapour+0.1*total)
	left := p - source
	if left >= 0.01*total {
		return factor * math.Log((p-vapour)/left)
	}
	return factor * (math.Log((p-vapour)/(0.01*total)) + (0.01*total-left)/(0.01*total))
}

// The middle of the tables of air: 20 W/(m² K) at a film of 140 °C. Computed apart
// from this code from a = 3.985e-5, D = 4.549e-5 m²/s, 0.8544 kg/m³: h_m = 0.02524 m/s
// and 1.324e-7 kg/(m² s Pa). Tables of air differ by 1 %: Incropera & DeWitt, table
// A.4 (from memory) has a = 4.06e-5 there.
func TestAirFilmCoefficient(t *testing.T) {
	f := newAirFilm(20, 140, 0, atmosphere)
	c, _ := f.coefficient(140)
	_, small, _ := f.flow(1, 0, c) // thin vapour
	assert.InEpsilon(t, 1.324e-7, small, 0.01)
	assert.InEpsilon(t, 0.02524, small*461.523*413.15, 0.01)

	// it is free of pressure, and the slope is that of the values
	for _, fluid := range []float64{-200, -40, 20, 180, 300, 700, 1000} {
		for _, surface := range []float64{-99, -20, 0, 60, 150, 400} {
			f, g := newAirFilm(20, fluid, 0, atmosphere), newAirFilm(20, fluid, 0, 300e3)
			c, slope := f.coefficient(surface)
			other, _ := g.coefficient(surface)
			assert.Equal(t, c, other)
			above, _ := f.coefficient(surface + 0.01)
			below, _ := f.coefficient(surface - 0.01)
			assert.InDelta(t, (above-below)/0.02, slope, 1e-9*c, "%v %v", surface, fluid)
			assert.Less(t, math.Abs(slope), 1e-4*c, "%v %v", surface, fluid)
		}
	}
}

// Dry air in the tables of Incropera & DeWitt, A.4, at 400 K (from memory): 1014
// J/(kg K), 0.0338 W/(m K); vapour in air at 298 K, A.8: 2.6e-5 m²/s.
func TestAirProperties(t *testing.T) {
	at := 400 - kelvin
	k, _, cp, _ := phasechange.DryAir(at)
	assert.InEpsilon(t, 1014, cp, 0.005)
	assert.InEpsilon(t, 0.0338, k, 0.015)
	assert.InEpsilon(t, 2.6e-5, diffusivityZero*math.Pow(298/kelvin, diffusivityPower), 0.03)
}

type filmCase struct {
	h, fluid, surface, vapour, total, source, resistance float64
}

func drawFilm(rng *rand.Rand) filmCase {
	f := filmCase{h: math.Pow(10, -3+8*rng.Float64()), fluid: -100 + 500*rng.Float64(), surface: -100 + 400*rng.Float64(),
		total: 20e3 + 480e3*rng.Float64()}
	f.vapour = f.total * rng.Float64()
	switch rng.IntN(6) {
	case 0:
		f.vapour = 0
	case 1:
		f.vapour = f.total
	}
	f.source = f.total * 1.2 * rng.Float64()
	if rng.IntN(6) == 0 {
		f.source = f.total * math.Pow(10, -8+10*rng.Float64())
	}
	if rng.IntN(4) > 0 {
		f.resistance = math.Pow(10, 12*rng.Float64())
	}
	return f
}

// The flow meets the formula as it stands, at the pressure at the film's foot.
func TestAirFilmFlow(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for range 20000 {
		k := drawFilm(rng)
		f := newAirFilm(k.h, k.fluid, k.vapour, k.total)
		c, _ := f.coefficient(k.surface)
		m, bySource, byC := f.flow(k.source, k.resistance, c)
		foot := k.source - k.resistance*m
		// what the rounding of the pressures may make of it
		rounding := 1e-15 * (k.source + k.vapour + k.total) * c / f.last
		require.InDelta(t, stefanFlow(k.h, k.surface, k.fluid, k.vapour, k.total, foot), m, 1e-12*math.Abs(m)+rounding, "%+v", k)
		require.True(t, (m > 0) == (k.source > k.vapour) || m == 0, "%+v", k)
		require.Positive(t, bySource)

		// slopes
		d := 1e-5 * (k.total/100 + k.source)
		up, _, _ := f.flow(k.source+d, k.resistance, c)
		down, _, _ := f.flow(math.Max(k.source-d, 0), k.resistance, c)
		require.InDelta(t, (up-down)/(k.source+d-math.Max(k.source-d, 0)), bySource, 3e-3*bySource, "%+v", k)
		up, _, _ = f.flow(k.source, k.resistance, c*(1+1e-5))
		down, _, _ = f.flow(k.source, k.resistance, c*(1-1e-5))
		require.InDelta(t, (up-down)/(2e-5*c), byC, 1e-5*math.Abs(byC)+1e-9*math.Abs(m)/c+1e-9, "%+v", k)
	}
}

// In thin vapour Stefan's flow is plain diffusion; in thick it is stronger.
func TestStefanFlow(t *testing.T) {
	f := newAirFilm(20, 180, 1000, atmosphere)
	c, _ := f.coefficient(60)
	linear := func(p float64) float64 { return c / atmosphere * (p - 1000) }
	m, _, _ := f.flow(1100, 0, c)
	assert.InEpsilon(t, linear(1100), m, 0.011) // 1000 Pa of 101325
	m, _, _ = f.flow(70e3, 0, c)
	assert.InEpsilon(t, math.Log((atmosphere-1000)/(atmosphere-70e3))/(69e3/atmosphere)*linear(70e3), m, 1e-12)
	assert.Greater(t, m, 1.5*linear(70e3))
}

// Covers of growing resistance take ever more of the flow, to nothing.
func TestAirFilmCovered(t *testing.T) {
	f := newAirFilm(20, 180, 1000, atmosphere)
	c, _ := f.coefficient(60)
	last := math.Inf(1)
	for _, resistance := range []float64{0, 1e3, 1e5, 1e7, 1e9, 1e11} {
		m, _, _ := f.flow(20e3, resistance, c)
		assert.Less(t, m, last)
		last = m
	}
	assert.InEpsilon(t, 19e3/1e11, last, 1e-3)
}

// Steam condenses as it does on foods, see airFilm, and stops at the boiling point.
func TestCondensingCoefficient(t *testing.T) {
	for _, c := range []struct{ h, surface, least, most float64 }{
		{5, 25, 250, 5000}, {5, 80, 250, 5000}, {20, 25, 1000, 5000}, {20, 60, 1000, 5000}, {20, 80, 1000, 5000}, {40, 80, 1000, 6000}, {20, 99, 1000, 12000},
	} {
		f := newAirFilm(c.h, 100, atmosphere, atmosphere)
		k, _ := f.coefficient(c.surface)
		p, _ := saturation(c.surface)
		m, _, _ := f.flow(p, 0, k)
		hv, _ := phasechange.VapourEnthalpy(c.surface)
		flux := -m * (hv - 4.19e3*c.surface)
		condensing := flux / (99.974 - c.surface)
		assert.True(t, condensing > c.least && condensing < c.most, "%v W/(m² K) at %+v", condensing, c)
	}
	f := newAirFilm(20, 120, atmosphere, atmosphere)
	m, _, _ := f.flow(atmosphere, 0, 0.01)
	assert.Zero(t, m)
}
