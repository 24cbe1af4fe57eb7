package thermal

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// again makes dish, schedule and settings from the JSON of a run alone.
func again(t testing.TB, data []byte) (Dish, Schedule, *Settings) {
	var run struct{ Input inputJSON }
	require.NoError(t, json.Unmarshal(data, &run))
	in := &run.Input
	require.Empty(t, in.Functions, "only runs without functions of the caller's can be made again")
	d := Dish{Start: in.Start, Shape: map[string]geometry.Shape{"slab": geometry.Slab{Area: in.Shape.Area}, "half slab": geometry.HalfSlab{Area: in.Shape.Area},
		"cylinder": geometry.Cylinder{Length: in.Shape.Length}, "sphere": geometry.Sphere{},
		"finite cylinder": geometry.FiniteCylinder{Length: in.Shape.Length, Half: in.Shape.Half, Bottom: endsAgain(in.Shape.Bottom), Top: endsAgain(in.Shape.Top)},
		"roll section":    geometry.RollSection{Length: in.Shape.Length, ContactWidth: in.Shape.Contact},
		"bar":             geometry.Bar{Length: in.Shape.Length, Width: in.Shape.Width},
		"tray":            geometry.Tray{Length: in.Shape.Length, Width: in.Shape.Width}}[in.Shape.Kind]}
	for _, l := range in.Layers {
		layer := Layer{Name: l.Name, Food: foodAgain(t, l.Food), Thickness: l.Thickness, Contact: l.Contact, Cells: l.Cells}
		if l.Film != nil {
			layer.Film = &Film{Permeance: l.Film.Permeance, Holds: l.Film.Holds}
		}
		if l.Rise != nil {
			layer.Rise = &Rise{Against: RiseAgainst(indexOf(t, riseWords[:], l.Rise.Against))}
			for _, p := range l.Rise.Points {
				layer.Rise.Points = append(layer.Rise.Points, RisePoint(p))
			}
		}
		d.Layers = append(d.Layers, layer)
	}
	var schedule Schedule
	for _, s := range in.Schedule {
		stage := Stage{Name: s.Name, Medium: mediumAgain(t, s.Medium), Until: conditionAgain(t, *s.Until), Limit: duration(s.Limit)}
		for _, p := range s.Patches {
			if stage.Patches == nil {
				stage.Patches = map[geometry.Patch]Medium{}
			}
			stage.Patches[geometry.Patch(p.Patch)] = mediumAgain(t, p.Medium)
		}
		if b := s.Brush; b != nil {
			stage.Brush = &Brush{Food: foodAgain(t, b.Food), Mass: b.Mass, Temperature: b.Temperature, Patch: geometry.Patch(b.Patch)}
		}
		schedule = append(schedule, stage)
	}
	s := in.Settings
	settings := &Settings{Cells: s.Cells, CellRatio: s.CellRatio, Grading: geometry.Grading(indexOf(t, gradingWords[:], s.Grading)), Tolerance: s.Tolerance, Pressure: s.Pressure,
		Moisture: s.Moisture, MaxSteps: s.MaxSteps, MaxStep: duration(s.MaxStep)}
	for settings.IceCurve.String() != s.IceCurve {
		settings.IceCurve++
		require.LessOrEqual(t, settings.IceCurve, phasechange.IdealSolution)
	}
	for _, c := range s.Watch {
		settings.Watch = append(settings.Watch, conditionAgain(t, c))
	}
	return d, schedule, settings
}

func endsAgain(in []endInput) (out []geometry.End) {
	for _, e := range in {
		out = append(out, geometry.End(e))
	}
	return out
}

func indexOf(t testing.TB, words []string, word string) int {
	for i, w := range words {
		if w == word {
			return i
		}
	}
	require.Fail(t, "unknown word", word)
	return -1
}

