package phasechange

import (
	"math"
)

// Moist is the state law of a food in which water moves: temperature, water
// activity and vapour pressure against energy and water together, and how readily
// water passes. Unlike a Relation it lets no steam go by itself: above the boiling
// point the vapour pressure is above the surroundings', and what leaves because
// of it is the solver's affair. Get one from Relation.Moist; it does not change and
// may be shared.
type Moist struct {
	r       *Relation
	law     activityTable
	grid    []moistNode
	cold    []coldNode // up to 0 °C
	pores   float64    // [m³/m³]
	inPores float64    // [W/(m K)] the most that vapour adds to the air in them
	solids  float64    // [kg/m³] dry non-fat
	half    float64    // [kg/m³] water at which the diffusivity has fallen to half
	still   bool       // water neither enters nor leaves: a food given by measured curves
	protein float64    // [kg/m³]
	juicy   bool
	// [W/m], [W/(m K)] flux potential and conductivity at the freezing point
	potential, conductivity float64
}

// MoistCell is a piece of a food. T [°C] on entry to Moist.Evaluate is a guess, to be
// moved by TU and TW from the U and W it belongs to; the rest is set. Letters added to
// a name make it a partial derivative: by energy (U) at fixed water, by water (W) at
// fixed energy for T and at fixed temperature for the rest, by temperature (T) at
// fixed water.
type MoistCell struct {
	U, W      float64 // [J/m³] energy, [kg/m³] water
	T, TU, TW float64 // [°C], [K m³/J], [K m³/kg]
	K, KT, KW float64 // [W/(m K)], [W/(m K²)], [W m²/(K kg)]; KW leaves out ice
	// F [W/m] is the flux potential at T (see States) of the original food with its ice, FT
	// [W/(m K)] and FTT [W/(m K²)] its slopes. Unfrozen food goes on straight from the
	// freezing point: its conductivity changes little.
	F, FT, FTT float64
	A, AT, AW  float64 // [-] water activity, [1/K], [m³/kg]
	AWW        float64 // [m³/kg] for each kg/m³: slope of AW by water
	P, PT, PW  float64 // [Pa] vapour pressure, [Pa/K], [Pa m³/kg]
	Slow       float64 // [s/m²] 1/D of the diffusivity of liquid and bound water, or Impassable
	DT, DW     float64 // relative slopes of D, [1/K], [m³/kg]
	Tight      float64 // [m s Pa/kg] 1/permeability to vapour
	Liquid     float64 // [J/kg] enthalpy of liquid water at T, above 0 °C
	Vapour     float64 // [J/kg] enthalpy of vapour at T
	Melting    float64 // [J/m³] energy at the freezing point, or -Inf where that is far below
	Juice      float64 // [kg/(m³ s)] water let go by protein that no longer holds it
	Excess     float64 // [kg/m³] what it no longer holds, where Juice is above 0
	JT, JW     float64 // [kg/(m³ s K)], [1/s]
	Frozen     bool    // ice is present
	// Iced [-] goes from 0 to 1 as the first ice forms, with slopes by temperature and
	// water; the rest is of the food as if all were liquid.
	Iced, IcedT, IcedW            float64
	LiquidA, LiquidAW, LiquidSlow float64
	baseU                         float64 // [J/m³] of the last full evaluation
	baseW                         float64 // [kg/m³]
	flat                          bool    // there was one
	meltW                         float64 // [kg/m³] the water that Melting is of
	solid                         float64 // [J/m³] energy up to which Iced is 1, of a frozen cell
	path, node                    int32   // where the searches in the tables begin
}

// moistNode is an interval of the temperature grid: cubics in x from 0 to 1 as in
// segment4, or the values at both ends. It fills three lines of a processor's cache.
type moistNode struct {
	solid, liquid, psat segment4
	vapour              [2]float64 // [J/kg]
	slow                [2]float64 // 1/diffusivity [s/m²]
	tight               [2]float64 // 1/permeability [m s Pa/kg]
	spread              float64    // relative slope of the diffusivity [1/K]
	pore                [2]float64 // see vapourInPores
	kept, rate          [2]float64 // water held by protein [kg/m³], rate [1/s]
}

// Moist gives the law of the food whose relation this is.
func (r *Relation) Moist() *Moist {
	f := r.food
	m := &Moist{r: r}
	if f.Measured != nil {
		m.still = true
		return m
	}
	c := f.Composition
	m.solids = r.density * (c.Solids() - c.Fat)
	m.protein = r.density * c.Protein
	t, _ := f.WaterTransport()
	m.half = t.HalfMoisture * m.solids
	m.juicy = f.Holding != nil && m.protein > 0
	m.law = newActivityTable(r)
	m.newGrid(t)
	if m.conductivity = 1; r.water > 0 {
		var hint int32
		m.potential, _ = r.path.conducts(r.ice.tf, &hint)
		m.conductivity, _ = r.moist.at(r.ice.tf, r.water)
	}
	return m
}

