package thermal

import "math"

// across is flux between two foods, or through a film between them. On each side
// liquid and vapour go side by side, by water content and by vapour pressure, up to
// the interface, where one may turn into the other: liquid that comes out of meat
// evaporates into the pores of a crust. The water activity is continuous there, or has
// the drop of vapour pressure that a film takes, at one temperature Ti:
//
//	m = Fb(ab) = -Fa(aa),   m film = (ab - aa) psat(Ti)
//	F(ai) = D/half (w - w(ai)) + permeability/half (P - ai psat(Ti))   [kg/s]
//
// What evaporates takes its heat from the interface, of which each side's share goes
// by its resistance.
func across(a, b *wetCell, f *face, wf *wetFace) exchange {
	k := conduct(a, b, f)
	toA := k.g * (k.ra + f.contact/2) // how far Ti is from a to b
	psat, slope := saturation(a.T + toA*(b.T-a.T))
	sa, sb := halfSide{c: a, half: f.halfA, psat: psat}, halfSide{c: b, half: f.halfB, psat: psat}
	open := sa.open() && sb.open() && meet(&sa, &sb, wf.film/psat)
	if open && (sa.full() || sb.full()) {
		open = sa.passes() && sb.passes() && meet(&sa, &sb, wf.film/psat)
	}
	if !open {
		return exchange{heat: k.q, byA: chain(k.ta, k.wa, 0, 0, a), byB: chain(k.tb, k.wb, 0, 0, b)}
	}
	m := sb.flow
	va, vb := -sa.vapour(), sb.vapour()
	// what passes a contact resistance: vapour where a film bars the liquid, else as
	// on its two sides
	between, betweenM, betweenV := (va+vb)/2, 0.0, 0.5
	if wf.film > 0 {
		between, betweenM, betweenV = m, 1, 0
	}
	hl, latent := (a.Liquid+b.Liquid)/2, (a.Vapour+b.Vapour-a.Liquid-b.Liquid)/2*k.g
	x := exchange{heat: k.q + m*hl + latent*(k.ra*va+f.contact*between+k.rb*vb), mass: m}

	r := 1/sa.g + 1/sb.g + wf.film/psat
	drop := m * wf.film / (psat * psat)
	ofHeat, ofA, ofB := hl+latent*f.contact*betweenM, latent*(k.ra+f.contact*betweenV), latent*(k.rb+f.contact*betweenV)
	// changes of mass and heat by those of psat, of the flows to the interface at fixed
	// activities there, and of both pressures
	change := func(psat, flowA, flowB, pA, pB float64) (mass, heat float64) {
		flowA -= sa.gv * sa.activity * psat
		flowB -= sb.gv * sb.activity * psat
		mass = (flowB/sb.g - flowA/sa.g + drop*psat) / r
		dva := sa.gv * (sa.psat*(mass+flowA)/sa.g + sa.activity*psat - pA)
		dvb := sb.gv * (pB - sb.psat*(flowB-mass)/sb.g - sb.activity*psat)
		return mass, ofHeat*mass + ofA*dva + ofB*dvb
	}
	aT, aW := sa.slopes()
	bT, bW := sb.slopes()
	carried := m * liquidHeat / 2
	mTa, hTa := change((1-toA)*slope, aT, 0, a.PT, 0)
	mWa, hWa := change(0, aW, 0, a.PW, 0)
	mTb, hTb := change(toA*slope, 0, bT, 0, b.PT)
	mWb, hWb := change(0, 0, bW, 0, b.PW)
	x.byA = chain(k.ta+hTa+carried, k.wa+hWa, mTa, mWa, a)
	x.byB = chain(k.tb+hTb+carried, k.wb+hWb, mTb, mWb, b)
	return x
}

// halfSide is half a cell seen from an interface.
type halfSide struct {
	c        *wetCell
	half     float64 // [1/m]
	psat     float64 // [Pa] at the interface
	gl, gv   float64 // [m³/s], [kg/(s Pa)]
	activity float64 // [-] at the interface
	water    float64 // [kg/m³] there
	flow     float64 // [kg/s] to the interface
	fills    float64 // [m³/kg] relative fall of gl with the cell's water
	g        float64 // [kg/s] by which it falls with the activity
}

// open sets how much passes, and says whether any does.
func (s *halfSide) open() bool {
	s.gl, s.gv = 1/(s.c.slow*s.half), 1/(s.c.tight*s.half)
	if s.gl <= trickle {
		s.gl = 0
	}
	return s.passes()
}

func (s *halfSide) passes() bool { return s.gl > trickle || s.gv > trickle }

// full says whether the cell is offered more liquid than it takes up, and if so lets
// less of it pass.
func (s *halfSide) full() bool {
	r := s.c.takes()
	if r == 1 || s.c.W >= s.water {
		return false
	}
	s.gl *= r
	s.fills = 2 * (1 - s.c.Excess/s.c.W) / (fullness * s.c.W * math.Sqrt(max(r, 1e-12)))
	return true
}

// at sets the flow at an activity of the interface.
func (s *halfSide) at(a float64) {
	s.activity = a
	s.flow = s.gv * (s.c.P - a*s.psat)
	s.g = s.gv * s.psat
	if s.gl > 0 {
		next := a + 1e-6*(1-a) + 1e-15 // another number even next to 1
		s.water = s.c.law.Water(a)
		s.flow += s.gl * (s.c.W - s.water)
		s.g += s.gl * (s.c.law.Water(next) - s.water) / (next - a)
	}
}

func (s *halfSide) vapour() float64 { return s.gv * (s.c.P - s.activity*s.psat) }

// slopes are those of the flow at fixed activity and psat of the interface, by
// temperature and water of the cell.
func (s *halfSide) slopes() (byT, byW float64) {
	c := s.c
	liquid := s.gl * (c.W - s.water)
	return s.gv*c.PT + liquid*c.DT, s.gv*c.PW + s.gl + liquid*(c.DW-s.fills)
}

// meet finds the activities at which as much arrives as leaves, resistance [s/kg] by
// activity apart, by Newton's method.
func meet(a, b *halfSide, resistance float64) bool {
	if math.IsInf(resistance, 1) {
		return false
	}
	const most = 1 - 1e-12
	x := min(max(math.Min(a.c.A, b.c.A), 0), most)
	y := x
	if resistance > 0 {
		x, y = min(max(a.c.A, 0), most), min(max(b.c.A, 0), most)
	}
	toward := func(from, to float64) float64 {
		switch {
		case to >= 1 && (a.gl > 0 || b.gl > 0):
			return math.Min((from+1)/2, most) // no liquid has more
		case to < 0:
			return from / 2
		}
		return to
	}
	for range 60 {
		a.at(x)
		b.at(y)
		// m = -(Fa - ga dx) = Fb - gb dy,  resistance m = y + dy - x - dx
		m := (y + b.flow/b.g - x - a.flow/a.g) / (1/a.g + 1/b.g + resistance)
		dx, dy := (a.flow+m)/a.g, (b.flow-m)/b.g
		if math.Abs(dx) <= 1e-9*(1-x)+1e-15 && math.Abs(dy) <= 1e-9*(1-y)+1e-15 {
			a.flow, b.flow = -m, m
			return true
		}
		x, y = toward(x, x+dx), toward(y, y+dy)
	}
	a.flow = -b.flow
	return true
}
