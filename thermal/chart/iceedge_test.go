package chart

import (
	"context"
	"math"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// slab is 60 mm of a food on an insulated base, whose top is held at a temperature.
func slab(t *testing.T, food string, cells int, start, top float64) *scene {
	run, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: geometry.Slab{}, Start: thermal.Uniform(start),
		Layers: []thermal.Layer{{Food: materials.MustFind(food), Thickness: 0.06}}},
		thermal.Schedule{{Medium: thermal.Surroundings{}, Until: thermal.Elapsed(time.Hour),
			Patches: map[geometry.Patch]thermal.Medium{geometry.Top: thermal.Surroundings{Fluid: top, H: 1e5}}}},
		&thermal.Settings{Cells: cells, Grading: geometry.Uniform})
	require.NoError(t, err)
	c, err := sceneOf([]*thermal.Run{run}, Temperature, Settings{}, samples)
	require.NoError(t, err)
	require.NoError(t, c.closely())
	return c
}

// TestIceEdge: whatever its properties, a front into a body that is too thick to
// notice goes as the square root of time (Neumann's similarity). So depth over that
// root is one number, and what is left is how far the line is off, and its stairs.
// That the far side notices by less than this allows is seen from the fine mesh.
func TestIceEdge(t *testing.T) {
	if testing.Short() {
		t.Skip("draws or computes a great deal")
	}
	for _, test := range []struct {
		food       string
		start, top float64
	}{
		{"water", 4, -30}, {"water", -10, 20},
		{"lamb loin, cooked", 4, -30}, {"lamb loin, cooked", -18, 40}, {"spinach, cooked and pressed", -18, 40},
	} {
		speed := 0.0 // [mm/√s] on the fine mesh
		for _, cells := range []int{480, 40} {
			width := 60 / float64(cells)
			tracks := slab(t, test.food, cells, test.start, test.top).iceTracks()
			require.Len(t, tracks, 1)
			track := tracks[0]
			for i := range track[1:] {
				assert.GreaterOrEqual(t, track[i+1][0], track[i][0])
				assert.LessOrEqual(t, track[i+1][1], track[i][1], "%s: the edge turns back", test.food)
			}
			// The line at even depths, of which there are several in a cell.
			var deep [][2]float64
			k := 1
			for depth := 5.0; depth < 20; depth += 0.2 {
				for k < len(track) && 60-track[k][1] < depth {
					k++
				}
				if k == len(track) {
					break
				}
				a, b := track[k-1], track[k]
				deep = append(deep, [2]float64{a[0] + (b[0]-a[0])*(60-depth-a[1])/(b[1]-a[1]), depth})
			}
			require.Greater(t, len(deep), 40, test.food)
			if cells == 480 {
				for _, p := range deep {
					speed += p[1] / math.Sqrt(p[0]) / float64(len(deep))
				}
			}
			least, most := math.Inf(1), math.Inf(-1)
			for _, p := range deep {
				off := (p[1] - speed*math.Sqrt(p[0])) / width
				least, most = min(least, off), max(most, off)
			}
			t.Logf("%s from %g under %g °C, %d cells of %.3g mm: %.4g mm/√s; off by %.2f to %.2f cells", test.food, test.start, test.top, cells, width, speed, least, most)
			if cells == 40 {
				assert.Less(t, max(-least, most), 0.4, "%s: cells that the line is off", test.food)
				assert.Less(t, most-least, 0.35, "%s: stairs, of which one of cells is 1 high", test.food)
			}
		}
	}
}
