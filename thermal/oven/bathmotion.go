package oven

import (
	"math"

	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
)

// airOverBath [W/(m² K)] is natural convection above an open bath, by which water
// evaporates at a Lewis number of 1 (from memory).
const airOverBath = 6

// leastAir is the mole fraction of air at the water's face down to which Stefan's flow is that
// of the logarithm, which would have no end at the boiling point. Water of 97.2 °C has it.
const leastAir = 0.1

// mostByBath [W/(m² K)] is how fast evaporation grows with the temperature of an open bath, at its boiling point.
const mostByBath = 3000

// Advance moves the bath over h [s] by the implicit midpoint rule.
func (s *BathSetting) Advance(state []float64, t, h float64, dish []thermal.Exchange) {
	if !s.fits(state) {
		return
	}
	b, middle := s.Bath, t+h/2
	hold := b.Thermostat
	short := func(state []float64) float64 { return hold.short(s.To, state[bathT], 1) }
	hold.hold(state, bathHeating, t, h, plant{
		short:  short,
		atMost: func(float64) float64 { return math.Inf(1) },
		move: func(state []float64, t, dt float64, on bool) {
			b.move(state, dt, b.Power*hold.share(short(state), on), t+dt/2-middle, dish)
		},
	})
}

// move makes one substep of dt [s] with a power [W].
func (b *Bath) move(state []float64, dt, power, since float64, dish []thermal.Exchange) {
	was, capacity := state[bathT], b.capacity()
	taken, pull, steam := 0.0, 0.0, 0.0
	for i := range dish {
		x := dish[i].Since(since)
		taken += total(&x, thermal.Surroundings{Fluid: was, H: b.H})
		steam += x.SteamHeat // bubbles up through the bath
		if !x.Known {
			pull += x.Area * b.H
		}
	}
	dry, latent := b.evaporation(was, state[bathPressure])
	push := power + b.Loss*b.Room + pull*was - taken - dry*latent
	half := dt / 2
	mid := (was + half/capacity*push) / (1 + half/capacity*(b.Loss+pull))
	loss := b.Loss * (mid - b.Room)
	taken += pull * (mid - was)
	state[bathT] += dt / capacity * (power - loss - taken - dry*latent)
	state[bathGiven] += dt * (power - loss - dry*latent - steam)
	state[bathDelivered] += dt * power
	state[bathGone] += dt * dry
	if !b.Water {
		return
	}
	if state[bathT] < 0 || state[bathIce] > 0 {
		holds := b.holds(state)
		ice := min(max(0, -holds/fusion), b.Mass)
		state[bathT], state[bathIce] = (holds+fusion*ice)/capacity, ice
		if ice > 0 && ice < b.Mass {
			state[bathT] = 0 // and none of its rounding
		}
	}
	if boiling := phasechange.SaturationTemperature(state[bathPressure]); state[bathT] > boiling {
		excess := capacity * (state[bathT] - boiling)
		state[bathT] = boiling
		state[bathGiven] -= excess
		state[bathGone] += excess / latent
	}
}

// evaporation is the vapour [kg/s] that an open bath gives off, with Stefan's flow as at a
// dish, and what a kilogram of it takes along [J]; the bath counts as topped up at its own
// temperature.
func (b *Bath) evaporation(t, p float64) (rate, latent float64) {
	if !b.Water {
		return 0, 0
	}
	vapour, _ := phasechange.VapourEnthalpy(t)
	latent = vapour - b.HeatCapacity*t
	if b.Open == 0 {
		return 0, latent
	}
	air := 1 - min(saturation(t)/p, 1) // [-] of it at the water
	over := math.Log((1 - b.RoomVapour) / max(air, leastAir))
	if air < leastAir { // near boiling by the tangent
		over += 1 - air/leastAir
	}
	return max(0, over) * b.Open * airOverBath / airHeat * waterMolar / airMolar, latent
}
