package validation

import (
	"fmt"

	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// propMelted is the heat [kJ/kg] a fat takes up in melting between two temperatures
// [°C]: what its enthalpy has over that of a fat that never melts.
func propMelted(kind materials.FatKind, from, to float64) (float64, error) {
	heat := 0.0
	for sign, k := range map[float64]materials.FatKind{1: kind, -1: materials.NoFat} {
		f, err := propRelation(materials.Food{Name: "fat", Composition: materials.Composition{Fat: 1}, FatKind: k}, phasechange.BoundWater)
		if err != nil {
			return 0, err
		}
		heat += sign * f.Enthalpy(to, from) / 1e3
	}
	return heat, nil
}

// propSpan is the tolerance for a span printed in whole numbers, or for one value.
func propSpan(r propRow, half, single float64) float64 {
	if r["low"] == r["high"] {
		return single
	}
	return half + 0.5
}

// propBisect is where a falling function meets a value, from 60 K around.
func propBisect(value float64, f func(t float64) float64) float64 {
	lo, hi := -60.0, 60.0
	for range 60 {
		if mid := (lo + hi) / 2; f(mid) > value {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

func propFats() ([]check, error) {
	solid, err := propEach("fats/solid-fat.csv", func(r propRow) (check, bool, error) {
		kind, err := materials.ParseFatKind(r["fat"])
		middle, half := r.band()
		return check{
			source:    "usual spread of tempered fats (from memory)",
			quantity:  fmt.Sprintf("solid part of %s at %g °C, %%", kind, r.number("t")),
			published: middle, ours: 100 * phasechange.FatSolid(kind, r.number("t")), tolerance: half, scale: 100,
		}, true, err
	})
	if err != nil {
		return nil, err
	}
	heats, err := propEach("fats/melting-heat.csv", func(r propRow) (check, bool, error) {
		kind, err := materials.ParseFatKind(r["fat"])
		if err != nil {
			return check{}, false, err
		}
		middle, half := r.band()
		ours, err := propMelted(kind, -60, 60)
		return check{
			source:    propSource(r["source"], r["status"]),
			quantity:  fmt.Sprintf("heat of melting of %s, kJ/kg", kind),
			published: middle, ours: ours,
			tolerance: propSpan(r, half, 0.1), // one value: twice the rounding
		}, true, err
	})
	if err != nil {
		return nil, err
	}
	points, err := propEach("fats/melting-point.csv", func(r propRow) (check, bool, error) {
		kind, err := materials.ParseFatKind(r["fat"])
		if err != nil {
			return check{}, false, err
		}
		middle, half := r.band()
		part := r.number("solid") / 100
		return check{
			source:   r["source"],
			quantity: fmt.Sprintf("%s: temperature with %s %% solid, °C", kind, r["solid"]),
			// A melting point is read to 2 K between methods (common practice, no source).
			published: middle, ours: propBisect(part, func(t float64) float64 { return phasechange.FatSolid(kind, t) }),
			tolerance: propSpan(r, half, 2),
		}, true, nil
	})
	return append(append(solid, heats...), points...), err
}
