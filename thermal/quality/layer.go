package quality

import (
	"fmt"

	"example.com/thawfront/thermal/kinetics"
)

// Kind is what a layer is judged as.
type Kind uint8

// The kinds. Every layer has its water and evenness in a report.
const (
	Other Kind = iota
	Meat       // doneness by KitchenMeat and Proteins, rim, collagen
	Fish       // doneness by KitchenFish, rim
	Dough      // bread, pastry: starch; colour if it is the outermost layer
)

var kindNames = []string{"other", "meat", "fish", "dough"}

// String names the kind.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return fmt.Sprintf("Kind(%d)", uint8(k))
}

// Layer says how a layer of the dish is judged.
type Layer struct {
	Name string // of the dish's layer
	Kind Kind
	// Scales of doneness; default (nil): those of the kind, none if it has none. An empty
	// list that is not nil asks for none.
	Scales []Scale
	// Overcooked are limits, each of which gives a rim; default (nil): of Meat a peak of
	// 60 °C, served pink, and half of its actin; of Fish a peak of 55 °C: common practice,
	// no source.
	Overcooked []Step
}

func (l Layer) scales() []Scale {
	switch {
	case l.Scales != nil:
		return l.Scales
	case l.Kind == Meat:
		return []Scale{KitchenMeat(), Proteins()}
	case l.Kind == Fish:
		return []Scale{KitchenFish()}
	}
	return nil
}

func (l Layer) overcooked() []Step {
	switch {
	case l.Overcooked != nil:
		return l.Overcooked
	case l.Kind == Meat:
		return []Step{{Name: "over 60 °C", From: 60}, {Name: "actin set", Quantity: kinetics.Actin().Name, From: 0.5}}
	case l.Kind == Fish:
		return []Step{{Name: "over 55 °C", From: 55}}
	}
	return nil
}

func (l Layer) validate() error {
	place := fmt.Sprintf("layer %q", l.Name)
	if int(l.Kind) >= len(kindNames) {
		return &InputError{Place: place, Field: "kind", Value: l.Kind, Want: "Other, Meat, Fish or Dough"}
	}
	if n := len(l.Scales) + len(l.Overcooked); n > 100 {
		return &InputError{Place: place, Field: "number of scales and limits", Value: n, Want: "at most 100"}
	}
	for _, s := range l.scales() {
		if err := s.Validate(); err != nil {
			return err
		}
	}
	for _, s := range l.overcooked() {
		if err := s.validate(place); err != nil {
			return err
		}
	}
	return nil
}

// Quantities are the published ones that Assess asks for of these layers, for
// kinetics.Follow; quantities of your own scales are yours to add. There may be
// none.
func Quantities(layers ...Layer) []kinetics.Quantity {
	var meat, dough bool
	for _, l := range layers {
		meat = meat || l.Kind == Meat
		dough = dough || l.Kind == Dough
	}
	var out []kinetics.Quantity
	if meat {
		out = append(out, kinetics.Myosin(), kinetics.Collagen(), kinetics.Actin())
	}
	if dough {
		out = append(out, kinetics.Starch(), kinetics.CrustColour(), kinetics.Lightness())
	}
	return out
}
