package geometry

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Law 1, and that every cell's volume, faces and node are where they belong.
func TestVolumesAndFaces(t *testing.T) {
	everyMesh(t, func(t *testing.T, m *Mesh) {
		extent := m.Extent()
		var thick float64
		for _, l := range m.Layers {
			thick += l.Thickness
		}
		assert.InEpsilon(t, thick, extent, 1e-14)
		assert.InEpsilon(t, volumeWithin(m.Shape, extent), m.Volume(), 1e-12)
		require.Len(t, m.Faces, len(m.Cells)-1)
		assert.Zero(t, m.Cells[0].Inner)
		whole := m.Volume()
		for i, c := range m.Cells {
			require.Less(t, c.Inner, c.Outer, "cell %d", i)
			require.Greater(t, c.Node, c.Inner, "cell %d", i)
			require.Less(t, c.Node, c.Outer, "cell %d", i)
			require.Greater(t, c.Volume, 0.0)
			// the difference of two volumes has the rounding of the larger
			require.InDelta(t, volumeWithin(m.Shape, c.Outer)-volumeWithin(m.Shape, c.Inner), c.Volume, 1e-14*whole, "cell %d", i)
			if i > 0 {
				f := m.Faces[i-1]
				require.Equal(t, m.Cells[i-1].Outer, c.Inner)
				require.Equal(t, [2]int{i - 1, i}, [2]int{f.A, f.B})
				require.Equal(t, c.Inner, f.Position)
				require.InEpsilon(t, areaAt(m.Shape, f.Position), f.Area, 1e-14)
			}
		}
	})
}

// Law 2: interfaces are faces, to the bit, and only they have contact.
func TestInterfacesAreFaces(t *testing.T) {
	everyMesh(t, func(t *testing.T, m *Mesh) {
		var base float64
		next := 0
		for l, layer := range m.Layers {
			first, end := m.Span(l)
			require.Equal(t, next, first)
			require.GreaterOrEqual(t, end-first, 3, "layer %d", l)
			if layer.Cells > 0 {
				assert.Equal(t, layer.Cells, end-first)
			}
			require.Equal(t, base, m.Cells[first].Inner)
			base += layer.Thickness
			require.Equal(t, base, m.Cells[end-1].Outer)
			for i := first; i < end; i++ {
				require.Equal(t, l, m.Cells[i].Layer)
				if i < len(m.Faces) {
					want := 0.0
					if i == end-1 {
						want = layer.Contact
					}
					require.Equal(t, want, m.Faces[i].Contact)
				}
			}
			next = end
		}
		require.Equal(t, len(m.Cells), next)
		_, end := m.Span(len(m.Layers))
		assert.Equal(t, len(m.Cells), end, "a layer that is not there spans nothing")
	})
}

// The outer surfaces: their patches, areas, cells and half resistances.
func TestSurfaces(t *testing.T) {
	want := map[string][]Patch{"geometry.Slab": {Underside, Top}, "geometry.HalfSlab": {Outside}, "geometry.Cylinder": {Side}, "geometry.Sphere": {Outside}}
	everyMesh(t, func(t *testing.T, m *Mesh) {
		var patches []Patch
		for _, s := range m.Surfaces {
			patches = append(patches, s.Patch)
			c := m.Cells[s.Cell]
			assert.InEpsilon(t, areaAt(m.Shape, s.Position), s.Area, 1e-14)
			if s.Patch == Underside {
				assert.Zero(t, s.Cell)
				assert.Zero(t, s.Position)
				assert.Zero(t, s.Contact)
				assert.InEpsilon(t, shellResistance(m.Shape, 0, c.Node, 1), s.Half, 1e-12)
				continue
			}
			assert.Equal(t, len(m.Cells)-1, s.Cell)
			assert.Equal(t, m.Extent(), s.Position)
			assert.Equal(t, m.Layers[len(m.Layers)-1].Contact, s.Contact)
			// ln(x1/x0) of a thin cell has the rounding of x1/x0, which is near 1
			rounding := 1e-14 * s.Position / (s.Position - c.Node)
			want := shellResistance(m.Shape, c.Node, s.Position, 1)
			if c.Layer == 0 && !m.Flat() { // law 4
				want = (s.Position*s.Position - c.Node*c.Node) / (2 * s.Position * s.Area)
			}
			assert.InEpsilon(t, want, s.Half, 1e-12+rounding)
		}
		assert.Equal(t, want[fmt.Sprintf("%T", m.Shape)], patches)
		_, twoFaced := m.Shape.(Slab)
		_, half := m.Shape.(HalfSlab)
		assert.Equal(t, twoFaced || half, m.Flat())
	})
}

