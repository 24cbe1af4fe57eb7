package phasechange

import (
	"math"

	"example.com/thawfront/materials"
)

// StandardPressure is the standard atmosphere [Pa].
const StandardPressure = 101325

const (
	zeroC        = 273.15
	criticalTemp = 373.9 // [°C] just below the critical point of water, 373.946 °C (IAPWS)
	steamCp      = 1.99e3
)

// SaturationPressure is the vapour pressure of liquid water [Pa] at t [°C], from
// 0 °C to the critical point, and extrapolated smoothly for supercooled water;
// above the critical point it is held. IAPWS-IF97, region 4, equation 30.
func SaturationPressure(t float64) float64 {
	T := min(t, criticalTemp) + zeroC
	v := T - 0.23855557567849/(T-650.17534844798)
	a := v*v + 1167.0521452767*v - 724213.16703206
	b := -17.073846940092*v*v + 12020.82470247*v - 3232555.0322333
	c := 14.91510861353*v*v - 4823.2657361591*v + 405113.40542057
	p := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return p * p * p * p * 1e6
}

// SaturationTemperature is the boiling point of pure water [°C] at pressure
// p [Pa], from 611.2 Pa to 22.06 MPa. IAPWS-IF97, region 4, equation 31.
func SaturationTemperature(p float64) float64 {
	b := math.Sqrt(math.Sqrt(p / 1e6))
	e := b*b - 17.073846940092*b + 14.91510861353
	f := 1167.0521452767*b*b + 12020.82470247*b - 4823.2657361591
	g := -724213.16703206*b*b - 3232555.0322333*b + 405113.40542057
	d := 2 * g / (-f - math.Sqrt(f*f-4*e*g))
	s := 650.17534844798 + d
	return (s-math.Sqrt(s*s-4*(-0.23855557567849+650.17534844798*d)))/2 - zeroC
}

// SublimationPressure is the vapour pressure of ice [Pa] at t [°C], -100 to 0 °C.
// IAPWS (2011), revised release on melting and sublimation curves, equation 6.
func SublimationPressure(t float64) float64 {
	x := (t + zeroC) / 273.16
	s := -21.2144006*math.Pow(x, 0.00333333333) + 27.3203819*math.Pow(x, 1.20666667) - 6.10598130*math.Pow(x, 1.70333333)
	return 611.657 * math.Exp(s/x)
}

// LatentHeatVaporisation is the heat of vaporisation of water [J/kg] at t [°C],
// 0 to 370 °C: Watson's (1943) power law through the steam-table value 2256.5
// kJ/kg at 100 °C, with the exponent 0.3305 that also meets 2500.9 at 0 °C; it
// stays within 0.2 % of the steam tables from 0 to 150 °C.
func LatentHeatVaporisation(t float64) float64 {
	const critical = 647.096
	return 2256.5e3 * math.Pow(math.Max(critical-zeroC-t, 0)/(critical-zeroC-100), 0.3305)
}

// steamEnthalpy is the enthalpy [J/kg] of steam at t [°C] that left boiling
// water at the pressure whose saturation temperature is ts [°C], above liquid
// water at 0 °C. The specific heat 1.99 kJ/(kg K) is that of steam at 1 atm
// between 100 and 200 °C, which falls from 2.08 to 1.98 (steam tables, from
// memory).
func steamEnthalpy(t, ts float64) float64 {
	return materials.Water.Enthalpy(ts) + LatentHeatVaporisation(ts) + steamCp*(t-ts)
}

// coldSteam [J/(kg K)] is the specific heat of steam below 0 °C (ASHRAE 2017, chapter 1).
const coldSteam = 1.86e3

var (
	steamAt0   = LatentHeatVaporisation(0)
	steamAt100 = materials.Water.Enthalpy(100) + LatentHeatVaporisation(100)
)

// VapourEnthalpy is the enthalpy of water vapour at t [°C] above liquid water at 0 °C
// [J/kg], with its slope [J/(kg K)]: that of saturated vapour from 0 to 100 °C, and
// of steam at low pressure beyond, where the heat of vaporisation is no guide. That
// of sublimation comes out at 2834 kJ/kg at 0 and 2838 at -40 °C.
func VapourEnthalpy(t float64) (h, slope float64) {
	switch {
	case t < 0:
		return steamAt0 + coldSteam*t, coldSteam
	case t > 100:
		return steamAt100 + steamCp*(t-100), steamCp
	}
	latent := LatentHeatVaporisation(t)
	// the slope of Watson's law
	const exponent, critical = 0.3305, 373.946
	return materials.Water.Enthalpy(t) + latent, materials.Water.SpecificHeat(t) - exponent*latent/(critical-t)
}

// SaturationSlope is dp/dT [Pa/K] of liquid water's vapour pressure p [Pa] at t [°C],
// by Clausius and Clapeyron.
func SaturationSlope(t, p float64) float64 {
	const gas = 461.526 // [J/(kg K)] of water vapour
	T := t + zeroC
	return p * LatentHeatVaporisation(t) / (gas * T * T)
}
