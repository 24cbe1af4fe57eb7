package thermal

import (
	"math"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// halfCell is what lies under a surface: from the node of its cell outwards.
type halfCell struct {
	temp       float64 // [°C] of the node
	activity   float64 // [-] water activity of the node, 0 to 1
	resistance float64 // [m² K/W] to heat, up to the surface and contact included; +Inf: none passes
	liquid     float64 // [kg/(m² s)] conductance for liquid and bound water, by water activity
	vapour     float64 // [kg/(m² s Pa)] conductance for vapour
	frozen     bool    // ice is at hand: it sublimes at the surface itself
}

// ambience is what a surface meets where water may pass.
type ambience struct {
	Surroundings
	vapour    float64 // [Pa] partial pressure in the fluid, 0 to pressure
	pressure  float64 // [Pa] total
	open      bool    // false: no water passes
	permeance float64 // [kg/(m² s Pa)] of a film on the surface; +Inf: none, 0: blocks all
}

// wetSurface is the balance of heat and water at a surface, a square metre of it. Its
// temperature Ts and water activity as follow from
//
//	ml + mv = m                                 [kg/(m² s)]
//	q - (Ts - Tc)/r = ml (hv(Ts) - hl(Ts))      [W/m²]
//
// with liquid ml = gl (ac - as) and vapour mv = gv (ac psat(Tc) - ps) coming from the
// node, m the vapour that the air takes from ps = as psat(Ts), and q the heat of
// convection and radiation. Against frozen food ps is that over ice, all of m
// sublimes at the surface, and hl is the ice's. Where no water may pass the
// second equation is left, without ml.
//
// The surface itself holds neither heat nor water, so that the energy e = q - m hv
// that comes in from outside is what the cell receives,
//
//	(Ts - Tc)/r - ml hl - mv hv = e,
//
// whatever hl and hv are: an identity by the two equations above. Both are counted
// from liquid water at 0 °C, see phasechange.VapourEnthalpy.
//
// A surface on which more arrives than it gives away at as = 1, because dew forms
// faster than the food draws it in, stays at 1, and the surplus goes into the cell:
// ml = m - mv then takes the place of gl (ac - as).
type wetSurface struct {
	temp        float64 // [°C] the first guess on entry, NaN: none; the result on return
	activity    float64 // [-]
	evaporation float64 // [kg/(m² s)] out of the dish
	energy      float64 // [W/m²] into the dish

	// derivatives by temperature and water activity of the node
	energyT, energyA float64 // [W/(m² K)], [W/m²]
	waterT, waterA   float64 // [kg/(m² s K)], [kg/(m² s)]
}

func newWetSurface() wetSurface { return wetSurface{temp: math.NaN()} }

const (
	// trickle is a conductance, in its SI unit, that lets nothing pass.
	trickle = 1e-30
	// leastResistance [m² K/W] is far below that of any half cell.
	leastResistance = 1e-12
	// the balance is solved between [°C]; nothing that is taken lies outside
	coldestSurface, hottestSurface = -273.1, 5000.0
	// surfaceStep [K] is the last step of the iteration. It is still made, along the
	// slopes, which leaves 1e-12 of what flows. Next to where the activity meets 1 they
	// change, and the step has to be smaller.
	surfaceStep, surfaceStepAtOne = 1e-6, 1e-10
)

// solve finds the balance. It reports false if there is none, as with a number that
// is none.
//
// The heat that comes to a surface over what it takes falls with its temperature,
// water eliminated: one scalar equation, for which Newton's method is kept in a
// bracket, so that the result depends on the guess within rounding only. Against the
// fall works that of the heat of vaporisation, 0.1 % a kelvin, which convection and
// radiation outweigh unless the surroundings are several hundred kelvin hotter and
// the food gives its water no faster at any temperature: beside walls of 780 °C and
// more two balances were seen, 3 times in 600 000 random surfaces. The guess decides.
func (s *wetSurface) solve(c *halfCell, o *ambience) bool {
	b := newSurfaceBalance(c, o)
	t := s.temp
	if !inRange(t, coldestSurface, hottestSurface) {
		t = c.temp
	}
	lo, hi := coldestSurface, hottestSurface
	for i := range 140 {
		b.at(t)
		if b.excess >= 0 {
			lo = t
		}
		if b.excess <= 0 {
			hi = t
		}
		enough := surfaceStep
		if math.Abs(b.free-1) < surfaceStep {
			enough = surfaceStepAtOne
		}
		step := -b.excess / b.excessS
		switch {
		case b.excess == 0 && b.excessS == 0: // nothing passes
			t, step = c.temp, 0
			b.at(t)
		case b.excess == 0:
			step = 0
		case math.IsNaN(step):
			return false
		}
		if math.Abs(step) > enough {
			next := t + step
			// once it has had its time, every other step halves the bracket
			if !(next > lo && next < hi) || i > 12 && i%2 == 0 {
				next = (lo + hi) / 2
			}
			if lo < next && next < hi {
				t = next
				continue
			}
			step = 0 // there is no number in between
		}
		s.finish(&b, t, step)
		return !math.IsNaN(s.energy + s.energyT + s.energyA)
	}
	s.energy, s.evaporation = math.NaN(), math.NaN()
	return false
}

// finish makes the last step [K] from t and reads the result.
func (s *wetSurface) finish(b *surfaceBalance, t, step float64) {
	s.temp = t + step
	s.evaporation = b.m + b.mS*step
	s.activity = min(1, b.activity+b.activityS*step)
	q, _ := b.heat(s.temp)
	s.energy = q - s.evaporation*(b.hv+b.hvS*step)

	var tT, tA float64 // of the surface's temperature by the node's state
	if b.excessS != 0 {
		tT, tA = -b.excessT/b.excessS, -b.excessA/b.excessS
	}
	s.waterT, s.waterA = b.mT+b.mS*tT, b.mA+b.mS*tA
	byS := b.qS - b.m*b.hvS
	s.energyT, s.energyA = byS*tT-b.hv*s.waterT, byS*tA-b.hv*s.waterA
}

// surfaceBalance is the balance at a given surface temperature. Ends of names say by
// what a derivative is: S the surface's temperature, T and A the node's temperature
// and activity, each with the other two fixed.
type surfaceBalance struct {
	*halfCell
	out        *ambience
	film       airFilm
	cover      float64 // [Pa m² s/kg] resistance of the outer film
	blocked    bool    // no water gets away
	g          float64 // [W/(m² K)] from node to surface
	radiant    float64 // [W/(m² K⁴)]
	walls      float64 // [K⁴]
	gl, gv     float64
	psat, dsat float64 // [Pa], [Pa/K] at the node
	supply     float64 // [kg/(m² s)] liquid and vapour if the surface were dry

	excess                    float64 // [W/m²] heat that comes to the surface over what it takes
	excessS, excessT, excessA float64
	qS                        float64
	m, mS, mT, mA             float64
	activity, activityS       float64
	free                      float64 // activity without the bound of 1
	hv, hvS                   float64 // [J/kg], [J/(kg K)] of vapour
}

func newSurfaceBalance(c *halfCell, o *ambience) surfaceBalance {
	b := surfaceBalance{halfCell: c, out: o, radiant: o.Emissivity * stefanBoltzmann,
		g: 1 / max(c.resistance, leastResistance)}
	if b.radiant > 0 {
		w := o.Walls + kelvin
		b.walls = w * w * w * w
	}
	if !o.open {
		return b
	}
	b.blocked = o.H < trickle || o.permeance < trickle
	if !b.blocked {
		b.cover = 1 / o.permeance
		b.film = newAirFilm(o.H, o.Fluid, o.vapour, o.pressure)
	}
	b.gl, b.gv = min(c.liquid, 1/trickle), min(c.vapour, 1/trickle)
	if b.gv > 0 && !c.frozen {
		b.psat, b.dsat = saturation(c.temp)
	}
	b.supply = c.activity * (b.gl + b.gv*b.psat)
	return b
}

// heat is that of convection and radiation to a surface at t [°C], and its slope.
func (b *surfaceBalance) heat(t float64) (q, slope float64) {
	T := t + kelvin
	h := b.out.H
	return h*(b.out.Fluid-t) + b.radiant*(b.walls-T*T*T*T), -h - 4*b.radiant*T*T*T
}

// at evaluates the balance at a surface temperature t [°C].
func (b *surfaceBalance) at(t float64) {
	var q float64
	q, b.qS = b.heat(t)
	b.excess, b.excessS = q-b.g*(t-b.temp), b.qS-b.g
	b.excessT, b.excessA = b.g, 0
	b.activity = b.halfCell.activity
	if !b.out.open {
		return
	}
	b.hv, b.hvS = phasechange.VapourEnthalpy(t)
	if b.frozen {
		b.sublime(t)
	} else {
		b.evaporate(t)
	}
}

// leave sets the flow from a source of vapour, see airFilm.flow; of the source only
// its slope by the surface's temperature is given. It returns the slope by the source.
func (b *surfaceBalance) leave(t, source, resistance, sourceS float64) (bySource float64) {
	b.m, b.mS = 0, 0
	if b.blocked {
		return 0
	}
	c, dc := b.film.coefficient(t)
	m, bySource, byC := b.film.flow(source, resistance+b.cover, c)
	b.m, b.mS = m, bySource*sourceS+byC*dc
	return bySource
}

func (b *surfaceBalance) sublime(t float64) {
	p, dp := iceSaturation(t)
	b.leave(t, p, 0, dp)
	latent := b.hv - materials.Ice.Enthalpy(t) + materials.LatentHeatFusion
	b.excess -= b.m * latent
	b.excessS -= b.mS*latent + b.m*(b.hvS-materials.Ice.SpecificHeat(t))
	b.activity, b.activityS = 1, 0
}

func (b *surfaceBalance) evaporate(t float64) {
	ac, gl, gv := b.halfCell.activity, b.gl, b.gv
	p, dp := saturation(t)
	all := gl + gv*p // by activity, at the surface
	if all < trickle {
		b.m, b.mS, b.mT, b.mA = 0, 0, 0, 0
		// as the air has it, of no consequence
		b.activity, b.activityS, b.free = min(1, b.out.vapour/p), 0, 0
		return
	}
	// At this temperature the food is a source of vapour behind a resistance: that
	// of its two ways in parallel.
	inner := p / all
	bySource := b.leave(t, b.supply*inner, inner, 0)
	as := (b.supply - b.m) / all
	b.free = as
	var ml, mlS, mlT, mlA float64
	if as > 1+1e-12 {
		b.leave(t, p, 0, dp)
		b.mT, b.mA = 0, 0
		ml = b.m - gv*(ac*b.psat-p)
		mlS = b.mS + gv*dp
		mlT = -gv * ac * b.dsat
		mlA = -gv * b.psat
		b.activity, b.activityS = 1, 0
	} else {
		b.mS += bySource * as * gl * dp / all
		b.mT = bySource * inner * ac * gv * b.dsat
		b.mA = bySource * inner * (gl + gv*b.psat)
		// gl (ac - as), free of the difference
		share := gl / all
		ml = share * (b.m - ac*gv*(b.psat-p))
		mlS = share * (b.mS + gv*as*dp)
		mlT = share * (b.mT - ac*gv*b.dsat)
		mlA = share * (b.mA - gv*(b.psat-p))
		b.activity, b.activityS = as, -(b.mS+gv*as*dp)/all
	}
	latent, dLatent := b.latentHeat(t)
	b.excess -= ml * latent
	b.excessS -= mlS*latent + ml*dLatent
	b.excessT -= mlT * latent
	b.excessA -= mlA * latent
}

// highestLatent [°C] is where the heat of vaporisation is held, at latentAtHighest.
const highestLatent = 300

var latentAtHighest = func() float64 {
	h, _ := phasechange.VapourEnthalpy(highestLatent)
	return h - materials.Water.Enthalpy(highestLatent)
}()

// latentHeat is the heat that turns liquid or bound water at t [°C] into vapour
// [J/kg], with its slope [J/(kg K)]. It is held above 300 °C, where there is next to
// no water and its enthalpy is not known. The heat of wetting, by which bound
// water holds tighter, is left out.
func (b *surfaceBalance) latentHeat(t float64) (heat, slope float64) {
	if t > highestLatent {
		return latentAtHighest, 0
	}
	return b.hv - materials.Water.Enthalpy(t), b.hvS - materials.Water.SpecificHeat(t)
}

// slopeStep [K] is that of slopes by difference, which are good to 1e-6.
const slopeStep = 1e-5

// saturation is the vapour pressure [Pa] over liquid water at t [°C] and its slope
// [Pa/K]. It goes on smoothly where the formula does not: exponentially below -100 °C,
// where its continuation turns, and straight above 370 °C, short of the critical point.
func saturation(t float64) (p, slope float64) {
	const lowest, highest = -100, 370
	switch {
	case t < lowest:
		p, slope = saturation(lowest)
		rate := slope / p
		p *= math.Exp(rate * (t - lowest))
		return p, rate * p
	case t > highest:
		p, slope = saturation(highest)
		return p + slope*(t-highest), slope
	}
	p = phasechange.SaturationPressure(t)
	return p, (phasechange.SaturationPressure(t+slopeStep) - p) / slopeStep
}

// iceSaturation is that over ice, and over the water that ice becomes.
func iceSaturation(t float64) (p, slope float64) {
	p = overIce(t)
	return p, (overIce(t+slopeStep) - p) / slopeStep
}

// overIce goes through the triple point, where both formulas meet, without a jump.
func overIce(t float64) float64 {
	const tripleLow, tripleHigh = 0, 0.02 // [°C]
	switch {
	case t < tripleLow:
		return phasechange.SublimationPressure(t)
	case t > tripleHigh:
		p, _ := saturation(t)
		return p
	}
	return min(phasechange.SublimationPressure(t), phasechange.SaturationPressure(t))
}
