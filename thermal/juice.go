package thermal

import "math"

// drain takes care, after each step, of water that moves at once: juice that a
// layer has let go is taken up by the layers next to it as far as they have room,
// dew runs off. What neither stays nor is taken up drips off the dish. Juice keeps
// the enthalpy it was let go with, so that both accounts stay whole; to the next
// step all this is a sudden change of a few cells.
func (c *course) drain() (changed bool) {
	p, w := c.step, c.sys.wet
	for l := range w.layers {
		f := w.layerFlows(p.gain, l)
		if mass := f[2]; mass > 0 && c.pass(l, mass, f[3]/mass) {
			changed = true
		}
	}
	for i := range w.skins {
		if c.runOff(w.skins[i].surface) {
			changed = true
		}
	}
	if changed {
		p.settled = true
	}
	return changed
}

// pass offers juice [kg] of an enthalpy [J/kg] that layer l has let go to the
// layers on both sides, half and half as far as they have room.
func (c *course) pass(l int, mass, enthalpy float64) bool {
	m := c.model
	var took float64
	out, in := l+1, l-1
	openOut := out < len(m.names) && m.wicks(l)
	openIn := in >= 0 && m.wicks(in)
	if openOut {
		share := mass
		if openIn {
			share /= 2
		}
		took += c.soak(out, true, share, enthalpy)
	}
	if openIn {
		took += c.soak(in, false, mass-took, enthalpy)
	}
	if openOut && openIn && took < mass {
		took += c.soak(out, true, mass-took, enthalpy)
	}
	c.run.books.soaked(took, took*enthalpy)
	return took > 0
}

// wicks says whether liquid passes the outer face of layer l: no film is in the way.
func (m *model) wicks(l int) bool { return math.IsInf(m.films[l], 1) }

// soak lets a layer take up juice, from its inner or its outer face on, and gives
// what it took [kg].
func (c *course) soak(l int, fromInside bool, mass, enthalpy float64) (took float64) {
	m, p, w := c.model, c.step, c.sys.wet
	room := m.soaks[l]
	if room <= 0 || mass <= 0 {
		return 0
	}
	first, end := m.mesh.Span(l)
	for k := first; k < end && took < mass; k++ {
		i := k
		if !fromInside {
			i = first + end - 1 - k
		}
		v := c.sys.volume[i]
		x := min((room-p.u[w.n+i])*v, mass-took)
		if x <= 0 || w.cells[i].Frozen {
			continue
		}
		p.u[w.n+i] += x / v
		p.u[i] += x * enthalpy / v
		took += x
	}
	return took
}

// dewFilm [kg/m²] is the water that clings to a surface before it runs off: a film
// of a tenth of a millimetre (guess).
const dewFilm = 0.1

// runOff lets go what a surface cell holds above its own water, or what it can soak
// up, and a film of dew.
func (c *course) runOff(s *surface) bool {
	m, p, w, i := c.model, c.step, c.sys.wet, s.Cell
	l, v := m.mesh.Cells[i].Layer, c.sys.volume[i]
	most := max(m.relations[l].Water(), m.soaks[l], m.laws[l].Water(0.9)) + dewFilm*s.Area/v
	over := p.u[w.n+i] - most
	if over <= 0 || w.cells[i].Frozen {
		return false
	}
	h := w.cells[i].Liquid
	p.u[w.n+i] -= over
	p.u[i] -= over * h
	c.run.books.soaked(-over*v, -over*h*v)
	return true
}
