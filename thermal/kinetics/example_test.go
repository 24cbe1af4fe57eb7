package kinetics_test

import (
	"context"
	"fmt"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/kinetics"
)

// A slab of meat in a water bath, then chilled: what has happened to it is carried
// along. The D and z are an example's, not a food's.
func ExampleFollow() {
	germs := kinetics.Quantity{Name: "germs", Law: kinetics.LogReduction{
		Rate: kinetics.Bigelow{D: 2 * time.Minute, Z: 6, Ref: 60}}}
	quantities := []kinetics.Quantity{germs, kinetics.Myosin(), kinetics.Actin()}
	dish := thermal.Dish{
		Shape:  geometry.HalfSlab{},
		Layers: []thermal.Layer{{Name: "meat", Food: materials.MustFind("beef round, raw"), Thickness: 0.015}},
		Start:  thermal.Uniform(5),
	}
	bath := thermal.Surroundings{Fluid: 58, H: 300}
	cooked, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{{Medium: bath, Until: thermal.Elapsed(100 * time.Minute)}}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	done, err := kinetics.Follow(cooked, nil, quantities...)
	if err != nil {
		fmt.Println(err)
		return
	}
	dish.Start = thermal.From(cooked)
	ice := thermal.Surroundings{Fluid: 1, H: 300}
	chilled, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{{Medium: ice, Until: thermal.Below(thermal.Centre(), 5), Limit: 5 * time.Hour}}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	if done, err = kinetics.Follow(chilled, done, quantities...); err != nil {
		fmt.Println(err)
		return
	}
	for _, q := range quantities {
		v, err := done.At(q.Name, thermal.ColdestOf("meat"))
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s, where least has happened: %.3g\n", q.Name, v)
	}
	// Output:
	// germs, where least has happened: 11.6
	// myosin denatured, where least has happened: 1
	// actin denatured, where least has happened: 0.204
}
