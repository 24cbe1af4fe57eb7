package thermal

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ovenAir(t testing.TB, fluid, h, emissivity float64, humidity Humidity) ambience {
	o := ambience{Surroundings: Surroundings{Fluid: fluid, H: h, Walls: fluid, Emissivity: emissivity}, pressure: atmosphere, permeance: math.Inf(1)}
	var err error
	o.vapour, o.open, err = humidity.pressure(fluid, atmosphere)
	require.NoError(t, err)
	return o
}

func soaked(temp float64) halfCell {
	return halfCell{temp: temp, activity: 1, resistance: math.Inf(1), liquid: 1e6}
}

// A surface that stays wet, and gives no heat inwards, settles where the heat that
// comes is the heat of vaporisation of what leaves: without radiation and with
// walls as hot as the air, emissivity 0.9. The figures are a separate solution of
// that balance, with the Lewis relation, Stefan's flow and other fits of air and
// water: energy balance of psychrometry, as in Incropera & DeWitt, chapter 6.
func TestWetSurfaceTemperature(t *testing.T) {
	ratios := []float64{0.01, 0.03, 0.10}
	for _, c := range []struct {
		air, h float64
		want   [3][2]float64 // [°C] by humidity ratio: without and with radiation
	}{
		{150, 8, [3][2]float64{{41.7, 53.8}, {47.1, 56.9}, {58.9, 64.7}}},
		{150, 20, [3][2]float64{{41.7, 47.5}, {47.1, 51.7}, {58.9, 61.5}}},
		{180, 8, [3][2]float64{{45.1, 59.4}, {49.8, 61.9}, {60.5, 68.3}}},
		{180, 20, [3][2]float64{{45.1, 52.1}, {49.8, 55.6}, {60.5, 64.0}}},
		{180, 40, [3][2]float64{{45.1, 48.9}, {49.8, 52.9}, {60.5, 62.3}}},
		{200, 8, [3][2]float64{{47.1, 62.8}, {51.4, 64.9}, {61.5, 70.6}}},
		{200, 20, [3][2]float64{{47.1, 55.0}, {51.4, 58.0}, {61.5, 65.7}}},
		{220, 8, [3][2]float64{{48.9, 66.1}, {53.0, 67.9}, {62.5, 72.8}}},
		{220, 20, [3][2]float64{{48.9, 57.7}, {53.0, 60.4}, {62.5, 67.3}}},
	} {
		for i, w := range ratios {
			for j, emissivity := range []float64{0, 0.9} {
				o := ovenAir(t, c.air, c.h, emissivity, HumidityRatio(w))
				cell := soaked(20)
				s := newWetSurface()
				require.True(t, s.solve(&cell, &o))
				assert.InDelta(t, c.want[i][j], s.temp, 0.3, "%v °C, %v W/(m² K), %v kg/kg, emissivity %v", c.air, c.h, w, emissivity)
				assert.InDelta(t, 1, s.activity, 1e-6)
				// without heat from or to the node, all energy goes with the liquid
				assert.InEpsilon(t, -s.evaporation*materials.Water.Enthalpy(s.temp), s.energy, 1e-9)
			}
		}
	}
}

// A wet surface without radiation is nearly a wet bulb. Diffusion being faster than
// the spread of heat, Le < 1, it is a little colder than the thermodynamic one: of
// the depression by at most 1/Le^(2/3), which is 10 % for thin vapour.
func TestWetSurfaceIsWetBulb(t *testing.T) {
	rho := atmosphere / (airGas * kelvin)
	k, _, cp, _ := phasechange.DryAir(0)
	lewis := k / (rho * cp * diffusivityZero)
	for _, fluid := range []float64{5, 20, 40} {
		for _, rh := range []float64{0.2, 0.5, 0.9, 1} {
			o := ovenAir(t, fluid, 20, 0, RelativeHumidity(rh))
			air, err := phasechange.HumidAirFromRelativeHumidity(fluid, rh, atmosphere)
			require.NoError(t, err)
			want, err := air.WetBulb()
			require.NoError(t, err)
			if want < 0 {
				continue
			}
			cell := soaked(fluid)
			s := newWetSurface()
			require.True(t, s.solve(&cell, &o))
			fall, depression := fluid-s.temp, fluid-want
			assert.GreaterOrEqual(t, fall, depression-1e-6, "%v °C, %v", fluid, rh)
			assert.LessOrEqual(t, fall, depression*math.Pow(lewis, -2.0/3)+1e-6, "%v °C, %v", fluid, rh)
		}
	}
}

