package quality_test

import (
	"context"
	"fmt"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/kinetics"
	"example.com/thawfront/thermal/quality"
)

// A steak in an oven: how much of it is how done, and how wide its rim is.
func ExampleAssess() {
	run, err := thermal.Simulate(context.Background(), thermal.Dish{
		Shape:  geometry.HalfSlab{},
		Layers: []thermal.Layer{{Name: "steak", Food: materials.MustFind("beef sirloin, raw"), Thickness: 0.02}},
		Start:  thermal.Uniform(5),
	}, thermal.Schedule{{Medium: thermal.FanOven(120), Until: thermal.Above(thermal.Centre(), 52), Limit: 3 * time.Hour}}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	steak := quality.Layer{Name: "steak", Kind: quality.Meat}
	followed, err := kinetics.Follow(run, nil, quality.Quantities(steak)...)
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := quality.Assess(run, followed, steak)
	if err != nil {
		fmt.Println(err)
		return
	}
	part := report.Layer("steak")
	for _, band := range part.Doneness[0].Bands {
		if band.Share > 0 {
			fmt.Printf("%s: %.0f %%\n", band.Name, 100*band.Share)
		}
	}
	fmt.Printf("%s: the outer %.1f mm\n", part.Rims[0].Name, 1e3**part.Rims[0].Width)
	for _, u := range part.Unknown {
		fmt.Printf("%s: unknown, as %s\n", u.What, u.Why)
	}
	// Output:
	// rare: 27 %
	// medium rare: 27 %
	// medium: 15 %
	// medium well: 13 %
	// well done: 18 %
	// over 60 °C: the outer 9.3 mm
	// water kept and juice: unknown, as in this run water does not move: neither juice nor evaporation is known
}
