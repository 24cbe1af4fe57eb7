package phasechange

import (
	"math"

	"example.com/thawfront/materials"
)

// solve finds T with its slopes, K with its own, and whether there is ice: below the
// energy of the freezing point at this water content there is.
func (m *Moist) solve(u, w float64, c *MoistCell) {
	r := m.r
	at := c.Melting
	c.Melting = math.Inf(-1)
	freezes := r.water > 0 // what had no water holds the little it gets as it is
	if freezes && (c.Frozen || c.T < warm) {
		// far from it the energy of the freezing point need not be found anew
		far := u > at+farOff || u < at-farOff-2*firstIce*materials.LatentHeatFusion*w
		if c.Melting = at; !far || !(math.Abs(w-c.meltW) < 1e-3*(w-r.ice.bound)) {
			c.Melting, c.meltW = m.melting(w), w
		}
		if u < c.Melting {
			m.frozen(u, w, c)
			return
		}
	}
	m.unfrozen(u, w, c)
	if freezes && c.T < warm && math.IsInf(c.Melting, -1) {
		if c.Melting, c.meltW = m.melting(w), w; u < c.Melting {
			m.frozen(u, w, c)
		}
	}
}

// farOff [J/m³], 0.3 K of food without ice and less of it with, is far more than the
// energy of the freezing point moves when the water changes by a thousandth of what of it
// can freeze.
const farOff = 1e6

// warm [°C] is above all freezing points.
const warm = 3.0

// melting is the energy [J/m³] at the freezing point, all of water w liquid.
func (m *Moist) melting(w float64) float64 {
	t := m.FreezingPoint(w)
	x, g := m.locate(t)
	s, _ := g.solid.in(x)
	l, _ := g.liquid.in(x)
	i, _ := m.icy(t).ice.in(x)
	r := m.r
	u := s + w*l + math.Min(w, r.ice.bound)*(i+materials.LatentHeatFusion-l)
	if r.left > 0 && w < r.water {
		u += r.left * (1 - w/r.water) * (t - r.dry.ts)
	}
	return u
}

// unfrozen is the state with all water liquid.
func (m *Moist) unfrozen(u, w float64, c *MoistCell) {
	r := m.r
	search := newBracket(-500, 2000)
	t := c.T
	if !(t > search.lo && t < search.hi) {
		t = 0
	}
	var left, leftW float64 // what is neither solids nor water, per K
	if r.left > 0 && w < r.water {
		left, leftW = r.left*(1-w/r.water), -r.left/r.water
	}
	bound := math.Min(w, r.ice.bound)
	var slope, liquid, ice float64
	for range 80 {
		x, g := m.locate(t)
		s, ds := g.solid.in(x)
		l, dl := g.liquid.in(x)
		v := s + w*l + left*(t-r.dry.ts)
		slope, liquid = (ds+w*dl)/moistStepT+left, l
		if t < 0 {
			i, di := m.icy(t).ice.in(x)
			v += bound * (i + materials.LatentHeatFusion - l)
			slope += bound * (di - dl) / moistStepT
			ice = i
		}
		step := (u - v) / slope
		// the next would be a thousandth of its square, but across 0 °C the slope is another
		if size := math.Abs(step); size < 1e-9 || size < 2e-3 && (t < 0) == (t+step < 0) {
			t += step
			break
		}
		t = search.next(t, step)
	}
	c.Frozen = false
	uw := liquid + leftW*(t-r.dry.ts)
	if t < 0 && w < r.ice.bound {
		uw += ice + materials.LatentHeatFusion - liquid
	}
	c.T, c.TU, c.TW = t, 1/slope, -uw/slope
	c.K, c.KT, c.KW = r.moist.by(t, w)
	m.conducts(c)
}

// conducts sets the flux potential at the cell's temperature.
func (m *Moist) conducts(c *MoistCell) {
	r := m.r
	if r.water == 0 || c.T >= r.ice.tf {
		c.F, c.FT, c.FTT = m.potential+m.conductivity*(c.T-r.ice.tf), m.conductivity, 0
		return
	}
	const d = 1e-3
	_, before := r.path.conducts(c.T-d, &c.path)
	c.F, c.FT = r.path.conducts(c.T, &c.path)
	c.FTT = (c.FT - before) / d
}

