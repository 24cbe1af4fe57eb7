package validation

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// propRow is a line of a file of published values, by column.
type propRow map[string]string

// propRead reads a file below testdata.
func propRead(file string) ([]propRow, error) {
	f, err := os.Open(filepath.Join("..", "..", "..", "testdata", filepath.FromSlash(file)))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	var rows []propRow
	for _, record := range records[1:] {
		r := propRow{}
		for i, name := range records[0] {
			r[name] = record[i]
		}
		rows = append(rows, r)
	}
	return rows, nil
}

// propEach makes the checks of every row of a file for which a check is wanted.
func propEach(file string, check1 func(propRow) (check, bool, error)) ([]check, error) {
	rows, err := propRead(file)
	if err != nil {
		return nil, err
	}
	var checks []check
	for _, r := range rows {
		c, wanted, err := check1(r)
		if err != nil {
			return nil, fmt.Errorf("%s: %v: %w", file, r, err)
		}
		if wanted {
			checks = append(checks, c)
		}
	}
	if len(checks) == 0 {
		return nil, fmt.Errorf("%s: no row is wanted", file)
	}
	return checks, nil
}

// number is the number in a column, 0 where it is empty. The files are held by the
// tests of the packages that own them, so a wrong one ends the test at once.
func (r propRow) number(column string) float64 {
	text, ok := r[column]
	if !ok {
		panic(fmt.Sprintf("no column %q in %v", column, r))
	}
	if text == "" {
		return 0
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(err)
	}
	return x
}

// band is the middle and half of the width of a printed span.
func (r propRow) band() (middle, half float64) {
	low, high := r.number("low"), r.number("high")
	return (low + high) / 2, (high - low) / 2
}

// propSource adds to a source that it was recalled, not seen.
func propSource(source, status string) string {
	if strings.HasPrefix(status, "memory") {
		return source + " (from memory)"
	}
	return source
}

// propFood is the relation of a food and its undried anchor.
type propFood struct {
	*phasechange.Relation
	anchor phasechange.Anchor
}

func propRelation(f materials.Food, curve phasechange.IceCurve) (propFood, error) {
	r, err := phasechange.New(f, phasechange.Settings{IceCurve: curve})
	if err != nil {
		return propFood{}, err
	}
	return propFood{r, r.Anchor(r.Water())}, nil
}

// ice [kg/kg of food] at t [°C].
func (f *propFood) ice(t float64) float64 { return f.Ice(t, &f.anchor) / f.Density() }

// conductivity [W/(m K)] at t [°C].
func (f *propFood) conductivity(t float64) float64 { return f.Conductivity(t, &f.anchor) }

// specificHeat is the mean [kJ/(kg K)] between two temperatures [°C], or at one.
func (f *propFood) specificHeat(from, to float64) float64 {
	if from == to {
		return f.HeatCapacity(from, &f.anchor) / f.Density() / 1e3
	}
	return f.Enthalpy(to, from) / (to - from) / 1e3
}

// propTissue is a food known by its water [mass %], fat and ash, and the part of
// the rest that is protein.
func propTissue(r propRow, structure materials.Structure, fat materials.FatKind) materials.Food {
	c := materials.Composition{Water: r.number("water") / 100, Fat: r.number("fat") / 100, Ash: r.number("ash") / 100}
	rest := 1 - c.Sum()
	c.Protein = rest * r.number("protein_share")
	c.Carbohydrate = rest - c.Protein
	return materials.Food{Name: r["material"], Composition: c, Structure: structure, FatKind: fat}
}

// propComplete scales the solids so that they and the water as printed make 1.
func propComplete(c materials.Composition) materials.Composition {
	s := (1 - c.Water) / c.Solids()
	c.Protein *= s
	c.Fat *= s
	c.Carbohydrate *= s
	c.Fibre *= s
	c.Ash *= s
	return c
}
