package thermal

import (
	"errors"
	"fmt"
	"math"

	"example.com/thawfront/phasechange"
)

// CellStart starts a dish cell by cell, as a run's JSON has its start, for a dish of
// the same layers and cells. All of its lists have one entry a cell, from the centre or
// underside outwards; there is no need to fill one in by hand, for which Profile and
// From are made.
type CellStart struct {
	X           []float64 `json:"x_m"`                // [m] from the centre or underside, as the dish's own
	Along       []float64 `json:"along,omitempty"`    // [m] on the second axis, of a RollSection [rad], likewise; nil in one dimension
	Temperature []float64 `json:"temperature_C"`      // [°C] for the reader: it follows from energy and water
	Energy      []float64 `json:"energy_J_m3"`        // [J/m³] of the original food
	Water       []float64 `json:"water_kg_m3"`        // [kg/m³] of the original food, 0 to 1e5
	Peak        []float64 `json:"peak_C"`             // [°C] highest so far, -300 to 1e4
	Ratio       []float64 `json:"ratio,omitempty"`    // [-] thickness over the original, 1 to 20; default (nil): 1
	Glaze       float64   `json:"glaze_kg,omitempty"` // [kg] dry matter brushed on before; default 0
}

// start gives what the run began with, from the Start it was made with.
func (r *Run) start() (*CellStart, error) {
	m := r.model
	c := newContents(len(m.mesh.Cells))
	if faults := r.Dish.Start.fill(m, c); len(faults) > 0 {
		return nil, errors.Join(faults...) // the function of a Profile has changed its mind
	}
	out := &CellStart{Temperature: m.temperatures(c), Energy: c.u, Water: c.water, Peak: c.peak, Glaze: c.glaze}
	for _, cell := range m.mesh.Cells {
		out.X = append(out.X, cell.Node)
		if m.mesh.Dimensions() == 2 {
			out.Along = append(out.Along, cell.Along)
		}
	}
	for _, ratio := range c.ratio {
		if ratio > 1 {
			out.Ratio = c.ratio
		}
	}
	return out, nil
}

// temperatures are those [°C] of contents, by cell.
func (m *model) temperatures(c *contents) []float64 {
	out := make([]float64, len(c.u))
	for l, r := range m.relations {
		var law *phasechange.Moist
		if m.laws != nil {
			law = m.laws[l]
		}
		first, end := m.mesh.Span(l)
		for i := first; i < end; i++ {
			w := c.water[i]
			if law == nil && w > r.Water()*(1+1e-9) {
				law = r.Moist() // as in take: for the dew on it
			}
			if m.laws != nil && w == 0 && r.Water() == 0 && !law.Still() {
				w = law.Water(traceActivity)
			}
			if m.laws != nil || w > r.Water()*(1+1e-9) {
				cell := phasechange.MoistCell{T: math.NaN()}
				law.Evaluate(c.u[i], w, &cell)
				out[i] = cell.T
				continue
			}
			a, hint := r.Anchor(w), int32(0)
			out[i], _, _, _ = r.At(c.u[i], &a, &hint, 0)
		}
	}
	return out
}

func (s *CellStart) fill(m *model, c *contents) []error {
	fault := func(field string, v any, want string) []error {
		return []error{&InputError{Place: "start", Field: field, Value: v, Want: want}}
	}
	n := len(c.u)
	if s == nil {
		return fault("cells", "none", "those of the dish")
	}
	for _, list := range []struct {
		field string
		of    []float64
	}{{"places", s.X}, {"temperatures", s.Temperature}, {"energies", s.Energy}, {"water contents", s.Water}, {"peaks", s.Peak}, {"ratios", s.Ratio}} {
		if len(list.of) != n && (list.field != "ratios" || list.of != nil) {
			return fault("number of "+list.field, len(list.of), fmt.Sprintf("one a cell: %d", n))
		}
	}
	if plane := m.mesh.Dimensions() == 2; plane != (s.Along != nil) || plane && len(s.Along) != n {
		return fault("number of second coordinates", len(s.Along), "one a cell in two dimensions, none in one")
	}
	if !inRange(s.Glaze, 0, 1e6) {
		return fault("glaze [kg]", s.Glaze, "0 to 1e6")
	}
	for i := range n {
		at := fmt.Sprintf(" of cell %d", i+1)
		switch x := m.mesh.Cells[i].Node; {
		case !(math.Abs(s.X[i]-x) <= 1e-9*m.mesh.Extent()):
			return fault("place"+at+" [m]", s.X[i], fmt.Sprintf("%g, as in this dish", x))
		case s.Along != nil && !(math.Abs(s.Along[i]-m.mesh.Cells[i].Along) <= 1e-9*(m.mesh.Extent()+math.Abs(s.Along[i]))):
			return fault("second coordinate"+at, s.Along[i], fmt.Sprintf("%g, as in this dish", m.mesh.Cells[i].Along))
		case s.Energy[i]-s.Energy[i] != 0:
			return fault("energy"+at+" [J/m³]", s.Energy[i], "a finite number")
		case !inRange(s.Water[i], 0, 1e5):
			return fault("water"+at+" [kg/m³]", s.Water[i], "0 to 1e5")
		case !inRange(s.Peak[i], -300, 1e4):
			return fault("peak"+at+" [°C]", s.Peak[i], "-300 to 1e4")
		case s.Ratio != nil && s.Ratio[i] != 0 && !inRange(s.Ratio[i], 1, 20):
			return fault("ratio"+at, s.Ratio[i], "1 to 20")
		}
	}
	copy(c.u, s.Energy)
	copy(c.water, s.Water)
	copy(c.peak, s.Peak)
	copy(c.ratio, s.Ratio)
	c.glaze = s.Glaze
	for i, t := range m.temperatures(c) {
		r := m.relations[m.mesh.Cells[i].Layer]
		lo, hi := r.Range()
		at := fmt.Sprintf(" of cell %d", i+1)
		if !inRange(t, lo-rangeSlack, hi+rangeSlack) {
			return fault("energy"+at+" [J/m³]", s.Energy[i], fmt.Sprintf("that of a temperature of %g to %g °C, not %g", lo, hi, t))
		}
		if !(math.Abs(s.Temperature[i]-t) <= 1e-3) {
			return fault("temperature"+at+" [°C]", s.Temperature[i], fmt.Sprintf("%.6g, which is that of its energy and water", t))
		}
	}
	return nil
}
