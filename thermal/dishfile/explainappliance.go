package dishfile

import (
	"fmt"

	"example.com/thawfront/thermal/oven"
)

// presetSource says where the figures of presets come from, as package oven does.
const presetSource = ": typical, from memory, no source; appliances differ by half and more"

// absentOfAppliance explains what stands for a field that an appliance does not have.
func (e *explainer) absentOfAppliance(a *Appliance, field string) (value, from string) {
	from = "preset: " + a.Preset + presetSource
	p := a.build(e.f)
	o, b := p.oven, p.bath
	var t oven.Thermostat
	var power, h, loss, room, vapour float64
	if b != nil {
		t, power, h, loss, room, vapour = b.Thermostat, b.Power, b.H, b.Loss, b.Room, b.RoomVapour
	} else {
		t, power, h, loss, room, vapour = o.Thermostat, o.Power, o.H, o.Loss, o.Room, o.RoomVapour
	}
	switch field {
	case "Power":
		return short(power) + " W", from
	case "Hysteresis":
		if t.Band == 0 {
			return short(t.Hysteresis) + " K", from
		}
		return "", ""
	case "Band":
		if t.Hysteresis == 0 {
			return short(t.Band) + " K", from
		}
		return "", ""
	case "Offset":
		return "0 K", "default"
	case "H":
		return short(h) + " W/(m² K)", from
	case "Loss":
		return short(loss) + " W/K", from
	case "Room":
		return short(room) + " °C", from
	case "RoomHumidity":
		return short(vapour*100) + " % of the room's air by volume is vapour", from
	case "Start":
		if a.ReadyAt == "" {
			return short(room) + " °C", "default: that of the room"
		}
	}
	if b != nil {
		switch field {
		case "Mass":
			return short(b.Mass) + " kg", from
		case "OpenSurface":
			return short(b.Open) + " m²", from
		}
		return "", ""
	}
	switch field {
	case "Volume":
		return short(o.Volume*1e3) + " l", from
	case "StillH":
		if o.StillH == 0 {
			return "as h", from
		}
		return short(o.StillH) + " W/(m² K)", from
	case "Emissivity":
		return short(o.Emissivity), from
	case "Vent":
		return short(o.Vent*1e3) + " g/s", from
	case "DoorWidth":
		return short(o.Door.Width*1e3) + " mm", from
	case "DoorHeight":
		return short(o.Door.Height*1e3) + " mm", from
	case "Tray":
		return "none", "default"
	}
	return "", ""
}

// preset explains what a file cannot give of an appliance.
func (e *explainer) preset(a *Appliance, key string) {
	from := "preset: " + a.Preset + presetSource
	add := func(what, unit string, x float64) { e.add(key+" "+what, short(x)+unit, from) }
	p := a.build(e.f)
	if b := p.bath; b != nil {
		add("heat capacity of the liquid", " J/(kg K)", b.HeatCapacity)
		add("heat capacity of the vessel", " J/K", b.Vessel)
		e.add(key+" liquid", map[bool]string{true: "water", false: "oil: it neither evaporates nor boils"}[b.Water], from)
		return
	}
	plant := "heater"
	if p.oven.Cools {
		plant = "coil"
	}
	add("heat capacity of the "+plant, " J/K", p.oven.Heater)
	add("conductance of the "+plant, " W/K", p.oven.HeaterConductance)
	add("share radiated to the walls", "", p.oven.Radiant)
	add("heat capacity of the air", " J/K", p.oven.Air)
	add("heat capacity of the walls", " J/K", p.oven.Walls)
	add("exchange between air and walls", " W/K", p.oven.Exchange)
}

// material explains what a tray is made of.
func (e *explainer) material(x *Tray, key string) {
	s := x.build(e.f, 0).Solid
	from := s.Name + ": metals Incropera & DeWitt, tables A.1 and A.11, from memory; stone and glass typical, no source"
	e.add(key+" conductivity", short(s.Conductivity)+" W/(m K)", from)
	e.add(key+" density", short(s.Density)+" kg/m³", from)
	e.add(key+" heat capacity", short(s.HeatCapacity)+" J/(kg K)", from)
	e.add(key+" emissivity", short(s.Emissivity), from)
}

// absentOfSetting explains what stands for a field that a medium of an appliance does not
// have.
func (e *explainer) absentOfSetting(m *Medium, field string) (value, from string) {
	if e.f.Appliances[e.f.appliance(m.Appliance)].bath() {
		return "", ""
	}
	switch field {
	case "Door":
		return "closed", "default"
	case "FanOff":
		return fmt.Sprint(false) + ": as the preset's h, with its fan if it has one", "default"
	case "Steam":
		return "none", "default"
	}
	return "", ""
}
