package thermal

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

func rollLayers(t testing.TB) []Layer {
	t.Helper()
	food := func(name string) materials.Food {
		f, err := materials.Find(name)
		require.NoError(t, err)
		return f
	}
	return []Layer{
		{Name: "meat", Food: food("lamb loin, cooked"), Thickness: 0.033},
		{Name: "greens", Food: food("spinach, cooked"), Thickness: 0.006},
		{Name: "crust", Food: food("puff pastry, raw"), Thickness: 0.0045},
	}
}

var wrapped = []geometry.End{{Layer: "greens", Thickness: 0.006}, {Layer: "crust", Thickness: 0.0045}}

// planeDishes are a dish of every shape of two dimensions.
func planeDishes(t testing.TB, start Start) []Dish {
	var out []Dish
	for _, s := range []geometry.Shape{
		geometry.FiniteCylinder{Length: 0.15, Bottom: wrapped[1:], Top: wrapped},
		geometry.FiniteCylinder{Length: 0.15, Top: wrapped, Half: true},
		geometry.RollSection{ContactWidth: 0.03},
		geometry.Bar{Width: 0.1},
		geometry.Tray{Width: 0.2},
	} {
		out = append(out, Dish{Shape: s, Layers: rollLayers(t), Start: start})
	}
	return out
}

// Linear fields are read exactly where they are known, and places are where they should
// be.
func TestPlacesInTwoDimensions(t *testing.T) {
	for _, d := range planeDishes(t, nil) {
		up := func(_, y float64) float64 { return 20 + 100*y }
		if s, ok := d.Shape.(geometry.FiniteCylinder); ok && s.Half {
			up = func(_, y float64) float64 { return 20 + 500*y*y }
		}
		d.Start = ProfileXY(up)
		run := simulate(t, d, Schedule{{Medium: Insulated(), Until: Elapsed(time.Second)}}, Settings{Cells: 900})
		s := run.At(0)
		read := func(p Place) float64 {
			v, err := s.Temperature(p)
			require.NoError(t, err, "%v", p)
			return v
		}
		const thick = 0.0435
		lineUp := true
		centre := 20.0
		switch d.Shape.(type) {
		case geometry.FiniteCylinder:
			lineUp = false
		case geometry.Tray:
			centre = 20 + 100*thick/2
		}
		assert.InDelta(t, centre, read(Centre()), 0.02, "%v", d.Shape)
		for _, depth := range []float64{0.002, 0.01, 0.02} {
			want := 20.0
			if lineUp {
				want = 20 + 100*(thick-depth)
			}
			assert.InDelta(t, want, read(Depth(depth)), 0.02, "%v, depth %g", d.Shape, depth)
		}
		for _, at := range [][2]float64{{0.001, 0.02}, {0.01, 0.01}, {0.02, 0.0203}} {
			assert.InDelta(t, up(at[0], at[1]), read(At(at[0], at[1])), 0.02, "%v, %v", d.Shape, at)
		}
		assert.InDelta(t, read(Within("greens", 1)), read(Within("crust", 0)), 0.05)
		for _, l := range []string{"meat", "greens", "crust"} {
			assert.LessOrEqual(t, read(ColdestOf(l)), read(MeanOf(l)))
			assert.LessOrEqual(t, read(MeanOf(l)), read(HottestOf(l)))
		}
		for _, bad := range []Place{At(1, 0), At(-0.01, 0), At(math.NaN(), 0), SkinOf("lid"), Depth(1), Within("meat", 2), MeanOf("x")} {
			_, err := s.Temperature(bad)
			var unknown *UnknownPlaceError
			require.ErrorAs(t, err, &unknown, "%v", bad)
		}
		for _, f := range run.model.mesh.Surfaces {
			_, err := s.Temperature(SkinOf(f.Patch))
			require.NoError(t, err)
			_, _, err = s.Content(SkinOf(f.Patch))
			require.NoError(t, err)
			_, err = s.Activity(SkinOf(f.Patch))
			require.NoError(t, err)
		}
	}
	flat := Dish{Shape: geometry.Slab{}, Layers: rollLayers(t), Start: Uniform(5)}
	_, err := Simulate(context.Background(), flat, Schedule{{Medium: Room(20), Until: Above(At(0, 0), 7)}}, nil)
	var input *InputError
	require.ErrorAs(t, err, &input)
}

