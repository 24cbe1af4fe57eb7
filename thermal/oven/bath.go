package oven

import (
	"errors"
	"math"
	"time"

	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
)

// Bath is a stirred liquid of one temperature with a heater: water or frying oil. What
// is put in cools it; where Water it boils, and freezes at 0 °C to ice that swims in it
// and has the liquid's heat capacity. What evaporates and boils away counts as topped up
// with water as warm as the bath. A simulation does not change its fields, and goes by what
// they are as it begins.
type Bath struct {
	Power        float64 // [W] of the heater, over 0 to 1e6
	Mass         float64 // [kg] of the liquid, 0.01 to 1e5
	HeatCapacity float64 // [J/(kg K)] of the liquid, 500 to 5000
	Vessel       float64 // [J/K] heat capacity of the vessel, 0 to 1e7
	Loss         float64 // [W/K] to the room, 0 to 1e5
	Water        bool    // evaporates, boils and freezes; oil does nothing of it
	Open         float64 // [m²] of water open to the air, 0 (covered) to 100
	H            float64 // [W/(m² K)] at the dish, over 0 to 1e4

	Thermostat Thermostat
	Room       float64 // [°C] -50 to 100
	RoomVapour float64 // [-] mole fraction of vapour in the room's air, 0 to 0.2
	Start      float64 // [°C] when the run begins, -50 to 300; of Water 0 to 100

	left []float64 // by an earlier run
}

// Circulator is a vessel of 20 l of water with a circulator, open: figures typical, from
// memory; H as thermal.WaterBath.
func Circulator() *Bath {
	return &Bath{Power: 1500, Mass: 20, HeatCapacity: 4186, Vessel: 1500, Loss: 4, Water: true, Open: 0.12, H: 150,
		Thermostat: Thermostat{Band: 0.5}, Room: 20, RoomVapour: 0.0115, Start: 20}
}

// Fryer is a household fryer with 3 l of oil: figures typical, from memory; H as
// thermal.HotOil. Mind the caution of the package: wet food in hot oil spatters.
func Fryer() *Bath {
	return &Bath{Power: 2000, Mass: 2.7, HeatCapacity: 2200, Vessel: 600, Loss: 1.5, H: 300,
		Thermostat: Thermostat{Hysteresis: 8}, Room: 20, RoomVapour: 0.0115, Start: 20}
}

// Validate lists what is wrong with the bath, as *InputError joined.
func (b *Bath) Validate() error {
	if b == nil {
		return &InputError{"bath", "bath", "none", "one of the presets or of your own"}
	}
	c := checker{place: "bath"}
	c.within("power", b.Power, 0, 1e6, true, " W")
	c.within("mass", b.Mass, 0.01, 1e5, false, " kg")
	c.within("heat capacity", b.HeatCapacity, 500, 5000, false, " J/(kg K)")
	c.within("heat capacity of the vessel", b.Vessel, 0, 1e7, false, " J/K")
	c.within("loss", b.Loss, 0, 1e5, false, " W/K")
	c.within("open surface", b.Open, 0, 100, false, " m²")
	c.within("h", b.H, 0, 1e4, true, " W/(m² K)")
	c.within("temperature of the room", b.Room, -50, 100, false, " °C")
	c.within("vapour in the room's air", b.RoomVapour, 0, 0.2, false, "")
	if b.Water {
		c.within("start", b.Start, 0, 100, false, " °C of water")
	} else {
		c.within("start", b.Start, -50, 300, false, " °C")
	}
	dries := 0.0 // [W/K]
	if b.Water {
		dries = mostByBath * b.Open
	}
	if c.faults == nil && substep*(b.Loss+dries) > b.capacity()/4 {
		field, v := "loss", b.Loss
		if dries > b.Loss {
			field, v = "open surface", b.Open
		}
		c.add(field, v, "one that does not empty the bath of heat within seconds")
	}
	b.Thermostat.validate(&c)
	return errors.Join(c.faults...)
}

func (b *Bath) capacity() float64 { return b.Mass*b.HeatCapacity + b.Vessel }

// holds is the heat [J] of the bath above its liquid at 0 °C.
func (b *Bath) holds(state []float64) float64 {
	return b.capacity()*state[bathT] - fusion*state[bathIce]
}

// At is the bath set to a temperature [°C]; water set over its boiling point boils.
func (b *Bath) At(t float64) *BathSetting { return &BathSetting{Bath: b, To: t} }

// Off is the bath with its heater off.
func (b *Bath) Off() *BathSetting { return &BathSetting{Bath: b, To: math.Inf(-1)} }

