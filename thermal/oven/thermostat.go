package oven

import (
	"fmt"
	"math"
)

// Thermostat says how the plant follows the temperature of the air or the bath.
type Thermostat struct {
	// Hysteresis [K] between switching off, half of it beyond the set point, and on, half
	// of it short of it; 0 to 200.
	Hysteresis float64
	// Band [K] short of the set point within which the power goes down evenly to none, 0 to
	// 200. Exactly one of the two is over 0.
	Band float64
	// Offset [K] is how much warmer than the dial says the set point is, -50 to 50.
	Offset float64
}

func (h Thermostat) validate(c *checker) {
	fine := c.within("hysteresis", h.Hysteresis, 0, 200, false, " K")
	fine = c.within("band", h.Band, 0, 200, false, " K") && fine
	c.within("offset", h.Offset, -50, 50, false, " K")
	if fine && (h.Hysteresis > 0) == (h.Band > 0) {
		c.add("thermostat", fmt.Sprintf("hysteresis %g K, band %g K", h.Hysteresis, h.Band), "one of them over 0")
	}
}

// substep [s] bounds the steps of ovens and baths.
const substep = 0.5

// leastSubstep [s] bounds how exactly a relay's switching is met.
const leastSubstep = 0.01

// plant is what a thermostat holds.
type plant struct {
	short  func(state []float64) float64                 // [K] of the set point
	atMost func(t float64) float64                       // [s] that a substep from t may take
	move   func(state []float64, t, dt float64, on bool) // makes a substep
}

// hold takes a plant from t over h [s] in substeps; relay is where its state has the
// relay. A substep within which that switches is made again up to there.
func (h Thermostat) hold(state []float64, relay int, t, over float64, p plant) {
	var before [maxState]float64
	end := t + over
	for left := over; left > 1e-9*over; left = end - t {
		short := p.short(state)
		on := h.relay(short, state[relay] > 0.5)
		state[relay] = asFlag(on)
		dt := left / math.Ceil(left/substep)
		if most := p.atMost(t); most < dt {
			dt = max(most, 1e-9)
		}
		copy(before[:], state)
		p.move(state, t, dt, on)
		if w := h.crossing(short, p.short(state), on); w < 1 {
			copy(state, before[:])
			dt = max(dt*w, min(dt, leastSubstep))
			p.move(state, t, dt, on)
			state[relay] = asFlag(!on)
		}
		t += dt
	}
}

// short is by how much [K] a temperature t is short of a set point, which -Inf switches
// off; sign is -1 of what cools.
func (h Thermostat) short(to, t, sign float64) float64 {
	if math.IsInf(to, -1) {
		return math.Inf(-1)
	}
	return (to + h.Offset - t) * sign
}

// share is the part [-] of the power that is on when the temperature is short of the set
// point by so much [K]; on is the relay.
func (h Thermostat) share(short float64, on bool) float64 {
	switch {
	case math.IsInf(short, -1):
		return 0
	case h.Band > 0:
		return min(max(short/h.Band, 0), 1)
	case on:
		return 1
	}
	return 0
}

// relay is the relay after a look at the temperature.
func (h Thermostat) relay(short float64, on bool) bool {
	switch {
	case h.Band > 0:
		return short > 0
	case short <= -h.Hysteresis/2:
		return false
	case short >= h.Hysteresis/2:
		return true
	}
	return on
}

// crossing is at what part [-] of a step from short to then the relay switches; 1 if not.
func (h Thermostat) crossing(short, then float64, on bool) float64 {
	edge := h.Hysteresis / 2
	if on {
		edge = -edge
	}
	if h.Band > 0 || (then > edge) == on || (short > edge) != on {
		return 1
	}
	return (edge - short) / (then - short)
}

// asFlag is a relay as a number of a state.
func asFlag(on bool) float64 {
	if on {
		return 1
	}
	return 0
}
