package phasechange

import "math"

// activityTable is water activity against water content: cubics between nodes,
// which crowd towards activity 1, where wet foods are.
type activityTable struct {
	w   []float64 // [kg/m³] nodes, rising
	inv []float64 // 1/interval
	seg []segment4
	law drying
	fat float64 // [kg/m³] water that the fat of a food with no other water dissolves at activity 1
	top float64 // activity at the last node
}

// fatSolubility is the water [kg/kg] that fat takes up at activity 1 (0.1 to 0.3
// % in liquid fats, from memory). It only serves layers of bare fat: they need some
// room for water to let any through.
const fatSolubility = 0.002

func newActivityTable(r *Relation) activityTable {
	t := activityTable{law: r.dry}
	c := r.food.Composition
	if rest := c.Water + c.Solids() - c.Fat; rest < 0.02 {
		t.fat = fatSolubility * c.Fat * r.density
	}
	// Dry foods have no solute of their own; a trace lets them become wet.
	t.law.solute = math.Max(t.law.solute, 1e-4*t.law.solids+minSolute*r.density)
	var as []float64
	for i := range 46 {
		as = append(as, 0.02*float64(i))
	}
	for i := 1; i <= 60; i++ {
		as = append(as, 1-0.1*math.Pow(10, -float64(i)/12))
	}
	slope := func(a float64) float64 { // dw/da
		d := 1e-5 * (1 - a)
		if a < d {
			return (t.held(2*d) - t.held(0)) / (2 * d)
		}
		return (t.held(a+d) - t.held(a-d)) / (2 * d)
	}
	for i, a := range as {
		t.w = append(t.w, t.held(a))
		if i == 0 {
			continue
		}
		b := as[i-1]
		dw := t.w[i] - t.w[i-1]
		t.inv = append(t.inv, 1/dw)
		s0, s1, rise := dw/slope(b), dw/slope(a), a-b
		s0, s1 = math.Min(s0, 3*rise), math.Min(s1, 3*rise) // monotone (Fritsch & Carlson 1980)
		t.seg = append(t.seg, segment4{b, s0, 3*rise - 2*s0 - s1, s0 + s1 - 2*rise})
	}
	t.top = as[len(as)-1]
	return t
}

// held is the water [kg/m³] at activity a.
func (t *activityTable) held(a float64) float64 { return t.law.held(a) + t.fat*a }

// at gives the activity, its slope [m³/kg] and the slope of that [m³/kg for each
// kg/m³] at water content w [kg/m³].
func (t *activityTable) at(w float64, hint *int32) (a, slope, bend float64) {
	last := len(t.seg) - 1
	if w >= t.w[last+1] { // dilution
		off := (1 - t.top) * t.w[last+1] / w
		return 1 - off, off / w, -2 * off / (w * w)
	}
	i := max(0, min(int(*hint), last))
	for i > 0 && w < t.w[i] {
		i--
	}
	for i < last && w >= t.w[i+1] {
		i++
	}
	*hint = int32(i)
	inv := t.inv[i]
	x := (w - t.w[i]) * inv
	g := &t.seg[i]
	if x < 0 { // less than none, as Newton's iteration may try
		return g.c1 * x, g.c1 * inv, 0
	}
	a, slope = g.in(x)
	return a, slope * inv, (2*g.c2 + 6*g.c3*x) * inv * inv
}
