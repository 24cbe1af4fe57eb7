package phasechange

import (
	"math"

	"example.com/thawfront/materials"
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
	closed  float64    // [-] share of a pore's vapour heat that the food conducts, see poreShare
	solids  float64    // [kg/m³] dry non-fat
	half    float64    // [kg/m³] water at which the diffusivity has fallen to half
	still   bool       // water neither enters nor leaves: a food given by measured curves
	protein float64    // [kg/m³]
	juicy   bool
}

// MoistCell is a piece of a food. T [°C] on entry to Moist.Evaluate is a guess, to be
// moved by TU and TW from the U and W it belongs to; the rest is set. Slopes to the right of a name are partial derivatives: by
// energy (U) at fixed water, by water (W) at fixed energy for T and at fixed
// temperature for the rest, by temperature (T) at fixed water.
type MoistCell struct {
	U, W       float64 // [J/m³] energy, [kg/m³] water
	T, TU, TW  float64 // [°C], [K m³/J], [K m³/kg]
	K, KT      float64 // [W/(m K)], [W/(m K²)]
	A, AT, AW  float64 // [-] water activity, [1/K], [m³/kg]
	P, PT, PW  float64 // [Pa] vapour pressure, [Pa/K], [Pa m³/kg]
	D, DT, DW  float64 // [m²/s] diffusivity of liquid and bound water; DT and DW relative [1/K], [m³/kg]
	Permeable  float64 // [kg/(m s Pa)] to vapour
	Liquid     float64 // [J/kg] enthalpy of liquid water at T, above 0 °C
	Vapour     float64 // [J/kg] enthalpy of vapour at T
	Melting    float64 // [J/m³] energy at the freezing point, or -Inf where that is far below
	Juice      float64 // [kg/(m³ s)] water let go by protein that no longer holds it
	JT, JW     float64 // [kg/(m³ s K)], [1/s]
	Frozen     bool    // ice is present
	path, node int32   // where the searches in the tables begin
}

// moistNode is an interval of the temperature grid: cubics in x from 0 to 1 as in
// segment4, or the values at both ends. It fills three lines of a processor's cache.
type moistNode struct {
	solid, liquid, psat segment4
	vapour              [2]float64 // [J/kg]
	spread              [2]float64 // diffusivity [m²/s]
	open                [2]float64 // permeability [kg/(m s Pa)]
	pore                [2]float64 // conductivity of vapour in a pore [W/(m K)]
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
	return m
}

// Water is the water content [kg/m³] at water activity a, 0 to below 1.
func (m *Moist) Water(a float64) float64 { return m.law.held(a) }

// Activity is the water activity [-] of the unfrozen food at water content w
// [kg/m³].
func (m *Moist) Activity(w float64) float64 {
	var hint int32
	a, _ := m.law.at(w, &hint)
	return a
}

// Still says that water can neither enter nor leave: of a food given by measured
// curves nothing is known of it.
func (m *Moist) Still() bool { return m.still }

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
		return i.tf * (i.water - i.bound) / (w - i.bound)
	case w > i.water && i.curve == IdealSolution:
		free := w - i.bound
		return iceTemperature(free / (free + i.solute))
	}
	return i.point(w, m.r.lowest)
}

// Evaluate sets c from energy u [J/m³] and water content w [kg/m³].
func (m *Moist) Evaluate(u, w float64, c *MoistCell) {
	if m.still {
		t, dt, k, dk := m.r.path.at(u, &c.path)
		*c = MoistCell{U: u, W: w, T: t, TU: dt, K: k, KT: dk / dt, Melting: math.Inf(-1), path: c.path}
		return
	}
	if t := c.T + c.TU*(u-c.U) + c.TW*(w-c.W); t > MinTemperature && t < MaxTemperature {
		c.T = t
	}
	c.U, c.W = u, w
	m.solve(u, w, c)
	x, g := m.locate(c.T)
	ps, dps := g.psat.in(x)
	if c.Frozen {
		pi, dpi := m.icy(c.T).pice.in(x)
		c.P, c.PT, c.PW = pi, dpi/moistStepT, 0
		c.A = pi / ps
		c.AT, c.AW = (dpi-c.A*dps)/ps/moistStepT, 0
		c.D, c.DT, c.DW = 0, 0, 0
	} else {
		c.A, c.AW = m.law.at(w, &c.node)
		c.AT = 0
		c.P, c.PT, c.PW = c.A*ps, c.A*dps/moistStepT, c.AW*ps
		m.spread(g, x, w, c)
	}
	lin := min(max(x, 0), 1)
	c.Permeable = between(g.open, lin)
	c.Liquid, _ = g.liquid.in(x)
	c.Vapour = between(g.vapour, x)
	if m.closed > 0 {
		c.K, c.KT = m.withVapour(c.K, c.KT, c.A*between(g.pore, lin), c.A*(g.pore[1]-g.pore[0])/moistStepT)
	}
	if m.juicy {
		m.juice(g, lin, w, c)
	}
}

