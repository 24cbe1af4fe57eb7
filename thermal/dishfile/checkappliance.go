package dishfile

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"example.com/thawfront/thermal/oven"
)

// checkAppliances checks each by itself, what its figures come to together included.
func (f *File) checkAppliances(r *report) {
	if n := len(f.Appliances); n > maxAppliances {
		r.add("appliances", fmt.Sprintf("%d appliances", n), fmt.Sprintf("at most %d", maxAppliances))
		return
	}
	for i := range f.Appliances {
		a, key := &f.Appliances[i], item("appliances", i)
		if a.Name == "" {
			r.need(below(key, "name"), "a name for media to use")
		}
		for j := range i {
			if a.Name != "" && f.Appliances[j].Name == a.Name {
				r.add(below(key, "name"), fmt.Sprintf("%s is the name of appliance %d too", quote(a.Name), j+1), "a name no other appliance has")
				break
			}
		}
		p := a.build(f)
		if p == (plant{}) {
			r.oneOf(below(key, "preset"), a.Preset, strings.Join(presetNames(), ", "), presetNames())
			continue
		}
		f.checkKeys(r, a, key)
		if r.has(key) || r.has("shape") || r.has("settings.pressure") {
			continue
		}
		err := p.bath.Validate()
		if p.oven != nil {
			err = p.oven.Validate()
		}
		for _, fault := range ovenFaults(err) {
			if fault.Field == "covered area" && a.Tray.Covered == "" { // that of the slab
				r.add(below(below(key, "tray"), "area"), fmt.Sprintf("the slab is larger than the tray (%.4g m²; 1 m² if its shape does not say)", f.slabArea()), "no less than it, or covered if it is not on the tray")
				continue
			}
			r.add(a.keyOf(fault, key), sentence(fault.Field, fault.Value, nil), fault.Want)
		}
	}
}

// ofOvens and ofBaths are the keys that the others do not have.
var (
	ofOvens = []string{"volume", "still_h", "emissivity", "vent", "door_width", "door_height", "tray"}
	ofBaths = []string{"mass", "open_surface"}
)

// checkKeys checks which keys of an appliance go together.
func (f *File) checkKeys(r *report, a *Appliance, key string) {
	not, what := ofBaths, "an oven or a cabinet"
	if a.bath() {
		not, what = ofOvens, "a bath"
	}
	v := reflect.ValueOf(*a)
	for i := range v.NumField() {
		for _, k := range not {
			if keyOf(v.Type().Field(i)) == k && given(v.Field(i)) {
				r.add(below(key, k), fmt.Sprintf("%s is %s and has none", quote(a.Preset), what), "none")
			}
		}
	}
	if a.Hysteresis != "" && a.Band != "" {
		r.add(below(key, "band"), "hysteresis and band exclude each other", "one of them")
	}
	if a.Start != "" && a.ReadyAt != "" {
		r.add(below(key, "ready_at"), "start and ready_at exclude each other", "one of them")
	}
	if x := a.Tray; x != nil && !a.bath() {
		k := below(key, "tray")
		if x.build(f, 0).Solid == (oven.Solid{}) {
			r.oneOf(below(k, "material"), x.Material, strings.Join(trayNames(), ", "), trayNames())
		}
		r.needQuantity(below(k, "thickness"), x.Thickness)
		r.needQuantity(below(k, "area"), x.Area)
		if x.Covered == "" && f.slabArea() == 0 && f.Shape != nil && !r.has("shape") {
			r.add(below(k, "covered"), "it is not known how much of the tray a "+f.Shape.Kind+" covers", wanted(x.Covered))
		}
	}
}

// ovenFaults takes what package oven has found apart.
func ovenFaults(err error) []*oven.InputError { return parts[*oven.InputError](err, nil) }

// keysOfOven are the keys of what package oven calls otherwise.
var keysOfOven = map[string]string{
	"h without fan": "still_h", "width of the door": "door_width", "height of the door": "door_height", "temperature of the room": "room",
	"vapour in the room's air": "room_humidity", "open surface": "open_surface", "heater": "power", "walls": "loss", "covered area": "covered",
}

// keyOf finds the key of a fault in an appliance: the nearest table, if the figure is the
// preset's.
func (a *Appliance) keyOf(fault *oven.InputError, key string) string {
	field := fault.Field
	if k := keysOfOven[field]; k != "" {
		field = k
	}
	of := reflect.ValueOf(*a)
	if fault.Place == "tray" {
		of, key = reflect.ValueOf(*a.Tray), below(key, "tray")
	}
	switch {
	case field == "thermostat" && a.Band != "":
		field = "band"
	case field == "thermostat":
		field = "hysteresis"
	case field == "start" && fault.Place != "tray" && a.ReadyAt != "":
		field = "ready_at"
	}
	for i := range of.NumField() {
		if keyOf(of.Type().Field(i)) == field && given(of.Field(i)) {
			return below(key, field)
		}
	}
	return key
}

