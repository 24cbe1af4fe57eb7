package thermal

import "math"

// drain takes care, after each step, of water that belongs to no cell: juice that a
// layer has let go comes up to the dish's own surface, or is taken up by the layers
// next to it as far as they have room, over the next step; dew runs off. What neither
// stays nor is taken up drips off the dish. Juice keeps the enthalpy it was let go
// with, so that both accounts stay whole. It reports whether a cell changed at once.
func (c *course) drain(h float64) (changed bool) {
	p, w := c.step, c.sys.wet
	way := &c.run.transit
	c.run.books.soaked(w.arrive(h))
	way.arrived(w, c.model)
	for l := range w.layers {
		f := w.layerFlows(p.gain, l)
		if mass := f[2]; mass > 0 {
			enthalpy := f[3] / mass
			c.pass(l, mass-c.seep(l, mass, enthalpy, h), enthalpy)
		}
	}
	way.sent(w, c.model, h, p.gain, p.rEnd, p.rate)
	p.restarted = p.restarted || w.some // spread will change the rates
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

// seeping is the share of the juice of an outermost layer that comes up to its
// surface; the rest runs out where it was cut. It keeps a roast's surface wet for a
// while. A guess: with none the surface of a roast at 163 °C passes 100 °C before its
// middle has 40 °C, with all of it roasting takes half as long again as the charts
// say; what was measured contradicts itself (Bengtsson, Jakobsson & Dagerskog 1976:
// almost only evaporation; Kondjoyan et al. 2013: mostly juice).
const seeping = 0.5

// seepTime [s] is how long a surface cell takes to fill with juice, if there is
// enough: long, so that it does not fill by fits and starts, but quick beside its
// drying. With 10 and 20 s a roast of 100 mm loses the same 23.1 to 23.4 % on 120 and on
// 240 cells, with 60 s 25 and 29 %.
const seepTime = 20

// seep sends juice [kg] of an enthalpy [J/kg] that layer l let go in a step of h [s] to
// the cells at the dish's surface, as far as their protein still holds water, and
// gives what it sent.
func (c *course) seep(l int, mass, enthalpy, h float64) (sent float64) {
	m, p, w := c.model, c.step, c.sys.wet
	food := m.relations[l].Food()
	var area float64
	for i := range w.skins {
		area += w.skins[i].surface.Area
	}
	for i := range w.skins {
		cell := w.skins[i].surface.Cell
		if int(w.cells[cell].layer) != l || food.Holding == nil || w.cells[cell].Frozen {
			continue
		}
		holds := m.relations[l].Density() * food.Composition.Protein * food.Holding.Kept(c.run.final.peak[cell])
		share := seeping * mass * (w.skins[i].surface.Area / area)
		x := min(share, ((holds-p.u[w.n+cell])*c.sys.volume[cell]-w.due[cell])*h/(h+seepTime))
		if x > 0 {
			w.send(cell, x, enthalpy)
			sent += x
		}
	}
	return sent
}

// pass offers juice [kg] of an enthalpy [J/kg] that layer l has let go to the
// layers on both sides, half and half as far as they have room.
func (c *course) pass(l int, mass, enthalpy float64) {
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
		c.soak(out, true, mass-took, enthalpy)
	}
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
	left := func(i int) float64 {
		if w.cells[i].Frozen {
			return 0
		}
		return max(0, (room-p.u[w.n+i])*c.sys.volume[i]-w.due[i])
	}
	cells := m.mesh.Cells
	first, end := m.mesh.Span(l)
	for first < end && took < mass {
		// the cells that lie equally deep, which share by what they have room for
		from, to := first, first+1
		if fromInside {
			for to < end && cells[to].Depth == cells[from].Depth {
				to++
			}
			first = to
		} else {
			for to, from = end, end-1; from > first && cells[from-1].Depth == cells[end-1].Depth; {
				from--
			}
			end = from
		}
		var whole float64
		for i := from; i < to; i++ {
			whole += left(i)
		}
		offered := mass - took
		for i := from; i < to && whole > 0; i++ {
			if x := min(left(i), offered*(left(i)/whole)); x > 0 {
				w.send(i, x, enthalpy)
				took += x
			}
		}
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
