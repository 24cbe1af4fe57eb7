package geometry

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func evenly(n int, ratio float64) []float64 {
	r := make([]float64, n)
	for i := range r {
		r[i] = ratio
	}
	return r
}

// thickened lays m out with the given ratios, in a clone of it.
func thickened(m *Mesh, ratio []float64) *Mesh {
	to := m.Clone()
	m.Thicken(ratio, to)
	return to
}

// What has not risen is laid out as it was, to the last bit: a run of a dish that
// could rise and does not is that of one that cannot.
func TestThickenByOneChangesNoBit(t *testing.T) {
	everyMesh(t, func(t *testing.T, m *Mesh) {
		to := thickened(m, evenly(len(m.Cells), 1))
		require.True(t, slices.Equal(m.Cells, to.Cells), "cells")
		require.True(t, slices.Equal(m.Faces, to.Faces), "faces")
		require.True(t, slices.Equal(m.Surfaces, to.Surfaces), "surfaces")
	})
	rng := rand.New(rand.NewPCG(1, 2))
	for range 1500 { // differences of places that round are rare
		var layers []Layer
		for range 1 + rng.IntN(4) {
			layers = append(layers, Layer{Thickness: 0.0005 + 0.03*rng.Float64()})
		}
		m, err := shapes[rng.IntN(len(shapes))].Mesh(layers, Resolution{Cells: 12 + rng.IntN(100)})
		require.NoError(t, err)
		require.True(t, slices.Equal(m.Cells, thickened(m, evenly(len(m.Cells), 1)).Cells), "%v of %v", m.Shape, layers)
	}
}

// One ratio for all cells makes the dish similar to what it was: lengths go with the
// ratio, areas with its power in the number of dimensions less one, and resistances
// with length over area. Volumes count the material and stay.
func TestThickenEvenly(t *testing.T) {
	everyMesh(t, func(t *testing.T, m *Mesh) {
		for _, ratio := range []float64{1.5, 4, 20} {
			to := thickened(m, evenly(len(m.Cells), ratio))
			area := math.Pow(ratio, m.power-1)
			resistance := ratio / area
			require.InEpsilon(t, m.Extent()*ratio, to.Extent(), 1e-12)
			for i, c := range m.Cells {
				r := to.Cells[i]
				require.Equal(t, c.Layer, r.Layer)
				require.Equal(t, c.Volume, r.Volume)
				require.InDelta(t, c.Inner*ratio, r.Inner, 1e-12*m.Extent()*ratio)
				require.InEpsilon(t, c.Node*ratio, r.Node, 1e-9)
			}
			for i, f := range m.Faces {
				r := to.Faces[i]
				require.Equal(t, []any{f.A, f.B, f.Contact}, []any{r.A, r.B, r.Contact})
				require.InEpsilon(t, f.Area*area, r.Area, 1e-11)
				require.InEpsilon(t, f.Position*ratio, r.Position, 1e-11)
				// a film of a micrometre around half a metre has ten digits left
				require.InEpsilon(t, f.HalfA*resistance, r.HalfA, 1e-6)
				require.InEpsilon(t, f.HalfB*resistance, r.HalfB, 1e-6)
			}
			for i, s := range m.Surfaces {
				r := to.Surfaces[i]
				require.Equal(t, []any{s.Cell, s.Patch, s.Contact}, []any{r.Cell, r.Patch, r.Contact})
				require.InEpsilon(t, s.Area*area, r.Area, 1e-11)
				require.InDelta(t, s.Position*ratio, r.Position, 1e-11*m.Extent()*ratio)
				require.InEpsilon(t, s.Half*resistance, r.Half, 1e-6)
			}
		}
	})
}

// A layer that thickens around a core that does not: the resistance of the shell, the
// sum of its halves, is the closed one of its new radii, ln(r1/r0)/(2π L) for a
// cylinder and (1/r0 - 1/r1)/(4π) for a sphere, whatever the ratios of its cells.
func TestThickenShellIsExact(t *testing.T) {
	layers := []Layer{{Name: "core", Thickness: 0.03}, {Name: "dough", Thickness: 0.004}, {Name: "coat", Thickness: 0.002, Contact: 1e-3}}
	rng := rand.New(rand.NewPCG(4, 7))
	for _, s := range shapes {
		m, err := s.Mesh(layers, Resolution{Cells: 40})
		require.NoError(t, err)
		for name, draw := range map[string]func() float64{
			"even":   func() float64 { return 3 },
			"uneven": func() float64 { return 1 + 7*rng.Float64() },
		} {
			ratio := evenly(len(m.Cells), 1)
			first, end := m.Span(1)
			thick := 0.0
			for i := first; i < end; i++ {
				ratio[i] = draw()
				thick += ratio[i] * (m.Cells[i].Outer - m.Cells[i].Inner)
			}
			to := thickened(m, ratio)
			r0, r1 := 0.03, 0.03+thick
			assert.InEpsilon(t, r1, to.Cells[end-1].Outer, 1e-12, "%v, %s", s, name)
			assert.InEpsilon(t, r1+0.002, to.Extent(), 1e-12, "%v, %s", s, name)
			assert.InEpsilon(t, shellResistance(s, r0, r1, 1), acrossLayer(to, 1), 1e-10, "%v, %s", s, name)
			assert.InEpsilon(t, shellResistance(s, r1, r1+0.002, 1), acrossLayer(to, 2), 1e-10, "%v, %s: pushed outwards", s, name)
			assert.InEpsilon(t, areaAt(s, r1+0.002), to.Surfaces[len(to.Surfaces)-1].Area, 1e-12)
			assert.Equal(t, m.Volume(), to.Volume())
			assert.Equal(t, layers[2].Contact, to.Surfaces[len(to.Surfaces)-1].Contact)
			for i, c := range to.Cells {
				assert.True(t, c.Inner < c.Node && c.Node < c.Outer, "%v, %s: cell %d", s, name, i)
			}
		}
	}
}

// acrossLayer is the sum of the half resistances [1/m] inside a layer.
func acrossLayer(m *Mesh, layer int) (r float64) {
	for _, f := range m.Faces {
		if m.Cells[f.A].Layer == layer {
			r += f.HalfA
		}
		if m.Cells[f.B].Layer == layer {
			r += f.HalfB
		}
	}
	for _, s := range m.Surfaces {
		if m.Cells[s.Cell].Layer == layer {
			r += s.Half
		}
	}
	return r
}

func TestThickenLeavesTheOriginalAndAllocatesNothing(t *testing.T) {
	m, err := Cylinder{}.Mesh(layerSets["roll"], Resolution{})
	require.NoError(t, err)
	before, to, ratio := m.Clone(), m.Clone(), evenly(len(m.Cells), 2.5)
	m.Thicken(ratio, to)
	assert.Equal(t, before.Cells, m.Cells)
	assert.Equal(t, before.Faces, m.Faces)
	assert.Equal(t, before.Surfaces, m.Surfaces)
	once := to.Clone()
	assert.Zero(t, testing.AllocsPerRun(20, func() { m.Thicken(ratio, to) }))
	assert.Equal(t, once.Cells, to.Cells, "it goes by the original, not by what was there")
	m.Thicken(evenly(len(m.Cells), 1), to)
	assert.InEpsilon(t, m.Extent(), to.Extent(), 1e-14, "and back")
}
