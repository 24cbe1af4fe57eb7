package thermal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// testdata/wet-surface/steady.csv from whole runs: a thin slab, insulated in the
// middle, in which water moves so readily that its surface stays wet, settles within
// 0.15 K at the temperature at which the heat that comes evaporates what leaves.
func TestWetSlabSettles(t *testing.T) {
	const thickness, latent = 0.003, 2.36e6 // [m], [J/kg] near 55 °C
	food := damp(0.95, materials.Isotherm{}, materials.Transport{Diffusivity: 1e-6})
	half := food.Density() * 0.95 / 2 * thickness * latent // [J/m²] to evaporate half of the water
	var worst float64
	rows := solutions(t, "../wet-surface/steady.csv")
	require.Len(t, rows, 27)
	for _, r := range rows {
		for column, emissivity := range map[string]float64{"convection": 0, "radiation": 0.9} {
			air, want := r.number(t, "air"), r.number(t, column)
			m := Surroundings{Fluid: air, H: r.number(t, "h"), Walls: air, Emissivity: emissivity, Humidity: HumidityRatio(r.number(t, "humidity_ratio"))}
			radiant := emissivity * stefanBoltzmann * (math.Pow(air+kelvin, 4) - math.Pow(want+kelvin, 4))
			end := half / (m.H*(air-want) + radiant)
			run := simulate(t, one(geometry.HalfSlab{}, food, thickness, Uniform(45)), convecting(m, end), Settings{Cells: 20, Moisture: true})
			skin := at(t, run, Skin(), end)
			worst = math.Max(worst, math.Abs(skin-want))
			assert.InDelta(t, want, skin, 0.15, "%v", m)
			assert.InDelta(t, at(t, run, Skin(), 0.8*end), skin, 0.02, "%v: not settled", m)
			assert.InDelta(t, at(t, run, Centre(), end), skin, 0.05, "%v: heat goes inwards", m)
			assert.InDelta(t, 0.5, run.Water.Evaporated/run.Water.Start, 0.05, "%v", m)
		}
	}
	t.Logf("within %.2f K", worst)
}

// dryingAir is the air that the slabs below dry in.
var dryingAir = Surroundings{Fluid: 60, H: 25, Humidity: HumidityRatio(0.01)}

// wetBulbRate is the temperature [°C] at which a wet surface in air settles, and its
// evaporation [kg/(m² s)], from properties of other authors than the library's: air
// at 300 and 350 K and vapour in it, 0.26e-4 m²/s at 298 K, to the power 1.5 of
// temperature, by Incropera & DeWitt, Tables A.4 and A.8; vapour pressure by Magnus's
// formula, heat of vaporisation 2501 - 2.38 t kJ/kg (all from memory).
func wetBulbRate(air Surroundings, ratio float64) (wet, rate float64) {
	const pressure, gas = 101325.0, 461.5
	vapour := pressure * ratio / (0.622 + ratio)
	evaporation := func(ts float64) float64 {
		T := (ts+air.Fluid)/2 + 273.15
		x := (T - 300) / 50
		density, heat, k := 348.4/T, 1007+2*x, 0.0263+0.0037*x
		diffusivity := 0.26e-4 * math.Pow(T/298, 1.5)
		lewis := k / (density * heat * diffusivity)
		hm := air.H / (density * heat * math.Pow(lewis, 2.0/3))
		saturated := 611.2 * math.Exp(17.62*ts/(243.12+ts))
		return hm * pressure / (gas * T) * math.Log((pressure-vapour)/(pressure-saturated))
	}
	wet = bisect(func(ts float64) float64 { return air.H*(air.Fluid-ts) - evaporation(ts)*(2501-2.38*ts)*1e3 }, 5, air.Fluid)
	return wet, evaporation(wet)
}

