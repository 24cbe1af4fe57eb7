package validation

import (
	"fmt"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

func propConductivities() ([]check, error) {
	return propEach("ashrae-refrigeration/conductivity.csv", func(r propRow) (check, bool, error) {
		structure, err := materials.ParseStructure(r["structure"])
		if err != nil {
			return check{}, false, err
		}
		food := propTissue(r, structure, materials.NoFat)
		if rho := r.number("porosity_density"); rho > 0 {
			food.Porosity = 1 - rho/food.Density()
		}
		f, err := propRelation(food, phasechange.BoundWater)
		if err != nil {
			return check{}, false, err
		}
		t, k := r.number("t"), r.number("conductivity")
		return check{
			source:    r["original"] + " (from memory)",
			quantity:  fmt.Sprintf("conductivity of %s, %s, %g %% water, at %g °C, W/(m K)", r["material"], r["structure"], r.number("water"), t),
			published: k, ours: f.conductivity(t), tolerance: 0.10 * k,
		}, true, nil
	})
}

func propDairy() ([]check, error) {
	rows, err := propRead("tavman-1999/conductivity.csv")
	if err != nil {
		return nil, err
	}
	line := map[string]float64{}
	for _, r := range rows {
		line[r["quantity"]] = r.number("value")
	}
	const t = 20.0 // [°C], the middle of the range measured
	var checks []check
	for _, name := range []string{"milk, whole", "cream cheese", "cheddar cheese", "butter"} {
		food, err := materials.Find(name)
		if err != nil {
			return nil, err
		}
		f, err := propRelation(food, phasechange.BoundWater)
		if err != nil {
			return nil, err
		}
		checks = append(checks, check{
			source:    "Tavman & Tavman 1999, regression",
			quantity:  fmt.Sprintf("conductivity of %s, %.1f %% water, at %g °C, W/(m K)", name, 100*food.Composition.Water, t),
			published: line["conductivity without water"] + line["rise per % of water"]*100*food.Composition.Water,
			ours:      f.conductivity(t),
			tolerance: 0.036, // standard deviation, see the README of the folder
		})
	}
	return checks, nil
}

func propSpecificHeats() ([]check, error) {
	return propEach("specific-heats/specific-heats.csv", func(r propRow) (check, bool, error) {
		fat, err := materials.ParseFatKind(r["fat_kind"])
		if err != nil {
			return check{}, false, err
		}
		f, err := propRelation(propTissue(r, materials.Compact, fat), phasechange.BoundWater)
		if err != nil {
			return check{}, false, err
		}
		from, to := r.number("from"), r.number("to")
		middle, half := r.band()
		span := fmt.Sprintf("from %g to %g °C", from, to)
		if from == to {
			span = fmt.Sprintf("at %g °C", from)
		}
		// A wet food boils from 100 °C on: stay below.
		return check{
			source:    r["source"],
			quantity:  fmt.Sprintf("specific heat of %s, %g %% water, %s, kJ/(kg K)", r["material"], r.number("water"), span),
			published: middle, ours: f.specificHeat(from, min(to, 99)), tolerance: max(half, 0.05*middle),
		}, true, nil
	})
}

// propPrinted are foods of our table that stand for rows of the handbook's.
var propPrinted = map[string]string{
	"Mushrooms": "mushrooms, raw", "Carrots": "carrots, raw", "Leeks": "leeks, raw", "Celery": "celery, raw",
	"Apples, fresh": "apples, raw", "Strawberries": "strawberries, raw",
	"Cod (whole fish)": "cod, raw", "Salmon, pink": "salmon, pink, raw", "Beef sirloin, lean": "beef sirloin, raw",
	"Lamb, composite, lean": "lamb, lean, raw", "Egg white": "egg white, raw", "Milk, whole": "milk, whole",
	"Cheddar": "cheddar cheese",
}

func propPrintedHeats() ([]check, error) {
	const source = "ASHRAE Refrigeration, Table 3"
	heat := func(r propRow) (propFood, bool, error) {
		name, wanted := propPrinted[r["food"]]
		if !wanted {
			return propFood{}, false, nil
		}
		food, err := materials.Find(name)
		if err != nil {
			return propFood{}, false, err
		}
		f, err := propRelation(food, phasechange.BoundWater)
		return f, true, err
	}
	specific, err := propEach("ashrae-refrigeration/composition.csv", func(r propRow) (check, bool, error) {
		f, wanted, err := heat(r)
		if !wanted || err != nil {
			return check{}, wanted, err
		}
		return check{
			source:    propSource(source, r["status"]),
			quantity:  fmt.Sprintf("specific heat of %s at 4 °C, kJ/(kg K)", f.Food().Name),
			published: r.number("cp_above"), ours: f.specificHeat(4, 4),
			tolerance: 0.02, // how far the handbook's own rule leaves its rows
		}, true, nil
	})
	if err != nil {
		return nil, err
	}
	latent, err := propEach("ashrae-refrigeration/composition.csv", func(r propRow) (check, bool, error) {
		f, wanted, err := heat(r)
		if !wanted || err != nil {
			return check{}, wanted, err
		}
		return check{
			source:    propSource(source, r["status"]),
			quantity:  fmt.Sprintf("heat of fusion of all water of %s, kJ/kg", f.Food().Name),
			published: r.number("latent"), ours: f.Water() / f.Density() * materials.LatentHeatFusion / 1e3,
			tolerance: 1, // twice the rounding
		}, true, nil
	})
	return append(specific, latent...), err
}
