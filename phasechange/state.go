package phasechange

import (
	"math"

	"example.com/thawfront/materials"
)

// Food is the food the relation was made from.
func (r *Relation) Food() materials.Food { return r.food }

// Density is the mass [kg/m³] of the original food per volume.
func (r *Relation) Density() float64 { return r.density }

// Water is the water content [kg/m³] of the original food.
func (r *Relation) Water() float64 { return r.water }

// Range is the temperatures [°C] the relation covers: -100 to 400, or the span
// of the measured points.
func (r *Relation) Range() (lowest, highest float64) { return r.lowest, r.highest }

// WaterHeld is the water [kg/m³] that a food of water content w has left once it
// has been at t [°C]: w itself up to its boiling point.
func (r *Relation) WaterHeld(t, w float64) float64 {
	if r.food.Measured != nil {
		return 0
	}
	return math.Min(w, r.dry.limit(t))
}

// WaterActivity is the water activity [-] of the unfrozen food at water content
// w [kg/m³]; it is not known for a food given by measured curves.
func (r *Relation) WaterActivity(w float64) (aw float64, known bool) {
	if r.food.Measured != nil {
		return 0, false
	}
	return r.dry.activity(math.Min(w, r.water)), true
}

// Ice is the ice [kg/m³] at t [°C] in the food anchored at a.
func (r *Relation) Ice(t float64, a *Anchor) float64 {
	if r.food.Measured != nil || t >= a.tf {
		return 0
	}
	m, _ := r.ice.unfrozen(t)
	return math.Max(0, a.water-m)
}

// Bound is the unfreezable water [kg/m³] of the food's ice curve.
func (r *Relation) Bound() float64 { return r.ice.bound }

// Energy is U [J/m³] at t [°C] for the food anchored at a: above liquid water and
// unmelted fat at 0 °C, the heat of steam driven off on the way counted in.
func (r *Relation) Energy(t float64, a *Anchor) float64 {
	switch {
	case a.whole:
		return r.path.energy(t)
	case t >= a.tb:
		return r.path.energy(t) - a.shift
	case t >= a.tf:
		u, _ := r.unfrozenState(t, a.water)
		return u
	}
	u, _ := r.frozenState(t, a.water)
	return u
}

// Temperature is the inverse of Energy [°C].
func (r *Relation) Temperature(u float64, a *Anchor) float64 {
	var hint int32
	t, _, _, _ := r.At(u, a, &hint, math.NaN())
	return t
}

// HeatCapacity is the apparent volumetric heat capacity dU/dT [J/(m³ K)] at t
// [°C]: it holds the latent heat of what changes phase there.
func (r *Relation) HeatCapacity(t float64, a *Anchor) float64 {
	var hint int32
	_, dt, _, _ := r.At(r.Energy(t, a), a, &hint, t)
	return 1 / dt
}

// Conductivity is k [W/(m K)] at t [°C] for the food anchored at a.
func (r *Relation) Conductivity(t float64, a *Anchor) float64 {
	var hint int32
	_, _, k, _ := r.At(r.Energy(t, a), a, &hint, t)
	return k
}

// Enthalpy is the enthalpy [J/kg of original food] of the undried food at t [°C]
// above the temperature zero [°C].
func (r *Relation) Enthalpy(t, zero float64) float64 {
	return (r.path.energy(t) - r.path.energy(zero)) / r.density
}
