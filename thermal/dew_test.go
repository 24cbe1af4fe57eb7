package thermal

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// A tray whose rim lets nothing pass is a slab, dew and all: none runs off by the rim. In
// equal cells each of its columns is that slab, cell by cell.
func TestTrayIsASlabInSteam(t *testing.T) {
	layers := []Layer{{Name: "couscous", Food: materials.MustFind("couscous, cooked"), Thickness: 4e-3, Cells: 6}}
	layers[0].Food.Soak = 0 // else it takes up the dew
	wet := Surroundings{Fluid: 120, H: 20, Humidity: Steam()}
	set := Settings{Cells: 30, CellRatio: 1.2, Grading: geometry.Uniform, Moisture: true}
	over := func(s geometry.Shape, patches map[geometry.Patch]Medium) *Run {
		return simulate(t, Dish{Shape: s, Layers: layers, Start: Uniform(5)}, Schedule{{Medium: wet, Patches: patches, Until: Elapsed(10 * time.Minute)}}, set)
	}
	slab := over(geometry.Slab{Area: 0.05}, nil)
	tray := over(geometry.Tray{Width: 0.05}, map[geometry.Patch]Medium{geometry.Rim: Insulated()})
	require.Greater(t, slab.Water.Drip, 0.05*slab.Water.Start, "dew runs off")
	for name, pair := range map[string][2]float64{
		"drip":       {slab.Water.Drip, tray.Water.Drip},
		"condensed":  {slab.Water.Condensed, tray.Water.Condensed},
		"evaporated": {slab.Water.Evaporated, tray.Water.Evaporated},
		"mass":       {slab.End().Mass(), tray.End().Mass()},
	} {
		assert.InDelta(t, pair[0], pair[1], 1e-4*slab.Water.Start, name)
	}
	for _, at := range []time.Duration{20 * time.Second, 2 * time.Minute, 10 * time.Minute} {
		s, y := slab.At(at), tray.At(at)
		for i := range y.temp {
			c := s.mesh.Line()[i/(len(y.temp)/len(s.temp))] // shells of one layer, each a row of the tray
			assert.InDelta(t, s.temp[c], y.temp[i], 0.02, "cell %d at %v", i, at)
		}
	}
}

// What clings to two sides clings to the edge where they meet.
func TestDewClingsToBothSidesOfAnEdge(t *testing.T) {
	carrot := Layer{Name: "carrot", Food: materials.MustFind("carrots, raw"), Thickness: 0.01}
	carrot.Food.Soak = 0
	damp := Surroundings{Fluid: 5, H: 5, Humidity: RelativeHumidity(1)}
	water := materials.Food{Name: "water", Composition: materials.Composition{Water: 1}}
	brush := func(p geometry.Patch, mass float64) Stage {
		return Stage{Medium: damp, Brush: &Brush{Food: water, Mass: mass, Temperature: 5, Patch: p}, Until: Elapsed(time.Second)}
	}
	d := Dish{Shape: geometry.Bar{Width: 0.03}, Layers: []Layer{carrot}, Start: Uniform(5)}
	run := simulate(t, d, Schedule{brush(geometry.Top, 0.9*dewFilm), brush(geometry.Side, 0.9*dewFilm)}, Settings{Cells: 300, Moisture: true})
	assert.Zero(t, run.Water.Drip)
	run = simulate(t, d, Schedule{brush(geometry.Top, 3*dewFilm)}, Settings{Cells: 300, Moisture: true})
	assert.Greater(t, run.Water.Drip, 0.5*run.Water.Brushed, "more than clings runs off")
}
