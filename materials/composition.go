package materials

import (
	"errors"
	"fmt"
	"math"
)

// Composition is what a food is made of, as mass fractions [kg/kg] that sum to 1.
// Air has no mass: see [Food.Porosity].
type Composition struct {
	Water        float64 // [kg/kg], 0 to 1, frozen or not
	Protein      float64 // [kg/kg], 0 to 1
	Fat          float64 // [kg/kg], 0 to 1
	Carbohydrate float64 // [kg/kg], 0 to 1, starch and sugar, without fibre
	Fibre        float64 // [kg/kg], 0 to 1
	Ash          float64 // [kg/kg], 0 to 1, all minerals
	Salt         float64 // [kg/kg], sodium chloride, a part of Ash
	Sugar        float64 // [kg/kg], mono- and disaccharides, a part of Carbohydrate
}

// CompositionError is a fault in one entry of a [Composition], or in their sum.
type CompositionError struct {
	Component string  // the entry, or "sum"
	Value     float64 // [kg/kg]
	Want      string
}

// Error names the entry, its value and what is wanted.
func (e *CompositionError) Error() string { return "materials: composition: " + e.detail() }

func (e *CompositionError) detail() string {
	return fmt.Sprintf("%s %v kg/kg, want %s", e.Component, e.Value, e.Want)
}

// sumTolerance [kg/kg] is how far from 1 the sum of a valid composition may be:
// rounding in tables of one decimal per cent.
const sumTolerance = 1e-3

// The sums [kg/kg] that Normalize takes for a printed analysis rather than a slip.
const normalizeLow, normalizeHigh = 0.9, 1.1

// Sum is the sum of the six fractions; salt and sugar are inside two of them
// [kg/kg].
func (c Composition) Sum() float64 {
	return c.Water + c.Protein + c.Fat + c.Carbohydrate + c.Fibre + c.Ash
}

// Solids is all that is not water, fat included [kg/kg].
func (c Composition) Solids() float64 {
	return c.Protein + c.Fat + c.Carbohydrate + c.Fibre + c.Ash
}

// Validate returns every fault of the composition, joined, each a
// [*CompositionError]: an entry that is not a number or outside 0 to 1, a sum
// more than 0.001 from 1, more salt than ash, more sugar than carbohydrate.
func (c Composition) Validate() error {
	errs := c.entries(1 + sumTolerance)
	if s := c.Sum(); !(math.Abs(s-1) <= sumTolerance+1e-12) {
		errs = append(errs, &CompositionError{"sum", s, "1 within 0.001"})
	}
	return errors.Join(errs...)
}

// entries checks each entry by itself and the parts against their wholes.
func (c Composition) entries(most float64) []error {
	var errs []error
	check := func(name string, x, most float64, want string) {
		if !(x >= 0 && x <= most) {
			errs = append(errs, &CompositionError{name, x, want})
		}
	}
	const share = "0 to 1"
	check("water", c.Water, most, share)
	check("protein", c.Protein, most, share)
	check("fat", c.Fat, most, share)
	check("carbohydrate", c.Carbohydrate, most, share)
	check("fibre", c.Fibre, most, share)
	check("ash", c.Ash, most, share)
	const rounding = 1e-9
	check("salt", c.Salt, c.Ash+rounding, fmt.Sprintf("0 to the ash, %v", c.Ash))
	check("sugar", c.Sugar, c.Carbohydrate+rounding, fmt.Sprintf("0 to the carbohydrate, %v", c.Carbohydrate))
	return errs
}

// Normalize scales a printed analysis, which sums to 0.97 to 1.02 in handbooks,
// to a sum of 1. It refuses a sum outside 0.9 to 1.1 and the faulty entries that
// [Composition.Validate] refuses, with joined [*CompositionError].
func (c Composition) Normalize() (Composition, error) {
	errs := c.entries(normalizeHigh)
	s := c.Sum()
	if !(s >= normalizeLow && s <= normalizeHigh) {
		errs = append(errs, &CompositionError{"sum", s, "0.9 to 1.1"})
	}
	if len(errs) > 0 {
		return Composition{}, errors.Join(errs...)
	}
	return c.scaled(1 / s), nil
}

func (c Composition) scaled(by float64) Composition {
	return Composition{
		Water: c.Water * by, Protein: c.Protein * by, Fat: c.Fat * by,
		Carbohydrate: c.Carbohydrate * by, Fibre: c.Fibre * by, Ash: c.Ash * by,
		Salt: c.Salt * by, Sugar: c.Sugar * by,
	}
}

func (c Composition) plus(d Composition) Composition {
	return Composition{
		Water: c.Water + d.Water, Protein: c.Protein + d.Protein, Fat: c.Fat + d.Fat,
		Carbohydrate: c.Carbohydrate + d.Carbohydrate, Fibre: c.Fibre + d.Fibre, Ash: c.Ash + d.Ash,
		Salt: c.Salt + d.Salt, Sugar: c.Sugar + d.Sugar,
	}
}

// withWater changes the water fraction to w [kg/kg], solids in proportion; there
// must be solids.
func (c Composition) withWater(w float64) Composition {
	d := c.scaled((1 - w) / c.Solids())
	d.Water = w
	return d
}
