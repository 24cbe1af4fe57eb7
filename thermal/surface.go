package thermal

import (
	"math"

	"example.com/thawfront/geometry"
	"example.com/thawfront/phasechange"
)

// stefanBoltzmann is the radiation constant [W/(m² K⁴)], exact since the SI of 2019.
const stefanBoltzmann = 5.670374419e-8

// surface is one outer face with what it meets at the moment.
type surface struct {
	geometry.Surface
	meets Surroundings
	temp  float64 // [°C] solved
	heat  float64 // [W] into the dish at the last assembly
	slope float64 // d heat/dU of its cell [W m³/J]
	inner float64 // [°C] inside of any contact resistance, where the next search begins
	hint  int32
}

// meet finds the heat through a surface. Where all water is there the conductivity
// between it and the cell's node is that of the temperatures between them.
func (s *system) meet(f *surface) {
	c := f.Cell
	if s.pot[c] != s.pot[c] || s.temp[c] > s.anchors[c].BoilingPoint() {
		f.solve(s.temp[c], s.k[c], s.dT[c], s.dk[c])
		return
	}
	half := f.Half
	if s.risen != nil {
		half /= s.risen.conduct[c]
	}
	f.solveWhole(s.relation[c], half, s.temp[c], s.pot[c], s.dpot[c])
}

// outside is the heat [W] from the surroundings at surface temperature t [°C], and by how
// much it falls with t [W/K].
func (f *surface) outside(t float64) (gain, slope float64) {
	m := &f.meets
	convective := f.Area * m.H
	gain, slope = convective*(m.Fluid-t), convective
	if m.Emissivity > 0 {
		radiant, wall, T := f.Area*m.Emissivity*stefanBoltzmann, m.Walls+kelvin, t+kelvin
		gain += radiant * (wall*wall*wall*wall - T*T*T*T)
		slope += 4 * radiant * T * T * T
	}
	return gain, slope
}

// solve finds the surface temperature at which the heat from the surroundings
// is the heat conducted to the cell's node.
func (f *surface) solve(cell, k, dT, dk float64) {
	inner := f.Half / k
	r := inner + f.Contact/f.Area
	t := f.temp
	if t != t {
		t = cell
	}
	var gain, slope float64
	for range 30 {
		// residual and slope of the outer balance, convex in t: Newton settles
		gain, slope = f.outside(t)
		step := (gain*r + cell - t) / (1 + slope*r)
		if t += step; f.meets.Emissivity == 0 || math.Abs(step) < 1e-9 {
			break
		}
		t = math.Max(t, -kelvin) // the fourth power has no sign
	}
	gain, _ = f.outside(t)
	f.temp, f.heat = t, gain
	f.inner = f.skin()
	h := slope / (1 + slope*r)
	f.slope = h * (gain*inner/k*dk - dT)
}

// solveWhole does so with the flux potential, pot [W/m] at the node with slope dpot
// [W m²/J], over half [1/m]. The search is for the temperature of the dish itself, which
// conductivities of frozen and thawed food only bend; contact and surroundings follow.
func (f *surface) solveWhole(r *phasechange.Relation, half, cell, pot, dpot float64) {
	contact := f.Contact / f.Area
	t := f.inner
	if f.temp != f.temp {
		t = cell
	}
	lo, hi := -kelvin, math.Inf(1)
	hottest := max(cell, f.meets.Fluid) // no surface comes to be hotter
	if f.meets.Emissivity > 0 {
		hottest = max(hottest, f.meets.Walls)
	}
	var gain, slope, k float64
	for i := range 100 {
		var at float64
		at, k = r.Potential(t, &f.hint)
		q := (at - pot) / half
		outer := t + q*contact
		f.temp = math.Max(outer, -kelvin) // the fourth power has no sign
		gain, slope = f.outside(f.temp)
		step := (gain - q) / (slope*(1+k/half*contact) + k/half)
		if step > 0 {
			lo = t
		} else {
			hi = t
		}
		if t += step; math.Abs(step) < 1e-9 {
			break
		}
		// no slope is a guide where the contact's outer side would be below absolute zero;
		// once Newton's method has had its time, every other step halves
		if t < lo || t > hi || outer < -kelvin || i > 12 && i%2 == 0 {
			t = (lo + min(hi, hottest)) / 2
		}
	}
	f.inner, f.heat = t, gain
	f.slope = -slope * dpot / (k*(1+slope*contact) + slope*half)
}

// skin is the temperature of the dish itself at the surface [°C], inside of any
// contact resistance.
func (f *surface) skin() float64 { return f.temp - f.heat*f.Contact/f.Area }
