package geometry

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// steady solves the steady state of cells first.. of a mesh by a dense matrix:
// node temperatures [°C] with a heat source [W] in a cell and convection h
// [W/(m² K)] to air [°C] outside. held, if not NaN, is the temperature of the
// inner face of cell first.
func steady(t *testing.T, m *Mesh, first int, k []float64, source map[int]float64, held, h, air float64) []float64 {
	t.Helper()
	n := len(m.Cells) - first
	a, b := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	kOf := func(i int) float64 { return k[m.Cells[i].Layer] }
	link := func(i int, g, to float64) { // from a cell to a fixed temperature
		a.Set(i-first, i-first, a.At(i-first, i-first)+g)
		b.SetVec(i-first, b.AtVec(i-first)+g*to)
	}
	for _, f := range m.Faces {
		if f.B == first && !math.IsNaN(held) {
			link(f.B, kOf(f.B)/f.HalfB, held)
		}
		if f.A < first {
			continue
		}
		g := 1 / (f.HalfA/kOf(f.A) + f.HalfB/kOf(f.B) + f.Contact/f.Area)
		i, j := f.A-first, f.B-first
		a.Set(i, i, a.At(i, i)+g)
		a.Set(j, j, a.At(j, j)+g)
		a.Set(i, j, a.At(i, j)-g)
		a.Set(j, i, a.At(j, i)-g)
	}
	s := m.Surfaces[len(m.Surfaces)-1]
	link(s.Cell, 1/(s.Half/kOf(s.Cell)+s.Contact/s.Area+1/(h*s.Area)), air)
	for i, q := range source {
		b.SetVec(i-first, b.AtVec(i-first)+q)
	}
	var x mat.VecDense
	require.NoError(t, x.SolveVec(a, b))
	return x.RawVector().Data
}

func value(t *testing.T, file, column, key string) float64 {
	t.Helper()
	f, err := os.Open("../testdata/solver-solutions/" + file)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for i, name := range rows[0] {
		if name != column {
			continue
		}
		for _, r := range rows[1:] {
			if r[0] == key {
				v, err := strconv.ParseFloat(r[i], 64)
				require.NoError(t, err)
				return v
			}
		}
	}
	require.Fail(t, "no such value", "%s %s %s", file, column, key)
	return 0
}

// testdata/solver-solutions/composite-cylinder.csv: 60 °C held at 0.030 m, two
// layers, convection. The temperatures at every node are those of the logarithm,
// whatever the mesh.
func TestSteadyCompositeCylinder(t *testing.T) {
	get := func(quantity string) float64 { return value(t, "composite-cylinder.csv", "value", quantity) }
	const h, air, held = 25.0, 200.0, 60.0
	k := []float64{1, 0.45, 0.12}
	layers := []Layer{{Thickness: 0.030}, {Thickness: 0.005}, {Thickness: 0.005}}
	r := []float64{math.Log(0.035/0.030) / (2 * math.Pi * 0.45), math.Log(0.040/0.035) / (2 * math.Pi * 0.12), 1 / (2 * math.Pi * 0.040 * h)}
	for i, name := range []string{"resistance of the inner layer", "resistance of the outer layer", "resistance of the surface"} {
		assert.InDelta(t, get(name), r[i], 0.6e-6)
	}
	flow := (air - held) / (r[0] + r[1] + r[2])
	assert.InDelta(t, get("heat flow"), flow, 0.6e-3)
	assert.InDelta(t, get("temperature at 0.035 m"), held+flow*r[0], 0.6e-3)
	assert.InDelta(t, get("temperature at 0.040 m"), held+flow*(r[0]+r[1]), 0.6e-3)
	for _, res := range []Resolution{{Cells: 9}, {Cells: 60}, {Cells: 60, Grading: Uniform}, {Cells: 300}} {
		m, err := Cylinder{}.Mesh(layers, res)
		require.NoError(t, err)
		first, _ := m.Span(1)
		temps := steady(t, m, first, k, nil, held, h, air)
		worst := 0.0
		for i, got := range temps {
			c := m.Cells[first+i]
			want := held + flow*math.Log(c.Node/0.030)/(2*math.Pi*0.45)
			if c.Layer == 2 {
				want = held + flow*(r[0]+math.Log(c.Node/0.035)/(2*math.Pi*0.12))
			}
			worst = math.Max(worst, math.Abs(got-want))
		}
		inner := m.Faces[first-1]
		q := (temps[0] - held) * k[1] / inner.HalfB
		t.Logf("%d cells: heat flow off by %.1e relative, nodes by %.1e K", len(m.Cells), q/flow-1, worst)
		assert.InEpsilon(t, flow, q, 1e-10)
		assert.LessOrEqual(t, worst, 1e-9)
	}
}

// A heat source at the centre of every shape, three layers and contact: closed
// resistances in series from each node out, but for the innermost layer of curved
// shapes, through which no steady heat passes in a dish (law 4).
func TestSteadySourceThroughContacts(t *testing.T) {
	const h, air, power = 12.0, -18.0, 40.0
	k := []float64{0.5, 0.05, 1.7}
	layers := []Layer{{Thickness: 0.02, Contact: 3e-3}, {Thickness: 0.0005, Contact: 1e-2}, {Thickness: 0.01, Contact: 5e-3}}
	for _, s := range shapes {
		for _, res := range []Resolution{{Cells: 12}, {Cells: 90}, {Cells: 90, Grading: Uniform}} {
			m, err := s.Mesh(layers, res)
			require.NoError(t, err)
			temps := steady(t, m, 0, k, map[int]float64{0: power}, math.NaN(), h, air)
			outer := m.Extent()
			base := []float64{0, 0.02, 0.02 + 0.0005, outer}
			for i, got := range temps {
				c := m.Cells[i]
				if c.Layer == 0 && !m.Flat() {
					continue
				}
				want := air + power*(1/(h*areaAt(s, outer))+layers[2].Contact/areaAt(s, outer))
				for l := 2; l > c.Layer; l-- {
					want += power * (shellResistance(s, base[l], base[l+1], k[l]) + layers[l-1].Contact/areaAt(s, base[l]))
				}
				want += power * shellResistance(s, c.Node, base[c.Layer+1], k[c.Layer])
				require.InEpsilon(t, want+300, got+300, 1e-10, "%v cell %d", s, i)
			}
		}
	}
}