func foodAgain(t testing.TB, in foodInput) materials.Food {
	f := materials.Food{Name: in.Name, Group: in.Group, FreezingPoint: in.FreezingPoint, BoundWater: in.BoundWater, Porosity: in.Porosity,
		Soak: in.Soak, Source: in.Source, Transport: (*materials.Transport)(in.Transport)}
	var err error
	f.Structure, err = materials.ParseStructure(in.Structure)
	require.NoError(t, err)
	f.FatKind, err = materials.ParseFatKind(in.FatKind)
	require.NoError(t, err)
	if in.Composition != nil {
		f.Composition = materials.Composition(*in.Composition)
	}
	var constants []float64
	words := strings.Fields(in.Isotherm)
	for i := 1; i < len(words); i++ {
		x, err := strconv.ParseFloat(words[i], 64)
		require.NoError(t, err)
		constants = append(constants, x)
	}
	switch {
	case in.Isotherm == "":
	case words[0] == "gab":
		f.Isotherm = materials.GAB(constants[0], constants[1], constants[2])
	case words[0] == "oswin":
		f.Isotherm = materials.Oswin(constants[0], constants[1])
	default:
		require.Fail(t, "unknown isotherm", in.Isotherm)
	}
	if h := in.Holding; h != nil {
		f.Holding = &materials.WaterHolding{Name: h.Name, RawWater: h.RawWater, Source: h.Source}
		for _, p := range h.Points {
			f.Holding.Points = append(f.Holding.Points, materials.HoldingPoint(p))
		}
	}
	if m := in.Measured; m != nil {
		f.Measured = &materials.Measured{Density: m.Density}
		for _, p := range m.Points {
			f.Measured.Points = append(f.Measured.Points, materials.Point(p))
		}
	}
	return f
}

func mediumAgain(t testing.TB, in *mediumInput) Medium {
	if in == nil {
		return nil
	}
	require.NotNil(t, in.Constant)
	s := Surroundings{Fluid: float64(in.Constant.Fluid), H: float64(in.Constant.H), Emissivity: float64(in.Constant.Emissivity),
		Humidity: Humidity{humidityKind(indexOf(t, humidityWords[:], in.Constant.Humidity.Kind)), float64(in.Constant.Humidity.Value)}}
	if in.Constant.Walls != nil {
		s.Walls = float64(*in.Constant.Walls)
	}
	if in.Changes == nil {
		return s
	}
	var at []time.Duration
	for _, d := range in.Changes {
		at = append(at, duration(d))
	}
	return Changing(s, at...)
}

func conditionAgain(t testing.TB, in conditionInput) Condition {
	var of []Condition
	for _, c := range in.Of {
		of = append(of, conditionAgain(t, c))
	}
	switch in.Kind {
	case "elapsed":
		return Elapsed(duration(*in.Time))
	case "above":
		return Above(placeAgain(t, in.Place), *in.Temperature)
	case "below":
		return Below(placeAgain(t, in.Place), *in.Temperature)
	case "ice gone":
		return IceGone()
	case "frozen":
		return Frozen(*in.Share)
	case "any":
		return Any(of...)
	case "all":
		return All(of...)
	}
	require.Fail(t, "unknown condition", in.Kind)
	return nil
}

func placeAgain(t testing.TB, in *placeInput) Place {
	p := Place{kind: placeKind(indexOf(t, placeWords[:], in.Kind)), layer: in.Layer}
	if in.Depth != nil {
		p.at = *in.Depth
	}
	if in.Fraction != nil {
		p.at = *in.Fraction
	}
	if in.X != nil {
		p.at, p.y = *in.X, *in.Y
	}
	if in.Patch != "" {
		p.layer = in.Patch
	}
	return p
}

