package oven

import (
	"math"

	"example.com/thawfront/thermal"
)

// Solid is a material of trays, stones and pans.
type Solid struct {
	Name         string
	Conductivity float64 // [W/(m K)]
	Density      float64 // [kg/m³]
	HeatCapacity float64 // [J/(kg K)]
	Emissivity   float64 // [-]
}

// Materials at about 100 °C. Metals: Incropera & DeWitt, tables A.1 and A.11, from
// memory; stone and glass are typical, from memory, no source.
var (
	Aluminium      = Solid{"aluminium", 230, 2700, 920, 0.1}
	DarkAluminium  = Solid{"aluminium, dark anodised", 230, 2700, 920, 0.85}
	CarbonSteel    = Solid{"carbon steel", 55, 7850, 490, 0.8}
	StainlessSteel = Solid{"stainless steel", 16, 7900, 500, 0.3}
	CastIron       = Solid{"cast iron", 50, 7200, 500, 0.9}
	Stone          = Solid{"baking stone, cordierite", 1.8, 2100, 900, 0.9}
	Glass          = Solid{"borosilicate glass", 1.2, 2230, 850, 0.9}
)

// Tray is a flat body under the dish: a tray, a steel, a stone, the floor of an oven. Air
// and walls of the oven heat it from below and, beside the dish, from above; the dish
// takes heat through the contact. A tray that heat does not go through within seconds has up
// to 12 temperatures, closer to each other towards its top: what is put on it meets the
// contact temperature of the two to 3 % of their difference from the first second on. Stones
// of 0.1 m warm through to 2 %.
type Tray struct {
	Solid     Solid
	Thickness float64 // [m] 1e-4 to 0.5
	Area      float64 // [m²] 1e-4 to 10, no less than what of the dish lies on it
	Covered   float64 // [m²] of it under the dish and what else lies there, 0 to Area
	Contact   float64 // [m² K/W] between tray and dish, 1e-4 to 10; paper adds about 0.001
	Start     float64 // [°C] -80 to 1000
}

// maxNodes is the most temperatures a tray has.
const maxNodes = 12

const (
	quickTray = 5.0 // [s] in which heat goes through a tray of one temperature (thickness²/diffusivity)
	quickTop  = 0.5 // [s] likewise, through the uppermost node of another
)

// nodes is how many temperatures a tray has: one, unless it is so thick or of so poor a
// conductor that its faces differ, in still surroundings (Biot number over 0.1 at 30 W/(m²
// K), Incropera & DeWitt, chapter 5) or when something cold is put on it.
func (t *Tray) nodes() int {
	if t == nil {
		return 0
	}
	tops := t.Thickness / t.finest()
	if through := quickTop * tops * tops; through > quickTray || 30*t.Thickness/t.Solid.Conductivity > 0.1 {
		return int(math.Ceil(max(3, min(tops, maxNodes))))
	}
	return 1
}

// finest is the thickness [m] through which heat goes within quickTop.
func (t *Tray) finest() float64 {
	return math.Sqrt(quickTop * t.Solid.Conductivity / (t.Solid.Density * t.Solid.HeatCapacity))
}

// top is the thickness [m] of the uppermost node, under what is put on the tray.
func (t *Tray) top() float64 {
	n := t.nodes()
	if n == 1 {
		return t.Thickness
	}
	return min(t.finest(), t.Thickness/float64(n))
}

// thicknesses gives those of the nodes [m], from the underside: from that of top on each
// exceeds the one above by as much.
func (t *Tray) thicknesses() (out [maxNodes]float64) {
	n, top := t.nodes(), t.top()
	more := 0.0
	if n > 1 {
		more = 2 * (t.Thickness - float64(n)*top) / float64(n*(n-1))
	}
	for i := range n {
		out[n-1-i] = top + float64(i)*more
	}
	return out
}

// haste is at what rate [1/s] the lightest part of the tray follows faces that bring h
// [W/(m² K)].
func (t *Tray) haste(h float64) float64 {
	c := t.Solid.Density * t.Solid.HeatCapacity * t.top()
	rate := (h + 1/t.Contact) / c
	if t.nodes() > 1 {
		rate += 2 * t.Solid.Conductivity / t.top() / c
	}
	return rate
}

