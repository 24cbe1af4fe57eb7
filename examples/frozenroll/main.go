// Command frozenroll bakes a pastry roll straight from the freezer, in two
// stages, and prints what a cook and an engineer want to know of it.
//
// Scenario (invented): a caterer's lamb roll, cooked beforehand. From the axis
// outwards 33 mm of cooked lamb loin, 6 mm of pressed spinach, a 1 mm film of
// cured lard that keeps the spinach's water off the pastry, 4.5 mm of puff
// pastry. It goes at -18 °C into a fan oven at 220 °C for 35 minutes, stands for
// 2 minutes while the oven is opened and cools, and stays at 85 °C until the
// centre is at 48 °C.
//
// Equations: conservation of energy and of water in an infinite cylinder,
//
//	dU/dt = 1/r d/dr(r (k dT/dr + D hl dw/dr + δ hv dp/dr)) - steam
//	dw/dt = 1/r d/dr(r (D dw/dr + δ dp/dr)) - steam
//
// with convection, radiation and evaporation at the surface, and T, the vapour pressure
// p and the water activity following from U and w through melting ice and fat and
// sorption (package phasechange). With -still only steam moves.
// Data: the embedded food table; coefficients of the media from package thermal.
// Method: finite volumes and TR-BDF2 (package thermal).
//
// The oven is ideal: it is at 220 °C at once, and at 85 °C at once after the
// door was open.
package main

import (
	"context"
	"encoding/json"
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
		fmt.Fprintln(os.Stderr, "frozenroll:", err)
		os.Exit(1)
	}
}

func program() error {
	start := flag.Float64("start", -18, "temperature of the roll at the start [°C]")
	hot := flag.Float64("hot", 220, "oven in the hot stage [°C]")
	hotFor := flag.Duration("hotfor", 35*time.Minute, "length of the hot stage")
	gentle := flag.Float64("gentle", 85, "oven in the gentle stage [°C]")
	target := flag.Float64("target", 48, "centre that ends the gentle stage [°C]")
	length := flag.Float64("length", 0.25, "length of the roll [m]; its ends are insulated")
	cells := flag.Int("cells", 0, "cells of the mesh, 0 for the default")
	every := flag.Duration("every", 5*time.Minute, "interval of the timeline, at least 1s")
	still := flag.Bool("still", false, "let water stay where it is, but for the steam that boils off")
	csvName := flag.String("csv", "", "write the run as CSV, a line every 10 s, to this file")
	jsonName := flag.String("json", "", "write the run as JSON to this file")
	fahrenheit := flag.Bool("fahrenheit", false, "print °F instead of °C")
	flag.Parse()
	if flag.NArg() > 0 || *every < time.Second {
		return errors.New("no arguments are taken, and -every is at least 1s; -help lists the flags")
	}

	dish := thermal.Dish{
		Shape: geometry.Cylinder{Length: *length},
		Layers: []thermal.Layer{
			{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 33 * thermal.MM},
			{Name: "greens", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 6 * thermal.MM},
			{Name: "fat film", Food: materials.MustFind("cured lard"), Thickness: 1 * thermal.MM},
			{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 4.5 * thermal.MM},
		},
		Start: thermal.Uniform(*start),
	}
	schedule := thermal.Schedule{
		{Name: "hot", Medium: thermal.FanOven(*hot), Until: thermal.Elapsed(*hotFor)},
		{Name: "door open", Medium: thermal.Room(30), Until: thermal.Elapsed(2 * time.Minute)},
		{Name: "gentle", Medium: thermal.FanOven(*gentle), Until: thermal.Above(thermal.Centre(), *target), Limit: 6 * time.Hour},
	}
	settings := &thermal.Settings{Cells: *cells, Moisture: !*still, Watch: []thermal.Condition{
		thermal.Above(thermal.Skin(), 140), // browning is quick from about here (common practice, no source)
		thermal.Below(thermal.Skin(), 100),
		thermal.Above(thermal.Centre(), -1),
		thermal.Above(thermal.HottestOf("lamb"), 60), // from here the rim is grey (common practice, no source)
		thermal.IceGone(),
	}}

	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	run, err := thermal.Simulate(ctx, dish, schedule, settings)
	if run == nil {
		return err
	}
	// An interrupted or failed run is worth printing as far as it came.
	p := printer{run: run, fahrenheit: *fahrenheit}
	p.dish()
	p.timeline(*every)
	p.events()
	p.balance()
	p.accounts()
	p.caution()
	return errors.Join(err, save(run, *csvName, *jsonName))
}

// save writes the files that were asked for.
func save(run *thermal.Run, csvName, jsonName string) error {
	var faults []error
	if csvName != "" {
		f, err := os.Create(csvName)
		if err == nil {
			err = errors.Join(run.WriteCSV(f, 10*time.Second), f.Close())
		}
		faults = append(faults, err)
	}
	if jsonName != "" {
		text, err := json.MarshalIndent(run, "", "  ")
		if err == nil {
			err = os.WriteFile(jsonName, append(text, '\n'), 0o644)
		}
		faults = append(faults, err)
	}
	return errors.Join(faults...)
}
