// Command softcrust shows where the water of a pastry roll goes while it is baked
// from frozen and then held warm, and what a film of fat between filling and pastry
// is good for.
//
// Scenario (invented): from the axis outwards 26 mm of cooked lamb loin, 6 mm of
// pressed spinach and 4 mm of puff pastry that rises to two and a half times its
// thickness. It goes at -18 °C into a fan oven at 220 °C for 45 minutes, stays at
// 90 °C until the centre is at 50 °C, and waits for an hour at 60 °C: open, in kitchen
// air that was warmed, or covered so that no water gets out. A second roll has a
// millimetre of cocoa butter between spinach and pastry.
//
// Equations, data and method are those of package thermal with water moving:
// vapour goes by its pressure, liquid by water content, the surface dries into the
// air or draws dew from it. Crisp is a crust of a water activity under 0.6 (van
// Nieuwenhuijzen et al. 2007). The rise is common practice, no source.
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
		fmt.Fprintln(os.Stderr, "softcrust:", err)
		os.Exit(1)
	}
}

func program(ctx context.Context, args []string, to io.Writer) error {
	flags := flag.NewFlagSet("softcrust", flag.ContinueOnError)
	flags.SetOutput(to)
	film := flags.Float64("film", 1, "fat between filling and pastry [mm]")
	fat := flags.String("fat", "cocoa butter", "which fat, by the name of the food")
	hotFor := flags.Duration("hotfor", 45*time.Minute, "time in the oven at 220 °C")
	place := flags.Float64("place", 60, "warm place [°C]")
	hold := flags.Duration("hold", time.Hour, "time in the warm place")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 {
		return errors.New("no arguments are taken; -help lists the flags")
	}
	grease, err := materials.Find(*fat)
	if err != nil {
		return err
	}
	open := thermal.Room(*place)
	covered := open
	covered.Humidity = thermal.Sealed()
	bake := thermal.Schedule{
		{Name: "hot", Medium: thermal.FanOven(220), Until: thermal.Elapsed(*hotFor)},
		{Name: "gentle", Medium: thermal.FanOven(90), Until: thermal.Above(thermal.Centre(), 50), Limit: 6 * time.Hour},
	}
	settings := &thermal.Settings{Moisture: true}

	fmt.Fprintf(to, "A PASTRY ROLL BAKED FROM FROZEN, THEN HELD FOR %v AT %g °C\n", *hold, *place)
	var ends [2]report
	for i, layer := range [][]thermal.Layer{nil, {{Name: "fat", Food: grease, Thickness: *film * thermal.MM}}} {
		dish := roll(layer)
		baked, err := thermal.Simulate(ctx, dish, bake, settings)
		if err != nil {
			return err
		}
		r := report{name: "without fat", first: baked.At(0).Mass()}
		if len(layer) > 0 {
			r.name = "with fat"
			fmt.Fprintf(to, "\nWITH %g MM OF %s\n", *film, *fat)
		} else {
			fmt.Fprintf(to, "\nWITHOUT FAT\n")
		}
		r.add("frozen", 0, baked.At(0))
		r.add("baked", 0, baked.End())
		dish.Start = thermal.From(baked) // both ways of holding start from the same roll
		for _, way := range []struct {
			name   string
			medium thermal.Medium
		}{{"open", open}, {"covered", covered}} {
			held, err := thermal.Simulate(ctx, dish, thermal.Schedule{{Name: way.name, Medium: way.medium, Until: thermal.Elapsed(*hold)}}, settings)
			if err != nil {
				return err
			}
			r.add(way.name, baked.Duration(), held.End())
		}
		r.print(to)
		ends[i] = r
	}
	conclude(to, ends[0], ends[1])
	fmt.Fprint(to, `
Caution: a computed temperature is no proof of safety. Local food codes and licensed practice
decide how warm and how long food may be held; measure the coldest place with a thermometer.
`)
	return nil
}

func roll(fat []thermal.Layer) thermal.Dish {
	layers := []thermal.Layer{
		{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 26 * thermal.MM},
		{Name: "spinach", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 6 * thermal.MM},
	}
	layers = append(append(layers, fat...), thermal.Layer{
		Name: "pastry", Food: materials.MustFind("puff pastry, raw"), Thickness: 4 * thermal.MM,
		Rise: &thermal.Rise{Points: []thermal.RisePoint{{At: 45, Ratio: 1}, {At: 95, Ratio: 2.5}}},
	})
	return thermal.Dish{Shape: geometry.Cylinder{Length: 0.25}, Layers: layers, Start: thermal.Uniform(-18)}
}
