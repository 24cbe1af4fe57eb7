// Command coolcheck cools a big roll of roast pork in a refrigerator, in a blast
// chiller and in an ice bath, and holds each against the rules for cooling.
//
// Scenario (invented): a raw pork loin, tied to a roll of 100 mm across and 350 mm
// long, goes at 5 °C into a fan oven at 110 °C until its middle is at 66 °C, rests for
// 15 minutes in the kitchen, and is cooled for 24 hours: on a rack in a domestic refrigerator at
// 3 °C, in a chiller that blows air of 1 °C, or bagged in water with ice.
//
// Equations, data and method are those of package thermal with water moving: juice
// comes out while it cooks, and what dries off the hot surface cools it. Package
// safety puts the three runs of a chain together, cell by cell, and checks every
// cell; the slowest decides. A rule that asks for what is not known, such as whether
// the meat is cured, cannot tell.
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
		fmt.Fprintln(os.Stderr, "coolcheck:", err)
		os.Exit(1)
	}
}

var answers = map[string]safety.Answer{"unknown": safety.Unknown, "yes": safety.Yes, "no": safety.No}

func program(ctx context.Context, args []string, to io.Writer) error {
	flags := flag.NewFlagSet("coolcheck", flag.ContinueOnError)
	flags.SetOutput(to)
	across := flags.Float64("across", 100, "diameter of the roll [mm]")
	core := flags.Float64("core", 66, "middle at the end of cooking [°C]")
	rest := flags.Duration("rest", 15*time.Minute, "time in the kitchen, at 22 °C")
	cold := flags.Float64("refrigerator", 3, "the refrigerator [°C]")
	chill := flags.Duration("chill", 24*time.Hour, "time of cooling that is looked at")
	curedWith := flags.String("cured", "unknown", "whether the meat is cured with nitrite: yes, no or unknown")
	evaporate := flags.Bool("moisture", true, "let water move, evaporate and run off")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 {
		return errors.New("no arguments are taken; -help lists the flags")
	}
	cured, known := answers[*curedWith]
	if !known {
		return fmt.Errorf("cured %q, want yes, no or unknown", *curedWith)
	}
	settings := &thermal.Settings{Moisture: *evaporate}
	roll := thermal.Dish{
		Shape:  geometry.Cylinder{Length: 0.35},
		Layers: []thermal.Layer{{Name: "pork", Food: materials.MustFind("pork loin, raw"), Thickness: *across / 2 * thermal.MM}},
		Start:  thermal.Uniform(5),
	}
	cooked, err := thermal.Simulate(ctx, roll, thermal.Schedule{
		{Name: "oven", Medium: thermal.FanOven(110), Until: thermal.Above(thermal.Centre(), *core), Limit: 24 * time.Hour},
	}, settings)
	if err != nil {
		return err
	}
	roll.Start = thermal.From(cooked)
	rested, err := thermal.Simulate(ctx, roll, thermal.Schedule{{Name: "rest", Medium: thermal.Room(22), Until: thermal.Elapsed(*rest)}}, settings)
	if err != nil {
		return err
	}
	fmt.Fprintf(to, "A ROLL OF ROAST PORK, %g mm ACROSS, %.1f kg, COOKED TO %g °C IN %.0f MIN, %.0f g LOST\n",
		*across, cooked.At(0).Mass(), *core, cooked.Duration().Minutes(), cooked.Lost()*1e3)

	roll.Start = thermal.From(rested)
	end := cooked.Duration().Seconds()
	facts := safety.Facts{Food: safety.Roast, Animal: safety.Pork, Cured: cured, CookEnd: &end}
	var ways []way
	for _, w := range []way{
		{name: "refrigerator", medium: thermal.Refrigerator(*cold)},
		{name: "blast chiller", medium: thermal.BlastFreezer(1)},
		{name: "ice bath", medium: thermal.WaterBath(0.5)},
	} {
		run, err := thermal.Simulate(ctx, roll, thermal.Schedule{{Name: w.name, Medium: w.medium, Until: thermal.Elapsed(*chill)}}, settings)
		if err != nil {
			return err
		}
		if err := w.judge(facts, cooked, rested, run); err != nil {
			return err
		}
		ways = append(ways, w)
	}
	report(to, ways)
	return nil
}
