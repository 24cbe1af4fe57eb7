package thermal

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// alone reads a share theta of a step without what its neighbours know.
func alone(run *Run, s *pastStep, theta float64) (temp []float64) {
	sys := newSystem(run.model)
	u := make([]float64, len(sys.mass))
	s.dense(theta, sys, u)
	if sys.wet == nil {
		for i := range u {
			kept, _ := s.began(i)
			began := begun(kept, &sys.anchors[i])
			u[i] = cubic(theta, s.h, began, float64(s.f[i]), float64(s.end[i]), float64(s.fEnd[i]), &sys.anchors[i])
		}
	}
	sys.evaluate(u)
	return sys.temp
}

// sameAsRead checks every interval of a run against its step read alone, and
// against Run.At.
func sameAsRead(t *testing.T, run *Run, what string) {
	t.Helper()
	end, j, stage := 0.0, 0, 0
	var worst, worstAt, worstActivity float64
	for v := range run.Intervals() {
		require.InDelta(t, end, v.Start, 1e-9*(1+end), "%s: intervals have no gaps", what)
		require.Positive(t, v.Length)
		require.GreaterOrEqual(t, v.Stage, stage)
		for part, temp := range v.Temperature {
			if j%3 != 0 && j > 20 {
				continue // reading all of them alone takes seconds
			}
			theta := float64(part) / 2
			state := run.at(v.Start + theta*v.Length)
			exact := alone(run, &run.history.steps[j], theta)
			for i, got := range temp {
				worst = max(worst, math.Abs(got-exact[i]))
				off := math.Abs(got - state.temp[i])
				worstAt = max(worstAt, off)
				if want := state.activity(i); part == 1 {
					a := v.WaterActivity(i)
					require.Equal(t, math.IsNaN(want), math.IsNaN(a), "cell %d: %s", i, what)
					if a == a {
						worstActivity = max(worstActivity, math.Abs(a-want))
					}
				}
			}
		}
		end, stage, j = v.Start+v.Length, v.Stage, j+1
	}
	assert.Equal(t, run.Stats.Steps, j)
	assert.InDelta(t, run.duration, end, 1e-9*(1+end))
	near := 2e-4
	if run.Settings.Moisture {
		near = 1e-3 // the search for a temperature with moving water ends there, and depends on its guess
	}
	assert.Less(t, worst, near, "[K] from the step read alone: %s", what)
	assert.Less(t, worstAt, 1e-3, "[K] from Run.At: %s", what)
	assert.Less(t, worstActivity, 1e-4, "[-] water activity from Run.At: %s", what)
	t.Logf("%d steps, within %.1e K of each read alone, %.1e K of Run.At, its water activity within %.1e: %.40s", j, worst, worstAt, worstActivity, what)
}

// An interval's temperatures are those of the run: with ice, with drying, after it
// and frozen again, for measured foods and with moving water.
func TestIntervalsAreTheRun(t *testing.T) {
	standard := mustRun(t, standardDish(), standardSchedule(), nil)
	dried := seared(t, geometry.Slab{}, 40)
	again := dried.Dish
	again.Start = From(dried)
	frozen := mustRun(t, again, Schedule{{Medium: BlastFreezer(-30), Until: Elapsed(time.Hour)}, {Medium: FanOven(200), Until: Elapsed(40 * time.Minute)}}, &Settings{Cells: 40})
	pure := mustRun(t, one(geometry.Sphere{}, melting(t, 1000, 2, 2000, 0.6, 4000, 3e5, 1), 0.03, Uniform(-20)),
		Schedule{{Medium: FanOven(150), Until: Elapsed(time.Hour)}}, &Settings{Cells: 40})
	moist := mustRun(t, standardDish(), standardSchedule(), &Settings{Cells: 60, Moisture: true})
	for name, run := range map[string]*Run{"standard": standard, "dried": dried, "frozen again": frozen, "pure": pure, "moist": moist} {
		sameAsRead(t, run, name)
	}
	for seed := range uint64(10) {
		c := drawCase(seed)
		if run, _ := c.run(); run != nil {
			sameAsRead(t, run, fmt.Sprint(c))
		}
	}
}