// Water is the water content [kg/m³] at water activity a, 0 to below 1.
func (m *Moist) Water(a float64) float64 { return m.law.held(a) }

// Activity is the water activity [-] of the unfrozen food at water content w
// [kg/m³].
func (m *Moist) Activity(w float64) float64 {
	var hint int32
	a, _, _ := m.law.at(w, &hint)
	return a
}

// Still says that water can neither enter nor leave: of a food given by measured
// curves nothing is known of it.
func (m *Moist) Still() bool { return m.still }

// Freezes says whether ice may form at all.
func (m *Moist) Freezes() bool { return !m.still && m.r.water > 0 }

// Energy is U [J/m³] at t [°C] and water content w [kg/m³].
func (m *Moist) Energy(t, w float64) float64 {
	if m.still {
		return m.r.path.energy(t)
	}
	if m.Ice(t, w) > 0 {
		u, _ := m.r.frozenState(t, w)
		return u
	}
	u, _ := m.r.unfrozenState(t, w)
	return u
}

// Ice is the ice [kg/m³] at t [°C] and water content w [kg/m³].
func (m *Moist) Ice(t, w float64) float64 {
	if m.still || t >= 0 || m.r.water == 0 {
		return 0
	}
	f, _ := m.r.ice.unfrozen(t)
	return math.Max(0, w-f)
}

// FreezingPoint is the temperature [°C] at which ice begins to form at water
// content w [kg/m³].
func (m *Moist) FreezingPoint(w float64) float64 {
	i := &m.r.ice
	switch {
	case m.still || i.water == 0:
		return math.Inf(-1)
	case w > i.water && (i.curve == BoundWater || i.curve == Miles): // diluted
		return math.Min(i.tf*(i.water-i.bound)/(w-i.bound), warmestIce)
	case w > i.water && i.curve == IdealSolution:
		free := w - i.bound
		return math.Min(iceTemperature(free/(free+i.solute)), warmestIce)
	}
	return i.point(w, m.r.lowest)
}

// Evaluate sets c from energy u [J/m³] and water content w [kg/m³].
func (m *Moist) Evaluate(u, w float64, c *MoistCell) {
	if m.still {
		t, dt, k, dk := m.r.path.at(u, &c.path)
		f, _ := m.r.path.potential(u, c.path)
		*c = MoistCell{F: f, FT: k, FTT: dk / dt, Slow: Impassable, LiquidSlow: Impassable, LiquidAW: 1, Tight: Impassable, U: u, W: w, T: t, TU: dt, K: k, KT: dk / dt, Melting: math.Inf(-1), path: c.path}
		return
	}
	if m.near(u, w, c) {
		return
	}
	if t := c.T + c.TU*(u-c.U) + c.TW*(w-c.W); t > MinTemperature && t < MaxTemperature {
		c.T = t
	}
	c.U, c.W, c.baseU, c.baseW, c.flat = u, w, u, w, true
	m.solve(u, w, c)
	x, g := m.locate(c.T)
	ps, dps := g.psat.in(x)
	c.A, c.AW, c.AWW = m.law.at(w, &c.node)
	c.AT, c.Iced, c.IcedT, c.IcedW = 0, 0, 0, 0
	m.spread(g, x, w, c)
	c.LiquidA, c.LiquidAW, c.LiquidSlow = c.A, c.AW, c.Slow
	if c.Frozen {
		m.freeze(u, w, x, ps, dps/moistStepT, c)
	}
	c.P, c.PT, c.PW = c.A*ps, c.A*dps/moistStepT+c.AT*ps, c.AW*ps
	lin := min(max(x, 0), 1)
	c.Tight = between(g.tight, lin)
	c.Liquid, _ = g.liquid.in(x)
	c.Vapour = between(g.vapour, x)
	if m.pores > 0 {
		m.addVapour(g, lin, c)
	}
	if m.juicy {
		m.juice(g, lin, w, c)
	}
}

// firstIce is the share of the water over whose freezing the laws of moist food pass
// into those of frozen food. They differ where they meet: the isotherm and the ice
// curve come from different measurements, and liquid stops moving. At a jump
// a cell would go back and forth (a guess).
const firstIce = 0.05

