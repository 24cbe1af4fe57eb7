package geometry

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var roll = []Layer{{Name: "meat", Thickness: 0.033}, {Name: "greens", Thickness: 0.006, Contact: 1e-3}, {Name: "fat", Thickness: 0.0002}, {Name: "crust", Thickness: 0.0045, Contact: 2e-3}}

// planes are the shapes of two dimensions that the laws are held to, with the volume
// [m³] of each layer and the area [m²] of each patch in closed form.
var planes = []struct {
	shape   Shape
	volumes []float64
	areas   map[Patch]float64
}{
	{FiniteCylinder{Length: 0.2, Bottom: []End{{"crust", 0.003}}, Top: []End{{"greens", 0.004}, {"crust", 0.005}}},
		nested(func(r float64, l int) float64 {
			height := []float64{0.2, 0.204, 0.204, 0.212}
			return math.Pi * r * r * height[l]
		}, 0.033, 0.039, 0.0392, 0.0437),
		map[Patch]float64{Side: 2 * math.Pi * 0.0437 * 0.212, Underside: math.Pi * 0.0437 * 0.0437, Top: math.Pi * 0.0437 * 0.0437}},
	{FiniteCylinder{Length: 0.2, Top: []End{{"crust", 0.003}}, Half: true},
		nested(func(r float64, l int) float64 { return math.Pi * r * r * []float64{0.2, 0.2, 0.2, 0.206}[l] }, 0.033, 0.039, 0.0392, 0.0437),
		map[Patch]float64{Side: 2 * math.Pi * 0.0437 * 0.206, Ends: 2 * math.Pi * 0.0437 * 0.0437}},
	{FiniteCylinder{Length: 0.05}, // bare at both ends
		nested(func(r float64, l int) float64 { return math.Pi * r * r * 0.05 }, 0.033, 0.039, 0.0392, 0.0437),
		map[Patch]float64{Side: 2 * math.Pi * 0.0437 * 0.05, Underside: math.Pi * 0.0437 * 0.0437, Top: math.Pi * 0.0437 * 0.0437}},
	{RollSection{Length: 0.3, ContactWidth: 0.04},
		nested(func(r float64, l int) float64 { return math.Pi * r * r * 0.3 }, 0.033, 0.039, 0.0392, 0.0437),
		map[Patch]float64{Top: math.Pi * 0.0437 * 0.3, Contact: 2 * math.Asin(0.02/0.0437) * 0.0437 * 0.3,
			Side: (math.Pi - 2*math.Asin(0.02/0.0437)) * 0.0437 * 0.3}},
	{RollSection{},
		nested(func(r float64, l int) float64 { return math.Pi * r * r }, 0.033, 0.039, 0.0392, 0.0437),
		map[Patch]float64{Top: math.Pi * 0.0437, Side: math.Pi * 0.0437}},
	{Bar{Width: 0.1, Length: 0.25},
		nested(func(h float64, l int) float64 { return 2 * h * (0.1 + 2*(h-0.033)) * 0.25 }, 0.033, 0.039, 0.0392, 0.0437),
		map[Patch]float64{Top: (0.1 + 2*0.0107) * 0.25, Underside: (0.1 + 2*0.0107) * 0.25, Side: 4 * 0.0437 * 0.25}},
	{Tray{Width: 0.2},
		nested(func(h float64, l int) float64 { return h * 0.2 }, 0.033, 0.039, 0.0392, 0.0437),
		map[Patch]float64{Top: 0.2, Underside: 0.2, Rim: 2 * 0.0437}},
}

func nested(within func(x float64, l int) float64, x ...float64) (out []float64) {
	var before float64
	for l := range x {
		v := within(x[l], l)
		out, before = append(out, v-before), v
	}
	return out
}

func everyPlane(t *testing.T, f func(t *testing.T, m *Mesh, volumes []float64, areas map[Patch]float64)) {
	t.Helper()
	for _, p := range planes {
		for _, r := range []Resolution{{}, {Cells: 1, Grading: Uniform}, {Cells: 3600, Ratio: 1}, {Cells: 900, Ratio: 4, Grading: Uniform}} {
			t.Run(fmt.Sprintf("%v/%d-%d", p.shape, r.Cells, r.Grading), func(t *testing.T) {
				m, err := p.shape.Mesh(roll, r)
				require.NoError(t, err)
				require.Equal(t, 2, m.Dimensions())
				f(t, m, p.volumes, p.areas)
			})
		}
	}
}

