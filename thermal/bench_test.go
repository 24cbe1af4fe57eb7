package thermal

import (
	"context"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// standardDish is the case that speed is measured on.
func standardDish() Dish {
	return Dish{Shape: geometry.Cylinder{}, Start: Uniform(-20), Layers: []Layer{
		{Name: "meat", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.033},
		{Name: "greens", Food: materials.MustFind("spinach, cooked"), Thickness: 0.006},
		{Name: "fat", Food: materials.MustFind("lard"), Thickness: 0.001},
		{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.0045},
	}}
}

func standardSchedule() Schedule {
	at := func(t, h float64) Surroundings { return Surroundings{Fluid: t, H: h, Walls: t, Emissivity: 0.9} }
	return Schedule{
		{Name: "hot", Medium: at(220, 20), Until: Elapsed(33 * time.Minute)},
		{Name: "open", Medium: at(90, 10), Until: Elapsed(4 * time.Minute)},
		{Name: "gentle", Medium: at(75, 12), Until: Elapsed(45 * time.Minute)},
	}
}

func BenchmarkStandardCase(b *testing.B) {
	d, s := standardDish(), standardSchedule()
	var run *Run
	for b.Loop() {
		var err error
		if run, err = Simulate(context.Background(), d, s, &Settings{Cells: 200}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportAllocs()
	report(b, run, 200)
}

func report(b *testing.B, run *Run, cells int) {
	steps := float64(run.Stats.Steps + run.Stats.Rejected)
	b.ReportMetric(float64(run.Stats.Steps), "steps/op")
	b.ReportMetric(float64(run.Stats.Rejected), "rejected/op")
	b.ReportMetric(float64(run.Stats.NewtonIterations), "newton/op")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/steps/float64(cells), "ns/cell/step")
}
