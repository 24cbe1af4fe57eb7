package phasechange

import (
	"errors"
	"math"
	"testing"

	"example.com/thawfront/materials"
)

// FuzzRelation makes relations of any valid food and checks laws 1 and 2 at the
// original and at lower water contents.
func FuzzRelation(f *testing.F) {
	f.Add(0.7, 0.2, 0.05, 0.02, 0.01, 0.02, 0.2, 0.3, 0.0, -1.0, -1.0, uint8(1), uint8(3), uint8(0), 101325.0, 0.07, 12.0, 0.88)
	f.Add(0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, -1.0, uint8(0), uint8(2), uint8(3), 70e3, 0.0, 0.0, 0.0)
	f.Add(1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, -1.0, uint8(0), uint8(0), uint8(2), 500e3, 0.0, 0.0, 0.0)
	f.Add(0.1, 0.1, 0.1, 0.7, 0.0, 0.0, 0.0, 1.0, 0.97, -59.0, 1.0, uint8(4), uint8(1), uint8(1), 20e3, 0.3, 0.5, -1.0)
	f.Add(0.001, 0.0, 0.5, 0.4, 0.0, 0.099, 1.0, 0.0, 0.5, -0.001, 0.5, uint8(5), uint8(7), uint8(3), 0.0, 2.0, 3.0, -1.0)
	f.Add(0.5, 0.0, 0.0, 0.5, 0.0, 0.0, 0.0, 0.0, 0.9, -30.0, 0.0, uint8(3), uint8(12), uint8(0), math.NaN(), 2.0, 1e6, 0.9999)
	f.Add(0.76, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, -3.2222222222222223, -1.0, uint8(0), uint8(8), uint8(0), 0.0, 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, water, protein, fat, carbohydrate, fibre, ash, salt, sugar, porosity, freezing, bound float64,
		structure, fatKind, curve uint8, pressure, iso1, iso2, iso3 float64) {
		fold := func(x float64) float64 { return math.Abs(math.Mod(x, 1)) }
		part := func(x float64) float64 { // 0 to 1, 1 included
			if x == 1 {
				return 1
			}
			return fold(x)
		}
		c := materials.Composition{Water: part(water), Protein: part(protein), Fat: part(fat), Carbohydrate: part(carbohydrate),
			Fibre: part(fibre), Ash: part(ash)}
		sum := c.Sum()
		c = materials.Composition{Water: c.Water / sum, Protein: c.Protein / sum, Fat: c.Fat / sum,
			Carbohydrate: c.Carbohydrate / sum, Fibre: c.Fibre / sum, Ash: c.Ash / sum}
		c.Salt, c.Sugar = part(salt)*c.Ash, part(sugar)*c.Carbohydrate
		food := materials.Food{Name: "fuzzed", Composition: c, Porosity: porosity, FreezingPoint: freezing,
			Structure: materials.Structure(structure), FatKind: materials.FatKind(fatKind)}
		if bound >= 0 {
			b := part(bound) * c.Water
			food.BoundWater = &b
		}
		switch {
		case iso3 > 0:
			food.Isotherm = materials.GAB(iso1, iso2, iso3)
		case iso3 < 0:
			food.Isotherm = materials.Oswin(iso1, iso2)
		}
		r, err := New(food, Settings{IceCurve: IceCurve(curve), Pressure: pressure})
		if err != nil {
			var bad *Error
			var badFood *materials.FoodError
			if r != nil || !errors.As(err, &bad) && !errors.As(err, &badFood) {
				t.Fatalf("untyped error %v, relation %v", err, r)
			}
			return
		}
		for _, share := range []float64{1, 0.9, 0.4, 0.02} {
			a := r.Anchor(share * r.water)
			checkLaws(t, r, &a)
		}
		a := r.Anchor(r.water)
		var hint int32
		u := r.Energy(math.Max(a.tb, 0), &a)
		for range 5 {
			before := a.water
			u = r.Settle(u+0.2*r.water*2.6e6, &a, &hint)
			if !(a.water >= 0 && a.water <= before) || math.IsNaN(u) || math.IsInf(u, 0) {
				t.Fatalf("%+v: water %v after %v, energy %v", food, a.water, before, u)
			}
		}
		checkLaws(t, r, &a)
	})
}

func checkLaws(t *testing.T, r *Relation, a *Anchor) {
	finite := func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
	last, at := math.Inf(-1), math.Inf(-1)
	for _, temp := range temperatures(a) {
		u := r.Energy(temp, a)
		if !finite(u) || !(u > last) {
			t.Fatalf("%+v, %v, water %v of %v: U(%v) = %v, but U(%v) = %v", r.food, r.ice.curve, a.water, r.water, temp, u, at, last)
		}
		last, at = u, temp
		var hint int32
		got, dt, k, dk := r.At(u, a, &hint, math.NaN())
		if !(math.Abs(got-temp) < 1e-5) || !(dt > 0) || !(k > 0) || !finite(dt) || !finite(k) || !finite(dk) {
			t.Fatalf("%+v, %v, water %v of %v: at %v °C T %v, dT/dU %v, k %v, dk/dU %v", r.food, r.ice.curve, a.water, r.water, temp, got, dt, k, dk)
		}
		if ice := r.Ice(temp, a); !(ice >= 0 && ice <= a.water) {
			t.Fatalf("%+v, %v: %v ice of %v water at %v °C", r.food, r.ice.curve, ice, a.water, temp)
		}
	}
}
