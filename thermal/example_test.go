package thermal_test

import (
	"context"
	"fmt"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// A roll of lamb in greens and pastry goes from the freezer into a hot oven, and
// then into a gentle one until its centre is at 48 °C.
func ExampleSimulate() {
	roll := thermal.Dish{
		Shape: geometry.Cylinder{Length: 0.25}, // [m]; layers are listed from the centre outwards
		Layers: []thermal.Layer{
			{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.034},
			{Name: "greens", Food: materials.MustFind("spinach, cooked and pressed"), Thickness: 0.006},
			{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.0045},
		},
		Start: thermal.Uniform(-18), // [°C]
	}
	run, err := thermal.Simulate(context.Background(), roll, thermal.Schedule{
		{Name: "hot", Medium: thermal.FanOven(220), Until: thermal.Elapsed(35 * time.Minute)},
		{Name: "door open", Medium: thermal.Room(30), Until: thermal.Elapsed(3 * time.Minute)},
		{Name: "gentle", Medium: thermal.FanOven(85), Until: thermal.Above(thermal.Centre(), 48), Limit: 4 * time.Hour},
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	lamb := run.End().Layers()[0]
	fmt.Printf("served after about %v\n", run.Duration().Round(10*time.Minute))
	fmt.Printf("lamb %.0f °C at its coldest, %.0f °C on average\n", lamb.Coldest, lamb.Mean)
	fmt.Printf("%.0f g lost as steam\n", 1e3*run.Lost())
	// Output:
	// served after about 2h0m0s
	// lamb 48 °C at its coldest, 55 °C on average
	// 33 g lost as steam
}
