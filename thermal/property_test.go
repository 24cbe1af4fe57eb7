package thermal

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// randomCase is a dish and a schedule drawn from one seed.
type randomCase struct {
	seed     uint64
	dish     Dish
	schedule Schedule
	settings Settings
	lo, hi   float64 // [°C] span of start and media
}

func drawCase(seed uint64) randomCase {
	rng := rand.New(rand.NewPCG(seed, 20))
	between := func(lo, hi float64) float64 { return lo + rng.Float64()*(hi-lo) }
	logBetween := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, rng.Float64()) }
	c := randomCase{seed: seed, lo: infinite, hi: -infinite, settings: Settings{Cells: 40 + rng.IntN(60)}}
	widen := func(t float64) float64 { c.lo, c.hi = math.Min(c.lo, t), math.Max(c.hi, t); return t }
	foods := materials.Foods()
	shapes := []geometry.Shape{geometry.Slab{Area: 0.03}, geometry.HalfSlab{}, geometry.Cylinder{Length: 0.2}, geometry.Sphere{}}
	c.dish.Shape = shapes[rng.IntN(len(shapes))]
	var starts []float64
	for i := range 1 + rng.IntN(6) {
		l := Layer{Name: fmt.Sprintf("layer %d", i), Food: foods[rng.IntN(len(foods))], Thickness: logBetween(0.2e-3, 60e-3)}
		if rng.IntN(3) == 0 {
			l.Contact = logBetween(1e-5, 1e-1)
		}
		c.dish.Layers = append(c.dish.Layers, l)
		starts = append(starts, between(-40, 90))
	}
	if rng.IntN(2) == 0 {
		c.dish.Start = Uniform(widen(starts[0]))
	} else {
		c.dish.Start = ByLayer(starts...)
		for _, t := range starts {
			widen(t)
		}
	}
	medium := func() Medium {
		if rng.IntN(12) == 0 {
			return Insulated()
		}
		s := Surroundings{Fluid: widen(between(-40, 250)), H: logBetween(2, 1000)}
		if rng.IntN(2) == 0 {
			s.Walls, s.Emissivity = widen(between(-40, 250)), between(0.01, 1)
		}
		return s
	}
	for range 1 + rng.IntN(4) {
		st := Stage{Medium: medium(), Until: Elapsed(time.Duration(logBetween(60, 6*3600) * 1e9))}
		if _, slab := c.dish.Shape.(geometry.Slab); slab && rng.IntN(2) == 0 {
			st.Patches = map[geometry.Patch]Medium{geometry.Underside: medium()}
		}
		if rng.IntN(3) == 0 { // an end that has to be found
			place := []Place{Centre(), Skin(), MeanOf("layer 0"), HottestOf("layer 0"), Within("layer 0", 0.7)}[rng.IntN(5)]
			ends := []Condition{Above(place, between(c.lo, c.hi)), Below(place, between(c.lo, c.hi)), IceGone(), Frozen(between(0.1, 0.9))}
			st.Until = Any(st.Until, ends[rng.IntN(4)])
		}
		c.schedule = append(c.schedule, st)
	}
	return c
}

func (c randomCase) run() (*Run, error) {
	return Simulate(context.Background(), c.dish, c.schedule, &c.settings)
}

func (c randomCase) String() string {
	s := fmt.Sprintf("seed %d: %v, %d cells, start %v\n", c.seed, c.dish.Shape, c.settings.Cells, c.dish.Start)
	for _, l := range c.dish.Layers {
		s += fmt.Sprintf("  %s %.4g mm contact %.3g\n", l.Food.Name, l.Thickness*1e3, l.Contact)
	}
	for _, st := range c.schedule {
		s += fmt.Sprintf("  %+v %v patches %+v\n", st.Medium, st.Until, st.Patches)
	}
	return s
}

