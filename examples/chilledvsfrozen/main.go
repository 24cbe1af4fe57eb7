// Command chilledvsfrozen bakes the same pastry roll from the refrigerator and
// from the freezer, side by side, and says what the frozen start is good for.
//
// Scenario (invented): the roll of the frozenroll example, 33 mm of cooked lamb
// loin, 6 mm of pressed spinach, 1 mm of cured lard, 4.5 mm of puff pastry,
// through a hot and a gentle stage until its centre is at 48 °C. A third run is
// the fair one: it starts chilled too, but its hot stage ends when its crust has
// dried as far as that of the frozen roll had.
//
// Equations, data and method are those of package thermal: conduction in an
// infinite cylinder with melting ice and fat and boiling water, solved by finite
// volumes and TR-BDF2, with foods from the embedded table and typical media. The
// conclusion is put together from the numbers of the runs.
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

// overdone is where the lamb counts as overcooked [°C] (common practice, no source).
const overdone = 60.0

func main() {
	if err := program(); err != nil {
		fmt.Fprintln(os.Stderr, "chilledvsfrozen:", err)
		os.Exit(1)
	}
}

func program() error {
	frozen := flag.Float64("frozen", -18, "temperature of the frozen roll [°C]")
	chilled := flag.Float64("chilled", 4, "temperature of the chilled roll [°C]")
	hot := flag.Float64("hot", 220, "oven in the hot stage [°C]")
	hotFor := flag.Duration("hotfor", 35*time.Minute, "length of the hot stage")
	gentle := flag.Float64("gentle", 85, "oven in the gentle stage [°C]")
	target := flag.Float64("target", 48, "centre that ends the gentle stage [°C]")
	flag.Parse()
	if flag.NArg() > 0 {
		return errors.New("no arguments are taken; -help lists the flags")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()

	bake := func(start float64, until thermal.Condition) (*thermal.Run, error) {
		return thermal.Simulate(ctx, roll(start), thermal.Schedule{
			{Name: "hot", Medium: thermal.FanOven(*hot), Until: until, Limit: 24 * time.Hour},
			{Name: "door open", Medium: thermal.Room(30), Until: thermal.Elapsed(2 * time.Minute)},
			{Name: "gentle", Medium: thermal.FanOven(*gentle), Until: thermal.Above(thermal.Centre(), *target), Limit: 12 * time.Hour},
		}, nil)
	}
	var columns []column
	add := func(head string, start float64, until thermal.Condition) error {
		run, err := bake(start, until)
		if err != nil {
			head += ", part"
		}
		if run != nil && len(run.Stages) == 3 {
			columns = append(columns, read(head, start, run))
		}
		if err != nil {
			return fmt.Errorf("%s: %w", head, err)
		}
		return nil
	}
	err := add("frozen", *frozen, thermal.Elapsed(*hotFor))
	if err == nil {
		err = add("chilled", *chilled, thermal.Elapsed(*hotFor))
	}
	if err == nil {
		err = add("same crust", *chilled, asDry(columns[0].crustWater))
	}
	if len(columns) > 0 {
		table(columns, *target)
	}
	if err != nil {
		return err // what came before it has been printed
	}
	conclude(columns[0], columns[1], columns[2])
	fmt.Print(`
Caution: a computed temperature is no proof of safety. Local food codes and licensed practice
decide; measure the coldest place with a thermometer. Ovens and what comes out of them burn.
`)
	return nil
}

func roll(start float64) thermal.Dish {
	return thermal.Dish{
		Shape: geometry.Cylinder{Length: 0.25},
		Layers: []thermal.Layer{
			{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 33 * thermal.MM},
			{Name: "greens", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 6 * thermal.MM},
			{Name: "fat film", Food: materials.MustFind("cured lard"), Thickness: 1 * thermal.MM},
			{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 4.5 * thermal.MM},
		},
		Start: thermal.Uniform(start),
	}
}

// The places of the layers in the list above.
const (
	lamb  = 0
	crust = 3
)

// asDry is met when the crust is down to a water content [kg].
func asDry(water float64) thermal.Condition {
	return thermal.When(fmt.Sprintf("the crust holds %.1f g of water", water*1e3), func(s *thermal.State) float64 {
		return water - s.Layers()[crust].Water
	})
}
