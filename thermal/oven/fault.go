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

// within checks a number against a range that it may reach, unless open below.
func (c *checker) within(field string, v, low, high float64, openBelow bool, unit string) {
	if v >= low && v <= high && !(openBelow && v == low) && !math.IsInf(v, 0) {
		return
	}
	from := fmt.Sprintf("%g", low)
	if openBelow {
		from = "over " + from
	}
	c.add(field, v, fmt.Sprintf("%s to %g%s", from, high, unit))
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
	c.within("glow of the heater", o.Glow, 0, 1e6, true, " W/K")
	c.within("radiant share", o.Radiant, 0, 1, false, "")
	c.within("heat capacity of the air", o.Air, 1, 1e6, false, " J/K")
	c.within("heat capacity of the walls", o.Walls, 10, 1e8, false, " J/K")
	c.within("exchange between air and walls", o.Exchange, 0, 1e6, true, " W/K")
	c.within("loss", o.Loss, 0, 1e5, false, " W/K")
	c.within("vent", o.Vent, 0, 10, false, " kg/s")
	c.within("width of the door", o.Door.Width, 0, 5, false, " m")
	c.within("height of the door", o.Door.Height, 0, 5, false, " m")
	c.within("h", o.H, 0, 1e4, false, " W/(m² K)")
	c.within("h without fan", o.StillH, 0, 1e4, false, " W/(m² K)")
	c.within("emissivity", o.Emissivity, 0, 1, false, "")
	c.within("temperature of the room", o.Room, -50, 100, false, " °C")
	c.within("vapour in the room's air", o.RoomVapour, 0, 0.2, false, "")
	c.within("start", o.Start, -80, 1000, false, " °C")
	o.Thermostat.validate(&c)
	if o.Heater/o.Glow < slowest {
		c.add("heater", fmt.Sprintf("%g J/K at %g W/K", o.Heater, o.Glow), fmt.Sprintf("one that takes %g s and more to give its heat off", slowest))
	}
	if each := o.Glow*o.Radiant + o.Exchange + o.Loss; o.Walls/each < slowest {
		c.add("walls", fmt.Sprintf("%g J/K at %g W/K", o.Walls, each), fmt.Sprintf("ones that take %g s and more to follow", slowest))
	}
	if t := o.Tray; t != nil {
		c.place = "tray"
		c.within("thickness", t.Thickness, 1e-4, 0.5, false, " m")
		c.within("area", t.Area, 1e-4, 10, false, " m²")
		c.within("covered area", t.Covered, 0, max(t.Area, 0), false, " m²")
		c.within("contact", t.Contact, 1e-4, 10, false, " m² K/W")
		c.within("start", t.Start, -80, 1000, false, " °C")
		c.within("conductivity", t.Solid.Conductivity, 0.01, 1000, false, " W/(m K)")
		c.within("density", t.Solid.Density, 10, 30000, false, " kg/m³")
		c.within("heat capacity", t.Solid.HeatCapacity, 100, 10000, false, " J/(kg K)")
		c.within("emissivity", t.Solid.Emissivity, 0, 1, false, "")
		if rate := t.haste(o.H); c.faults == nil && rate > fastest {
			c.add("thickness", t.Thickness, fmt.Sprintf("a tray that follows less fast than %g times a second, not %.3g", fastest, rate))
		}
	}
	return errors.Join(c.faults...)
}

const (
	slowest = 4 * substep // [s] that heater and walls must take
	fastest = 200.0       // [1/s] that a tray may follow
)

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
		c.within("set point", s.To, -80, 1000, false, " °C")
		o := s.Oven
		if far := o.farthest(); o.sign()*(s.To+o.Thermostat.Offset-far) > 0 {
			c.add("set point", fmt.Sprintf("%g °C", s.To), fmt.Sprintf("no farther than the %.0f °C that %g W can hold against the losses", far, o.Power))
		}
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
