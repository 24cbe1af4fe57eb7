package oven

import (
	"math"
	"time"

	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
)

const (
	airHeat    = 1006. // [J/(kg K)]
	waterMolar = 0.018015
	airMolar   = 0.028966
	gasR       = 8.314462618
	kelvin     = 273.15
	sigma      = 5.670374419e-8
	gravity    = 9.80665
	fusion     = 333.6e3 // [J/kg] of ice
)

// Advance moves the oven over h [s]. The air, which is light, goes by the implicit
// midpoint rule, all else explicitly about the midpoint, each flow leaving one account as
// it enters the other.
func (s *Setting) Advance(state []float64, t, h float64, dish []thermal.Exchange) {
	if !s.fits(state) {
		return
	}
	middle := t + h/2
	s.Oven.Thermostat.hold(state, heating, t, h, plant{
		short:  func(state []float64) float64 { return s.short(state[airT]) },
		atMost: func(t float64) float64 { return s.nextDoor(t) - t },
		move:   func(state []float64, t, dt float64, _ bool) { s.move(state, t, dt, middle, dish) },
	})
}

// Changes are the times at which the door opens or closes.
func (s *Setting) Changes() []time.Duration {
	if s == nil {
		return nil
	}
	var out []time.Duration
	for _, o := range s.Openings {
		out = append(out, o.At, o.At+o.For)
	}
	return out
}

// nextDoor is the next time [s] at which the door opens or closes.
func (s *Setting) nextDoor(t float64) float64 {
	for _, o := range s.Openings {
		if open := o.At.Seconds(); open > t+1e-9 {
			return open
		} else if shut := open + o.For.Seconds(); shut > t+1e-9 {
			return shut
		}
	}
	return math.Inf(1)
}

func (s *Setting) open(t float64) bool {
	for _, o := range s.Openings {
		if open := o.At.Seconds(); t >= open-1e-9 && t < open+o.For.Seconds()-1e-9 {
			return true
		}
	}
	return false
}

// load is what the dish, the door and the steam do to the air and the walls in a substep.
type load struct {
	air, walls float64 // [W] taken by the dish
	pull       float64 // [W/K] of air more for each kelvin of the air
	fresh      float64 // [kg/s] air exchanged with the kitchen
	door       float64 // [W] radiated out
	water      float64 // [kg/s] vapour into the air
	dish       float64 // [kg/s] of it from the dish, whose heat goes with it
	damp       float64 // [kg/s] less of it for each unit of the mole fraction
}

func (s *Setting) load(state []float64, t, since float64, dish []thermal.Exchange) (l load) {
	o := s.Oven
	air, walls := state[airT], state[wallT]
	l.fresh = o.Vent
	if s.open(t) {
		l.fresh += o.Door.exchange(air, o.Room, state[pressure])
		l.door = o.Door.Width * o.Door.Height * sigma * (fourth(walls) - fourth(o.Room))
	}
	for i := range dish {
		x := dish[i].Since(since)
		if x.Port == airPort {
			x = x.Into(state[vapour] * state[pressure])
		}
		l.air -= x.SteamHeat // which makes its way to the air from any side
		l.dish += x.Water + x.Steam
		if x.Port == trayPort {
			continue
		}
		fluid, w := x.Split(thermal.Surroundings{Fluid: air, H: s.h(), Walls: walls, Emissivity: o.Emissivity})
		l.air += fluid
		l.walls += w
		if !x.Known {
			l.pull += x.Area * s.h()
			l.damp -= x.WaterByVapour * state[pressure]
		}
	}
	l.water = l.dish + s.Steam // which comes and goes at the temperature of the air
	return l
}

func fourth(t float64) float64 {
	x := (t + kelvin) * (t + kelvin)
	return x * x
}

// exchange is the air [kg/s] that leaves an open door and comes in.
func (d Door) exchange(air, room, p float64) float64 {
	density := p * airMolar / (gasR * ((air+room)/2 + kelvin))
	return density * 0.6 / 3 * d.Width * d.Height * math.Sqrt(d.Height*gravity*math.Abs(air-room)/(min(air, room)+kelvin))
}