// Where nothing is known of it there is no water activity.
func TestIntervalsOfUnknownWater(t *testing.T) {
	block := one(geometry.HalfSlab{}, melting(t, 1000, 2, 2000, 0.6, 4000, 3e5, 1), 0.03, Uniform(-20))
	for _, moisture := range []bool{false, true} {
		run := mustRun(t, block, Schedule{{Medium: FanOven(150), Until: Elapsed(time.Minute)}}, &Settings{Cells: 10, Moisture: moisture})
		for v := range run.Intervals() {
			for _, cell := range []int{-1, 0, 9, 10} {
				assert.True(t, math.IsNaN(v.WaterActivity(cell)))
			}
		}
	}
	assert.True(t, math.IsNaN(new(Interval).WaterActivity(0)))
}

func TestIntervalsOfNothing(t *testing.T) {
	for range new(Run).Intervals() {
		require.Fail(t, "the zero Run has no steps")
	}
	run := mustRun(t, standardDish(), Schedule{{Medium: Insulated(), Until: Above(Centre(), -25)}}, nil)
	require.Zero(t, run.Stats.Steps)
	for range run.Intervals() {
		require.Fail(t, "a run whose conditions are met at once has no steps")
	}
}

// Walking costs no memory a step, and may be left at any time.
func TestIntervalsDoNotAllocate(t *testing.T) {
	run := mustRun(t, standardDish(), standardSchedule(), nil)
	walk := func(most int) float64 {
		return testing.AllocsPerRun(3, func() {
			n := 0
			for range run.Intervals() {
				if n++; n == most {
					break
				}
			}
		})
	}
	assert.Equal(t, walk(2), walk(run.Stats.Steps))
}

// The shortened cubic is the cubic.
func TestMiddleIsCubic(t *testing.T) {
	r, err := phasechange.New(materials.MustFind("lamb loin, cooked"), phasechange.Settings{})
	require.NoError(t, err)
	a := r.Anchor(r.Water())
	rng := rand.New(rand.NewPCG(5, 1))
	short := 0
	for range 20000 {
		u := a.FreezingEnergy() + (rng.Float64()*2-0.5)*(a.BoilingEnergy()-a.FreezingEnergy())
		end := u + rng.NormFloat64()*1e6
		f, fEnd, h := rng.NormFloat64()*2e4, rng.NormFloat64()*2e4, 100*rng.Float64()
		want := cubic(0.5, h, u, f, end, fEnd, &a)
		require.InDelta(t, want, middle(h, u, f, end, fEnd, &a), 1e-6)
		if math.Abs(f*h) <= swing && math.Abs(fEnd*h) <= swing {
			short++
		}
	}
	assert.Greater(t, short, 2000)
}

// gridDish is a dish of a cylinder or slab; from a to b [m] its layers' names.
func gridRun(t *testing.T, shape geometry.Shape, cells int, layers ...string) *Run {
	d := Dish{Shape: shape, Start: Uniform(5)}
	for _, name := range layers {
		thickness := map[string]float64{"core": 0.02, "wrap": 0.004, "crust": 0.006}[name]
		d.Layers = append(d.Layers, Layer{Name: name, Food: materials.MustFind("lamb loin, cooked"), Thickness: thickness})
	}
	return mustRun(t, d, Schedule{{Medium: Insulated(), Until: Elapsed(time.Second)}}, &Settings{Cells: cells})
}

func fieldOf(run *Run, f func(CellState) float64) (out []float64) {
	for _, c := range run.At(0).Cells() {
		out = append(out, f(c))
	}
	return out
}

