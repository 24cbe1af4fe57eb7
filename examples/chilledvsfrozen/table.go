package main

import (
	"fmt"
	"math"

	"example.com/thawfront/thermal"
)

// column is what is compared of one run.
type column struct {
	head               string
	start              float64 // [°C]
	hot, gentle, whole float64 // [min]
	centreThen         float64 // [°C] at the end of the hot stage, as are the next five
	rimThen, skinThen  float64 // [°C]
	innerThen          float64 // [°C] inner face of the crust
	iceThen            float64 // [kg]
	crustWater         float64 // [kg]
	crustLeft          float64 // [-] share of the crust's water that is left
	skinAfter          float64 // [°C] 5 minutes after the hot stage
	rimHighest         float64 // [°C] of the lamb, ever
	share, rim         float64 // [-], [m] lamb that was ever overdone
	lost               float64 // [-] share of the weight
}

// read takes a run apart. The places are fixed and known, so the errors of
// Temperature and PeakAbove cannot occur.
func read(head string, start float64, run *thermal.Run) column {
	at := func(s *thermal.State, p thermal.Place) float64 {
		t, _ := s.Temperature(p)
		return t
	}
	hot, gentle := run.Stages[0], run.Stages[2]
	then := run.At(hot.End)
	layers := then.Layers()
	c := column{head: head, start: start, hot: hot.End.Minutes(), gentle: (gentle.End - gentle.Start).Minutes(), whole: run.Duration().Minutes(),
		centreThen: at(then, thermal.Centre()), rimThen: at(then, thermal.Within("lamb", 1)),
		skinThen: at(then, thermal.Skin()), innerThen: at(then, thermal.Within("crust", 0)),
		crustWater: layers[crust].Water, crustLeft: layers[crust].Water / run.At(0).Layers()[crust].Water,
		skinAfter:  at(run.At(hot.End+thermal.Minutes(5)), thermal.Skin()),
		rimHighest: run.Extremes()[lamb].Highest, lost: 1 - run.End().Mass()/run.At(0).Mass()}
	for _, l := range layers {
		c.iceThen += l.Ice
	}
	c.share, c.rim, _ = run.PeakAbove("lamb", overdone)
	return c
}

func table(columns []column, target float64) {
	fmt.Printf("THE SAME ROLL, CHILLED AND FROZEN, TO %g °C IN THE CENTRE\n\n%-52s", target, "")
	for _, c := range columns {
		fmt.Printf(" %12s", c.head)
	}
	fmt.Println()
	row := func(what string, decimals int, v func(c column) float64) {
		fmt.Printf("%-52s", what)
		for _, c := range columns {
			fmt.Printf(" %12.*f", decimals, v(c))
		}
		fmt.Println()
	}
	row("start, °C", 0, func(c column) float64 { return c.start })
	row("hot stage, min", 1, func(c column) float64 { return c.hot })
	row("  then: centre, °C", 1, func(c column) float64 { return c.centreThen })
	row("  then: ice in the roll, g", 1, func(c column) float64 { return c.iceThen * 1e3 })
	row("  then: rim of the lamb, °C", 1, func(c column) float64 { return c.rimThen })
	row("  then: crust inside, °C", 1, func(c column) float64 { return c.innerThen })
	row("  then: crust surface, °C", 1, func(c column) float64 { return c.skinThen })
	row("  then: water left in the crust, % of the first", 1, func(c column) float64 { return 100 * c.crustLeft })
	row("crust surface 5 min later, °C", 1, func(c column) float64 { return c.skinAfter })
	row("gentle stage, min", 1, func(c column) float64 { return c.gentle })
	row("whole, min", 1, func(c column) float64 { return c.whole })
	row("hottest the lamb ever was, °C", 1, func(c column) float64 { return c.rimHighest })
	row(fmt.Sprintf("lamb ever above %g °C, %% of it", overdone), 1, func(c column) float64 { return 100 * c.share })
	row(fmt.Sprintf("lamb ever above %g °C, rim in mm", overdone), 1, func(c column) float64 { return c.rim * 1e3 })
	row("weight lost, %", 1, func(c column) float64 { return 100 * c.lost })
}

// conclude puts the comparison into words, whichever way it goes.
func conclude(frozen, chilled, fair column) {
	fmt.Println("\nWHAT THE NUMBERS SAY")
	fmt.Printf("After the same hot stage the lamb's rim is %s in the frozen roll (%.1f against %.1f °C).\n",
		compare(frozen.rimThen, chilled.rimThen, 0.5, "cooler", "as hot", "hotter"), frozen.rimThen, chilled.rimThen)
	fmt.Printf("Its crust then has %s water left (%.1f against %.1f %%).\n",
		compare(frozen.crustLeft, chilled.crustLeft, 0.005, "less", "as much", "more"), 100*frozen.crustLeft, 100*chilled.crustLeft)
	state := "no ice is left in it"
	if frozen.iceThen > 0 {
		state = fmt.Sprintf("%.1f g of ice are still in it", 1e3*frozen.iceThen)
	}
	fmt.Printf("When the hot stage of the frozen roll ends, its crust surface is at %.0f °C\n"+
		"and %s; 5 minutes later, turned down, the surface is at %.0f °C.\n", frozen.skinThen, state, frozen.skinAfter)
	for _, c := range []struct {
		column
		name string
	}{{chilled, "with the same hot stage"}, {fair, "with an equally dry crust"}} {
		fmt.Printf("Served at the same centre, %s, the frozen roll has\n  %s overcooked rim (%.1f against %.1f mm; %.1f against %.1f %% of the lamb),\n"+
			"  %s (%.0f against %.0f min).\n", c.name,
			compare(frozen.share, c.share, 0.005, "a smaller", "as large an", "a larger"), frozen.rim*1e3, c.rim*1e3, 100*frozen.share, 100*c.share,
			compare(frozen.whole, c.whole, 0.5, "in less time", "in the same time", "in more time"), frozen.whole, c.whole)
	}
}

// compare words how a stands to b, the same within a resolution.
func compare(a, b, resolution float64, less, same, more string) string {
	switch {
	case math.Abs(a-b) <= resolution:
		return same
	case a < b:
		return less
	}
	return more
}