// move makes one substep from t over dt [s].
func (s *Setting) move(state []float64, t, dt, middle float64, dish []thermal.Exchange) {
	o := s.Oven
	since, half := t+dt/2-middle, dt/2
	heater, air, walls := state[heaterT], state[airT], state[wallT]
	l := s.load(state, t, since, dish)
	tray := o.Tray.move(state, s.h(), air, walls, dish, since, dt)
	latent, _ := phasechange.VapourEnthalpy(air)
	frost := s.frost(state)
	settling := frost * latent // [W]
	if heater < 0 {
		settling += frost * fusion
	}
	on := state[heating] > 0.5
	power := o.sign() * o.Power
	toAir, toWalls := o.HeaterConductance*(1-o.Radiant), o.HeaterConductance*o.Radiant

	// to the middle
	heaterMid := heater + half/o.Heater*(power*o.Thermostat.share(s.short(air), on)-toAir*(heater-air)-toWalls*(heater-walls)+settling)
	wallsMid := walls + half/o.Walls*(toWalls*(heater-walls)+o.Exchange*(air-walls)-o.Loss*(walls-o.Room)-l.walls-l.door-tray.walls/dt)
	// of what acts upon the air, the linear part goes with its own temperature
	pull := toAir + o.Exchange + l.fresh*airHeat + l.pull
	push := toAir*heaterMid + o.Exchange*wallsMid + l.fresh*airHeat*o.Room + l.pull*air - l.air - l.dish*latent - tray.air/dt
	// which is that of the middle, or later in the substep if the air is so light that it
	// would swing about
	lean := dt * max(0.5, 1-o.Air/(dt*pull)) / o.Air
	airMid := (air + lean*push) / (1 + lean*pull)

	// and over the whole
	power *= o.Thermostat.share(s.short(airMid), on)
	a, w, x := toAir*(heaterMid-airMid), toWalls*(heaterMid-wallsMid), o.Exchange*(airMid-wallsMid)
	loss, vent := o.Loss*(wallsMid-o.Room), l.fresh*airHeat*(airMid-o.Room)
	taken := l.air + l.pull*(airMid-air)
	state[heaterT] += dt / o.Heater * (power - a - w + settling)
	state[airT] += dt / o.Air * (a - x - vent - taken - l.dish*latent - tray.air/dt)
	state[wallT] += dt / o.Walls * (w + x - loss - l.walls - l.door - tray.walls/dt)
	state[given] += dt * (power - loss - l.door - vent - l.dish*latent + settling)
	state[delivered] += dt * power
	state[escaped] += dt * loss
	s.moisten(state, airMid, l, frost, dt)
}

// frost is the vapour [kg/s] that settles on a cooling coil colder than the dew point, as
// dew if that is above 0 °C, by the analogy of heat and mass transfer at a Lewis number of 1.
func (s *Setting) frost(state []float64) float64 {
	o := s.Oven
	if !o.Cools {
		return 0
	}
	over := state[vapour] - saturation(state[heaterT])/state[pressure]
	all := state[pressure] * o.Volume / (gasR * (state[airT] + kelvin) * substep) * waterMolar // of over, in a substep
	return max(0, over) * min(all, o.HeaterConductance*(1-o.Radiant)/airHeat*waterMolar/airMolar)
}

// moisten takes the vapour of the air [-] through a substep, implicitly, so that a gust
// of steam does not carry it beyond 1.
func (s *Setting) moisten(state []float64, air float64, l load, frost, dt float64) {
	o := s.Oven
	moles := state[pressure] * o.Volume / (gasR * (air + kelvin))
	in, fresh, damp := (l.water-frost)/waterMolar, l.fresh/airMolar, l.damp/waterMolar
	x := state[vapour]
	if in < 0 { // into what is left comes kitchen air
		state[vapour] = max(0, (x+dt/moles*(in*(1-x)+damp*x+fresh*o.RoomVapour))/(1+dt/moles*(fresh+damp)))
		return
	}
	state[vapour] = (x + dt/moles*(in+damp*x+fresh*o.RoomVapour)) / (1 + dt/moles*(in+fresh+damp))
}