func TestGridRead(t *testing.T) {
	run := gridRun(t, geometry.Cylinder{}, 60, "core", "crust")
	g := run.Grid()
	x := fieldOf(run, func(c CellState) float64 { return c.X })
	require.Len(t, x, g.Len())
	read := func(p Place) float64 {
		v, err := g.Read(p, x)
		require.NoError(t, err)
		return v
	}
	// a field that is the distance reads as the distance, between the nodes of a layer
	assert.InDelta(t, 0.026-0.01, read(Depth(0.01)), 1e-12)
	assert.InDelta(t, 0.02+0.5*0.006, read(Within("crust", 0.5)), 1e-12)
	first, end := run.model.mesh.Span(1)
	assert.Equal(t, x[first], read(Within("crust", 0)), "level beyond the last node")
	assert.Equal(t, x[first-1], read(Within("core", 1)), "on its own side of the interface")
	assert.Equal(t, x[end-1], read(Skin()))
	assert.Equal(t, x[0], read(Centre()))
	assert.Equal(t, x[first], read(ColdestOf("crust")))
	assert.Equal(t, x[end-1], read(HottestOf("crust")))
	var sum, volume float64
	for _, c := range run.At(0).Cells() {
		if c.Layer == "crust" {
			sum, volume = sum+c.Volume*c.X, volume+c.Volume
		}
	}
	assert.InEpsilon(t, sum/volume, read(MeanOf("crust")), 1e-12)

	var unknown *UnknownPlaceError
	for _, p := range []Place{MeanOf("sauce"), Depth(1), Depth(math.NaN()), Within("core", 2)} {
		_, err := g.Read(p, x)
		require.ErrorAs(t, err, &unknown, "%v", p)
	}
	var input *InputError
	_, err := g.Read(Centre(), x[1:])
	require.ErrorAs(t, err, &input)
	_, err = new(Run).Grid().Read(Centre(), nil)
	require.ErrorAs(t, err, &input)
	assert.Contains(t, g.Where(0), "core")
	assert.Contains(t, g.Where(g.Len()), "not in the dish")
	assert.Empty(t, new(Run).Grid().Layers())
}

// Of a field along the radius the share above a limit follows by hand, and of peaks it
// is that of PeakAbove.
func TestGridAbove(t *testing.T) {
	run := gridRun(t, geometry.Cylinder{}, 60, "core", "crust")
	g := run.Grid()
	x := fieldOf(run, func(c CellState) float64 { return c.X })
	square := func(a float64) float64 { return a * a }
	for limit, want := range map[float64][2]float64{
		0.01:  {1 - square(0.5), 0.01},
		0.015: {1 - square(0.75), 0.005},
		-1:    {1, 0.02},
		1:     {0, 0},
	} {
		share, rim, err := g.Above("core", x, limit)
		require.NoError(t, err)
		assert.InDelta(t, want[0], share, 1e-12, "%g", limit)
		assert.InDelta(t, want[1], rim, 1e-12, "%g", limit)
	}
	falling := fieldOf(run, func(c CellState) float64 { return -c.X })
	share, rim, err := g.Above("core", falling, -0.01)
	require.NoError(t, err)
	assert.InDelta(t, square(0.5), share, 1e-12)
	assert.Zero(t, rim, "hot inside is no rim")

	baked := mustRun(t, standardDish(), standardSchedule(), nil)
	for _, layer := range baked.LayerNames() {
		for limit := -10.0; limit < 200; limit += 7 {
			share, rim, err := baked.Grid().Above(layer, baked.Peaks(), limit)
			require.NoError(t, err)
			wantShare, wantRim, err := baked.PeakAbove(layer, limit)
			require.NoError(t, err)
			assert.InDelta(t, wantShare, share, 1e-9, "%s over %g", layer, limit)
			assert.InDelta(t, wantRim, rim, 1e-12, "%s over %g", layer, limit)
		}
	}
	var unknown *UnknownPlaceError
	_, _, err = g.Above("sauce", x, 0)
	require.ErrorAs(t, err, &unknown)
	var input *InputError
	_, _, err = g.Above("core", x[1:], 0)
	require.ErrorAs(t, err, &input)
	_, _, err = g.Above("core", x, math.NaN())
	require.ErrorAs(t, err, &input)
}

