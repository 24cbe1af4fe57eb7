package dishfile

import (
	"cmp"
	"fmt"
	"strings"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// after explains what follows from a field of a table.
func (e *explainer) after(table any, field, key string) {
	switch t := table.(type) {
	case Layer:
		if field == "Food" {
			e.food(t.Food, key)
		}
	case Part:
		if field == "Food" {
			e.composition(t.Food, key)
		}
	case Brush:
		if field == "Food" {
			e.composition(t.Food, key)
		}
	case Appliance:
		if field == "Preset" {
			e.preset(&t, key)
		}
	case Tray:
		if field == "Material" {
			e.material(&t, key)
		}
	}
}

// origin says where a food comes from.
func (e *explainer) origin(name string) (food materials.Food, from string, own *Food) {
	food = e.foods.find(&report{}, "", name)
	for i := range e.f.Foods {
		switch x := &e.f.Foods[i]; {
		case x.Name != name:
		case len(x.Mix) > 0:
			return food, "computed: " + item("foods", i) + ".mix by weight", x
		default:
			return food, item("foods", i), x
		}
	}
	return food, "table of foods: " + food.Source, nil
}

// composition explains what a food is made of.
func (e *explainer) composition(name, key string) {
	food, from, _ := e.origin(name)
	c := food.Composition
	var parts []string
	for _, p := range []struct {
		name  string
		share float64
	}{{"water", c.Water}, {"protein", c.Protein}, {"fat", c.Fat}, {"carbohydrate", c.Carbohydrate}, {"fibre", c.Fibre}, {"ash", c.Ash},
		{"of it salt", c.Salt}, {"of it sugar", c.Sugar}} {
		if p.share != 0 {
			parts = append(parts, p.name+" "+short(p.share*100)+" %")
		}
	}
	e.add(key+" composition", strings.Join(parts, ", "), from)
}

// short writes a number with four digits, as a computed property deserves.
func short(x float64) string { return fmt.Sprintf("%.4g", x) }

// food explains what the runs use of the food of a layer.
func (e *explainer) food(name, key string) {
	food, from, own := e.origin(name)
	e.composition(name, key)
	add := func(what, value, from string) { e.add(key+" "+what, value, from) }
	frozen, bound := from, from
	if food.FreezingPoint == 0 {
		frozen = "computed: from its solutes, Raoult's law"
	}
	if food.BoundWater == nil {
		bound = boundEstimate
	}
	if own == nil || len(own.Mix) > 0 { // else they are among the file's own keys
		add("freezing point", short(food.InitialFreezingPoint())+" °C", frozen)
		add("bound water", short(food.Bound()*100)+" %", bound)
		add("porosity", short(food.Porosity*100)+" %", from)
		add("structure", food.Structure.String(), from)
		add("kind of fat", food.FatKind.String(), from)
	}
	s := phasechange.Settings{Pressure: e.pressure()}
	if e.f.Settings != nil {
		s.IceCurve, _ = iceCurve(e.f.Settings.IceCurve)
	}
	if r, err := phasechange.New(food, s); err == nil {
		a := r.Anchor(r.Water())
		add("density", short(food.Density())+" kg/m³", "computed: composition at 20 °C; components of Choi & Okos 1986")
		for _, t := range []float64{20, -20} {
			add(fmt.Sprintf("conductivity at %g °C", t), short(r.Conductivity(t, &a))+" W/(m K)", "computed: "+conductivityModels[food.Structure]+conductivitySource)
		}
		for _, t := range []float64{20, -20} {
			add(fmt.Sprintf("specific heat at %g °C", t), short(r.HeatCapacity(t, &a)/r.Density()/1e3)+" kJ/(kg K)", "computed: components of Choi & Okos 1986, kind of fat "+food.FatKind.String()+melting(t, &a, r))
		}
		ice := r.Ice(-20, &a)
		add("ice at -20 °C", short(ice/r.Density()*100)+" %", "computed: freezing point and bound water by the ice curve, "+s.IceCurve.String())
		add("heat from -20 to 20 °C", short((r.Energy(20, &a)-r.Energy(-20, &a))/r.Density()/1e3)+" kJ/kg", "computed: components of Choi & Okos 1986, ice 333.6 kJ/kg, kind of fat "+food.FatKind.String())
	}
	isotherm, of := food.Isotherm.String(), from
	if food.Isotherm.IsZero() {
		isotherm, of = "gab 0.07 15 0.82", "default: a generic starchy food, bread crumb at 25 °C (from memory)"
	}
	add("sorption isotherm", isotherm, of)
	if e.f.moist() {
		e.transport(food, from, add)
	}
}

// melting says that a specific heat holds the ice that still melts with every kelvin.
func melting(t float64, a *phasechange.Anchor, r *phasechange.Relation) string {
	if r.Ice(t, a) == 0 {
		return ""
	}
	return ", with the ice that melts in a kelvin there"
}

const boundEstimate = "computed: 0.4 of the protein (Schwartzberg 1976) and 0.3 of the carbohydrate that is not sugar"

// conductivityModels say how the phases of each structure are put together.
var conductivityModels = [...]string{
	materials.Compact:       "solids and liquid in parallel, ice by Levy, air by Maxwell-Eucken",
	materials.FibreAcross:   "solids and liquid a fifth in series, ice by Levy, air by Maxwell-Eucken",
	materials.FibreAlong:    "solids and liquid in parallel, ice by Levy and a fifth in columns, air by Maxwell-Eucken",
	materials.ClosedFoam:    "solids and liquid in parallel, ice by Levy, air by Maxwell-Eucken",
	materials.OpenPores:     "solids and liquid in parallel, ice by Levy, air by Krischer, a fifth in series",
	materials.Layered:       "solids and liquid in parallel, ice by Levy, fat in series, air by Maxwell-Eucken",
	materials.FatContinuous: "solids and liquid in parallel, ice by Levy, in continuous fat by Maxwell-Eucken",
	materials.FatDispersed:  "solids and liquid in parallel, ice by Levy, dispersed fat by Maxwell-Eucken",
}

const conductivitySource = " (Carson et al. 2016); components of Choi & Okos 1986"

// transport explains how water moves through a food, and is let go and taken up by it.
func (e *explainer) transport(food materials.Food, from string, add func(what, value, from string)) {
	t, own := food.WaterTransport()
	of := "default of " + food.Structure.String() + " food: " + t.Source
	if own {
		of = cmp.Or(t.Source, from)
	}
	add("diffusivity of water at 25 °C", fmt.Sprintf("%.4g m²/s, activation %.4g J/mol, half at %.4g kg/kg dry", t.Diffusivity, t.Activation, t.HalfMoisture), of)
	add("permeability to vapour at 25 °C", fmt.Sprintf("%.4g kg/(m s Pa)%s", t.Permeability, melted(t)), of)
	value := "none: it lets no juice go"
	if h := food.Holding; h != nil {
		last := h.Points[len(h.Points)-1]
		value = fmt.Sprintf("%s: raw %.4g kg/kg protein, %.4g %% lost at %.4g °C", h.Name, h.RawWater, last.Lost*100, last.Temperature)
		from = h.Source
	}
	add("water holding", value, from)
	soak := "none: it takes no juice up"
	if food.Soak > 0 {
		soak = fmt.Sprintf("up to %.4g kg/kg dry", food.Soak)
	}
	add("soak", soak, from)
}

func melted(t materials.Transport) string {
	if t.MeltedFat > 1 {
		return fmt.Sprintf(", times %.4g with its fat melted", t.MeltedFat)
	}
	return ""
}

func (e *explainer) pressure() float64 {
	if e.f.Settings == nil {
		return 0
	}
	return si(e.f.Settings.Pressure)
}

// absentOfFood explains what stands for a field that a food of the file's own does
// not have.
func (e *explainer) absentOfFood(x *Food, field, usual string) (value, from string) {
	if x.Composition == nil {
		return "", "" // a mix has these from its parts
	}
	food := e.foods[x.Name]
	switch field {
	case "FreezingPoint":
		return short(food.InitialFreezingPoint()) + " °C", "computed: from its solutes, Raoult's law"
	case "BoundWater":
		return short(food.Bound()*100) + " %", boundEstimate
	}
	return usual, "default"
}
