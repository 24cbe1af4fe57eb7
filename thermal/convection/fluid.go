package convection

import (
	"fmt"
	"math"

	"example.com/thawfront/phasechange"
)

// Fluid is a fluid at one temperature.
type Fluid struct {
	Conductivity float64 // [W/(m K)]
	Viscosity    float64 // [m²/s] kinematic
	Diffusivity  float64 // [m²/s] of heat
	Expansion    float64 // [1/K] by volume
}

// Prandtl is the ratio of the viscosity to the diffusivity [-].
func (f Fluid) Prandtl() float64 { return f.Viscosity / f.Diffusivity }

// InputError is a size, speed or temperature that a correlation is not made for.
type InputError struct {
	Place string  // such as "cylinder in a cross flow"
	Field string  // such as "Reynolds number"
	Value float64 // [-] in the unit that Want names
	Want  string
}

// Error names the place, the value and what is wanted.
func (e *InputError) Error() string {
	if e == nil {
		return "convection: no fault"
	}
	return fmt.Sprintf("convection: %s: %s %.4g, want %s", e.Place, e.Field, e.Value, e.Want)
}

// within checks a value, which must be finite and from low to high.
func within(place, field string, v, low, high float64, unit string) error {
	if v >= low && v <= high && !math.IsInf(v, 0) {
		return nil
	}
	return &InputError{place, field, v, fmt.Sprintf("%g to %g%s", low, high, unit)}
}

const (
	kelvin  = 273.15
	gravity = 9.80665 // [m/s²] standard
)

// Air is dry air at a film temperature t [°C], -100 to 600, and a pressure [Pa], 20e3 to
// 500e3. Viscosity is by Sutherland's law with the constants of the U.S. Standard Atmosphere
// (1976), conductivity and specific heat are those of [phasechange.DryAir], the rest is an
// ideal gas. Humidity is left out.
func Air(t, pressure float64) (Fluid, error) {
	if err := within("air", "temperature", t, -100, 600, " °C"); err != nil {
		return Fluid{}, err
	}
	if err := within("air", "pressure", pressure, 20e3, 500e3, " Pa"); err != nil {
		return Fluid{}, err
	}
	T := t + kelvin
	root := T * math.Sqrt(T)
	density := pressure / (287.05287 * T)
	k, _, cp, _ := phasechange.DryAir(t)
	return Fluid{
		Conductivity: k,
		Viscosity:    1.458e-6 * root / (T + 110.4) / density,
		Diffusivity:  k / (density * cp),
		Expansion:    1 / T,
	}, nil
}

// Water is liquid water at a film temperature t [°C], 5 to 100. Density by Kell (1975),
// viscosity by Vogel's equation, within 1 % of 1.519, 1.002, 0.653, 0.404 and 0.282 mPa s
// at 5, 20, 40, 70 and 100 °C, conductivity by a parabola through 0.561, 0.644 and 0.679
// W/(m K) at 0, 50 and 100 °C (values of the IAPWS formulations, all from memory). Below 5
// °C the expansion turns around, and correlations of still water mean nothing.
func Water(t float64) (Fluid, error) {
	if err := within("water", "temperature", t, 5, 100, " °C"); err != nil {
		return Fluid{}, err
	}
	density := kell(t)
	const cp = 4187.0
	k := 0.561 + t*(2.14e-3-t*9.6e-6)
	return Fluid{
		Conductivity: k,
		Viscosity:    2.4263e-5 * math.Pow(10, 247.8/(t+kelvin-140)) / density,
		Diffusivity:  k / (density * cp),
		Expansion:    -(kell(t+0.01) - kell(t-0.01)) / 0.02 / density,
	}, nil
}

// kell is the density of water [kg/m³] at t [°C].
func kell(t float64) float64 {
	return (999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9-t*280.54253e-12))))) / (1 + 16.879850e-3*t)
}
