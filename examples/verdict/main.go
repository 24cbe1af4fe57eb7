// Command verdict bakes a beef roll in pastry from frozen, holds it, and lets package
// verdict say how it came out: what is right, what is not, what the food codes say of
// the beef, and what to change first.
//
// Scenario (invented): from the axis outwards 24 mm of raw beef, 6 mm of cooked
// mushrooms and 4 mm of puff pastry that rises to two and a half times its thickness.
// It goes at -18 °C into a fan oven at 220 °C for 40 minutes, stays at 90 °C until the
// centre is at 52 °C, and waits for 20 minutes at 60 °C. Wished for are pink beef,
// a narrow grey rim, a crisp golden crust, little loss, and an end within two
// hours. The wishes are common practice, no source.
//
// Equations, data and method are those of package thermal with water moving, of
// quality for doneness and colour, of safety for the codes and of verdict for
// what to change.
//
//	verdict -hotfor 60m         the same with another schedule: change one thing
//	verdict -json               the report as data
package main

import (
	"context"
	"encoding/json"
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
	"example.com/thawfront/thermal/quality"
	"example.com/thawfront/thermal/safety"
	"example.com/thawfront/thermal/verdict"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := program(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "verdict:", err)
		os.Exit(1)
	}
}

func program(ctx context.Context, args []string, to io.Writer) error {
	flags := flag.NewFlagSet("verdict", flag.ContinueOnError)
	flags.SetOutput(to)
	hotFor := flags.Duration("hotfor", 40*time.Minute, "time in the oven at 220 °C")
	gentle := flags.Float64("gentle", 90, "oven after that [°C]")
	core := flags.Float64("core", 52, "centre when it leaves the oven [°C]")
	hold := flags.Duration("hold", 20*time.Minute, "time in the warm place at 60 °C")
	asJSON := flags.Bool("json", false, "print the report as JSON")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 {
		return errors.New("no arguments are taken; -help lists the flags")
	}
	run, err := thermal.Simulate(ctx, roll(), thermal.Schedule{
		{Name: "hot", Medium: thermal.FanOven(220), Until: thermal.Elapsed(*hotFor)},
		{Name: "gentle", Medium: thermal.FanOven(*gentle), Until: thermal.Above(thermal.Centre(), *core), Limit: 6 * time.Hour},
		{Name: "hold", Medium: thermal.Room(60), Until: thermal.Elapsed(*hold)},
	}, &thermal.Settings{Moisture: true})
	if limit := (*thermal.StageLimitError)(nil); err != nil && !errors.As(err, &limit) {
		return err // a stage that was too short gives a dish that can be judged
	}
	report, err := verdict.Judge(wanted(run))
	if err != nil {
		return err
	}
	if *asJSON {
		out := json.NewEncoder(to)
		out.SetIndent("", "\t")
		return out.Encode(report)
	}
	_, err = fmt.Fprintf(to, "A BEEF ROLL IN PASTRY, BAKED FROM FROZEN\n\n%s", report.Text())
	return err
}

// roll is the dish.
func roll() thermal.Dish {
	return thermal.Dish{Shape: geometry.Cylinder{Length: 0.25}, Start: thermal.Uniform(-18), Layers: []thermal.Layer{
		{Name: "beef", Food: materials.MustFind("beef tenderloin, raw"), Thickness: 24 * thermal.MM},
		{Name: "mushrooms", Food: materials.MustFind("mushroom duxelles, cooked dry"), Thickness: 6 * thermal.MM},
		{Name: "pastry", Food: materials.MustFind("puff pastry, raw"), Thickness: 4 * thermal.MM,
			Rise: &thermal.Rise{Points: []thermal.RisePoint{{At: 45, Ratio: 1}, {At: 95, Ratio: 2.5}}}},
	}}
}

// wanted is what a cook wants of it and what is known of the foods. The weight of the
// beef is left out: the rule that asks for it cannot tell.
func wanted(run *thermal.Run) verdict.Case {
	oven, moist := 220.0, 0.99
	return verdict.Case{
		Runs: []*thermal.Run{run},
		Wishes: []verdict.Wish{
			verdict.Served{Place: thermal.Centre(), From: 50, To: 56},
			verdict.Done{Layer: "beef", From: 50, To: 60, Share: 0.8},
			verdict.Rim{Layer: "beef", Over: 60, Most: 2 * thermal.MM},
			verdict.Thawed{},
			verdict.Crisp{Share: 0.3},
			verdict.Colour{Darkest: 60, Lightest: 75},
			verdict.Set{Layer: "pastry"},
			verdict.Juicy{Layer: "beef", Kept: 0.95},
			verdict.Loss{Most: 0.08},
			verdict.Ready{Within: 2 * time.Hour},
		},
		Layers: []quality.Layer{{Name: "beef", Kind: quality.Meat}, {Name: "pastry", Kind: quality.Dough}},
		Parts: []verdict.Part{
			{
				Layer: "beef",
				Facts: safety.Facts{Food: safety.Roast, Animal: safety.Beef, Oven: safety.ConvectionOven, OvenTemperature: &oven, WaterActivity: &moist},
				Rules: []safety.Rule{safety.MustFind("food-code-roast-oven"), safety.MustFind("food-code-roast-time"), safety.MustFind("fsis-beef-6.5-log"), safety.MustFind("cfr-beef-lethality")},
			},
			{Layer: "mushrooms", Facts: safety.Facts{Food: safety.Plant}, Rules: safety.RulesOf(safety.Cooking)},
		},
	}
}
