package verdict_test

import (
	"context"
	"fmt"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/verdict"
)

// Cooked lamb that is warmed in a bath for too short a time.
func ExampleJudge() {
	dish := thermal.Dish{Shape: geometry.Cylinder{Length: 0.2}, Start: thermal.Uniform(5), Layers: []thermal.Layer{
		{Name: "lamb", Food: materials.MustFind("lamb loin, cooked"), Thickness: 20 * thermal.MM},
	}}
	run, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{
		{Name: "bath", Medium: thermal.WaterBath(65), Until: thermal.Elapsed(20 * time.Minute)},
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := verdict.Judge(verdict.Case{Runs: []*thermal.Run{run}, Wishes: []verdict.Wish{
		verdict.Served{Place: thermal.Centre(), From: 52, To: 60},
		verdict.Rim{Layer: "lamb", Over: 68, Most: 1 * thermal.MM},
		verdict.Crisp{Share: 0.5},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range report.Findings {
		fmt.Printf("%s: %s\n", f.Wish, f.Verdict)
	}
	fmt.Println("first:", report.Changes[0].Do)
	fmt.Println("safety:", report.Safety)
	// Output:
	// the centre at 52 to 60 °C when served: fail
	// no more than 1 mm of lamb ever over 68 °C: pass
	// at least 50 % of the crust crisp when served: cannot tell
	// first: let "bath" go on for about 3 min
	// safety: cannot tell
}
