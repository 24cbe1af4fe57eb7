// Command freezer prints how long an assembled pastry roll takes to freeze
// through in a still domestic freezer and in an air-blast freezer.
//
// Scenario (invented): the roll of the frozenroll example, wrapped at 5 °C. The
// table has the times at which the centre is down to -10 °C, where the freezing
// times of the trade's tables end, and to -18 °C, and at which a share of the
// freezable water is ice wherever in the lamb one looks. It also has how long
// the lamb at half its radius stays between -1.1 and -7 °C, where most of its
// ice forms: the longer, the more it will drip (Mascheroni & Calvelo 1980 on beef).
//
// Equations, data and method are those of package thermal: conduction with an
// ice curve in an infinite cylinder, radiation and a typical coefficient of
// convection for each freezer, finite volumes and TR-BDF2. The freezers stay at
// their temperature whatever is put in; no frost forms; no wrapper resists.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

func main() {
	if err := program(); err != nil {
		fmt.Fprintln(os.Stderr, "freezer:", err)
		os.Exit(1)
	}
}

// watched is how long each freezer is watched.
const watched = 48 * time.Hour

func program() error {
	start := flag.Float64("start", 5, "temperature of the roll at the start [°C]")
	share := flag.Float64("share", 0.85, "share of the lamb's freezable water to be ice, 0 to 1")
	flag.Parse()
	if flag.NArg() > 0 || !(*share > 0 && *share < 1) {
		return errors.New("no arguments are taken, and -share lies between 0 and 1; -help lists the flags")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()

	lamb := thermal.Layer{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 33 * thermal.MM}
	dish := thermal.Dish{
		Shape: geometry.Cylinder{Length: 0.25},
		Layers: []thermal.Layer{
			lamb,
			{Name: "greens", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 6 * thermal.MM},
			{Name: "fat film", Food: materials.MustFind("cured lard"), Thickness: 1 * thermal.MM},
			{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 4.5 * thermal.MM},
		},
		Start: thermal.Uniform(*start),
	}
	half := thermal.Within("lamb", 0.5)
	marks := []thermal.Condition{
		thermal.Below(thermal.Centre(), -10),
		thermal.Below(thermal.Centre(), -18),
		frozen(lamb, *share),
		thermal.Below(half, -1.1),
		thermal.Below(half, -7),
	}
	freezers := []struct {
		name   string
		medium thermal.Medium
	}{
		{"still domestic, -18 °C", thermal.StillFreezer(-18)},
		{"still domestic, -24 °C", thermal.StillFreezer(-24)},
		{"air blast, -30 °C", thermal.BlastFreezer(-30)},
		{"air blast, -40 °C", thermal.BlastFreezer(-40)},
	}
	fmt.Printf("FREEZING A ROLL OF 89 mm FROM %g °C; hours after it is put in, - if not within %.0f h\n\n", *start, watched.Hours())
	fmt.Printf("%-24s %9s %9s %13s %13s %10s\n", "freezer", "centre", "centre", fmt.Sprintf("%.0f %% of lamb", *share*100), "-1.1 to -7 °C", "ice at the")
	fmt.Printf("%-24s %9s %9s %13s %13s %10s\n", "", "-10 °C, h", "-18 °C, h", "water ice, h", "half way, h", "end, %")
	for _, f := range freezers {
		stage := thermal.Stage{Name: f.name, Medium: f.medium, Until: thermal.Elapsed(watched)}
		run, err := thermal.Simulate(ctx, dish, thermal.Schedule{stage}, &thermal.Settings{Watch: marks})
		if run != nil {
			row(f.name, run, marks)
		}
		if err != nil {
			return err // what came before it has been printed
		}
	}
	fmt.Print(`
Air at the target temperature never quite brings the centre there: what counts is how much colder
it is. The rest of the water is bound to the solids, or brine in the cured lard and the dough.

Caution: a computed time is no proof of safety. Local food codes and licensed practice decide how
fast food must be chilled and frozen; measure the centre with a thermometer.
`)
	return nil
}

// row prints the times of the marks, found among the run's events.
func row(name string, run *thermal.Run, marks []thermal.Condition) {
	hours := make([]float64, len(marks))
	for i := range marks {
		hours[i] = -1
		if at, met := run.Met(i); met {
			hours[i] = at.Hours()
		}
	}
	text := func(h float64, known bool) string {
		if !known {
			return "-"
		}
		return fmt.Sprintf("%.1f", h)
	}
	end := run.End()
	fmt.Printf("%-24s %9s %9s %13s %13s %10.1f\n", name, text(hours[0], hours[0] >= 0), text(hours[1], hours[1] >= 0),
		text(hours[2], hours[2] >= 0), text(hours[4]-hours[3], hours[3] >= 0 && hours[4] >= 0), 100*end.Ice()/end.Water())
}

// frozen is met when everywhere in the lamb a share of the water that can freeze
// is ice. thermal.Frozen asks it of the whole dish, where the brine in the cured
// lard stays liquid down to -25 °C.
func frozen(lamb thermal.Layer, share float64) thermal.Condition {
	free := lamb.Food.Composition.Water - lamb.Food.Bound()
	return thermal.When("the lamb is frozen", func(s *thermal.State) float64 {
		least := 1.0
		for _, c := range s.Cells() {
			if c.Layer == lamb.Name {
				least = min(least, c.Ice/free)
			}
		}
		return least - share
	})
}
