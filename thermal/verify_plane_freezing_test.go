package thermal

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// A body that freezes from two sides more than a slab of its least dimension does so in
// the slab's time over E, its equivalent heat transfer dimensionality. In the terms of
// Cleland, Cleland & Earle (1987) as ASHRAE Refrigeration has them, from memory, with β
// the other dimension over the least one D, and Bi = h D/ks:
//
//	rod 1 + E1,  squat cylinder 1 + 2 E1,  short cylinder 2 + E2
//	E1 = X/β + (1-X) 0.73/β^2.5,  E2 = X/β + (1-X) 0.50/β^3.69
//	X = 2.32 β^-1.77/(Bi^1.34 + 2.32 β^-1.77)
//
// Stated accuracy about 10 % (from memory).
type shapeFactor struct {
	food                     materials.Food
	shape                    string
	least, ratio             float64 // [m], [-]
	h, start, ambient, until float64 // [W/(m² K)], [°C]
	biot                     float64
	printed                  float64 // E as the file has it
}

// fitted is E by the formulas.
func (f *shapeFactor) fitted() float64 {
	x := 2.32 * math.Pow(f.ratio, -1.77)
	x /= math.Pow(f.biot, 1.34) + x
	e1 := x/f.ratio + (1-x)*0.73*math.Pow(f.ratio, -2.5)
	switch f.shape {
	case "rod":
		return 1 + e1
	case "squat cylinder":
		return 1 + 2*e1
	}
	return 2 + x/f.ratio + (1-x)*0.50*math.Pow(f.ratio, -3.69)
}

// quasiSteady is E of a front that moves so slowly that only latent heat counts (Plank's
// assumptions): times go with u, how warm an even source keeps the centre at steady state.
// With lengths over the half thickness or radius R of a long body, b the distance of its
// ends from the middle, and B = h R/k
//
//	∇²u = -1, du/dn = -B u:  u(0) = s(0) - Σ cn/ζn² B/(ζn sinh ζn b + B cosh ζn b)
//
// where s is that of the long body and cn, ζn are those of its series. Hossain, Cleland &
// Cleland (1992) have their geometric factors from it (from memory; derived here).
func (f *shapeFactor) quasiSteady() float64 {
	k, half, other := f.conductivity(), f.least/2, f.ratio*f.least/2
	slab := half * half * (0.5 + k/(f.h*half))
	var long geometry.Shape = geometry.HalfSlab{}
	n, r, end := 1.0, half, other // of the long body: its dimensions, and how far its end is
	if f.shape != "rod" {
		long, n = geometry.Cylinder{}, 2
	}
	if f.shape == "squat cylinder" {
		r, end = other, half
	}
	biot, b := f.h*r/k, end/r
	s := newSeries(long, biot, 40)
	u := (0.5 + 1/biot) / n
	for i, z := range s.zeta { // by exp(-ζ b), lest cosh overflows
		e := math.Exp(-z * b)
		u -= s.cn[i] / (z * z) * biot * 2 * e / (z*(1-e*e) + biot*(1+e*e))
	}
	return slab / (u * r * r)
}

func (f *shapeFactor) conductivity() float64 { return f.h * f.least / f.biot }

func (f *shapeFactor) String() string {
	return fmt.Sprintf("%s, β %g, Bi %.3g", f.shape, f.ratio, f.biot)
}

// run freezes a shape whose layer is as thick as given [m].
func (f *shapeFactor) run(t testing.TB, s geometry.Shape, thickness float64, set Settings) *Run {
	run := simulate(t, one(s, f.food, thickness, Uniform(f.start)),
		Schedule{{Medium: Surroundings{Fluid: f.ambient, H: f.h}, Until: Below(Centre(), f.until)}}, set)
	require.LessOrEqual(t, run.Energy.Relative, 1e-8)
	return run
}

func (f *shapeFactor) slab(t testing.TB, set Settings) *Run {
	return f.run(t, geometry.HalfSlab{}, f.least/2, set)
}

// body is the shape itself, and how many cells it has over half of its least dimension.
func (f *shapeFactor) body(t testing.TB, set Settings) (run *Run, across int) {
	half, other := f.least/2, f.ratio*f.least
	switch f.shape {
	case "rod":
		run = f.run(t, geometry.Bar{Width: other}, half, set)
	case "short cylinder":
		run = f.run(t, geometry.FiniteCylinder{Length: other, Half: true}, half, set)
	case "squat cylinder":
		run = f.run(t, geometry.FiniteCylinder{Length: f.least, Half: true}, other/2, set)
		return run, len(run.model.mesh.Row(0))
	default:
		require.Fail(t, "no such shape", f.shape)
	}
	return run, len(run.model.mesh.Line())
}

// shapeFactors reads testdata/shape-factors, with the foods of freezing-and-thawing-times.
func shapeFactors(t testing.TB) (out []shapeFactor) {
	t.Helper()
	foods := map[string]row{}
	for _, r := range table(t, "freezing-and-thawing-times/properties.csv") {
		foods[r["food"]] = r
	}
	for _, r := range table(t, "shape-factors/factors.csv") {
		p, known := foods[r["food"]]
		require.True(t, known, r["food"])
		f := shapeFactor{food: freezing(t, p), shape: r["shape"], least: r.number(t, "least") / 1e3, ratio: r.number(t, "ratio"), h: r.number(t, "h"),
			start: r.number(t, "start"), ambient: r.number(t, "ambient"), until: r.number(t, "end"), printed: r.number(t, "e")}
		f.biot = f.h * f.least / p.number(t, "k_frozen")
		out = append(out, f)
	}
	return out
}

