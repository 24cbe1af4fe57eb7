package kinetics

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// roll is the case that speed is measured on, as in package thermal.
func roll(tb testing.TB, settings *thermal.Settings) *thermal.Run {
	tb.Helper()
	at := func(t, h float64) thermal.Surroundings {
		return thermal.Surroundings{Fluid: t, H: h, Walls: t, Emissivity: 0.9}
	}
	run, err := thermal.Simulate(context.Background(), thermal.Dish{
		Shape: geometry.Cylinder{}, Start: thermal.Uniform(-18), Layers: []thermal.Layer{
			{Name: "meat", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.033},
			{Name: "greens", Food: materials.MustFind("spinach, cooked"), Thickness: 0.006},
			{Name: "fat", Food: materials.MustFind("lard"), Thickness: 0.001},
			{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.0045},
		}}, thermal.Schedule{
		{Name: "hot", Medium: at(220, 20), Until: thermal.Elapsed(33 * time.Minute)},
		{Name: "open", Medium: at(90, 10), Until: thermal.Elapsed(4 * time.Minute)},
		{Name: "gentle", Medium: at(75, 12), Until: thermal.Elapsed(45 * time.Minute)},
	}, settings)
	require.NoError(tb, err)
	return run
}

// ten is the ten quantities of the benchmark. The germs' constants are the case's
// own, of the size of published ones.
func ten() []Quantity {
	germ := func(name string, d time.Duration, z float64) Quantity {
		return Quantity{Name: name, Law: LogReduction{Rate: Bigelow{D: d, Z: z, Ref: 60}}}
	}
	return []Quantity{Myosin(), Collagen(), Actin(), Starch(), CrustColour(), Lightness(),
		germ("a", 100*time.Second, 5.56), germ("b", 2*time.Minute, 6.6), germ("c", 3*time.Minute, 9),
		{Name: "growth", Law: LogGrowth{Rate: SquareRoot{B: 0.035, C: 0.25, Tmin: 5, Tmax: 48}}}}
}

// Ten quantities beside the simulation they belong to: share is the first over
// the second, in one run.
func BenchmarkTenQuantities(b *testing.B) {
	settings := &thermal.Settings{Cells: 200}
	quantities := ten()
	var simulating, following time.Duration
	for b.Loop() {
		began := time.Now()
		run := roll(b, settings)
		simulated := time.Now()
		if _, err := Follow(run, nil, quantities...); err != nil {
			b.Fatal(err)
		}
		simulating += simulated.Sub(began)
		following += time.Since(simulated)
	}
	b.ReportMetric(simulating.Seconds()/float64(b.N)*1e3, "ms-simulate")
	b.ReportMetric(following.Seconds()/float64(b.N)*1e3, "ms-follow")
	b.ReportMetric(following.Seconds()/simulating.Seconds(), "share")
}