// A field keeps its means and its place, whatever the new mesh, and whether
// layers are put around or taken off; in a slab a layer may move.
func TestGridCarry(t *testing.T) {
	profile := func(c CellState) float64 { return 3 + 100*c.X }
	for _, c := range []struct {
		name          string
		shape         geometry.Shape
		before, after []string
		cells         int
		shift         float64 // [m] of the core
	}{
		{"the same", geometry.Cylinder{}, []string{"core"}, []string{"core"}, 50, 0},
		{"finer", geometry.Cylinder{}, []string{"core"}, []string{"core"}, 130, 0},
		{"coarser", geometry.Sphere{}, []string{"core"}, []string{"core"}, 20, 0},
		{"wrapped", geometry.Cylinder{}, []string{"core", "wrap"}, []string{"core", "wrap", "crust"}, 80, 0},
		{"unwrapped", geometry.HalfSlab{}, []string{"core", "wrap"}, []string{"core"}, 30, 0},
		{"wrapped below", geometry.Slab{}, []string{"core"}, []string{"crust", "core", "wrap"}, 70, 0.006},
	} {
		t.Run(c.name, func(t *testing.T) {
			early, late := gridRun(t, c.shape, 50, c.before...), gridRun(t, c.shape, c.cells, c.after...)
			field := fieldOf(early, profile)
			got, err := late.Grid().Carry(early.Grid(), field, 7)
			require.NoError(t, err)
			for i, cell := range late.At(0).Cells() {
				if early.model.layer(cell.Layer) < 0 {
					assert.Equal(t, 7.0, got[i], "new layers begin afresh")
					continue
				}
				x := cell.X - c.shift
				was, err := early.model.mesh.Locate(x)
				require.NoError(t, err)
				near := 0.02
				if first, end := early.model.mesh.Span(early.model.mesh.Cells[was].Layer); was == first || was == end-1 {
					near = 100 * (early.model.mesh.Cells[was].Outer - early.model.mesh.Cells[was].Inner) // no slope within a layer's last cells
				}
				assert.InDelta(t, 3+100*x, got[i], near, "the profile stays where it was: %v", cell)
			}
			for _, layer := range c.before {
				if late.model.layer(layer) < 0 {
					continue
				}
				want, err := early.Grid().Read(MeanOf(layer), field)
				require.NoError(t, err)
				mean, err := late.Grid().Read(MeanOf(layer), got)
				require.NoError(t, err)
				assert.InEpsilon(t, want, mean, 1e-9)
			}
		})
	}
}

func TestGridCarryRefuses(t *testing.T) {
	early := gridRun(t, geometry.Cylinder{}, 50, "core", "wrap")
	field := fieldOf(early, func(c CellState) float64 { return c.X })
	thick := mustRun(t, Dish{Shape: geometry.Cylinder{}, Start: Uniform(5), Layers: []Layer{{Name: "core", Food: materials.MustFind("lard"), Thickness: 0.03}}},
		Schedule{{Medium: Insulated(), Until: Elapsed(time.Second)}}, nil)
	for _, c := range []struct {
		what  string
		to    Grid
		field []float64
		want  string
	}{
		{"another shape", gridRun(t, geometry.Sphere{}, 50, "core").Grid(), field, "shape"},
		{"another thickness", thick.Grid(), field, "thickness"},
		{"moved outwards", gridRun(t, geometry.Cylinder{}, 50, "wrap", "core").Grid(), field, "distance from the centre"},
		{"nothing in common", gridRun(t, geometry.Cylinder{}, 50, "crust").Grid(), field, "at least one of the earlier run's"},
		{"a field of another dish", early.Grid(), field[2:], "number of cells"},
		{"no run", new(Run).Grid(), field, "a run from Simulate"},
	} {
		_, err := c.to.Carry(early.Grid(), c.field, 0)
		var input *InputError
		require.ErrorAs(t, err, &input, c.what)
		assert.ErrorContains(t, err, c.want, c.what)
	}
}

// BenchmarkIntervals is the walk through the run of BenchmarkStandardCase.
func BenchmarkIntervals(b *testing.B) {
	run, err := Simulate(context.Background(), standardDish(), standardSchedule(), &Settings{Cells: 200})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		for v := range run.Intervals() {
			_ = v
		}
	}
	b.ReportAllocs()
}
