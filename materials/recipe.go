package materials

import (
	"fmt"
	"math"
	"strconv"
)

// WithWater is the food dried or cooked down, or wetted, to a water mass fraction
// [kg/kg], 0 to below 1, the solids keeping their proportions. A given freezing
// point moves as the solutes grow stronger or weaker by Raoult's law, as in
// [Food.InitialFreezingPoint], and is at least -25 °C; given bound water grows with
// the solids, up to 0.95 of the water. Porosity stays: a food that shrinks or puffs
// needs another, as with [Food.Baked]. Transport, holding and soak stay as well:
// muscle that was dried expels less juice. Water beyond what a food with muscle had
// when raw stays in it, as in a [Mix].
//
// The error is a [*FoodError]: an invalid or a measured food, one without solids,
// or a fraction outside its range.
func (f Food) WithWater(fraction float64) (Food, error) {
	name := f.Name + ", dried to "
	if fraction > f.Composition.Water {
		name = f.Name + ", wetted to "
	}
	return f.withWater(fraction, name+percent(fraction)+" water")
}

// LoseWater is the food after it has lost a share of its mass [kg/kg], all of it
// water: 0 to its water fraction. The rest is as for [Food.WithWater].
func (f Food) LoseWater(share float64) (Food, error) {
	if !(share >= 0 && share < 1 && share <= f.Composition.Water) {
		return Food{}, &FoodError{Food: f.Name, Field: "share of mass lost as water", Value: share,
			Want: fmt.Sprintf("0 to the water, %v kg/kg", f.Composition.Water)}
	}
	w := math.Max(0, (f.Composition.Water-share)/(1-share))
	return f.withWater(w, f.Name+", less "+percent(share)+" of its mass in water")
}

// Baked is a dough or batter after baking: its water [kg/kg], 0 to below 1, and its
// porosity [m³/m³], 0 to below 0.98, are the new ones, its structure
// [OpenPores]. The rest is as for [Food.WithWater]; a given Transport is still that
// of the dough, nil that of open pores.
func (f Food) Baked(name string, water float64, porosity float64) (Food, error) {
	if !(porosity >= 0 && porosity < maxPorosity) {
		return Food{}, &FoodError{Food: name, Field: "porosity", Value: porosity, Want: "0 to below 0.98 m³/m³"}
	}
	g, err := f.withWater(water, name)
	if err != nil {
		return Food{}, err
	}
	g.Structure, g.Porosity = OpenPores, porosity
	return g, nil
}

func (f Food) withWater(fraction float64, name string) (Food, error) {
	if err := f.unmeasured(); err != nil {
		return Food{}, err
	}
	if !(fraction >= 0 && fraction < 1) {
		return Food{}, &FoodError{Food: f.Name, Field: "water", Value: fraction, Want: "0 to below 1 kg/kg"}
	}
	solids := f.Composition.Solids()
	if !(solids > 0) {
		return Food{}, &FoodError{Food: f.Name, Field: "solids", Value: solids, Want: "over 0 kg/kg"}
	}
	stronger := (1 - fraction) / solids
	g := f.clone()
	g.Name = name
	g.Composition = f.Composition.withWater(fraction)
	if h, c := g.Holding, &g.Composition; h != nil {
		raw := h.RawWater * c.Protein
		g.Holding = mixHolding([]muscle{{h, raw}}, math.Max(0, c.Water-raw), c.Protein)
	}
	if g.BoundWater != nil {
		*g.BoundWater = math.Min(*f.BoundWater*stronger, greatestBound*fraction)
	}
	if f.FreezingPoint < 0 {
		g.FreezingPoint = freezingPoint(f.solutes()*stronger, g.solvent())
	}
	return g, nil
}

// unmeasured refuses foods that are invalid or known by curves only.
func (f Food) unmeasured() error {
	if f.Measured != nil {
		return &FoodError{Food: f.Name, Field: "measured curves", Value: fmt.Sprintf("of %d points", len(f.Measured.Points)),
			Want: "a food with a composition"}
	}
	return f.Validate()
}

func percent(fraction float64) string {
	return strconv.FormatFloat(math.Round(fraction*1e6)/1e4, 'f', -1, 64) + " %"
}

