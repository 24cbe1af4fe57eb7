// Command traycontact shows what the underside of a flat bake rests on: a rack, a cold
// tray, a steel that was heated with the oven; bare or with paper under it.
//
// Scenario (invented): 6 mm of bread dough under 12 mm of cooked mince, straight from the
// freezer at -18 °C, in a preheated household oven without fan at 230 °C. On the rack air
// and walls reach the underside; on a tray or steel the contact does, of which
// 0.002 m² K/W bare and 0.001 more for paper are guesses.
//
// Equations, data and method are those of packages thermal and thermal/oven: the tray is a
// body that takes heat from air and walls and gives it to the dish through the contact,
// solved together with both. Bottom crust is the part of the dough that has been over
// 110 °C, which it reaches only once it has dried.
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

// crusty [°C] is where dough counts as crust.
const crusty = 110.0

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := program(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "traycontact:", err)
		os.Exit(1)
	}
}

func program(ctx context.Context, args []string, to io.Writer) error {
	flags := flag.NewFlagSet("traycontact", flag.ContinueOnError)
	flags.SetOutput(to)
	at := flags.Float64("oven", 230, "oven [°C]")
	start := flags.Float64("start", -18, "the bake at first [°C]")
	bake := flags.Duration("bake", 25*time.Minute, "time in the oven, 20m and more")
	contact := flags.Float64("contact", 0.002, "between bare metal and dough [m² K/W]")
	paper := flags.Float64("paper", 0.001, "more of it with paper [m² K/W]")
	steel := flags.Float64("steel", 6, "thickness of the steel [mm]")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 || *bake < times[len(times)-1] {
		return errors.New("no arguments are taken, and -bake is 20m or more; -help lists the flags")
	}
	cold := &oven.Tray{Solid: oven.Aluminium, Thickness: 1 * thermal.MM, Start: 20}
	hot := &oven.Tray{Solid: oven.CarbonSteel, Thickness: *steel * thermal.MM, Start: *at}
	var rows []row
	for _, way := range []struct {
		name    string
		tray    *oven.Tray
		contact float64
	}{{"rack", nil, 0}, {"cold tray", cold, *contact}, {"cold tray, paper", cold, *contact + *paper}, {"hot steel", hot, *contact}, {"hot steel, paper", hot, *contact + *paper}} {
		o := oven.DomesticStill().Warmed(*at)
		if way.tray != nil {
			tray := *way.tray
			tray.Area, tray.Covered, tray.Contact = 0.12, area, way.contact
			o.Tray = &tray
		}
		setting := o.At(*at)
		stage := thermal.Stage{Name: way.name, Medium: setting, Until: thermal.Elapsed(*bake)}
		if o.Tray != nil {
			stage.Patches = map[geometry.Patch]thermal.Medium{geometry.Underside: setting.OnTray()}
		}
		run, err := thermal.Simulate(ctx, flat(*start), thermal.Schedule{stage}, nil)
		if err != nil {
			return err
		}
		r, err := read(way.name, o, run)
		if err != nil {
			return err
		}
		rows = append(rows, r)
	}
	fmt.Fprintf(to, "A FLAT BAKE FROM %g °C, %v IN AN OVEN AT %g °C: ITS UNDERSIDE\n\n", *start, *bake, *at)
	table(to, rows)
	conclude(to, rows)
	fmt.Fprint(to, `
Caution: hot steel burns long after the oven is off. A computed temperature is no proof of
safety: local food codes and licensed practice decide.
`)
	return nil
}

// area of the bake [m²].
const area = 0.05

func flat(start float64) thermal.Dish {
	return thermal.Dish{Shape: geometry.Slab{Area: area}, Start: thermal.Uniform(start), Layers: []thermal.Layer{
		{Name: "dough", Food: materials.MustFind("bread dough, raw"), Thickness: 6 * thermal.MM},
		{Name: "mince", Food: materials.MustFind("beef mince, cooked"), Thickness: 12 * thermal.MM},
	}}
}