// In the constant-rate period the surface is wet and at the wet bulb, and water
// leaves at the air film's rate however it moves inside, where, with F the flux, it
// falls as
//
//	w0 - w = F R/D (Fo + (3 x² - 1)/6 - 2/π² Σ (-1)^n/n² exp(-n² π² Fo) cos(n π x))
//
// Crank, The Mathematics of Diffusion (1975), section 4.3.6 (from memory). The rate is
// within 0.5 % of that of wetBulbRate, the water within 0.5 % of its fall.
func TestConstantRatePeriod(t *testing.T) {
	const radius, diffusivity = 0.005, 3e-9
	wet, rate := wetBulbRate(dryingAir, 0.01)
	food := damp(0.9, materials.Isotherm{}, materials.Transport{Diffusivity: diffusivity})
	const second = radius * radius / diffusivity // at Fo 1
	run := simulate(t, one(geometry.HalfSlab{}, food, radius, Uniform(wet)), convecting(dryingAir, 0.5*second), Settings{Cells: 100, Tolerance: 2e-3, Moisture: true})

	got := (run.At(duration(0.1*second)).Water() - run.At(duration(0.4*second)).Water()) / (0.3 * second) / run.model.mesh.Surfaces[0].Area
	t.Logf("%.5e kg/(m² s) at %.2f °C; film's %.5e at %.2f °C, %.2f %%", got, at(t, run, Skin(), 0.4*second), rate, wet, 100*(got/rate-1))
	assert.InEpsilon(t, rate, got, 5e-3)
	assert.InDelta(t, wet, at(t, run, Skin(), 0.4*second), 0.2)

	fall := func(x, fo float64) float64 {
		sum := fo + (3*x*x-1)/6
		sign := -1.0
		for n := 1.0; n < 60; n++ {
			sum -= 2 / (math.Pi * math.Pi) * sign / (n * n) * math.Exp(-n*n*math.Pi*math.Pi*fo) * math.Cos(n*math.Pi*x)
			sign = -sign
		}
		return got * radius / diffusivity * sum
	}
	start := food.Density() * 0.9
	var worst float64
	for _, fo := range []float64{0.05, 0.1, 0.2, 0.35, 0.5} {
		for _, c := range run.At(duration(fo * second)).Cells() {
			w := start - c.Water*food.Density()
			worst = math.Max(worst, math.Abs(w-fall(c.X/radius, fo))/fall(1, fo))
		}
	}
	t.Logf("water within %.3f %% of its fall at the surface", 100*worst)
	assert.LessOrEqual(t, worst, 5e-3)
}

// A slab that dries out: first at the film's rate, then, when the surface is as dry as
// the air lets it become, ever more slowly: the water it still has to lose dies away at
// the rate π² D/(4 R²) (Crank, section 4.3.2, from memory; within 2 %), whatever the
// isotherm.
func TestFallingRatePeriod(t *testing.T) {
	const radius, diffusivity, water = 0.002, 5e-11, 0.5
	wet, rate := wetBulbRate(dryingAir, 0.01)
	food := damp(water, materials.Isotherm{}, materials.Transport{Diffusivity: diffusivity})
	const second = radius * radius / diffusivity // at Fo 1
	run := simulate(t, one(geometry.HalfSlab{}, food, radius, Uniform(wet)), convecting(dryingAir, 2*second), Settings{Cells: 100, Tolerance: 2e-3, Moisture: true})
	area := run.model.mesh.Surfaces[0].Area
	left := func(seconds float64) float64 { return run.At(duration(seconds)).Water() / area }

	first := (left(2) - left(22)) / 20
	t.Logf("at first %.4e kg/(m² s), film's %.4e, %.2f %%", first, rate, 100*(first/rate-1))
	assert.InEpsilon(t, rate, first, 0.01)

	vapour, _, err := dryingAir.Humidity.pressure(dryingAir.Fluid, phasechange.StandardPressure)
	require.NoError(t, err)
	last := sorption(t, food).Water(vapour/phasechange.SaturationPressure(dryingAir.Fluid)) * radius
	for _, fo := range []float64{0.5, 0.8, 1.2, 1.6} {
		const step = 0.2
		slope := math.Log((left(fo*second)-last)/(left((fo+step)*second)-last)) / step
		t.Logf("Fo %g: %.3f of the water left, slope %.4f, %.2f %%", fo, left(fo*second)/left(0), slope, 100*(slope/(math.Pi*math.Pi/4)-1))
		assert.InEpsilon(t, math.Pi*math.Pi/4, slope, 0.02, "Fo %g", fo)
	}
	assert.LessOrEqual(t, run.Water.Relative, 1e-12)
	assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
}
