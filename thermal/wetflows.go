package thermal

import "math"

// The flows of a wet system that the accounts need, in this order: heat in through
// each surface [W] and water out through each [kg/s]; of each layer the steam
// boiled off [kg/s] and its heat [W], the juice let go [kg/s] and its heat [W].
func (w *wet) flowCount() int { return 2*len(w.skins) + 4*w.layers }

// of a layer, the places of its four flows
func (w *wet) layerFlows(flows []float64, layer int) *[4]float64 {
	return (*[4]float64)(flows[2*len(w.skins)+4*layer:])
}

func (w *wet) flows(out []float64) {
	m := len(w.skins)
	clear(out)
	for i := range w.skins {
		out[i], out[m+i] = w.skins[i].heat, w.skins[i].mass
	}
	for i := range w.outs {
		c := &w.outs[i]
		to := w.layerFlows(out, int(w.cells[c.cell].layer))
		to[0] += c.steam.mass
		to[1] += c.steam.heat
		to[2] += c.juice.mass
		to[3] += c.juice.heat
	}
}

func (w *wet) addFlows(out, v []float64, times float64) {
	m, n := len(w.skins), w.n
	for i := range w.skins {
		s := &w.skins[i]
		u, x := times*v[s.surface.Cell], times*v[n+s.surface.Cell]
		out[i] += s.slope.uu*u + s.slope.uw*x
		out[m+i] += s.slope.wu*u + s.slope.ww*x
	}
	for i := range w.outs {
		c := &w.outs[i]
		u, x := times*v[c.cell], times*v[n+c.cell]
		to := w.layerFlows(out, int(w.cells[c.cell].layer))
		to[0] += c.steam.massU*u + c.steam.massW*x
		to[1] += c.steam.heatU*u + c.steam.heatW*x
		to[2] += c.juice.massU*u + c.juice.massW*x
		to[3] += c.juice.heatU*u + c.juice.heatW*x
	}
}

// shift moves what is read off the cells between evaluations.
func (w *wet) shift(v []float64, times float64) {
	n := w.n
	temp := w.sys.temp[:n]
	for i := range w.cells {
		c := &w.cells[i]
		u, x := times*v[i], times*v[n+i]
		c.Shift(u, x)
		temp[i] = c.T
	}
}

// What error of a step is allowed in the water of a cell, at the tolerance of 1 K;
// it goes in proportion with Settings.Tolerance.
const (
	activityTolerance = 0.14 // [-] 0.01 at the default
	waterTolerance    = 60.0 // [kg/m³] 4 at the default
	// wetEase is how much more error in energy is allowed than where only heat moves.
	// The mean of the weighted errors is over twice as many unknowns, and the surface,
	// held by evaporation, moves less: on the reference case the temperatures of centre
	// and surface are still less than half as far off as those with water at rest.
	wetEase = 2.0
)

func (w *wet) setWeights(weight []float64, tolerance float64) {
	n := w.n
	inU, inW := weight[:n], weight[n:2*n]
	tolerance *= wetEase
	for i := range w.cells {
		c := &w.cells[i]
		inU[i] = (math.Min(c.TU, 1/leastHeat) + 1/heatScale) / tolerance
		inW[i] = wetEase * (c.AW/activityTolerance + 1/waterTolerance) / tolerance
	}
}

// crossed says whether the update just made carried a cell over the point where
// melting or boiling begins or ends, where the system's slopes jump.
func (w *wet) crossed(x, update []float64) bool {
	const (
		still  = 1e-4 // [K]
		little = 20   // [Pa]
	)
	n := w.n
	for i := range w.cells {
		c := &w.cells[i]
		du, dw := update[i], update[n+i]
		t := c.TU*du + c.TW*dw
		p := c.PT*t + c.PW*dw
		if c.P+p > c.vents != (c.P > c.vents) && math.Abs(p) > little {
			return true
		}
		if math.Abs(t) < still && math.Abs(du) < negligible {
			continue
		}
		switch {
		case c.Frozen:
			if x[i] > c.Melting && c.T+t > -20 {
				return true
			}
		case x[i] < c.Melting, math.IsInf(c.Melting, -1) && c.T+t < 0 && c.law.Freezes():
			return true
		}
	}
	return false
}

// limit keeps one update from carrying a cell far past the point where melting ends,
// or to less water than none: slopes before are no guide beyond.
func (w *wet) limit(x, update []float64) bool {
	n := w.n
	limited := false
	for i := range w.cells {
		c := &w.cells[i]
		if du := update[i]; c.Frozen && du > beyond && x[i]+du > c.Melting+beyond {
			update[i] = c.Melting + beyond - x[i]
			limited = true
		}
		if have := x[n+i]; have > 0 && have+update[n+i] < -0.01*have {
			update[n+i] = -0.9 * have
			limited = true
		}
	}
	return limited
}

// borrow finds a cell with less water than none, or gives -1. What lies below zero by
// rounding only, in food that is as good as bone dry, is taken from the wettest
// cell, so that none is lost or made.
func (w *wet) borrow(x []float64) int {
	const rounding = 1e-9 // [kg/m³]
	water, volume := x[w.n:2*w.n], w.sys.volume
	for i, v := range water {
		if v >= 0 {
			continue
		}
		if !(v > -rounding) {
			return i
		}
		wettest := 0
		for j := range water {
			if water[j]*volume[j] > water[wettest]*volume[wettest] {
				wettest = j
			}
		}
		left := water[wettest] + v*volume[i]/volume[wettest]
		if left < 0 {
			return i
		}
		water[i], water[wettest] = 0, left
	}
	return -1
}
