package main

import (
	"fmt"
	"io"
	"slices"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/safety"
)

// germ is what is asked of a set of D and z.
type germ struct {
	name, set string
	logs      float64 // [log10]
}

var germs = []germ{
	{"Salmonella", "salmonella, meat (Baldwin)", 6.5},
	{"E. coli", "e. coli, meat (Baldwin)", 5},
	{"Listeria", "listeria, meat (Baldwin)", 6},
}

var roast = safety.MustFind("food-code-roast-time")

const (
	spoiler = "clostridium perfringens, braised beef"
	never   = -1.0
)

// piece is what is found for one thickness, times in seconds.
type piece struct {
	bath   float64
	germs  []float64
	needed float64
	growth float64 // [log10]
	roast  float64
}

func heading(to io.Writer, bath, from float64, food, shape string) {
	fmt.Fprintf(to, "%s, %s, FROM %g °C IN A BATH AT %g °C\n\n%5s %6s", food, shape, from, bath, "mm", "bath")
	for _, g := range germs {
		fmt.Fprintf(to, " %10s", g.name)
	}
	fmt.Fprintf(to, " %8s %7s %8s\n%12s", "needed", "growth", "roast", "")
	for _, g := range germs {
		fmt.Fprintf(to, " %6.2g log", g.logs)
	}
	fmt.Fprintf(to, " %16s\n", "log")
}

func (p piece) print(to io.Writer, thickness float64) {
	fmt.Fprintf(to, "%5.0f %6s", thickness, minutes(p.bath))
	for _, t := range p.germs {
		fmt.Fprintf(to, " %10s", minutes(t))
	}
	growth := "-"
	if p.needed != never {
		growth = fmt.Sprintf("%.2f", p.growth)
	}
	fmt.Fprintf(to, " %8s %7s %8s\n", minutes(p.needed), growth, minutes(p.roast))
}

func minutes(s float64) string {
	if s == never {
		return "-"
	}
	return fmt.Sprintf("%.0f", s/60)
}

// judge finds when every cell of a piece has lost enough of every germ.
func judge(run *thermal.Run, bath float64) (piece, error) {
	histories, err := safety.DishHistories(run)
	if err != nil {
		return piece{}, err
	}
	var p piece
	p.bath = reached(histories, func(part safety.History) bool { return part.Temperature[len(part.Temperature)-1] >= bath-0.5 })
	for _, g := range germs {
		set, err := safety.FindInactivation(g.set)
		if err != nil {
			return piece{}, err
		}
		t := reached(histories, func(part safety.History) bool {
			logs, err := set.LogReduction(part)
			return err == nil && logs >= g.logs
		})
		p.germs = append(p.germs, t)
		if p.needed = max(p.needed, t); slices.Contains(p.germs, never) {
			p.needed = never
		}
	}
	if p.growth, err = grown(histories, p.needed); err != nil {
		return piece{}, err
	}
	p.roast = reached(histories, func(part safety.History) bool {
		findings, err := safety.Check([]safety.History{part}, safety.Facts{Food: safety.Roast}, roast)
		return err == nil && safety.Overall(findings) == safety.Pass
	})
	return p, nil
}

// reached is the time [s], to a second, from which on something is so in every cell, of
// what once it is so stays so.
func reached(histories []safety.History, is func(part safety.History) bool) float64 {
	last := 0.0
	for i := range histories {
		h := &histories[i]
		lo, hi := last, h.Time[len(h.Time)-1]
		if !is(*h) {
			return never
		}
		if part, err := h.Between(0, lo); err == nil && is(part) {
			continue // before another cell
		}
		for hi-lo > 1 {
			mid := (lo + hi) / 2
			if part, err := h.Between(0, mid); err == nil && is(part) {
				hi = mid
			} else {
				lo = mid
			}
		}
		last = hi
	}
	return last
}

// grown is the most that C. perfringens may have grown anywhere in the time that is needed.
func grown(histories []safety.History, needed float64) (float64, error) {
	if needed == never {
		return 0, nil
	}
	set, err := safety.FindGrowth(spoiler)
	if err != nil {
		return 0, err
	}
	parts := make([]safety.History, len(histories))
	for i := range histories {
		if parts[i], err = histories[i].Between(0, needed); err != nil {
			return 0, err
		}
	}
	most, _, err := set.Strongest(parts)
	return most, err
}
