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
// takes heat through the contact.
type Tray struct {
	Solid     Solid
	Thickness float64 // [m] 1e-4 to 0.5
	Area      float64 // [m²] 1e-4 to 10
	Covered   float64 // [m²] of it under the dish, 0 to Area
	Contact   float64 // [m² K/W] between tray and dish, 1e-4 to 10; paper adds about 0.001
	Start     float64 // [°C] -80 to 1000
}

// maxNodes is the most temperatures a tray has.
const maxNodes = 12

// nodes is how many temperatures a tray has: one, unless it is so thick and of so poor a
// conductor that its faces differ (Biot number over 0.1 at 30 W/(m² K), Incropera & DeWitt,
// chapter 5).
func (t *Tray) nodes() int {
	if t == nil {
		return 0
	}
	if biot := 30 * t.Thickness / t.Solid.Conductivity; biot > 0.1 {
		return int(math.Ceil(min(2+biot*8, maxNodes)))
	}
	return 1
}

// haste is at what rate [1/s] the lightest part of the tray follows faces that bring h
// [W/(m² K)].
func (t *Tray) haste(h float64) float64 {
	n := float64(t.nodes())
	c := t.Solid.Density * t.Solid.HeatCapacity * t.Thickness / n
	rate := (h + 1/t.Contact) / c
	if n > 1 {
		rate += 2 * t.Solid.Conductivity * n / t.Thickness / c
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
	sum, n := 0.0, float64(len(temps))
	for _, v := range temps {
		sum += t.capacity() / n * v
	}
	return sum
}

// meets is what stands on the tray: its uppermost node, half a node away.
func (t *Tray) meets(temps []float64) thermal.Surroundings {
	n := float64(len(temps))
	depth := 0.0
	if n > 1 {
		depth = t.Thickness / n / 2
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
	c := t.capacity() / float64(n)
	between := t.Solid.Conductivity * t.Area * float64(n) / t.Thickness
	hottest := min(max(air, walls, temps[0], temps[n-1])+kelvin, mostHot) // what runs away is refused soon
	parts := math.Max(1, math.Ceil(t.haste(h+4*t.Solid.Emissivity*sigma*hottest*hottest*hottest)*dt/0.5))
	small := dt / parts
	for range int(parts) {
		load := 0.0
		for i := range dish {
			if x := dish[i].Since(since); x.Port == trayPort {
				load += total(&x, t.meets(temps))
			}
		}
		gain := func(i int, area float64) float64 {
			a := h * area * (air - temps[i])
			w := t.Solid.Emissivity * area * sigma * (fourth(walls) - fourth(temps[i]))
			out.air += a * small
			out.walls += w * small
			return a + w
		}
		below, above := gain(0, t.Area), gain(n-1, t.Area-t.Covered)
		for i := range n {
			up := load - above
			if i < n-1 {
				up = between * (temps[i] - temps[i+1])
			}
			temps[i] += small / c * (below - up)
			below = up
		}
	}
	return out
}

// total is the heat [W] that the dish takes through an exchange.
func total(x *thermal.Exchange, s thermal.Surroundings) float64 {
	fluid, walls := x.Split(s)
	return fluid + walls
}