func logUniform(rng *rand.Rand, from, to float64) float64 {
	return from * math.Pow(to/from, rng.Float64())
}

// drawSurface draws from all that is valid, with its ends.
func drawSurface(rng *rand.Rand) (halfCell, ambience) {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	or := func(end, v float64) float64 {
		if rng.IntN(8) == 0 {
			return end
		}
		return v
	}
	c := halfCell{temp: between(-100, 400), activity: or(float64(rng.IntN(2)), rng.Float64()),
		resistance: or(math.Inf(1), logUniform(rng, 1e-12, 1e4)),
		liquid:     or(0, logUniform(rng, 1e-12, 1e6)), vapour: or(0, logUniform(rng, 1e-16, 1e2)), frozen: rng.IntN(5) == 0}
	o := ambience{Surroundings: Surroundings{Fluid: between(-200, 1000), H: or(0, logUniform(rng, 1e-6, 1e5)), Walls: between(-200, 1000), Emissivity: or(0, rng.Float64())},
		pressure: between(20e3, 500e3), open: rng.IntN(12) > 0, permeance: or(math.Inf(1), or(0, logUniform(rng, 1e-14, 1)))}
	if rng.IntN(2) == 0 {
		o.Fluid, o.Walls = between(-100, 400), between(-100, 400)
	}
	o.vapour = or(0, or(o.pressure, o.pressure*rng.Float64()))
	return c, o
}

// drawKitchen draws what foods and kitchens have.
func drawKitchen(rng *rand.Rand) (halfCell, ambience) {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	c := halfCell{temp: between(-30, 130), activity: between(0.2, 1), resistance: logUniform(rng, 1e-5, 0.1),
		liquid: logUniform(rng, 1e-6, 10), vapour: logUniform(rng, 1e-11, 1e-6)}
	c.frozen = c.temp < -1
	fluid := between(-30, 250)
	o := ambience{Surroundings: Surroundings{Fluid: fluid, H: logUniform(rng, 3, 300), Walls: fluid, Emissivity: 0.9},
		pressure: atmosphere, open: true, permeance: math.Inf(1)}
	o.vapour = math.Min(atmosphere, saturatedOver(fluid)) * rng.Float64()
	if rng.IntN(4) == 0 {
		o.permeance = logUniform(rng, 1e-11, 1e-6)
	}
	return c, o
}

// flows are those at a solved surface, from the definitions.
type flows struct {
	heat, conducted, liquid, vapour, latent float64
}

func flowsOf(c *halfCell, o *ambience, s *wetSurface) flows {
	T, W := s.temp+kelvin, o.Walls+kelvin
	f := flows{heat: o.H*(o.Fluid-s.temp) + o.Emissivity*stefanBoltzmann*(W*W*W*W-T*T*T*T),
		conducted: (s.temp - c.temp) / c.resistance}
	if !o.open {
		return f
	}
	hv, _ := phasechange.VapourEnthalpy(s.temp)
	if c.frozen {
		f.liquid = s.evaporation
		f.latent = hv - (materials.Ice.Enthalpy(s.temp) - materials.LatentHeatFusion)
		return f
	}
	node, _ := saturation(c.temp)
	skin, _ := saturation(s.temp)
	f.vapour = c.vapour * (c.activity*node - s.activity*skin)
	f.liquid = c.liquid * (c.activity - s.activity)
	if s.activity == 1 {
		f.liquid = s.evaporation - f.vapour
	}
	if f.latent = hv - materials.Water.Enthalpy(s.temp); s.temp > 300 {
		hv, _ = phasechange.VapourEnthalpy(300)
		f.latent = hv - materials.Water.Enthalpy(300)
	}
	return f
}

