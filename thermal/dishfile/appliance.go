package dishfile

import (
	"math"
	"reflect"
	"slices"

	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/oven"
)

// Appliance is an oven, a cold cabinet or a bath with a state of its own, see package oven:
// it warms up, swings about its set point, falls when the door opens, coasts and is pulled
// down by the dish. The dish is a load of the size that the shape gives it.
type Appliance struct {
	Name         string      `toml:"name,omitempty" json:"name,omitempty"`                            // by which media call it
	Preset       string      `toml:"preset,omitempty" json:"preset,omitempty"`                        // that it is like
	Power        Power       `toml:"power,omitempty" json:"power,omitempty" in:"1e-3,1e6"`            // of the heater, or that the coil takes out; default: of the preset
	Hysteresis   Difference  `toml:"hysteresis,omitempty" json:"hysteresis,omitempty" in:"0,200"`     // of the thermostat, half of it on either side of the set point; default: of the preset
	Band         Difference  `toml:"band,omitempty" json:"band,omitempty" in:"0,200"`                 // instead: short of the set point, in which the power goes down evenly; default: of the preset
	Offset       Difference  `toml:"offset,omitempty" json:"offset,omitempty" in:"-50,50"`            // by which it is hotter than its dial says; default 0
	H            Coefficient `toml:"h,omitempty" json:"h,omitempty" in:"0,1e4"`                       // at the dish; default: of the preset
	Loss         Conductance `toml:"loss,omitempty" json:"loss,omitempty" in:"0,1e5"`                 // through walls or vessel to the room; default: of the preset
	Room         Temp        `toml:"room,omitempty" json:"room,omitempty" in:"-50,100"`               // around it; default: of the preset
	RoomHumidity Share       `toml:"room_humidity,omitempty" json:"room_humidity,omitempty" in:"0,1"` // relative; default: of the preset
	Start        Temp        `toml:"start,omitempty" json:"start,omitempty" in:"-80,1000"`            // of all of it as the dish goes in; default: the room's
	ReadyAt      Temp        `toml:"ready_at,omitempty" json:"ready_at,omitempty" in:"-80,1000"`      // instead: at which its air has long been, of an oven preheated or a freezer that runs; default: it has not
	Volume       Volume      `toml:"volume,omitempty" json:"volume,omitempty" in:"1e-3,100"`          // of the chamber, not of baths; default: of the preset
	StillH       Coefficient `toml:"still_h,omitempty" json:"still_h,omitempty" in:"0,1e4"`           // with the fan off, not of baths; default: of the preset
	Emissivity   *float64    `toml:"emissivity,omitempty" json:"emissivity,omitempty" in:"0,1"`       // [-] of the dish as the walls see it, not of baths; default: of the preset
	Vent         Flow        `toml:"vent,omitempty" json:"vent,omitempty" in:"0,10"`                  // air that comes in from the room, not of baths; default: of the preset
	DoorWidth    Length      `toml:"door_width,omitempty" json:"door_width,omitempty" in:"0,5"`       // not of baths; default: of the preset
	DoorHeight   Length      `toml:"door_height,omitempty" json:"door_height,omitempty" in:"0,5"`     // not of baths; default: of the preset
	Tray         *Tray       `toml:"tray,omitempty,inline" json:"tray,omitempty"`                     // in it, not of baths; default: none
	Mass         Mass        `toml:"mass,omitempty" json:"mass,omitempty" in:"0.01,1e5"`              // of the liquid, of baths alone; default: of the preset
	OpenSurface  Area        `toml:"open_surface,omitempty" json:"open_surface,omitempty" in:"0,100"` // of water to the air, of baths alone; default: of the preset
}

// Tray is what the dish stands on in an oven: a tray, a steel, a stone, the oven's floor.
type Tray struct {
	Material  string     `toml:"material,omitempty" json:"material,omitempty"`
	Thickness Length     `toml:"thickness,omitempty" json:"thickness,omitempty" in:"1e-4,0.5"`
	Area      Area       `toml:"area,omitempty" json:"area,omitempty" in:"1e-4,10"`
	Covered   Area       `toml:"covered,omitempty" json:"covered,omitempty" in:"0,10"`    // of it under the dish; default: the area of a slab, others need it
	Contact   Resistance `toml:"contact,omitempty" json:"contact,omitempty" in:"1e-4,10"` // between tray and dish; default 0.002 m² K/W
	Start     Temp       `toml:"start,omitempty" json:"start,omitempty" in:"-80,1000"`    // default: of the appliance's room
}

