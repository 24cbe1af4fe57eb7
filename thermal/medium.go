package thermal

import (
	"math"
	"time"
)

// Medium is what surrounds a dish or a part of its surface during a stage.
type Medium interface {
	// At gives the surroundings at time t after the start of the stage. It must
	// be a pure function of t, and continuous but for the times in Changes. The
	// solver asks a few times in a step, and steps last up to Settings.MaxStep: what
	// comes and goes faster than that belongs into Changes.
	At(t time.Duration) Surroundings
}

// Changer is a Medium that jumps at known times after the start of the stage;
// steps of the solver end exactly there.
type Changer interface {
	Medium
	// Changes lists the times of the jumps; their order does not matter.
	Changes() []time.Duration
}

// Surroundings are what a surface meets at one moment; heat reaches it by
//
//	q = H (Fluid - Ts) + Emissivity σ (Walls⁴ - Ts⁴)   [W/m²]
//
// with Ts the surface temperature, which is solved for. A Surroundings value is
// itself the Medium that stays so.
type Surroundings struct {
	Fluid      float64 // [°C] air, water, oil or plate
	H          float64 // [W/(m² K)] convection or contact coefficient, 0 to 1e5
	Walls      float64 // [°C] what the surface sees
	Emissivity float64 // [-] of the surface, 0 (no radiation) to 1
	// Humidity is that of the fluid, if it is air that the surface may dry into or
	// draw dew from, where water moves. Default (zero): no water passes.
	Humidity Humidity
}

// At is s at any time.
func (s Surroundings) At(time.Duration) Surroundings { return s }

// faults lists what is wrong with s.
func (s Surroundings) faults(place string, pressure float64) []error {
	var faults []error
	check := func(field string, v, lo, hi float64, want string) {
		if !inRange(v, lo, hi) {
			faults = append(faults, &InputError{Place: place, Field: field, Value: v, Want: want})
		}
	}
	check("fluid temperature [°C]", s.Fluid, -200, 1000, "-200 to 1000")
	check("heat transfer coefficient [W/(m² K)]", s.H, 0, 1e5, "0 to 1e5")
	if s.Emissivity != 0 {
		check("emissivity", s.Emissivity, 0, 1, "0 to 1")
		check("wall temperature [°C]", s.Walls, -200, 1000, "-200 to 1000")
	}
	if _, _, err := s.Humidity.pressure(s.Fluid, pressure); err != nil && faults == nil {
		faults = append(faults, &InputError{Place: place, Field: "humidity", Value: s.Humidity, Want: "one that air of its temperature can have", Cause: err})
	}
	return faults
}

// span widens lo..hi by the temperatures that can drive heat.
func (s Surroundings) span(lo, hi float64) (float64, float64) {
	if s.H > 0 {
		lo, hi = math.Min(lo, s.Fluid), math.Max(hi, s.Fluid)
	}
	if s.Emissivity > 0 {
		lo, hi = math.Min(lo, s.Walls), math.Max(hi, s.Walls)
	}
	return lo, hi
}

// MediumFunc makes a function of time a Medium.
type MediumFunc func(t time.Duration) Surroundings

// At calls f.
func (f MediumFunc) At(t time.Duration) Surroundings { return f(t) }

// Changing says when, after the start of the stage, a medium jumps.
func Changing(m Medium, at ...time.Duration) Changer { return changing{m, at} }

type changing struct {
	Medium
	at []time.Duration
}

func (c changing) Changes() []time.Duration { return c.at }

// foodEmissivity is that of most foods. Food-engineering textbooks give 0.9 for
// many foods; dough and crust 0.85 to 0.92 (from memory).
const foodEmissivity = 0.9

func radiating(t, h float64, air Humidity) Surroundings {
	return Surroundings{Fluid: t, H: h, Walls: t, Emissivity: foodEmissivity, Humidity: air}
}

// ventedAir is the humidity of a vented domestic oven at t [°C], 0.02 kg/kg: between the
// 0.0075 of kitchen air and the 0.027 to 0.043 measured in gas-fired tunnels (Baik
// et al. 1999, Journal of Food Science 64). A guess: with the door tight and much
// food it is more.
func ventedAir(t float64) Humidity { return VapourPressure(math.Min(3157, 0.9*saturatedOver(t))) }

