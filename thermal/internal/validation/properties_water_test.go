package validation

import (
	"fmt"
	"math"
	"strings"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// propComponentAt are the temperatures [°C] of the components compared; the tests of
// materials hold all others.
var propComponentAt = map[string]string{
	"protein": "20", "fat": "20", "water": "60", "ice": "-20",
}

func propComponents() ([]check, error) {
	components := map[string]materials.Component{
		"protein": materials.Protein, "fat": materials.Fat, "water": materials.Water, "ice": materials.Ice,
	}
	return propEach("choi-okos-1986/values.csv", func(r propRow) (check, bool, error) {
		if propComponentAt[r["component"]] != r["t"] {
			return check{}, false, nil
		}
		c, t := components[r["component"]], r.number("t")
		var ours, last float64
		var unit string
		switch r["property"] {
		case "conductivity":
			ours, unit, last = c.Conductivity(t), "W/(m K)", 1e-4
		case "density":
			ours, unit, last = c.Density(t), "kg/m³", 0.1
		case "specific-heat":
			ours, unit, last = c.SpecificHeat(t)/1e3, "kJ/(kg K)", 1e-4
		default:
			return check{}, false, fmt.Errorf("no such property")
		}
		return check{
			source:    "computed, polynomial of Choi & Okos 1986",
			quantity:  fmt.Sprintf("%s, %s at %g °C, %s", r["component"], strings.ReplaceAll(r["property"], "-", " "), t, unit),
			published: r.number("value"), ours: ours, tolerance: last,
		}, true, nil
	})
}

func propWaterAndIce() ([]check, error) {
	food, err := materials.Find("water")
	if err != nil {
		return nil, err
	}
	water, err := propRelation(food, phasechange.BoundWater)
	if err != nil {
		return nil, err
	}
	as, err := propEach("water-ice-properties/properties.csv", func(r propRow) (check, bool, error) {
		t := r.number("t")
		if r["property"] != "specific heat" || math.Abs(t) != 20 {
			return check{}, false, nil
		}
		return check{
			source:    propSource(r["source"], r["status"]),
			quantity:  fmt.Sprintf("%s, specific heat of the food called water at %g °C, %s", r["substance"], t, r["unit"]),
			published: r.number("value"), ours: water.specificHeat(t, t), tolerance: r.number("tolerance"),
		}, true, nil
	})
	if err != nil {
		return nil, err
	}
	pure, err := propEach("water-ice-properties/properties.csv", func(r propRow) (check, bool, error) {
		t := r.number("t")
		c := materials.Water
		if r["substance"] == "ice" {
			c = materials.Ice
		}
		ours := 0.0
		switch r["property"] {
		case "heat of fusion":
			ours = materials.LatentHeatFusion / 1e3
		case "density":
			ours = c.Density(t)
		case "conductivity":
			ours = c.Conductivity(t)
		case "specific heat":
			ours = c.SpecificHeat(t) / 1e3
		default:
			return check{}, false, fmt.Errorf("no such property")
		}
		return check{
			source:    propSource(r["source"], r["status"]),
			quantity:  fmt.Sprintf("%s, measured %s at %g °C, %s", r["substance"], r["property"], t, r["unit"]),
			published: r.number("value"), ours: ours, tolerance: r.number("tolerance"),
		}, true, nil
	})
	return append(pure, as...), err
}

// propSteam holds pressures and heats that were seen in print; those recomputed
// from the equations are held by the tests of phasechange.
func propSteam() ([]check, error) {
	pressures, err := propEach("water-ice-steam/saturation-pressure.csv", func(r propRow) (check, bool, error) {
		// The handbook states 300 ppm, and its figure is rounded, too.
		t, p := r.number("t"), r.number("pressure")
		tolerance := 3e-4 * p
		switch {
		case r["status"] == "quoted":
			tolerance += math.Pow(10, -float64(propDecimals(r["pressure"]))) / 2
		case r["status"] == "printed" && (t == 40 || t == 60 || t == 80):
			tolerance = 10 // the table is in MPa to five decimals
		default:
			return check{}, false, nil
		}
		ours := phasechange.SaturationPressure(t)
		if r["over"] == "ice" {
			ours = phasechange.SublimationPressure(t)
		}
		return check{
			source:    r["source"],
			quantity:  fmt.Sprintf("vapour pressure over %s at %g °C, Pa", r["over"], t),
			published: p, ours: ours, tolerance: tolerance,
		}, true, nil
	})
	if err != nil {
		return nil, err
	}
	heats, err := propEach("water-ice-steam/vaporisation.csv", func(r propRow) (check, bool, error) {
		switch r["t"] {
		case "0.01", "50", "100", "150":
		default:
			return check{}, false, nil
		}
		t := r.number("t")
		return check{
			source:    propSource("Ohio University steam table", r["status"]),
			quantity:  fmt.Sprintf("heat of vaporisation at %g °C, kJ/kg", t),
			published: r.number("heat"), ours: phasechange.LatentHeatVaporisation(t) / 1e3, tolerance: 2.5, // 0.1 %
		}, true, nil
	})
	return append(pressures, heats...), err
}

// propDecimals counts the digits behind the point.
func propDecimals(text string) int {
	for i, c := range text {
		if c == '.' {
			return len(text) - i - 1
		}
	}
	return 0
}