// TestLawsOnRandomDishes holds random dishes to what must be so in any of them,
// after every step.
func TestLawsOnRandomDishes(t *testing.T) {
	dishes := uint64(240)
	if testing.Short() {
		dishes = 40
	}
	// A temperature may pass the span of start and media by what Newton's
	// iteration leaves at its edge, a tenth of the tolerance: the solver rejects
	// a step that passes it by more. The dish's own skin lies between its cell
	// and the medium.
	const slack = overshootShare*defaultTolerance + 1e-9
	const manySteps = 20000
	var worstEnergy, worstWater float64
	steps, long := 0, 0
	for seed := range dishes {
		c := drawCase(seed)
		var faults []string
		fault := func(format string, args ...any) {
			if len(faults) < 3 {
				faults = append(faults, fmt.Sprintf(format, args...))
			}
		}
		inside := func(s *State, what string, i int, v float64) {
			if !(v >= c.lo-slack && v <= c.hi+slack) {
				fault("%s %d: %.4f °C at %v, span %.4f to %.4f", what, i, v, s.Time(), c.lo, c.hi)
			}
		}
		var water, highest []float64
		mass := infinite
		c.settings.MaxSteps = manySteps
		c.settings.Progress = func(s *State) {
			first := water == nil
			var sum float64
			for i, v := range s.temp {
				w := s.anchors[i].Water()
				sum += w * s.model.mesh.Cells[i].Volume
				inside(s, "cell", i, v)
				if ice := s.ice(i); !(ice >= 0 && ice <= w) {
					fault("cell %d at %v: ice %g of water %g kg/m³", i, s.Time(), ice, w)
				}
				if first {
					water, highest = append(water, w), append(highest, v)
				}
				// exact: steam only leaves
				if !(w <= water[i] && w >= 0) {
					fault("cell %d at %v: water %g kg/m³ after %g", i, s.Time(), w, water[i])
				}
				water[i], highest[i] = w, math.Max(highest[i], v)
			}
			if !(sum <= mass) {
				fault("mass rose by %g kg at %v", sum-mass, s.Time())
			}
			mass = sum
			for i, v := range s.skins {
				inside(s, "skin", i, v)
			}
		}
		run, err := c.run()
		if run == nil {
			assert.NoError(t, err, "%v", c)
			continue
		}
		for i, p := range run.Peaks() {
			// the start of the run counts too, before the first step's end
			if highest != nil && p < highest[i] {
				fault("cell %d: peak %g °C after %g", i, p, highest[i])
			}
		}
		if err != nil && run.Stats.Steps+run.Stats.Rejected >= manySteps {
			long++
			t.Logf("more than %d steps: %v", manySteps, c)
		} else if err != nil {
			fault("%v", err)
		}
		steps += run.Stats.Steps
		worstEnergy, worstWater = math.Max(worstEnergy, run.Energy.Relative), math.Max(worstWater, run.Water.Relative)
		if !(run.Energy.Relative <= 1e-8) {
			fault("energy audit %+v", run.Energy)
		}
		if !(run.Water.Relative <= 1e-10) {
			fault("water audit %+v", run.Water)
		}
		if !(run.Water.Steam >= 0 && run.Energy.Steam >= 0) {
			fault("steam %g kg with %g J", run.Water.Steam, run.Energy.Steam)
		}
		assert.Empty(t, faults, "%v", c)
	}
	assert.LessOrEqual(t, long, 3, "runs of more than %d steps", manySteps)
	t.Logf("%d dishes, %d steps, worst energy residual %.2g, worst water residual %.2g", dishes, steps, worstEnergy, worstWater)
}

// TestStateAgreesWithHistory: what a State says of the water in a boiling dish is
// the same while the run goes on (Progress, Until, Watch) as afterwards.
func TestStateAgreesWithHistory(t *testing.T) {
	type seen struct {
		at    time.Duration
		mass  float64
		water []float64
	}
	content := func(s *State) (w []float64) { // Cells without its peaks, which are slow to look up
		for i := range s.temp {
			w = append(w, s.held(i)/s.model.relations[s.model.mesh.Cells[i].Layer].Density())
		}
		return w
	}
	for _, seed := range []uint64{1, 2, 16, 34, 51} {
		c := drawCase(seed)
		var live []seen
		c.settings.Progress = func(s *State) { live = append(live, seen{s.Time(), s.Mass(), content(s)}) }
		run, err := c.run()
		require.NoError(t, err)
		var cell, mass float64
		var cellAt, massAt time.Duration
		for _, s := range live {
			then := run.At(s.at)
			if d := math.Abs(then.Mass()-s.mass) / s.mass; d > mass {
				mass, massAt = d, s.at
			}
			for i, w := range content(then) {
				if d := math.Abs(w - s.water[i]); d > cell {
					cell, cellAt = d, s.at
				}
			}
		}
		// A step may be wrong by its tolerance, 0.05 K, which the latent heat makes
		// 0.05 K * 4 kJ/(kg K) / 2257 kJ/kg of water: 1e-4.
		assert.Less(t, cell, 1e-3, "seed %d: water of a cell [kg/kg] at %v", seed, cellAt)
		assert.Less(t, mass, 1e-4, "seed %d: mass of the dish, relative, at %v", seed, massAt)
	}
}