// Law 1, layer by layer, and the areas of the patches.
func TestPlaneVolumesAndAreas(t *testing.T) {
	everyPlane(t, func(t *testing.T, m *Mesh, volumes []float64, areas map[Patch]float64) {
		got := make([]float64, len(roll))
		for i, c := range m.Cells {
			require.Greater(t, c.Volume, 0.0)
			require.True(t, c.Inner < c.Node && c.Node < c.Outer && c.From < c.Along && c.Along < c.To, "cell %d: %+v", i, c)
			got[c.Layer] += c.Volume
		}
		patches := map[Patch]float64{}
		for _, s := range m.Surfaces {
			patches[s.Patch] += s.Area
		}
		for l := range volumes {
			assert.InEpsilon(t, volumes[l], got[l], 1e-11, roll[l].Name)
		}
		require.Len(t, patches, len(areas))
		for p, a := range areas {
			assert.InEpsilon(t, a, patches[p], 1e-12, "%s", p)
		}
	})
}

// Law 2: cells stand layer by layer; between layers is a face with the contact of the
// one that comes first; and every cell knows what is on its four sides.
func TestPlaneIsWhole(t *testing.T) {
	everyPlane(t, func(t *testing.T, m *Mesh, _ []float64, _ map[Patch]float64) {
		next := 0
		for l := range roll {
			first, end := m.Span(l)
			require.Equal(t, next, first)
			for i := first; i < end; i++ {
				require.Equal(t, l, m.Cells[i].Layer)
				require.True(t, i == first || m.Cells[i].Depth >= m.Cells[i-1].Depth, "shells from inside outwards")
			}
			next = end
		}
		require.Equal(t, len(m.Cells), next)
		seen := make([]int, len(m.Faces)+len(m.Surfaces))
		symmetric := 0
		for i := range m.Cells {
			for d := range directions {
				f, s := m.Beside(i, d)
				require.True(t, f < 0 || s < 0)
				switch {
				case f >= 0:
					require.True(t, m.Faces[f].A == i || m.Faces[f].B == i)
					seen[f]++
				case s >= 0:
					require.Equal(t, i, m.Surfaces[s].Cell)
					seen[len(m.Faces)+s]++
				default:
					symmetric++
				}
			}
		}
		for i, f := range m.Faces {
			require.Equal(t, 2, seen[i])
			a, b := m.Cells[f.A].Layer, m.Cells[f.B].Layer
			require.LessOrEqual(t, a, b)
			want := 0.0
			if a != b {
				want = roll[a].Contact
			}
			require.Equal(t, want, f.Contact)
			require.True(t, f.HalfA > 0 && f.HalfB > 0 && f.Area > 0, "%+v", f)
		}
		for _, n := range seen[len(m.Faces):] {
			require.Equal(t, 1, n)
		}
		require.Equal(t, 4*len(m.Cells), 2*len(m.Faces)+len(m.Surfaces)+symmetric)
	})
}

// The middle line goes through all layers, each as thick as it is, and ends in the last
// cell and the last surface.
func TestMiddleLine(t *testing.T) {
	everyPlane(t, func(t *testing.T, m *Mesh, _ []float64, _ map[Patch]float64) {
		line := m.Line()
		at := 0.0
		for _, i := range line {
			require.Equal(t, at, m.Cells[i].Inner)
			at = m.Cells[i].Outer
		}
		var base float64
		for l := range roll {
			inner, outer := m.Through(l)
			require.InDelta(t, base, inner, 1e-15)
			base += roll[l].Thickness
			require.InDelta(t, base, outer, 1e-15)
		}
		require.Equal(t, len(m.Cells)-1, line[len(line)-1])
		require.Equal(t, len(m.Cells)-1, m.Surfaces[len(m.Surfaces)-1].Cell)
		require.Equal(t, m.Extent(), m.Surfaces[len(m.Surfaces)-1].Position)
		require.False(t, m.Surfaces[len(m.Surfaces)-1].Cut)
		require.Equal(t, roll[3].Contact, m.Surfaces[len(m.Surfaces)-1].Contact)
		p, err := m.OnLine(0.034)
		require.NoError(t, err)
		c := m.Cells[p.Cell]
		require.True(t, c.Inner <= 0.034 && 0.034 <= c.Outer && c.From <= p.Along && p.Along <= c.To)
		require.Contains(t, line, p.Cell)
		require.Equal(t, 1, c.Layer)
	})
}

