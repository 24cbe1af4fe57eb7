// Command ovencoast shows what an oven does after it is turned down with its door shut:
// it coasts, and the roll in it gets more heat than the schedule says.
//
// Scenario (invented): a roll of 33 mm of cooked lamb loin, 6 mm of pressed spinach and
// 4.5 mm of puff pastry goes at -18 °C into a preheated household fan oven at 220 °C. After
// the hot stage the oven is set to 85 °C until the centre is at 48 °C. Three ovens: one
// that is at once what it is set to; one that is turned down and left alone; one
// whose door is opened for a while as it is turned down.
//
// Equations, data and method are those of packages thermal and thermal/oven: the oven's
// heater, air and walls hold heat, the roll takes it from them, and both are solved
// together. The oven's figures are typical, from memory.
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
	"example.com/thawfront/thermal/oven"
)

// overdone is where the lamb counts as overcooked [°C] (common practice, no source).
const overdone = 60.0

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := program(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "ovencoast:", err)
		os.Exit(1)
	}
}

// settings is what the flags say.
type settings struct {
	hot, gentle, core float64 // [°C]
	hotFor, door      time.Duration
}

func program(ctx context.Context, args []string, to io.Writer) error {
	flags := flag.NewFlagSet("ovencoast", flag.ContinueOnError)
	flags.SetOutput(to)
	var s settings
	flags.Float64Var(&s.hot, "hot", 220, "oven in the hot stage [°C]")
	flags.Float64Var(&s.gentle, "gentle", 85, "oven in the gentle stage [°C]")
	flags.Float64Var(&s.core, "core", 48, "centre that ends the gentle stage [°C]")
	flags.DurationVar(&s.hotFor, "hotfor", 40*time.Minute, "length of the hot stage")
	flags.DurationVar(&s.door, "door", 2*time.Minute, "how long the third oven's door is open")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 {
		return errors.New("no arguments are taken; -help lists the flags")
	}
	o := oven.DomesticFan().Warmed(s.hot)
	at := func(t float64) thermal.Medium {
		return thermal.Surroundings{Fluid: t, H: o.H, Walls: t, Emissivity: o.Emissivity}
	}
	opened := o.At(s.gentle)
	opened.Openings = []oven.Opening{{For: s.door}}

	var rows []row
	for _, way := range []struct {
		name        string
		hot, gentle thermal.Medium
	}{{"ideal", at(s.hot), at(s.gentle)}, {"turned down", o.At(s.hot), o.At(s.gentle)}, {"door opened", o.At(s.hot), opened}} {
		run, err := thermal.Simulate(ctx, roll(), thermal.Schedule{
			{Name: "hot", Medium: way.hot, Until: thermal.Elapsed(s.hotFor)},
			{Name: "gentle", Medium: way.gentle, Until: thermal.Above(thermal.Centre(), s.core), Limit: 8 * time.Hour},
		}, nil)
		if err != nil {
			return fmt.Errorf("%s: %w", way.name, err)
		}
		r, err := read(way.name, o, run, s)
		if err != nil {
			return err
		}
		rows = append(rows, r)
	}
	fmt.Fprintf(to, "A FROZEN ROLL AT %g °C FOR %v, THEN AT %g °C UNTIL ITS CENTRE IS AT %g °C\n\n", s.hot, s.hotFor, s.gentle, s.core)
	table(to, rows, s)
	conclude(to, rows)
	fmt.Fprint(to, `
Caution: ovens burn, and a computed temperature is no proof of safety. Local food codes and
licensed practice decide; measure the coldest place with a thermometer.
`)
	return nil
}

func roll() thermal.Dish {
	return thermal.Dish{Shape: geometry.Cylinder{Length: 0.25}, Start: thermal.Uniform(-18), Layers: []thermal.Layer{
		{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 33 * thermal.MM},
		{Name: "spinach", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 6 * thermal.MM},
		{Name: "pastry", Food: materials.MustFind("puff pastry, raw"), Thickness: 4.5 * thermal.MM},
	}}
}
