package validation

import (
	"fmt"
	"strconv"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// propFrozen are the foods of Riedel's tables, by the name they have there.
func propFrozen() (rows []propRow, foods map[string]propFood, err error) {
	rows, err = propRead("ashrae-worked-examples/frozen-enthalpy.csv")
	if err != nil {
		return nil, nil, err
	}
	foods = map[string]propFood{}
	for _, r := range rows {
		food, err := propFrozenFood(r)
		if err != nil {
			return nil, nil, err
		}
		if foods[r["measured"]], err = propRelation(food, phasechange.BoundWater); err != nil {
			return nil, nil, err
		}
	}
	return rows, foods, nil
}

// propFrozenFood is the food of our table that stands for a row, brought to the
// water of the row: by drying or wetting, or by the shell an egg is measured with.
func propFrozenFood(r propRow) (materials.Food, error) {
	food, err := materials.Find(r["model"])
	if err != nil {
		return food, err
	}
	water := r.number("water") / 100
	switch r["by"] {
	case "water":
		return food.WithWater(water)
	case "shell":
		// With a freezing point of its own a food without water brings no solutes.
		shell := materials.Food{Name: "shell", Composition: materials.Composition{Ash: 1}, FreezingPoint: -1}
		part := 1 - water/food.Composition.Water
		return materials.Mix(r["measured"], materials.Part{Food: food, Mass: 1 - part}, materials.Part{Food: shell, Mass: part})
	}
	return food, fmt.Errorf("brought to its water by %q, want water or shell", r["by"])
}

func propEnthalpies() ([]check, error) {
	rows, foods, err := propFrozen()
	if err != nil {
		return nil, err
	}
	var checks []check
	for _, r := range rows {
		f, all := foods[r["measured"]], r.number("0")
		for _, t := range []string{"0", "-5", "-10", "-20"} {
			at, err := strconv.ParseFloat(t, 64)
			if err != nil {
				return nil, err
			}
			checks = append(checks, check{
				source:    "Riedel in ASHRAE Fundamentals 1972 (from memory)",
				quantity:  fmt.Sprintf("enthalpy of %s, %g %% water, -40 to %s °C, kJ/kg", r["measured"], r.number("water"), t),
				published: r.number(t) - r.number("-40"), ours: f.Enthalpy(at, -40) / 1e3, tolerance: 0.03 * all, scale: all,
			})
		}
	}
	return checks, nil
}

func propUnfrozen() ([]check, error) {
	_, foods, err := propFrozen()
	if err != nil {
		return nil, err
	}
	return propEach("riedel-frozen-foods/unfrozen-water.csv", func(r propRow) (check, bool, error) {
		f, ok := foods[r["measured"]]
		if !ok {
			return check{}, false, fmt.Errorf("no such food")
		}
		t, water := r.number("t"), f.Water()/f.Density()
		return check{
			source:    "Riedel in ASHRAE Fundamentals 1972 (from memory)",
			quantity:  fmt.Sprintf("unfrozen water of %s at %g °C, %% of all water", r["measured"], t),
			published: r.number("unfrozen"), ours: 100 * (1 - f.ice(t)/water), tolerance: 3, scale: 100,
		}, true, nil
	})
}

// propSolution is a solution of salt or sugar [kg/kg].
func propSolution(r propRow) (materials.Food, error) {
	share := r.number("amount") / 100
	if r["by"] == "mol/kg water" {
		const molar = 0.05844 // [kg/mol] NaCl
		salt := r.number("amount") * molar
		share = salt / (1 + salt)
	}
	f := materials.Food{Name: r["solute"], Composition: materials.Composition{Water: 1 - share}}
	if r["solute"] == "NaCl" {
		f.Composition.Ash, f.Composition.Salt = share, share
	} else {
		f.Composition.Carbohydrate, f.Composition.Sugar = share, share
	}
	return f, f.Validate()
}

func propSolutions() ([]check, error) {
	return propEach("water-ice-steam/freezing-of-solutions.csv", func(r propRow) (check, bool, error) {
		switch r["solute"] + r["by"] + r["amount"] {
		case "NaClmol/kg water0.05", "NaClmol/kg water0.10", "NaClmol/kg water0.25", "NaClmol/kg water0.50", "NaClmol/kg water0.75",
			"NaClmass %10", "NaClmass %15", "NaClmass %20",
			"sucrosemass %5", "sucrosemass %10", "sucrosemass %20", "sucrosemass %40",
			"glucosemass %10", "glucosemass %20":
		default:
			return check{}, false, nil
		}
		f, err := propSolution(r)
		if err != nil {
			return check{}, false, err
		}
		source, tolerance := propSource(r["source"], r["status"]), 0.02
		if r["status"] == "computed" {
			source = "computed, Raoult's law"
		}
		if propDecimals(r["depression"]) == 1 {
			tolerance = 0.1
		}
		return check{
			source:    source,
			quantity:  fmt.Sprintf("freezing point depression of %s %s %s, K", r["amount"], r["by"], r["solute"]),
			published: r.number("depression"), ours: -f.InitialFreezingPoint(), tolerance: tolerance,
		}, true, nil
	})
}

// propMeasuredPoints are foods whose freezing point is printed and estimated here
// from their composition.
var propMeasuredPoints = []string{
	"Mushrooms", "Onions", "Spinach", "Potatoes, main crop", "Carrots", "Peas, green", "Apples, fresh", "Cherries, sweet",
	"Strawberries", "Pears", "Cod (whole fish)", "Beef sirloin, lean", "Lamb, composite, lean", "Egg, whole", "Milk, whole", "Cheddar",
}

func propFreezingPoints() ([]check, error) {
	wanted := map[string]bool{}
	for _, name := range propMeasuredPoints {
		wanted[name] = true
	}
	return propEach("ashrae-refrigeration/composition.csv", func(r propRow) (check, bool, error) {
		if !wanted[r["food"]] {
			return check{}, false, nil
		}
		x := func(column string) float64 { return r.number(column) / 100 }
		c, err := materials.Composition{
			Water: x("water"), Protein: x("protein"), Fat: x("fat"), Carbohydrate: x("carbohydrate_total") - x("fibre"), Fibre: x("fibre"),
			Ash: x("ash"), Salt: x("salt_from_memory"), Sugar: x("sugar_from_memory"),
		}.Normalize()
		if err != nil {
			return check{}, false, err
		}
		return check{
			source:    propSource("ASHRAE Refrigeration, Table 3", r["status"]),
			quantity:  fmt.Sprintf("initial freezing point of %s from its composition, °C", r["food"]),
			published: r.number("freezing_point"), ours: materials.Food{Composition: c}.InitialFreezingPoint(),
			tolerance: 0.4, scale: 10,
		}, true, nil
	})
}