// Opening is a time in which an oven's door stands open.
type Opening struct {
	At  Time `toml:"at,omitempty" json:"at,omitempty" in:"0,34560000"` // since the stage began
	For Time `toml:"for,omitempty" json:"for,omitempty" in:"1e-3,34560000"`
}

// Kinds of media that an appliance makes.
const (
	inAppliance = "appliance" // its air, or its liquid
	onTray      = "tray"      // the tray in it
)

// Most appliances of a file, and openings of a door in a stage.
const (
	maxAppliances = 20
	maxOpenings   = 100
)

type preset[A any] struct {
	name string
	make func() *A
}

var (
	ovenPresets = []preset[oven.Oven]{{"domestic still oven", oven.DomesticStill}, {"domestic fan oven", oven.DomesticFan}, {"combi oven", oven.Combi},
		{"deck oven", oven.Deck}, {"refrigerator", oven.Refrigerator}, {"freezer", oven.Freezer}, {"blast chiller", oven.BlastChiller}}
	bathPresets = []preset[oven.Bath]{{"circulator", oven.Circulator}, {"fryer", oven.Fryer}}
)

type trayMaterial struct {
	name string
	of   oven.Solid
}

var trayMaterials = []trayMaterial{{"aluminium", oven.Aluminium}, {"dark aluminium", oven.DarkAluminium}, {"carbon steel", oven.CarbonSteel}, {"stainless steel", oven.StainlessSteel},
	{"cast iron", oven.CastIron}, {"stone", oven.Stone}, {"glass", oven.Glass}}

func trayNames() []string {
	return names(trayMaterials, func(m trayMaterial) string { return m.name })
}

func bathNames() []string {
	return names(bathPresets, func(p preset[oven.Bath]) string { return p.name })
}

func presetNames() []string {
	return append(names(ovenPresets, func(p preset[oven.Oven]) string { return p.name }), bathNames()...)
}

// bath says whether the appliance is one.
func (a *Appliance) bath() bool { return slices.Contains(bathNames(), a.Preset) }

// plant is an appliance as runs have it: an oven or a bath, the other is nil.
type plant struct {
	oven *oven.Oven
	bath *oven.Bath
}

// plants are those of a file, by name.
type plants map[string]plant

// plants gives the appliances of a checked file as they are at first.
func (f *File) plants() plants {
	out := plants{}
	for i := range f.Appliances {
		a := &f.Appliances[i]
		out[a.Name] = a.build(f)
	}
	return out
}

// after gives the appliances as a run left them.
func (p plants) after(run *thermal.Run) plants {
	out := plants{}
	for name, x := range p {
		out[name] = plant{x.oven.After(run), x.bath.After(run)}
	}
	return out
}

// fill sets a number to a quantity that is given.
func fill(to *float64, q quantity) {
	if reflect.ValueOf(q).String() != "" {
		*to = si(q)
	}
}

// build makes the appliance of its preset and what the file says; none of an unknown one.
func (a *Appliance) build(f *File) plant {
	if i := slices.IndexFunc(bathPresets, func(p preset[oven.Bath]) bool { return p.name == a.Preset }); i >= 0 {
		b := bathPresets[i].make()
		fill(&b.Power, a.Power)
		fill(&b.H, a.H)
		fill(&b.Loss, a.Loss)
		fill(&b.Mass, a.Mass)
		fill(&b.Open, a.OpenSurface)
		a.thermostat(&b.Thermostat)
		a.room(f, &b.Room, &b.RoomVapour)
		b.Start = a.begins(b.Room)
		return plant{bath: b}
	}
	i := slices.IndexFunc(ovenPresets, func(p preset[oven.Oven]) bool { return p.name == a.Preset })
	if i < 0 {
		return plant{}
	}
	o := ovenPresets[i].make()
	fill(&o.Power, a.Power)
	fill(&o.H, a.H)
	fill(&o.StillH, a.StillH)
	fill(&o.Loss, a.Loss)
	fill(&o.Volume, a.Volume)
	fill(&o.Vent, a.Vent)
	fill(&o.Door.Width, a.DoorWidth)
	fill(&o.Door.Height, a.DoorHeight)
	if a.Emissivity != nil {
		o.Emissivity = *a.Emissivity
	}
	a.thermostat(&o.Thermostat)
	a.room(f, &o.Room, &o.RoomVapour)
	o.Start, o.Warm = a.begins(o.Room), a.ReadyAt != ""
	if a.Tray != nil {
		o.Tray = a.Tray.build(f, o.Room)
	}
	return plant{oven: o}
}

