package dishfile

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/thawfront/geometry"
	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
)

func (f *File) checkStages(r *report, foods pantry) {
	switch n := len(f.Stages); {
	case n == 0:
		r.need("stages", "at least one [[stages]] with medium and until")
	case n > maxStages:
		r.add("stages", fmt.Sprintf("%d stages", n), fmt.Sprintf("at most %d", maxStages))
		return
	}
	amid := f.plants()
	met := met{lo: math.Inf(1), hi: math.Inf(-1), pressure: f.pressure(), moist: f.moist()}
	for i := range f.Stages {
		s, key := &f.Stages[i], item("stages", i)
		met.starts(f, i)
		if s.Medium == nil {
			r.need(below(key, "medium"), "a table such as { kind = \"fan oven\", temperature = \"220 C\" }")
		} else {
			f.checkMedium(r, s.Medium, below(key, "medium"))
		}
		for _, p := range s.patches() {
			m, k := s.Patches[p], below(key, "patches."+p)
			f.checkPatch(r, p, k)
			f.checkMedium(r, &m, k)
		}
		f.checkSets(r, s, key, amid)
		if s.Brush != nil {
			f.checkBrush(r, s.Brush, below(key, "brush"), foods)
		}
		met.media(s, amid, r.has("appliances"))
		until := below(key, "until")
		if s.Until == nil {
			r.need(until, conditionWant)
			continue
		}
		f.checkCondition(r, s.Until, until, 0)
		if s.Limit != "" && s.Until.Time != "" && si(s.Limit) < si(s.Until.Time) && !r.has(key) {
			r.add(below(key, "limit"), "the limit comes before the time the stage is to last", "a limit of at least "+quote(string(s.Until.Time))+", or none")
		}
		if !r.has(key) && met.lo <= met.hi {
			met.unreachable(r, s.Until, until)
		}
	}
}

func (f *File) moist() bool { return f.Settings != nil && f.Settings.Moisture }

// begins is where a layer starts.
func (l *Layer) begins(f *File) Temp {
	if l.Start != "" {
		return l.Start
	}
	return f.Start
}

func (s *Stage) patches() []string {
	var names []string
	for p := range s.Patches {
		names = append(names, p)
	}
	slices.Sort(names)
	return names
}

// pressure is that of the file's settings [Pa].
func (f *File) pressure() float64 {
	if f.Settings == nil || f.Settings.Pressure == "" {
		return phasechange.StandardPressure
	}
	if p, err := f.Settings.Pressure.SI(); err == nil && p >= phasechange.MinPressure && p <= phasechange.MaxPressure {
		return p
	}
	return phasechange.StandardPressure // the wrong one has its own fault
}

func (f *File) checkMedium(r *report, m *Medium, key string) {
	if kinds := choices()["Medium.Kind"]; !slices.Contains(kinds, m.Kind) {
		r.oneOf(below(key, "kind"), m.Kind, strings.Join(kinds, ", "), kinds)
		return
	}
	switch {
	case m.Kind == inAppliance || m.Kind == onTray:
		f.checkSetting(r, m, key)
		return
	case m.set():
		r.add(key, "a medium of kind "+quote(m.Kind)+" has no appliance, set_point, off, door, fan_off or steam", "none of them, or kind = \"appliance\"")
		return
	}
	if m.Kind == insulated {
		if m.Temperature != "" || len(m.Course) > 0 || m.H != "" || m.Emissivity != nil || m.Walls != "" || m.Humidity != "" {
			r.add(key, "an insulated medium exchanges nothing", "no other key than kind")
		}
		return
	}
	switch {
	case m.Temperature == "" && len(m.Course) == 0:
		r.need(below(key, "temperature"), wanted(m.Temperature)+", or a course")
	case m.Temperature != "" && len(m.Course) > 0:
		r.add(below(key, "course"), "temperature and course exclude each other", "one of them")
	}
	checkCourse(r, m.Course, below(key, "course"))
	if m.Kind == custom && m.H == "" {
		r.need(below(key, "h"), wanted(m.H))
	}
	if r.has(key) {
		return
	}
	s := m.build()
	for _, t := range m.temps() {
		if r.has("settings.pressure") {
			break
		}
		err := m.at(t).Humidity.Check(t, f.pressure())
		if x, ok := errors.AsType[*thermal.InputError](err); ok {
			if m.Humidity == "" { // that of the kind: what the user gave is the temperature
				r.add(below(key, "temperature"), fmt.Sprintf("a %s of %.4g C", m.Kind, t), "about 100 C or more at this pressure, or a humidity such as '95 %'")
				break
			}
			r.add(below(key, "humidity"), fmt.Sprintf("%s %v in a medium of %.4g C", x.Field, x.Value, t), x.Want)
			break
		}
	}
	if m.Walls != "" && s.Emissivity == 0 {
		r.add(below(key, "walls"), "walls are not seen by a surface of emissivity 0", "none, or an emissivity")
	}
}

func (f *File) checkBrush(r *report, b *Brush, key string, foods pantry) {
	foods.find(r, below(key, "food"), b.Food)
	if b.Amount == "" {
		r.need(below(key, "amount"), wanted(b.Amount))
	}
	if !f.moist() {
		r.add(key, "nothing can be brushed on where water does not move", "moisture = true in [settings]")
	}
	if b.Patch != "" {
		f.checkPatch(r, b.Patch, below(key, "patch"))
	}
}

// checkPatch reports a part of the surface that the shape does not have.
func (f *File) checkPatch(r *report, name, key string) {
	parts := names(f.Shape.patches(), func(p geometry.Patch) string { return string(p) })
	if parts != nil && !slices.Contains(parts, name) { // an unknown shape is reported
		r.oneOf(key, name, fmt.Sprintf("one of this shape's: %v", parts), parts)
	}
}

const conditionWant = "exactly one of time, above, below, fluid_above, fluid_below, ice_gone, frozen, any, all"

func (f *File) checkCondition(r *report, c *Condition, key string, depth int) {
	if depth > maxDepth {
		return // values has reported it
	}
	n := 0
	for _, given := range []bool{c.Time != "", c.Above != "", c.Below != "", c.FluidAbove != "", c.FluidBelow != "", c.IceGone, c.Frozen != "", len(c.Any) > 0, len(c.All) > 0} {
		if given {
			n++
		}
	}
	if n != 1 && !r.has(key) {
		r.add(key, fmt.Sprintf("%d conditions", n), conditionWant)
	}
	if c.At != "" && c.Above == "" && c.Below == "" && !r.has(key) {
		r.add(below(key, "at"), "a place without above or below", "above or below beside it")
	}
	if c.Patch != "" {
		if c.FluidAbove == "" && c.FluidBelow == "" && !r.has(key) {
			r.add(below(key, "patch"), "a patch without fluid_above or fluid_below", "one of them beside it, or at for a place in the dish")
		}
		f.checkPatch(r, c.Patch, below(key, "patch"))
	}
	if _, layer, err := c.At.parse(); err == nil && layer != "" {
		if !f.hasLayer(layer) {
			r.unknown(below(key, "at"), "layer", layer, f.layerNames)
		}
	}
	f.checkSpot(r, c.At, below(key, "at"))
	if len(c.Any)+len(c.All) > 100 {
		r.add(key, fmt.Sprintf("%d conditions", len(c.Any)+len(c.All)), "at most 100")
		return
	}
	for i := range c.Any {
		f.checkCondition(r, &c.Any[i], below(key, item("any", i)), depth+1)
	}
	for i := range c.All {
		f.checkCondition(r, &c.All[i], below(key, item("all", i)), depth+1)
	}
}
