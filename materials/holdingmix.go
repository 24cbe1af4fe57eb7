package materials

import (
	"fmt"
	"math"
	"slices"
)

// muscle is a part of a food that expels juice.
type muscle struct {
	holding *WaterHolding
	water   float64 // [kg/kg of the food] of it when raw
}

// mixHolding is the holding of a food of so much protein [kg/kg] in which muscle is
// mixed with other water [kg/kg]. Of the raw water W, all together, each muscle has
// a share s and expels its own lost share L of that; the other water stays:
//
//	W = other + Σ water,  lost = Σ s L,  rate = Σ s L rate / Σ s L
//
// so that the mix begins to let go as its muscles would. It is nil without muscle
// and where there are over 100 kg of water to a kilogram of protein: muscle, of
// which there is then less than a twentieth, has next to nothing to let go.
func mixHolding(muscles []muscle, other, protein float64) *WaterHolding {
	if len(muscles) == 0 {
		return nil
	}
	total := other
	for _, m := range muscles {
		total += m.water
	}
	if len(muscles) == 1 && other <= roundedWater*total {
		return muscles[0].holding.clone() // nothing but this muscle
	}
	if !(total <= greatestRawWater*protein) {
		return nil
	}
	h := &WaterHolding{Name: muscles[0].holding.Name, RawWater: total / protein, Source: "mixed:"}
	for i, m := range muscles {
		if m.holding.Name != h.Name {
			h.Name = "mixed"
		}
		if i < maxNamed {
			h.Source += fmt.Sprintf(" %s of the water as %s;", percent(m.water/total), m.holding.Name)
		}
	}
	h.Source += " the rest stays"
	last := 0.0
	for _, t := range holdingTemperatures(muscles) {
		var lost, rate float64
		for _, m := range muscles {
			l := m.water / total * m.holding.lost(t)
			lost += l
			rate += l * m.holding.Rate(t)
		}
		if lost > 0 {
			rate /= lost
		} else {
			rate = muscles[0].holding.Rate(t) // of no account
		}
		last = math.Max(last, math.Min(lost, greatestLost)) // but for rounding it does not fall
		h.Points = append(h.Points, HoldingPoint{t, last, math.Min(rate, greatestRate)})
	}
	return h
}

const (
	roundedWater = 1e-9 // share of the water that is none but for rounding
	maxNamed     = 10   // ingredients that a source tells
)

// holdingTemperatures are those of the points of all curves, rising, or a hundred
// evenly picked of them.
func holdingTemperatures(muscles []muscle) []float64 {
	var all []float64
	for _, m := range muscles {
		for _, p := range m.holding.Points {
			all = append(all, p.Temperature)
		}
	}
	slices.Sort(all)
	all = slices.Compact(all)
	if n := len(all); n > maxHoldingPoints {
		for i := range maxHoldingPoints {
			all[i] = all[i*(n-1)/(maxHoldingPoints-1)]
		}
		all = all[:maxHoldingPoints]
	}
	return all
}
