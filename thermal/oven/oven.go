package oven

import (
	"math"
	"slices"
	"time"

	"example.com/thawfront/thermal"
)

// Oven is a chamber with a heater, or with a cooling coil in its place: a refrigerator, a
// freezer. A simulation does not change its fields, and goes by what they are as it begins.
// The presets are good starting points.
type Oven struct {
	Power             float64 // [W] of the heater, or that the coil takes out; over 0 to 1e6
	Cools             bool
	Volume            float64 // [m³] of the chamber, 1e-3 to 100
	Heater            float64 // [J/K] heat capacity of the heater, 10 to 1e7
	HeaterConductance float64 // [W/K] from the heater to air and walls, over 0 to 1e6
	Radiant           float64 // [-] share of that which goes to the walls, 0 to 1
	Air               float64 // [J/K] heat capacity of the air with what follows it at once, 1 to 1e6
	Walls             float64 // [J/K] heat capacity of walls, racks and insulation, 10 to 1e8
	Exchange          float64 // [W/K] between air and walls, over 0 to 1e6
	Loss              float64 // [W/K] from the walls to the kitchen, 0 to 1e5
	Vent              float64 // [kg/s] kitchen air let in, 0 to 10
	Door              Door

	H          float64 // [W/(m² K)] at the dish, 0 to 1e4
	StillH     float64 // [W/(m² K)] with the fan off, 0 to 1e4; default (0): H
	Emissivity float64 // [-] of the dish as the walls see it, 0 to 1

	Thermostat Thermostat
	Room       float64 // [°C] of the kitchen, -50 to 100
	RoomVapour float64 // [-] mole fraction of vapour in the kitchen's air, 0 to 0.2
	Start      float64 // [°C] of all of it when the run begins, -80 to 1000
	Warm       bool    // whether its air has long been at Start; otherwise all of it, the heater too, is of that temperature
	Tray       *Tray   // default: none

	left     []float64 // by an earlier run
	leftTray *Tray
}

// Door is the opening of an oven.
type Door struct {
	Width, Height float64 // [m] 0 (a door that does not open) to 5
}

// At is the oven set to a temperature [°C].
func (o *Oven) At(t float64) *Setting { return &Setting{Oven: o, To: t} }

// Off is the oven switched off, its door closed: it coasts.
func (o *Oven) Off() *Setting { return &Setting{Oven: o, To: math.Inf(-1)} }

// Warmed is a copy of the oven whose air has long been at t [°C], with its tray at Tray.Start:
// what is put in meets a preheated oven, or a cold freezer.
func (o *Oven) Warmed(t float64) *Oven {
	if o == nil {
		return nil
	}
	c := *o
	c.Start, c.Warm, c.left = t, true, nil
	return &c
}

// Setting is an oven set to a temperature in a stage. It is a thermal.Medium: the dish
// stands in its air.
type Setting struct {
	Oven     *Oven
	To       float64   // [°C] set point, -80 to 1000; -Inf is switched off
	Openings []Opening // of the door, in order
	FanOff   bool
	Steam    float64 // [kg/s] let into the chamber, at its temperature; 0 to 1

	of       *Oven // of which Oven is a copy, in what a run keeps
	trayless bool  // something stands on a tray that there is not
}

// Opening is a time in which the door stands open.
type Opening struct {
	At  time.Duration // since the start of the stage
	For time.Duration // over 0
}

// OnTray is what stands on the oven's tray: a Medium for the underside of a dish.
func (s *Setting) OnTray() thermal.Medium { return port{s, trayPort} }

// The ports of an oven.
const (
	airPort = iota
	trayPort
)

// port is another side of the oven than its air.
type port struct {
	*Setting
	at int
}

var (
	_ thermal.Active  = port{}
	_ thermal.Changer = (*Setting)(nil)
	_ thermal.Bearer  = (*Setting)(nil)
)

func (p port) Port() int { return p.at }

func (p port) At(time.Duration) thermal.Surroundings { return p.initial(p.at) }

// At is what the dish meets first, at standard pressure.
func (s *Setting) At(time.Duration) thermal.Surroundings { return s.initial(airPort) }

// Control is a copy of the setting and its oven as they are.
func (s *Setting) Control() thermal.Control { return s.kept() }

func (p port) Control() thermal.Control {
	c := p.kept()
	if c != nil && c.Oven != nil {
		c.trayless = c.Oven.Tray == nil
	}
	return c
}

// kept is a copy that later changes do not reach.
func (s *Setting) kept() *Setting {
	if s == nil {
		return nil
	}
	c := *s
	c.Openings = slices.Clone(s.Openings)
	if s.Oven == nil || s.of != nil {
		return &c
	}
	o := *s.Oven
	c.Oven, c.of = &o, s.Oven
	if o.Tray != nil {
		tray := *o.Tray
		if o.leftTray == o.Tray {
			o.leftTray = &tray
		}
		o.Tray = &tray
	}
	return &c
}

// Port is the oven's air.
func (s *Setting) Port() int { return airPort }

// Body is the oven.
func (s *Setting) Body() any {
	switch {
	case s == nil:
		return nil
	case s.of != nil:
		return s.of
	}
	return s.Oven
}
