package phasechange

import "math"

// Anchor is the branch points of a Relation for one water content: what a piece
// of food remembers of the water it has lost. Get one from Relation.Anchor.
type Anchor struct {
	water  float64 // [kg/m³]
	tf, uf float64 // freezing point [°C] and its energy [J/m³]
	tb, ub float64 // boiling point and its energy
	shift  float64 // [J/m³] to be added to U beyond ub to stand on the original food's path
	whole  bool    // the water content is the original food's: its path serves everywhere
}

// Water is the water content [kg/m³] of original food.
func (a *Anchor) Water() float64 { return a.water }

// FreezingPoint is the temperature [°C] at which ice begins to form.
func (a *Anchor) FreezingPoint() float64 { return a.tf }

// BoilingPoint is the temperature [°C] at which water begins to leave as steam.
func (a *Anchor) BoilingPoint() float64 { return a.tb }

// FreezingEnergy is U [J/m³] at the freezing point, all of the water liquid.
func (a *Anchor) FreezingEnergy() float64 { return a.uf }

// BoilingEnergy is U [J/m³] at the boiling point.
func (a *Anchor) BoilingEnergy() float64 { return a.ub }

// Anchor gives the branch points for water content w [kg/m³ of original food].
// Water above the original food's is taken as that, below 0 as 0.
func (r *Relation) Anchor(w float64) Anchor {
	if r.food.Measured != nil {
		return Anchor{tf: math.Inf(-1), uf: math.Inf(-1), tb: math.Inf(1), ub: math.Inf(1), whole: true}
	}
	if w = math.Max(0, math.Min(w, r.water)); w != r.water {
		tb := r.dry.boilingPoint(w, r.highest)
		return r.dried(w, tb, r.path.energy(tb))
	}
	a := Anchor{water: w, whole: true, tf: r.ice.point(w, r.lowest), tb: r.startT, ub: r.path.energy(r.startT)}
	a.uf, _ = r.unfrozenState(a.tf, w)
	return a
}

// dried is the anchor of a food that has lost water: w [kg/m³] is left, which
// boils from tb [°C] on, where the original food's path has the energy on [J/m³].
func (r *Relation) dried(w, tb, on float64) Anchor {
	a := Anchor{water: w, tf: r.ice.point(w, r.lowest), tb: tb}
	a.uf, _ = r.unfrozenState(a.tf, w)
	a.ub, _ = r.unfrozenState(tb, w)
	a.shift = on - a.ub
	return a
}

// Settle ends a step that left a piece of food at energy u [J/m³] above its
// boiling energy: the steam is gone for good, the anchor moves to the water
// that stayed, and the energy that remains in the food is returned [J/m³].
// Below the boiling energy nothing happens.
func (r *Relation) Settle(u float64, a *Anchor, hint *int32) (remains float64) {
	if u <= a.ub {
		return u
	}
	on := u + a.shift // the place on the original food's path
	t, _, _, _ := r.path.at(on, hint)
	*a = r.dried(math.Min(r.dry.limit(t), a.water), t, on)
	return a.ub
}

// At gives the temperature t [°C], its slope dt = dT/dU [K m³/J], the
// conductivity k [W/(m K)] and dk = dk/dU at energy u [J/m³] for the food
// anchored at a. hint and guess [°C] speed the search and do not change the
// result beyond rounding.
func (r *Relation) At(u float64, a *Anchor, hint *int32, guess float64) (t, dt, k, dk float64) {
	if a.whole {
		return r.path.at(u, hint)
	}
	if u >= a.ub {
		return r.path.at(u+a.shift, hint)
	}
	if u >= a.uf {
		t, slope := r.unfrozenTemperature(u, a, guess)
		k, dk := r.moist.at(t, a.water)
		return t, 1 / slope, k, dk / slope
	}
	return r.refrozen(u, a, guess)
}

// unfrozenTemperature inverts U(T) at fixed water between freezing and boiling
// point, where it is all but straight on either side of 0 °C: Newton's method,
// held on the side.
func (r *Relation) unfrozenTemperature(u float64, a *Anchor, guess float64) (t, slope float64) {
	const below = -1e-12 // [°C] 0 from the left
	lo, hi := a.tf, a.tb
	zero := r.solid0
	if r.left > 0 {
		zero -= r.left * (1 - a.water/r.water) * r.dry.ts
	}
	if u >= zero {
		lo = math.Max(lo, 0)
	} else {
		hi = math.Min(hi, below)
	}
	t = clamp(guess, lo, hi)
	if t != t {
		t = lo
	}
	search := newBracket(lo, hi)
	for range 60 {
		v, d := r.unfrozenState(t, a.water)
		slope = d
		step := (u - v) / d
		if math.Abs(step) < 1e-4 { // the next would be a thousandth of its square
			return t + step, slope
		}
		t = search.next(t, step)
	}
	return t, slope
}

