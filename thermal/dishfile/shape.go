package dishfile

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"

	"example.com/thawfront/geometry"
)

// Shape is that of the dish. Those of two dimensions, from the finite cylinder on, are
// computed in their section, see package thermal.
type Shape struct {
	Kind         string `toml:"kind,omitempty" json:"kind,omitempty"`                                // slab, half slab, cylinder, sphere, finite cylinder, roll section, bar or tray
	Length       Length `toml:"length,omitempty" json:"length,omitempty" in:"1e-6,1e4"`              // of a cylinder, roll section, bar or tray; default 1 m; a finite cylinder needs that of its innermost layer, 1e-4 to 10 m
	Area         Area   `toml:"area,omitempty" json:"area,omitempty" in:"1e-6,1e4"`                  // of one face of a slab; default 1 m²
	Width        Length `toml:"width,omitempty" json:"width,omitempty" in:"1e-4,10"`                 // of the innermost layer of a bar, of a tray from rim to rim, which need it
	ContactWidth Length `toml:"contact_width,omitempty" json:"contact_width,omitempty" in:"1e-4,10"` // over which a roll section lies on its contact, at most 0.99 of the diameter; default: it lies on nothing
	Bottom       []End  `toml:"bottom,omitempty,inline" json:"bottom,omitempty"`                     // layers that close the lower end of a finite cylinder, from inside outwards; default: bare
	Top          []End  `toml:"top,omitempty,inline" json:"top,omitempty"`                           // and the upper end; default: bare
	Half         bool   `toml:"half,omitempty" json:"half,omitempty"`                                // of a finite cylinder whose ends are both as top and meet the same: half of it is computed; default false
}

// End is a layer that closes an end of a finite cylinder while it is on the dish.
type End struct {
	Layer     string `toml:"layer,omitempty" json:"layer,omitempty"`
	Thickness Length `toml:"thickness,omitempty" json:"thickness,omitempty" in:"1e-6,5"`
}

// Kinds of shapes that more is known of than their words.
const (
	slab           = "slab"
	halfSlab       = "half slab"
	finiteCylinder = "finite cylinder"
	rollSection    = "roll section"
	bar            = "bar"
	tray           = "tray"
)

// shapeKind is a kind of shape with the parts of its surface, the keys that it needs and
// those that it may have, besides kind.
type shapeKind struct {
	name       string
	patches    []geometry.Patch
	needs, has []string
	plane      bool // of two dimensions
}

// shapeKinds are the kinds of shapes, in the order in which they are listed.
var shapeKinds = []shapeKind{
	{name: slab, patches: []geometry.Patch{geometry.Underside, geometry.Top}, has: []string{"area"}},
	{name: halfSlab, patches: []geometry.Patch{geometry.Outside}, has: []string{"area"}},
	{name: "cylinder", patches: []geometry.Patch{geometry.Side}, has: []string{"length"}},
	{name: "sphere", patches: []geometry.Patch{geometry.Outside}},
	{finiteCylinder, []geometry.Patch{geometry.Underside, geometry.Side, geometry.Top}, []string{"length"}, []string{"bottom", "top", "half"}, true},
	{rollSection, []geometry.Patch{geometry.Contact, geometry.Side, geometry.Top}, nil, []string{"length", "contact_width"}, true},
	{bar, []geometry.Patch{geometry.Underside, geometry.Side, geometry.Top}, []string{"width"}, []string{"length"}, true},
	{tray, []geometry.Patch{geometry.Underside, geometry.Rim, geometry.Top}, []string{"width"}, []string{"length"}, true},
}

// shapeWords are their names.
func shapeWords() []string {
	return names(shapeKinds, func(k shapeKind) string { return k.name })
}

// kind is that of the shape, nil if there is none of the name.
func (s *Shape) kind() *shapeKind {
	if s == nil {
		return nil
	}
	if i := slices.IndexFunc(shapeKinds, func(k shapeKind) bool { return k.name == s.Kind }); i >= 0 {
		return &shapeKinds[i]
	}
	return nil
}

// may says whether a kind has a key.
func (k *shapeKind) may(key string) bool {
	return key == "kind" || slices.Contains(k.needs, key) || slices.Contains(k.has, key)
}

// plane says whether the dish has two dimensions.
func (f *File) plane() bool {
	k := f.Shape.kind()
	return k != nil && k.plane
}

// patches are the parts of the surface of a shape, nil of an unknown kind.
func (s *Shape) patches() []geometry.Patch {
	k := s.kind()
	switch {
	case k == nil:
		return nil
	case s.Kind == finiteCylinder && s.Half:
		return []geometry.Patch{geometry.Side, geometry.Ends}
	case s.Kind == rollSection && s.ContactWidth == "":
		return []geometry.Patch{geometry.Side, geometry.Top}
	}
	return k.patches
}

// surfaceWords are the names of all parts of surfaces.
var surfaceWords = sync.OnceValue(func() []string {
	words := []string{string(geometry.Ends)}
	for _, k := range shapeKinds {
		for _, p := range k.patches {
			words = append(words, string(p))
		}
	}
	return once(words)
})

