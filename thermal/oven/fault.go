package oven

import (
	"errors"
	"fmt"
	"math"
	"time"
)

// InputError is a fault in an oven, a tray or a setting.
type InputError struct {
	Place string // such as "oven" or "tray"
	Field string
	Value any
	Want  string
}

// Error names the place, the field and what is wanted.
func (e *InputError) Error() string {
	if e == nil {
		return "oven: no fault"
	}
	return fmt.Sprintf("oven: %s: %s %v, want %s", e.Place, e.Field, e.Value, e.Want)
}

// checker collects faults.
type checker struct {
	place  string
	faults []error
}

func (c *checker) add(field string, v any, want string) {
	c.faults = append(c.faults, &InputError{c.place, field, v, want})
}

// within checks a number against a range that it may reach, unless open below, and says
// whether it is fine: what is made of a number that is not is no fault of its own.
func (c *checker) within(field string, v, low, high float64, openBelow bool, unit string) bool {
	if v >= low && v <= high && !(openBelow && v == low) && !math.IsInf(v, 0) {
		return true
	}
	from := fmt.Sprintf("%.6g", low)
	if openBelow {
		from = "over " + from
	}
	c.add(field, v, fmt.Sprintf("%s to %.6g%s", from, high, unit))
	return false
}

// Validate lists what is wrong with the oven and its tray, as *InputError joined.
func (o *Oven) Validate() error {
	if o == nil {
		return &InputError{"oven", "oven", "none", "one of the presets or of your own"}
	}
	c := checker{place: "oven"}
	c.within("power", o.Power, 0, 1e6, true, " W")
	c.within("volume", o.Volume, 1e-3, 100, false, " m³")
	c.within("heat capacity of the heater", o.Heater, 10, 1e7, false, " J/K")
	c.within("conductance of the heater", o.HeaterConductance, 0, 1e6, true, " W/K")
	c.within("radiant share", o.Radiant, 0, 1, false, "")
	c.within("heat capacity of the air", o.Air, 1, 1e6, false, " J/K")
	c.within("heat capacity of the walls", o.Walls, 10, 1e8, false, " J/K")
	c.within("exchange between air and walls", o.Exchange, 0, 1e6, true, " W/K")
	c.within("loss", o.Loss, 0, 1e5, false, " W/K")
	c.within("vent", o.Vent, 0, 10, false, " kg/s")
	c.within("width of the door", o.Door.Width, 0, 5, false, " m")
	c.within("height of the door", o.Door.Height, 0, 5, false, " m")
	h := 0.0
	if c.within("h", o.H, 0, 1e4, false, " W/(m² K)") {
		h = o.H
	}
	c.within("h without fan", o.StillH, 0, 1e4, false, " W/(m² K)")
	c.within("emissivity", o.Emissivity, 0, 1, false, "")
	c.within("temperature of the room", o.Room, -50, 100, false, " °C")
	c.within("vapour in the room's air", o.RoomVapour, 0, 0.2, false, "")
	c.within("start", o.Start, -80, 1000, false, " °C")
	o.Thermostat.validate(&c)
	if c.faults == nil {
		o.validateTogether(&c)
	}
	if t := o.Tray; t != nil {
		t.validate(&c, h)
		if carried := h * (2*t.Area - t.Covered); c.faults == nil && o.Air < substep*carried {
			c.add("area", t.Area, fmt.Sprintf("one that takes %g s and more to carry along air of %g J/K, at %.3g W/K", substep, o.Air, carried))
		}
	}
	return errors.Join(c.faults...)
}

// validateTogether checks what follows from several figures, each fine by itself.
func (o *Oven) validateTogether(c *checker) {
	if o.Heater/o.HeaterConductance < slowest {
		c.add("heater", fmt.Sprintf("%g J/K at %g W/K", o.Heater, o.HeaterConductance), fmt.Sprintf("one that takes %g s and more to give its heat off", slowest))
	}
	if each := o.HeaterConductance*o.Radiant + o.Exchange + o.Loss; o.Walls/each < slowest {
		c.add("walls", fmt.Sprintf("%g J/K at %g W/K", o.Walls, each), fmt.Sprintf("ones that take %g s and more to follow", slowest))
	}
	if full := o.Room + o.sign()*o.Power/o.HeaterConductance; full > hottestHeater || full < coldestCoil {
		c.add("heater", fmt.Sprintf("%g W at %g W/K", o.Power, o.HeaterConductance), fmt.Sprintf("one that full power takes to %d to %d °C amid air of %g °C, not to %.0f °C", coldestCoil, hottestHeater, o.Room, full))
	}
	if o.Warm && o.left == nil {
		o.checkHeld(c, "start", o.Start, 0)
	}
}