func table(t testing.TB, file string) (out []row) {
	t.Helper()
	f, err := os.Open("../testdata/" + file)
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 1)
	for _, l := range lines[1:] {
		r := row{}
		for i, v := range l {
			r[lines[0][i]] = v
		}
		out = append(out, r)
	}
	return out
}

// freezing is a food of the published properties, whose latent heat is set free between
// the freezing point and -10 °C as that of an ideal solution, and whose conductivity goes
// with the ice.
func freezing(t testing.TB, p row) materials.Food {
	t.Helper()
	const density, coldest = 1000.0, -60.0
	tf, ks, kl := p.number(t, "freezing_point"), p.number(t, "k_frozen"), p.number(t, "k_unfrozen")
	cs, cl := 1e6*p.number(t, "c_frozen")/density, 1e6*p.number(t, "c_unfrozen")/density
	latent := 1e6 * p.number(t, "latent") / density / (1 + tf/10)
	var points []materials.Point
	const n = 300
	for i := range 2 * n {
		at := tf / (float64(i-n)/n*0.5 + 0.5) // the nearer half of the ice by shares
		if i < n {
			at = coldest + (2*tf-coldest)*(1-math.Pow(1-float64(i)/n, 3)) // the rest by temperature
		}
		ice := 1 - tf/at
		points = append(points, materials.Point{T: at, Enthalpy: cs*(at-tf) - latent*ice, Conductivity: ks + (kl-ks)*(1-ice)})
	}
	points = append(points, materials.Point{T: tf, Conductivity: kl}, materials.Point{T: 100, Enthalpy: cl * (100 - tf), Conductivity: kl})
	return measured(t, density, points)
}

// The times to a centre of -10 °C in two dimensions stand to those of a slab as the
// published shape factors say. Both are on even cells of one size, whose error all but
// drops out: four times the cells change E by less than 1 %.
func TestShapeFactorsOfFreezing(t *testing.T) {
	if testing.Short() {
		t.Skip("many cells")
	}
	factors := shapeFactors(t)
	require.Len(t, factors, 28)
	for _, f := range factors {
		t.Run(f.String(), func(t *testing.T) {
			require.InDelta(t, f.printed, f.fitted(), 0.6e-4, "the file has what the formulas give")
			body, across := f.body(t, Settings{Cells: 600, Grading: geometry.Uniform})
			slab := f.slab(t, Settings{Cells: across, Grading: geometry.Uniform})
			e, fitted, slow := seconds(slab.Duration())/seconds(body.Duration()), f.fitted(), f.quasiSteady()
			t.Logf("E %.3f, fitted %.3f (%+.1f %%), quasi-steady %.3f (%+.1f %%), %.3f h", e, fitted, 100*(e/fitted-1), slow, 100*(e/slow-1), body.Duration().Hours())
			assert.InEpsilon(t, fitted, e, 0.10)
			assert.InEpsilon(t, slow, e, 0.10)
			assert.Greater(t, e, 1.0, "what is cold on more sides is not slower")
		})
	}
}

// On the default cells freezing takes a long flat rod within a few thousandths of what it
// takes a slab on fine ones, where it freezes hard (Bi 20) to a centre of -10 °C. (With the
// conductivity of each cell on its half of a face it was 1.7 % late.)
func TestFreezingOnDefaultCells(t *testing.T) {
	if testing.Short() {
		t.Skip("many cells")
	}
	f := shapeFactors(t)[11]
	require.Equal(t, "rod, β 4, Bi 20", f.String())
	exact := seconds(f.slab(t, Settings{Cells: 400}).Duration())
	body, _ := f.body(t, Settings{})
	late := seconds(body.Duration())/exact - 1
	t.Logf("%.2f %% late, %d cells", 100*late, len(body.model.mesh.Cells))
	assert.Less(t, math.Abs(late), 0.005)
}

// With all but no sensible heat a body freezes as Plank assumes, and its factor is the
// quasi-steady one. Half of the default tolerance: the square rod then freezes in 144
// steps, at the default in 88 and 0.3 % late.
func TestSlowFreezingHasTheQuasiSteadyFactor(t *testing.T) {
	if testing.Short() {
		t.Skip("many cells")
	}
	food := melting(t, 1000, 1.65, 10, 1.65, 10, 209e3, 0.4)
	for _, f := range shapeFactors(t) {
		if f.ratio > 1.5 || f.biot < 10 {
			continue
		}
		f.food, f.start, f.until = food, 0.3, -0.3
		body, across := f.body(t, Settings{Cells: 900, Grading: geometry.Uniform, Tolerance: defaultTolerance / 2})
		slab := f.slab(t, Settings{Cells: across, Grading: geometry.Uniform})
		e, slow := seconds(slab.Duration())/seconds(body.Duration()), f.quasiSteady()
		t.Logf("%v: E %.4f, quasi-steady %.4f (%+.2f %%)", &f, e, slow, 100*(e/slow-1))
		assert.InEpsilon(t, slow, e, 1e-3)
	}
}
