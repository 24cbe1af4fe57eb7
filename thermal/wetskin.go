package thermal

import (
	"math"

	"example.com/thawfront/geometry"
)

// wetSkin is an outer face where water may pass.
type wetSkin struct {
	surface   *surface
	into      geometry.Direction // the way from it into the dish
	balance   wetSurface         // with liquid water at hand
	icy       wetSurface         // with ice
	film      float64            // [kg/(m² s Pa)] permeance of a film, +Inf without one
	air       float64            // [Pa] vapour in the air
	open      bool               // to the air
	humidity  Humidity           // of which air is
	fluid     float64            // [°C] likewise
	heat      float64            // [W] energy into the dish
	mass      float64            // [kg/s] water out of it
	slope     block              // of heat (uu, uw) and mass (wu, ww) by the cell's unknowns
	conducted float64            // [W/m²] from the surface to the cell
}

func newWetSkin(m *model, i int, s *surface) wetSkin {
	cell := s.Cell
	film := m.films[m.mesh.Cells[cell].Layer]
	if s.Cut { // a layer's film lies on its outer face
		film = math.Inf(1)
	}
	skin := wetSkin{surface: s, film: film, balance: newWetSurface(), icy: newWetSurface()}
	for side := geometry.Inward; side <= geometry.Forward; side++ {
		if _, k := m.mesh.Beside(cell, side); k == i {
			skin.into = side ^ 1 // the other way
		}
	}
	return skin
}

// outside is the area [m²] of all surfaces.
func (w *wet) outside() (area float64) {
	for i := range w.skins {
		area += w.skins[i].surface.Area
	}
	return area
}

// solve finds heat and water through the surface at the state of its cell.
func (s *wetSkin) solve(c *wetCell, pressure float64) {
	f := s.surface
	in := halfCell{temp: c.T, resistance: f.Half*f.Area*c.resist + f.Contact}
	out := ambience{Surroundings: f.meets, vapour: s.air, pressure: pressure, open: s.open && !c.law.Still(), permeance: s.film}
	*s = wetSkin{surface: f, into: s.into, balance: s.balance, icy: s.icy, film: s.film, air: s.air, open: s.open, humidity: s.humidity, fluid: s.fluid}
	f.temp = 0
	if rest := 1 - c.Iced; rest > 0 {
		length := f.Half * f.Area
		in.activity, in.liquid, in.vapour = min(max(c.LiquidA, 0), 1), 1/(c.liquidSlow*c.LiquidAW*length), 1/(c.tight*length)
		byWater := c.LiquidAW
		if b := &s.balance; b.solve(&in, &out) && in.liquid > trickle {
			// The conductance for liquid goes with the water content; what that does to
			// its flow is like a change of activity.
			share := in.liquid / (in.liquid + in.vapour*c.P/max(c.A, 1e-9))
			byWater += share * (in.activity - b.activity) * (c.DW - c.AWW/c.AW)
		}
		s.add(&s.balance, rest, -1, byWater, c)
	}
	if c.Iced > 0 {
		in.frozen, in.liquid, in.vapour = true, 0, 0
		s.icy.solve(&in, &out)
		s.add(&s.icy, c.Iced, 1, 0, c)
	}
	f.heat = s.heat
	s.conducted = (f.temp - c.T) / in.resistance
}

// add takes a share of a balance, which rises or falls (sign) with the ice of the
// cell; byWater is the slope of its activity by water.
func (s *wetSkin) add(b *wetSurface, share, sign, byWater float64, c *wetCell) {
	f := s.surface
	f.temp += share * b.temp
	energy, water := f.Area*b.energy, f.Area*b.evaporation
	s.heat += share * energy
	s.mass += share * water
	energyT, energyW := f.Area*share*b.energyT+sign*energy*c.IcedT, f.Area*share*b.energyA*byWater+sign*energy*c.IcedW
	waterT, waterW := f.Area*share*b.waterT+sign*water*c.IcedT, f.Area*share*b.waterA*byWater+sign*water*c.IcedW
	if c.Iced == 0 || c.Iced == 1 {
		energyT, energyW = f.Area*share*b.energyT, f.Area*share*b.energyA*byWater
		waterT, waterW = f.Area*share*b.waterT, f.Area*share*b.waterA*byWater
	}
	s.slope.uu += energyT * c.TU
	s.slope.uw += energyT*c.TW + energyW
	s.slope.wu += waterT * c.TU
	s.slope.ww += waterT*c.TW + waterW
}

// look fills a state from the last evaluation.
func (w *wet) look(s *State) {
	for i := range w.cells {
		c := &w.cells[i]
		s.moist[i] = moistState{c.W, c.A, c.P}
	}
	for i := range w.skins {
		k := &w.skins[i]
		skin, face := *k, *k.surface // looking must not move the next guess: they are put back
		cell := w.cells[face.Cell]
		cell.pass(face.Cell, w.sys.risen, w.pressure) // evaluate leaves that to assemble
		k.solve(&cell, w.pressure)
		s.skins[i] = k.surface.temp - k.conducted*face.Contact
		*k, *k.surface = skin, face
	}
}

// surround takes over what the surface meets.
func (s *wetSkin) surround(stage *compiledStage, pressure float64) {
	m := &s.surface.meets
	if m.Humidity == s.humidity && m.Fluid == s.fluid {
		return // the wet bulb's search is not for every step
	}
	air, open, err := m.Humidity.pressure(m.Fluid, pressure)
	if err != nil && stage.fault == nil {
		stage.fault = err
	}
	s.humidity, s.fluid, s.air, s.open = m.Humidity, m.Fluid, air, open && err == nil
}
