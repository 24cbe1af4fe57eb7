package materials

import (
	"errors"
	"fmt"
	"math"
)

// Food is one material: what it is made of and how it is built. Fill in a literal
// and call [Food.Validate], or take one from the table with [Find]. Only the
// composition is needed; the rest has usable zero values.
type Food struct {
	Name        string
	Group       string // kind of food, for searching
	Composition Composition

	// FreezingPoint is where ice first forms on cooling [°C], over -60 and up to -0.001.
	// 0 means not given, so it is estimated from the solutes (a food always has
	// some, so 0 is never a real value): see [Food.InitialFreezingPoint].
	FreezingPoint float64

	// BoundWater is the water that never freezes [kg/kg of food]; nil means
	// estimated: see [Food.Bound].
	BoundWater *float64

	Structure Structure
	Porosity  float64  // air [m³/m³], 0 to below 0.98
	FatKind   FatKind  // which fat Composition.Fat is
	Isotherm  Isotherm // the zero value is a generic starchy food
	Source    string   // where composition and the rest come from

	// Transport is how water moves through the food; nil means as usual for its
	// structure: see [Food.WaterTransport].
	Transport *Transport

	// Holding is how a muscle food expels juice when heated; nil means it expels none.
	Holding *WaterHolding

	// Soak is the water the food can hold by taking up juice, its own counted
	// [kg/kg] of dry non-fat solids, 0 to 50; 0 means that it takes up none.
	Soak float64

	// Measured, when set, replaces composition by measured curves.
	Measured *Measured
}

const (
	maxPorosity      = 0.98
	lowestFreezing   = -60.0 // [°C] accepted as given,
	highestFreezing  = -1e-3 // up to here
	lowestEstimate   = -25.0 // [°C] an estimated freezing point goes no lower,
	highestEstimate  = -0.005
	greatestBound    = 0.95 // share of the water that may be unfreezable
	boundByProtein   = 0.4  // [kg/kg]
	boundByStarch    = 0.3  // [kg/kg]
	densityReference = 20.0 // [°C]
	greatestSoak     = 50.0 // [kg/kg dry non-fat solids]
)

// FoodError is a fault in a field of a [Food], or in an operation's input for
// one. A fault of the composition also holds its [*CompositionError] for
// [errors.As]; likewise isotherm, transport and holding.
type FoodError struct {
	Food  string
	Field string
	Value any
	Want  string

	err error
}

// Error names the food, the field, the value and what is wanted.
func (e *FoodError) Error() string {
	return fmt.Sprintf("materials: food %q: %s %v, want %s", e.Food, e.Field, e.Value, e.Want)
}

// Unwrap is the fault within the field, or nil.
func (e *FoodError) Unwrap() error { return e.err }

// Validate returns every fault of the food, joined, each a [*FoodError].
func (f Food) Validate() error {
	var errs []error
	fault := func(field string, value any, want string, err error) {
		errs = append(errs, &FoodError{f.Name, field, value, want, err})
	}
	if !(f.Porosity >= 0 && f.Porosity < maxPorosity) {
		fault("porosity", f.Porosity, "0 to below 0.98 m³/m³", nil)
	}
	if f.Structure >= structures {
		fault("structure", f.Structure, "one of the named structures", nil)
	}
	if f.FatKind >= fatKinds {
		fault("fat kind", f.FatKind, "one of the named fats", nil)
	}
	if f.FreezingPoint != 0 && !(f.FreezingPoint > lowestFreezing && f.FreezingPoint <= highestFreezing) {
		fault("freezing point", f.FreezingPoint, "over -60 and up to -0.001 °C, or 0 for not given", nil)
	}
	if err := f.Isotherm.Validate(); err != nil {
		var bad *IsothermError
		errors.As(err, &bad)
		fault("isotherm "+bad.Constant, bad.Value, bad.Want, err)
	}
	if !(f.Soak >= 0 && f.Soak <= greatestSoak) {
		fault("soak", f.Soak, "0 to 50 kg/kg dry non-fat solids", nil)
	}
	if t := f.Transport; t != nil {
		var bad *TransportError
		if err := t.Validate(); errors.As(err, &bad) {
			fault(bad.Field, bad.Value, bad.Want, err)
		}
	}
	if h := f.Holding; h != nil {
		var bad *HoldingError
		if err := h.Validate(); errors.As(err, &bad) {
			fault("holding "+bad.Field, bad.Value, bad.Want, err)
		}
	}
	if f.Measured != nil {
		errs = append(errs, f.Measured.validate(f.Name)...)
		return errors.Join(errs...)
	}
	if h := f.Holding; h != nil && !(f.Composition.Protein > 0) {
		fault("holding", h.Name, "a food with protein", nil)
	}
	if b := f.BoundWater; b != nil && !(*b >= 0 && *b <= f.Composition.Water) {
		fault("bound water", *b, fmt.Sprintf("0 to the water, %v kg/kg", f.Composition.Water), nil)
	}
	if err := f.Composition.Validate(); err != nil {
		for _, err := range err.(interface{ Unwrap() []error }).Unwrap() {
			bad := err.(*CompositionError)
			fault(bad.Component, bad.Value, bad.Want+" kg/kg", bad)
		}
	}
	return errors.Join(errs...)
}

// specificVolumes of the components [m³/kg], at 20 °C, ice at 0 °C.
var specificVolumes = func() (v [components]float64) {
	for c := range v {
		v[c] = 1 / Component(c).Density(densityReference)
	}
	return v
}()

// Density is the mass of the original food in its volume, pores included, at
// 20 °C unfrozen [kg/m³]; that of [Measured] where it is set.
//
//	ρ = (1 - porosity) / Σ x/ρ_i
func (f Food) Density() float64 {
	if f.Measured != nil {
		return f.Measured.Density
	}
	return 1 / f.volume()
}

// volume of a kilogram of the food [m³/kg].
func (f *Food) volume() float64 {
	c, v := &f.Composition, &specificVolumes
	return (c.Water*v[Water] + c.Protein*v[Protein] + c.Fat*v[Fat] + c.Carbohydrate*v[Carbohydrate] +
		c.Fibre*v[Fibre] + c.Ash*v[Ash]) / (1 - f.Porosity)
}

// Bound is the water that never freezes [kg/kg of food], 0 for a measured food:
// BoundWater as given, or the sum of 0.4 of the protein (Schwartzberg 1976, in
// ASHRAE Handbook - Refrigeration, Thermal Properties of Foods, eq. 3) and 0.3 of
// the carbohydrate that is not sugar, but at most 0.95 of the water.
//
// Riedel's enthalpies of 14 foods (testdata/ashrae-worked-examples) fit best, each
// with a freezing point of its own, with 0.38 of protein, 0.30 of starch and none
// of sugar: rms 1.65 % of H(0)-H(-40), and as much with the round numbers; with
// 0.25 of sugar 1.75 %, with that and 0.35 of starch 2.06 %. Syrup does keep a
// quarter of its sugar's mass in water at -35 °C (freeze-concentrated sucrose is
// 80 % sugar, from memory), but the ice curve of a dilute solution leaves it that
// much already: 1.86 K kg/mol over 240 g/mol and 35 K are 0.22.
func (f Food) Bound() float64 {
	if f.Measured != nil {
		return 0
	}
	if f.BoundWater != nil {
		return *f.BoundWater
	}
	c := &f.Composition
	b := boundByProtein*c.Protein + boundByStarch*(c.Carbohydrate-c.Sugar)
	return math.Max(0, math.Min(b, greatestBound*c.Water))
}