// Law 3: the resistances from the first node to the outer surface add up to
// those of the shells, layer by layer, with contact. In curved shapes the
// innermost layer follows law 4 instead.
func TestSteadyResistancesAreExact(t *testing.T) {
	conductivity := []float64{0.48, 0.11, 0.17, 2.3}
	everyMesh(t, func(t *testing.T, m *Mesh) {
		k := func(cell int) float64 { return conductivity[m.Cells[cell].Layer] }
		var got, want float64
		half := func(cell int, h float64) float64 {
			if m.Cells[cell].Layer == 0 && !m.Flat() {
				return 0
			}
			return h / k(cell)
		}
		for _, f := range m.Faces {
			got += half(f.A, f.HalfA) + half(f.B, f.HalfB) + f.Contact/f.Area
		}
		last := m.Surfaces[len(m.Surfaces)-1]
		got += half(last.Cell, last.Half) + last.Contact/last.Area
		x := m.Cells[0].Node
		var base float64
		for l, layer := range m.Layers {
			base += layer.Thickness
			if l == 0 && !m.Flat() {
				want += layer.Contact / areaAt(m.Shape, base)
				x = base
				continue
			}
			want += shellResistance(m.Shape, x, base, conductivity[l]) + layer.Contact/areaAt(m.Shape, base)
			x = base
		}
		assert.InDelta(t, want, got, 1e-11*want)
	})
}

// Law 4: an even heat source in a single layer makes a parabola, exact at every
// node, whatever the cell count.
func TestParabolaIsExact(t *testing.T) {
	const k, q, radius = 0.45, 3e4, 0.04
	for shape, n := range map[Shape]float64{Cylinder{}: 2, Sphere{}: 3} {
		for _, r := range []Resolution{{Cells: 3}, {Cells: 40}, {Cells: 40, Grading: Uniform}, {Cells: 400}} {
			m, err := shape.Mesh([]Layer{{Thickness: radius}}, r)
			require.NoError(t, err)
			s := m.Surfaces[0]
			flow := q * m.Volume()
			temp := flow * s.Half / k // of the last node above the surface
			for i := len(m.Cells) - 1; i >= 0; i-- {
				node := m.Cells[i].Node
				require.InEpsilon(t, q*(radius*radius-node*node)/(2*n*k), temp, 1e-9, "%v, cell %d of %d", shape, i, len(m.Cells))
				if i > 0 {
					f := m.Faces[i-1]
					flow -= q * m.Cells[i].Volume
					temp += flow * (f.HalfA + f.HalfB) / k
				}
			}
		}
	}
}

// Law 4: the node is where the parabola x² takes its mean over the cell (in a
// flat cell the mean of x itself, which serves a line and a parabola alike to
// second order).
func TestNodes(t *testing.T) {
	everyMesh(t, func(t *testing.T, m *Mesh) {
		for i, c := range m.Cells {
			a, b := c.Inner, c.Outer
			var want float64
			switch m.Shape.(type) {
			case Cylinder: // ∫x³/∫x
				want = math.Sqrt((a*a + b*b) / 2)
			case Sphere: // ∫x⁴/∫x² by Simpson's rule in thin shells, closed in thick ones
				if (b-a)/b > 1e-3 {
					want = math.Sqrt(3 * (math.Pow(b, 5) - math.Pow(a, 5)) / (5 * (math.Pow(b, 3) - math.Pow(a, 3))))
				} else {
					mid := (a + b) / 2
					want = math.Sqrt((math.Pow(a, 4) + 4*math.Pow(mid, 4) + math.Pow(b, 4)) / (a*a + 4*mid*mid + b*b))
				}
			default:
				want = (a + b) / 2
			}
			require.InEpsilon(t, want, c.Node, 1e-12, "cell %d", i)
		}
	})
}

