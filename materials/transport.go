package materials

import (
	"fmt"
	"math"
)

// Transport is how fast water moves through a food, by two ways that add up: as
// liquid and bound water down the gradient of the water content, and as vapour
// down the gradient of the vapour pressure. The zero value lets none through.
type Transport struct {
	// Diffusivity of liquid and bound water at 25 °C in the wet food [m²/s], 0 to
	// 1e-6. It multiplies the gradient of the water per volume of the food.
	Diffusivity float64

	// Activation energy of that diffusivity [J/mol], 0 to 2e5.
	Activation float64

	// HalfMoisture is the water at which the diffusivity has fallen to half
	// [kg/kg] of dry non-fat solids, 0 (the diffusivity stays) to 10.
	HalfMoisture float64

	// Permeability to vapour at 25 °C, the fat solid [kg/(m s Pa)], 0 to 2.5e-10;
	// still air has 1.84e-10.
	Permeability float64

	// MeltedFat says how many times more permeable the food is with its fat
	// melted [-]: 0 (no more) or 1 to 1000.
	MeltedFat float64

	// Source says where the numbers come from, and whether they are measured,
	// fitted or guessed.
	Source string
}

const (
	vapourConstant      = 461.5    // [J/(kg K)], gas constant of water vapour
	transportAt         = 25.0     // [°C] at which coefficients are given
	standardPressure    = 101325.0 // [Pa]
	greatestDiffusivity = 1e-6     // [m²/s]
	greatestActivation  = 2e5      // [J/mol]
	greatestHalf        = 10.0     // [kg/kg]
	greatestPermeable   = 2.5e-10  // [kg/(m s Pa)]
	greatestMelted      = 1000.0   // [-]
)

// LiquidDiffusivity is the diffusivity of liquid and bound water [m²/s] at a
// temperature [°C] and a moisture X [kg/kg dry non-fat solids],
//
//	D = Diffusivity exp(-Activation/R (1/T - 1/298.15 K)) X/(X + HalfMoisture)
//
// It rises with both. Moistures under 0 count as 0, temperatures outside of 1 to
// 10 000 K as the nearer end.
func (t Transport) LiquidDiffusivity(temp, moisture float64) float64 {
	d := t.Diffusivity * math.Exp(t.Activation/gasConstant*(1/(meltingPoint+transportAt)-1/absolute(temp)))
	if t.HalfMoisture > 0 {
		return d / (1 + t.HalfMoisture/max(moisture, 0))
	}
	return d
}

// VapourPermeability is the permeability to water vapour [kg/(m s Pa)] at a
// temperature [°C] with the share melted [-] of the fat melted, 0 to 1,
//
//	Permeability (T/298.15 K)^0.8 (1 + (MeltedFat - 1) melted)
//
// The exponent is that of [AirPermeability] at one pressure. Shares outside of 0
// to 1 and temperatures outside of 1 to 10 000 K count as the nearer end.
func (t Transport) VapourPermeability(temp, melted float64) float64 {
	p := t.Permeability * math.Pow(absolute(temp)/(meltingPoint+transportAt), 0.8)
	if t.MeltedFat > 1 {
		p *= 1 + (t.MeltedFat-1)*min(max(melted, 0), 1)
	}
	return p
}

// AirPermeability is the permeability of still air to water vapour
// [kg/(m s Pa)] at a temperature [°C], -272 to 9700, and a pressure [Pa], over 0,
//
//	D/(R T),  D = 2.16e-5 m²/s (T/273.15 K)^1.8 (101325 Pa/p)
//
// with the diffusivity D as it is used with the Lewis relation (from memory).
// Building physics takes 6 to 9 % more (Schirmer 1938; Künzel 1995, both from
// memory).
func AirPermeability(temp, pressure float64) float64 {
	t := absolute(temp)
	return 2.16e-5 * math.Pow(t/meltingPoint, 1.8) * (standardPressure / pressure) / (vapourConstant * t)
}

// absolute temperature [K] within bounds that keep what is made of it finite.
func absolute(temp float64) float64 { return min(max(temp+meltingPoint, 1), 1e4) }

