package geometry

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCellCounts(t *testing.T) {
	thick := func(t ...float64) (out []Layer) {
		for _, x := range t {
			out = append(out, Layer{Thickness: x})
		}
		return out
	}
	cases := []struct {
		name   string
		layers []Layer
		r      Resolution
		want   []int
	}{
		{"default", thick(0.03), Resolution{}, []int{DefaultCells}},
		{"by thickness", thick(0.03, 0.01), Resolution{Cells: 40, Grading: Uniform}, []int{30, 10}},
		{"largest remainder", thick(1, 1, 1), Resolution{Cells: 11, Grading: Uniform}, []int{4, 4, 3}},
		{"remainder to the larger", thick(0.55, 0.45), Resolution{Cells: 11, Grading: Uniform}, []int{6, 5}},
		{"three at least", thick(1, 1e-6), Resolution{Cells: 40, Grading: Uniform}, []int{39, 3}},
		{"fewer cells than layers need", thick(1, 1, 1), Resolution{Cells: 1, Grading: Uniform}, []int{3, 3, 3}},
		{"own count and the rest", []Layer{{Thickness: 1, Cells: 12}, {Thickness: 1}, {Thickness: 2}}, Resolution{Cells: 42, Grading: Uniform}, []int{12, 10, 20}},
		{"own counts only", []Layer{{Thickness: 1, Cells: 3}, {Thickness: 1, Cells: 3}}, Resolution{Cells: 500}, []int{3, 3}},
		{"own counts over the whole", []Layer{{Thickness: 1, Cells: 100}, {Thickness: 1}}, Resolution{Cells: 50}, []int{100, 3}},
	}
	for _, c := range cases {
		for _, s := range []Shape{Slab{}, HalfSlab{}, Cylinder{}, Sphere{}} {
			m, err := s.Mesh(c.layers, c.r)
			require.NoError(t, err, c.name)
			var got []int
			for l := range c.layers {
				first, end := m.Span(l)
				got = append(got, end-first)
			}
			assert.Equal(t, c.want, got, "%s, %v", c.name, s)
		}
	}
}

// Whatever the layers: at least three cells each, the cells asked for in all
// unless the minimum needs more, and no layer a cell or more from its share. A
// layer lifted to the minimum still takes part in the sharing out of remainders,
// so that it may get a fourth cell.
func TestApportionRandomLayers(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		n := 1 + rng.IntN(20)
		layers := make([]Layer, n)
		share := make([]float64, n)
		var sum float64
		for i := range layers {
			share[i] = math.Pow(10, -4*rng.Float64())
			sum += share[i]
		}
		cells := 1 + rng.IntN(600)
		counts := apportion(layers, share, cells)
		total, forced := 0, false
		for i, c := range counts {
			require.GreaterOrEqual(t, c, minPerLayer)
			want := share[i] / sum * float64(cells)
			total += c
			if want < minPerLayer {
				forced = true
				require.LessOrEqual(t, c, minPerLayer+1)
				continue
			}
			require.InDelta(t, want, float64(c), 1, fmt.Sprint(share, cells, counts))
		}
		if !forced {
			require.Equal(t, cells, total)
		}
		require.GreaterOrEqual(t, total, cells)
	}
}