// set says whether a medium has a key that only an appliance has.
func (m *Medium) set() bool {
	return m.Appliance != "" || m.SetPoint != "" || m.Off || len(m.Door) > 0 || m.FanOff || m.Steam != ""
}

// fixed says whether a medium has a key that an appliance has not.
func (m *Medium) fixed() bool {
	return m.Temperature != "" || len(m.Course) > 0 || m.H != "" || m.Emissivity != nil || m.Walls != "" || m.Humidity != ""
}

// checkSetting checks a medium of an appliance by itself.
func (f *File) checkSetting(r *report, m *Medium, key string) {
	i := f.appliance(m.Appliance)
	if i < 0 {
		r.unknown(below(key, "appliance"), "appliance", m.Appliance, func() []string {
			return names(f.Appliances, func(a Appliance) string { return a.Name })
		})
	}
	if m.fixed() {
		r.add(key, "an appliance has temperature, course, h, emissivity, walls and humidity of its own", "none of them; a set_point instead of a temperature")
	}
	if m.Kind == onTray {
		if m.SetPoint != "" || m.Off || len(m.Door) > 0 || m.FanOff || m.Steam != "" {
			r.add(key, "a tray is not set to anything", "no other keys than kind and appliance; the medium in its oven has the rest")
		} else if i >= 0 && f.Appliances[i].Tray == nil {
			r.add(below(key, "appliance"), "there is no tray in "+quote(m.Appliance), "a tray in [[appliances]], or another medium")
		}
		return
	}
	switch {
	case m.SetPoint == "" && !m.Off:
		r.need(below(key, "set_point"), wanted(m.SetPoint)+", or off = true")
	case m.SetPoint != "" && m.Off:
		r.add(below(key, "off"), "set_point and off exclude each other", "one of them")
	}
	if i >= 0 && f.Appliances[i].bath() && (len(m.Door) > 0 || m.FanOff || m.Steam != "") {
		r.add(key, "a bath has no door, fan_off or steam", "none of them")
	}
	if n := len(m.Door); n > maxOpenings {
		r.add(below(key, "door"), fmt.Sprintf("%d openings", n), fmt.Sprintf("at most %d", maxOpenings))
		return
	}
	end := math.Inf(-1)
	for j, x := range m.Door {
		k := item(below(key, "door"), j)
		r.needQuantity(below(k, "at"), x.At)
		r.needQuantity(below(k, "for"), x.For)
		if !r.has(k) && si(x.At) < end {
			r.add(below(k, "at"), "the door is still open then", "openings in their order, each after the one before has ended")
		}
		end = si(x.At) + si(x.For)
	}
}

// appliance is the index of the one of a name, or -1.
func (f *File) appliance(name string) int {
	for i := range f.Appliances {
		if f.Appliances[i].Name == name && name != "" {
			return i
		}
	}
	return -1
}

// checkSets checks what the media of a stage set their appliances to: each to one thing,
// and to one that it can hold.
func (f *File) checkSets(r *report, s *Stage, key string, amid plants) {
	if r.has(key) || r.has("appliances") {
		return
	}
	sets := amid.sets(s)
	first := map[string]*Medium{}
	for _, m := range s.media() {
		k := below(key, m.key)
		switch was := first[m.Appliance]; {
		case m.Kind == onTray && sets[m.Appliance] == nil:
			r.add(below(k, "appliance"), quote(m.Appliance)+" is set to nothing in this stage", "a medium of kind appliance for the rest of the dish")
		case m.Kind != inAppliance:
		case was == nil:
			first[m.Appliance] = m.Medium
			for _, fault := range ovenFaults(sets[m.Appliance].Validate()) {
				r.add(keyOfSetting(fault, k), sentence(fault.Field, fault.Value, nil), fault.Want)
			}
		case !reflect.DeepEqual(amid[m.Appliance].at(was), amid[m.Appliance].at(m.Medium)):
			r.add(k, quote(m.Appliance)+" is set to something else in this stage already", "the same set point, door, fan and steam")
		}
	}
}

// keyOfSetting finds the key of a fault in a setting.
func keyOfSetting(fault *oven.InputError, key string) string {
	var n int
	if _, err := fmt.Sscanf(fault.Field, "opening %d", &n); err == nil {
		return item(below(key, "door"), n-1)
	}
	switch fault.Field {
	case "set point":
		return below(key, "set_point")
	case "steam":
		return below(key, "steam")
	}
	return key
}

// span is between which temperatures [°C] the appliance stays that a medium names.
func (p plant) span(m *Medium) (lo, hi float64) {
	switch {
	case p.oven != nil:
		return p.oven.Span()
	case p.bath != nil && m.Off:
		return p.bath.Span(math.Inf(-1))
	case p.bath != nil:
		return p.bath.Span(si(m.SetPoint))
	}
	return math.Inf(-1), math.Inf(1)
}
