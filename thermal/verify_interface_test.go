package thermal

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// soaking is a wet food, in which water moves as liquid, on a dry crumb, in which it
// moves as vapour: it has to turn from one into the other at the interface.
func soaking(film *Film) Dish {
	wet := damp(0.75, materials.Isotherm{}, materials.Transport{Diffusivity: 2e-10, Permeability: 1e-13})
	crumb := damp(0.08, materials.Isotherm{}, materials.Transport{Diffusivity: 2e-11, Permeability: 1e-10})
	crumb.Porosity, crumb.Structure = 0.7, materials.OpenPores
	return Dish{Shape: geometry.HalfSlab{}, Start: Uniform(25), Layers: []Layer{
		{Name: "wet", Food: wet, Thickness: 0.005, Film: film}, {Name: "crumb", Food: crumb, Thickness: 0.005}}}
}

// What a layer draws from its neighbour does not depend on the mesh: at 20 cells within
// 1 % of what it is at 320, with a film between them and without.
func TestWaterTurnsToVapourAtAnInterface(t *testing.T) {
	for name, film := range map[string]*Film{"in touch": nil, "film between": {Permeance: 1e-8}} {
		drawn := func(cells int) float64 {
			run := simulate(t, soaking(film), convecting(Surroundings{Fluid: 25, H: 1e3}, 24*hour),
				Settings{Cells: cells, Tolerance: 1e-3, Moisture: true, MaxSteps: enoughSteps})
			assert.LessOrEqual(t, run.Water.Relative, 1e-12)
			assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
			return run.End().Layers()[1].Water - run.At(0).Layers()[1].Water
		}
		coarse, fine := drawn(20), drawn(320)
		t.Logf("%s: %.4f kg/m² at 20 cells, %.4f at 320", name, coarse, fine)
		assert.InEpsilon(t, fine, coarse, 0.01, name)
	}
}
