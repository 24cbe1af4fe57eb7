package thermal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// Two and three layers with contact between two media: a run to the steady
// state gives the closed heat flow and interface temperatures.
//
//	q = ΔT / (1/h1 + Σ (d/k + contact) + 1/h2)
func TestSteadyCompositeSlab(t *testing.T) {
	type layer struct{ d, k, contact float64 }
	cases := map[string][]layer{
		"two layers":          {{0.004, 0.45, 0}, {0.006, 0.12, 0}},
		"two with contact":    {{0.004, 0.45, 2e-2}, {0.006, 0.12, 0}},
		"three and a wrapper": {{0.003, 0.2, 1e-3}, {0.0001, 2.2, 5e-3}, {0.005, 0.5, 3e-3}},
	}
	const hBelow, below, hAbove, above = 80.0, 150.0, 12.0, -20.0
	for name, layers := range cases {
		for _, g := range []geometry.Grading{geometry.Graded, geometry.Uniform} {
			d := Dish{Shape: geometry.Slab{}, Start: Uniform(20)}
			resistance := 1/hBelow + 1/hAbove
			for i, l := range layers {
				resistance += l.d/l.k + l.contact
				d.Layers = append(d.Layers, Layer{Name: string(rune('a' + i)), Food: constant(t, 2000, l.k), Thickness: l.d, Contact: l.contact})
			}
			s := Schedule{{Medium: Surroundings{Fluid: above, H: hAbove}, Until: Elapsed(duration(20 * hour)),
				Patches: map[geometry.Patch]Medium{geometry.Underside: Surroundings{Fluid: below, H: hBelow}}}}
			run := simulate(t, d, s, Settings{Cells: 60, Grading: g})
			end := run.End()
			q := (below - above) / resistance
			in := hBelow * (below - end.skins[0])
			last := layers[len(layers)-1] // its wrapper is outside of the skin
			out := (end.skins[1] - above) / (last.contact + 1/hAbove)
			t.Logf("%s, grading %d: flow in off by %.1e, out by %.1e relative, %v", name, g, in/q-1, out/q-1, run.Stats)
			assert.InEpsilon(t, q, in, 1e-8)
			assert.InEpsilon(t, q, out, 1e-8)
			at := below - q/hBelow
			for i, l := range layers {
				inner, err := end.Temperature(Within(d.Layers[i].Name, 0))
				require.NoError(t, err)
				assert.InDelta(t, at, inner, 1e-7, "%s, inner face of layer %d", name, i+1)
				at -= q * l.d / l.k
				outer, err := end.Temperature(Within(d.Layers[i].Name, 1))
				require.NoError(t, err)
				assert.InDelta(t, at, outer, 1e-7, "%s, outer face of layer %d", name, i+1)
				at -= q * l.contact
			}
		}
	}
}

// testdata/solver-solutions/composite-cylinder.csv through the whole solver. The
// core is held at 60 °C by a heat capacity so large that it takes up the heat of
// an hour within 1e-7 K, and conducts so well that it has one temperature.
func TestSteadyCompositeCylinder(t *testing.T) {
	get := map[string]float64{}
	for _, r := range solutions(t, "composite-cylinder.csv") {
		get[r["quantity"]] = r.number(t, "value")
	}
	d := Dish{Shape: geometry.Cylinder{}, Start: ByLayer(60, 60, 60), Layers: []Layer{
		{Name: "core", Food: constant(t, 1e13, 1e12), Thickness: 0.030, Cells: 3},
		{Name: "inner", Food: constant(t, 2000, 0.45), Thickness: 0.005},
		{Name: "outer", Food: constant(t, 2000, 0.12), Thickness: 0.005},
	}}
	run := simulate(t, d, convecting(Surroundings{Fluid: 200, H: 25}, 5*hour), Settings{Cells: 60, Tolerance: 1e-3})
	r := []float64{math.Log(0.035/0.030) / (2 * math.Pi * 0.45), math.Log(0.040/0.035) / (2 * math.Pi * 0.12), 1 / (2 * math.Pi * 0.040 * 25)}
	want := 140 / (r[0] + r[1] + r[2])
	skin := at(t, run, Skin(), 5*hour)
	flow := 2 * math.Pi * 0.040 * 25 * (200 - skin)
	t.Logf("heat flow %.6f W/m, off by %.1e relative; core %.10f °C", flow, flow/want-1, at(t, run, Centre(), 5*hour))
	assert.InEpsilon(t, want, flow, 1e-8)
	assert.InDelta(t, get["heat flow"], flow, 0.6e-3)
	assert.InDelta(t, get["temperature at 0.035 m"], at(t, run, Within("inner", 1), 5*hour), 0.6e-3)
	assert.InDelta(t, get["temperature at 0.040 m"], skin, 0.6e-3)
	assert.InDelta(t, 60+want*r[0], at(t, run, Within("inner", 1), 5*hour), 1e-6)
}

