package verdict

import (
	"fmt"
	"math"
)

// Numbers for readers: deg and deg1 write a temperature, percent a share.

func deg(t float64) string     { return fmt.Sprintf("%.0f °C", t) }
func deg1(t float64) string    { return fmt.Sprintf("%.1f °C", t) }
func percent(x float64) string { return fmt.Sprintf("%.3g %%", math.Round(1000*x)/10) }

// short writes a number with two digits, or as a whole one from ten on.
func short(v float64) string {
	if math.Abs(v) < 9.95 {
		return fmt.Sprintf("%.2g", v)
	}
	return fmt.Sprintf("%.0f", v)
}

func grams(kg float64) string {
	if math.Abs(kg) < 1e-7 {
		return "0 g" // rounding
	}
	if math.Abs(kg) >= 0.9995 {
		return fmt.Sprintf("%.2f kg", kg)
	}
	return short(1e3*kg) + " g"
}

// lostOrGained tells of water lost [kg], a share of the weight.
func lostOrGained(kg, share float64) string {
	if kg < 0 && grams(kg) != grams(0) {
		return fmt.Sprintf("gained %s of water, %s", grams(-kg), percent(-share))
	}
	return fmt.Sprintf("lost %s of water, %s", grams(kg), percent(math.Abs(share)))
}

func millis(m float64) string     { return short(1e3*m) + " mm" }
func kelvin(k float64) string     { return short(k) + " K" }
func aMinute(rise float64) string { return short(60*rise) + " K a minute" } // of a rise [K/s]

// minutes writes seconds as minutes from a hundred on, whole ones from three minutes
// on, and as hours from a hundred minutes on.
func minutes(s float64) string {
	m := s / 60
	switch {
	case s < 99.5:
		return short(s) + " s"
	case m < 3:
		return short(m) + " min"
	case m < 100:
		return fmt.Sprintf("%.0f min", m)
	}
	h := math.Floor(math.Round(m) / 60)
	return fmt.Sprintf("%.0f h %.0f min", h, math.Round(m)-60*h)
}

// instant [s] is what a cook does not time.
const instant = 5.0

// briefly writes seconds of advice.
func briefly(s float64) string {
	if s < instant {
		return "a little"
	}
	return minutes(s)
}

// about writes them where they are a guess.
func about(s float64) string {
	if s < instant {
		return "a little"
	}
	return "about " + minutes(s)
}

// amount writes a value in the unit of a finding.
func amount(v float64, unit string) string {
	switch unit {
	case "-":
		return percent(v)
	case "s":
		return minutes(v)
	case "m":
		return millis(v)
	case "kg":
		return grams(v)
	case "°C", "K":
		return kelvin(v)
	}
	return short(v) + " " + unit
}