// TransportError is a fault in a field of a [Transport].
type TransportError struct {
	Field string
	Value float64 // [-] as given, in the field's own unit
	Want  string
}

// Error names the field, the value and what is wanted.
func (e *TransportError) Error() string {
	return fmt.Sprintf("materials: water transport: %s %v, want %s", e.Field, e.Value, e.Want)
}

// Validate returns the first faulty field as a [*TransportError].
func (t Transport) Validate() error {
	for _, c := range [...]struct {
		field   string
		x, most float64
		want    string
	}{
		{"diffusivity", t.Diffusivity, greatestDiffusivity, "0 to 1e-6 m²/s"},
		{"activation", t.Activation, greatestActivation, "0 to 2e5 J/mol"},
		{"half moisture", t.HalfMoisture, greatestHalf, "0 to 10 kg/kg"},
		{"permeability", t.Permeability, greatestPermeable, "0 to 2.5e-10 kg/(m s Pa)"},
	} {
		if !(c.x >= 0 && c.x <= c.most) {
			return &TransportError{c.field, c.x, c.want}
		}
	}
	if t.MeltedFat != 0 && !(t.MeltedFat >= 1 && t.MeltedFat <= greatestMelted) {
		return &TransportError{"melted fat", t.MeltedFat, "0 or 1 to 1000"}
	}
	return nil
}

// WaterTransport is how water moves through the food: [Food.Transport] if it was
// given, or what is usual for its structure. The defaults:
//
//	structure        liquid and bound water           vapour
//	compact          fitted: water, carrot, dough     from memory: dense films
//	fat-dispersed    as compact                       as compact
//	fibre-across     fitted: beef                     as compact
//	fibre-along      across times 1.4, from memory    as compact
//	open-pores       as compact                       fitted: bread, porosity^1.5 of air
//	closed-foam      as compact                       guess: a tenth of open pores
//	layered          guess: a tenth of compact        guess: sheets of fat, a third of the way
//	fat-continuous   none                             measured: tripalmitin and milk fat
//
// A compact food with 0.8 kg/kg of fat or more counts as fat-continuous. A
// measured food has no water that could move.
func (f Food) WaterTransport() (t Transport, given bool) {
	if f.Transport != nil {
		return *f.Transport, true
	}
	return f.usualTransport(), false
}

func (f *Food) usualTransport() Transport {
	if f.Measured != nil {
		return Transport{Source: "none: measured curves tell of no water"}
	}
	s := f.Structure
	if s >= structures || s == Compact && f.Composition.Fat >= nearlyAllFat {
		s = FatContinuous // of an invalid structure, the one that does least
	}
	usual := &usualTransports[s]
	t := usual.Transport
	if usual.pores > 0 {
		t.Permeability += usual.pores * math.Pow(f.Porosity, 1.5) * AirPermeability(transportAt, standardPressure)
	}
	return t
}

// nearlyAllFat [kg/kg] is the fat from which the watery rest of a compact food,
// such as back fat, no longer hangs together (guess).
const nearlyAllFat = 0.8

// PoresPass is the share [-] of Bruggeman's permeability that connected pores have, see
// [Food.WaterTransport].
const PoresPass = poresPass