// runsAgain demands of a run made from the JSON of another the same bits, and the
// same JSON.
func runsAgain(t *testing.T, run *Run, what string) {
	t.Helper()
	data, err := json.Marshal(run)
	require.NoError(t, err, what)
	d, s, settings := again(t, data)
	other, err := Simulate(context.Background(), d, s, settings)
	require.NotNil(t, other, "%s: %v", what, err)
	require.Equal(t, run.Stats, other.Stats, what)
	require.Equal(t, run.history.steps, other.history.steps, what)
	require.Equal(t, run.final, other.final, what)
	same, err := json.Marshal(other)
	require.NoError(t, err, what)
	require.True(t, bytes.Equal(data, same), "%s: not the same JSON", what)
}

// TestRunAgain has one of everything that JSON can hold.
func TestRunAgain(t *testing.T) {
	bound := 0.05
	own := materials.Food{Name: "own", Composition: materials.Composition{Water: 0.5, Protein: 0.1, Fat: 0.1, Carbohydrate: 0.25, Fibre: 0.02, Ash: 0.03, Salt: 0.01, Sugar: 0.1},
		BoundWater: &bound, FreezingPoint: -2.5, Structure: materials.OpenPores, Porosity: 0.3, FatKind: materials.Lard, Isotherm: materials.Oswin(0.12, 0.41), Soak: 2,
		Transport: &materials.Transport{Diffusivity: 1e-10, Activation: 2e4, HalfMoisture: 0.3, Permeability: 1e-12, MeltedFat: 3, Source: "invented"}}
	measured, err := materials.FromSpecificHeat("gel", 1010, []float64{-40, -1, 0, 250}, []float64{2000, 90000, 4000, 4100}, []float64{1.5, 1.2, 0.5, 0.55})
	require.NoError(t, err)
	measured.Composition.Water = 7 // of no account beside curves
	wet := Dish{Shape: geometry.Slab{Area: 0.02}, Start: ByLayer(-12.3, 4, 20), Layers: []Layer{
		{Food: materials.MustFind("beef sirloin, raw"), Thickness: 0.012, Cells: 15},
		{Name: "own", Food: own, Thickness: 0.004, Contact: 1e-3, Film: &Film{Permeance: 1e-9, Holds: 100}},
		{Food: materials.MustFind("puff pastry, raw"), Thickness: 0.003,
			Rise: &Rise{Points: []RisePoint{{40, 1}, {95, 2.5}}}}}}
	run := mustRun(t, wet, Schedule{
		{Name: "bake", Medium: FanOven(200), Patches: map[geometry.Patch]Medium{geometry.Underside: Changing(Plate(150), 3*time.Minute)},
			Brush: &Brush{Food: materials.MustFind("egg, whole, raw"), Mass: 0.05, Temperature: 8},
			Until: Any(Elapsed(7*time.Minute+1), All(Above(Within("own", 0.25), 150), Above(HottestOf("own"), 170)))},
		{Medium: Surroundings{Fluid: -20, H: 12.5, Walls: math.Inf(1), Humidity: DewPoint(-25)}, Limit: 9 * time.Hour,
			Until: All(Below(Depth(0.002), 30), Below(MeanOf("own"), 35), Below(ColdestOf("own"), 40))},
	}, &Settings{Cells: 41, Moisture: true, Tolerance: 0.1, MaxStep: 4 * time.Second, Pressure: 95e3, Grading: geometry.Uniform,
		Watch: []Condition{IceGone(), Frozen(0.3), Above(Skin(), 100), Above(Centre(), 0)}})
	runsAgain(t, run, "with moving water")

	// what was risen and brushed on is carried
	wet.Start = From(run)
	next := mustRun(t, wet, Schedule{{Medium: Room(20), Until: Elapsed(3 * time.Minute)}}, &Settings{Moisture: true, Pressure: 95e3})
	runsAgain(t, next, "from there")
	start, err := next.start()
	require.NoError(t, err)
	assert.Positive(t, start.Glaze)
	assert.NotNil(t, start.Ratio)

	dry := Dish{Shape: geometry.Cylinder{}, Start: Profile(func(x float64) float64 { return -15 + 100*x }), Layers: []Layer{
		{Food: measured, Thickness: 0.01}, {Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.003, Rise: &Rise{Against: RunTime, Points: []RisePoint{{60, 1}, {900, 2}}}}}}
	first := mustRun(t, dry, Schedule{{Medium: FanOven(230), Until: Elapsed(25 * time.Minute)}}, &Settings{Cells: 40, IceCurve: phasechange.Tchigeov})
	require.Positive(t, first.Water.Steam, "so that places begin the next run dried")
	runsAgain(t, first, "where water stands still")
	dry.Layers = append(dry.Layers, Layer{Name: "butter", Food: materials.MustFind("butter"), Thickness: 0.002})
	dry.Start = From(first).With("butter", 15)
	runsAgain(t, mustRun(t, dry, Schedule{{Medium: StillFreezer(-18), Until: Elapsed(time.Hour)}}, &Settings{Cells: 60, IceCurve: phasechange.Tchigeov}), "wrapped")
}

