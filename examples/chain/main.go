// Command chain takes one pastry roll through its whole life: the raw lamb is
// cooked in a water bath, chilled, seared in oil and chilled again, wrapped,
// frozen, stored, baked in stages and rested.
//
// It shows how a run starts the next: From carries temperatures, lost water and
// the hottest each place has been; With adds layers around it. The weights show
// that nothing is lost on the way but steam, the last table that meat made grey by
// the oil stays grey.
//
// Scenario (invented): a raw lamb loin of 33 mm radius, bagged for the water bath
// and the ice water; around it later 6 mm of pressed spinach, 1 mm of cured lard
// and 4.5 mm of puff pastry, all at 5 °C.
//
// Equations, data and method are those of package thermal: conduction in an
// infinite cylinder with melting ice and fat and boiling water, solved by finite
// volumes and TR-BDF2, with foods from the embedded table and typical media. The
// meat keeps the composition of raw meat: its juices do not leave.
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
		fmt.Fprintln(os.Stderr, "chain:", err)
		os.Exit(1)
	}
}

func program() error {
	core := flag.Float64("core", 54, "centre of the lamb at the end of the water bath [°C]")
	sear := flag.Duration("sear", time.Minute, "time in oil at 190 °C")
	store := flag.Duration("store", 24*time.Hour, "time in the freezer at -20 °C")
	hotFor := flag.Duration("hotfor", 35*time.Minute, "time in the oven at 220 °C")
	flag.Parse()
	if flag.NArg() > 0 {
		return errors.New("no arguments are taken; -help lists the flags")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()

	lamb := thermal.Layer{Name: "lamb", Food: materials.MustFind("lamb loin, raw"), Thickness: 33 * thermal.MM}
	alone := thermal.Dish{Shape: geometry.Cylinder{Length: 0.25}, Layers: []thermal.Layer{lamb}, Start: thermal.Uniform(4)}
	wrapped := thermal.Dish{Shape: alone.Shape, Layers: []thermal.Layer{
		lamb,
		{Name: "greens", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 6 * thermal.MM},
		{Name: "fat film", Food: materials.MustFind("cured lard"), Thickness: 1 * thermal.MM},
		{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 4.5 * thermal.MM},
	}}
	iceWater := thermal.WaterBath(1)

	fmt.Printf("A LAMB ROLL FROM RAW MEAT TO THE TABLE; each line is the end of a stage\n\n")
	fmt.Printf("%-22s %8s %10s %11s %11s %10s %9s\n", "stage", "min", "centre °C", "lamb rim °C", "surface °C", "weight g", "ice g")

	lean, err := stages(ctx, alone, thermal.Schedule{
		{Name: "water bath, 56 °C", Medium: thermal.WaterBath(56), Until: thermal.Above(thermal.Centre(), *core), Limit: 12 * time.Hour},
		{Name: "ice water", Medium: iceWater, Until: thermal.Below(thermal.Centre(), 10), Limit: 12 * time.Hour},
		{Name: "refrigerator, 3 °C", Medium: thermal.Refrigerator(3), Until: thermal.Below(thermal.Centre(), 5), Limit: 24 * time.Hour},
		{Name: "sear in oil, 190 °C", Medium: thermal.HotOil(190), Until: thermal.Elapsed(*sear)},
		{Name: "refrigerator, 3 °C", Medium: thermal.Refrigerator(3), Until: thermal.Below(thermal.HottestOf("lamb"), 6), Limit: 24 * time.Hour},
	})
	if err != nil {
		return err
	}

	wrapped.Start = thermal.From(lean).With("greens", 5).With("fat film", 5).With("crust", 5)
	fmt.Printf("  wrapped in %d layers at 5 °C\n", len(wrapped.Layers)-1)
	stored, err := stages(ctx, wrapped, thermal.Schedule{
		{Name: "blast freezer, -30 °C", Medium: thermal.BlastFreezer(-30), Until: thermal.Below(thermal.Centre(), -18), Limit: 24 * time.Hour},
		{Name: "stored at -20 °C", Medium: thermal.StillFreezer(-20), Until: thermal.Elapsed(*store)},
	})
	if err != nil {
		return err
	}

	wrapped.Start = thermal.From(stored)
	served, err := stages(ctx, wrapped, thermal.Schedule{
		{Name: "oven, 220 °C", Medium: thermal.FanOven(220), Until: thermal.Elapsed(*hotFor)},
		{Name: "door open", Medium: thermal.Room(30), Until: thermal.Elapsed(2 * time.Minute)},
		{Name: "oven, 85 °C", Medium: thermal.FanOven(85), Until: thermal.Above(thermal.Centre(), 47), Limit: 6 * time.Hour},
		{Name: "rest, 25 °C", Medium: thermal.Room(25), Until: thermal.Elapsed(10 * time.Minute)},
	})
	if err != nil {
		return err
	}

	fmt.Printf("\n%-11s %8s %9s %8s %19s %12s %10s\n%-11s %8s %9s %8s %19s %12s %10s\n", "run", "heat in", "steam", "steam", "energy unexplained,", "water, share", "lamb ever",
		"", "kJ", "kJ", "g", "share of exchanged", "of the first", "> 60 °C, %")
	account("lamb alone", lean)
	account("freezing", stored)
	account("baking", served)
	added := stored.At(0).Mass() - lean.End().Mass()
	fmt.Printf("weights: lamb %.1f g + layers %.1f g - steam %.1f g = served %.1f g (unexplained %.1g g)\n", lean.At(0).Mass()*1e3, added*1e3,
		(lean.Lost()+stored.Lost()+served.Lost())*1e3, served.End().Mass()*1e3,
		(lean.At(0).Mass()+added-lean.Lost()-stored.Lost()-served.Lost()-served.End().Mass())*1e3)
	fmt.Print(`
Caution: a computed temperature is no proof of safety. Local food codes and licensed practice
decide how long food may stay lukewarm and how fast it is chilled; measure the coldest place with
a thermometer. Hot oil burns: dry the meat, lower it in slowly, keep ice and water away from it,
fill the pan by half at most and never leave it. Ovens and what comes out of them burn.
`)
	return nil
}

// stages runs a part of the chain and prints a line at the end of every stage,
// also of a run that was interrupted.
func stages(ctx context.Context, d thermal.Dish, s thermal.Schedule) (*thermal.Run, error) {
	run, err := thermal.Simulate(ctx, d, s, nil)
	if run == nil {
		return nil, err
	}
	for _, stage := range run.Stages {
		state := run.At(stage.End)
		fmt.Printf("%-22s %8.1f", stage.Name, (stage.End - stage.Start).Minutes())
		for i, p := range []thermal.Place{thermal.Centre(), thermal.Within("lamb", 1), thermal.Skin()} {
			t, err := state.Temperature(p)
			if err != nil {
				return run, err
			}
			fmt.Printf(" %*.1f", []int{10, 11, 11}[i], t)
		}
		fmt.Printf(" %10.1f %9.1f\n", state.Mass()*1e3, state.Ice()*1e3)
	}
	return run, err
}

// account prints the two accounts of a run as a line, and how much of the lamb
// has been above 60 °C by its end, earlier runs included; such meat is grey
// (common practice, no source).
func account(name string, run *thermal.Run) {
	e := run.Energy
	grey, _, err := run.PeakAbove("lamb", 60)
	if err != nil {
		return // every run here has the lamb
	}
	fmt.Printf("%-11s %8.1f %9.1f %8.1f %19.0e %12.0e %10.1f\n",
		name, e.In/1e3, e.Steam/1e3, run.Water.Steam*1e3, e.Relative, run.Water.Relative, 100*grey)
}
