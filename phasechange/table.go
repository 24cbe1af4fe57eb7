package phasechange

import "math"

// table is T(U), k(U) and the flux potential along one path, as cubics between nodes
// in U. It is the fast side of a Relation: one lookup gives all and their slopes.
type table struct {
	u    []float64 // nodes [J/m³], strictly increasing; len(seg)+1
	seg  []segment
	last float64 // [W/m] flux potential at the last node
}

// segment holds the cubics of one interval in x = (u-u0) inv, 0 <= x <= 1.
type segment struct {
	inv            float64
	t0, t1, t2, t3 float64 // [°C]
	k0, k1, k2, k3 float64 // [W/(m K)]
	f0, f1, f2, f3 float64 // [W/m]
}

// at evaluates the table at u [J/m³], starting its search at hint. Outside of
// the nodes it goes on in a straight line.
func (tb *table) at(u float64, hint *int32) (t, dt, k, dk float64) {
	i := max(0, min(int(*hint), len(tb.seg)-1))
	for i > 0 && u < tb.u[i] {
		i--
	}
	for i < len(tb.seg)-1 && u >= tb.u[i+1] {
		i++
	}
	*hint = int32(i)
	s := &tb.seg[i]
	x := (u - tb.u[i]) * s.inv
	if x < 0 || x > 1 {
		return tb.beyond(s, x)
	}
	t = s.t0 + x*(s.t1+x*(s.t2+x*s.t3))
	dt = s.inv * (s.t1 + x*(2*s.t2+3*x*s.t3))
	k = s.k0 + x*(s.k1+x*(s.k2+x*s.k3))
	dk = s.inv * (s.k1 + x*(2*s.k2+3*x*s.k3))
	return t, dt, k, dk
}

// beyond continues an end segment: the temperature with its end slope, the
// conductivity held.
func (tb *table) beyond(s *segment, x float64) (t, dt, k, dk float64) {
	e := 0.0
	if x > 1 {
		e = 1
	}
	slope := s.t1 + e*(2*s.t2+3*s.t3)
	return s.t0 + e*(s.t1+s.t2+s.t3) + slope*(x-e), s.inv * slope, s.k0 + e*(s.k1+s.k2+s.k3), 0
}

// potential is the flux potential [W/m] at u [J/m³] and its slope, where at has left
// its hint.
func (tb *table) potential(u float64, hint int32) (f, df float64) {
	s := &tb.seg[hint]
	f, df = s.potential((u - tb.u[hint]) * s.inv)
	return f, df * s.inv
}

// potential is the flux potential [W/m] at x and its slope by x, straight on outside.
func (s *segment) potential(x float64) (f, df float64) {
	e := max(0, min(1, x))
	df = s.f1 + e*(2*s.f2+3*e*s.f3)
	return s.f0 + e*(s.f1+e*(s.f2+e*s.f3)) + df*(x-e), df
}

// conducts is the flux potential [W/m] at temperature t [°C] and its slope by it, the
// conductivity. It starts its search at hint.
func (tb *table) conducts(t float64, hint *int32) (f, k float64) {
	i := max(0, min(int(*hint), len(tb.seg)-1))
	for i > 0 && t < tb.seg[i].t0 {
		i--
	}
	for i < len(tb.seg)-1 && t >= tb.seg[i+1].t0 {
		i++
	}
	*hint = int32(i)
	s := &tb.seg[i]
	x := s.where(t)
	f, df := s.potential(x)
	e := max(0, min(1, x))
	return f, df / (s.t1 + e*(2*s.t2+3*e*s.t3))
}

