package main

import (
	"fmt"
	"slices"
	"time"

	"example.com/thawfront/thermal"
)

// printer prints the parts of a report on one run.
type printer struct {
	run        *thermal.Run
	fahrenheit bool
}

func (p printer) unit() string {
	if p.fahrenheit {
		return "°F"
	}
	return "°C"
}

// degrees gives t [°C] in the unit of the report.
func (p printer) degrees(t float64) float64 {
	if p.fahrenheit {
		return thermal.ToFahrenheit(t)
	}
	return t
}

func (p printer) dish() {
	fmt.Println("A LAMB ROLL IN PASTRY, BAKED FROM FROZEN")
	fmt.Printf("\n%-10s %-30s %8s %9s %9s\n", "layer", "food", "mm", "weight g", "water g")
	state := p.run.At(0)
	for i, l := range state.Layers() {
		layer := p.run.Dish.Layers[i]
		fmt.Printf("%-10s %-30s %8.1f %9.1f %9.1f\n", l.Name, layer.Food.Name, layer.Thickness*1e3, l.Mass*1e3, l.Water*1e3)
	}
	fmt.Printf("%-10s %-30s %8s %9.1f\n", "whole", p.run.Dish.Shape, "", state.Mass()*1e3)
}

// times lists the start, every interval and the end of every stage.
func (p printer) times(every time.Duration) []time.Duration {
	var out []time.Duration
	for t := time.Duration(0); t < p.run.Duration(); t += every {
		out = append(out, t)
	}
	for _, s := range p.run.Stages {
		out = append(out, s.End)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// stage names the stage that time t belongs to; a change belongs to what ends.
func (p printer) stage(t time.Duration) string {
	for _, s := range p.run.Stages {
		if t <= s.End {
			return s.Name
		}
	}
	return ""
}

func (p printer) timeline(every time.Duration) {
	columns := []struct {
		head  string
		place thermal.Place
	}{
		{"centre", thermal.Centre()},
		{"lamb rim", thermal.Within("lamb", 1)},
		{"greens", thermal.MeanOf("greens")},
		{"crust in", thermal.Within("crust", 0)},
		{"crust out", thermal.Skin()},
	}
	fmt.Printf("\nTIMELINE\n%7s  %-10s", "time", "stage")
	for _, c := range columns {
		fmt.Printf(" %9s", c.head)
	}
	fmt.Printf(" %9s %8s\n%7s  %-10s", "weight", "ice", "min", "")
	for range columns {
		fmt.Printf(" %9s", p.unit())
	}
	fmt.Printf(" %9s %8s\n", "g", "g")
	for _, t := range p.times(every) {
		state := p.run.At(t)
		fmt.Printf("%7.1f  %-10s", t.Minutes(), p.stage(t))
		for _, c := range columns {
			v, err := state.Temperature(c.place)
			if err != nil {
				fmt.Printf(" %9s", "none")
				continue
			}
			fmt.Printf(" %9.1f", p.degrees(v))
		}
		fmt.Printf(" %9.1f %8.1f\n", state.Mass()*1e3, state.Ice()*1e3)
	}
}

func (p printer) events() {
	fmt.Printf("\nEVENTS (conditions in °C)\n%7s  %s\n", "min", "what")
	for _, e := range p.run.Events {
		if e.Kind == thermal.Watched && e.Time == 0 {
			continue // what holds from the start is no news
		}
		fmt.Printf("%7.1f  %s\n", e.Time.Minutes(), e.Text)
	}
}

func (p printer) balance() {
	run := p.run
	before, after := run.At(0), run.End()
	fmt.Printf("\nAT THE END, %v AFTER THE START\n", run.Duration().Round(time.Second))
	fmt.Printf("%-10s %10s %10s %10s %9s %9s %9s\n", "layer", "coldest "+p.unit(), "mean "+p.unit(), "hottest "+p.unit(), "ever "+p.unit(), "water g", "lost g")
	extremes, first := run.Extremes(), before.Layers()
	for i, l := range after.Layers() {
		fmt.Printf("%-10s %10.1f %10.1f %10.1f %9.1f %9.1f %9.1f\n", l.Name, p.degrees(l.Coldest), p.degrees(l.Mean),
			p.degrees(l.Hottest), p.degrees(extremes[i].Highest), l.Water*1e3, (first[i].Water-l.Water)*1e3)
	}
	fmt.Printf("weight lost %.1f g of %.1f g (%.1f %%), ice left %.1f g\n", (before.Mass()-after.Mass())*1e3, before.Mass()*1e3,
		100*(1-after.Mass()/before.Mass()), after.Ice()*1e3)
	if share, rim, err := run.PeakAbove("lamb", 60); err == nil {
		fmt.Printf("lamb ever above %.0f %s: %.1f %% of it, a rim of %.1f mm\n", p.degrees(60), p.unit(), 100*share, rim*1e3)
	}
	crust := after.Crust(thermal.Crispness)
	fmt.Printf("crust drier than a water activity of %.1f: %.1f mm\n", thermal.Crispness, crust.Thickness*1e3)
}

func (p printer) accounts() {
	e, w := p.run.Energy, p.run.Water
	fmt.Printf("\nACCOUNTS\n")
	fmt.Printf("energy  in %.1f kJ = stored %.1f kJ + steam %.1f kJ, unexplained %.0e of the exchanged\n",
		e.In/1e3, e.Stored/1e3, e.Steam/1e3, e.Relative)
	fmt.Printf("water   start %.1f g = end %.1f g + steam %.1f g + evaporated %.1f g + drip %.1f g - dew %.1f g, unexplained %.0e of the start\n",
		w.Start*1e3, w.End*1e3, w.Steam*1e3, w.Evaporated*1e3, w.Drip*1e3, w.Condensed*1e3, w.Relative)
	fmt.Printf("solver  %v\n", p.run.Stats)
}

func (p printer) caution() {
	fmt.Print(`
CAUTION
A computed temperature is no proof of safety, and every coefficient here is a typical one. Local
food codes and licensed practice decide, not least on whether such a centre may be served at all;
measure the coldest place with a thermometer. The oven and what comes out of it burn.
`)
}