// checkHeld refuses a temperature of the air, by an offset away from what was asked for,
// that full power does not hold against the losses, or only with a heater that there is not.
func (o *Oven) checkHeld(c *checker, field string, t, offset float64) {
	heater, _, power := o.steady(t + offset)
	far := o.farthest()
	switch {
	case power*o.sign() <= 0: // the kitchen holds it
	case o.sign()*(t+offset-far) > 0:
		c.add(field, fmt.Sprintf("%g °C", t), fmt.Sprintf("no farther than the %.0f °C that %g W can hold against the losses", far, o.Power))
	case heater > hottestHeater:
		c.add(field, fmt.Sprintf("%g °C", t), fmt.Sprintf("one held by a heater of at most %d °C, not %.0f °C", hottestHeater, heater))
	case heater < coldestCoil:
		c.add(field, fmt.Sprintf("%g °C", t), fmt.Sprintf("one held by a coil of at least %d °C, not %.0f °C", coldestCoil, heater))
	}
}

// validate lists what is wrong with a tray that meets h [W/(m² K)].
func (t *Tray) validate(c *checker, h float64) {
	before := len(c.faults)
	c.place = "tray"
	c.within("thickness", t.Thickness, 1e-4, 0.5, false, " m")
	most := 10.0
	if c.within("area", t.Area, 1e-4, most, false, " m²") {
		most = t.Area
	}
	c.within("covered area", t.Covered, 0, most, false, " m²")
	c.within("contact", t.Contact, 1e-4, 10, false, " m² K/W")
	c.within("start", t.Start, -80, 1000, false, " °C")
	c.within("conductivity", t.Solid.Conductivity, 0.01, 1000, false, " W/(m K)")
	c.within("density", t.Solid.Density, 10, 30000, false, " kg/m³")
	c.within("heat capacity", t.Solid.HeatCapacity, 100, 10000, false, " J/(kg K)")
	c.within("emissivity", t.Solid.Emissivity, 0, 1, false, "")
	if len(c.faults) > before {
		return
	}
	if rate := t.haste(h); rate > fastest {
		c.add("thickness", t.Thickness, fmt.Sprintf("a tray that follows less fast than %g times a second, not %.3g", fastest, rate))
	}
}

const (
	slowest = 4 * substep // [s] that heater and walls must take
	fastest = 200.0       // [1/s] that a tray may follow

	// Metals of heaters melt at up to 3400 °C (tungsten, from memory), and what is cold
	// enough for air to condense on is no cooling coil.
	hottestHeater = 3000 // [°C]
	coldestCoil   = -190 // [°C]
)

// Bears refuses a dish that has more area [m²] on the tray than the tray: a slab of which
// none is said has 1 m².
func (s *Setting) Bears(port int, area float64) error {
	if port != trayPort || s == nil || s.Oven == nil || s.Oven.Tray == nil || area <= s.Oven.Tray.Area*(1+1e-9) {
		return nil
	}
	return &InputError{"tray", "area", s.Oven.Tray.Area, fmt.Sprintf("no less than the %.4g m² of the dish on it", area)}
}

// maxOpenings bounds how often the door opens in a stage.
const maxOpenings = 1000

// Validate lists what is wrong with the setting and its oven.
func (s *Setting) Validate() error {
	if s == nil || s.Oven == nil {
		return (*Oven)(nil).Validate()
	}
	if err := s.Oven.Validate(); err != nil {
		return err
	}
	c := checker{place: "setting of the oven"}
	if !math.IsInf(s.To, -1) {
		if c.within("set point", s.To, -80, 1000, false, " °C") {
			s.Oven.checkHeld(&c, "set point", s.To, s.Oven.Thermostat.Offset)
		}
	}
	if s.trayless {
		c.add("tray", "none", "one in the oven, for what stands on it")
	}
	c.within("steam", s.Steam, 0, 1, false, " kg/s")
	if len(s.Openings) > maxOpenings {
		c.add("openings", len(s.Openings), fmt.Sprintf("at most %d", maxOpenings))
		return errors.Join(c.faults...)
	}
	end := time.Duration(0)
	for i, x := range s.Openings {
		field := fmt.Sprintf("opening %d", i+1)
		switch {
		case s.Oven.Door.Width == 0 || s.Oven.Door.Height == 0:
			c.add(field, x, "none: the door has no size")
		case x.For <= 0:
			c.add(field, x.For, "a time over 0 for which the door is open")
		case x.At < end:
			c.add(field, x.At, "openings in their order, each after the one before has ended")
		}
		end = x.At + x.For
	}
	return errors.Join(c.faults...)
}
