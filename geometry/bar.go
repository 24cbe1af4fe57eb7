package geometry

import (
	"fmt"
	"math"
)

// Bar is a long dish of rectangular section: a terrine, a loaf, a fillet in pastry.
// The innermost layer is Width wide and twice its thickness high; the others wrap it
// all round. Its section, which is the same on both sides, has the distance from the
// vertical middle plane as x and the height above the centre as y. Its cut faces are
// insulated.
//
// Its patches are Underside, Top and Side, which is both sides.
type Bar struct {
	Width  float64 // [m] of the innermost layer, 1e-4 to 10
	Length float64 // [m] across the section; default (0) = 1
}

func (Bar) dimension() float64 { return 1 }

// Mesh builds the mesh in height and width. Volumes and surfaces count both sides.
func (b Bar) Mesh(layers []Layer, r Resolution) (*Mesh, error) {
	f := &faultList{shape: b.String()}
	f.add(validate(f.shape, layers, r))
	f.size("width [m]", b.Width, 1e-4, 10)
	length, err := size(f.shape, "length [m]", b.Length)
	f.add(err)
	if err := f.joined(); err != nil {
		return nil, err
	}
	l := layout{view: turned, first: axis{out: through(layers, 0), back: through(layers, 0), unit: 1},
		second:  axis{out: append([]stretch{core(b.Width/2, 0)}, through(layers, 1)...), unit: 1},
		profile: flat(2 * length), lower: Underside, upper: Top, forward: Side}
	l.first.out[0].plainIn, l.first.back[0].plainIn = true, true
	l.first.coarse = planeCoarseness * math.Min(l.first.reach(), l.second.reach())
	l.second.coarse = l.first.coarse
	return l.weave(b, layers, r)
}

// String names the shape with its size.
func (b Bar) String() string {
	return fmt.Sprintf("bar %g m wide and %g m long", b.Width, orOne(b.Length))
}