// A dish that is the same above and below, in the same medium, stays so.
func TestSymmetryInTwoDimensions(t *testing.T) {
	for _, s := range []geometry.Shape{geometry.FiniteCylinder{Length: 0.12, Bottom: wrapped, Top: wrapped}, geometry.Bar{Width: 0.08}} {
		d := Dish{Shape: s, Layers: rollLayers(t), Start: Uniform(-20)}
		run := simulate(t, d, Schedule{{Medium: FanOven(220), Until: Elapsed(20 * time.Minute)}}, Settings{Cells: 900})
		end, m := run.End(), run.model.mesh
		var worst float64
		for i := range end.temp {
			x, y := m.Section(i)
			p, err := m.Find(x, -y)
			require.NoError(t, err)
			worst = math.Max(worst, math.Abs(end.temp[i]-end.temp[p.Cell]))
		}
		t.Logf("%v: %.1e K, energy %.1e, water %.1e, %v", s, worst, run.Energy.Relative, run.Water.Relative, run.Stats)
		assert.LessOrEqual(t, worst, 1e-6)
		assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
		assert.LessOrEqual(t, run.Water.Relative, 1e-8)
	}
}

// Half a cylinder is the whole.
func TestHalfCylinderIsTheWhole(t *testing.T) {
	s := Schedule{{Medium: FanOven(200), Until: Elapsed(15 * time.Minute)}}
	whole := simulate(t, Dish{Shape: geometry.FiniteCylinder{Length: 0.12, Bottom: wrapped, Top: wrapped}, Layers: rollLayers(t), Start: Uniform(4)}, s, Settings{Cells: 1200, CellRatio: 0.75})
	half := simulate(t, Dish{Shape: geometry.FiniteCylinder{Length: 0.12, Top: wrapped, Half: true}, Layers: rollLayers(t), Start: Uniform(4)}, s, Settings{Cells: 600, CellRatio: 1.5})
	assert.InEpsilon(t, whole.End().Mass(), half.End().Mass(), 1e-6)
	for _, p := range []Place{Centre(), Skin(), Depth(0.01), Depth(0.02), MeanOf("meat"), MeanOf("greens"), MeanOf("crust")} {
		a, err := whole.End().Temperature(p)
		require.NoError(t, err)
		b, err := half.End().Temperature(p)
		require.NoError(t, err)
		assert.InDelta(t, a, b, 0.02, "%v", p)
	}
}

// Patches meet their own media, wet or dry, and the accounts stay whole.
func TestPatchesInTwoDimensions(t *testing.T) {
	for _, d := range planeDishes(t, Uniform(-18)) {
		for _, moisture := range []bool{false, true} {
			patches := map[geometry.Patch]Medium{}
			switch d.Shape.(type) {
			case geometry.RollSection:
				patches[geometry.Contact] = Plate(180)
			case geometry.Tray:
				patches[geometry.Underside], patches[geometry.Rim] = Plate(180), Insulated()
			case geometry.Bar:
				patches[geometry.Underside] = Plate(180)
			}
			run := simulate(t, d, Schedule{{Medium: FanOven(220), Patches: patches, Until: Elapsed(6 * time.Minute)}}, Settings{Cells: 300, Moisture: moisture})
			t.Logf("%v, %v: %d cells, energy %.1e, water %.1e, %v", d.Shape, moisture, len(run.model.mesh.Cells), run.Energy.Relative, run.Water.Relative, run.Stats)
			assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
			assert.LessOrEqual(t, run.Water.Relative, 1e-8)
			crust := run.End().Crust(Crispness)
			assert.True(t, crust.Thickness >= 0 && crust.Thickness < 0.0435)
			assert.False(t, math.IsNaN(crust.Water))
		}
		_, err := Simulate(context.Background(), d, Schedule{{Medium: Room(20), Patches: map[geometry.Patch]Medium{"lid": Room(30)}, Until: Elapsed(time.Second)}}, nil)
		var input *InputError
		require.ErrorAs(t, err, &input)
		assert.Equal(t, "patch", input.Field)
	}
}