// checkBalances holds a solution against the equations, to 1e-10 of what flows and
// what the rounding of their terms may leave.
func checkBalances(t *testing.T, c *halfCell, o *ambience, s *wetSurface) {
	f := flowsOf(c, o, s)
	place := fmt.Sprintf("%+v\n%+v\n%+v", *c, *o, *s)
	const rounding = 1e-13 // and what the last, linear step leaves
	node, _ := saturation(c.temp)
	skin, _ := saturation(s.temp)
	massNoise := rounding * (c.liquid + c.vapour*(node+skin))

	// water: what arrives leaves
	if o.open && !c.frozen && c.liquid+c.vapour*skin > 1e-20 {
		require.InDelta(t, s.evaporation, f.liquid+f.vapour, 1e-10*(math.Abs(f.liquid)+math.Abs(f.vapour))+massNoise, place)
		require.True(t, s.activity >= -1e-12 && s.activity <= 1+1e-12, place)
	}
	// and passes cover and film, both by pressure, from that at the surface
	switch {
	case !o.open, o.H == 0, o.permeance == 0:
		require.Zero(t, s.evaporation, place)
	default:
		p := s.activity * skin
		if c.frozen {
			p, _ = iceSaturation(s.temp)
		} else if c.liquid+c.vapour*skin < 1e-20 {
			break
		}
		foot := p - s.evaporation/o.permeance
		want := stefanFlow(o.H, s.temp, o.Fluid, o.vapour, o.pressure, foot)
		film := newAirFilm(o.H, o.Fluid, o.vapour, o.pressure)
		k, _ := film.coefficient(s.temp)
		steepest := k / film.last
		require.InDelta(t, want, s.evaporation, 1e-10*math.Abs(want)+steepest*(1e-10*math.Abs(p-o.vapour)+10*rounding*(p+o.pressure)), place)
	}
	// heat: what comes is conducted or vaporises
	loss := f.liquid * f.latent
	T := s.temp + kelvin
	steep := o.H + 4*o.Emissivity*stefanBoltzmann*T*T*T + 1/c.resistance
	heatNoise := rounding*(steep*T+o.H*math.Abs(o.Fluid)+o.Emissivity*stefanBoltzmann*math.Pow(o.Walls+kelvin, 4)) + massNoise*math.Abs(f.latent)
	scale := math.Abs(f.heat) + math.Abs(f.conducted) + math.Abs(loss)
	require.InDelta(t, f.heat, f.conducted+loss, 1e-10*scale+10*heatNoise, place)

	// energy: what comes in from outside is what the cell receives
	hv, _ := phasechange.VapourEnthalpy(s.temp)
	hl := hv - f.latent
	receives := f.conducted - f.liquid*hl - f.vapour*hv
	scale += math.Abs(f.liquid*hl) + math.Abs(f.vapour*hv)
	require.InDelta(t, f.heat-s.evaporation*hv, s.energy, 1e-10*scale+10*heatNoise, place)
	if c.frozen || !o.open || c.liquid+c.vapour*skin > 1e-20 {
		require.InDelta(t, receives, s.energy, 1e-10*scale+10*heatNoise+massNoise*math.Abs(hv), place)
	}
}

func TestWetSurfaceBalances(t *testing.T) {
	for name, draw := range map[string]func(*rand.Rand) (halfCell, ambience){"anything": drawSurface, "kitchen": drawKitchen} {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(11, 4))
			for range 20000 {
				c, o := draw(rng)
				s := newWetSurface()
				require.True(t, s.solve(&c, &o), "%+v\n%+v", c, o)
				checkBalances(t, &c, &o, &s)

				// the guess changes nothing, not even a wild one
				again := wetSurface{temp: -150 + 600*rng.Float64()}
				require.True(t, again.solve(&c, &o), "%+v\n%+v", c, o)
				checkBalances(t, &c, &o, &again)
				require.InDelta(t, s.temp, again.temp, 1e-5, "%+v\n%+v", c, o)
			}
		})
	}
}