// Steady conduction with k of temperature has a closed form by Kirchhoff's
// transform θ(T) = ∫ k dT: the flow is the difference of θ between the surfaces
// over the thickness, and θ is linear in between.
//
// The flow is that on any mesh, but for the steps of the measured curve of k; so are the
// temperatures of the nodes. Between them k is read as straight over temperature, which
// is exact where it is and of order 2 where it is curved.
func TestSteadyKirchhoff(t *testing.T) {
	const (
		thickness     = 0.01
		hBelow, below = 300.0, 180.0
		hAbove, above = 40.0, -20.0
	)
	laws := map[string]struct{ k, theta func(T float64) float64 }{
		"straight": {func(T float64) float64 { return 0.2 + 0.01*(T+20) }, func(T float64) float64 { return 0.2*T + 0.005*(T+20)*(T+20) }},
		"curved":   {func(T float64) float64 { return 0.05 * math.Exp((T+20)/50) }, func(T float64) float64 { return 2.5 * math.Exp((T+20)/50) }},
	}
	for name, law := range laws {
		var points []materials.Point
		for i := range 4001 {
			T := -20 + float64(i)/20
			points = append(points, materials.Point{T: T, Enthalpy: 2000 * T, Conductivity: law.k(T)})
		}
		food := measured(t, 1000, points)
		// the flow whose two surface temperatures carry it
		flow := bisect(func(q float64) float64 {
			return law.theta(below-q/hBelow) - law.theta(above+q/hAbove) - q*thickness
		}, 1, 6900)
		hot := below - flow/hBelow
		middle := bisect(func(T float64) float64 { return law.theta(hot) - flow*thickness/2 - law.theta(T) }, above, below)
		for _, n := range []int{4, 10, 40} {
			d := one(geometry.Slab{}, food, thickness, Uniform(20))
			s := Schedule{{Medium: Surroundings{Fluid: above, H: hAbove}, Until: Elapsed(duration(10 * hour)),
				Patches: map[geometry.Patch]Medium{geometry.Underside: Surroundings{Fluid: below, H: hBelow}}}}
			run := simulate(t, d, s, Settings{Cells: n, Grading: geometry.Uniform, Tolerance: 1e-3})
			end := run.End()
			in, out := hBelow*(below-end.skins[0]), hAbove*(end.skins[1]-above)
			assert.InEpsilon(t, in, out, 1e-8, "steady")
			off := math.Abs(at(t, run, Centre(), 10*hour) - middle)
			t.Logf("%s k, %d cells: flow off by %.1e relative, middle by %.1e K", name, n, in/flow-1, off)
			if name == "straight" {
				assert.LessOrEqual(t, math.Abs(in/flow-1), 1e-9)
				assert.LessOrEqual(t, off, 1e-8)
			} else {
				assert.LessOrEqual(t, math.Abs(in/flow-1), 1e-7)
				assert.LessOrEqual(t, off, 0.02/float64(n*n))
			}
		}
	}
}