// spread sets the diffusivity of liquid and bound water.
func (m *Moist) spread(g *moistNode, x, w float64, c *MoistCell) {
	x = min(max(x, 0), 1)
	d := between(g.spread, x)
	c.D, c.DT, c.DW = d, 0, 0
	if d > 0 {
		c.DT = (g.spread[1] - g.spread[0]) / (d * moistStepT)
	}
	if m.half > 0 {
		w = max(w, 1e-9*m.half)
		c.D *= w / (w + m.half)
		c.DW = m.half / (w * (w + m.half))
	}
}

// juice sets how fast protein lets go of what it no longer holds.
func (m *Moist) juice(g *moistNode, x, w float64, c *MoistCell) {
	c.Juice, c.JT, c.JW = 0, 0, 0
	if c.Frozen {
		return
	}
	excess := w - between(g.kept, x)
	if excess <= 0 {
		return
	}
	r := between(g.rate, x)
	c.Juice = r * excess
	c.JW = r
	c.JT = (excess*(g.rate[1]-g.rate[0]) - r*(g.kept[1]-g.kept[0])) / moistStepT
}

func between(v [2]float64, x float64) float64 { return v[0] + x*(v[1]-v[0]) }

// solve finds T with its slopes, K with its own, and whether there is ice: below the
// energy of the freezing point at this water content there is.
func (m *Moist) solve(u, w float64, c *MoistCell) {
	r := m.r
	c.Melting = math.Inf(-1)
	freezes := r.water > 0 // what had no water holds the little it gets as it is
	if freezes && (c.Frozen || c.T < warm) {
		c.Melting = m.melting(w)
		if u < c.Melting {
			m.frozen(u, w, c)
			return
		}
	}
	m.unfrozen(u, w, c)
	if freezes && c.T < warm && math.IsInf(c.Melting, -1) {
		if c.Melting = m.melting(w); u < c.Melting {
			m.frozen(u, w, c)
		}
	}
}

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
	t := c.T
	if t != t {
		t = 0
	}
	var left, leftW float64 // what is neither solids nor water, per K
	if r.left > 0 && w < r.water {
		left, leftW = r.left*(1-w/r.water), -r.left/r.water
	}
	bound := math.Min(w, r.ice.bound)
	var slope, liquid, ice float64
	for range 60 {
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
		if t < 0 && t+step > 0 || t > 0 && t+step < 0 { // the slope changes there
			t = 0
			if step < 0 {
				t = -1e-12
			}
			continue
		}
		t += step
		if math.Abs(step) < 0.02 { // the next would be a thousandth of its square
			break
		}
		t = min(max(t, -500), 2000)
	}
	c.Frozen = false
	uw := liquid + leftW*(t-r.dry.ts)
	if t < 0 && w < r.ice.bound {
		uw += ice + materials.LatentHeatFusion - liquid
	}
	c.T, c.TU, c.TW = t, 1/slope, -uw/slope
	c.K, c.KT = r.moist.at(t, w)
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
	if c.K, c.KT = k, dk/dt; more != 0 {
		c.K, c.KT = m.drier(t, w, k, dk/dt)
	}
}

// byFormula is the state with ice of food that has taken up water, so that it freezes
// already above the food's own freezing point, where its table has no ice, or that
// has lost so much of it that the table's error counts for more.
func (m *Moist) byFormula(u, w float64, c *MoistCell) {
	r := m.r
	lo, hi := r.lowest-100, m.FreezingPoint(w)
	t := c.T
	if !(t > lo && t < hi) {
		t = hi - 1e-6
	}
	var slope, ice float64
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
		ice = i
		if v < u {
			lo = t
		} else {
			hi = t
		}
		step := (u - v) / slope
		if math.Abs(step) < 1e-8 || hi-lo < 1e-12 {
			break
		}
		if t += step; !(t > lo && t < hi) {
			t = (lo + hi) / 2
		}
	}
	more := w - r.water
	if r.left > 0 && more < 0 {
		ice -= r.left / r.water * (t - r.dry.ts)
	}
	c.Frozen = true
	c.T, c.TU, c.TW = t, 1/slope, -ice/slope
	_, dt, k, dk := r.path.at(u-more*ice, &c.path)
	c.K, c.KT = m.drier(t, w, k, dk/dt)
}

// drier is the conductivity with ice at another water content than the food's own, at
// which it is k: between that and the food's without water.
func (m *Moist) drier(t, w, k, slope float64) (float64, float64) {
	if w >= m.r.water {
		return k, slope
	}
	dry, drySlope := m.r.moist.at(t, 0)
	share := w / m.r.water
	return dry + share*(k-dry), drySlope + share*(slope-drySlope)
}