// Derivatives against central differences; where one-sided differences disagree, a
// kink lies between (dew begins, a property's formula changes).
func TestWetSurfaceDerivatives(t *testing.T) {
	for name, draw := range map[string]func(*rand.Rand) (halfCell, ambience){"anything": drawSurface, "kitchen": drawKitchen} {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(17, 4))
			kinks, n := 0, 5000
			for range n {
				c, o := draw(rng)
				c.activity = 0.001 + 0.998*c.activity // room for the differences
				s := newWetSurface()
				require.True(t, s.solve(&c, &o))
				at := func(dt, da float64) (e, m float64) {
					d := c
					d.temp += dt
					d.activity += da
					r := wetSurface{temp: s.temp}
					require.True(t, r.solve(&d, &o))
					return r.energy, r.evaporation
				}
				smooth := true
				compare := func(e, m, de, dm, step float64, ep, mp, en, mn float64) {
					// what the balance is solved to, over the step
					T := s.temp + kelvin
					rounding := 1e-14 * T * (o.H + 4*o.Emissivity*stefanBoltzmann*T*T*T)
					noiseE := (rounding + 1e-9*(math.Abs(s.energy)+math.Abs(s.evaporation)*2.5e6+o.H*math.Abs(o.Fluid-s.temp))) / step
					noiseM := 1e-9 * math.Abs(s.evaporation) / step
					for _, x := range [][3]float64{{(ep - e) / step, (e - en) / step, noiseE}, {(mp - m) / step, (m - mn) / step, noiseM}} {
						if math.Abs(x[0]-x[1]) > 1e-4*math.Abs(x[0]+x[1])/2+2*x[2] {
							smooth = false
							return
						}
					}
					require.InDelta(t, (ep-en)/(2*step), de, 1e-4*math.Abs(de)+noiseE, "%+v\n%+v\n%+v", c, o, s)
					require.InDelta(t, (mp-mn)/(2*step), dm, 1e-4*math.Abs(dm)+noiseM, "%+v\n%+v\n%+v", c, o, s)
				}
				const dT, dA = 2e-4, 2e-6
				ep, mp := at(dT, 0)
				en, mn := at(-dT, 0)
				compare(s.energy, s.evaporation, s.energyT, s.waterT, dT, ep, mp, en, mn)
				ep, mp = at(0, dA)
				en, mn = at(0, -dA)
				compare(s.energy, s.evaporation, s.energyA, s.waterA, dA, ep, mp, en, mn)
				if !smooth {
					kinks++
				}
			}
			t.Logf("%d of %d at kinks", kinks, n)
			assert.Less(t, kinks, n/50)
		})
	}
}

// Dew forms where the surface is colder than the dew point, and water leaves where it
// is warmer; so does ice by the frost point.
func TestDewAndFrost(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 4))
	for _, frozen := range []bool{false, true} {
		for range 2000 {
			fluid := 1 + 60*rng.Float64()
			if frozen {
				fluid = -40 + 60*rng.Float64()
			}
			dew := fluid - 30*rng.Float64()
			node := dew + 20*(rng.Float64()-0.5)
			if frozen {
				node = math.Min(node, -1)
			} else {
				dew, node = math.Max(dew, 0), math.Max(node, 0)
			}
			o := ovenAir(t, fluid, 5+20*rng.Float64(), 0.9, DewPoint(dew))
			c := soaked(node)
			c.resistance, c.frozen = 0.001, frozen
			s := newWetSurface()
			require.True(t, s.solve(&c, &o))
			if math.Abs(s.temp-dew) > 1e-6 {
				require.Equal(t, s.temp > dew, s.evaporation > 0, "%+v\n%+v\n%+v", c, o, s)
			}
		}
	}
}

// A freezer's food at the air's temperature loses ice to air that is not saturated,
// by the plain law of diffusion, and nothing to air that is.
func TestSublimation(t *testing.T) {
	c := halfCell{temp: -18, activity: 0.85, resistance: 0.001, frozen: true}
	for _, rh := range []float64{0, 0.5, 0.9, 1} {
		o := ovenAir(t, -18, 5, 0.9, RelativeHumidity(rh))
		s := newWetSurface()
		require.True(t, s.solve(&c, &o))
		film := newAirFilm(5, -18, o.vapour, atmosphere)
		k, _ := film.coefficient(-18)
		want := k / atmosphere * (phasechange.SublimationPressure(s.temp) - o.vapour)
		assert.InDelta(t, want, s.evaporation, 2e-3*want+1e-15, "%v", rh)
		assert.LessOrEqual(t, s.temp, -18.0, "%v", rh)
		if rh == 0 {
			// of the order of freezer burn: 0.4 kg/(m² day) in quite dry air (0.1 to 1,
			// common practice, no source)
			assert.InDelta(t, 0.4, s.evaporation*86400, 0.3)
		}
	}
	// thawing in warm moist air draws frost, which brings heat
	o := ovenAir(t, 20, 5, 0.9, RelativeHumidity(0.5))
	s := newWetSurface()
	require.True(t, s.solve(&c, &o))
	assert.Negative(t, s.evaporation)
	assert.InEpsilon(t, 2835e3, (s.energy-o.H*(20-s.temp)-radiation(&o, s.temp))/-s.evaporation+333.6e3, 0.03)
}

