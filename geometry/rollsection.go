package geometry

import (
	"fmt"
	"math"
)

// RollSection is a long round dish that lies on something: a Cylinder whose surface
// meets different media around it. Its section, which is the same on both sides, has the
// distance from the vertical plane through the axis as x and the height above the axis
// as y. Its ends are insulated.
//
// Its patches are Contact, the arc at the bottom whose chord is ContactWidth, Side, the
// rest of the lower half, and Top, the upper half.
type RollSection struct {
	Length       float64 // [m]; default (0) = 1
	ContactWidth float64 // [m] 1e-4 to 0.99 of the diameter; default (0): no Contact
}

// angleCoarseness [rad] is over which angle from the edge of the contact cells double
// their size.
const angleCoarseness = 0.3

func (RollSection) dimension() float64 { return 2 }

// Mesh builds the mesh in radius and angle. Volumes and surfaces count both sides.
func (s RollSection) Mesh(layers []Layer, r Resolution) (*Mesh, error) {
	f := &faultList{shape: s.String()}
	f.add(validate(f.shape, layers, r))
	length, err := size(f.shape, "length [m]", s.Length)
	f.add(err)
	var radius float64
	for _, l := range layers {
		radius += l.Thickness
	}
	if w := s.ContactWidth; w != 0 && !in(w, 1e-4, 0.99*2*radius) {
		f.add(&Error{f.shape, "width of the contact [m]", w, fmt.Sprintf("0 (none) or 1e-4 to %.4g, 0.99 of the diameter", 0.99*2*radius)})
	}
	if err := f.joined(); err != nil {
		return nil, err
	}
	l := layout{view: polar, first: axis{out: through(layers, 0), unit: 1, coarse: planeCoarseness * radius},
		second: axis{unit: radius, coarse: angleCoarseness}, upper: Side, atEnd: true, curved: true}
	l.first.out[0].plainIn = true
	edge := math.Asin(s.ContactWidth / 2 / radius)
	arc := func(from, to float64, patch Patch, graded bool) {
		z := core(to-from, -1)
		z.patch, z.plainOut = patch, !graded
		if graded && from > 0 {
			z.plainIn, z.plainOut = false, true
		}
		l.second.out = append(l.second.out, z)
	}
	if edge > 0 {
		arc(0, edge, Contact, true)
	}
	arc(edge, math.Pi/2, Side, edge > 0)
	arc(math.Pi/2, math.Pi, Top, false)
	l.profile = round(2 * length / (2 * math.Pi)) // of both sides, for a radian
	return l.weave(s, layers, r)
}

// String names the shape with its size.
func (s RollSection) String() string {
	return fmt.Sprintf("roll %g m long on a contact %g m wide", orOne(s.Length), s.ContactWidth)
}
