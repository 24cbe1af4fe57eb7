package phasechange

import (
	"math"

	"example.com/thawfront/materials"
)

// drying gives the water [kg/m³ of original food] that a food holds at a water
// activity: what its solids bind (sorption isotherm) plus what its solutes hold
// by Raoult's law,
//
//	w(a) = solids X(a) + solute a/(1-a).
//
// The second term is the ice curve's own: solute is chosen so that w at the
// activity of the initial freezing point is the food's water. It carries the
// isotherm, which ends at a finite X, on to the wet foods of activity near 1.
type drying struct {
	iso      materials.Isotherm
	solids   float64 // [kg/m³] dry non-fat solids
	solute   float64 // [kg/m³]
	pressure float64 // [Pa]
	ts       float64 // [°C] saturation temperature at pressure
}

// minSolute keeps the activity below 1 where the isotherm alone would hold more
// than the food's water, as a share of that water.
const minSolute = 1e-6

func newDrying(f materials.Food, density, tf, pressure float64) drying {
	c := f.Composition
	d := drying{iso: f.Isotherm, solids: density * (c.Solids() - c.Fat), pressure: pressure,
		ts: SaturationTemperature(pressure)}
	water, af := density*c.Water, iceActivity(tf)
	d.solute = math.Max((water-d.solids*f.Isotherm.Moisture(af))*(1-af)/af, minSolute*water)
	return d
}

// held is the water [kg/m³] at activity a in [0,1).
func (d *drying) held(a float64) float64 {
	return d.solids*d.iso.Moisture(a) + d.solute*a/(1-a)
}

// limit is the water [kg/m³] that can stay at t [°C] against the pressure
// around: +Inf up to the boiling point of pure water.
func (d *drying) limit(t float64) float64 {
	if t <= d.ts {
		return math.Inf(1)
	}
	a := d.pressure / SaturationPressure(t)
	if a >= 1 {
		return math.Inf(1)
	}
	return d.held(a)
}

// activity is the water activity [-] at water content w [kg/m³].
func (d *drying) activity(w float64) float64 {
	lo, hi := 0.0, 1.0
	for range 64 {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		if d.held(mid) < w {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// boilingPoint is the temperature [°C] at which water content w [kg/m³] begins
// to leave, or highest if it stays beyond that.
func (d *drying) boilingPoint(w, highest float64) float64 {
	if d.limit(highest) >= w {
		return highest
	}
	a := d.activity(w)
	p := d.pressure / math.Max(a, 1e-12)
	if p > 22e6 {
		return highest
	}
	return math.Min(SaturationTemperature(p), highest)
}