func radiation(o *ambience, t float64) float64 {
	T, W := t+kelvin, o.Walls+kelvin
	return o.Emissivity * stefanBoltzmann * (W*W*W*W - T*T*T*T)
}

// Heats of phase change of the steam tables [kJ/kg]: vaporisation 2500.9, 2406.0,
// 2256.4; sublimation 2834.4 at 0 and 2838.9 at -40 °C. The specific heat of supercooled
// water, which enters nothing here, is left aside.
func TestVapourEnthalpy(t *testing.T) {
	for _, c := range []struct{ t, liquid, latent float64 }{{0, 0, 2500.9e3}, {40, 167.5e3, 2406.0e3}, {100, 419.1e3, 2256.4e3}} {
		h, _ := phasechange.VapourEnthalpy(c.t)
		assert.InEpsilon(t, c.liquid+c.latent, h, 2e-3)
	}
	for at, want := range map[float64]float64{0: 2834.4e3, -40: 2838.9e3} {
		h, _ := phasechange.VapourEnthalpy(at)
		assert.InEpsilon(t, want, h-materials.Ice.Enthalpy(at)+materials.LatentHeatFusion, 2e-3)
	}
	h, _ := phasechange.VapourEnthalpy(200)
	assert.InEpsilon(t, 2875.5e3, h, 2e-3, "steam tables, 1 bar")
	for _, at := range []float64{-60, -1, 1, 50, 99, 101, 250} {
		_, slope := phasechange.VapourEnthalpy(at)
		up, _ := phasechange.VapourEnthalpy(at + 0.01)
		down, _ := phasechange.VapourEnthalpy(at - 0.01)
		assert.InEpsilon(t, (up-down)/0.02, slope, 1e-5, "%v", at)
	}
	for _, joint := range []float64{0, 100} {
		up, _ := phasechange.VapourEnthalpy(joint + 1e-9)
		down, _ := phasechange.VapourEnthalpy(joint - 1e-9)
		assert.InDelta(t, up, down, 1e-3)
	}
}

func TestSaturationJoins(t *testing.T) {
	for name, f := range map[string]func(float64) (float64, float64){"water": saturation, "ice": iceSaturation} {
		last := -1.0
		for at := -273.1; at < 900; at += 0.31 {
			p, slope := f(at)
			require.False(t, math.IsNaN(p+slope), "%s at %v", name, at)
			require.GreaterOrEqual(t, p, last, "%s at %v", name, at)
			require.GreaterOrEqual(t, slope, 0.0)
			last = p
		}
		for _, joint := range []float64{-100, 0, 0.01, 0.02, 370} {
			up, _ := f(joint + 1e-9)
			down, _ := f(joint - 1e-9)
			assert.InEpsilon(t, up, down, 1e-9, "%s at %v", name, joint)
		}
	}
}

// A closed surface is that of heat alone.
func TestSealedSurface(t *testing.T) {
	c := halfCell{temp: 40, activity: 0.98, resistance: 0.002, liquid: 0.1, vapour: 1e-7}
	o := ovenAir(t, 200, 20, 0.9, Sealed())
	s := newWetSurface()
	require.True(t, s.solve(&c, &o))
	assert.Zero(t, s.evaporation)
	assert.Zero(t, s.waterT)
	assert.Zero(t, s.waterA)
	assert.Zero(t, s.energyA)
	assert.InEpsilon(t, (s.temp-40)/0.002, s.energy, 1e-12)
	assert.InEpsilon(t, 20*(200-s.temp)+radiation(&o, s.temp), s.energy, 1e-12)
}

