package geometry

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// FiniteCylinder is a round dish with two ends, standing or lying: a roll, a cake, a
// can. Its section has the distance from the axis as x and the height above mid-length
// as y.
//
// The layers of the dish are listed from the axis outwards, as of a Cylinder. Each end
// has a list of its own, of layers that also close it; a corner is of the later layer in
// the order of the dish. An end without a list is bare: all layers show there.
//
// Its patches are Side, Underside and Top, of a Half one Side and Ends.
type FiniteCylinder struct {
	Length float64 // [m] of the innermost layer, 1e-4 to 10
	Bottom []End   // from inside outwards, in the order of the dish
	Top    []End   // likewise
	// Half computes the upper half only, with Top at both ends: for a dish that is
	// the same there in all it meets, too. Volumes and surfaces count both halves.
	Half bool
}

// End is a layer that closes an end of a FiniteCylinder.
type End struct {
	Layer     string  // its name in the dish
	Thickness float64 // [m] 1e-6 to 5
}

func (FiniteCylinder) dimension() float64 { return 2 }

// Mesh builds the mesh in radius and height.
func (c FiniteCylinder) Mesh(layers []Layer, r Resolution) (*Mesh, error) {
	c.Bottom, c.Top = slices.Clone(c.Bottom), slices.Clone(c.Top)
	f := &faultList{shape: c.String()}
	f.add(validate(f.shape, layers, r))
	f.size("length [m]", c.Length, 1e-4, 10)
	if c.Half && len(c.Bottom) > 0 {
		f.add(&Error{f.shape, "layers at the bottom", len(c.Bottom), "none of a Half, whose both ends are as Top says"})
	}
	top, bottom := f.end(c.Top, layers), f.end(c.Bottom, layers)
	if err := f.joined(); err != nil {
		return nil, err
	}
	middle := []stretch{core(c.Length/2, 0)}
	l := layout{view: upright, first: axis{out: through(layers, 0), unit: 1}, second: axis{out: slices.Concat(middle, top), unit: 1},
		upper: Side, forward: Ends, curved: true}
	l.first.out[0].plainIn = true
	both := 2.0
	if !c.Half {
		both = 1
		l.second.back = slices.Concat(middle, bottom)
		l.backward, l.forward = Underside, Top
	}
	l.profile = round(both)
	l.first.coarse = planeCoarseness * math.Min(l.first.reach(), l.second.reach())
	l.second.coarse = l.first.coarse
	return l.weave(c, layers, r)
}

// end turns the list of an end into stretches.
func (f *faultList) end(list []End, layers []Layer) (out []stretch) {
	if len(list) >= max(len(layers), 1) {
		f.add(&Error{f.shape, "layers at an end", len(list), "each but the innermost layer once at most"})
		return nil
	}
	last := 0
	for _, e := range list {
		i := slices.IndexFunc(layers, func(l Layer) bool { return l.Name == e.Layer })
		if i <= last {
			f.add(&Error{f.shape, "layer at an end", fmt.Sprintf("%q", e.Layer), "a layer of the dish but the innermost, from inside outwards in its order"})
			return nil
		}
		last = i
		if !in(e.Thickness, minThickness, maxThickness) {
			f.add(&Error{LayerPlace(i, e.Layer), "thickness at an end [m]", e.Thickness, fmt.Sprintf("%g to %g", minThickness, maxThickness)})
		}
		l := layers[i]
		l.Thickness = e.Thickness
		out = append(out, stretch{zone: zone{Layer: l}, layer: i})
	}
	return out
}

// String names the shape with its length and its ends.
func (c FiniteCylinder) String() string {
	if c.Half && len(c.Bottom) == 0 {
		return fmt.Sprintf("half of a cylinder %g m long, %s at both ends", c.Length, endText(c.Top))
	}
	return fmt.Sprintf("cylinder %g m long, %s below, %s above", c.Length, endText(c.Bottom), endText(c.Top))
}

func endText(list []End) string {
	if len(list) == 0 {
		return "bare"
	}
	var words []string
	for _, e := range list[:min(len(list), MaxLayers)] {
		words = append(words, fmt.Sprintf("%g m of %q", e.Thickness, e.Layer))
	}
	return strings.Join(words, ", ")
}