// BathSetting is a bath set to a temperature in a stage. It is a thermal.Medium.
type BathSetting struct {
	Bath *Bath
	To   float64 // [°C] set point, 0 to 300; -Inf is switched off

	of *Bath // of which Bath is a copy, in what a run keeps
}

// The numbers of a bath's state.
const (
	bathT         = iota // [°C]
	bathHeating          // 1 if the relay is closed
	bathPressure         // [Pa]
	bathGiven            // [J] by all but the dish
	bathDelivered        // [J] by the heater
	bathGone             // [kg] evaporated and boiled away
	bathIce              // [kg] of the mass
	bathSize
)

// BathReading is the state of a bath at a moment.
type BathReading struct {
	Temperature float64 // [°C]
	Heating     bool    // whether the relay is closed; of a Band whether it gives any power
	Delivered   float64 // [J] by the heater since the start of the run
	Gone        float64 // [kg] evaporated and boiled away since then
	Ice         float64 // [kg] of the water that is frozen
}

// Read gives the bath at a time of a run; the zero BathReading if it was not in it.
func (b *Bath) Read(run *thermal.Run, t time.Duration) BathReading {
	s := run.Around(b, t)
	if len(s) < bathSize {
		return BathReading{}
	}
	return BathReading{s[bathT], s[bathHeating] > 0.5, s[bathDelivered], s[bathGone], s[bathIce]}
}

// After is a copy of the bath that begins as a run left it; if the run was not in this
// bath, it begins as the bath does.
func (b *Bath) After(run *thermal.Run) *Bath {
	if b == nil {
		return nil
	}
	c := *b
	if s := leftBy(run, b, bathSize); s != nil {
		c.left = s
	}
	return &c
}

var _ thermal.Active = (*BathSetting)(nil)

// Validate lists what is wrong with the setting and its bath.
func (s *BathSetting) Validate() error {
	if s == nil {
		return (*Bath)(nil).Validate()
	}
	if err := s.Bath.Validate(); err != nil {
		return err
	}
	c := checker{place: "setting of the bath"}
	if !math.IsInf(s.To, -1) {
		fine := c.within("set point", s.To, 0, 300, false, " °C")
		if b := s.Bath; fine && b.Loss > 0 && s.To+b.Thermostat.Offset > b.Room+b.Power/b.Loss {
			c.add("set point", s.To, "no more than the heater can hold against the loss")
		}
	}
	return errors.Join(c.faults...)
}

// At is what the dish meets first.
func (s *BathSetting) At(time.Duration) thermal.Surroundings {
	if s.Validate() != nil {
		return thermal.Insulated() // the run is refused for it
	}
	state := make([]float64, bathSize)
	s.Begin(state, phasechange.StandardPressure)
	return s.Meets(0, state, 0)
}

// Control is a copy of the setting and its bath as they are.
func (s *BathSetting) Control() thermal.Control {
	if s == nil {
		return s
	}
	c := *s
	if s.Bath != nil && s.of == nil {
		b := *s.Bath
		c.Bath, c.of = &b, s.Bath
	}
	return &c
}

// Port is the liquid.
func (s *BathSetting) Port() int { return 0 }

// Body is the bath.
func (s *BathSetting) Body() any {
	switch {
	case s == nil:
		return nil
	case s.of != nil:
		return s.of
	}
	return s.Bath
}

// fits says whether there is a bath that a state can be of.
func (s *BathSetting) fits(state []float64) bool {
	return s != nil && s.Bath != nil && len(state) == bathSize
}

// Size is that of the state.
func (s *BathSetting) Size() int { return bathSize }

// Ports is the liquid only.
func (s *BathSetting) Ports() int { return 1 }

// Begin sets the state at the start of a run at a pressure [Pa].
func (s *BathSetting) Begin(state []float64, p float64) {
	if !s.fits(state) {
		return
	}
	clear(state)
	state[bathT] = s.Bath.Start
	if left := s.Bath.left; left != nil {
		state[bathT], state[bathHeating], state[bathIce] = left[bathT], left[bathHeating], left[bathIce]
	}
	state[bathPressure] = p
}

// Meets is the liquid, at any time [s].
func (s *BathSetting) Meets(_ int, state []float64, _ float64) thermal.Surroundings {
	if !s.fits(state) {
		return thermal.Insulated()
	}
	return thermal.Surroundings{Fluid: state[bathT], H: s.Bath.H}
}

// Account gives what the bath holds and was given [J].
func (s *BathSetting) Account(state []float64) (stored, put float64) {
	if !s.fits(state) {
		return 0, 0
	}
	return s.Bath.holds(state), state[bathGiven]
}