// The denser a film, the hotter and the moister is what lies under it, and foil lets
// nothing out.
func TestFilmKeepsMoist(t *testing.T) {
	c := halfCell{temp: 60, activity: 0.98, resistance: 0.002, liquid: 1e-3, vapour: 1e-8}
	o := ovenAir(t, 200, 20, 0.9, HumidityRatio(0.02))
	before := wetSurface{evaporation: math.Inf(1), temp: -300, activity: -1}
	for _, permeance := range []float64{math.Inf(1), 1e-6, 1e-7, 1e-8, 1e-9, 1e-10, 0} {
		o.permeance = permeance
		s := newWetSurface()
		require.True(t, s.solve(&c, &o))
		assert.Less(t, s.evaporation, before.evaporation)
		assert.Greater(t, s.temp, before.temp)
		assert.Greater(t, s.activity, before.activity)
		before = s
	}
	assert.Zero(t, before.evaporation)
}

// On food that draws in next to nothing dew stays at a water activity of 1, and
// what condenses goes into the cell all the same.
func TestDewOnDryFood(t *testing.T) {
	c := halfCell{temp: 5, activity: 0.3, resistance: 0.005, liquid: 1e-9}
	o := ovenAir(t, 25, 8, 0.9, RelativeHumidity(0.7))
	s := newWetSurface()
	require.True(t, s.solve(&c, &o))
	assert.Equal(t, 1.0, s.activity)
	assert.Less(t, s.evaporation, -1e-5)
	dry := c
	dry.liquid = 0
	require.True(t, s.solve(&dry, &o))
	assert.Zero(t, s.evaporation, "without any way in there is no dew")
}

func TestWetSurfaceRefusesNoNumber(t *testing.T) {
	good, air := soaked(20), ovenAir(t, 180, 20, 0.9, HumidityRatio(0.01))
	good.resistance = 0.001
	nan := math.NaN()
	for name, spoil := range map[string]func(c *halfCell, o *ambience){
		"temperature": func(c *halfCell, o *ambience) { c.temp = nan },
		"activity":    func(c *halfCell, o *ambience) { c.activity = nan },
		"liquid":      func(c *halfCell, o *ambience) { c.liquid = nan },
		"vapour":      func(c *halfCell, o *ambience) { c.vapour = nan },
		"resistance":  func(c *halfCell, o *ambience) { c.resistance = nan },
		"permeance":   func(c *halfCell, o *ambience) { o.permeance = nan },
		"fluid":       func(c *halfCell, o *ambience) { o.Fluid = nan },
		"coefficient": func(c *halfCell, o *ambience) { o.H = nan },
		"walls":       func(c *halfCell, o *ambience) { o.Walls = nan },
		"air":         func(c *halfCell, o *ambience) { o.vapour = nan },
		"pressure":    func(c *halfCell, o *ambience) { o.pressure = nan },
	} {
		c, o := good, air
		spoil(&c, &o)
		s := newWetSurface()
		assert.False(t, s.solve(&c, &o), name)
	}
	for _, guess := range []float64{nan, math.Inf(1), -1e9, 1e9} {
		s := wetSurface{temp: guess}
		assert.True(t, s.solve(&good, &air), "guess %v", guess)
	}
}

func BenchmarkWetSurface(b *testing.B) {
	oven := ovenAir(b, 180, 20, 0.9, HumidityRatio(0.02))
	freezer := ovenAir(b, -20, 6, 0.9, RelativeHumidity(0.8))
	covered := oven
	covered.permeance = 1e-8
	closed := ovenAir(b, 180, 20, 0.9, Sealed())
	for name, k := range map[string]struct {
		c halfCell
		o ambience
	}{
		"oven":    {halfCell{temp: 60, activity: 0.98, resistance: 0.0025, liquid: 1e-2, vapour: 1e-8}, oven},
		"covered": {halfCell{temp: 60, activity: 0.98, resistance: 0.0025, liquid: 1e-2, vapour: 1e-8}, covered},
		"freezer": {halfCell{temp: -18, activity: 0.85, resistance: 0.001, frozen: true}, freezer},
		"sealed":  {halfCell{temp: 60, activity: 0.98, resistance: 0.0025}, closed},
	} {
		for _, off := range []float64{0, 0.01, 1} {
			b.Run(fmt.Sprintf("%s, guess off by %g K", name, off), func(b *testing.B) {
				b.ReportAllocs()
				s := newWetSurface()
				s.solve(&k.c, &k.o)
				at := s.temp
				for b.Loop() {
					s.temp = at + off
					if !s.solve(&k.c, &k.o) {
						b.Fatal("no balance")
					}
				}
			})
		}
	}
}
