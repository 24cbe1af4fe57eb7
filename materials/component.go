package materials

import "fmt"

// Component is one of the pure substances a food is counted as.
type Component uint8

// The components. Ice is water below its melting point; a [Composition] has only
// water, and how much of it is ice follows from temperature.
const (
	Water Component = iota
	Ice
	Protein
	Fat
	Carbohydrate
	Fibre
	Ash

	components = 7
)

var componentNames = [components]string{"water", "ice", "protein", "fat", "carbohydrate", "fibre", "ash"}

// String names the component.
func (c Component) String() string {
	if int(c) < components {
		return componentNames[c]
	}
	return fmt.Sprintf("Component(%d)", uint8(c))
}

// LatentHeatFusion is the heat of fusion of ice at 0 °C [J/kg].
//
// CRC Handbook of Chemistry and Physics, properties of ice and supercooled
// water: 333.6 kJ/kg. Others in use: 333.43 (IAPWS-06 with IAPWS-95, from
// memory), 334 (rounded, ASHRAE tables). They differ by 0.2 %, far below what a
// food's composition is known to.
const LatentHeatFusion = 333.6e3

// The polynomials of Choi & Okos (1986), "Effects of temperature and composition
// on the thermal properties of foods", in Food Engineering and Process
// Applications 1, as reprinted in ASHRAE Handbook - Refrigeration, Thermal
// Properties of Foods, Tables 1 and 2; fitted from -40 to 150 °C. Where reprints
// disagree the row is the one that agrees with independent data:
//   - fat conductivity, B: -2.7604e-4, not e-3, which turns negative below 100 °C
//     and contradicts the diffusivity polynomial of the same source;
//   - water specific heat, A: 4.1762 above and 4.0817 below 0 °C, not 4.1289,
//     which is 1.3 % below the 4.182 kJ/(kg K) measured at 20 °C.
//
// The specific heat of liquid water so has a step of 2.3 % at 0 °C.
var (
	conductivities = [components]curve{
		Water:        newCurve(0.57109, 1.7625e-3, -6.7036e-6),
		Ice:          newCurve(2.2196, -6.2489e-3, 1.0154e-4),
		Protein:      newCurve(0.17881, 1.1958e-3, -2.7178e-6),
		Fat:          newCurve(0.18071, -2.7604e-4, -1.7749e-7),
		Carbohydrate: newCurve(0.20141, 1.3874e-3, -4.3312e-6),
		Fibre:        newCurve(0.18331, 1.2497e-3, -3.1683e-6),
		Ash:          newCurve(0.32962, 1.4011e-3, -2.9069e-6),
	}
	densities = [components]curve{
		Water:        newCurve(997.18, 3.1439e-3, -3.7574e-3),
		Ice:          newCurve(916.89, -0.13071, 0),
		Protein:      newCurve(1329.9, -0.51840, 0),
		Fat:          newCurve(925.59, -0.41757, 0),
		Carbohydrate: newCurve(1599.1, -0.31046, 0),
		Fibre:        newCurve(1311.5, -0.36589, 0),
		Ash:          newCurve(2423.8, -0.28063, 0),
	}
	specificHeats = [components]curve{
		Water:        newCurve(4176.2, -9.0864e-2, 5.4731e-3),
		Ice:          newCurve(2062.3, 6.0769, 0),
		Protein:      newCurve(2008.2, 1.2089, -1.3129e-3),
		Fat:          newCurve(1984.2, 1.4733, -4.8008e-3),
		Carbohydrate: newCurve(1548.8, 1.9625, -5.9399e-3),
		Fibre:        newCurve(1845.9, 1.8306, -4.6509e-3),
		Ash:          newCurve(1092.6, 1.8896, -3.6817e-3),
	}
	// supercooled is the specific heat of liquid water below 0 °C.
	supercooled = newCurve(4081.7, -5.3062, 0.99516)
)

// Conductivity is the thermal conductivity of the pure component at t [°C]
// [W/(m K)].
//
// Choi & Okos (1986), fitted from -40 to 150 °C. Beyond, the end's slope goes on
// and dies away over 50 K, sooner where the value would otherwise change by more
// than a fifth; so the curve is smooth, monotone and positive at every
// temperature, and usable (not accurate) from -120 to 450 °C. Ice is held at its
// 0 °C value above 0 °C. NaN gives NaN, as does a component that is none.
func (c Component) Conductivity(t float64) float64 { return c.evaluate(&conductivities, t) }

// Density is the density of the pure component at t [°C] [kg/m³]. Source, range
// and continuation as for [Component.Conductivity]. Water is 0.25 % low at 20 °C
// and has its maximum near 0 instead of 4 °C.
func (c Component) Density(t float64) float64 { return c.evaluate(&densities, t) }

// SpecificHeat is the specific heat of the pure component at t [°C], without
// any heat of fusion [J/(kg K)]. Source, range and continuation as for
// [Component.Conductivity]. Liquid water steps from 4081.7 to 4176.2 at 0 °C.
func (c Component) SpecificHeat(t float64) float64 {
	if c == Water && t < 0 {
		return supercooled.at(t)
	}
	return c.evaluate(&specificHeats, t)
}

// Enthalpy is the sensible enthalpy of the pure component at t [°C] over that at
// 0 °C: the exact integral of [Component.SpecificHeat], continuation included,
// without any heat of fusion [J/kg].
func (c Component) Enthalpy(t float64) float64 {
	switch {
	case c == Water && t < 0:
		return supercooled.integral(t)
	case c == Ice && t > 0:
		return specificHeats[Ice].a * t
	case int(c) < components:
		return specificHeats[c].integral(t)
	}
	return notANumber
}

func (c Component) evaluate(table *[components]curve, t float64) float64 {
	if int(c) >= components {
		return notANumber
	}
	if c == Ice && t > 0 {
		t = 0
	}
	return table[c].at(t)
}
