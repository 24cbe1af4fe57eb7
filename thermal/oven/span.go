package oven

import "math"

// Span gives temperatures [°C] beyond which nothing in the oven gets that a dish meets,
// neither its air nor its walls nor the tray, whatever it is set to and for how long. A dish
// colder or hotter than that can take it farther. An oven that loses nothing has no end; of
// one that is not valid it means nothing.
func (o *Oven) Span() (lo, hi float64) {
	if o == nil {
		return math.Inf(-1), math.Inf(1)
	}
	far := o.farthest()
	heater, walls, _ := o.steady(far)
	if math.IsInf(far, 0) { // nothing is lost
		heater, walls = far, far
	}
	lo, hi = min(o.Room, far, walls), max(o.Room, far, walls)
	// What begins beyond full power can only fall back; as heat flows from hot to cold only,
	// a course that is everywhere so many kelvins beyond the steady one stays beyond it.
	up, down := 0.0, 0.0
	begins := func(at, most, least float64) {
		up, down = max(up, at-max(o.Room, most)), max(down, min(o.Room, least)-at)
	}
	inside := func(temps ...float64) {
		for _, t := range temps {
			begins(t, min(far, walls), max(far, walls))
		}
	}
	inside(o.Start)
	if o.Tray != nil {
		inside(o.Tray.Start)
	}
	if l := o.left; l != nil {
		begins(l[heaterT], heater, heater)
		inside(l[airT], l[wallT])
		inside(l[trayT:]...)
	}
	return lo - down, hi + up
}

// Span gives temperatures [°C] beyond which the liquid of a bath does not get by itself,
// set to no more than a temperature [°C]. Of a bath that is not valid it means nothing.
func (b *Bath) Span(set float64) (lo, hi float64) {
	if b == nil {
		return math.Inf(-1), math.Inf(1)
	}
	h := b.Thermostat
	start := b.Start
	if b.left != nil {
		start = b.left[bathT]
	}
	lo, hi = min(start, b.Room), max(start, b.Room)
	if b.Water {
		lo = min(lo, 0) // it evaporates below the temperature of the room
	}
	const late = 1 // [K] that the relay of the smallest bath may switch late
	return lo, max(hi, min(set+h.Offset+h.Hysteresis/2+late, b.Room+b.Power/b.Loss))
}