// TestPureWaterBoilsDry: the table's water, whose activity is 1 to the last.
func TestPureWaterBoilsDry(t *testing.T) {
	for _, thickness := range []float64{0.5e-3, 2e-3, 10e-3} {
		d := blockOf("water", thickness, 20)
		run, err := Simulate(context.Background(), d, Schedule{{Medium: Surroundings{Fluid: 194, H: 107}, Until: Elapsed(10 * time.Minute)}},
			&Settings{Cells: 40, MaxSteps: 20000})
		assert.NoError(t, err, "%g mm: %v", thickness*1e3, run.Stats)
	}
}

// TestThinDishBoils caps the steps that a thin wet dish may take to boil dry.
func TestThinDishBoils(t *testing.T) {
	for _, test := range []struct {
		food      string
		thickness float64
		cells     int
	}{
		{"lamb leg, raw", 0.2e-3, 20}, {"lamb leg, raw", 0.2e-3, 76}, {"lamb leg, raw", 0.2e-3, 150},
		{"lamb leg, raw", 1e-3, 76}, {"lamb leg, raw", 1e-3, 150}, {"stock gel", 2e-3, 40}, {"stock gel", 2e-3, 120}, {"leeks, raw", 2e-3, 120},
	} {
		run, err := Simulate(context.Background(), blockOf(test.food, test.thickness, 20),
			Schedule{{Medium: Surroundings{Fluid: 198, H: 146}, Until: Elapsed(20 * time.Minute)}}, &Settings{Cells: test.cells, MaxSteps: 100000})
		assert.NoError(t, err)
		assert.Less(t, run.Stats.Steps, 3000, "%+v: %v", test, run.Stats)
	}
}

// sameRun demands the same bits.
func sameRun(t *testing.T, want, got *Run, what string) {
	t.Helper()
	require.Equal(t, want.Stats, got.Stats, what)
	require.Equal(t, want.Energy, got.Energy, what)
	require.Equal(t, want.Water, got.Water, what)
	require.Equal(t, want.Stages, got.Stages, what)
	require.Equal(t, want.Events, got.Events, what)
	require.Equal(t, want.At(want.Duration()/3).Cells(), got.At(want.Duration()/3).Cells(), what)
	require.Equal(t, want.End().Cells(), got.End().Cells(), what)
}

// TestDeterminism repeats runs, alone, side by side and with one and two
// processors, and demands the same bits.
func TestDeterminism(t *testing.T) {
	was := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(was)
	for seed := uint64(10); seed < 18; seed++ {
		c := drawCase(seed)
		first, err := c.run()
		require.NoError(t, err, "%v", c)
		for _, procs := range []int{1, 2} {
			runtime.GOMAXPROCS(procs)
			again, err := c.run()
			require.NoError(t, err)
			sameRun(t, first, again, fmt.Sprintf("seed %d, %d processors", seed, procs))
		}
		runs := make([]*Run, 6)
		var wait sync.WaitGroup
		for i := range runs {
			wait.Go(func() { runs[i], _ = c.run() })
		}
		wait.Wait()
		for _, r := range runs {
			require.NotNil(t, r)
			sameRun(t, first, r, fmt.Sprintf("seed %d, side by side", seed))
		}
	}
}