// frozen is the state with ice. It takes the food's own table, which holds for its
// original water, and sets right what more or less of ice makes of it.
func (m *Moist) frozen(u, w float64, c *MoistCell) {
	r := m.r
	more := w - r.water
	if more > 1e-6*r.water || more < -0.3*r.water {
		m.byFormula(u, w, c)
		return
	}
	left := 0.0
	if r.left > 0 {
		left = r.left / r.water
	}
	t := c.T
	if t != t || t > 0 {
		t = r.ice.tf
	}
	var dt, k, dk, ice, dice float64
	for range 40 {
		x, _ := m.locate(min(t, 0))
		i, di := m.icy(t).ice.in(x)
		ice, dice = i-left*(t-r.dry.ts), di/moistStepT-left
		var next float64
		next, dt, k, dk = r.path.at(u-more*ice, &c.path)
		moved := next - t
		t = next
		if math.Abs(moved*more*dice*dt) < 1e-7 {
			break
		}
	}
	c.Frozen = true
	slope := 1/dt + more*dice
	c.T, c.TU, c.TW = t, 1/slope, -ice/slope
	c.F, _ = r.path.potential(u-more*ice, c.path)
	c.FT, c.FTT = k, dk/dt
	if c.K, c.KT = k, dk/dt; more != 0 {
		c.K, c.KT = m.drier(t, w, k, dk/dt)
	}
}

// byFormula is the state with ice of food that has taken up water, so that it freezes
// already above the food's own freezing point, where its table has no ice, or that
// has lost so much of it that the table's error counts for more.
func (m *Moist) byFormula(u, w float64, c *MoistCell) {
	r := m.r
	search := newBracket(r.lowest-100, m.FreezingPoint(w))
	t := c.T
	if !(t > search.lo && t < search.hi) {
		t = search.hi - 1e-6
	}
	var slope, ice, liquid, unfrozen float64
	for range 80 {
		x, g := m.locate(t)
		s, ds := g.solid.in(x)
		l, dl := g.liquid.in(x)
		i, di := m.icy(t).ice.in(x)
		b := r.ice.bound
		f, df := r.ice.unfrozen(t)
		if f > w { // of a curve that ends at the food's own freezing point
			f, df = w, 0
		}
		v := s + b*(i+materials.LatentHeatFusion-l) + f*l + (w-f)*i
		slope = (ds+b*(di-dl)+f*dl+(w-f)*di)/moistStepT + df*(l-i)
		if r.left > 0 && w < r.water {
			left := r.left * (1 - w/r.water)
			v += left * (t - r.dry.ts)
			slope += left
		}
		ice, liquid, unfrozen = i, l, f
		step := (u - v) / slope
		if math.Abs(step) < 1e-8 || search.hi-search.lo < 1e-12 {
			break
		}
		t = search.next(t, step)
	}
	more := w - r.water
	if r.left > 0 && more < 0 {
		ice -= r.left / r.water * (t - r.dry.ts)
	}
	c.Frozen = true
	c.T, c.TU, c.TW = t, 1/slope, -ice/slope
	own := u - more*ice // energy of the original food at t
	if t > r.ice.tf {   // where that has no ice yet
		own = u - (w-unfrozen)*ice + (r.water-unfrozen)*liquid
	}
	_, dt, k, dk := r.path.at(own, &c.path)
	c.K, c.KT = m.drier(t, w, k, dk/dt)
	m.conducts(c)
}

// drier is the conductivity with ice at another water content than the food's own, at
// which it is k: between that and the food's without ice, whose liquid is the same.
func (m *Moist) drier(t, w, k, slope float64) (float64, float64) {
	if w >= m.r.water {
		return k, slope
	}
	f, df := m.r.ice.unfrozen(t)
	if f > w {
		f, df = w, 0
	}
	thawed, byT, byW := m.r.moist.by(t, f)
	whole := m.r.water - f // ice that the whole food has
	share := (w - f) / whole
	freezing := df * (w - m.r.water) / (whole * whole) // share's slope
	return thawed + share*(k-thawed), (1-share)*(byT+byW*df) + share*slope + freezing*(k-thawed)
}
