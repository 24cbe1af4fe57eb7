package materials

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func FuzzComposition(f *testing.F) {
	f.Add(0.7, 0.2, 0.05, 0.02, 0.01, 0.02, 0.01, 0.01, 0.1, -1.0, uint8(1), -20.0, 0.2, 0.5)
	f.Add(0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, uint8(5), 20.0, 0.0, 0.0)
	f.Add(1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.97, -0.1, uint8(4), -100.0, 0.0, 1e9)
	f.Add(math.NaN(), math.Inf(1), -1.0, 1e308, 1e308, 0.0, 0.0, 0.0, 2.0, 5.0, uint8(99), 1e308, math.NaN(), -1.0)
	f.Fuzz(func(t *testing.T, water, protein, fat, carbohydrate, fibre, ash, salt, sugar, porosity, freezing float64, structure uint8, at, liquid, ice float64) {
		c := Composition{water, protein, fat, carbohydrate, fibre, ash, salt, sugar}
		if err := c.Validate(); err != nil {
			var bad *CompositionError
			if !errors.As(err, &bad) {
				t.Fatalf("untyped error %v", err)
			}
		}
		if n, err := c.Normalize(); err == nil {
			if err := n.Validate(); err != nil {
				t.Fatalf("%+v normalised to %+v: %v", c, n, err)
			}
			c = n
		} else if n, ok := someComposition(c); ok { // most are faulty: mend some
			c = n
		}
		food := Food{Composition: c, Porosity: porosity, FreezingPoint: freezing, Structure: Structure(structure)}
		k := food.Conductivity(at, liquid, ice)
		tf, density, bound := food.InitialFreezingPoint(), food.Density(), food.Bound()
		if food.Validate() != nil {
			return
		}
		if !(density > 0) || math.IsInf(density, 0) || !(bound >= 0 && bound <= c.Water) || !(tf > lowestFreezing && tf < 0) {
			t.Fatalf("%+v: density %v, bound %v, freezing point %v", food, density, bound, tf)
		}
		finite := func(x float64) bool { return !math.IsNaN(x) && math.Abs(x) < 1e100 }
		if finite(at) && finite(liquid) && finite(ice) && !(k > 0 && k < 10) {
			t.Fatalf("%+v at %v, liquid %v, ice %v: conductivity %v", food, at, liquid, ice, k)
		}
		for _, w := range []float64{0, 0.3, 0.99, liquid} {
			g, err := food.WithWater(w)
			if err == nil {
				err = g.Validate()
			} else {
				var bad *FoodError
				if !errors.As(err, &bad) {
					t.Fatalf("untyped error %v", err)
				}
				err = nil
			}
			if err != nil {
				t.Fatalf("%+v with water %v: %v", food, w, err)
			}
			if g, err = Mix("m", Part{food, 1}, Part{food, 0.5}); err != nil || g.Validate() != nil {
				t.Fatalf("%+v mixed: %v %v", food, err, g.Validate())
			}
		}
	})
}

// someComposition folds any numbers into a valid composition, if that can be.
func someComposition(c Composition) (Composition, bool) {
	fold := func(x float64) float64 { return math.Abs(math.Mod(x, 1)) }
	c = Composition{
		Water: fold(c.Water), Protein: fold(c.Protein), Fat: fold(c.Fat), Carbohydrate: fold(c.Carbohydrate),
		Fibre: fold(c.Fibre), Ash: fold(c.Ash), Salt: fold(c.Salt), Sugar: fold(c.Sugar),
	}
	c.Salt *= c.Ash
	c.Sugar *= c.Carbohydrate
	c = c.scaled(1 / c.Sum())
	return c, c.Validate() == nil
}

func FuzzParseTable(f *testing.F) {
	f.Add(heading)
	f.Add(heading + "a,b,70,10,5,10,2,2,1,3,-1.5,0.05,fibre-along,0.1,tallow,oswin 0.13 0.33,s,n\n")
	f.Add("# x\n" + heading + "a,,100,,,,,,,,,,,,,gab 0.07 15 0.82,,\n")
	f.Add(heading + "\"a\"\",,100,,,,,,,,,,,,,,,\n")
	f.Add(fullHeading + "a,b,75,22,2,,,1,,,,,open-pores,0.7,,,2e-10,2e4,0.5,1e-12,3,beef 3.4,2,w,s,n\n")
	f.Add(strings.Replace(heading, "source", "holding,soak,source", 1) + "a,,75,22,2,,,1,,,,,,,,,fat fish,5,,\n")
	f.Fuzz(func(t *testing.T, text string) {
		foods, err := ParseTable(strings.NewReader(text))
		if err != nil {
			var bad *TableError
			if !errors.As(err, &bad) || foods != nil {
				t.Fatalf("%d foods and error %v", len(foods), err)
			}
			return
		}
		for _, food := range foods {
			if err := food.Validate(); err != nil {
				t.Fatal(err)
			}
			w, _ := food.WaterTransport()
			if err := w.Validate(); err != nil {
				t.Fatal(err)
			}
			if h := food.Holding; h != nil && !(h.Kept(60) > 0 && h.Kept(60) <= h.Kept(20) && h.Rate(60) > 0) {
				t.Fatalf("%+v keeps %v at 60 °C and %v at 20 °C", h, h.Kept(60), h.Kept(20))
			}
		}
	})
}
