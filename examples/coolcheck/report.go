package main

import (
	"fmt"
	"io"
	"math"
	"time"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/safety"
)

// way is a way to cool the roll and what comes of it.
type way struct {
	name     string
	medium   thermal.Medium
	slow     [2]time.Duration // from 57 to 21 and from 21 to 5 °C, each of the slowest cell
	end      float64          // [°C] the warmest cell at the end
	lost     float64          // [kg] while it cools
	findings []safety.Finding
}

// rules are those for cooling whole roasts that are looked at; that of growth sees the
// cooling alone, the others find it in the whole chain.
var (
	rules  = []safety.Rule{safety.MustFind("food-code-cooling"), safety.MustFind("fsis-cooling-1"), safety.MustFind("fsis-cooling-2"), safety.MustFind("fsis-cooling-3")}
	growth = safety.MustFind("cfr-cooling-growth")
)

// judge checks a chain of runs of which the last cools.
func (w *way) judge(facts safety.Facts, chain ...*thermal.Run) error {
	histories, err := safety.DishHistories(chain...)
	if err != nil {
		return err
	}
	cooling := make([]safety.History, len(histories))
	for i, h := range histories {
		last := len(h.Time) - 1
		if cooling[i], err = h.Between(*facts.CookEnd, h.Time[last]); err != nil {
			return err
		}
		for j, span := range [2][2]float64{{21, 57}, {5, 21}} {
			d, err := cooling[i].TimeBetween(span[0], span[1])
			if err != nil {
				return err
			}
			w.slow[j] = max(w.slow[j], d)
		}
		if t := h.Temperature[last]; i == 0 || t > w.end {
			w.end = t
		}
	}
	for _, run := range chain[1:] {
		w.lost += run.Lost()
	}
	if w.findings, err = safety.Check(histories, facts, rules...); err != nil {
		return err
	}
	grown, err := safety.Check(cooling, facts, growth)
	w.findings = append(w.findings, grown...)
	return err
}

func report(to io.Writer, ways []way) {
	fmt.Fprintf(to, "\n%-14s %11s %10s %9s %7s\n%-14s %11s %10s %9s %7s\n",
		"", "57 to 21 °C", "21 to 5 °C", "at last", "lost", "slowest cell", "min", "min", "°C", "g")
	for _, w := range ways {
		fmt.Fprintf(to, "%-14s %11.0f %10.0f %9.1f %7.0f\n", w.name, w.slow[0].Minutes(), w.slow[1].Minutes(), w.end, w.lost*1e3)
	}
	fmt.Fprintf(to, "\n%-32s", "VERDICTS")
	for _, w := range ways {
		fmt.Fprintf(to, "  %-18s", w.name)
	}
	for i, f := range ways[0].findings {
		fmt.Fprintf(to, "\n%-32s", fmt.Sprintf("%s %s (%d)", f.Code, f.Number, f.Year))
		for _, w := range ways {
			fmt.Fprintf(to, "  %-18s", verdict(w.findings[i]))
		}
	}
	fmt.Fprint(to, "\nThe options of Appendix B are alternatives: one of them is enough.\n\nWHAT IS ASKED AND WHAT WAS FOUND\n")
	for i, f := range ways[0].findings {
		fmt.Fprintf(to, "%s %s (%d), %s\n  %s\n", f.Code, f.Number, f.Year, f.Title, f.Words)
		for _, w := range ways {
			f := w.findings[i]
			fmt.Fprintf(to, "  - %s: %s", w.name, f.Text)
			if f.Place != "" {
				fmt.Fprintf(to, "; %s", f.Place)
			}
			fmt.Fprintln(to)
		}
	}
	fmt.Fprintf(to, "\nCaution: %s\n", safety.Caution)
}

// verdict says whether a finding passes or fails, and by how much.
func verdict(f safety.Finding) string {
	switch {
	case f.Margin == nil:
		return f.Verdict.String()
	case f.Unit == "s":
		return fmt.Sprintf("%v by %.0f min", f.Verdict, math.Abs(*f.Margin)/60)
	}
	return fmt.Sprintf("%v by %.2g %s", f.Verdict, math.Abs(*f.Margin), f.Unit)
}
