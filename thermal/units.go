package thermal

import "time"

// Conversions for kitchens that do not use SI.
const (
	Inch  = 0.0254         // [m] exact
	Pound = 0.45359237     // [kg] exact (avoirdupois)
	Ounce = 0.028349523125 // [kg] exact (avoirdupois)
	MM    = 1e-3           // [m]
)

// FromFahrenheit gives the temperature t [°F] in [°C].
//
//	(t - 32) 5/9   [°C]
func FromFahrenheit(t float64) float64 { return (t - 32) * 5 / 9 }

// ToFahrenheit gives the temperature t [°C] in [°F].
func ToFahrenheit(t float64) float64 { return t*9/5 + 32 }

// Minutes gives m minutes [min] as a Duration, fractions included.
func Minutes(m float64) time.Duration { return duration(m * 60) }

// Hours gives h hours [h] as a Duration, fractions included.
func Hours(h float64) time.Duration { return duration(h * 3600) }
