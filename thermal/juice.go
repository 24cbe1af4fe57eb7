package thermal

import (
	"math"

	"example.com/thawfront/geometry"
)

// drain takes care, after each step, of water that belongs to no cell: juice that a
// layer has let go comes up to the dish's own surface, or is taken up by the layers
// next to it as far as they have room; dew runs off. What neither stays nor is taken up
// drips off the dish. Juice keeps the enthalpy it was let go with, so that both accounts
// stay whole. It reports whether a cell changed at once.
func (c *course) drain(h float64) (changed bool) {
	p, w := c.step, c.sys.wet
	way := &c.run.transit
	c.run.books.soaked(w.arrive(h))
	way.arrived(w, c.model)
	seeps, area := 0.0, w.outside()
	for l := range w.layers {
		f := w.layerFlows(p.gain, l)
		if mass := f[2]; mass > 0 {
			enthalpy := f[3] / mass
			sent := c.seep(l, mass/area, enthalpy)
			c.pass(l, mass-sent, enthalpy)
			seeps += sent
		}
	}
	w.seeps = seeps > leastSeep*area*h
	way.sent(w, c.model, h, p.gain, p.rEnd, p.rate)
	p.restarted = p.restarted || w.some // spread will change the rates
	for i := range w.skins {
		if c.runOff(w.skins[i].surface.Cell) {
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

// leastSeep [kg/(m² s)] takes 2 W/m² along as it evaporates, a tenth of a kelvin at the
// surface: less than that may come by fits.
const leastSeep = 1e-6

// seep sends juice [kg/m²] of an enthalpy [J/kg] that layer l let go up to the dish's
// surface and gives what it sent [kg]. By area, whatever the cells: it fills what has
// dried below the surface, from there inwards, as far as the protein still holds water.
func (c *course) seep(l int, juice, enthalpy float64) (sent float64) {
	m, p, w := c.model, c.step, c.sys.wet
	food := m.relations[l].Food()
	if food.Holding == nil {
		return 0
	}
	protein := m.relations[l].Density() * food.Composition.Protein
	for i := range w.skins {
		s := &w.skins[i]
		left := seeping * juice * s.surface.Area
		for cell := s.surface.Cell; left > 0 && cell >= 0 && int(w.cells[cell].layer) == l && !w.cells[cell].Frozen; cell = m.mesh.Next(cell, s.into) {
			lacks := (protein*food.Holding.Kept(c.run.final.peak[cell]) - p.u[w.n+cell]) * c.sys.volume[cell]
			if !(lacks > 0) {
				break
			}
			if x := min(left, lacks-w.due[cell]); x > 0 {
				w.send(cell, x, enthalpy)
				sent += x
				left -= x
			}
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

// runOff lets go what cell i holds above its own water, or what it can soak up, and a film
// of dew on those of its surfaces that water may pass: a corner has two. Where none may
// all stays, most of which came from inside.
func (c *course) runOff(i int) bool {
	m, p, w := c.model, c.step, c.sys.wet
	area := 0.0
	for side := geometry.Inward; side <= geometry.Forward; side++ {
		if _, k := m.mesh.Beside(i, side); k >= 0 && w.skins[k].open {
			area += w.skins[k].surface.Area
		}
	}
	if area == 0 {
		return false
	}
	l, v := m.mesh.Cells[i].Layer, c.sys.volume[i]
	most := max(m.relations[l].Water(), m.soaks[l], m.laws[l].Water(0.9)) + dewFilm*area/v
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
