package oven

import "math"

// Span gives temperatures [°C] beyond which nothing in the oven gets that a dish meets,
// neither its air nor its walls nor the tray, whatever it is set to and for how long. A dish
// colder or hotter than that can take it farther. Of an oven that is not valid it means
// nothing.
func (o *Oven) Span() (lo, hi float64) {
	if o == nil {
		return math.Inf(-1), math.Inf(1)
	}
	far := o.farthest()
	_, walls, _ := o.steady(far)
	lo, hi = min(o.Room, far, walls), max(o.Room, far, walls)
	starts := []float64{o.Start}
	if o.Tray != nil {
		starts = append(starts, o.Tray.Start)
	}
	// What begins beyond full power can only fall back; as heat flows from hot to cold only,
	// a course that is everywhere so many kelvins beyond the steady one stays beyond it.
	up, down := 0.0, 0.0
	for _, t := range starts {
		up, down = max(up, t-max(o.Room, min(far, walls))), max(down, min(o.Room, max(far, walls))-t)
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
	lo, hi = min(b.Start, b.Room), max(b.Start, b.Room)
	if b.Water {
		lo = min(lo, 0) // it evaporates below the temperature of the room
	}
	const late = 1 // [K] that the relay of the smallest bath may switch late
	return lo, max(hi, min(set+h.Offset+h.Hysteresis/2+late, b.Room+b.Power/b.Loss))
}
