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

// stone is the material of EN 15026:2007, Annex A.2 (see testdata/en-15026), by water
// content w [kg/m³] and temperature.
type stone struct{}

const (
	stoneFull     = 146.0                       // [kg/m³] most water
	stoneScale    = 8e-8                        // [1/Pa]
	stoneTref     = 293.15                      // [K] at which suction and humidity belong together
	stoneGas      = 8.314 / 0.018               // [J/(kg K)]
	stoneHeat     = 1.824e6                     // [J/(m³ K)] dry
	stoneWater    = 4187.0                      // [J/(kg K)] of water
	stoneLatent   = 2.5e6                       // [J/kg]
	stoneSuction  = stoneGas * stoneTref * 1000 // [Pa] over ln of the humidity
	stoneDiffuses = 26.1e-6 / 200               // [m²/s] vapour in the dry stone
)

// suction is the capillary suction [Pa], with its slope [Pa m³/kg].
func (stone) suction(w float64) (p, slope float64) {
	x := math.Pow(stoneFull/w, 1/0.375)
	p = math.Pow(x-1, 0.625) / stoneScale
	return p, -0.625 * p / (x - 1) * x / (0.375 * w)
}

// holds is the water content [kg/m³] at a relative humidity.
func (stone) holds(humidity float64) float64 {
	return stoneFull / math.Pow(1+math.Pow(-stoneScale*stoneSuction*math.Log(humidity), 1.6), 0.375)
}

// diffusivity is that of liquid water [m²/s], K dp/dw.
func (s stone) diffusivity(w float64) float64 {
	_, slope := s.suction(w)
	x := w - 73
	return -slope * math.Exp(-39.2619+x*(0.0704+x*(-1.7420e-4+x*(-2.7953e-6+x*(-1.1566e-7+x*2.5969e-9)))))
}

// set does for the stone what phasechange.Moist does for a food.
func (s stone) set(c *wetCell, u, w float64) {
	c.U, c.W = u, w
	heat := stoneHeat + stoneWater*w
	c.T, c.TU = u/heat, 1/heat
	c.TW = -c.T * stoneWater / heat
	c.K, c.KT, c.KW = 1.5+15.8e-3*w, 0, 15.8e-3
	c.F, c.FT = c.T, 1
	c.A, c.AT, c.AW = s.activity(w)
	const d = 1e-3
	_, _, over := s.activity(w + d)
	c.AWW = (over - c.AW) / d
	ps := phasechange.SaturationPressure(c.T)
	c.P, c.PT, c.PW = c.A*ps, c.A*phasechange.SaturationSlope(c.T, ps), c.AW*ps
	c.Slow = 1 / s.diffusivity(w)
	c.LiquidA, c.LiquidAW, c.LiquidSlow = c.A, c.AW, c.Slow // no ice
	c.DT, c.DW = 0, (s.diffusivity(w+d)*c.Slow-1)/d
	dry := 1 - w/stoneFull
	c.Tight = stoneGas * (c.T + kelvin) / stoneDiffuses * (0.503*dry*dry + 0.497) / dry
	c.Liquid, c.Vapour = stoneWater*c.T, stoneWater*c.T+stoneLatent
	c.Melting = math.Inf(-1)
}

// activity is the relative humidity in the pores, with its slopes by temperature and
// water.
func (s stone) activity(w float64) (a, byT, byW float64) {
	p, slope := s.suction(w)
	a = math.Exp(-p / stoneSuction)
	return a, 0, -a * slope / stoneSuction
}

// stoneBody is a system of the stone: mesh, fluxes, surface balance and linear algebra
// are the library's own.
type stoneBody struct {
	sys           *system
	u, base, work []float64
}

// newStoneBody is 25 m deep, at 20 °C and 50 %, with its surface at 30 °C and 95 %.
func newStoneBody(t testing.TB) *stoneBody {
	t.Helper()
	var d Dish
	for i, l := range []struct {
		thickness float64
		cells     int
	}{{5, 8}, {5, 10}, {5, 15}, {5, 30}, {4, 50}, {0.9, 60}, {0.1, 200}} {
		d.Layers = append(d.Layers, Layer{Name: string(rune('a' + i)), Food: damp(0.1, materials.Isotherm{}, materials.Transport{}),
			Thickness: l.thickness, Cells: l.cells})
	}
	d.Shape, d.Start = geometry.HalfSlab{}, Uniform(20)
	p := fixed(t, d, freely(30, 0.95), Settings{Moisture: true})
	b := &stoneBody{sys: p.sys, u: p.u, base: p.base, work: p.work}
	for i := range b.sys.wet.faces {
		b.sys.wet.faces[i].same = true
	}
	w := stone{}.holds(0.5)
	n := len(b.u) / 2
	for i := range n {
		b.u[i], b.u[n+i] = 20*(stoneHeat+stoneWater*w), w
	}
	return b
}

// assemble is system.assemble with the stone's law in place of the foods'.
func (b *stoneBody) assemble(u []float64) {
	wet := b.sys.wet
	for i := range wet.cells {
		stone{}.set(&wet.cells[i], u[i], u[wet.n+i])
	}
	wet.assemble()
}

// stage finds u = base + d rate(u) by Newton's method.
func (b *stoneBody) stage(t testing.TB, u []float64, d float64) {
	t.Helper()
	s, n := b.sys, b.sys.wet.n
	for range 30 {
		b.assemble(u)
		for i := range u {
			b.work[i] = s.mass[i]*(b.base[i]-u[i]) + d*s.heat[i]
		}
		s.factorSolve(d, b.work)
		var moved float64
		for i := range u {
			u[i] += b.work[i]
		}
		for i := range n { // [K] + [kg/m³]
			moved = math.Max(moved, math.Abs(b.work[i])/stoneHeat+math.Abs(b.work[n+i]))
		}
		if moved < 1e-6 {
			return
		}
	}
	require.Fail(t, "Newton's iteration did not settle")
}

