package thermal

import (
	"math"
	"slices"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// section is a quarter of the section of a round dish, wrapped on its side and its ends
// in the same layers: n by n cells, in every layer as many in both directions. A place
// is found in it by the number of its cell, the centre being the first and the corner of
// the outside the last.
type section struct {
	geometry.Cylinder         // shapes are closed
	n                 int     // cells in each direction
	core              float64 // [m] half the length of the innermost layer
	holes             bool    // leave out some cells
	flat              bool    // a quarter of the section of a long beam instead
}

// cuts are the edges of the cells in one direction, and their layers.
func (s section) cuts(layers []geometry.Layer, core float64) (x []float64, layer []int) {
	whole := 0.0
	for _, l := range layers {
		whole += l.Thickness
	}
	x = []float64{0}
	left := s.n
	for l := len(layers) - 1; l >= 0; l-- { // the core takes what is left
		k := max(int(math.Round(float64(s.n)*layers[l].Thickness/whole)), 1)
		if l == 0 {
			k = left
		}
		left -= k
		part := make([]int, k)
		for i := range part {
			part[i] = l
		}
		layer = append(part, layer...)
	}
	for i := 0; i < s.n; {
		l, k := layer[i], 0
		for j := i; j < s.n && layer[j] == l; j++ {
			k++
		}
		thick := layers[l].Thickness
		if l == 0 {
			thick = core
		}
		for j := range k {
			x = append(x, x[i]+thick*float64(j+1)/float64(k))
		}
		i += k
	}
	return x, layer
}

// numbers are those of the cells, row by row, layer by layer; -1 for a hole.
func (s section) numbers(layers int, across, along []int) []int {
	number := make([]int, s.n*s.n)
	next := 0
	for l := range layers {
		for j := range s.n {
			for i := range s.n {
				if max(across[i], along[j]) != l {
					continue
				}
				if number[j*s.n+i] = -1; s.holes && i%7 == 3 && j%5 > 1 {
					continue
				}
				number[j*s.n+i] = next
				next++
			}
		}
	}
	return number
}

func (s section) Mesh(layers []geometry.Layer, _ geometry.Resolution) (*geometry.Mesh, error) {
	r, across := s.cuts(layers, layers[0].Thickness)
	z, along := s.cuts(layers, s.core)
	number := s.numbers(len(layers), across, along)
	m := &geometry.Mesh{Shape: s, Layers: layers, Cells: make([]geometry.Cell, slices.Max(number)+1)}
	node := func(i int) float64 { return math.Sqrt((r[i]*r[i] + r[i+1]*r[i+1]) / 2) }
	halves := func(x0, x1, dz float64) float64 { return math.Log(x1/x0) / (2 * math.Pi * dz) }
	if s.flat {
		node = func(i int) float64 { return (r[i] + r[i+1]) / 2 }
		halves = func(x0, x1, dz float64) float64 { return (x1 - x0) / dz }
	}
	for j := range s.n {
		dz := z[j+1] - z[j]
		for i := range s.n {
			c := number[j*s.n+i]
			if c < 0 {
				continue
			}
			side, end := 2*math.Pi*r[i+1]*dz, math.Pi*(r[i+1]*r[i+1]-r[i]*r[i])
			if s.flat {
				side, end = dz, r[i+1]-r[i]
			}
			m.Cells[c] = geometry.Cell{Layer: max(across[i], along[j]), Volume: end * dz,
				Inner: float64(c) * 1e-5, Node: (float64(c) + 0.5) * 1e-5, Outer: float64(c+1) * 1e-5}
			half := halves(node(i), r[i+1], dz)
			if i+1 == s.n {
				m.Surfaces = append(m.Surfaces, geometry.Surface{Cell: c, Patch: geometry.Side, Area: side, Half: half})
			} else if d := number[j*s.n+i+1]; d >= 0 {
				m.Faces = append(m.Faces, geometry.Face{A: c, B: d, Area: side, HalfA: half, HalfB: halves(r[i+1], node(i+1), dz)})
			}
			half = dz / 2 / end
			if j+1 == s.n {
				m.Surfaces = append(m.Surfaces, geometry.Surface{Cell: c, Patch: geometry.Side, Area: end, Half: half})
			} else if d := number[(j+1)*s.n+i]; d >= 0 {
				m.Faces = append(m.Faces, geometry.Face{A: c, B: d, Area: end, HalfA: half, HalfB: (z[j+2] - z[j+1]) / 2 / end})
			}
		}
	}
	return m, nil
}

// roundDish is meat in a crust, all around, on n by n cells.
func roundDish(n int) Dish {
	return Dish{Shape: section{n: n, core: 0.06}, Start: Uniform(-18), Layers: []Layer{
		{Name: "meat", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.033},
		{Name: "greens", Food: materials.MustFind("spinach, cooked"), Thickness: 0.006},
		{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.0045},
	}}
}

// roundSchedule sets the crust at 220 °C and brings the centre gently to 48 °C.
func roundSchedule() Schedule {
	at := func(t, h float64) Surroundings {
		return Surroundings{Fluid: t, H: h, Walls: t, Emissivity: 0.9, Humidity: HumidityRatio(0.01)}
	}
	return Schedule{
		{Name: "hot", Medium: at(220, 20), Until: Elapsed(35 * time.Minute)},
		{Name: "open", Medium: at(23, 10), Until: Elapsed(3 * time.Minute)},
		{Name: "gentle", Medium: at(85, 12), Until: Above(Centre(), 48), Limit: 12 * time.Hour},
	}
}