// refrozen is the rare branch of food that has lost water and froze again: the
// formulas themselves, without a table.
func (r *Relation) refrozen(u float64, a *Anchor, guess float64) (t, dt, k, dk float64) {
	lo, hi := r.lowest-100, a.tf
	t = clamp(guess, lo, hi)
	if t != t {
		t = hi
	}
	var slope float64
	search := newBracket(lo, hi)
	for range 80 {
		v, d := r.frozenState(t, a.water)
		slope = d
		step := (u - v) / d
		if math.Abs(step) < 1e-10 {
			break
		}
		t = search.next(t, step)
	}
	const d = 1e-3
	k = r.frozenConductivity(t, a.water)
	return t, 1 / slope, k, (k - r.frozenConductivity(t-d, a.water)) / d / slope
}

// States are what Evaluate finds of a run of cells; all slices have one length.
type States struct {
	T, TU []float64 // [°C] temperature (a guess before), [K m³/J] its slope dT/dU
	K, KU []float64 // [W/(m K)] conductivity, [W m²/(K J)]
	// F is the flux potential [W/m], ∫ k dT from the coldest state on (Kirchhoff 1894),
	// and FU [W m²/J] its slope. Between two cells of one food it gives the heat that
	// flows steadily, however the conductivity changes from one to the other. It is that
	// of the original water content, and no number where water has been lost.
	F, FU []float64
}

// Evaluate does what At does for a run of cells of this food at once: energies u
// [J/m³] in, states out. All slices have the length of u.
func (r *Relation) Evaluate(u []float64, a []Anchor, hints []int32, to States) {
	n := len(u)
	a, hints = a[:n], hints[:n]
	t, dt, k, dk, f, df := to.T[:n], to.TU[:n], to.K[:n], to.KU[:n], to.F[:n], to.FU[:n]
	nodes, segs := r.path.u, r.path.seg
	for i, v := range u {
		if c := &a[i]; !c.whole {
			t[i], dt[i], k[i], dk[i] = r.At(v, c, &hints[i], t[i])
			f[i], df[i] = math.NaN(), math.NaN()
			continue
		}
		// table.at and table.potential, written out: this loop is a third of a run
		j := int(hints[i])
		if uint(j) < uint(len(segs)) && j+1 < len(nodes) && v >= nodes[j] && v < nodes[j+1] {
			s := &segs[j]
			x := (v - nodes[j]) * s.inv
			t[i] = s.t0 + x*(s.t1+x*(s.t2+x*s.t3))
			dt[i] = s.inv * (s.t1 + x*(2*s.t2+3*x*s.t3))
			k[i] = s.k0 + x*(s.k1+x*(s.k2+x*s.k3))
			dk[i] = s.inv * (s.k1 + x*(2*s.k2+3*x*s.k3))
			f[i] = s.f0 + x*(s.f1+x*(s.f2+x*s.f3))
			df[i] = s.inv * (s.f1 + x*(2*s.f2+3*x*s.f3))
			continue
		}
		t[i], dt[i], k[i], dk[i] = r.path.at(v, &hints[i])
		f[i], df[i] = r.path.potential(v, hints[i])
	}
}

// Potential is the flux potential [W/m] (see States) at t [°C] with all of the original
// water, and its slope by t, the conductivity [W/(m K)]. Above the boiling point that stays
// what it is there. hint speeds the search.
func (r *Relation) Potential(t float64, hint *int32) (f, k float64) {
	if t > r.startT {
		return r.potential + r.conductivity*(t-r.startT), r.conductivity
	}
	return r.path.conducts(t, hint)
}

// Leaves says whether energy u [J/m³] lies on another straight piece of a
// measured curve than the one that hint, as At left it, points at. The curves of
// a composition have no kinks but those of the anchor.
func (r *Relation) Leaves(u float64, hint int32) bool {
	if r.food.Measured == nil {
		return false
	}
	last := len(r.path.seg) - 1
	j := max(0, min(int(hint), last))
	return (u < r.path.u[j] && j > 0) || (u >= r.path.u[j+1] && j < last)
}