// TestRandomRunsAgain runs random dishes again, and goes on from them.
func TestRandomRunsAgain(t *testing.T) {
	dishes := uint64(12)
	if testing.Short() {
		dishes = 4
	}
	for seed := range dishes {
		for _, c := range []randomCase{drawCase(500 + seed), drawWetCase(500 + seed)} {
			run, err := c.run()
			require.NotNil(t, run, "%v: %v", c, err)
			runsAgain(t, run, c.String())
			c.dish.Start = From(run)
			c.settings.Cells += 7
			if next, _ := c.run(); assert.NotNil(t, next) {
				runsAgain(t, next, "on from "+c.String())
			}
		}
	}
}

// TestFunctionsAreListed: what only the caller's program knows is named, and shown
// along the run.
func TestFunctionsAreListed(t *testing.T) {
	warming := Changing(MediumFunc(func(t time.Duration) Surroundings {
		s := FanOven(100 + t.Minutes())
		s.Walls, s.Emissivity = math.NaN(), 0
		return s
	}), time.Minute)
	dish := blockOf("lamb loin, cooked", 0.02, 4)
	dish.Start = Profile(func(float64) float64 { return 7 })
	run := mustRun(t, dish, Schedule{
		{Name: "warm", Medium: warming, Until: Elapsed(10 * time.Minute)},
		{Medium: warming, Until: Elapsed(0)},
		{Medium: Room(20), Until: Any(Elapsed(time.Minute), When("the cook is back", func(*State) float64 { return -1 }))},
	}, &Settings{Watch: []Condition{When("odd", func(*State) float64 { return -1 })}, Progress: func(*State) {}})
	data, err := json.Marshal(run)
	require.NoError(t, err)
	var got struct{ Input inputJSON }
	require.NoError(t, json.Unmarshal(data, &got))
	assert.Equal(t, []string{`stage 1 ("warm"), medium`, "stage 2, medium", "stage 3, until: the cook is back", "settings, watch 1: odd"}, got.Input.Functions)
	samples := got.Input.Schedule[0].Medium.Function
	require.Len(t, samples, 61)
	assert.Equal(t, 600.0, samples[60].Time)
	assert.Equal(t, figure(110), samples[60].Fluid)
	assert.Nil(t, samples[60].Walls)
	assert.Equal(t, []float64{60}, got.Input.Schedule[0].Medium.Changes)
	assert.Len(t, got.Input.Schedule[1].Medium.Function, 1, "of a stage that took no time")
	for _, start := range got.Input.Start.Temperature {
		require.InDelta(t, 7, start, 1e-6)
	}
	for _, v := range []float64{math.NaN(), math.Inf(-1)} {
		data, err := json.Marshal(figure(v))
		require.NoError(t, err)
		assert.Equal(t, "null", string(data))
	}
	assert.NotEmpty(t, Version())
}