// TestReadingConcurrently reads one run from many goroutines. It means little
// without the race detector.
func TestReadingConcurrently(t *testing.T) {
	c := drawCase(10)
	run, err := c.run()
	require.NoError(t, err)
	want := run.At(run.Duration() / 2).Cells()
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for range 5 {
				assert.Equal(t, want, run.At(run.Duration()/2).Cells())
			}
			run.Extremes()
			_, err := run.MarshalJSON()
			assert.NoError(t, err)
			d := c.dish
			d.Start = From(run)
			_, err = Simulate(context.Background(), d, Schedule{{Medium: Room(20), Until: Elapsed(time.Minute)}}, &c.settings)
			assert.NoError(t, err)
		})
	}
	wait.Wait()
}

func sandwich() (half []Layer) {
	return []Layer{
		{Name: "meat", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.012, Cells: 60},
		{Name: "greens", Food: materials.MustFind("spinach, cooked"), Thickness: 0.004, Contact: 1e-3, Cells: 30},
		{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.004, Cells: 40},
	}
}

var bakeAndRest = Schedule{{Medium: FanOven(210), Until: Elapsed(35 * time.Minute)}, {Medium: Room(20), Until: Elapsed(20 * time.Minute)}}

// TestMirroredSlab: a slab that is the same from both sides stays so, and is the
// half slab within its discretisation.
func TestMirroredSlab(t *testing.T) {
	half := sandwich()
	var layers []Layer
	for i := len(half) - 1; i >= 0; i-- {
		l := half[i]
		l.Name = "lower " + l.Name
		// the contact resistance lies on the outer face of a half, which is the
		// face towards the layer below in the mirror image
		l.Contact = 0
		if i > 0 {
			l.Contact = half[i-1].Contact
		}
		layers = append(layers, l)
	}
	layers = append(layers, half...)
	for _, start := range []float64{-18, 4} {
		slab := mustRun(t, Dish{Shape: geometry.Slab{}, Layers: layers, Start: Uniform(start)}, bakeAndRest, nil)
		single := mustRun(t, Dish{Shape: geometry.HalfSlab{}, Layers: half, Start: Uniform(start)}, bakeAndRest, nil)
		n := len(slab.model.mesh.Cells)
		for _, at := range []time.Duration{5 * time.Minute, 20 * time.Minute, 35 * time.Minute, 55 * time.Minute} {
			s := slab.At(at)
			for i := range n / 2 {
				// Newton's iteration and the elimination run in one direction, so the
				// sides differ by rounding, which single precision in the history
				// makes 1e-5 K and the kinks of freezing and drying magnify
				require.InDelta(t, s.temp[i], s.temp[n-1-i], 1e-4, "from %g °C, cell %d at %v", start, i, at)
			}
			for _, p := range []Place{Centre(), Skin(), MeanOf("meat"), MeanOf("greens"), MeanOf("crust")} {
				a, _ := s.Temperature(p)
				b, _ := single.Temperature(p, at)
				// the tolerance of a step is 0.05 K; the cells next to the middle
				// are graded in the slab and not in the half
				assert.InDelta(t, a, b, 0.3, "from %g °C, %v at %v", start, p, at)
			}
		}
		assert.InEpsilon(t, single.Energy.In, slab.Energy.In, 2e-3)
		assert.InEpsilon(t, single.Water.Steam, slab.Water.Steam, 5e-3)
		assert.InEpsilon(t, single.End().Mass(), slab.End().Mass(), 1e-3)
	}
}

// TestSplitLayer: cutting a layer in two of the same food changes nothing but the
// mesh.
func TestSplitLayer(t *testing.T) {
	for _, shape := range allShapes {
		whole := sandwich()
		var cut []Layer
		for _, l := range whole {
			a, b := l, l
			a.Name, a.Thickness, a.Contact, a.Cells = l.Name+" inside", l.Thickness*0.4, 0, l.Cells
			b.Name, b.Thickness = l.Name+" outside", l.Thickness-a.Thickness
			cut = append(cut, a, b)
		}
		one := mustRun(t, Dish{Shape: shape, Layers: whole, Start: Uniform(-18)}, bakeAndRest, nil)
		two := mustRun(t, Dish{Shape: shape, Layers: cut, Start: Uniform(-18)}, bakeAndRest, nil)
		for _, at := range []time.Duration{10 * time.Minute, 35 * time.Minute, 55 * time.Minute} {
			for _, p := range []Place{Centre(), Skin(), Depth(0.006), Depth(0.01)} {
				a, _ := one.Temperature(p, at)
				b, _ := two.Temperature(p, at)
				assert.InDelta(t, a, b, 0.3, "%v, %v at %v", shape, p, at)
			}
		}
		assert.InEpsilon(t, one.Energy.In, two.Energy.In, 3e-3, "%v", shape)
		assert.InEpsilon(t, one.Water.Steam, two.Water.Steam, 1e-2, "%v", shape)
	}
}

