package thermal

import (
	"math"

	"example.com/thawfront/geometry"
)

// wetSkin is an outer face where water may pass.
type wetSkin struct {
	surface   *surface
	balance   wetSurface
	film      float64  // [kg/(m² s Pa)] permeance of a film, +Inf without one
	air       float64  // [Pa] vapour in the air
	open      bool     // to the air
	humidity  Humidity // of which air is
	fluid     float64  // [°C] likewise
	heat      float64  // [W] energy into the dish
	mass      float64  // [kg/s] water out of it
	slope     block    // of heat (uu, uw) and mass (wu, ww) by the cell's unknowns
	conducted float64  // [W/m²] from the surface to the cell
}

func newWetSkin(w *wet, s *surface, film float64) wetSkin {
	if s.Patch == geometry.Underside { // a layer's film lies on its outer face
		film = math.Inf(1)
	}
	return wetSkin{surface: s, film: film, balance: newWetSurface()}
}

// solve finds heat and water through the surface at the state of its cell.
func (s *wetSkin) solve(c *wetCell, pressure float64) {
	f := s.surface
	in := halfCell{temp: c.T, activity: min(max(c.A, 0), 1), resistance: f.Half*f.Area*c.resist + f.Contact, frozen: c.Frozen}
	if length := f.Half * f.Area; !c.Frozen {
		in.liquid, in.vapour = 1/(c.slow*c.AW*length), 1/(c.tight*length)
	}
	out := ambience{Surroundings: f.meets, vapour: s.air, pressure: pressure, open: s.open && !c.law.Still(), permeance: s.film}
	b := &s.balance
	if !b.solve(&in, &out) {
		b.energy, b.evaporation = math.NaN(), math.NaN() // the step fails
	}
	f.temp, f.heat = b.temp, f.Area*b.energy
	s.heat, s.mass = f.Area*b.energy, f.Area*b.evaporation
	// The conductance for liquid goes with the water content; what that does to
	// its flow is like a change of activity.
	byWater := c.AW
	if in.liquid > 0 {
		share := in.liquid / (in.liquid + in.vapour*c.P/max(c.A, 1e-9))
		byWater += share * (in.activity - b.activity) * (c.DW - c.AWW/c.AW)
	}
	energyT, waterT := b.energyT+b.energyA*c.AT, b.waterT+b.waterA*c.AT
	s.slope = block{f.Area * energyT * c.TU, f.Area * (energyT*c.TW + b.energyA*byWater),
		f.Area * waterT * c.TU, f.Area * (waterT*c.TW + b.waterA*byWater)}
	s.conducted = (b.temp - c.T) / in.resistance
}

// look fills a state from the last evaluation.
func (w *wet) look(s *State) {
	for i := range w.cells {
		c := &w.cells[i]
		s.moist[i] = moistState{c.W, c.A, c.P}
	}
	for i := range w.skins {
		k := w.skins[i] // a copy: looking must not move the next guess
		f := *k.surface
		k.surface = &f
		k.solve(&w.cells[f.Cell], w.pressure)
		s.skins[i] = f.temp - k.conducted*f.Contact
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
