package validation

import (
	"fmt"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// propExamples are the worked examples of ASHRAE Handbook - Refrigeration. Compositions
// are those of the examples, which leave the melting of fat out.
func propExamples() ([]check, error) {
	carcass, carcassBound := propComplete(materials.Composition{Water: 0.5821, Protein: 0.1748, Fat: 0.2255, Ash: 0.0082}), 0.4*0.1748
	foods := map[string]struct {
		food  materials.Food
		curve phasechange.IceCurve
	}{
		"ice in a beef carcass":   {materials.Food{FreezingPoint: -1.7, Composition: materials.Composition{Water: 0.58, Protein: 0.18, Fat: 0.23, Ash: 0.01}}, phasechange.Tchigeov},
		"cooling lamb":            {materials.Food{Composition: propComplete(materials.Composition{Water: 0.7342, Protein: 0.2029, Fat: 0.0525, Ash: 0.0106})}, phasechange.BoundWater},
		"freezing a beef carcass": {materials.Food{FreezingPoint: -1.7, Composition: carcass, BoundWater: &carcassBound}, phasechange.BoundWater},
		"freezing a beef block":   {materials.Food{FreezingPoint: -1.7, Composition: propComplete(materials.Composition{Water: 0.717, Protein: 0.2124, Fat: 0.044, Ash: 0.0108})}, phasechange.BoundWater},
		"pork at -40 °C":          {materials.Food{FreezingPoint: -2.2, Composition: propComplete(materials.Composition{Water: 0.7263, Protein: 0.1955, Fat: 0.0714, Ash: 0.0102})}, phasechange.Tchigeov},
	}
	// The tolerances are the rounding of the print where our equation is the example's, and 3 % of the
	// heat where it is another (the handbook's frozen specific heat is 1.55 + 1.26 xs).
	ours := map[string]struct {
		value     func(f *propFood) float64
		tolerance float64
	}{
		"ice fraction at -20 °C":                 {func(f *propFood) float64 { return f.ice(-20) }, 0.005},
		"heat from 10 to 0 °C for 150 kg":        {func(f *propFood) float64 { return 150 * f.Enthalpy(10, 0) / 1e3 }, 10},
		"heat from 10 to -20 °C":                 {func(f *propFood) float64 { return f.Enthalpy(10, -20) / 1e3 }, 0.03 * 231.59},
		"heat from the freezing point to -20 °C": {func(f *propFood) float64 { return f.Enthalpy(-1.7, -20) / 1e3 }, 0.03 * 194.35},
		"heat from the freezing point to -10 °C": {func(f *propFood) float64 { return f.Enthalpy(-1.7, -10) / 1e3 }, 0.03 * 190.8},
		"ice":                {func(f *propFood) float64 { return f.ice(-40) }, 0.0005},
		"liquid water":       {func(f *propFood) float64 { return f.Water()/f.Density() - f.ice(-40) }, 0.0005},
		"conductivity, Levy": {func(f *propFood) float64 { return f.conductivity(-40) }, 0.02 * 1.473},
	}
	return propEach("ashrae-worked-examples/examples.csv", func(r propRow) (check, bool, error) {
		o, wanted := ours[r["quantity"]]
		if !wanted {
			return check{}, false, nil
		}
		f, err := propRelation(foods[r["example"]].food, foods[r["example"]].curve)
		if err != nil {
			return check{}, false, err
		}
		source := propSource("ASHRAE Refrigeration, worked example", r["status"])
		if r["status"] == "computed" {
			source = "computed, Tchigeov (ASHRAE eq. 5) and Levy (1981)"
		}
		return check{
			source:    source,
			quantity:  fmt.Sprintf("%s: %s, %s", r["example"], r["quantity"], r["unit"]),
			published: r.number("printed"), ours: o.value(&f), tolerance: o.tolerance,
		}, true, nil
	})
}

// propGels are the test gels. That of methyl cellulose and package a are foods of
// our table, whose freezing points are given there: those are left to the estimate.
func propGels() ([]check, error) {
	gel, err := materials.Find("methyl-cellulose gel")
	if err != nil {
		return nil, err
	}
	a, err := materials.Find("refrigerator test gel")
	if err != nil {
		return nil, err
	}
	estimated := func(f materials.Food) float64 {
		f.FreezingPoint = 0
		return f.InitialFreezingPoint()
	}
	f, err := propRelation(gel, phasechange.BoundWater)
	if err != nil {
		return nil, err
	}
	const frozen, thawed = -25.0, 15.0 // [°C]
	volumetric := func(t float64) float64 { return f.HeatCapacity(t, &f.anchor) / 1e6 }
	// Package b in grams: cellulose 232, water 725, salt 43, preservative 0.6.
	b := materials.Food{Name: "test package b", Composition: materials.Composition{
		Water: 725 / 1000.6, Fibre: 232.6 / 1000.6, Ash: 43 / 1000.6, Salt: 43 / 1000.6}}
	rows, err := propRead("test-gels/properties.csv")
	if err != nil {
		return nil, err
	}
	frozenHeat := 0.0 // [MJ/(m³ K)] the published one
	for _, r := range rows {
		if r["quantity"] == "specific heat frozen" {
			frozenHeat = r.number("value")
		}
	}
	return propEach("test-gels/properties.csv", func(r propRow) (check, bool, error) {
		c := check{
			source:    propSource(r["source"], r["status"]),
			quantity:  fmt.Sprintf("%s, %s, %s", r["gel"], r["quantity"], r["unit"]),
			published: r.number("value"), tolerance: r.number("tolerance"),
		}
		switch r["gel"] + r["quantity"] {
		case "methyl-cellulose gelconductivity frozen":
			c.ours = f.conductivity(frozen)
		case "methyl-cellulose gelconductivity unfrozen":
			c.ours = f.conductivity(thawed)
		case "methyl-cellulose gelspecific heat frozen":
			c.ours = volumetric(frozen)
		case "methyl-cellulose gelspecific heat unfrozen":
			c.ours = volumetric(thawed)
		case "methyl-cellulose gellatent heat":
			// What is left of the heat from the freezing point to -10 °C, where freezing
			// counts as ended in the group's formulas, without the frozen specific heat.
			const end = -10.0
			tf := f.anchor.FreezingPoint()
			c.ours = (f.Energy(tf, &f.anchor)-f.Energy(end, &f.anchor))/1e6 - frozenHeat*(tf-end)
		case "test package afreezing point":
			c.ours, c.scale = estimated(a), 10
		case "test package bfreezing point":
			c.ours, c.scale = estimated(b), 10
		default:
			return check{}, false, fmt.Errorf("no such quantity")
		}
		return c, true, nil
	})
}