// Every node is found where the section shows it; what is outside is an error.
func TestFind(t *testing.T) {
	everyPlane(t, func(t *testing.T, m *Mesh, _ []float64, _ map[Patch]float64) {
		for i := range m.Cells {
			p, err := m.Find(m.Section(i))
			require.NoError(t, err)
			require.Equal(t, i, p.Cell)
			require.InDelta(t, m.Cells[i].Node, p.X, 1e-14)
			require.InDelta(t, m.Cells[i].Along, p.Along, 1e-12)
		}
		for _, at := range [][2]float64{{-0.01, 0}, {1, 0}, {0, 1}, {0, -1}, {math.NaN(), 0}, {0, math.NaN()}, {math.Inf(1), 0}} {
			_, err := m.Find(at[0], at[1])
			require.Error(t, err, "%v", at)
			assert.Equal(t, m.Shape.String(), allErrors(t, err)[0].Place)
		}
	})
}

// Cut surfaces carry nothing of what lies on the last layer.
func TestCutSurfaces(t *testing.T) {
	everyPlane(t, func(t *testing.T, m *Mesh, _ []float64, _ map[Patch]float64) {
		_, tray := m.Shape.(Tray)
		require.Equal(t, tray, m.TwoFaced())
		for _, s := range m.Surfaces {
			want := m.Cells[s.Cell].Layer != 3 || tray && s.Patch != Top
			require.Equal(t, want, s.Cut)
			require.Equal(t, want, s.Contact == 0)
		}
	})
}

// Law 3: between neighbours the resistances are those of straight lines, of logarithms
// and of arcs, exactly.
func TestPlaneResistances(t *testing.T) {
	everyPlane(t, func(t *testing.T, m *Mesh, _ []float64, _ map[Patch]float64) {
		for _, f := range m.Faces {
			a, b := m.Cells[f.A], m.Cells[f.B]
			n, wide := math.Abs(b.Node-a.Node), a.To-a.From
			across := a.Outer == b.Inner || b.Outer == a.Inner
			if across && a.Along != b.Along {
				across = false
			}
			var want float64
			switch s := m.Shape.(type) {
			case FiniteCylinder:
				both := 1.0
				if s.Half {
					both = 2
				}
				if across {
					if math.Max(a.Outer, b.Outer) <= 0.033*(1+1e-12) {
						continue // law 4
					}
					if math.Min(a.Inner, b.Inner) < 0.033*(1-1e-12) {
						continue // half of it
					}
					want = math.Abs(math.Log(b.Node/a.Node)) / (2 * math.Pi * wide * both)
				} else {
					want = math.Abs(b.Along-a.Along) / (math.Pi * (a.Outer*a.Outer - a.Inner*a.Inner) * both)
				}
			case RollSection:
				length := 2 * orOne(s.Length)
				switch {
				case across && math.Min(a.Inner, b.Inner) < 0.033*(1-1e-12):
					continue
				case across:
					want = math.Abs(math.Log(b.Node/a.Node)) / (wide * length)
				case a.Outer > 0.033*(1+1e-12):
					want = math.Abs(b.Along-a.Along) / (length * math.Log(a.Outer/a.Inner))
				default:
					continue
				}
			default:
				length := 0.5
				if _, tray := s.(Tray); tray {
					length = 2
				}
				if across {
					want = n / (wide * length)
				} else {
					want = math.Abs(b.Along-a.Along) / ((a.Outer - a.Inner) * length)
				}
			}
			require.InEpsilon(t, want, f.HalfA+f.HalfB, 1e-9, "%+v\n%+v\n%+v", f, a, b)
		}
	})
}