// The graded cell size follows a + distance to the nearest graded face, which
// is what its definition says; the centre of a mirrored shape is none.
func TestGrading(t *testing.T) {
	const thickness = 0.04
	a := coarseness * thickness
	for _, s := range shapes {
		m, err := s.Mesh([]Layer{{Thickness: thickness}}, Resolution{Cells: 300})
		require.NoError(t, err)
		_, slab := s.(Slab)
		size := func(c Cell) float64 { return c.Outer - c.Inner }
		outermost := m.Cells[299]
		for i, c := range m.Cells {
			mid := (c.Inner + c.Outer) / 2
			distance := thickness - mid
			if slab {
				distance = math.Min(mid, distance)
			}
			if slab && i > 147 && i < 152 {
				continue // the kink in the middle
			}
			require.InEpsilon(t, (a+distance)/(a+(thickness-(outermost.Inner+outermost.Outer)/2)), size(c)/size(outermost), 1e-3, "%v cell %d", s, i)
		}
		m, err = s.Mesh([]Layer{{Thickness: thickness}}, Resolution{Cells: 300, Grading: Uniform})
		require.NoError(t, err)
		for _, c := range m.Cells {
			require.InEpsilon(t, thickness/300, size(c), 1e-10)
		}
	}
}

// A slab of equal layers on both sides has a symmetric mesh.
func TestSlabSymmetry(t *testing.T) {
	l := Layer{Thickness: 0.003}
	for _, g := range []Grading{Graded, Uniform} {
		m, err := Slab{}.Mesh([]Layer{l, {Thickness: 0.02}, l}, Resolution{Cells: 101, Grading: g})
		require.NoError(t, err)
		n, extent := len(m.Cells), m.Extent()
		first, end := m.Span(0)
		_, last := m.Span(2)
		if lastFirst, _ := m.Span(2); end-first != last-lastFirst {
			continue // an odd cell went to one of the two
		}
		for i, c := range m.Cells {
			assert.InDelta(t, extent-c.Outer, m.Cells[n-1-i].Inner, 1e-16+1e-13*extent)
		}
	}
}

func TestLocate(t *testing.T) {
	everyMesh(t, func(t *testing.T, m *Mesh) {
		for i, c := range m.Cells {
			for _, x := range []float64{c.Node, c.Outer, math.Nextafter(c.Inner, 1)} {
				got, err := m.Locate(x)
				require.NoError(t, err)
				require.Equal(t, i, got, "x %v", x)
			}
		}
		got, err := m.Locate(0)
		require.NoError(t, err)
		assert.Zero(t, got)
		got, err = m.Locate(m.Extent() * (1 + 1e-13))
		require.NoError(t, err, "rounding at the surface is forgiven")
		assert.Equal(t, len(m.Cells)-1, got)
		for _, x := range []float64{-1e-9, m.Extent() * 1.001, math.NaN(), math.Inf(1), math.Inf(-1)} {
			_, err := m.Locate(x)
			require.Error(t, err)
			assert.Equal(t, m.Shape.String(), allErrors(t, err)[0].Place)
		}
	})
}

func TestVolumeBelow(t *testing.T) {
	everyMesh(t, func(t *testing.T, m *Mesh) {
		for i, c := range m.Cells {
			require.Zero(t, m.VolumeBelow(i, c.Inner))
			require.Equal(t, c.Volume, m.VolumeBelow(i, c.Outer))
			require.Zero(t, m.VolumeBelow(i, 0))
			require.Equal(t, c.Volume, m.VolumeBelow(i, m.Extent()))
			x := c.Inner + 0.3*(c.Outer-c.Inner)
			share := (volumeWithin(m.Shape, x) - volumeWithin(m.Shape, c.Inner)) / (volumeWithin(m.Shape, c.Outer) - volumeWithin(m.Shape, c.Inner))
			require.InDelta(t, share, m.VolumeBelow(i, x)/c.Volume, 1e-8, "cell %d", i)
		}
	})
}