// TestUnfinishedRunsAgain: a run that met a limit comes to it again.
func TestUnfinishedRunsAgain(t *testing.T) {
	run, err := Simulate(context.Background(), blockOf("butter", 0.02, 4), Schedule{
		{Medium: Room(20), Until: Above(Centre(), 30), Limit: time.Hour}, {Medium: FanOven(100), Until: Elapsed(time.Minute)}}, nil)
	require.Error(t, err)
	runsAgain(t, run, "unfinished")
}

func TestCellStartRefuses(t *testing.T) {
	dish := Dish{Shape: geometry.Sphere{}, Start: Uniform(4), Layers: []Layer{{Food: materials.MustFind("butter"), Thickness: 0.02}, {Food: materials.MustFind("puff pastry, raw"), Thickness: 0.003}}}
	schedule := Schedule{{Medium: Room(20), Until: Elapsed(time.Minute)}}
	for _, settings := range []*Settings{{Cells: 12}, {Cells: 12, Moisture: true}} {
		run := mustRun(t, dish, schedule, settings)
		for what, spoil := range map[string]func(*CellStart){
			"number of peaks":       func(s *CellStart) { s.Peak = s.Peak[1:] },
			"number of energies":    func(s *CellStart) { s.Energy = nil },
			"number of ratios":      func(s *CellStart) { s.Ratio = []float64{1} },
			"place of cell 3":       func(s *CellStart) { s.X[2] *= 1.001 },
			"place of cell 1":       func(s *CellStart) { s.X[0] = math.NaN() },
			"energy of cell 12":     func(s *CellStart) { s.Energy[11] = math.Inf(1) },
			"energy of cell 11":     func(s *CellStart) { s.Energy[10] = 1e300 },
			"energy of cell 2":      func(s *CellStart) { s.Energy[1] = -1e300 },
			"energy of cell 4":      func(s *CellStart) { s.Energy[3] = -1e10 },
			"water of cell 5":       func(s *CellStart) { s.Water[4] = -1e-9 },
			"water of cell 6":       func(s *CellStart) { s.Water[5] = math.NaN() },
			"peak of cell 7":        func(s *CellStart) { s.Peak[6] = math.Inf(-1) },
			"ratio of cell 1":       func(s *CellStart) { s.Ratio = make([]float64, 12); s.Ratio[0] = 0.5 },
			"glaze":                 func(s *CellStart) { s.Glaze = math.NaN() },
			"temperature of cell 8": func(s *CellStart) { s.Temperature[7]++ },
		} {
			d := dish
			start, err := run.start()
			require.NoError(t, err)
			d.Start = start
			spoil(start)
			_, err = Simulate(context.Background(), d, schedule, settings)
			var fault *InputError
			if assert.ErrorAs(t, err, &fault, what) {
				assert.Contains(t, fault.Field, what)
				assert.Equal(t, "start", fault.Place)
			}
		}
		d := dish
		d.Start = (*CellStart)(nil)
		_, err := Simulate(context.Background(), d, schedule, settings)
		var fault *InputError
		assert.ErrorAs(t, err, &fault)
	}
}

// TestPlanesAgain does so in two dimensions.
func TestPlanesAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("many cells")
	}
	for i, d := range planeDishes(t, Uniform(-5)) {
		side := geometry.Top
		if _, round := d.Shape.(geometry.FiniteCylinder); round {
			side = geometry.Side
		}
		s := Schedule{{Medium: FanOven(180), Until: Any(Elapsed(4*time.Minute), Above(At(0.01, 0.005), 40))},
			{Medium: Room(20), Until: All(Elapsed(time.Minute), Below(SkinOf(side), 200))}}
		run := mustRun(t, d, s, &Settings{Cells: 200, CellRatio: 1.3, Moisture: i%2 == 0})
		runsAgain(t, run, d.Shape.String())
		d.Start = From(run)
		runsAgain(t, mustRun(t, d, s[:1], &run.Settings), "from there")
	}
}
