package main

import (
	"fmt"
	"io"
	"time"

	"example.com/thawfront/thermal"
)

// moment is what a report says of the roll at one time.
type moment struct {
	name   string
	time   time.Duration // since the freezer
	layers []thermal.LayerState
	mass   float64 // [kg]
	crust  thermal.Crust
}

// report is one roll as it comes from the freezer, as it leaves the oven, and after
// the wait, open and covered.
type report struct {
	name    string
	first   float64 // [kg] its weight
	moments []moment
}

func (r *report) add(name string, before time.Duration, s *thermal.State) {
	r.moments = append(r.moments, moment{name, before + s.Time(), s.Layers(), s.Mass(), s.Crust(thermal.Crispness)})
}

func (m moment) pastry() thermal.LayerState { return m.layers[len(m.layers)-1] }

// inside is the water of all layers but the pastry [kg].
func (m moment) inside() (w float64) {
	for _, l := range m.layers[:len(m.layers)-1] {
		w += l.Water
	}
	return w
}

// crisp is the share of the pastry that is [-]; fat below it may be as dry, and then
// counts in a Crust.
func (m moment) crisp() float64 { return min(1, m.crust.Thickness/m.pastry().Thickness) }

func (r report) print(to io.Writer) {
	fmt.Fprintf(to, "%-8s %5s", "", "")
	for _, l := range r.moments[0].layers {
		fmt.Fprintf(to, " %8s", l.Name)
	}
	fmt.Fprintf(to, " %8s | %7s %7s %7s %7s\n", "whole", "pastry", "dry", "pastry", "crisp")
	fmt.Fprintf(to, "%-8s %5s", "", "min")
	for range r.moments[0].layers {
		fmt.Fprintf(to, " %8s", "water g")
	}
	fmt.Fprintf(to, " %8s | %7s %7s %7s %7s\n", "lost g", "mm", "mm", "a_w", "%")
	for _, m := range r.moments {
		fmt.Fprintf(to, "%-8s %5.0f", m.name, m.time.Minutes())
		for _, l := range m.layers {
			fmt.Fprintf(to, " %8.1f", l.Water*1e3)
		}
		p := m.pastry()
		fmt.Fprintf(to, " %8.1f | %7.1f %7.1f %7.2f %7.0f\n", (r.first-m.mass)*1e3, p.Thickness*1e3, m.crust.Thickness*1e3, p.WaterActivity, 100*m.crisp())
	}
}

// soft is the share of the pastry [-] under which a crisp skin no longer makes a crisp
// crust (guess).
const soft = 0.1

// conclude says what the numbers of both rolls mean for a cook.
func conclude(to io.Writer, plain, film report) {
	fmt.Fprintf(to, "\nCONCLUSION\nIn the oven the water of the inside changed by %+.1f g without fat and by %+.1f g with it.\n",
		(plain.moments[1].inside()-plain.moments[0].inside())*1e3, (film.moments[1].inside()-film.moments[0].inside())*1e3)
	for i := 2; i < len(plain.moments); i++ {
		p, f := plain.moments[i], film.moments[i]
		fmt.Fprintf(to, "Held %s, it changed by %+.1f g without fat and by %+.1f g with it, and the pastry went\nfrom %.0f to %.0f %% crisp without fat, from %.0f to %.0f %% with it. ",
			p.name, (p.inside()-plain.moments[1].inside())*1e3, (f.inside()-film.moments[1].inside())*1e3,
			100*plain.moments[1].crisp(), 100*p.crisp(), 100*film.moments[1].crisp(), 100*f.crisp())
		switch gain := f.crisp() - p.crisp(); {
		case p.crisp() < soft && f.crisp() < soft:
			fmt.Fprintln(to, "It is soft either way.")
		case p.crisp() < soft:
			fmt.Fprintln(to, "Only fat keeps it crisp.")
		case gain > 0.05:
			fmt.Fprintln(to, "Fat keeps more of it crisp.")
		case gain < -0.05:
			fmt.Fprintln(to, "Fat does harm.")
		default:
			fmt.Fprintln(to, "Fat makes no difference.")
		}
	}
}