func (t *Tray) capacity() float64 {
	return t.Solid.Density * t.Solid.HeatCapacity * t.Thickness * t.Area
}

func (t *Tray) stored(temps []float64) float64 {
	if t == nil {
		return 0
	}
	sum, parts := 0.0, t.thicknesses()
	for i, v := range temps {
		sum += t.capacity() * parts[i] / t.Thickness * v
	}
	return sum
}

// meets is what stands on the tray: its uppermost node, half a node away.
func (t *Tray) meets(temps []float64) thermal.Surroundings {
	depth := 0.0
	if len(temps) > 1 {
		depth = t.top() / 2
	}
	return thermal.Surroundings{Fluid: temps[len(temps)-1], H: 1 / (t.Contact + depth/t.Solid.Conductivity)}
}

// mostHot [K] is what no surroundings may exceed.
const mostHot = 1000 + kelvin

// taken is the heat [J] that a tray takes from air and walls in a substep.
type taken struct{ air, walls float64 }

// move takes the tray through a substep of dt [s], in steps of its own if it is light.
func (t *Tray) move(state []float64, h, air, walls float64, dish []thermal.Exchange, since, dt float64) (out taken) {
	if t == nil {
		return out
	}
	temps := state[trayT:]
	n := len(temps)
	hottest := min(max(air, walls, temps[0], temps[n-1])+kelvin, mostHot) // what runs away is refused soon
	parts := math.Max(1, math.Ceil(t.haste(h+4*t.Solid.Emissivity*sigma*hottest*hottest*hottest)*dt/0.5))
	small := dt / parts
	thick, on := t.thicknesses(), t.meets(temps)
	var by, up [maxNodes]float64 // [K/W] a part of the time, [W/K] to the node above
	for i := range n {
		by[i] = small / (t.capacity() * thick[i] / t.Thickness)
		if i < n-1 {
			up[i] = 2 * t.Solid.Conductivity * t.Area / (thick[i] + thick[i+1])
		}
	}
	for range int(parts) {
		load := 0.0
		on.Fluid = temps[n-1]
		for i := range dish {
			if x := dish[i].Since(since); x.Port == trayPort {
				load += total(&x, on)
			}
		}
		gain := func(i int, area float64) float64 {
			behind := 0.0
			if n > 1 { // half a node
				behind = thick[i] / 2 / t.Solid.Conductivity
			}
			a, w := t.atFace(area, temps[i], behind, h, air, walls)
			out.air += a * small
			out.walls += w * small
			return a + w
		}
		below, above := gain(0, t.Area), gain(n-1, t.Area-t.Covered)
		for i := range n {
			rising := load - above
			if i < n-1 {
				rising = up[i] * (temps[i] - temps[i+1])
			}
			temps[i] += by[i] * (below - rising)
			below = rising
		}
	}
	return out
}

// atFace is what air and walls give [W] to an area of a face of the tray, whose node is at
// temp [°C] behind a resistance [m² K/W]. Where that is great a face is nearly as hot as the
// walls: what it takes is what passes the resistance, as the small difference of two large
// radiations would be all error.
func (t *Tray) atFace(area, temp, behind, h, air, walls float64) (byAir, byWalls float64) {
	if behind == 0 {
		return h * area * (air - temp), t.Solid.Emissivity * area * sigma * (fourth(walls) - fourth(temp))
	}
	face, grey := temp, t.Solid.Emissivity*sigma
	for range 2 { // steps of Newton's method, of which only the first goes too far
		k := face + kelvin
		over := temp - face + behind*(h*(air-face)+grey*(fourth(walls)-fourth(face)))
		face += over / (1 + behind*(h+4*grey*k*k*k))
		face = max(min(temp, air, walls), min(face, max(temp, air, walls)))
	}
	byAir = h * area * (air - face)
	return byAir, area*(face-temp)/behind - byAir
}

// total is the heat [W] that the dish takes through an exchange.
func total(x *thermal.Exchange, s thermal.Surroundings) float64 {
	fluid, walls := x.Split(s)
	return fluid + walls
}
