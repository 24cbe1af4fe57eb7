package geometry

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// dishes are the shapes and layers that the laws are held to.
var (
	shapes = []Shape{Slab{}, Slab{Area: 0.03}, HalfSlab{}, HalfSlab{Area: 0.02}, Cylinder{}, Cylinder{Length: 0.25}, Sphere{}}

	layerSets = map[string][]Layer{
		"one":   {{Name: "all", Thickness: 0.04}},
		"roll":  {{Name: "meat", Thickness: 0.033}, {Name: "greens", Thickness: 0.006, Contact: 1e-3}, {Name: "fat", Thickness: 0.0002}, {Name: "crust", Thickness: 0.0045, Contact: 2e-3}},
		"films": {{Name: "core", Thickness: 0.5}, {Name: "film", Thickness: 1e-6}, {Name: "shell", Thickness: 1e-5}},
		"fixed": {{Name: "a", Thickness: 0.01, Cells: 3}, {Name: "b", Thickness: 0.02, Cells: 17}, {Name: "c", Thickness: 0.005}},
	}

	resolutions = []Resolution{{}, {Cells: 25}, {Cells: 25, Grading: Uniform}, {Cells: 400}, {Cells: 400, Grading: Uniform}}
)

// everyMesh runs f over all shapes, layer sets and resolutions.
func everyMesh(t *testing.T, f func(t *testing.T, m *Mesh)) {
	t.Helper()
	for _, s := range shapes {
		for name, layers := range layerSets {
			for _, r := range resolutions {
				t.Run(fmt.Sprintf("%v/%s/%d-%d", s, name, r.Cells, r.Grading), func(t *testing.T) {
					m, err := s.Mesh(layers, r)
					require.NoError(t, err)
					f(t, m)
				})
			}
		}
	}
}

// volumeWithin is the closed form of a shape's volume [m³] within x [m].
func volumeWithin(s Shape, x float64) float64 {
	switch s := s.(type) {
	case Slab:
		return orOne(s.Area) * x
	case HalfSlab:
		return 2 * orOne(s.Area) * x
	case Cylinder:
		return math.Pi * x * x * orOne(s.Length)
	}
	return 4 * math.Pi / 3 * x * x * x
}

// shellResistance is the closed form of the resistance [K/W] of a shell from x0
// to x1 [m] of conductivity k [W/(m K)]; both halves of a half slab conduct.
func shellResistance(s Shape, x0, x1, k float64) float64 {
	switch s := s.(type) {
	case Slab:
		return (x1 - x0) / (k * orOne(s.Area))
	case HalfSlab:
		return (x1 - x0) / (k * 2 * orOne(s.Area))
	case Cylinder:
		return math.Log(x1/x0) / (2 * math.Pi * k * orOne(s.Length))
	}
	return (1/x0 - 1/x1) / (4 * math.Pi * k)
}

// areaAt is the closed form of the area [m²] at x [m].
func areaAt(s Shape, x float64) float64 {
	switch s := s.(type) {
	case Slab:
		return orOne(s.Area)
	case HalfSlab:
		return 2 * orOne(s.Area)
	case Cylinder:
		return 2 * math.Pi * x * orOne(s.Length)
	}
	return 4 * math.Pi * x * x
}

// allErrors takes joined errors apart; every one must be an *Error.
func allErrors(t *testing.T, err error) []*Error {
	t.Helper()
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		var out []*Error
		for _, e := range joined.Unwrap() {
			out = append(out, allErrors(t, e)...)
		}
		return out
	}
	e, ok := errors.AsType[*Error](err)
	require.True(t, ok, "%v is no *Error", err)
	return []*Error{e}
}