// TestInsulatedDish: heat moves inside, and none is lost or found.
func TestInsulatedDish(t *testing.T) {
	for _, shape := range allShapes {
		run := mustRun(t, Dish{Shape: shape, Layers: sandwich(), Start: ByLayer(-18, 70, 20)},
			Schedule{{Medium: Insulated(), Until: Elapsed(10 * time.Hour)}}, nil)
		assert.Zero(t, run.Energy.In, "%v", shape)
		assert.Zero(t, run.Water.Steam)
		u, stay := stored(newSystem(run.model), run.final.u), run.books.storedStart
		assert.InEpsilon(t, stay, u, 1e-12, "%v", shape)
		var lo, hi float64 = infinite, -infinite
		for _, l := range run.End().Layers() {
			lo, hi = math.Min(lo, l.Coldest), math.Max(hi, l.Hottest)
		}
		assert.Less(t, hi-lo, 0.05, "%v: all at one temperature after ten hours", shape)
	}
}

// TestHotterOvenHotterDish: without drying, which moves the order of the crusts,
// a hotter medium makes every place hotter at every time; with it, still the
// centre.
func TestHotterOvenHotterDish(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	for _, start := range []float64{-18, 4} {
		for _, dry := range []bool{false, true} {
			ovens := []float64{60, 75, 90, 95}
			if dry {
				ovens = []float64{110, 150, 190, 230, 245}
			}
			var runs []*Run
			for _, oven := range ovens {
				runs = append(runs, mustRun(t, Dish{Shape: geometry.Cylinder{}, Layers: sandwich(), Start: Uniform(start)},
					Schedule{{Medium: FanOven(oven), Until: Elapsed(90 * time.Minute)}}, nil))
			}
			// The error of a step is a root mean square over the cells: one cell alone,
			// such as the one a melting front is in, may have all of it.
			alone := defaultTolerance * math.Sqrt(float64(len(runs[0].final.u)))
			for at := 10 * time.Second; at <= 90*time.Minute; at += 10 * time.Second {
				for i := 1; i < len(runs); i++ {
					a, b := runs[i-1].At(at), runs[i].At(at)
					require.LessOrEqual(t, a.temp[0], b.temp[0]+2*defaultTolerance, "from %g °C, centre at %v: %g and %g °C ovens", start, at, ovens[i-1], ovens[i])
					for j := 1; j < len(a.temp) && !dry; j++ {
						require.LessOrEqual(t, a.temp[j], b.temp[j]+alone, "from %g °C, cell %d at %v: %g and %g °C ovens", start, j, at, ovens[i-1], ovens[i])
					}
				}
			}
		}
	}
}

// TestScale: areas and lengths scale energies and nothing else.
func TestScale(t *testing.T) {
	for _, shapes := range [][2]geometry.Shape{{geometry.Slab{}, geometry.Slab{Area: 0.037}}, {geometry.HalfSlab{}, geometry.HalfSlab{Area: 0.037}},
		{geometry.Cylinder{}, geometry.Cylinder{Length: 0.037}}} {
		one := mustRun(t, Dish{Shape: shapes[0], Layers: sandwich(), Start: Uniform(-18)}, bakeAndRest, nil)
		small := mustRun(t, Dish{Shape: shapes[1], Layers: sandwich(), Start: Uniform(-18)}, bakeAndRest, nil)
		// rounding moves steps and events a little
		assert.InEpsilon(t, one.Energy.In*0.037, small.Energy.In, 1e-4, "%v", shapes[1])
		assert.InEpsilon(t, one.Water.Steam*0.037, small.Water.Steam, 1e-4, "%v", shapes[1])
		for i, c := range one.End().Cells() {
			assert.InDelta(t, c.Temperature, small.End().Cells()[i].Temperature, 0.1*defaultTolerance)
		}
	}
}
