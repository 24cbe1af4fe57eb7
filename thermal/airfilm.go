package thermal

import (
	"math"

	"example.com/thawfront/phasechange"
)

// airFilm is the layer of air in front of a surface, through which vapour diffuses.
// By the Lewis relation its coefficient follows from that of heat, with Stefan's
// flow for the bulk motion of the vapour itself:
//
//	m'' = h_m M/(R T) P ln[(P - p_air)/(P - p_s)]   [kg/(m² s)], out of the surface
//	h_m = h/(ρ cp Le^(2/3)),  Le = a/D
//
// (Incropera & DeWitt, chapters 6 and 14; Baehr & Stephan, chapter 1, from memory).
// With ρ = P M_air/(R T) the pressure drops out of the factor before the logarithm,
//
//	c = h (M/M_air)/(cp Le^(2/3))
//
// and from Le too, so that c depends on the film's temperature alone, by less than
// 0.01 % a kelvin. The logarithm has two poles, which are taken off:
//
//   - Steam without air would condense without limit. P - p_air has a floor, a tenth
//     of P, and P follows p_air in the logarithm, so that the flow still ends where p_s
//     = p_air. At h of 5 to 40 W/(m² K) and 20 to 75 K below the boiling point that
//     makes condensing coefficients of 260 to 5700 W/(m² K), 1000 to 2900 at 20, which
//     nearer to the boiling point rise to 540 h. For steam on foods 400 (Zhang &
//     Cavalieri 1991) to 12 000 (Tung et al. 1990) have been measured; 5000 is common
//     (Skjöldebrand & Ohlsson 1993), all as quoted by Pannu, Castaigne & Arul in
//     "Thermal processing of particulate foods by steam injection, part 1". The tenth
//     is chosen, not measured. It touches air of more than 5.6 kg/kg only.
//   - Where p_s comes within a hundredth of P of boiling, the logarithm goes on as its
//     tangent: a flow of 4.6 c and more, which no oven keeps up, but Newton's method
//     passes through.
//
// The heating of the vapour within the film (Ackermann's correction) is left out.
type airFilm struct {
	h, fluid float64 // [W/(m² K)], [°C]
	vapour   float64 // [Pa] p_air
	span     float64 // [Pa] P - p_air or its floor
	last     float64 // [Pa] P - p_s at which the tangent begins
	end      float64 // [-] ln(span/last)
}

const (
	airShare  = 0.1  // of P that P - p_air is at least
	lastShare = 0.01 // of P that P - p_s is where the tangent begins
)

// newAirFilm is the film at a coefficient h [W/(m² K)] in air of temperature fluid
// [°C] and vapour pressure [Pa], at a total pressure [Pa].
func newAirFilm(h, fluid, vapour, total float64) airFilm {
	f := airFilm{h: h, fluid: fluid, vapour: vapour, span: max(total-vapour, airShare*total), last: lastShare * total}
	f.end = math.Log(f.span / f.last)
	return f
}

// Vapour in dry air, T in kelvin. Diffusivity at 101325 Pa [m²/s]: 2.16e-5
// (T/273.15)^1.8, close to Schirmer (1938, from memory); Marrero & Mason (1972, from
// memory) give 1 % less at 25 °C and 8 % more at 140 °C.
const (
	diffusivityZero  = 2.16e-5
	diffusivityPower = 1.8
	airGas           = 287.042 // [J/(kg K)] gas constant of dry air (ASHRAE 2017, chapter 1)

	// the properties of air are held beyond [°C]
	lowestFilm, highestFilm = -150, 600
)

// coefficient is c [kg/(m² s)] at a surface temperature [°C], with its slope by it.
func (f *airFilm) coefficient(surface float64) (c, slope float64) {
	t := (surface + f.fluid) / 2
	held := false
	if t < lowestFilm || t > highestFilm {
		t, held = max(lowestFilm, min(t, highestFilm)), true
	}
	T := t + kelvin
	k, dk, cp, dcp := phasechange.DryAir(t)
	// ρD, in which the pressure cancels
	const atZero = diffusivityZero * phasechange.StandardPressure / (airGas * kelvin)
	x := atZero * math.Exp((diffusivityPower-1)*math.Log(T/kelvin)) / k
	c = f.h * vapourToAir * math.Cbrt(x*x/cp)
	if !held {
		slope = c * (2*((diffusivityPower-1)/T-dk/k) - dcp/cp) / 3 / 2
	}
	return c, slope
}

// flow is the vapour m [kg/(m² s)] that leaves a source of the given pressure [Pa]
// behind a resistance [Pa m² s/kg] (wet food, a cover), through the film of
// coefficient c. Its slopes by the source [kg/(m² s Pa)] and by c [-] are good to 1e-9.
// There is one solution for any source and resistance from 0 up.
//
// Unknown is x = m/c: the pressure at the film's foot is p(x) = p_air + span (1 -
// e^-x), and source - resistance c x = p(x). Both sides being explicit there is
// nothing to iterate but x; the difference is convex and falls, so that Newton's
// method settles from anywhere.
func (f *airFilm) flow(source, resistance, c float64) (m, bySource, byC float64) {
	u, b := source-f.vapour, resistance*c
	top := f.span - f.last // p(end) - p_air
	x := (u - top + f.last*f.end) / (f.last + b)
	slope := f.last // dp/dx
	if x < f.end {
		// exact to the second order in w, and for no resistance
		w := u / (f.span + b)
		if x = w; w < 0.9 {
			x -= (math.Log1p(-w) + w) * f.span / (f.span + b)
		}
		if x < 0 {
			x = max(x, -math.Log1p(f.vapour/f.span)) // where p is 0
		}
		x = min(x, f.end)
		for range 40 {
			e := math.Expm1(-x)
			slope = f.span * (1 + e)
			step := (u + f.span*e - b*x) / (slope + b)
			x += step
			if math.Abs(step) < 1e-9 {
				break
			}
		}
	}
	return c * x, c / (b + slope), slope * x / (b + slope)
}