// What two dimensions do not have is said, with the place.
func TestRefusedInTwoDimensions(t *testing.T) {
	d := planeDishes(t, Uniform(5))[3]
	s := Schedule{{Medium: Room(20), Until: Elapsed(time.Second)}}
	field := func(d Dish) string {
		_, err := Simulate(context.Background(), d, s, nil)
		var input *InputError
		require.ErrorAs(t, err, &input)
		return input.Field
	}
	rising := d
	rising.Layers = rollLayers(t)
	rising.Layers[2].Rise = &Rise{Points: []RisePoint{{At: 90, Ratio: 2}}}
	assert.Equal(t, "rise", field(rising))
	profile := d
	profile.Start = Profile(func(float64) float64 { return 5 })
	assert.Equal(t, "profile", field(profile))
	flat := d
	flat.Shape, flat.Start = geometry.Slab{}, ProfileXY(func(_, _ float64) float64 { return 5 })
	assert.Equal(t, "profile", field(flat))
	earlier := simulate(t, Dish{Shape: geometry.Cylinder{}, Layers: rollLayers(t), Start: Uniform(5)}, s, Settings{})
	d.Start = From(earlier)
	assert.Equal(t, "shape", field(d))
	wide := simulate(t, planeDishes(t, Uniform(5))[3], s, Settings{})
	d.Shape, d.Start = geometry.Bar{Width: 0.2}, From(wide)
	assert.Equal(t, "shape", field(d))
	_, err := Simulate(context.Background(), planeDishes(t, Uniform(5))[0], s, &Settings{CellRatio: math.NaN()})
	require.Error(t, err)
}

// A dish goes on as it was left, on the same cells to rounding, on others with all of its
// energy and water, and with layers added outside.
func TestChainInTwoDimensions(t *testing.T) {
	bake := Schedule{{Medium: FanOven(220), Until: Elapsed(8 * time.Minute)}}
	still := Schedule{{Medium: Insulated(), Until: Elapsed(time.Millisecond)}}
	for _, d := range planeDishes(t, Uniform(-18)) {
		run := simulate(t, d, bake, Settings{Cells: 400})
		d.Start = From(run)
		same := simulate(t, d, still, Settings{Cells: 400})
		a, b := run.End(), same.At(0)
		for i := range a.temp {
			require.InDelta(t, a.temp[i], b.temp[i], 3e-5) // the history is single precision
		}
		finer := simulate(t, d, still, Settings{Cells: 1500, CellRatio: 0.8}).At(0)
		left, found := held(run.model, run.contents()), held(finer.model, started(t, d, finer.model))
		for l := range left {
			assert.InEpsilon(t, left[l][0], found[l][0], 1e-12, "water of layer %d", l)
			assert.InEpsilon(t, left[l][1], found[l][1], 1e-12, "energy of layer %d", l)
		}
		assert.InEpsilon(t, a.Ice(), finer.Ice(), 0.01)
		for _, p := range []Place{Centre(), Depth(0.02), MeanOf("meat")} {
			x, err := a.Temperature(p)
			require.NoError(t, err)
			y, err := finer.Temperature(p)
			require.NoError(t, err)
			assert.InDelta(t, x, y, 0.7, "%v, %v", d.Shape, p)
		}
		field, err := same.Grid().Carry(run.Grid(), run.Peaks(), 0)
		require.NoError(t, err)
		for i, v := range run.Peaks() {
			require.InDelta(t, v, field[i], 1e-9)
		}
	}
	// meat is cooked bare, then wrapped, ends and all
	meat := Dish{Shape: geometry.FiniteCylinder{Length: 0.15}, Layers: rollLayers(t)[:1], Start: Uniform(5)}
	cooked := simulate(t, meat, Schedule{{Medium: WaterBath(60), Until: Elapsed(10 * time.Minute)}}, Settings{Cells: 400})
	roll := Dish{Shape: geometry.FiniteCylinder{Length: 0.15, Bottom: wrapped, Top: wrapped}, Layers: rollLayers(t), Start: From(cooked).With("greens", 4).With("crust", 2)}
	s := simulate(t, roll, still, Settings{Cells: 900}).At(0)
	for layer, want := range map[string]float64{"greens": 4, "crust": 2} {
		got, err := s.Temperature(MeanOf(layer))
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-3)
	}
	x, err := cooked.End().Temperature(MeanOf("meat"))
	require.NoError(t, err)
	y, err := s.Temperature(MeanOf("meat"))
	require.NoError(t, err)
	assert.InDelta(t, x, y, 0.01)
	// from the shorter meat a longer roll cannot be made
	roll.Shape = geometry.FiniteCylinder{Length: 0.16, Bottom: wrapped, Top: wrapped}
	_, err = Simulate(context.Background(), roll, still, nil)
	var input *InputError
	require.ErrorAs(t, err, &input)
	assert.Equal(t, `layer 1 ("meat")`, input.Place)
}

