package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFaultsNameTheirPlace(t *testing.T) {
	good := Layer{Name: "core", Thickness: 0.01}
	with := func(change func(l *Layer)) []Layer {
		bad := Layer{Name: "crust", Thickness: 0.002}
		change(&bad)
		return []Layer{good, bad}
	}
	thickness := func(x float64) []Layer { return with(func(l *Layer) { l.Thickness = x }) }
	contact := func(x float64) []Layer { return with(func(l *Layer) { l.Contact = x }) }
	cells := func(n int) []Layer { return with(func(l *Layer) { l.Cells = n }) }
	many := make([]Layer, MaxLayers+1)
	for i := range many {
		many[i] = good
	}
	full := make([]Layer, 30)
	for i := range full {
		full[i] = Layer{Thickness: 0.001, Cells: 1000}
	}
	crust := `layer 2 ("crust")`
	cases := []struct {
		name     string
		layers   []Layer
		r        Resolution
		place    string // "" = that of the shape
		quantity string
	}{
		{"no layers", nil, Resolution{}, "", "number of layers"},
		{"too many layers", many, Resolution{}, "", "number of layers"},
		{"zero thickness", thickness(0), Resolution{}, crust, "thickness [m]"},
		{"negative thickness", thickness(-0.003), Resolution{}, crust, "thickness [m]"},
		{"thickness NaN", thickness(math.NaN()), Resolution{}, crust, "thickness [m]"},
		{"thickness +Inf", thickness(math.Inf(1)), Resolution{}, crust, "thickness [m]"},
		{"thickness -Inf", thickness(math.Inf(-1)), Resolution{}, crust, "thickness [m]"},
		{"absurdly thick", thickness(5.1), Resolution{}, crust, "thickness [m]"},
		{"absurdly thin", thickness(9e-7), Resolution{}, crust, "thickness [m]"},
		{"negative contact", contact(-1e-9), Resolution{}, crust, "contact resistance [m² K/W]"},
		{"contact NaN", contact(math.NaN()), Resolution{}, crust, "contact resistance [m² K/W]"},
		{"contact Inf", contact(math.Inf(1)), Resolution{}, crust, "contact resistance [m² K/W]"},
		{"two cells in a layer", cells(2), Resolution{}, crust, "cells"},
		{"negative cells in a layer", cells(-3), Resolution{}, crust, "cells"},
		{"too many cells in a layer", cells(MaxCells + 1), Resolution{}, crust, "cells"},
		{"cells beyond any int32", cells(math.MaxInt), Resolution{}, crust, "cells"},
		{"too many cells in all layers", full, Resolution{}, "", "cells of all layers"},
		{"negative cells", []Layer{good}, Resolution{Cells: -1}, "", "cells"},
		{"too many cells", []Layer{good}, Resolution{Cells: MaxCells + 1}, "", "cells"},
		{"unknown grading", []Layer{good}, Resolution{Grading: 2}, "", "grading"},
	}
	for _, c := range cases {
		for _, s := range []Shape{Slab{}, HalfSlab{}, Cylinder{}, Sphere{}} {
			m, err := s.Mesh(c.layers, c.r)
			require.Error(t, err, c.name)
			assert.Nil(t, m)
			faults := allErrors(t, err)
			require.Len(t, faults, 1, c.name)
			place := c.place
			if place == "" {
				place = s.String()
			}
			assert.Equal(t, place, faults[0].Place, c.name)
			assert.Equal(t, c.quantity, faults[0].Quantity, c.name)
			assert.NotEmpty(t, faults[0].Want)
			assert.Contains(t, err.Error(), "geometry: "+place+": "+c.quantity)
		}
	}
}

func TestAllFaultsAtOnce(t *testing.T) {
	layers := []Layer{{Thickness: -1}, {Name: "b", Thickness: 0.01, Contact: -1}, {Thickness: 0.01, Cells: 1}}
	_, err := Sphere{}.Mesh(layers, Resolution{Cells: -5})
	places := map[string]bool{}
	for _, e := range allErrors(t, err) {
		places[e.Place] = true
	}
	assert.Equal(t, map[string]bool{"sphere": true, "layer 1": true, `layer 2 ("b")`: true, "layer 3": true}, places)
}

func TestSizesOfShapes(t *testing.T) {
	layers := []Layer{{Thickness: 0.01}}
	for _, v := range []float64{-1, 1e-7, 1e5, math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, s := range []Shape{Slab{Area: v}, HalfSlab{Area: v}, Cylinder{Length: v}} {
			_, err := s.Mesh(layers, Resolution{})
			require.Error(t, err)
			e := allErrors(t, err)[0]
			assert.Equal(t, s.String(), e.Place)
			assert.Contains(t, []string{"area [m²]", "length [m]"}, e.Quantity)
		}
	}
	for _, pair := range [][2]Shape{{Slab{}, Slab{Area: 1}}, {HalfSlab{}, HalfSlab{Area: 1}}, {Cylinder{}, Cylinder{Length: 1}}} {
		assert.Equal(t, pair[1].String(), pair[0].String(), "zero means one")
	}
}

// The mesh keeps its own copy of the layers.
func TestMeshDoesNotAliasItsInput(t *testing.T) {
	layers := []Layer{{Thickness: 0.01}}
	m, err := Slab{}.Mesh(layers, Resolution{})
	require.NoError(t, err)
	layers[0].Thickness = 7
	assert.Equal(t, 0.01, m.Layers[0].Thickness)
}

// The largest meshes allowed are made without fuss.
func TestLargestMesh(t *testing.T) {
	layers := make([]Layer, MaxLayers)
	for i := range layers {
		layers[i] = Layer{Thickness: maxThickness / 10}
	}
	m, err := Sphere{}.Mesh(layers, Resolution{Cells: MaxCells})
	require.NoError(t, err)
	assert.Len(t, m.Cells, MaxCells)
	assert.InEpsilon(t, volumeWithin(Sphere{}, 100), m.Volume(), 1e-12)
}
