package geometry

import (
	"fmt"
	"math"
)

// Tray is a long flat dish with its rim: a Slab that ends at its sides. Its section,
// which is the same on both sides, has the distance from the vertical middle plane as x
// and the height above the underside as y. Its cut faces are insulated.
//
// Its patches are Underside, Top and Rim, which is both sides.
type Tray struct {
	Width  float64 // [m] from rim to rim, 1e-4 to 10
	Length float64 // [m] along the rim; default (0) = 1
}

func (Tray) dimension() float64 { return 1 }

// Mesh builds the mesh in height and width. Volumes and surfaces count both sides.
func (t Tray) Mesh(layers []Layer, r Resolution) (*Mesh, error) {
	f := &faultList{shape: t.String()}
	f.add(validate(f.shape, layers, r))
	f.size("width [m]", t.Width, 1e-4, 10)
	length, err := size(f.shape, "length [m]", t.Length)
	f.add(err)
	if err := f.joined(); err != nil {
		return nil, err
	}
	l := layout{view: turned, first: axis{out: through(layers, 0), unit: 1}, second: axis{out: []stretch{core(t.Width/2, -1)}, unit: 1},
		profile: flat(2 * length), lower: Underside, upper: Top, forward: Rim, stacked: true}
	l.first.coarse = planeCoarseness * math.Min(l.first.reach(), l.second.reach())
	l.second.coarse = l.first.coarse
	return l.weave(t, layers, r)
}

// String names the shape with its size.
func (t Tray) String() string {
	return fmt.Sprintf("tray %g m wide and %g m long", t.Width, orOne(t.Length))
}