// kitchenAir is the humidity of air at 20 °C and 50 %, warmed to t [°C]; cooler air
// has 50 % too.
func kitchenAir(t float64) Humidity {
	return VapourPressure(0.5 * math.Min(2339, saturatedOver(t)))
}

// The media below are typical. Each gives a Surroundings whose fields may be set
// to what is known better, a measured coefficient above all: it is the largest
// unknown of most runs. Where water moves, air has a humidity too; bath, oil and
// plate let none pass.

// FanOven is a domestic oven at t [°C] with its fan on, walls at the same
// temperature: 20 W/(m² K) of convection, amid the 10 to 25 for air of 0.5 to 3
// m/s at the food (common practice, from memory).
func FanOven(t float64) Surroundings { return radiating(t, 20, ventedAir(t)) }

// SteamOven is a chamber at t [°C], 99 or more, full of steam at the pressure of the
// settings, superheated or not: convection as in FanOven, and what condenses
// brings the rest.
func SteamOven(t float64) Surroundings { return radiating(t, 20, Steam()) }

// StillOven is a domestic oven at t [°C] without fan: 7 W/(m² K) of natural
// convection, which Churchill & Chu (1975) give for a roll of 90 mm at 60 °C in
// air at 200 °C, and radiation from walls at the same temperature.
func StillOven(t float64) Surroundings { return radiating(t, 7, ventedAir(t)) }

// Room is still air at t [°C] between walls of the same temperature: 5 W/(m² K),
// between the 3.4 and 7.0 that Churchill & Chu (1975) give for a roll of 90 mm
// at small and large differences of temperature.
func Room(t float64) Surroundings { return radiating(t, 5, kitchenAir(t)) }

// Refrigerator is a domestic refrigerator at t [°C]: 5 W/(m² K) and radiation,
// about 10 in all. Measured overall coefficients of household appliances are 5 to
// 7 for thawing and 8 to 15 for freezing (Anderson et al. 2004, International
// Journal of Refrigeration 27), the lower of which thaw a steak in twice the time
// that household rules give. Relative humidity 75 %, in the middle of 60 to 90 (from
// memory).
func Refrigerator(t float64) Surroundings { return radiating(t, 5, RelativeHumidity(0.75)) }

// StillFreezer is a domestic freezer at t [°C]: 6 W/(m² K) of natural convection
// (Churchill & Chu 1975, roll of 90 mm, 20 °C in air at -18 °C: 5.8) and radiation.
// Air over the coil is nearly saturated; 90 % (from memory).
func StillFreezer(t float64) Surroundings { return radiating(t, 6, RelativeHumidity(0.9)) }

// BlastFreezer is an air-blast freezer at t [°C]: 30 W/(m² K), amid the 15 to 40
// for 2 to 5 m/s, and at 90 % relative humidity (from memory).
func BlastFreezer(t float64) Surroundings { return radiating(t, 30, RelativeHumidity(0.9)) }

// WaterBath is a circulated water bath at t [°C] around bagged food: 150
// W/(m² K), amid 100 to 200 (common practice, no source).
func WaterBath(t float64) Surroundings { return Surroundings{Fluid: t, H: 150} }

// HotOil is deep frying oil at t [°C]: 300 W/(m² K), the lower end of the
// averages for frying, which bubbles raise to 1000 for a while (Hubbard & Farkas
// 1999, Journal of Food Process Engineering 22). Mind the cautions of the
// package: wet food in hot oil spatters.
func HotOil(t float64) Surroundings { return Surroundings{Fluid: t, H: 300} }

// Plate is contact with a metal plate at t [°C]: 250 W/(m² K), the lower end of
// the 250 to 650 measured on double-sided grills (Wichchukit, Zorrilla & Singh
// 2001) and amid the 100 to 500 of plate freezers (from memory).
func Plate(t float64) Surroundings { return Surroundings{Fluid: t, H: 250} }

// Insulated lets no heat through.
func Insulated() Surroundings { return Surroundings{} }
