package thermal

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// A short round piece in an oven of 180 °C: its centre after an hour is 66.658 °C, the
// product of the series of cylinder and slab as a separate program computed them.
func TestShortRoundPieceInTheOven(t *testing.T) {
	const (
		radius, half       = 0.04, 0.075
		k, cp, density     = 0.5, 3500.0, 1050.0
		h, ti, ta, seconds = 20.0, 5.0, 180.0, 3600.0
		want               = 66.658
		alpha              = k / (density * cp)
	)
	a, b := newSeries(geometry.Cylinder{}, h*radius/k, 40), newSeries(geometry.HalfSlab{}, h*half/k, 40)
	series := ta + (ti-ta)*a.at(0, alpha*seconds/radius/radius)*b.at(0, alpha*seconds/half/half)
	assert.InDelta(t, want, series, 0.6e-3)
	food := measured(t, density, []materials.Point{{T: -100, Enthalpy: -100 * cp, Conductivity: k}, {T: 300, Enthalpy: 300 * cp, Conductivity: k}})
	for _, shape := range []geometry.Shape{geometry.FiniteCylinder{Length: 2 * half}, geometry.FiniteCylinder{Length: 2 * half, Half: true}} {
		run := simulate(t, one(shape, food, radius, Uniform(ti)), convecting(Surroundings{Fluid: ta, H: h}, seconds), Settings{})
		got := at(t, run, Centre(), seconds)
		t.Logf("%v: centre %.3f °C, off by %.4f %% of the difference", shape, got, 100*(got-want)/(ta-ti))
		assert.InDelta(t, want, got, 1e-3*(ta-ti))
	}
}

// Bread bakes at its ends too. The longer it is, the nearer its middle slice comes to the
// endless loaf, in temperature and in water, and both ends together give off what they do
// whatever the length.
func TestShortLoafBakesAtItsEnds(t *testing.T) {
	if testing.Short() {
		t.Skip("many cells")
	}
	dough, err := materials.Find("bread dough, proofed")
	require.NoError(t, err)
	const radius, n = 0.03, 20
	bake := func(s geometry.Shape, cells int) *Run {
		run := simulate(t, one(s, dough, radius, Uniform(25)), Schedule{{Medium: FanOven(200), Until: Elapsed(20 * time.Minute)}},
			Settings{Moisture: true, Cells: cells, CellRatio: 1, Grading: geometry.Uniform})
		assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
		assert.LessOrEqual(t, run.Water.Relative, 1e-8)
		return run
	}
	lost := func(r *Run) float64 { return r.At(0).Mass() - r.End().Mass() }
	read := func(r *Run, p Place) (temperature, water float64) {
		temperature, err := r.End().Temperature(p)
		require.NoError(t, err)
		water, _, err = r.End().Content(p)
		require.NoError(t, err)
		return temperature, water
	}
	long := bake(geometry.Cylinder{}, n)
	_, raw := read(long, Centre())
	before, ends := math.Inf(1), []float64{}
	for _, length := range []float64{0.04, 0.06, 0.12, 0.24} {
		run := bake(geometry.FiniteCylinder{Length: length, Half: true}, n*n)
		require.Len(t, run.model.mesh.Line(), n)
		var hotter, drier float64
		for _, p := range []Place{Centre(), Depth(0.01), Depth(0.004), Depth(0.001), Skin()} {
			t1, w1 := read(long, p)
			t2, w2 := read(run, p)
			hotter, drier = math.Max(hotter, math.Abs(t2-t1)), math.Max(drier, math.Abs(w2-w1))
		}
		ends = append(ends, lost(run)-length*lost(long))
		_, crust := read(run, At(0, length/2))
		_, side := read(run, Skin())
		activity, err := run.End().Activity(SkinOf(geometry.Ends))
		require.NoError(t, err)
		t.Logf("%3.0f cm: middle slice within %.3f K and %.4f of the long one, both ends give off %.2f g; water of end %.3f, side %.3f, middle %.3f; energy %.1e, water %.1e",
			100*length, hotter, drier, 1e3*ends[len(ends)-1], crust, side, raw, run.Energy.Relative, run.Water.Relative)
		assert.Less(t, hotter, before)
		before = hotter
		assert.Less(t, activity, Crispness)
		assert.Less(t, crust, raw/3)
		if length == 0.24 {
			assert.Less(t, hotter, 0.05)
			assert.Less(t, drier, 2e-3)
		}
	}
	for _, e := range ends {
		assert.InEpsilon(t, ends[len(ends)-1], e, 0.1)
	}
}