// Coefficients that several structures share.
const (
	poresPass = 0.1
	// Liquid and bound water in a moist food: that of water itself, 2.3e-9 m²/s at
	// 25 °C (Mills 1973, from memory), in endless water; activation and half moisture
	// put carrots within 7 % of the 1.2e-9 to 5.9e-9 m²/s of 30 to 90 °C
	// (Drying of Foods, Vegetables and Fruits, ed. Jangam, Law, Mujumdar 2010) and
	// unleavened dough within the 1e-10 to 5e-10 of 25 to 60 °C (from memory). Drops
	// of fat or bubbles in the way take off a third at the most (Maxwell), less than
	// is known.
	moistDiffusivity, moistActivation, moistHalf = 2.3e-9, 25e3, 10.0
	moistSource                                  = "liquid fitted: water (Mills 1973, from memory), carrots 30-90 °C (Jangam, Law, Mujumdar 2010), dough 25-60 °C (from memory)"

	// Muscle across the fibres: 1e-10 m²/s at 20 °C to 1e-9 at 80 °C (from memory)
	// give the diffusivity at 25 °C and the activation, freeze-dried beef, 3.1e-11 at
	// 0.127 kg/kg and 25 °C (same book), the half moisture.
	muscleDiffusivity, muscleActivation, muscleHalf = 1.3e-10, 33e3, 0.39
	muscleSource                                    = "liquid fitted: meat 20-80 °C (from memory), freeze-dried beef (Jangam, Law, Mujumdar 2010)"
	// Water in living rat muscle diffuses 1.4 times faster along than across
	// (Cleveland and others 1976, from memory).
	alongFibres = 1.4

	// A dense film of protein or starch: gluten, methyl cellulose, casein 1e-13 to
	// 1e-12 kg/(m s Pa), the middle of it.
	filmPermeability = 3e-13
	filmSource       = "; vapour: dense films of gluten, methyl cellulose, casein (from memory)"

	// Fat at 27.5 °C (Shellhammer and Krochta 1997): tripalmitin, all solid, 0.0093,
	// milk fat, 93 % melted, 0.5993 g mm/(kPa h m²); the ratio follows by the law of
	// VapourPermeability. Peanut oil has 1.4e-13 kg/(m s Pa) (Morillon and others 2002,
	// from memory), this law 1.8e-13.
	solidFat, meltedFat = 2.57e-15, 69.0
	fatSource           = "vapour measured: tripalmitin and milk fat (Shellhammer and Krochta 1997)"
)

// usualTransports are the defaults by structure; pores is the share of
// [AirPermeability] that porosity^1.5 adds.
var usualTransports = [structures]struct {
	Transport
	pores float64
}{
	Compact:      {Transport: Transport{moistDiffusivity, moistActivation, moistHalf, filmPermeability, 0, moistSource + filmSource}},
	FatDispersed: {Transport: Transport{moistDiffusivity, moistActivation, moistHalf, filmPermeability, 0, moistSource + filmSource}},
	FibreAcross:  {Transport: Transport{muscleDiffusivity, muscleActivation, muscleHalf, filmPermeability, 0, muscleSource + filmSource}},
	FibreAlong: {Transport: Transport{alongFibres * muscleDiffusivity, muscleActivation, muscleHalf, filmPermeability, 0,
		muscleSource + "; along the fibres 1.4 times across (Cleveland and others 1976, from memory)" + filmSource}},
	// Crooked pores by Bruggeman (1935, from memory) would pass 0.69 of what air does in
	// a crumb of porosity 0.78, which is also what Tong & Lund's bread wants (1990;
	// formula from memory, 20 to 100 °C, 0.1 to 0.2 kg/kg: 0.3 to 1.5) if all of
	// it is vapour. But with that a baking crumb dries through with a front at 65 °C, where
	// bread keeps its water and has one at 100 °C (Zanoni, Peri, Pierucci 1993): most
	// of what evaporates in a pore condenses in the next. With a tenth it does so. A
	// dry crust has 0.03 to 0.3 (from memory).
	OpenPores: {Transport{moistDiffusivity, moistActivation, moistHalf, filmPermeability, 0,
		moistSource + "; vapour fitted: the front in baking bread (Zanoni, Peri, Pierucci 1993)"}, poresPass},
	// The walls of the bubbles are thin and not all whole.
	ClosedFoam: {Transport{moistDiffusivity, moistActivation, moistHalf, filmPermeability, 0,
		moistSource + "; vapour a guess: as open pores"}, poresPass},
	// Sheets of fat, a third of the thickness, lie across the way of the vapour; the
	// liquid passes where they are broken.
	Layered: {Transport: Transport{moistDiffusivity / 10, moistActivation, moistHalf, 3 * solidFat, meltedFat,
		"liquid a guess: a tenth of compact dough; " + fatSource + ", over a third of the way (guess)"}},
	FatContinuous: {Transport: Transport{0, 0, 0, solidFat, meltedFat, fatSource}},
}