// freeze passes from the moist law, already in c, to that of food with ice: the vapour
// pressure becomes that of ice, liquid stands still, protein keeps its juice.
func (m *Moist) freeze(u, w, x, ps, dps float64, c *MoistCell) {
	c.Iced, c.IcedT, c.IcedW = 1, 0, 0
	c.solid = math.Inf(1) // far away
	if c.T > m.FreezingPoint((1-firstIce)*w)-0.1 {
		at, span := m.icing(w)
		c.solid = at - span
		if c.Iced = min(max((at-u)/span, 0), 1); c.Iced < 1 {
			d := 1e-4 * w
			more, wider := m.icing(w + d)
			c.IcedT = -1 / (span * c.TU)
			c.IcedW = (more-at-c.Iced*(wider-span))/(d*span) + c.TW/(span*c.TU)
		}
	}
	pi, dpi := m.icy(c.T).pice.in(x)
	ice := pi / ps
	iceT := (dpi/moistStepT - ice*dps) / ps
	rest, gap := 1-c.Iced, ice-c.A
	c.A += c.Iced * gap
	c.AT = c.Iced*iceT + gap*c.IcedT
	c.AW = rest*c.AW + gap*c.IcedW
	c.AWW *= rest
	c.KW = 0
	if rest == 0 {
		c.Slow, c.DT, c.DW = Impassable, 0, 0
		return
	}
	c.Slow /= rest
	c.DT -= c.IcedT / rest
	c.DW -= c.IcedW / rest
}

// icing is the energy [J/m³] at the freezing point of water content w, and by how much
// less it is when firstIce of that has turned to ice.
func (m *Moist) icing(w float64) (melting, span float64) {
	rest := (1 - firstIce) * w
	t := m.FreezingPoint(rest)
	x, _ := m.locate(t)
	ice, _ := m.icy(t).ice.in(x)
	melting = m.melting(w)
	return melting, melting - m.melting(rest) - firstIce*w*ice
}

// near takes the straight line from the last full evaluation, if u and w lie so close
// to it that the curves do not part from it by more than some 1e-5 K, or the like. Most
// cells are, from one of Newton's iterations to the next.
func (m *Moist) near(u, w float64, c *MoistCell) bool {
	if !c.flat {
		return false
	}
	du, dw := u-c.baseU, w-c.baseW
	t := c.TU*du + c.TW*dw
	reach := 0.01
	if c.Frozen {
		reach = min(reach, 1e-3*math.Abs(c.T))
		if c.Iced < 1 || u > c.solid {
			return false // its laws bend
		}
	}
	if own := m.r.water; (w < own) != (c.baseW < own) {
		return false // what takes the place of lost water begins there
	}
	if !(math.Abs(t) < reach && math.Abs(c.AWW)*dw*dw < 1e-6 && math.Abs(dw) < 1e-3*c.W) ||
		(u < c.Melting) != c.Frozen || (c.Juice > 0) != (c.Juice+c.JW*dw > 0) {
		return false
	}
	du, dw = u-c.U, w-c.W
	if (c.T < 0) != (c.T+c.TU*du+c.TW*dw < 0) {
		return false // the specific heat of water jumps there
	}
	c.Shift(du, dw)
	return true
}

// Shift moves c by small changes of energy [J/m³] and water [kg/m³], to first order.
func (c *MoistCell) Shift(du, dw float64) {
	t := c.TU*du + c.TW*dw
	c.U += du
	c.W += dw
	c.T += t
	c.A += c.AT*t + c.AW*dw
	c.AW += c.AWW * dw
	c.P += c.PT*t + c.PW*dw
	c.K += c.KT*t + c.KW*dw
	c.F += c.FT * t
	c.FT += c.FTT * t
	c.Juice += c.JT*t + c.JW*dw
	c.Slow *= 1 - c.DT*t - c.DW*dw
	if !c.Frozen {
		c.LiquidA, c.LiquidAW, c.LiquidSlow = c.A, c.AW, c.Slow
	}
	c.Liquid += shiftLiquid * t
	c.Vapour += shiftVapour * t
}

// Specific heats [J/(kg K)] of water and its vapour for Shift, over some hundredths of
// a kelvin.
const (
	shiftLiquid = 4200.0
	shiftVapour = 1700.0
)

// spread sets the diffusivity of liquid and bound water.
func (m *Moist) spread(g *moistNode, x, w float64, c *MoistCell) {
	x = min(max(x, 0), 1)
	c.Slow, c.DT, c.DW = between(g.slow, x), g.spread, 0
	if m.half > 0 {
		in := 1 / max(w, 1e-9*m.half)
		q := m.half * in
		c.Slow *= 1 + q
		c.DW = in * q / (1 + q)
	}
}

// juice sets how fast protein lets go of what it no longer holds.
func (m *Moist) juice(g *moistNode, x, w float64, c *MoistCell) {
	c.Juice, c.JT, c.JW = 0, 0, 0
	excess := w - between(g.kept, x)
	if excess <= 0 || c.Iced == 1 {
		return
	}
	r, rest := between(g.rate, x), 1-c.Iced
	c.Juice = r * excess * rest
	c.JW = r * (rest - excess*c.IcedW)
	c.JT = rest*(excess*(g.rate[1]-g.rate[0])-r*(g.kept[1]-g.kept[0]))/moistStepT - r*excess*c.IcedT
	c.Excess = excess
}

func between(v [2]float64, x float64) float64 { return v[0] + x*(v[1]-v[0]) }
