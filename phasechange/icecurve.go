package phasechange

import (
	"fmt"
	"math"

	"example.com/thawfront/materials"
)

// IceCurve says which published relation gives the ice at a temperature.
// All are written here as the water m(T) that stays unfrozen, with
// tf the initial freezing point, xw the water and xb the bound water.
type IceCurve uint8

// The ice curves.
const (
	// BoundWater is the default:
	//
	//	m = xb + (xw - xb) tf/T
	//
	// Schwartzberg (1976), Chen (1985): ideal dilute solution, part of the water unfreezable.
	BoundWater IceCurve = iota
	// Miles is the same without bound water. Miles, van Beek & Veerkamp (1983).
	Miles
	// Tchigeov is the fit
	//
	//	xw - m = 1.105 xw / (1 + 0.7138/ln(tf - T + 1))
	//
	// Tchigeov (1979), ASHRAE Handbook - Refrigeration, Thermal Properties of
	// Foods, eq. 5; stated for -45 <= T <= tf and -2 <= tf <= -0.4 °C.
	Tchigeov
	// IdealSolution uses Raoult's law without the dilute approximation, with
	// bound water:
	//
	//	m = xb + (xw - xb) (1-af)/af a/(1-a),  ln a = λ/R (1/T0 - 1/T)
	//
	// Heldman (1974) after Schwartzberg; λ the molar heat of fusion.
	IdealSolution
)

var iceCurveNames = [...]string{"bound water", "Miles", "Tchigeov", "ideal solution"}

// String names the curve.
func (c IceCurve) String() string {
	if int(c) < len(iceCurveNames) {
		return iceCurveNames[c]
	}
	return fmt.Sprintf("IceCurve(%d)", uint8(c))
}

// iceActivity is the water activity [-] of a solution in equilibrium with ice at
// t [°C]: ideal, with a constant heat of fusion.
//
//	ln a = λ/R (1/T0 - 1/T)
func iceActivity(t float64) float64 {
	return math.Exp(fusionTemperature * (1/zeroC - 1/(t+zeroC)))
}

// iceTemperature is its inverse [°C].
func iceTemperature(a float64) float64 {
	return 1/(1/zeroC-math.Log(a)/fusionTemperature) - zeroC
}

// fusionTemperature is λ/R [K].
const fusionTemperature = materials.LatentHeatFusion * 18.01528e-3 / 8.314463

// warmestIce [°C] is where ice is taken to end whatever dissolves: at 0 °C the laws of
// solutions have their pole.
const warmestIce = -1e-9

// freezing holds a food's ice curve in kg/m³ of the original food.
type freezing struct {
	curve  IceCurve
	tf     float64 // [°C]
	water  float64 // [kg/m³] of the original food
	bound  float64 // [kg/m³]
	solute float64 // (water - bound) (1-af)/af: the solvent that dissolves to activity 1/2
}

func newFreezing(curve IceCurve, tf, water, bound float64) freezing {
	if curve == Miles || curve == Tchigeov {
		bound = 0
	}
	af := iceActivity(tf)
	return freezing{curve, tf, water, bound, (water - bound) * (1 - af) / af}
}

// unfrozen is the water [kg/m³] that stays liquid at t, and its slope
// [kg/(m³ K)]; +Inf where there is no ice to stay out of.
func (f *freezing) unfrozen(t float64) (m, slope float64) {
	switch f.curve {
	case Tchigeov:
		if t > f.tf {
			return math.Inf(1), 0
		}
		l := math.Log1p(f.tf - t)
		d := l + 0.7138
		return f.water * (1 - 1.105*l/d), f.water * 1.105 * 0.7138 / (d * d * (1 + f.tf - t))
	case IdealSolution:
		if t >= warmestIce {
			return math.Inf(1), 0
		}
		a := iceActivity(t)
		r := a / (1 - a)
		dlna := math.Log(a) * zeroC / (t * (t + zeroC)) // λ/R /T² from ln a = λ/R t/(T0 T)
		return f.bound + f.solute*r, f.solute * r / (1 - a) * dlna
	default:
		if t >= warmestIce {
			return math.Inf(1), 0
		}
		free := (f.water - f.bound) * f.tf / t
		return f.bound + free, -free / t
	}
}

// point is the temperature [°C] below which water content w [kg/m³] begins to
// freeze, or lowest if that is below it.
func (f *freezing) point(w, lowest float64) float64 {
	if m, _ := f.unfrozen(lowest); m >= w {
		return lowest
	}
	if w >= f.water {
		return f.tf
	}
	if f.curve == BoundWater || f.curve == Miles {
		return f.tf * (f.water - f.bound) / (w - f.bound)
	}
	lo, hi := lowest, f.tf
	for range 60 {
		mid := (lo + hi) / 2
		if m, _ := f.unfrozen(mid); m < w {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