func (a *Appliance) thermostat(t *oven.Thermostat) {
	switch {
	case a.Band != "":
		*t = oven.Thermostat{Band: si(a.Band)}
	case a.Hysteresis != "":
		*t = oven.Thermostat{Hysteresis: si(a.Hysteresis)}
	}
	fill(&t.Offset, a.Offset)
}

func (a *Appliance) room(f *File, t, vapour *float64) {
	fill(t, a.Room)
	if a.RoomHumidity == "" {
		return
	}
	saturation := phasechange.SaturationPressure
	if *t < 0 {
		saturation = phasechange.SublimationPressure
	}
	*vapour = si(a.RoomHumidity) * saturation(*t) / f.pressure()
}

// begins is where the appliance starts [°C] in a room.
func (a *Appliance) begins(room float64) float64 {
	fill(&room, a.Start)
	fill(&room, a.ReadyAt)
	return room
}

// trayContact [m² K/W] is between bare metal and food: a guess, from 500 W/(m² K).
const trayContact = 0.002

func (x *Tray) build(f *File, room float64) *oven.Tray {
	out := &oven.Tray{Thickness: si(x.Thickness), Area: si(x.Area), Covered: f.slabArea(), Contact: trayContact, Start: room}
	for _, m := range trayMaterials {
		if m.name == x.Material {
			out.Solid = m.of
		}
	}
	fill(&out.Covered, x.Covered)
	fill(&out.Contact, x.Contact)
	fill(&out.Start, x.Start)
	return out
}

// slabArea is that of a face of a slab [m²]; 0 of other shapes.
func (f *File) slabArea() float64 {
	if f.Shape == nil || f.Shape.Kind != slab {
		return 0
	}
	area := 1.0
	fill(&area, f.Shape.Area)
	return area
}

// set is an appliance set to something in a stage.
type set interface {
	thermal.Active
	Validate() error
}

// at gives the setting of an appliance that a medium names.
func (p plant) at(m *Medium) set {
	to := math.Inf(-1)
	if !m.Off {
		to = si(m.SetPoint)
	}
	if p.bath != nil {
		return p.bath.At(to)
	}
	s := p.oven.At(to)
	s.FanOff, s.Steam = m.FanOff, si(m.Steam)
	for _, x := range m.Door {
		s.Openings = append(s.Openings, oven.Opening{At: duration(x.At), For: duration(x.For)})
	}
	return s
}

// sets gives the setting of each appliance that is in a stage, which all media of the
// stage that name it share.
func (p plants) sets(s *Stage) map[string]set {
	out := map[string]set{}
	for _, m := range s.media() {
		if x, ok := p[m.Appliance]; ok && m.Kind == inAppliance && out[m.Appliance] == nil {
			out[m.Appliance] = x.at(m.Medium)
		}
	}
	return out
}

// meets is what a medium is, amid the settings of its stage.
func (m *Medium) meets(sets map[string]set) thermal.Medium {
	switch m.Kind {
	case inAppliance:
		return sets[m.Appliance]
	case onTray:
		return sets[m.Appliance].(*oven.Setting).OnTray()
	}
	return m.around()
}

// placed is a medium of a stage and its key in there.
type placed struct {
	*Medium
	key string
}

// media lists those of a stage.
func (s *Stage) media() (out []placed) {
	if s.Medium != nil {
		out = append(out, placed{s.Medium, "medium"})
	}
	for _, p := range s.patches() {
		m := s.Patches[p]
		out = append(out, placed{&m, "patches." + p})
	}
	return out
}
