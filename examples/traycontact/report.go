package main

import (
	"fmt"
	"io"
	"math"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/oven"
)

// times are when the underside is read.
var times = [...]time.Duration{2 * time.Minute, 5 * time.Minute, 10 * time.Minute, 20 * time.Minute}

// row is one way to put the bake into the oven.
type row struct {
	name   string
	below  [len(times)]float64 // [°C] underside
	tray   float64             // [°C] at the end; NaN of a rack
	crust  float64             // [m]
	centre float64             // [°C] coldest place of the mince at the end
}

func read(name string, o *oven.Oven, run *thermal.Run) (r row, err error) {
	r = row{name: name, tray: math.NaN(), centre: run.End().Layers()[1].Coldest}
	for i, t := range times {
		if r.below[i], err = run.Temperature(thermal.SkinOf(geometry.Underside), t); err != nil {
			return r, err
		}
	}
	if end := o.Read(run, run.Duration()); len(end.Tray) > 0 {
		r.tray = end.Tray[len(end.Tray)-1]
	}
	share, _, err := run.PeakAbove("dough", crusty)
	r.crust = share * run.Dish.Layers[0].Thickness
	return r, err
}

func table(to io.Writer, rows []row) {
	fmt.Fprintf(to, "%-17s %31s %8s %8s %9s\n", "", "underside °C, after", "tray", "bottom", "coldest")
	fmt.Fprintf(to, "%-17s", "on")
	for _, t := range times {
		fmt.Fprintf(to, " %4.0f min", t.Minutes())
	}
	fmt.Fprintf(to, " %7s %8s %9s\n", "°C", "crust mm", "mince °C")
	for _, r := range rows {
		fmt.Fprintf(to, "%-17s", r.name)
		for _, v := range r.below {
			fmt.Fprintf(to, " %8.0f", v)
		}
		tray := "-"
		if !math.IsNaN(r.tray) {
			tray = fmt.Sprintf("%.0f", r.tray)
		}
		fmt.Fprintf(to, " %7s %8.1f %9.0f\n", tray, r.crust*1e3, r.centre)
	}
}

// conclude says what the rows mean for a cook.
func conclude(to io.Writer, rows []row) {
	rack, tray, trayPaper, steel, steelPaper := rows[0], rows[1], rows[2], rows[3], rows[4]
	fmt.Fprintf(to, "\nCONCLUSION\nAfter %.0f minutes the underside has %.0f °C on the rack, %.0f °C on the cold tray and %.0f °C on the hot steel.\n",
		times[1].Minutes(), rack.below[1], tray.below[1], steel.below[1])
	best := rack
	for _, r := range rows[1:] {
		if r.crust > best.crust {
			best = r
		}
	}
	if best.crust < 0.05e-3 {
		fmt.Fprintln(to, "None of them makes a bottom crust in this time.")
		return
	}
	fmt.Fprintf(to, "The thickest bottom crust, %.1f mm, is that on: %s. ", best.crust*1e3, best.name)
	fmt.Fprintf(to, "Paper costs %.1f mm of it on the cold tray and %.1f mm on the steel.\n", (tray.crust-trayPaper.crust)*1e3, (steel.crust-steelPaper.crust)*1e3)
}