// step is one of h [s] by the L-stable method of second order in two stages
// (Alexander 1977).
func (b *stoneBody) step(t testing.TB, h float64) {
	t.Helper()
	gamma := 1 - 1/math.Sqrt2
	start := append([]float64(nil), b.u...)
	copy(b.base, start)
	b.stage(t, b.u, gamma*h)
	for i := range b.u {
		b.base[i] = start[i] + (1-gamma)/gamma*(b.u[i]-start[i])
	}
	b.stage(t, b.u, gamma*h)
}

// at reads temperature [°C] and water [kg/m³] at a depth [m].
func (b *stoneBody) at(depth float64) (temperature, water float64) {
	cells := b.sys.mesh.Cells
	x := b.sys.mesh.Extent() - depth
	i := 0
	for cells[i+1].Node < x {
		i++
	}
	wet := b.sys.wet.cells
	read := func(a, b float64) float64 { return along(x, cells[i].Node, a, cells[i+1].Node, b) }
	return read(wet[i].T, wet[i+1].T), read(wet[i].W, wet[i+1].W)
}

// EN 15026:2007, Annex A: fluxes of heat, liquid and vapour, the surface balance and
// the coupled linear system against the analytic solution that the standard prints,
// all 19 limits of water content and all 24 of temperature (testdata/en-15026). No food
// has the laws of the standard's material, so that they take the place of phasechange's
// here, and a plain integrator that of the stepper.
func TestMoistureUptakeOfEN15026(t *testing.T) {
	const day = 24 * hour
	water, temperature := solutions(t, "../en-15026/water.csv"), solutions(t, "../en-15026/temperature.csv")
	require.Len(t, water, 19)
	require.Len(t, temperature, 24)
	b := newStoneBody(t)
	now := 0.0
	for _, end := range []float64{7, 30, 365} {
		for now < end*day {
			h := math.Min(math.Max(0.01, 0.06*now), end*day-now)
			b.step(t, h)
			now += h
		}
		b.assemble(b.u)
		b.within(t, water, end, "water [kg/m³]", func(depth float64) float64 { _, w := b.at(depth); return w })
		b.within(t, temperature, end, "temperature [°C]", func(depth float64) float64 { v, _ := b.at(depth); return v })
	}
}

// within holds what is read at depths to the limits of a day.
func (b *stoneBody) within(t *testing.T, limits []row, day float64, what string, read func(depth float64) float64) {
	t.Helper()
	var worst float64
	for _, r := range limits {
		if r.number(t, "day") != day {
			continue
		}
		depth, low, high := r.number(t, "depth"), r.number(t, "low"), r.number(t, "high")
		got := read(depth)
		worst = math.Max(worst, math.Abs(got-(low+high)/2))
		assert.True(t, got >= low && got <= high, "%s after %g d at %g m: %.3f, want %g to %g", what, day, depth, got, low, high)
	}
	t.Logf("%s after %g d: within %.2f of the middle of the limits", what, day, worst)
}

// Water that is taken up from a surface kept at one activity goes with the square root
// of time, and profiles at all times are one curve of x/√t, however the diffusivity
// depends on the water (Boltzmann 1894; Crank 1975, section 7.2, from memory): by the
// whole library, to 0.5 % of the change.
func TestUptakeIsSelfSimilar(t *testing.T) {
	const thickness, first = 0.03, 0.25 * hour
	food := damp(0.08, materials.Isotherm{}, materials.Transport{Diffusivity: 1e-9, HalfMoisture: 0.3})
	air := freely(sorbingTemperature, 0.9)
	run := simulate(t, one(geometry.HalfSlab{}, food, thickness, Uniform(sorbingTemperature)), convecting(air, 64*first), Settings{Cells: 200, Tolerance: 2e-4, Moisture: true, MaxSteps: enoughSteps})
	law := sorption(t, food)
	before, after := food.Density()*0.08, law.Water(0.9)

	// taken up [kg/m²], and the share of the change at a depth [m]
	read := func(seconds float64) (uptake float64, share func(depth float64) float64) {
		s := run.At(duration(seconds))
		cells := s.Cells()
		return s.Water() - run.Water.Start, func(depth float64) float64 {
			x, i := thickness-depth, 0
			for cells[i+1].X < x {
				i++
			}
			w := along(x, cells[i].X, cells[i].Water, cells[i+1].X, cells[i+1].Water)
			return (w*food.Density() - before) / (after - before)
		}
	}
	last, curve := read(64 * first)
	assert.Less(t, curve(0.9*thickness), 1e-6, "as deep as needed")
	var worst, spread float64
	for _, times := range []float64{1, 4, 16} {
		uptake, share := read(times * first)
		worst = math.Max(worst, math.Abs(uptake/last*math.Sqrt(64/times)-1))
		for _, depth := range []float64{0.002, 0.004, 0.006, 0.008, 0.01, 0.013} {
			spread = math.Max(spread, math.Abs(share(depth*math.Sqrt(times/64))-curve(depth)))
		}
	}
	t.Logf("%.3g kg/(m² √s); uptake over √t within %.2f %%, profiles within %.2f %% of the change", last/math.Sqrt(64*first), 100*worst, 100*spread)
	assert.LessOrEqual(t, worst, 5e-3)
	assert.LessOrEqual(t, spread, 5e-3)
}
