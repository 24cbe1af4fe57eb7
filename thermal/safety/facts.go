package safety

import (
	"fmt"
	"math"
)

// Answer is yes, no or not known.
type Answer uint8

// The answers.
const (
	Unknown Answer = iota
	Yes
	No
)

// Food is the kind of food as the codes tell them apart.
type Food uint8

// The kinds of food.
const (
	UnknownFood  Food = iota
	Roast             // whole roast of muscle meat, intact, cured ones such as ham included
	IntactMeat        // steak or chop, neither pierced, injected nor formed
	InjectedMeat      // meat that is injected or tenderised by piercing
	GroundMeat        // minced or formed meat
	Poultry           // birds, whole or ground
	Fish              // fish and shellfish in pieces
	GroundFish        // minced fish
	EggAtOnce         // raw eggs cooked to order
	EggPooled         // raw eggs cooked ahead or many together
	LiquidEgg         // whole egg out of the shell, to be pasteurised
	Stuffed           // stuffed meat, fish, poultry or pasta, and stuffing that has any of these
	Plant             // vegetables, fruit, mushrooms, pastry without raw egg
)

var foodNames = []string{"unknown food", "roast", "intact meat", "injected meat", "ground meat", "poultry", "fish",
	"ground fish", "eggs cooked to order", "pooled eggs", "liquid egg", "stuffed food", "plant food"}

// String names the kind of food.
func (f Food) String() string { return nameOf(foodNames, uint8(f), "Food") }

// Animal is what the food comes from.
type Animal uint8

// The animals.
const (
	UnknownAnimal Animal = iota
	Beef                 // veal included
	Lamb
	Pork
	Chicken
	OtherAnimal
)

var animalNames = []string{"unknown animal", "beef", "lamb", "pork", "chicken", "other animal"}

// String names the animal.
func (a Animal) String() string { return nameOf(animalNames, uint8(a), "Animal") }

// Oven is a kind of oven as the Food Code tells them apart.
type Oven uint8

// The ovens.
const (
	UnknownOven    Oven = iota
	StillOven           // dry, without a fan
	ConvectionOven      // dry, with a fan
	HumidOven           // over 90 % relative humidity for at least an hour, or the piece in a tight bag
)

var ovenNames = []string{"unknown oven", "still dry oven", "convection oven", "humid oven"}

// String names the oven.
func (o Oven) String() string { return nameOf(ovenNames, uint8(o), "Oven") }

// Thawing is a way to thaw.
type Thawing uint8

// The ways to thaw.
const (
	UnknownThawing Thawing = iota
	Refrigerator
	RunningWater
	PartOfCooking // the cooking rules decide
	OtherThawing
)

var thawingNames = []string{"unknown thawing", "refrigerator", "running water", "part of cooking", "other thawing"}

// String names the way to thaw.
func (w Thawing) String() string { return nameOf(thawingNames, uint8(w), "Thawing") }

func nameOf(names []string, i uint8, kind string) string {
	if int(i) < len(names) {
		return names[i]
	}
	return fmt.Sprintf("%s(%d)", kind, i)
}

// Facts are what is known of a food and of its handling. Zero values and nil mean
// that it is not known.
type Facts struct {
	Food   Food
	Animal Animal
	Cured  Answer // with nitrite

	Fat           *float64 // [kg/kg]
	Salt          *float64 // [kg/kg] for conditions of your own; no published rule asks for it
	WaterActivity *float64 // [-]
	PH            *float64 // [-]
	Mass          *float64 // [kg] of the whole piece

	ReadyToEat     Answer // whether it is eaten without being cooked again
	LabelledIntact Answer // whether it was bought as whole-muscle, intact beef
	RoastCooked    Answer // whether it was cooked as the Food Code asks of roasts
	FromRoom       Answer // whether it was made, uncooked, from ingredients at room temperature

	Oven            Oven
	OvenTemperature *float64 // [°C] the lowest the oven had once preheated; of a humid oven the highest
	CookEnd         *float64 // [s] when cooking ended, on the history's clock
	Thawing         Thawing
	ThawWater       *float64 // [°C] the warmest the water was
}

// FactError is a fault in the facts.
type FactError struct {
	Field string
	Value any
	Want  string
}

