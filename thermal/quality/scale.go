package quality

import (
	"fmt"
	"math"

	"example.com/thawfront/thermal/kinetics"
)

// Step is a degree of doneness and what a place must have reached for it.
type Step struct {
	Name string `json:"name"`
	// Quantity is the name of the followed quantity that counts; empty: the peak
	// temperature [°C].
	Quantity string `json:"quantity,omitempty"`
	// From is the value from which on a place is in the step: [°C] of a peak
	// temperature, otherwise in the quantity's unit; -1e6 to 1e6.
	From float64 `json:"from"`
}

// Scale is degrees of doneness in their order. A place is in the last step that it
// has reached, or below them all. Nothing but the names and figures given counts, so a
// kitchen, a country or a laboratory has its own.
type Scale struct {
	Name   string `json:"name"`
	Source string `json:"source"` // of its figures
	Below  string `json:"below"`  // name of what has reached no step
	Steps  []Step `json:"steps"`  // 1 to 100
}

// KitchenMeat is the doneness of beef and lamb by peak temperature as restaurants
// call it: common practice, no source. Kitchens differ by some kelvins.
func KitchenMeat() Scale {
	return Scale{Name: "kitchen meat", Source: "common practice, no source", Below: "raw", Steps: []Step{
		{Name: "very rare", From: 46}, {Name: "rare", From: 49}, {Name: "medium rare", From: 54},
		{Name: "medium", From: 60}, {Name: "medium well", From: 65}, {Name: "well done", From: 70}}}
}

// ResearchMeat is the doneness of beef by peak temperature as meat science grades it:
// end points of the American Meat Science Association's guidelines for cookery (1995),
// from memory. They are some kelvins above what kitchens call by the same names.
func ResearchMeat() Scale {
	return Scale{Name: "research meat", Source: "American Meat Science Association 1995, guidelines for cookery (from memory)", Below: "raw", Steps: []Step{
		{Name: "very rare", From: 55}, {Name: "rare", From: 60}, {Name: "medium rare", From: 63},
		{Name: "medium", From: 71}, {Name: "well done", From: 77}, {Name: "very well done", From: 82}}}
}

// KitchenFish is the doneness of fish by peak temperature: common practice, no source.
// Fish differ: cod flakes earlier than tuna.
func KitchenFish() Scale {
	return Scale{Name: "kitchen fish", Source: "common practice, no source", Below: "raw", Steps: []Step{
		{Name: "translucent", From: 40}, {Name: "just set", From: 46}, {Name: "flaking", From: 52}, {Name: "firm", From: 60}}}
}

// Proteins is the doneness of meat by which protein has mostly set, by the kinetics
// of pork of kinetics.Myosin, Collagen and Actin; that half of it [-] counts is our
// choice. Unlike a peak temperature it counts time: a long hold at 55 °C sets what a
// minute does not.
func Proteins() Scale {
	return Scale{Name: "proteins", Source: kinetics.Actin().Source + "; half of a protein counts as set (our choice)", Below: "raw", Steps: []Step{
		{Name: "myosin set", Quantity: kinetics.Myosin().Name, From: 0.5},
		{Name: "collagen shrunk", Quantity: kinetics.Collagen().Name, From: 0.5},
		{Name: "actin set", Quantity: kinetics.Actin().Name, From: 0.5}}}
}

// Validate reports the first fault as an *InputError.
func (s Scale) Validate() error {
	place := fmt.Sprintf("scale %q", s.Name)
	if s.Name == "" || s.Below == "" {
		return &InputError{Place: place, Field: "name, or that of what has reached no step", Value: `""`, Want: "a name"}
	}
	if n := len(s.Steps); n < 1 || n > 100 {
		return &InputError{Place: place, Field: "number of steps", Value: n, Want: "1 to 100"}
	}
	reached := map[string]float64{}
	for _, step := range s.Steps {
		if err := step.validate(place); err != nil {
			return err
		}
		if last, known := reached[step.Quantity]; known && step.From <= last {
			return &InputError{Place: place, Field: fmt.Sprintf("step %q from", step.Name), Value: step.From, Want: fmt.Sprintf("more than the step before it, %g", last)}
		}
		reached[step.Quantity] = step.From
	}
	return nil
}

func (s Step) validate(place string) error {
	if s.Name == "" {
		return &InputError{Place: place, Field: "name of a step", Value: `""`, Want: "a name"}
	}
	if !(math.Abs(s.From) <= 1e6) {
		return &InputError{Place: place, Field: fmt.Sprintf("step %q from", s.Name), Value: s.From, Want: "-1e6 to 1e6"}
	}
	return nil
}
