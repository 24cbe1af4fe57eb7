// Command ends bakes a pastry roll that has two ends and says how far from them its
// slices are right, for three lengths.
//
// Who computes a roll as an endless cylinder sees the slice from its middle. Near an end
// heat comes from there, too: the slice is hotter at serving, and more of its meat is
// grey. A short roll is done sooner even in its middle.
//
// Scenario (invented): from the axis outwards 33 mm of cooked lamb loin, 6 mm of pressed
// spinach, 4.5 mm of puff pastry; both ends are closed by the same spinach and pastry, or
// bare. It goes at -18 °C into a fan oven at 220 °C for 35 minutes and stays at 85 °C
// until the middle is at 48 °C; the roll of -length, one half and one twice as long.
//
// Equations: conservation of energy in a round body with two ends,
//
//	dU/dt = 1/r d/dr(r k dT/dr) + d/dz(k dT/dz) - steam
//
// by finite volumes in radius and height (package thermal); the long roll is the same
// without d/dz. Data: the embedded food table; coefficients of the media from package
// thermal. Water stands still but for the steam that boils off: bare ends, which dry, are
// about 5 K cooler at serving if it moves; closed ones are the same within 0.2 K.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := program(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "ends:", err)
		os.Exit(1)
	}
}

func program(ctx context.Context, args []string, to io.Writer) error {
	flags := flag.NewFlagSet("ends", flag.ContinueOnError)
	flags.SetOutput(to)
	length := flags.Float64("length", 0.2, "length of the meat [m], 0.06 to 0.5; half and twice of it are baked too")
	cells := flags.Int("cells", 0, "cells of the mesh, 0 for the default")
	bare := flags.Bool("bare", false, "leave the ends bare")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 || !(*length >= 0.06 && *length <= 0.5) {
		return errors.New("no arguments are taken, and -length is 0.06 to 0.5 m; -help lists the flags")
	}
	bake := thermal.Schedule{
		{Name: "hot", Medium: thermal.FanOven(220), Until: thermal.Elapsed(35 * time.Minute)},
		{Name: "gentle", Medium: thermal.FanOven(85), Until: thermal.Above(thermal.Centre(), target), Limit: 12 * time.Hour},
	}
	var rolls []roll
	for _, l := range []float64{*length / 2, *length, *length * 2} {
		both, err := thermal.Flatten(ctx, dish(l, *bare), bake, &thermal.Settings{Cells: *cells})
		if err != nil {
			return err
		}
		r, err := look(both, l)
		if err != nil {
			return err
		}
		rolls = append(rolls, r)
	}
	title := "CLOSED BY SPINACH AND PASTRY"
	if *bare {
		title = "BARE"
	}
	fmt.Fprintf(to, "A LAMB ROLL IN PASTRY BAKED FROM FROZEN, ITS ENDS %s\n", title)
	return report(to, rolls)
}

const target = 48 // [°C] in the middle at serving

func dish(length float64, bare bool) thermal.Dish {
	layers := []thermal.Layer{
		{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 33 * thermal.MM},
		{Name: "spinach", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 6 * thermal.MM},
		{Name: "pastry", Food: materials.MustFind("puff pastry, raw"), Thickness: 4.5 * thermal.MM},
	}
	shape := geometry.FiniteCylinder{Length: length, Half: true} // both ends are alike
	for _, l := range layers[1:] {
		if !bare {
			shape.Top = append(shape.Top, geometry.End{Layer: l.Name, Thickness: l.Thickness})
		}
	}
	return thermal.Dish{Shape: shape, Layers: layers, Start: thermal.Uniform(-18)}
}
