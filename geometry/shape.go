package geometry

import (
	"fmt"
	"math"
)

// Shape makes a mesh from layers. Layers are listed from the centre outwards;
// those of a Slab or Tray from its underside to its top.
type Shape interface {
	// Mesh validates its input (errors of type *Error, joined) and builds the mesh.
	Mesh(layers []Layer, r Resolution) (*Mesh, error)
	// String names the shape with its size.
	String() string

	dimension() float64 // the volume within x goes as x to this power; keeps shapes to this package
}

// Slab is a flat dish with two faces, which may meet different media; its edges
// are insulated.
type Slab struct {
	Area float64 // [m²] of one face; default (0) = 1
}

// HalfSlab is a flat dish that is the same on both sides of its middle plane.
// Its layers are listed from the middle outwards; volumes and surfaces count
// both halves.
type HalfSlab struct {
	Area float64 // [m²] of one face; default (0) = 1
}

// Cylinder is a long round dish; its ends are insulated.
type Cylinder struct {
	Length float64 // [m]; default (0) = 1
}

// Sphere is a ball.
type Sphere struct{}

func (Slab) dimension() float64     { return 1 }
func (HalfSlab) dimension() float64 { return 1 }
func (Cylinder) dimension() float64 { return 2 }
func (Sphere) dimension() float64   { return 3 }

// profile describes one family of nested surfaces at distance x from the
// centre: their area, the volume inside them, and the resistance integral
// ∫ dx/area, which is what makes steady conduction exact.
type profile struct {
	area, volume func(x float64) float64
	resist       func(x0, x1 float64) float64
	node         func(x0, x1 float64) float64
}

// Mesh builds the slab's mesh with the patches Underside and Top.
func (s Slab) Mesh(layers []Layer, r Resolution) (*Mesh, error) {
	area, err := size(s.String(), "area [m²]", s.Area)
	if err != nil {
		return nil, err
	}
	return build(s, layers, r, flat(area), Underside, Top)
}

// String names the shape with its area.
func (s Slab) String() string { return fmt.Sprintf("slab of %g m²", orOne(s.Area)) }

// Mesh builds the half slab's mesh with the patch Outside.
func (s HalfSlab) Mesh(layers []Layer, r Resolution) (*Mesh, error) {
	area, err := size(s.String(), "area [m²]", s.Area)
	if err != nil {
		return nil, err
	}
	return build(s, layers, r, flat(2*area), "", Outside)
}

// String names the shape with its area.
func (s HalfSlab) String() string { return fmt.Sprintf("half slab of %g m²", orOne(s.Area)) }

// Mesh builds the cylinder's mesh with the patch Side.
func (c Cylinder) Mesh(layers []Layer, r Resolution) (*Mesh, error) {
	length, err := size(c.String(), "length [m]", c.Length)
	if err != nil {
		return nil, err
	}
	return build(c, layers, r, round(length), "", Side)
}

// String names the shape with its length.
func (c Cylinder) String() string { return fmt.Sprintf("cylinder %g m long", orOne(c.Length)) }

// Mesh builds the sphere's mesh with the patch Outside.
func (s Sphere) Mesh(layers []Layer, r Resolution) (*Mesh, error) {
	return build(s, layers, r, profile{
		area:   func(x float64) float64 { return 4 * math.Pi * x * x },
		volume: func(x float64) float64 { return 4 * math.Pi / 3 * x * x * x },
		resist: func(x0, x1 float64) float64 { return (x1 - x0) / (x0 * x1) / (4 * math.Pi) },
		node: func(x0, x1 float64) float64 {
			// ratio of the integrals of r⁴ and r², written without the
			// cancellation that r⁵-r⁵ over r³-r³ has in thin shells
			r4 := x0*x0*x0*x0 + x0*x0*x0*x1 + x0*x0*x1*x1 + x0*x1*x1*x1 + x1*x1*x1*x1
			r2 := x0*x0 + x0*x1 + x1*x1
			return math.Sqrt(3 * r4 / (5 * r2))
		},
	}, "", Outside)
}

// String names the shape.
func (s Sphere) String() string { return "sphere" }

// round is the profile of a cylinder.
func round(length float64) profile {
	return profile{
		area:   func(x float64) float64 { return 2 * math.Pi * x * length },
		volume: func(x float64) float64 { return math.Pi * x * x * length },
		resist: func(x0, x1 float64) float64 { return math.Log(x1/x0) / (2 * math.Pi * length) },
		// the mean of r² over the shell: where a parabola takes its mean
		node: func(x0, x1 float64) float64 { return math.Sqrt((x0*x0 + x1*x1) / 2) },
	}
}

func flat(area float64) profile {
	return profile{
		area:   func(float64) float64 { return area },
		volume: func(x float64) float64 { return area * x },
		resist: func(x0, x1 float64) float64 { return (x1 - x0) / area },
		node:   func(x0, x1 float64) float64 { return (x0 + x1) / 2 },
	}
}

func build(s Shape, layers []Layer, r Resolution, p profile, inner, outer Patch) (*Mesh, error) {
	if err := validate(s.String(), layers, r); err != nil {
		return nil, err
	}
	x, layer := faces(layers, r, inner == "")
	n := len(layer)
	m := &Mesh{Shape: s, power: s.dimension(), profile: p, twoFaced: inner != "", Layers: append([]Layer(nil), layers...),
		Cells: make([]Cell, n), Faces: make([]Face, n-1)}
	for i := range m.Cells {
		m.Cells[i] = Cell{Layer: layer[i], Inner: x[i], Outer: x[i+1], Volume: p.volume(x[i+1]) - p.volume(x[i])}
	}
	for i := range m.Faces {
		m.Faces[i] = Face{A: i, B: i + 1}
		if layer[i] != layer[i+1] {
			m.Faces[i].Contact = layers[layer[i]].Contact
		}
	}
	for l := range layers {
		first, end := m.Span(l)
		for i := first; i < end; i++ {
			m.Cells[i].Depth = float64(i-first+1) / float64(end-first)
		}
	}
	if inner != "" {
		m.Surfaces = append(m.Surfaces, Surface{Patch: inner, Cut: true})
	}
	m.Surfaces = append(m.Surfaces, Surface{Cell: n - 1, Patch: outer, Contact: layers[len(layers)-1].Contact})
	m.lay()
	return m, nil
}

func orOne(v float64) float64 {
	if v == 0 {
		return 1
	}
	return v
}

// size checks an extent that does not enter the heat flow (length, area).
func size(shape, quantity string, v float64) (float64, error) {
	if v = orOne(v); !in(v, 1e-6, 1e4) {
		return 0, &Error{shape, quantity, v, "0 (default 1) or 1e-6 to 10000"}
	}
	return v, nil
}
