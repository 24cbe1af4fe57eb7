package thermal

import (
	"context"
	"math"
	"slices"
	"strconv"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"
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

// BenchmarkCells shows that the cost of a step is linear in the cells: ns/cell/step
// stays put.
func BenchmarkCells(b *testing.B) {
	for _, n := range []int{50, 100, 200, 400, 800} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			d, s := standardDish(), standardSchedule()
			var run *Run
			for b.Loop() {
				var err error
				if run, err = Simulate(context.Background(), d, s, &Settings{Cells: n}); err != nil {
					b.Fatal(err)
				}
			}
			report(b, run, n)
		})
	}
}

// BenchmarkCompile is the part of a run that comes before its first step.
func BenchmarkCompile(b *testing.B) {
	d := standardDish()
	for b.Loop() {
		if _, err := d.compile(Settings{Cells: 200}); err != nil {
			b.Fatal(err)
		}
	}
}

// A run's allocations are for what it keeps, in blocks: a hundred steps more
// cost a few.
func TestNoAllocationPerStep(t *testing.T) {
	count := func(tolerance float64) (allocs float64, steps int) {
		allocs = testing.AllocsPerRun(3, func() {
			run, err := Simulate(context.Background(), standardDish(), standardSchedule(), &Settings{Tolerance: tolerance})
			require.NoError(t, err)
			steps = run.Stats.Steps
		})
		return allocs, steps
	}
	coarse, few := count(0.3)
	fine, many := count(0.01)
	require.Greater(t, many, few+500)
	perStep := (fine - coarse) / float64(many-few)
	t.Logf("%.3f allocations a step (%d against %d steps)", perStep, many, few)
	assert.Less(t, perStep, 0.1)
}

// The reference case against the same mesh at a hundredth of the tolerance.
func TestStandardCaseAccuracy(t *testing.T) {
	if testing.Short() {
		t.Skip("the tight run takes a second")
	}
	run, err := Simulate(context.Background(), standardDish(), standardSchedule(), &Settings{Cells: 200})
	require.NoError(t, err)
	tight, err := Simulate(context.Background(), standardDish(), standardSchedule(), &Settings{Cells: 200, Tolerance: defaultTolerance / 100})
	require.NoError(t, err)
	t.Logf("default: %v; tight: %v", run.Stats, tight.Stats)
	for _, p := range []Place{Centre(), Within("meat", 0.5), Skin()} {
		var errs []float64
		var atEnd float64
		for at := 15 * time.Second; at <= run.Duration(); at += 15 * time.Second {
			a, err := run.Temperature(p, at)
			require.NoError(t, err)
			b, err := tight.Temperature(p, at)
			require.NoError(t, err)
			atEnd = math.Abs(a - b)
			errs = append(errs, atEnd)
		}
		rms := floats.Norm(errs, 2) / math.Sqrt(float64(len(errs)))
		slices.Sort(errs)
		p95, worst := errs[len(errs)*95/100], errs[len(errs)-1]
		t.Logf("%v: rms %.4f, 95 %% within %.4f, worst %.4f, at the end %.4f K", p, rms, p95, worst, atEnd)
		assert.Less(t, rms, 0.03)
		assert.Less(t, p95, 0.05)
		assert.Less(t, atEnd, 0.05)
	}
	// The worst is where the ice front passes the place a moment early or late.
	gone := func(r *Run) time.Duration {
		for _, e := range r.Events {
			if e.Kind == LastIce && e.Layer == "meat" {
				return e.Time
			}
		}
		require.Fail(t, "ice left")
		return 0
	}
	early := gone(tight) - gone(run)
	t.Logf("the last ice goes after %v, %v early", gone(run).Round(time.Second), early.Round(10*time.Millisecond))
	assert.Less(t, early.Abs(), 2*time.Second)
}
