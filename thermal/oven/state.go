package oven

import (
	"slices"
	"time"

	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
)

// The numbers of an oven's state; the tray's nodes follow.
const (
	heaterT   = iota // [°C]
	airT             // [°C]
	wallT            // [°C]
	heating          // 1 if the relay is closed
	vapour           // [-] mole fraction in the air
	pressure         // [Pa]
	given            // [J] by all but the dish
	delivered        // [J] by the heater
	escaped          // [J] through the walls
	trayT
)

// maxState is the length of the longest state.
const maxState = trayT + maxNodes

// Reading is the state of an oven at a moment.
type Reading struct {
	Air       float64   // [°C]
	Walls     float64   // [°C]
	Heater    float64   // [°C] or cooling coil
	Heating   bool      // whether the relay is closed; of a Band whether it gives any power
	Vapour    float64   // [-] mole fraction in the air, fog counted
	Delivered float64   // [J] by the heater since the start of the run; less than none of a coil
	Escaped   float64   // [J] through the walls to the kitchen since then
	Tray      []float64 // [°C] from its underside to its top, in layers that are thinner there; nil if there is none
}

// Read gives the oven at a time of a run; the zero Reading if it was not in it.
func (o *Oven) Read(run *thermal.Run, t time.Duration) Reading {
	s := run.Around(o, t)
	if len(s) < trayT {
		return Reading{}
	}
	r := Reading{Air: s[airT], Walls: s[wallT], Heater: s[heaterT], Heating: s[heating] > 0.5, Vapour: s[vapour], Delivered: s[delivered], Escaped: s[escaped]}
	if len(s) > trayT {
		r.Tray = slices.Clone(s[trayT:])
	}
	return r
}

// After is a copy of the oven that begins as a run left it, hot walls, relay, moist air
// and all; its tray too, unless another is put into the copy. If the run was not in this
// oven, the copy begins as the oven does.
func (o *Oven) After(run *thermal.Run) *Oven {
	if o == nil {
		return nil
	}
	c := *o
	if s := leftBy(run, o, trayT); s != nil {
		c.left, c.leftTray = s, o.Tray
	}
	return &c
}

// leftBy is the state, of so many numbers at least, in which a run left a body; nil if it
// was not in it.
func leftBy(run *thermal.Run, body any, least int) []float64 {
	if run == nil {
		return nil
	}
	i := slices.IndexFunc(run.Bodies, func(b thermal.BodyResult) bool { return b.Body == body })
	if i < 0 || len(run.Bodies[i].State) < least {
		return nil
	}
	return slices.Clone(run.Bodies[i].State)
}

// Size is that of the state.
func (s *Setting) Size() int {
	if s == nil || s.Oven == nil {
		return trayT
	}
	return trayT + s.Oven.Tray.nodes()
}

// fits says whether there is an oven that a state can be of.
func (s *Setting) fits(state []float64) bool {
	return s != nil && s.Oven != nil && len(state) == s.Size()
}

// Ports is the air and, if there is one, the tray.
func (s *Setting) Ports() int {
	if s != nil && s.Oven != nil && s.Oven.Tray != nil {
		return trayPort + 1
	}
	return airPort + 1
}

// Begin sets the state at the start of a run at a pressure [Pa].
func (s *Setting) Begin(state []float64, p float64) {
	if !s.fits(state) {
		return
	}
	o := s.Oven
	state[heaterT], state[airT], state[wallT], state[vapour] = o.Start, o.Start, o.Start, o.RoomVapour
	if heater, walls, power := o.steady(o.Start); o.Warm && power*o.sign() > 0 {
		state[heaterT], state[wallT] = heater, walls
		if o.Cools { // frost on the coil has dried the air
			state[vapour] = min(o.RoomVapour, saturation(heater)/p)
		}
	}
	if t := o.Tray; t != nil {
		for i := range state[trayT:] {
			state[trayT+i] = t.Start
		}
	}
	if o.left != nil {
		copy(state[:trayT], o.left)
		if n := len(o.left); o.Tray == o.leftTray && n == len(state) {
			copy(state, o.left)
		}
	}
	state[pressure], state[given], state[delivered], state[escaped] = p, 0, 0, 0
}

// sign is -1 of what cools.
func (o *Oven) sign() float64 {
	if o.Cools {
		return -1
	}
	return 1
}

// steady gives heater and walls [°C] and the power [W] once the air has long been at t.
func (o *Oven) steady(t float64) (heater, walls, power float64) {
	// walls are below the air by y: what the heater's radiation, the air and the loss
	// bring to them sums to none
	vent, r := o.Vent*airHeat, o.Radiant
	d := t - o.Room
	y := d * ((1-r)*o.Loss - r*vent) / (o.HeaterConductance*r*(1-r) + r*o.Exchange + (o.Exchange+o.Loss)*(1-r))
	walls = t - y
	power = o.Loss*(walls-o.Room) + vent*d
	return power/o.HeaterConductance + (1-r)*t + r*walls, walls, power
}

// farthest is the temperature [°C] of the air that full power holds; infinite if
// nothing is lost.
func (o *Oven) farthest() float64 {
	_, _, each := o.steady(o.Room + 1)
	return o.Room + o.sign()*o.Power/each
}

// initial is what a port meets as the run begins.
func (s *Setting) initial(port int) thermal.Surroundings {
	if s.Validate() != nil || port >= s.Ports() {
		return thermal.Insulated() // the run is refused for it
	}
	state := make([]float64, s.Size())
	s.Begin(state, phasechange.StandardPressure)
	return s.Meets(port, state, 0)
}

// Meets is what a surface of the dish meets, at any time [s].
func (s *Setting) Meets(port int, state []float64, _ float64) thermal.Surroundings {
	if !s.fits(state) || port >= s.Ports() {
		return thermal.Insulated()
	}
	if port == trayPort {
		return s.Oven.Tray.meets(state[trayT:])
	}
	return thermal.Surroundings{Fluid: state[airT], H: s.h(), Walls: state[wallT], Emissivity: s.Oven.Emissivity,
		Humidity: humidity(state[vapour]*state[pressure], state[airT])}
}

// saturation is the vapour pressure [Pa] of ice or water, whichever is stable at t [°C].
func saturation(t float64) float64 {
	if t < 0 {
		return phasechange.SublimationPressure(t)
	}
	return phasechange.SaturationPressure(t)
}

// humidity is air with vapour of p [Pa], which cannot be more than saturated.
func humidity(p, t float64) thermal.Humidity {
	const most, critical = 0.999, 370
	if t < critical && p > most*saturation(t) {
		return thermal.RelativeHumidity(most)
	}
	return thermal.VapourPressure(max(p, 0))
}

func (s *Setting) h() float64 {
	if s.FanOff && s.Oven.StillH > 0 {
		return s.Oven.StillH
	}
	return s.Oven.H
}

// Account gives what the oven holds and was given [J].
func (s *Setting) Account(state []float64) (stored, put float64) {
	if !s.fits(state) {
		return 0, 0
	}
	o := s.Oven
	stored = o.Heater*state[heaterT] + o.Air*state[airT] + o.Walls*state[wallT]
	return stored + o.Tray.stored(state[trayT:]), state[given]
}

// short is by how much [K] the air is short of the set point; -Inf when switched off.
func (s *Setting) short(air float64) float64 {
	return s.Oven.Thermostat.short(s.To, air, s.Oven.sign())
}