func TestPlaneFaults(t *testing.T) {
	cylinder := func(ends ...End) FiniteCylinder { return FiniteCylinder{Length: 0.1, Top: ends} }
	cases := []struct {
		shape    Shape
		quantity string
		r        Resolution
	}{
		{FiniteCylinder{}, "length [m]", Resolution{}},
		{FiniteCylinder{Length: math.NaN()}, "length [m]", Resolution{}},
		{cylinder(End{"meat", 0.01}), "layer at an end", Resolution{}},
		{cylinder(End{"", 0.01}), "layer at an end", Resolution{}},
		{cylinder(End{"crust", 0.01}, End{"greens", 0.01}), "layer at an end", Resolution{}},
		{cylinder(End{"crust", 0.01}, End{"crust", 0.01}), "layer at an end", Resolution{}},
		{cylinder(End{"crust", -1}), "thickness at an end [m]", Resolution{}},
		{cylinder(make([]End, 100)...), "layers at an end", Resolution{}},
		{FiniteCylinder{Length: 0.1, Bottom: []End{{"crust", 0.01}}, Half: true}, "layers at the bottom", Resolution{}},
		{Bar{}, "width [m]", Resolution{}},
		{Bar{Width: 0.1, Length: -1}, "length [m]", Resolution{}},
		{Tray{Width: math.Inf(1)}, "width [m]", Resolution{}},
		{RollSection{ContactWidth: 0.1}, "width of the contact [m]", Resolution{}},
		{RollSection{ContactWidth: math.NaN()}, "width of the contact [m]", Resolution{}},
		{RollSection{ContactWidth: -0.1}, "width of the contact [m]", Resolution{}},
		{RollSection{Length: math.NaN()}, "length [m]", Resolution{}},
		{Bar{Width: 0.1}, "ratio of cells", Resolution{Ratio: math.NaN()}},
		{Bar{Width: 0.1}, "cells", Resolution{Cells: MaxCells + 1}},
	}
	for _, c := range cases {
		m, err := c.shape.Mesh(roll, c.r)
		require.Error(t, err, "%v", c.shape)
		assert.Nil(t, m)
		faults := allErrors(t, err)
		require.Len(t, faults, 1, "%v", err)
		assert.Equal(t, c.quantity, faults[0].Quantity, "%v", c.shape)
		assert.Contains(t, err.Error(), "geometry: ")
	}
	many := make([]Layer, MaxLayers)
	for i := range many {
		many[i].Thickness = 0.001
	}
	_, err := Bar{Width: 0.1}.Mesh(many, Resolution{})
	require.Error(t, err)
	assert.Equal(t, "cells", allErrors(t, err)[0].Quantity, "three cells a layer either way are too many")
	_, err = Bar{Width: 0.1}.Mesh(nil, Resolution{})
	require.Error(t, err)
}

// The mesh keeps its own copy of the ends.
func TestMeshDoesNotAliasItsEnds(t *testing.T) {
	ends := []End{{"crust", 0.003}}
	m, err := FiniteCylinder{Length: 0.1, Top: ends}.Mesh(roll, Resolution{})
	require.NoError(t, err)
	name := m.Shape.String()
	ends[0].Thickness = 7
	assert.Equal(t, name, m.Shape.String())
}

// A dish that is the same above and below has a mesh that is, to the bit; and its upper
// half is the mesh of the half.
func TestSymmetricMesh(t *testing.T) {
	ends := []End{{"crust", 0.003}}
	for _, s := range []Shape{FiniteCylinder{Length: 0.1, Top: ends, Bottom: ends}, Bar{Width: 0.05}} {
		m, err := s.Mesh(roll, Resolution{Cells: 1234})
		require.NoError(t, err)
		for i, c := range m.Cells {
			x, y := m.Section(i)
			p, err := m.Find(x, -y)
			require.NoError(t, err)
			other := m.Cells[p.Cell]
			ox, oy := m.Section(p.Cell)
			require.Equal(t, [2]float64{x, -y}, [2]float64{ox, oy})
			require.InEpsilon(t, c.Volume, other.Volume, 1e-12)
			require.Equal(t, c.Layer, other.Layer)
			require.Equal(t, c.Depth, other.Depth)
		}
	}
}

// Whatever the layers, all resistances of a round section stay above zero.
func TestRandomRolls(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		layers := make([]Layer, 1+rng.IntN(4))
		for i := range layers {
			layers[i].Thickness = math.Pow(10, -4+3*rng.Float64())
		}
		r := Resolution{Cells: 1 + rng.IntN(3000), Ratio: math.Pow(10, 2*rng.Float64()-1), Grading: Grading(rng.IntN(2))}
		m, err := RollSection{}.Mesh(layers, r)
		require.NoError(t, err)
		for _, f := range m.Faces {
			require.True(t, f.HalfA > 0 && f.HalfB > 0 && f.HalfA < math.Inf(1) && f.HalfB < math.Inf(1), "%+v %+v %+v", layers, r, f)
		}
	}
}