// The share of a layer above a limit is that of the plane through the field.
func TestAboveInTwoDimensions(t *testing.T) {
	for _, d := range planeDishes(t, Uniform(5)) {
		run := simulate(t, d, Schedule{{Medium: Room(20), Until: Elapsed(time.Second)}}, Settings{Cells: 900})
		m, g := run.model.mesh, run.Grid()
		up := make([]float64, g.Len())
		for i := range up {
			_, up[i] = m.Section(i)
		}
		share, rim, err := g.Above("meat", up, 0.01)
		require.NoError(t, err)
		var want float64
		switch s := d.Shape.(type) {
		case geometry.FiniteCylinder:
			want = 0.5 - 0.01/0.15
			if s.Half {
				want = 1 - 0.01/0.075
			}
			assert.Equal(t, 0.0, rim)
		case geometry.RollSection:
			h := 0.01 / 0.033
			want = (math.Acos(h) - h*math.Sqrt(1-h*h)) / math.Pi
			assert.InDelta(t, 0.023, rim, 1e-4)
		case geometry.Bar:
			want = 0.5 - 0.01/0.066
			assert.InDelta(t, 0.023, rim, 1e-9)
		case geometry.Tray:
			want = 1 - 0.01/0.033
			assert.InDelta(t, 0.023, rim, 1e-9)
		}
		assert.InDelta(t, want, share, 2e-3, "%v", d.Shape)
		at, err := g.Read(At(0.02, 0.012), up)
		require.NoError(t, err)
		assert.InDelta(t, 0.012, at, 1e-4, "%v", d.Shape)
		all, _, err := g.Above("meat", up, -1)
		require.NoError(t, err)
		assert.Equal(t, 1.0, all)
	}
	// in one cell: mean 0.1, changing by 1 and by 0.5
	assert.InDelta(t, 0.6, shareAbove(0.1, 1, 0.5), 1e-12)
	assert.InDelta(t, 0.5, shareAbove(0, -1, 0.5), 1e-12)
	assert.InDelta(t, 0.5*0.1*0.2, shareAbove(-0.65, 1, 0.5), 1e-12)
	assert.InDelta(t, 1-0.5*0.1*0.2, shareAbove(0.65, 0.5, -1), 1e-12)
	assert.Equal(t, 1.0, shareAbove(1, 0, 0))
	assert.Equal(t, 0.0, shareAbove(-1, 0, 0))
}

// started is what a dish begins with.
func started(t *testing.T, d Dish, m *model) *contents {
	c := newContents(len(m.mesh.Cells))
	require.Empty(t, d.Start.fill(m, c))
	return c
}

// held sums water [kg] and energy [J] by layer.
func held(m *model, c *contents) [][2]float64 {
	sum := make([][2]float64, len(m.names))
	for i, cell := range m.mesh.Cells {
		sum[cell.Layer][0] += cell.Volume * c.water[i]
		sum[cell.Layer][1] += cell.Volume * c.u[i]
	}
	return sum
}