func (f *File) checkShape(r *report) {
	s, k := f.Shape, f.Shape.kind()
	switch {
	case s == nil:
		r.need("shape", "a table such as { kind = \"cylinder\" }")
		return
	case k == nil:
		words := shapeWords()
		last := len(words) - 1
		r.oneOf("shape.kind", s.Kind, strings.Join(words[:last], ", ")+" or "+words[last], words)
		return
	}
	v := reflect.ValueOf(*s)
	for i := range v.NumField() {
		key := keyOf(v.Type().Field(i))
		switch there := given(v.Field(i)); {
		case there && !k.may(key):
			also := ""
			if key == "area" {
				also = " of its own"
			}
			r.add("shape."+key, "a "+s.Kind+" has no "+key+also, "none")
		case !there && slices.Contains(k.needs, key):
			r.need("shape."+key, wanted(Length("")))
		}
	}
	if s.Kind != finiteCylinder {
		return
	}
	if x := si(s.Length); !(x >= 1e-4 && x <= 10) && !r.has("shape.length") {
		r.add("shape.length", quote(string(s.Length))+" is out of range for a "+s.Kind, "1e-4 to 10 m")
	}
	if s.Half && len(s.Bottom) > 0 {
		r.add("shape.bottom", "half of the dish has one end, which top closes", "none, or half left out")
	}
	f.checkEnd(r, s.Bottom, "shape.bottom")
	f.checkEnd(r, s.Top, "shape.top")
}

// checkEnd checks the layers that close an end.
func (f *File) checkEnd(r *report, end []End, key string) {
	const order = "layers but the innermost, each once, from inside outwards in their order"
	if len(f.Layers) > geometry.MaxLayers {
		return // reported
	}
	if len(end) > geometry.MaxLayers {
		r.add(key, fmt.Sprintf("%d layers", len(end)), order)
		return
	}
	last := 0
	for i, e := range end {
		k := item(key, i)
		if e.Thickness == "" {
			r.need(below(k, "thickness"), wanted(e.Thickness))
		}
		switch at := slices.IndexFunc(f.Layers, func(l Layer) bool { return l.called() == e.Layer }); {
		case at < 0 || e.Layer == "":
			r.unknown(below(k, "layer"), "layer", e.Layer, f.layerNames)
		case at == 0:
			r.add(below(k, "layer"), quote(e.Layer)+" is the innermost layer, which the others close", order)
		case at <= last:
			r.add(below(k, "layer"), quote(e.Layer)+" does not lie outside of the layer before it", order)
		default:
			last = at
		}
	}
}

// checkContact holds the width of the contact to the roll of the layers that are on.
func (f *File) checkContact(r *report, on []int) {
	if f.Shape == nil || f.Shape.Kind != rollSection || f.Shape.ContactWidth == "" || r.has("shape") || r.has("layers") {
		return
	}
	const most = 0.99 // as in package geometry
	if w := most * 2 * f.thickness(on); !(si(f.Shape.ContactWidth) <= w) {
		r.add("shape.contact_width", quote(string(f.Shape.ContactWidth))+" is too wide for the roll", fmt.Sprintf("at most %.4g mm, 0.99 of the diameter", w*1e3))
	}
}

// thickness is that of layers together [m].
func (f *File) thickness(of []int) (sum float64) {
	for _, l := range of {
		sum += si(f.Layers[l].Thickness)
	}
	return sum
}

// holds says whether a point of the section, as thermal.At has it, is in the dish that the
// layers on make up.
func (f *File) holds(x, y float64, on []int) bool {
	const rounding = 1e-15 // [m]
	s, thick := f.Shape, f.thickness(on)+rounding
	if len(on) == 0 {
		return false
	}
	switch s.Kind {
	case finiteCylinder:
		up, down := si(s.Length)/2+rounding, si(s.Length)/2+rounding
		for _, e := range f.closed(s.Top, on) {
			up += e.Thickness
		}
		for _, e := range f.closed(s.Bottom, on) {
			down += e.Thickness
		}
		if s.Half {
			down = 0
		}
		return x <= thick && y <= up && y >= -down
	case rollSection:
		return math.Hypot(x, y) <= thick
	case bar:
		return x <= si(s.Width)/2+thick-si(f.Layers[on[0]].Thickness) && math.Abs(y) <= thick
	case tray:
		return x <= si(s.Width)/2+rounding && y >= 0 && y <= thick
	}
	return false
}

// closed is an end with those of its layers that are on.
func (f *File) closed(end []End, on []int) (out []geometry.End) {
	for _, e := range end {
		if slices.ContainsFunc(on, func(l int) bool { return f.Layers[l].called() == e.Layer }) {
			out = append(out, geometry.End{Layer: e.Layer, Thickness: si(e.Thickness)})
		}
	}
	return out
}

// shape is that of the layers that are on.
func (f *File) shape(on []int) geometry.Shape {
	s := f.Shape
	switch s.Kind {
	case slab:
		return geometry.Slab{Area: si(s.Area)}
	case halfSlab:
		return geometry.HalfSlab{Area: si(s.Area)}
	case "cylinder":
		return geometry.Cylinder{Length: si(s.Length)}
	case finiteCylinder:
		return geometry.FiniteCylinder{Length: si(s.Length), Bottom: f.closed(s.Bottom, on), Top: f.closed(s.Top, on), Half: s.Half}
	case rollSection:
		return geometry.RollSection{Length: si(s.Length), ContactWidth: si(s.ContactWidth)}
	case bar:
		return geometry.Bar{Width: si(s.Width), Length: si(s.Length)}
	case tray:
		return geometry.Tray{Width: si(s.Width), Length: si(s.Length)}
	}
	return geometry.Sphere{}
}
