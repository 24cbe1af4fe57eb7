package phasechange

import (
	"math"

	"example.com/thawfront/materials"
)

// band is the range of energies in which the kink at the freezing point is
// spread out. A cell of a mesh holds a span of temperatures, so it does not
// begin to freeze all at once: with a linear profile that spans g across the
// cell, the part of it below the freezing point grows smoothly while its middle
// falls from tf + g/2 to tf - g/2. Averaging the kink over the cell gives the
// depth below the freezing point that the ice answers to,
//
//	depth = (tf + g/2 - T)² / (2 g)   for |T - tf| < g/2
//
// which is 0 above and tf - T below the band: outside of it nothing changes.
// Without this a front jumps from node to node and drags the integrator through
// every jump; with it the standard case takes less than half the steps.
type band struct {
	from, to float64 // [J/m³]
	g        float64 // [K]
}

var noBand = band{math.Inf(1), math.Inf(-1), 0}

// Bounds of a band [K]: below, it saves nothing; above, the profile across the
// cell is no line any more.
const (
	minSpan = 0.02
	maxSpan = 4.0
)

// Span tells the anchor of a cell at energy u [J/m³] that temperatures differ by
// g [K] across the cell. It has no effect while the cell is inside its band, so
// that a cell's temperature never jumps, or on food that has lost water.
func (r *Relation) Span(u float64, a *Anchor, g float64) {
	if !a.whole || r.water == 0 || (u > a.band.from && u < a.band.to) {
		return
	}
	b := noBand
	if g = math.Min(g, maxSpan); g >= minSpan && a.tf-g/2 > r.lowest && a.tf+g/2 < a.tb {
		b.g = g
		b.from, _ = r.frozenState(a.tf-g/2, a.water)
		b.to, _ = r.unfrozenState(a.tf+g/2, a.water)
		if u > b.from && u < b.to {
			return
		}
	}
	a.band = b
}

// depth is how far below the freezing point [K] the ice of the food anchored at
// a stands at t [°C], and minus its slope.
func (a *Anchor) depth(t float64) (depth, slope float64) {
	if d := a.tf + a.band.g/2 - t; a.band.g > 0 && d > 0 && d < a.band.g {
		return d * d / (2 * a.band.g), d / a.band.g
	}
	return math.Max(0, a.tf-t), 1
}

// Spread is the span of temperatures [K] across the cell that the anchor knows
// of, 0 if none.
func (a *Anchor) Spread() float64 { return a.band.g }

// Thawed is the temperature [°C] at which the last ice of the cell goes: the
// freezing point, or half the cell's span above it.
func (a *Anchor) Thawed() float64 { return a.tf + a.band.g/2 }

// spreadState is U and dU/dT at t inside the band, and the temperature whose ice
// the cell has.
func (r *Relation) spreadState(t float64, a *Anchor) (u, slope, as, dAs float64) {
	depth, dAs := a.depth(t)
	as = a.tf - depth
	s, ds := r.solid.at(t)
	m, dm := r.ice.unfrozen(as)
	m = math.Min(m, a.water)
	hl, cl := materials.Water.Enthalpy(t), materials.Water.SpecificHeat(t)
	hi, ci := iceEnthalpy(math.Min(t, 0)), materials.Ice.SpecificHeat(math.Min(t, 0))
	return s + m*hl + (a.water-m)*hi, ds + m*cl + (a.water-m)*ci + dm*dAs*(hl-hi), as, dAs
}

// spread is At inside the band.
func (r *Relation) spread(u float64, a *Anchor, hint *int32, guess float64) (t, dt, k, dk float64) {
	lo, hi := a.tf-a.band.g/2, a.tf+a.band.g/2
	if t = guess; !(t > lo && t < hi) {
		t = a.tf
	}
	var slope, as, dAs float64
	for range 60 {
		var v float64
		v, slope, as, dAs = r.spreadState(t, a)
		if v < u {
			lo = t
		} else {
			hi = t
		}
		step := (u - v) / slope
		if math.Abs(step) < 1e-9 {
			break
		}
		if t += step; t <= lo || t >= hi {
			t = (lo + hi) / 2
		}
	}
	// the conductivity is that of the food with this ice: the path at its temperature
	v, d := r.frozenState(as, a.water)
	_, _, k, dk = r.path.at(v, hint)
	return t, 1 / slope, k, dk * d * dAs / slope
}

// ThawedEnergy is U [J/m³] at that temperature.
func (a *Anchor) ThawedEnergy() float64 { return math.Max(a.uf, a.band.to) }