// Whatever the dish: no panic, no failure, and the accounts stay whole.
func TestRandomDishesInTwoDimensions(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 7))
	between := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, rng.Float64()) }
	count := 100
	if testing.Short() {
		count = 20
	}
	for n := range count {
		layers := rollLayers(t)[:1+rng.IntN(3)]
		for i := range layers {
			layers[i].Thickness = between(0.0005, 0.03)
			layers[i].Contact = float64(rng.IntN(2)) * between(1e-4, 1e-2)
			if rng.IntN(3) == 0 {
				layers[i].Film = &Film{Permeance: between(1e-10, 1e-7), Holds: between(1, 1e4)}
			}
		}
		var ends []geometry.End
		for _, l := range layers[1:] {
			if rng.IntN(2) == 0 {
				ends = append(ends, geometry.End{Layer: l.Name, Thickness: between(0.0005, 0.01)})
			}
		}
		length := between(0.01, 0.3)
		shape := []geometry.Shape{
			geometry.FiniteCylinder{Length: length, Bottom: ends}, geometry.FiniteCylinder{Length: length, Top: ends, Half: true},
			geometry.RollSection{ContactWidth: float64(rng.IntN(2)) * layers[0].Thickness}, geometry.Bar{Width: length}, geometry.Tray{Width: length},
		}[n%5]
		d := Dish{Shape: shape, Layers: layers, Start: Uniform(-25 + 45*rng.Float64())}
		media := []Medium{FanOven(between(80, 260)), WaterBath(between(40, 90)), BlastFreezer(-between(20, 40)), Plate(between(60, 220))}
		s := Schedule{
			{Medium: media[rng.IntN(4)], Patches: map[geometry.Patch]Medium{[]geometry.Patch{geometry.Side, geometry.Ends, geometry.Contact, geometry.Top, geometry.Rim}[n%5]: media[rng.IntN(4)]}, Until: Elapsed(3 * time.Minute)},
			{Medium: Room(20), Until: Elapsed(time.Minute)}}
		if c, ok := shape.(geometry.RollSection); ok && c.ContactWidth == 0 {
			s[0].Patches = nil
		}
		set := Settings{Cells: 20 + rng.IntN(200), Moisture: rng.IntN(2) == 0}
		run, err := Simulate(context.Background(), d, s, &set)
		require.NoError(t, err, "dish %d: %v %+v", n, shape, layers)
		require.LessOrEqual(t, run.Energy.Relative, 1e-8, "dish %d", n)
		require.LessOrEqual(t, run.Water.Relative, 1e-8, "dish %d", n)
		for i, c := range run.End().Cells() {
			require.False(t, math.IsNaN(c.Temperature), "dish %d, cell %d", n, i)
		}
		_, _, err = run.PeakAbove("meat", 30)
		require.NoError(t, err)
	}
}

// Muscle lets go of juice that the layer around it takes up as far as it has room, brushed
// on is what covers a whole patch, and the water is accounted for.
func TestJuiceAndBrushInTwoDimensions(t *testing.T) {
	layers := rollLayers(t)[:2]
	raw, err := materials.Find("lamb loin, raw")
	require.NoError(t, err)
	layers[0].Food = raw
	layers[0].Thickness = 0.01
	layers[1].Food.Soak = 25
	egg, err := materials.Find("egg, whole, raw")
	require.NoError(t, err)
	for _, d := range []Dish{
		{Shape: geometry.FiniteCylinder{Length: 0.04, Top: []geometry.End{{Layer: "greens", Thickness: 0.003}}, Half: true}, Layers: layers, Start: Uniform(15)},
		{Shape: geometry.Bar{Width: 0.03}, Layers: layers, Start: Uniform(15)},
	} {
		run := simulate(t, d, Schedule{{Medium: FanOven(180), Brush: &Brush{Food: egg, Mass: 0.1, Temperature: 10}, Until: Above(Centre(), 65)}}, Settings{Cells: 200, Moisture: true})
		juice := run.Juices()[0]
		t.Logf("%v: %.2f %% juice, drip %.2g kg, water %.1e, %v", d.Shape, 100*juice.Share, run.Water.Drip, run.Water.Relative, run.Stats)
		assert.Greater(t, juice.Share, 0.02)
		assert.Less(t, run.Water.Drip, 0.1*juice.Mass, "the greens have room for all but a little dew")
		assert.LessOrEqual(t, run.Water.Relative, 1e-8)
		assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
		var area float64
		top := run.model.mesh.Surfaces[len(run.model.mesh.Surfaces)-1].Patch
		for _, f := range run.model.mesh.Surfaces {
			if f.Patch == top {
				area += f.Area
			}
		}
		assert.InEpsilon(t, 0.1*area*egg.Composition.Water/egg.Composition.Sum(), run.Water.Brushed, 1e-12)
	}
}
