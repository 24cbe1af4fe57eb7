package thermal

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"
)

// wetDraw draws dishes in which water moves, and their schedules.
type wetDraw struct{ *rand.Rand }

func (r wetDraw) between(lo, hi float64) float64    { return lo + r.Float64()*(hi-lo) }
func (r wetDraw) logBetween(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
func (r wetDraw) once(in int) bool                  { return r.IntN(in) == 0 }

// air draws a humidity that air of t [°C] can have at a pressure [Pa].
func (r wetDraw) air(t, pressure float64) Humidity {
	most := math.Min(saturatedOver(t), pressure)
	switch r.IntN(6) {
	case 0:
		return Sealed()
	case 1:
		return VapourPressure(most)
	case 2:
		return VapourPressure(0)
	case 3:
		return HumidityRatio(math.Min(0.02, vapourToAir*most/(pressure+1-most)))
	}
	return VapourPressure(most * r.Float64())
}

// medium draws surroundings, with their share in radiation.
func (r wetDraw) medium(pressure float64) Surroundings {
	boiling := 100 + 60*math.Log10(pressure/101325) // at or above the boiling point
	var s Surroundings
	switch r.IntN(10) {
	case 0:
		return Insulated()
	case 1:
		return Surroundings{Fluid: boiling + r.between(2, 120), H: r.logBetween(5, 2000), Humidity: Steam()}
	case 2:
		return BlastFreezer(r.between(-45, -5))
	case 3: // dew
		t := r.between(5, 60)
		return Surroundings{Fluid: t, H: r.logBetween(2, 200), Humidity: RelativeHumidity(r.between(0.8, 1))}
	case 4:
		return FanOven(r.between(80, 280))
	case 5:
		s = Surroundings{Fluid: r.between(-40, 99), H: r.logBetween(50, 3000)} // a bath
	case 6:
		return HotOil(r.between(140, 200))
	default:
		s.Fluid, s.H = r.between(-40, 250), r.logBetween(2, 1000)
		s.Humidity = r.air(s.Fluid, pressure)
	}
	if r.once(2) {
		s.Walls, s.Emissivity = r.between(-40, 250), r.between(0.01, 1)
	}
	return s
}

// food draws from the table, now and then changed in what moves water.
func (r wetDraw) food(foods []materials.Food) materials.Food {
	f := foods[r.IntN(len(foods))]
	switch r.IntN(16) {
	case 0:
		f.Soak = r.between(0.1, 12)
	case 1:
		f.Transport = &materials.Transport{Source: "none"}
	case 2:
		f.Structure, f.Porosity = materials.OpenPores, r.between(0, 0.9)
	case 3:
		f.Measured = &materials.Measured{Density: 1000, Points: []materials.Point{
			{T: -60, Enthalpy: 0, Conductivity: 1}, {T: -5, Enthalpy: 110e3, Conductivity: 1.5},
			{T: -1, Enthalpy: 400e3, Conductivity: 0.5}, {T: 400, Enthalpy: 2000e3, Conductivity: 0.5}}}
		f.Holding = nil
	}
	return f
}

// drawWetCase draws a dish in which water moves, of any shape and foods, with films,
// and a schedule of dry, damp, steamy, frosty and sealed media.
func drawWetCase(seed uint64) randomCase {
	r := wetDraw{rand.New(rand.NewPCG(seed, 77))}
	c := randomCase{seed: seed, lo: infinite, hi: -infinite, settings: Settings{Cells: 30 + r.IntN(50), Moisture: true}}
	foods := materials.Foods()
	shapes := []geometry.Shape{geometry.Slab{Area: 0.03}, geometry.HalfSlab{}, geometry.Cylinder{Length: 0.2}, geometry.Sphere{}}
	c.dish.Shape = shapes[r.IntN(len(shapes))]
	var starts []float64
	for i := range 1 + r.IntN(6) {
		l := Layer{Name: fmt.Sprintf("layer %d", i), Food: r.food(foods), Thickness: r.logBetween(0.2e-3, 40e-3)}
		if r.once(3) {
			l.Contact = r.logBetween(1e-5, 1e-1)
		}
		if r.once(4) {
			l.Film = &Film{Permeance: r.logBetween(1e-13, 1e-7)}
			if r.once(3) {
				l.Film.Permeance = 0
			}
			if r.once(2) {
				l.Film.Holds = r.between(0, 5e4)
			}
		}
		c.dish.Layers = append(c.dish.Layers, l)
		starts = append(starts, r.between(-40, 90))
	}
	if r.once(2) {
		c.dish.Start = Uniform(starts[0])
		c.lo, c.hi = starts[0], starts[0]
	} else {
		c.dish.Start = ByLayer(starts...)
		for _, t := range starts {
			c.lo, c.hi = math.Min(c.lo, t), math.Max(c.hi, t)
		}
	}
	p := 101325.0
	for range 1 + r.IntN(4) {
		st := Stage{Medium: r.medium(p), Until: Elapsed(time.Duration(r.logBetween(60, 4*3600) * 1e9))}
		if _, slab := c.dish.Shape.(geometry.Slab); slab && r.once(2) {
			st.Patches = map[geometry.Patch]Medium{geometry.Underside: r.medium(p)}
		}
		if r.once(3) {
			place := []Place{Centre(), Skin(), MeanOf("layer 0"), HottestOf("layer 0"), Within("layer 0", 0.7)}[r.IntN(5)]
			ends := []Condition{Above(place, r.between(-40, 110)), Below(place, r.between(-40, 110)), IceGone(), Frozen(r.between(0.1, 0.9))}
			st.Until = Any(st.Until, ends[r.IntN(4)])
		}
		c.schedule = append(c.schedule, st)
	}
	return c
}

// media lists all media of a schedule that stay as they are.
func (c randomCase) media() (all []Surroundings) {
	for _, st := range c.schedule {
		all = append(all, st.Medium.At(0))
		for _, m := range st.Patches {
			all = append(all, m.At(0))
		}
	}
	return all
}

// wettedBulb is the temperature [°C] at which a surface of water or ice settles in a
// medium when nothing comes from behind it: what evaporates takes all the heat that
// convection and radiation bring. No drier or better supplied surface gets colder.
func wettedBulb(t *testing.T, m Surroundings, pressure float64, frozen bool) float64 {
	air, open, err := m.Humidity.pressure(m.Fluid, pressure)
	require.NoError(t, err)
	s := newWetSurface()
	ok := s.solve(&halfCell{activity: 1, resistance: math.Inf(1), liquid: 1e9, frozen: frozen},
		&ambience{Surroundings: m, vapour: air, pressure: pressure, open: open, permeance: math.Inf(1)})
	require.True(t, ok, "%v", m)
	return s.temp
}

// wetSpan bounds the temperatures [°C] of a dish.
//
// From below: evaporation and sublimation cool, but no further than to the wet bulb,
// or the ice's, of the driest medium. From above: nothing is hotter than the
// hottest of start and media unless dry food takes up vapour, which heats it as it
// sorbs. Where the dish is at its hottest conduction only cools, so that it is there that
// the vapour goes, and vapour goes to where its pressure is lower. It comes from wetter
// food or a medium inside of the span, with at most the pressure over water at the
// upper end. So the hottest cell, of water activity a, stays below the temperature at
// which a psat(T) = psat(hi).
type wetSpan struct {
	lo, hi   float64
	pressure float64 // [Pa] saturation at hi
}

func (c randomCase) wetSpan(t *testing.T) wetSpan {
	s, total := wetSpan{lo: c.lo, hi: c.hi}, c.settings.Pressure
	if total == 0 {
		total = phasechange.StandardPressure
	}
	for _, m := range c.media() {
		s.lo, s.hi = m.span(s.lo, s.hi)
		if m.H > 0 || m.Emissivity > 0 {
			s.lo = math.Min(s.lo, wettedBulb(t, m, total, false))
			s.lo = math.Min(s.lo, wettedBulb(t, m, total, true))
		}
	}
	s.pressure, _ = saturation(s.hi)
	return s
}

// below says by how much [K] a temperature [°C] is under the span, above by how much
// the hottest cell, of a water activity, is over it.
func (s wetSpan) below(t float64) float64 { return s.lo - t }

func (s wetSpan) above(t, activity float64) float64 {
	if t <= s.hi {
		return t - s.hi
	}
	p, slope := saturation(t)
	return math.Min(t-s.hi, math.Log(activity*p/s.pressure)*p/slope)
}

// wetLaws holds a run of a drawn dish to what must be so in any of them, after every
// step and between steps. It returns the run and by how much [K] it left its span.
func wetLaws(t *testing.T, c randomCase) (run *Run, below, above float64, faults []string) {
	fault := func(format string, args ...any) {
		if len(faults) < 3 {
			faults = append(faults, fmt.Sprintf(format, args...))
		}
	}
	span := c.wetSpan(t)
	if c.dish.Layers[len(c.dish.Layers)-1].Contact > 1e-3 {
		// Vapour leaves through a gap that holds back the heat it takes: then no medium's
		// wet bulb bounds what is inside of the gap.
		span.lo = -kelvin
	}
	hottest := span.hi
	see := func(s *State, when string) {
		for i, v := range s.temp {
			w, a := s.moist[i].water, s.moist[i].activity
			if ice := s.ice(i); !(w >= 0 && ice >= 0 && ice <= w) {
				fault("%s %v: cell %d has water %g, ice %g kg/m³", when, s.Time(), i, w, ice)
			}
			if !(a >= 0 && a <= 1+1e-9) {
				fault("%s %v: cell %d has water activity %g", when, s.Time(), i, a)
			}
			if !(math.Abs(v) < 1000) {
				fault("%s %v: cell %d at %g °C", when, s.Time(), i, v)
			}
			below = math.Max(below, span.below(v))
		}
		if i := floats.MaxIdx(s.temp); s.temp[i] > hottest { // afterwards it may cool and moisten
			hottest = s.temp[i]
			above = math.Max(above, span.above(hottest, s.moist[i].activity))
		}
		for i, v := range s.skins {
			if !(math.Abs(v) < 1000) {
				fault("%s %v: skin %d at %g °C", when, s.Time(), i, v)
			}
			below = math.Max(below, span.below(v))
		}
	}
	c.settings.Progress = func(s *State) { see(s, "after the step at") }
	// asked in the middle of every step
	c.settings.Watch = []Condition{When("the laws hold", func(s *State) float64 { see(s, "in the step at"); return -1 })}
	run, err := c.run()
	if run == nil {
		return nil, 0, 0, []string{err.Error()}
	}
	if err != nil {
		fault("%v, %v", err, run.Stats)
	}
	if !(run.Energy.Relative <= 1e-8) {
		fault("energy audit %+v", run.Energy)
	}
	if !(run.Water.Relative <= 1e-8) {
		fault("water audit %+v", run.Water)
	}
	w := &run.Water
	if !(w.Steam >= 0 && w.Evaporated >= 0 && w.Condensed >= 0 && w.Drip >= -1e-12*w.Start) {
		fault("water account %+v", *w)
	}
	return run, below, above, faults
}

// TestLawsOnRandomWetDishes: water is never negative, activities stay from 0 to 1,
// both accounts close and temperatures keep to wetSpan.
func TestLawsOnRandomWetDishes(t *testing.T) {
	dishes := uint64(60)
	if testing.Short() {
		dishes = 15
	}
	const slack = 2.0 // [K]
	var worst struct{ energy, water, below, above float64 }
	steps := 0
	for seed := range dishes {
		c := drawWetCase(seed)
		c.settings.MaxSteps = 20000
		run, below, above, faults := wetLaws(t, c)
		assert.Empty(t, faults, "%v", c)
		if run == nil {
			continue
		}
		assert.LessOrEqual(t, below, slack, "[K] below the span: %v", c)
		assert.LessOrEqual(t, above, slack, "[K] above the span: %v", c)
		steps += run.Stats.Steps
		worst.energy, worst.water = math.Max(worst.energy, run.Energy.Relative), math.Max(worst.water, run.Water.Relative)
		worst.below, worst.above = math.Max(worst.below, below), math.Max(worst.above, above)
	}
	t.Logf("%d dishes, %d steps, worst residual %.2g of energy, %.2g of water; at most %.2g K below and %.2g K above the span",
		dishes, steps, worst.energy, worst.water, worst.below, worst.above)
}

// sameWetRun demands the same bits. Food given by measured curves has a NaN for its
// activity, which no comparison of values takes for itself.
func sameWetRun(t *testing.T, want, got *Run, what string) {
	t.Helper()
	require.Equal(t, want.Stats, got.Stats, what)
	require.Equal(t, want.Energy, got.Energy, what)
	require.Equal(t, want.Water, got.Water, what)
	require.Equal(t, want.Stages, got.Stages, what)
	require.Equal(t, want.Events, got.Events, what)
	require.Equal(t, want.final.u, got.final.u, what)
	for _, share := range []time.Duration{3, 2, 1} {
		a, b := want.At(want.Duration()/share), got.At(want.Duration()/share)
		require.Equal(t, fmt.Sprint(a.Cells()), fmt.Sprint(b.Cells()), what)
		require.Equal(t, a.skins, b.skins, what)
	}
}

// TestWetDeterminism repeats runs, alone, side by side and with one and two processors,
// watched and not, and demands the same bits.
func TestWetDeterminism(t *testing.T) {
	was := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(was)
	for seed := uint64(20); seed < 28; seed++ {
		c := drawWetCase(seed)
		first, err := c.run()
		require.NoError(t, err, "%v", c)
		for _, procs := range []int{1, 2} {
			runtime.GOMAXPROCS(procs)
			again, err := c.run()
			require.NoError(t, err)
			sameWetRun(t, first, again, fmt.Sprintf("seed %d, %d processors", seed, procs))
		}
		watched := c
		watched.settings.Watch = []Condition{When("never", func(s *State) float64 { s.Cells(); return -1 })}
		watched.settings.Progress = func(s *State) { s.Layers() }
		again, err := watched.run()
		require.NoError(t, err)
		sameWetRun(t, first, again, fmt.Sprintf("seed %d, watched", seed))
		runs := make([]*Run, 4)
		var wait sync.WaitGroup
		for i := range runs {
			wait.Go(func() { runs[i], _ = c.run() })
		}
		wait.Wait()
		for _, r := range runs {
			require.NotNil(t, r)
			sameWetRun(t, first, r, fmt.Sprintf("seed %d, side by side", seed))
		}
	}
}

// TestWetStateAgreesWithHistory: what a State says while the run goes on is what the
// run says of that moment afterwards, and its cells, layers and end agree.
func TestWetStateAgreesWithHistory(t *testing.T) {
	type seen struct {
		at                  time.Duration
		mass                float64
		temp, water, active []float64
	}
	for seed := uint64(30); seed < 38; seed++ {
		c := drawWetCase(seed)
		var live []seen
		c.settings.Progress = func(s *State) {
			v := seen{at: s.Time(), mass: s.Mass(), temp: append([]float64(nil), s.temp...)}
			for i := range s.temp {
				v.water, v.active = append(v.water, s.moist[i].water), append(v.active, s.moist[i].activity)
			}
			live = append(live, v)
		}
		run, err := c.run()
		require.NoError(t, err, "%v", c)
		require.Len(t, live, run.Stats.Steps)
		// The history is in single precision, 6e-8 of a value. In bone-dry food, and near
		// the freezing point of pure water, a temperature or activity takes up more of it.
		for k := 0; k < len(live); k += 1 + len(live)/60 {
			s := &live[k]
			then := run.At(s.at)
			require.InEpsilon(t, s.mass, then.Mass(), 1e-6, "seed %d at %v", seed, s.at)
			for i := range s.temp {
				require.InDelta(t, s.temp[i], then.temp[i], 2e-3, "seed %d, cell %d at %v", seed, i, s.at)
				require.InDelta(t, s.water[i], then.moist[i].water, 1e-6*s.water[i]+1e-6, "seed %d, cell %d at %v", seed, i, s.at)
				require.InDelta(t, s.active[i], then.moist[i].activity, 1e-4, "seed %d, cell %d at %v", seed, i, s.at)
			}
		}
		n := 0
		for s := range run.Each(run.Duration()/7 + 1) {
			if n++; n < 8 {
				require.Equal(t, fmt.Sprint(run.At(s.Time()).Cells()), fmt.Sprint(s.Cells()), "seed %d at %v", seed, s.Time())
			}
		}
		require.Equal(t, 8, n)
		end := run.End()
		require.InEpsilon(t, run.Water.End, end.Water(), 1e-12, "seed %d", seed)
		require.InEpsilon(t, run.Water.Start, run.At(0).Water(), 1e-6, "seed %d", seed)
		require.InDelta(t, run.Water.Start-run.Lost(), run.Water.End, 1e-8*run.Water.Start, "seed %d", seed)
	}
}