// energy is the inverse: U at temperature t, by bisection over the nodes and
// then within the segment.
func (tb *table) energy(t float64) float64 {
	if math.IsNaN(t) {
		return t
	}
	lo, hi := 0, len(tb.seg)-1
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if tb.seg[mid].t0 <= t {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	s := &tb.seg[lo]
	return tb.u[lo] + s.where(t)/s.inv
}

// where is the x at which a segment has temperature t [°C], straight on outside of it.
func (s *segment) where(t float64) float64 {
	if t < s.t0 {
		return (t - s.t0) / s.t1
	}
	if end := s.t0 + s.t1 + s.t2 + s.t3; t > end {
		return 1 + (t-end)/(s.t1+2*s.t2+3*s.t3)
	}
	x := (t - s.t0) / (s.t1 + s.t2 + s.t3)
	rounding := 1e-16 * (math.Abs(t) + math.Abs(s.t0))
	search := newBracket(0, 1)
	for range 80 {
		short := t - (s.t0 + x*(s.t1+x*(s.t2+x*s.t3)))
		if math.Abs(short) <= rounding {
			break
		}
		next := search.next(x, short/(s.t1+x*(2*s.t2+3*x*s.t3)))
		if next == x {
			break
		}
		x = next
	}
	return x
}

// Tolerances of the table against the formulas it stands for.
const (
	tableTemperature  = 1e-4 // [K]
	tableConductivity = 5e-4 // relative
	tableDepth        = 14
)

// pathFunc gives the energy U [J/m³], its slope dU/dT and the conductivity at a
// temperature on one smooth piece of a path.
type pathFunc func(t float64) (u, slope, k float64)

// appendPiece adds the smooth piece from ta to tb, halving intervals until the
// cubics meet the tolerances. The ends are read a hair inside the piece, so that
// slopes are the piece's own where f has a kink.
func (tb *table) appendPiece(f pathFunc, from, to float64) {
	const hair = 1e-9 // [K]
	ua, sa, ka := f(from + hair)
	if len(tb.u) == 0 {
		tb.u = append(tb.u, ua)
	}
	ua = tb.u[len(tb.u)-1]
	ub, sb, kb := f(to - hair)
	tb.refine(f, node{from, ua, sa, ka}, node{to, ub, sb, kb}, tableDepth)
}

type node struct{ t, u, slope, k float64 }

func (tb *table) refine(f pathFunc, a, b node, depth int) {
	s, ok := fit(f, a, b)
	if ok || depth == 0 {
		tb.add(s, b.u)
		return
	}
	tm := (a.t + b.t) / 2
	um, sm, km := f(tm)
	m := node{tm, um, sm, km}
	tb.refine(f, a, m, depth-1)
	tb.refine(f, m, b, depth-1)
}

// add appends a segment, whose flux potential counts from its own beginning, up to u.
func (tb *table) add(s segment, u float64) {
	s.f0 = tb.last
	tb.last += s.f1 + s.f2 + s.f3
	tb.u = append(tb.u, u)
	tb.seg = append(tb.seg, s)
}

// fit makes the cubics of one interval and says whether they are good enough
// half-way and monotone.
func fit(f pathFunc, a, b node) (segment, bool) {
	w := b.u - a.u
	da, db := w/a.slope, w/b.slope // dT/dx at the ends
	rise := b.t - a.t
	s := segment{inv: 1 / w, t0: a.t, t1: da, t2: 3*rise - 2*da - db, t3: da + db - 2*rise}
	monotone := da <= 3*rise && db <= 3*rise
	value := func(x float64) float64 { return s.t0 + x*(s.t1+x*(s.t2+x*s.t3)) }

	t13, t23 := clamp(value(1./3), a.t, b.t), clamp(value(2./3), a.t, b.t)
	u13, _, k13 := f(t13)
	u23, _, k23 := f(t23)
	s.k0 = a.k // cubic through four equally spaced values
	s.k1 = (-11*a.k + 18*k13 - 9*k23 + 2*b.k) / 2
	s.k2 = (18*a.k - 45*k13 + 36*k23 - 9*b.k) / 2
	s.k3 = (-9*a.k + 27*k13 - 27*k23 + 9*b.k) / 2
	whole := s.conducted()
	s.f1, s.f2, s.f3 = a.k*da, 3*whole-2*a.k*da-b.k*db, a.k*da+b.k*db-2*whole
	monotone = monotone && a.k*da <= 3*whole && b.k*db <= 3*whole

	tm := (a.t + b.t) / 2
	um, _, km := f(tm)
	x := (um - a.u) / w
	k := s.k0 + x*(s.k1+x*(s.k2+x*s.k3))
	good := math.Abs(value(x)-tm) <= tableTemperature &&
		math.Abs(value((u13-a.u)/w)-t13) <= tableTemperature && math.Abs(value((u23-a.u)/w)-t23) <= tableTemperature && math.Abs(k-km) <= tableConductivity*km
	return s, good && monotone
}

// conducted is ∫ k dT [W/m] over a segment, by Gauss-Legendre with three points, which is
// exact for a cubic times the slope of another.
func (s *segment) conducted() float64 {
	const x = 0.3872983346207417 // sqrt(0.15)
	at := func(x float64) float64 {
		return (s.k0 + x*(s.k1+x*(s.k2+x*s.k3))) * (s.t1 + x*(2*s.t2+3*x*s.t3))
	}
	return (5*at(0.5-x) + 8*at(0.5) + 5*at(0.5+x)) / 18
}

func clamp(v, lo, hi float64) float64 { return max(lo, min(hi, v)) }
