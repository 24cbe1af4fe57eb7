package thermal

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// How much of a roast's loss evaporates depends neither on the cells nor on the tolerance,
// nor does its surface swing; a roll that meets the same air all around is a cylinder.
func TestSurfaceTakesUpJuiceByArea(t *testing.T) {
	roasted := func(shape geometry.Shape, cells int, tolerance float64) (*Run, float64) {
		d := one(shape, materials.MustFind("beef round, raw"), 0.05, Uniform(5))
		set := Settings{Moisture: true, Cells: cells, Tolerance: tolerance}
		run := simulate(t, d, Schedule{{Medium: radiating(175, 20, HumidityRatio(0.01)), Until: Above(Centre(), 65)}}, set)
		requireAudits(t, run)
		share := run.Water.Evaporated / run.Lost()
		t.Logf("%v, %d cells, %g K: %.4f, %v", shape, cells, tolerance, share, run.Stats)
		return run, share
	}
	run, want := roasted(geometry.Cylinder{}, 120, 0)
	_, share := roasted(geometry.Cylinder{}, 240, 0)
	assert.InDelta(t, want, share, 0.02)
	fine, share := roasted(geometry.Cylinder{}, 120, 0.02)
	assert.InDelta(t, want, share, 0.02)
	for s := range run.Each(time.Minute) {
		finer, err := fine.Temperature(Skin(), min(s.Time(), fine.Duration()))
		require.NoError(t, err)
		skin, err := s.Temperature(Skin())
		require.NoError(t, err)
		require.InDelta(t, finer, skin, 0.3, "%v", s.Time())
	}
	if !testing.Short() {
		_, share = roasted(geometry.RollSection{}, 400, 0)
		assert.InDelta(t, want, share, 0.02)
	}
}

// From every surface the way in leads away from it, through one row of cells.
func TestTheWayIn(t *testing.T) {
	for _, shape := range []geometry.Shape{geometry.Slab{}, geometry.HalfSlab{}, geometry.Sphere{}, geometry.FiniteCylinder{Length: 0.03},
		geometry.RollSection{ContactWidth: 0.01}, geometry.Bar{Width: 0.03}, geometry.Tray{Width: 0.03}} {
		d := one(shape, materials.MustFind("beef round, raw"), 0.02, Uniform(5))
		m, err := d.compile(Settings{Moisture: true, Cells: 64})
		require.NoError(t, err)
		mesh := m.mesh
		for i, s := range newSystem(m).wet.skins {
			at := mesh.Surfaces[i].Position
			away := func(cell int) float64 {
				c := &mesh.Cells[cell]
				if s.into == geometry.Inward || s.into == geometry.Outward {
					return max(c.Node-at, at-c.Node)
				}
				return max(c.Along-at, at-c.Along)
			}
			n, last := 0, 0.0
			for cell := s.surface.Cell; cell >= 0; cell = mesh.Next(cell, s.into) {
				require.Greater(t, away(cell), last, "%v, surface %d", shape, i)
				n, last = n+1, away(cell)
			}
			require.Greater(t, n, 2, "%v, surface %d", shape, i)
		}
	}
}
