package validation

import (
	"fmt"
	"math"
	"testing"

	"example.com/thawfront/phasechange"
)

var humidAirGroup = group{
	name: "humid air",
	reason: "the handbook's error of the vapour pressure, 300 ppm, and the rounding; where the value is that of real air (saturated air, the chart " +
		"of example 1) also 0.7 % of the saturated humidity ratio, which the handbook grants the ideal gas from -50 to 50 °C (Kuehn and others 1998), " +
		"above 50 °C in the same proportion to the vapour's pressure",
	checks: humidAirChecks,
}

const (
	humidHandbook = "ASHRAE Handbook - Fundamentals (2017) ch. 1"

	humidPressureError = 3e-4 // of the vapour pressure, relative
	humidIdealError    = 7e-3 // of the saturated humidity ratio, relative
	// humidSlope is the least d ln p/dT of saturated vapour [1/K] from 10 to
	// 100 °C: 0.0355 at 100 °C by the steam tables (from memory).
	humidSlope = 0.0355
)

func humidAirChecks() ([]check, error) {
	var all []check
	for _, f := range []func() ([]check, error){humidSaturated, humidStates, humidWetBulbs, humidDewPoints, humidFractions} {
		checks, err := f()
		if err != nil {
			return nil, err
		}
		all = append(all, checks...)
	}
	return all, nil
}

// humidSaturated holds saturated air against the table of real air. Its humidity
// ratio 0.622 p/(P - p) is off by what the vapour pressure p is off, times
// P/(P - p): the handbook's bound at 50 °C says how much p may be off above.
func humidSaturated() ([]check, error) {
	growth := func(t float64) float64 {
		const pressure = phasechange.StandardPressure
		return pressure / (pressure - phasechange.SaturationPressure(t))
	}
	return propEach("humid-air/saturation.csv", func(r propRow) (check, bool, error) {
		t, w := r.number("t"), r.number("humidity_ratio")
		a, err := phasechange.HumidAirFromRelativeHumidity(t, 1, phasechange.StandardPressure)
		return check{
			source:    humidHandbook + ", table of moist air",
			quantity:  fmt.Sprintf("saturated air at %g °C, humidity ratio, kg/kg", t),
			published: w, ours: a.W,
			tolerance: humidIdealError*w*max(1, growth(t)/growth(50)) + humidHalfDigit(r["humidity_ratio"]),
		}, true, err
	})
}

// humidStates holds states known by their wet bulb.
func humidStates() ([]check, error) {
	return propEach("humid-air/wet-bulb-states.csv", func(r propRow) (check, bool, error) {
		t, wet, pressure := r.number("t"), r.number("wet_bulb"), r.number("pressure")
		a, err := phasechange.HumidAirFromWetBulb(t, wet, pressure)
		if err != nil {
			return check{}, false, err
		}
		saturated, err := phasechange.HumidAirFromRelativeHumidity(wet, 1, pressure)
		if err != nil {
			return check{}, false, err
		}
		source, doubt := humidHandbook+", example 1", (humidIdealError+humidPressureError)*saturated.W
		if r["status"] == "computed" {
			source, doubt = "computed, equations 33 and 35 of ASHRAE Fundamentals ch. 1", humidPressureError*saturated.W
		}
		c := check{
			source:    source,
			quantity:  fmt.Sprintf("air of %g °C, wet bulb %g °C, %g Pa: %s, %s", t, wet, pressure, r["quantity"], r["unit"]),
			published: r.number("value"), tolerance: r.number("rounding"),
		}
		switch r["quantity"] {
		case "humidity ratio":
			c.ours = a.W
			c.tolerance += doubt
		case "dew point":
			c.ours, err = a.DewPoint()
			c.scale = t - c.published // the depression of the dew point
		case "relative humidity":
			c.ours = 100 * a.RelativeHumidity()
		case "enthalpy":
			c.ours = a.Enthalpy() / 1e3
		case "volume":
			c.ours = a.Volume()
		default:
			err = fmt.Errorf("no such quantity")
		}
		return c, true, err
	})
}

// humidRatios are the humidity ratios [kg/kg] compared; the tests of phasechange
// hold the others.
var humidRatios = map[string]bool{"0.010": true, "0.030": true, "0.10": true, "0.50": true}

func humidWetBulbs() ([]check, error) {
	return propEach("humid-air/wet-bulb.csv", func(r propRow) (check, bool, error) {
		t := r.number("t")
		if r["supersaturated"] == "yes" || !humidRatios[r["humidity_ratio"]] || math.Mod(t, 50) != 0 {
			return check{}, false, nil
		}
		a := phasechange.HumidAir{T: t, W: r.number("humidity_ratio"), Pressure: phasechange.StandardPressure}
		wet, err := a.WetBulb()
		return check{
			source:    "computed, equation 33 of ASHRAE Fundamentals ch. 1",
			quantity:  fmt.Sprintf("air of %g °C, %g kg/kg: wet bulb, °C", t, a.W),
			published: r.number("wet_bulb"), ours: wet,
			tolerance: humidHalfDigit(r["wet_bulb"]) + humidPressureError/humidSlope,
		}, true, err
	})
}

func humidDewPoints() ([]check, error) {
	return propEach("humid-air/dew-point.csv", func(r propRow) (check, bool, error) {
		if !humidRatios[r["humidity_ratio"]] {
			return check{}, false, nil
		}
		a := phasechange.HumidAir{T: 150, W: r.number("humidity_ratio"), Pressure: phasechange.StandardPressure}
		dew, err := a.DewPoint()
		return check{
			source:    "computed, vapour pressure of Hyland & Wexler 1983",
			quantity:  fmt.Sprintf("air with %g kg/kg: dew point, °C", a.W),
			published: r.number("dew_point"), ours: dew,
			tolerance: humidHalfDigit(r["dew_point"]) + humidPressureError/humidSlope,
		}, true, err
	})
}

func humidFractions() ([]check, error) {
	return propEach("humid-air/dew-point.csv", func(r propRow) (check, bool, error) {
		if !humidRatios[r["humidity_ratio"]] {
			return check{}, false, nil
		}
		a := phasechange.HumidAir{T: 150, W: r.number("humidity_ratio"), Pressure: phasechange.StandardPressure}
		return check{
			source:    "computed, equation 20 of ASHRAE Fundamentals ch. 1",
			quantity:  fmt.Sprintf("air with %g kg/kg: vapour's mole fraction, %%", a.W),
			published: r.number("mole_fraction"), ours: 100 * a.MoleFraction(), tolerance: humidHalfDigit(r["mole_fraction"]),
		}, true, nil
	})
}

// humidHalfDigit is half of the last digit of a decimal number such as 0.0250 or
// 2.43e-5.
func humidHalfDigit(text string) float64 {
	var exponent int
	mantissa := text
	for i, c := range text {
		if c == 'e' {
			mantissa = text[:i]
			if _, err := fmt.Sscan(text[i+1:], &exponent); err != nil {
				panic(err) // as propRow.number does: the file is wrong
			}
		}
	}
	return 0.5 * math.Pow(10, float64(exponent-propDecimals(mantissa)))
}

// TestHumidAirGroup runs the group alone.
func TestHumidAirGroup(t *testing.T) {
	checks, err := humidAirGroup.checks()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range checks {
		t.Log(c.row())
		if !c.within() && c.known == "" {
			t.Errorf("%s, %s: published %g, ours %g, tolerance %g", c.source, c.quantity, c.published, c.ours, c.tolerance)
		}
	}
}
