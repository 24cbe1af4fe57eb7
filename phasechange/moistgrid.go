package phasechange

import (
	"math"
	"sync"

	"example.com/thawfront/materials"
)

// moistStepT [K] is the step of the temperature grid of Moist, solidGrid's own.
const moistStepT = solidStep

// locate gives the interval of the grid that holds t [°C] and how far into it. Just
// outside of the grid its end intervals go on; further out they hold, for nothing
// that far is taken.
func (m *Moist) locate(t float64) (x float64, g *moistNode) {
	x = (t - MinTemperature) * (1 / moistStepT)
	i := min(max(int(x), 0), len(m.grid)-1)
	return min(max(x-float64(i), -1), 2), &m.grid[i]
}

// coldNode is what ice adds to an interval of the grid below 0 °C.
type coldNode struct{ ice, pice segment4 }

// icy gives the interval of ice's curves that holds t [°C], the same as locate's
// below 0 °C.
func (m *Moist) icy(t float64) *coldNode {
	return &m.cold[min(max(int((t-MinTemperature)/moistStepT), 0), len(m.cold)-1)]
}

// in gives value and slope over a step in the interval, x from 0 to 1.
func (s *segment4) in(x float64) (v, slope float64) {
	return s.c0 + x*(s.c1+x*(s.c2+x*s.c3)), s.c1 + x*(2*s.c2+3*x*s.c3)
}

// cubics joins a function's values and slopes at the grid's nodes. Slopes are read
// inside of each interval, for functions with a bend on a node (water's specific
// heat at 0 °C).
func cubics(f func(t float64) float64) []segment4 {
	out := make([]segment4, solidNodes-1)
	const d = 0.01
	for i := range out {
		a := MinTemperature + float64(i)*moistStepT
		b := a + moistStepT
		v0, v1 := f(a), f(b)
		s0 := (-3*v0 + 4*f(a+d) - f(a+2*d)) / (2 * d) * moistStepT
		s1 := (3*v1 - 4*f(b-d) + f(b-2*d)) / (2 * d) * moistStepT
		out[i] = segment4{v0, s0, 3*(v1-v0) - 2*s0 - s1, s0 + s1 - 2*(v1-v0)}
	}
	return out
}

// water's own curves, the same in every food.
var waterCurves = sync.OnceValue(func() (c struct {
	liquid, psat []segment4
	cold         []coldNode
}) {
	c.liquid = cubics(materials.Water.Enthalpy)
	c.psat = cubics(SaturationPressure)
	ice := cubics(iceEnthalpy)
	pice := cubics(func(t float64) float64 { return SublimationPressure(math.Min(t, 0.01)) })
	for i := range int(-MinTemperature / moistStepT) {
		c.cold = append(c.cold, coldNode{ice[i], pice[i]})
	}
	return c
})

// newGrid lays out what depends on temperature alone.
func (m *Moist) newGrid(t materials.Transport) {
	w := waterCurves()
	r, f := m.r, m.r.food
	m.pores, m.inPores = f.Porosity, mostInPores(r.dry.pressure)
	m.grid, m.cold = make([]moistNode, solidNodes-1), w.cold
	h := f.Holding
	for i := range m.grid {
		g := &m.grid[i]
		g.solid, g.liquid, g.psat = r.solid.seg[i], w.liquid[i], w.psat[i]
		for end := range 2 {
			at := MinTemperature + float64(i+end)*moistStepT
			g.slow[end] = resistance(t.LiquidDiffusivity(math.Max(at, 0), 1e12)) // without its fall with drying
			g.tight[end] = resistance(t.VapourPermeability(at, 1-FatSolid(f.FatKind, at)))
			g.pore[end] = vapourInPores(at, r.dry.pressure)
			g.vapour[end], _ = VapourEnthalpy(at)
			if m.juicy {
				g.kept[end] = m.protein * h.Kept(at)
				g.rate[end] = h.Rate(at)
			}
		}
		if g.slow[0] < Impassable {
			g.spread = math.Log(g.slow[0]/g.slow[1]) / moistStepT
		}
	}
}

// Impassable is a resistance [s/m² or m s Pa/kg] that lets nothing through, and which
// still may be multiplied by a cell's size.
const Impassable = 1e290

func resistance(conductance float64) float64 {
	return math.Min(1/conductance, Impassable)
}

// vapourInPores [W Pa/(m K)] is what vapour adds to the conductivity of the air in a
// pore of activity 1, times the pressure of that air: vapour evaporates on the warm
// side and condenses on the cold one.
//
//	k = a δ p/(p - a ps) hfg dps/dT
//
// Krischer; Philip & de Vries (1957), from memory.
func vapourInPores(t, pressure float64) float64 {
	t = math.Max(t, MinTemperature/2)
	return materials.AirPermeability(t, pressure) * pressure * LatentHeatVaporisation(t) * SaturationSlope(t, SaturationPressure(t))
}

// poreAir is the share of the pressure that the air in a pore has where the law above
// ends. It has a pole at the boiling point, where the liquid's way back must set a
// limit that the law does not know: what vapour adds stays what it is at this
// share. With a half, proofed dough tops out at 1.1 W/(m K), as the conductivity that
// Purlis & Salvadori (2009, from memory) fitted to baking bread.
const poreAir = 0.5

// mostInPores is that limit [W/(m K)].
func mostInPores(pressure float64) float64 {
	return vapourInPores(SaturationTemperature(pressure*(1-poreAir)), pressure) / (poreAir * pressure)
}

// addVapour gives a porous food the conductivity it has once the vapour in its pores
// conducts too: what evaporates in a bubble condenses in it and flows back, so that
// heat passes and no water. What pores let through in all is the solver's flux.
//
// The conductivity of the matrix follows from that of the food as bubbles in it that
// hardly conduct, and the food's again from bubbles that do, both by Maxwell and
// Eucken.
func (m *Moist) addVapour(g *moistNode, lin float64, c *MoistCell) {
	vapour, byT, byW := m.inPores, 0.0, 0.0
	if air := m.r.dry.pressure - c.P; air > 0 {
		pore := between(g.pore, lin)
		if v := c.A * pore / air; v < m.inPores {
			vapour = v
			byT = (c.AT*pore + c.A*(g.pore[1]-g.pore[0])/moistStepT + v*c.PT) / air
			byW = (c.AW*pore + v*c.PW) / air
		}
	}
	x := m.pores
	k, kc := c.K, c.K*(2+x)/(2-2*x)
	num, den := 2*kc+vapour-2*x*(kc-vapour), 2*kc+vapour+x*(kc-vapour)
	// by the vapour's conductivity at fixed matrix
	byVapour := kc * ((1+2*x)*den - (1-x)*num) / (den * den)
	c.K = kc * num / den
	// K grows in proportion when both conductivities do, which leaves this to the matrix
	matrix := (c.K - vapour*byVapour) / k
	c.KT = matrix*c.KT + byVapour*byT
	c.KW = matrix*c.KW + byVapour*byW
}
