// Command wetbulb dries a wet block in ovens of rising humidity, from dry air to
// steam and in foil, and holds its surface temperature against the wet bulb of the
// air.
//
// A wet surface takes neither the temperature of the oven nor 100 °C but one at which
// evaporation uses up the heat that comes in: the wet bulb of the air, more where
// walls radiate, less while heat goes on into a cold centre. So the oven's humidity,
// not its dial, sets how hot wet food cooks until its surface is dry.
//
// Scenario (invented): a block of boiled potato of 40 mm, 20 °C warm, both faces in a
// fan oven of 160 °C. A run ends when the surface has dried to a water activity of
// 0.9; the row is read when half of the water that evaporates until then has gone.
//
// Equations, data and method are those of package thermal with water moving; the wet
// bulb is that of adiabatic saturation, as in package phasechange.
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
		fmt.Fprintln(os.Stderr, "wetbulb:", err)
		os.Exit(1)
	}
}

func program(ctx context.Context, args []string, to io.Writer) error {
	flags := flag.NewFlagSet("wetbulb", flag.ContinueOnError)
	flags.SetOutput(to)
	oven := flags.Float64("oven", 160, "oven [°C], 100 to 300")
	food := flags.String("food", "potatoes, boiled", "what the block is made of")
	bare := flags.Bool("noradiation", false, "walls do not radiate: wet surfaces come nearer to the wet bulb")
	longest := flags.Duration("longest", 90*time.Minute, "time after which a block is taken out, dry or not, over 1s")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 || *longest <= time.Second {
		return errors.New("no arguments are taken, and -longest is over 1s; -help lists the flags")
	}
	block, err := materials.Find(*food)
	if err != nil {
		return err
	}
	dish := thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(20),
		Layers: []thermal.Layer{{Name: "block", Food: block, Thickness: 20 * thermal.MM}}}

	var rows []row
	for _, a := range []air{
		{name: "dry kitchen air", ratio: 0.005}, {name: "vented oven", ratio: 0.02}, {name: "oven full of food", ratio: 0.1},
		{name: "bowl of hot water", ratio: 0.4}, {name: "steam injected", ratio: 2}, {name: "steam only", steam: true}, {name: "loose foil", foil: true},
	} {
		medium := thermal.FanOven(*oven)
		if *bare {
			medium.Emissivity = 0
		}
		r, err := a.cook(ctx, dish, medium, *longest)
		if err != nil {
			return err
		}
		rows = append(rows, r)
	}
	fmt.Fprintf(to, "A WET BLOCK OF 40 MM IN A FAN OVEN AT %g °C: %s\n\n", *oven, block.Name)
	table(to, rows)
	conclude(to, rows, *longest)
	return nil
}