// Part is an ingredient of a [Mix].
type Part struct {
	Food Food
	Mass float64 // [kg] over 0, or any one unit for all parts: ratios count
}

// Mix is the food that its parts make, evenly mixed by weight. Composition,
// bound water and solutes add up, and the freezing point follows from the
// combined solutes by Raoult's law, as in [Food.InitialFreezingPoint]. Air adds
// up by volume, none being beaten in or knocked out. Group, structure, isotherm
// and transport are those of the part of greatest mass, nil if it has none, the fat
// kind that of the greatest mass of fat. Soak is the mean over the dry non-fat
// solids. Holding is that of all muscle in the mix, by the water each kind of it
// has: what the mix lets go is their juice alone. Without muscle, and with less than
// a kilogram of protein to 100 of water, it is nil.
//
// The error is a [*FoodError]: no part, an invalid or measured food, or a mass that
// is not over 0.
func Mix(name string, parts ...Part) (Food, error) {
	if len(parts) == 0 {
		return Food{}, &FoodError{Food: name, Field: "number of parts", Value: 0, Want: "1 or more"}
	}
	var largest int
	var total float64
	for i, p := range parts {
		if err := p.Food.unmeasured(); err != nil {
			return Food{}, &FoodError{Food: name, Field: fmt.Sprintf("part %d", i+1), Value: strconv.Quote(p.Food.Name),
				Want: "a valid food with a composition: " + err.Error(), err: err}
		}
		if !(p.Mass > 0) || math.IsInf(p.Mass, 1) {
			return Food{}, &FoodError{Food: name, Field: fmt.Sprintf("mass of part %d (%q)", i+1, p.Food.Name), Value: p.Mass, Want: "over 0 and finite"}
		}
		if p.Mass > parts[largest].Mass {
			largest = i
		}
		total += p.Mass
	}
	if math.IsInf(total, 1) {
		return Food{}, &FoodError{Food: name, Field: "mass of all parts", Value: total, Want: "finite"}
	}

	main := parts[largest].Food.clone()
	f := Food{Name: name, Group: main.Group, Structure: main.Structure, Isotherm: main.Isotherm,
		Transport: main.Transport}
	var muscles []muscle
	var bound, solutes, volume, air, soaked, drySolids, water float64
	var fats [fatKinds]float64
	estimated := true
	for _, p := range parts {
		x, g := p.Mass/total, &p.Food
		c := g.Composition.scaled(x / g.Composition.Sum())
		f.Composition = f.Composition.plus(c)
		if h := g.Holding; h != nil {
			muscles = append(muscles, muscle{h, h.RawWater * c.Protein})
		} else {
			water += c.Water
		}
		bound += x * g.Bound()
		solutes += x * g.solutes()
		v := x * g.volume()
		volume += v
		air += v * g.Porosity
		fats[g.FatKind] += x * g.Composition.Fat
		dry := x * (g.Composition.Protein + g.Composition.Carbohydrate + g.Composition.Fibre + g.Composition.Ash)
		drySolids += dry
		soaked += dry * g.Soak
		estimated = estimated && g.BoundWater == nil
	}
	f.Porosity = air / volume
	f.Holding = mixHolding(muscles, water, f.Composition.Protein)
	if drySolids > 0 {
		f.Soak = min(soaked/drySolids, greatestSoak)
	}
	for k, m := range fats {
		if m > fats[f.FatKind] {
			f.FatKind = FatKind(k)
		}
	}
	if !estimated {
		bound = math.Min(bound, greatestBound*f.Composition.Water)
		f.BoundWater = &bound
	}
	// At the cap the solutes are not known from the freezing point any more, so it
	// is left to be estimated from the composition again.
	if t := freezingPoint(solutes, f.solvent()); t > lowestEstimate {
		f.FreezingPoint = t
	}
	f.Source = mixSource(parts, total)
	return f, nil
}

// mixSource tells what was mixed, at most ten parts of it.
func mixSource(parts []Part, total float64) string {
	s := "mixed of"
	for i, p := range parts {
		if i == 10 {
			return s + fmt.Sprintf(" and %d more", len(parts)-i)
		}
		if i > 0 {
			s += ","
		}
		s += " " + percent(p.Mass/total) + " " + p.Food.Name
	}
	return s
}