// Error names the fact and what is wanted.
func (e *FactError) Error() string {
	return fmt.Sprintf("safety: facts: %s %v, want %s", e.Field, e.Value, e.Want)
}

// Validate reports the first fault as a [*FactError].
func (f *Facts) Validate() error {
	for _, b := range []struct {
		field  string
		value  *float64
		lo, hi float64
	}{
		{"fat [kg/kg]", f.Fat, 0, 1},
		{"salt [kg/kg]", f.Salt, 0, 1},
		{"water activity", f.WaterActivity, 0, 1},
		{"pH", f.PH, 0, 14},
		{"mass [kg]", f.Mass, 1e-6, 1e4},
		{"oven temperature [°C]", f.OvenTemperature, -100, 1000},
		{"end of cooking [s]", f.CookEnd, -lastTime, lastTime},
		{"thaw water [°C]", f.ThawWater, -5, 100},
	} {
		if b.value != nil && !(*b.value >= b.lo && *b.value <= b.hi) {
			return &FactError{b.field, *b.value, fmt.Sprintf("%v to %v, or nil if it is not known", b.lo, b.hi)}
		}
	}
	for _, e := range []struct {
		field string
		value uint8
		names int
	}{
		{"food", uint8(f.Food), len(foodNames)}, {"animal", uint8(f.Animal), len(animalNames)},
		{"oven", uint8(f.Oven), len(ovenNames)}, {"thawing", uint8(f.Thawing), len(thawingNames)},
		{"cured", uint8(f.Cured), 3}, {"ready to eat", uint8(f.ReadyToEat), 3},
		{"labelled intact", uint8(f.LabelledIntact), 3}, {"roast cooked", uint8(f.RoastCooked), 3},
		{"from room", uint8(f.FromRoom), 3},
	} {
		if int(e.value) >= e.names {
			return &FactError{e.field, e.value, "one of the constants"}
		}
	}
	return nil
}

// Condition is something that must hold for a rule to apply.
type Condition struct {
	Name string // in words, as in "the food is cured"
	Of   func(Facts) Answer
}

func yesIf(b bool) Answer {
	if b {
		return Yes
	}
	return No
}

// The conditions of the published rules.
var (
	cured       = Condition{"whether it is cured", func(f Facts) Answer { return f.Cured }}
	intactLabel = Condition{"whether it was bought as intact", func(f Facts) Answer { return f.LabelledIntact }}
	fromRoom    = Condition{"whether it was made from ingredients at room temperature", func(f Facts) Answer { return f.FromRoom }}
	readyToEat  = Condition{"whether it is ready to eat", func(f Facts) Answer { return f.ReadyToEat }}
	raw         = Condition{"whether it is ready to eat", func(f Facts) Answer {
		switch f.ReadyToEat {
		case Yes:
			return No
		case No:
			return Yes
		}
		return Unknown
	}}
	cookedAsRoast = Condition{"whether it was cooked by 3-401.11(B)", func(f Facts) Answer { return f.RoastCooked }}
	upTo12Fat     = Condition{"its fat", func(f Facts) Answer {
		if f.Fat == nil {
			return Unknown
		}
		return yesIf(*f.Fat <= 0.12)
	}}
	// A food so dry or sour that no germ grows in it needs no control by time and
	// temperature (Food Code 1-201.10, from memory). If neither is known it does.
	needsControl = Condition{"its water activity and pH", func(f Facts) Answer {
		return yesIf(!(f.WaterActivity != nil && *f.WaterActivity < 0.88) && !(f.PH != nil && *f.PH < 4.2))
	}}
)

func thawedBy(way Thawing) Condition {
	return Condition{"how it is thawed", func(f Facts) Answer {
		if f.Thawing == UnknownThawing {
			return Unknown
		}
		return yesIf(f.Thawing == way)
	}}
}

// knownAs reports whether a fact is one of those wanted; none wanted means any.
func knownAs[T ~uint8](fact T, wanted []T) Answer {
	if len(wanted) == 0 {
		return Yes
	}
	if fact == 0 {
		return Unknown
	}
	for _, w := range wanted {
		if fact == w {
			return Yes
		}
	}
	return No
}

// deg writes a temperature.
func deg(t float64) string {
	return fmt.Sprintf("%.4g °C", math.Round(t*10)/10+0) // which makes 0 of -0
}
