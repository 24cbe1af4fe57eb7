package dishfile

import (
	"fmt"
	"math"

	"example.com/thawfront/phasechange"
)

// met is what the dish has met up to a stage.
type met struct {
	lo, hi   float64 // [°C] of the layers' starts, the media and what was brushed on
	damp     bool    // a medium may have been moister than a kind is by itself
	moist    bool    // water moves
	pressure float64 // [Pa]
}

func (m *met) see(t float64) { m.lo, m.hi = min(m.lo, t), max(m.hi, t) }

// starts adds the layers that a stage puts on.
func (m *met) starts(f *File, stage int) {
	for i := range f.Layers {
		l := &f.Layers[i]
		joins := l.Joins != "" && l.Joins == f.Stages[stage].Name
		if joins || stage == 0 && (l.Joins == "" || f.stageCalled(l.Joins) < 0) {
			m.see(si(l.begins(f)))
		}
	}
}

// media adds what a stage surrounds the dish with, and what is brushed on.
// appliances that are not right in themselves set no bounds.
func (m *met) media(s *Stage, amid plants, unknown bool) {
	add := func(x *Medium) {
		if x.Kind == inAppliance || x.Kind == onTray {
			m.damp = true
			lo, hi := amid[x.Appliance].span(x)
			if unknown {
				lo, hi = math.Inf(-1), math.Inf(1)
			}
			m.see(lo)
			m.see(hi)
			return
		}
		m.damp = m.damp || x.Humidity != "" || x.Kind == "steam oven"
		make := x.maker()
		for _, t := range x.temps() {
			around := make(t)
			if around.H > 0 {
				m.see(around.Fluid)
			}
			if around.Emissivity > 0 {
				m.see(around.Walls)
			}
		}
	}
	for _, x := range s.media() {
		add(x.Medium)
	}
	if s.Brush != nil {
		m.see(s.Brush.warmth())
	}
}

// Dry food that takes up water gets hotter than all it meets. In air as moist as kinds of
// media are by themselves the Lewis relation bounds that: 18 K at 1170 Pa of vapour. In
// steam the bound is where the vapour pressure of the dry food is that of the steam.
const (
	sorption = 20 // [K]
	steaming = 60 // [K] as much as package thermal allows
)

// span is the lowest and highest temperature [°C] that the dish can have had.
func (m *met) span() (lo, hi float64) {
	switch {
	case !m.moist:
		return m.lo, m.hi
	case m.damp:
		return coldestWet(m.lo, m.pressure), m.hi + steaming
	}
	return coldestWet(m.lo, m.pressure), m.hi + sorption
}

// coldestWet is the lowest temperature [°C] to which drying can cool what meets nothing
// below lo [°C]: the wet bulb of air without any vapour, and a little for what separates
// it from the surface of a food.
func coldestWet(lo, pressure float64) float64 {
	t, err := phasechange.HumidAir{T: lo, Pressure: pressure}.WetBulb()
	if err != nil {
		return lo - 100
	}
	return t - 5
}

// unreachable reports a condition beyond all that the dish can have come to: the stage
// would last until its limit.
func (m *met) unreachable(r *report, c *Condition, key string) {
	lo, hi := m.span()
	never := func(field string, asked any, side string, t float64, want string) {
		r.add(below(key, field), fmt.Sprintf("%s is never reached: nothing the dish meets is %s %.4g C", quote(fmt.Sprint(asked)), side, t), want)
	}
	hotter := func(field string, t Temp) {
		if t != "" && si(t) > hi {
			never(field, t, "above", m.hi, "less, or a hotter medium")
		}
	}
	colder := func(field string, t Temp) {
		if t != "" && si(t) < lo {
			never(field, t, "below", m.lo, "more, or a colder medium")
		}
	}
	hotter("above", c.Above)
	hotter("fluid_above", c.FluidAbove)
	colder("fluid_below", c.FluidBelow)
	colder("below", c.Below)
	if c.Frozen != "" && lo >= 0 {
		never("frozen", c.Frozen, "below", m.lo, "a colder medium")
	}
	for i := range c.All {
		m.unreachable(r, &c.All[i], below(key, item("all", i)))
	}
	all := report{lines: r.lines, file: r.file}
	for i := range c.Any {
		n := len(all.faults)
		m.unreachable(&all, &c.Any[i], below(key, item("any", i)))
		if len(all.faults) == n {
			return // one that can be met is enough
		}
	}
	for _, fault := range all.faults {
		r.add(fault.Key, fault.Problem, fault.Want)
	}
}
