package thermal

import (
	"fmt"
	"math"

	"example.com/thawfront/phasechange"
)

// Humidity is the water vapour in a medium, which decides whether a surface dries
// or draws dew. Its zero value is Sealed.
//
// What can be said of a medium depends on its temperature and pressure; where it
// cannot be, the fault is an *InputError. Vapour over saturation, that of ice below
// 0 °C and of water from there, is such a fault. Up to 5 % over the total pressure
// counts as pure steam, so that saturated air at 100 °C may be had at any weather.
type Humidity struct {
	kind  humidityKind
	value float64
}

type humidityKind uint8

const (
	sealed humidityKind = iota
	humidityRatio
	relativeHumidity
	dewPoint
	wetBulb
	vapourPressure
	steam
)

// Sealed lets no water pass: a bath around a bag, a plate, foil. It is the zero
// value of Humidity.
// Steam that boils still finds its way out.
func Sealed() Humidity { return Humidity{} }

// HumidityRatio is air with w [kg/kg of dry air] of vapour, 0 to 100. A kitchen's air
// has about 0.01; an oven fills with what the food gives off.
func HumidityRatio(w float64) Humidity { return Humidity{humidityRatio, w} }

// RelativeHumidity is vapour at the share rh [-], 0 to 1, of the vapour pressure of
// water at the medium's temperature, or of ice below 0 °C. Over 100 °C that pressure
// exceeds the atmosphere's and rh has to stay below their ratio; over 373 °C there is
// none.
func RelativeHumidity(rh float64) Humidity { return Humidity{relativeHumidity, rh} }

// DewPoint is air on whose vapour dew forms at t [°C], or hoar-frost below 0 °C: -100
// to the medium's own temperature.
func DewPoint(t float64) Humidity { return Humidity{dewPoint, t} }

// WetBulb is air of the thermodynamic wet bulb t [°C], see phasechange.HumidAir,
// which takes dry bulbs of -100 to 300 °C.
func WetBulb(t float64) Humidity { return Humidity{wetBulb, t} }

// VapourPressure is vapour at the partial pressure p [Pa].
func VapourPressure(p float64) Humidity { return Humidity{vapourPressure, p} }

// Steam is steam without air, saturated or superheated. A medium a little below the
// boiling point, by 1.4 K at the standard pressure, is taken as saturated with the
// rest air.
func Steam() Humidity { return Humidity{kind: steam} }

// String puts the humidity into words.
func (h Humidity) String() string {
	switch h.kind {
	case humidityRatio:
		return fmt.Sprintf("%g kg/kg of dry air", h.value)
	case relativeHumidity:
		return fmt.Sprintf("%g %% relative humidity", h.value*100)
	case dewPoint:
		return fmt.Sprintf("dew point %g °C", h.value)
	case wetBulb:
		return fmt.Sprintf("wet bulb %g °C", h.value)
	case vapourPressure:
		return fmt.Sprintf("vapour pressure %g Pa", h.value)
	case steam:
		return "steam"
	}
	return "sealed"
}

const (
	vapourToAir   = 0.621945 // molar mass of water over that of dry air (ASHRAE 2017, chapter 1)
	overSaturated = 1e-9     // share by which rounding may take vapour over saturation
	steamSlack    = 0.05     // share of the total pressure by which vapour may pass it, or steam miss it
	lastBoiling   = 373.9    // [°C] just below the critical point, where the saturation pressure ends
)

// Check says what is wrong with the humidity for air of a temperature fluid [°C] at a total
// pressure [Pa]: it gives an *InputError if such air cannot be.
func (h Humidity) Check(fluid, total float64) error {
	_, _, err := h.pressure(fluid, total)
	return err
}

// pressure is the partial pressure of the vapour [Pa] in a medium of temperature
// fluid [°C] at a total pressure [Pa]; open is false, and p of no meaning, if no water
// passes.
func (h Humidity) pressure(fluid, total float64) (p float64, open bool, err error) {
	v := h.value
	switch {
	case h.kind == sealed:
		return 0, false, nil
	case !inRange(fluid, -200, 1000):
		return 0, false, humidityFault("fluid temperature [°C]", fluid, "-200 to 1000")
	case !inRange(total, phasechange.MinPressure, phasechange.MaxPressure):
		return 0, false, humidityFault("total pressure [Pa]", total, "20e3 to 500e3")
	}
	field := "humidity"
	switch h.kind {
	case humidityRatio:
		if field = "humidity ratio [kg/kg]"; !inRange(v, 0, 100) {
			return 0, false, humidityFault(field, v, "0 to 100")
		}
		p = total * v / (vapourToAir + v)
	case relativeHumidity:
		if field = "relative humidity"; !inRange(v, 0, 1) || fluid > lastBoiling {
			return 0, false, humidityFault(field, v, "0 to 1, in a medium below 374 °C")
		}
		p = v * saturatedOver(fluid)
	case dewPoint:
		if field = "dew point [°C]"; !inRange(v, -100, fluid) {
			return 0, false, humidityFault(field, v, fmt.Sprintf("-100 to the fluid's %g", fluid))
		}
		p = saturatedOver(v)
	case wetBulb:
		air, err := phasechange.HumidAirFromWetBulb(fluid, v, total)
		if err != nil {
			return 0, false, &InputError{Place: humidityPlace, Field: "wet bulb [°C]", Value: v, Cause: err}
		}
		return air.VapourPressure(), true, nil
	case vapourPressure:
		if field = "vapour pressure [Pa]"; !(v >= 0) {
			return 0, false, humidityFault(field, v, "at least 0")
		}
		p = v
	case steam:
		saturated := saturatedOver(fluid)
		if saturated < (1-steamSlack)*total {
			return 0, false, humidityFault("fluid temperature [°C]", fluid, fmt.Sprintf("near the boiling point or above: steam of %g Pa is not so cold", total))
		}
		return math.Min(saturated, total), true, nil
	}
	if p > (1+steamSlack)*total {
		return 0, false, humidityFault(field, v, fmt.Sprintf("vapour of no more than the total pressure of %g Pa, not %.6g", total, p))
	}
	if s := saturatedOver(fluid); p > s*(1+overSaturated) {
		return 0, false, humidityFault(field, v, fmt.Sprintf("no more vapour than saturates air of %g °C: %.6g Pa, not %.6g", fluid, s, p))
	}
	return math.Min(p, total), true, nil
}

const humidityPlace = "medium"

func humidityFault(field string, v float64, want string) error {
	return &InputError{Place: humidityPlace, Field: field, Value: v, Want: want}
}

// saturatedOver is the vapour pressure [Pa] of ice or water, whichever is stable at
// t [°C].
func saturatedOver(t float64) float64 {
	if t < 0 {
		return phasechange.SublimationPressure(t)
	}
	return phasechange.SaturationPressure(t)
}
