// Command bathsafety prints how long bagged meat must stay in a water bath until
// its germs are killed to its middle, by thickness.
//
// Scenario (invented): pieces of beef round from 5 °C in a circulated bath at 57 °C,
// 10 to 70 mm thick.
//
// For each thickness package thermal computes the temperature of every cell, and
// package safety what that does to germs: log reductions with the D and z that Baldwin
// (2012) gives for beef, pork and lamb, of which his table asks 6.5 log of Salmonella, 5
// of E. coli and 6 of Listeria; the growth of C. perfringens on the way up, without any
// lag, so that it is too high; and the times of the FDA Food Code for roasts. The time
// needed is that of the worst cell. The bath and how far the bag lies against the
// meat, that is the coefficient, decide about the thin pieces; the conductivity of the
// meat about the thick.
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
	"example.com/thawfront/thermal/safety"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := program(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "bathsafety:", err)
		os.Exit(1)
	}
}

var shapes = map[string]geometry.Shape{"slab": geometry.HalfSlab{}, "cylinder": geometry.Cylinder{}, "sphere": geometry.Sphere{}}

func program(ctx context.Context, args []string, to io.Writer) error {
	flags := flag.NewFlagSet("bathsafety", flag.ContinueOnError)
	flags.SetOutput(to)
	bath := flags.Float64("bath", 57, "the water [°C]")
	from := flags.Float64("from", 5, "the meat at first [°C]")
	h := flags.Float64("h", 150, "coefficient of the water [W/(m² K)]")
	name := flags.String("food", "beef round, raw", "which meat, by the name of the food")
	shape := flags.String("shape", "slab", "slab, cylinder or sphere")
	longest := flags.Duration("longest", 12*time.Hour, "the longest time to look at")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 {
		return errors.New("no arguments are taken; -help lists the flags")
	}
	form, known := shapes[*shape]
	if !known {
		return fmt.Errorf("shape %q, want slab, cylinder or sphere", *shape)
	}
	meat, err := materials.Find(*name)
	if err != nil {
		return err
	}
	water := thermal.WaterBath(*bath)
	water.H = *h
	heading(to, *bath, *from, *name, *shape)
	for thickness := 10.0; thickness <= 70; thickness += 10 {
		run, err := thermal.Simulate(ctx, thermal.Dish{
			Shape:  form,
			Layers: []thermal.Layer{{Name: "meat", Food: meat, Thickness: thickness / 2 * thermal.MM}},
			Start:  thermal.Uniform(*from),
		}, thermal.Schedule{{Name: "bath", Medium: water, Until: thermal.Elapsed(*longest)}}, nil)
		if err != nil {
			return err
		}
		p, err := judge(run, *bath)
		if err != nil {
			return err
		}
		p.print(to, thickness)
	}
	fmt.Fprintf(to, `
Times in minutes from the moment the meat is put in; - not within %v.
bath     until the middle is half a kelvin below the bath
needed   until all three germs have lost what Baldwin (2012) asks for, by his D and z for beef,
         pork and lamb; nothing is counted below 50 °C
growth   the most that C. perfringens may have grown by then, log10. It is counted without the time
         a germ needs to get going, so it is too high; the more it is over 1, the more is to be
         known about the meat. Its spores survive all of these times.
roast    until the times and temperatures are met of %s

Caution: %s
Meat that was pierced, minced or boned is not sterile inside; a bag that floats or touches the
next one heats more slowly than computed.
`, *longest, roast.String(), safety.Caution)
	return nil
}
