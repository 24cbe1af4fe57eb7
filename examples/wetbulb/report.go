package main

import (
	"fmt"
	"io"
	"math"
	"time"
)

func table(to io.Writer, rows []row) {
	line := func(cells ...string) {
		fmt.Fprintf(to, "%-18s %8s %9s %9s %9s %11s %9s %9s %9s\n", cells[0], cells[1], cells[2], cells[3], cells[4], cells[5], cells[6], cells[7], cells[8])
	}
	line("air", "water", "wet bulb", "surface", "centre", "drying", "dry", "lost", "dew")
	line("", "kg/kg", "°C", "°C", "°C", "kg/(m² h)", "after min", "kg/m²", "kg/m²")
	number := func(v float64, digits int) string {
		if math.IsNaN(v) {
			return "-"
		}
		return fmt.Sprintf("%.*f", digits, v)
	}
	for _, r := range rows {
		water, after := number(r.ratio, 3), number(r.took.Minutes(), 1)
		if r.steam || r.foil {
			water = "-"
		}
		if !r.dried {
			after = "never"
		}
		line(r.name, water, number(r.wetBulb, 1), number(r.surface, 1), number(r.centre, 1), number(r.rate*3600, 2), after, number(r.lost, 3), number(r.dew, 3))
	}
}

// conclude says what the rows mean for a cook.
func conclude(to io.Writer, rows []row, longest time.Duration) {
	least, most := math.Inf(1), math.Inf(-1)
	for _, r := range rows {
		if d := r.surface - r.wetBulb; d == d {
			least, most = min(least, d), max(most, d)
		}
	}
	first := rows[0]
	last := first // the most humid in which the surface still dries
	dewy := first
	for _, r := range rows {
		if r.dried && !r.foil {
			last = r
		}
		if r.dew > dewy.dew {
			dewy = r
		}
	}
	fmt.Fprintf(to, "\nWHAT A COOK LEARNS\nWhile wet, surfaces lie from %+.0f to %+.0f K beside the wet bulb, whatever the dial says.\n", least, most)
	if first.dried && last.name != first.name {
		fmt.Fprintf(to, "With %q the surface cooks at %.0f °C and is dry, ready to brown, after %.0f minutes;\nwith %q it cooks at %.0f °C and is dry after %.0f.\n",
			first.name, first.surface, first.took.Minutes(), last.name, last.surface, last.took.Minutes())
	}
	for _, r := range rows {
		if !r.dried {
			fmt.Fprintf(to, "%q does not dry it within %v: the centre comes to %.0f °C half way, and nothing browns.\n", r.name, longest, r.centre)
		}
	}
	if dewy.dew > 0.001 {
		fmt.Fprintf(to, "%q first puts %.0f g/m² of dew on the cold block, each gram with 2.3 kJ: the quick way to heat a surface.\n", dewy.name, dewy.dew*1e3)
	}
	fmt.Fprint(to, `
Caution: a computed temperature is no proof of safety. Local food codes and licensed practice
decide; measure the coldest place with a thermometer. Steam burns: stand back from the door.
`)
}
