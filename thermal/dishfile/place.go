package dishfile

import (
	"regexp"
	"slices"
	"strings"
)

// depth is how deep [m] a place lies that is given by its depth.
func (p Place) depth() (x float64, ok bool) {
	text := strings.TrimSpace(strings.Map(plainLetter, string(p)))
	at := max(0, len(text)-len(" deep"))
	if !strings.EqualFold(text[at:], " deep") {
		return 0, false
	}
	x, err := lengths.read(text[:at])
	return x, err == nil
}

// patch is the part of the surface that a place is.
func (p Place) patch() (name string, ok bool) {
	name, ok = cutPrefix(strings.TrimSpace(string(p)), "surface of ")
	if !ok {
		return "", false
	}
	name = listed(strings.TrimSpace(name), surfaceWords())
	return name, slices.Contains(surfaceWords(), name)
}

var outAndUp = regexp.MustCompile(`(?is)^(.+) out and (.+) up$`)

// point is how far from the axis or middle plane and how high [m] a point of a section
// lies.
func (p Place) point() (x, y float64, ok bool) {
	m := outAndUp.FindStringSubmatch(strings.TrimSpace(strings.Map(plainLetter, string(p))))
	if m == nil {
		return 0, 0, false
	}
	x, wrong := lengths.read(m[1])
	y, err := lengths.read(m[2])
	return x, y, wrong == nil && err == nil
}

// checkSpot reports a part of the surface or a point that the shape does not have.
func (f *File) checkSpot(r *report, p Place, key string) {
	if r.has(key) {
		return
	}
	if part, ok := p.patch(); ok {
		f.checkPatch(r, part, key)
	}
	if _, _, ok := p.point(); ok && f.Shape.kind() != nil && !f.plane() {
		r.add(key, "a "+f.Shape.Kind+" has one dimension, in which no point has a height", "a place such as 'centre' or '6 mm deep'")
	}
}
