package thermal

import (
	"math"
)

// Film is a thin skin on the outer face of a layer that water passes with
// difficulty: parchment, foil, a coat of fat. It has no thickness, heat capacity
// or resistance to heat of its own (see Layer.Contact for that), and liquid does
// not pass it at all. A layer of fat that is thick enough to count for the heat
// is better given as a Layer.
type Film struct {
	// Permeance is the vapour that passes [kg/(m² s Pa)], 0 (none) to 1: a film's
	// permeability over its thickness, see materials.Transport.
	Permeance float64
	// Holds is the pressure above the surroundings' [Pa] that steam must reach
	// before it makes its way through, 0 to 1e5: a film that lies loose holds none.
	Holds float64
}

func (f *Film) faults(place string) []error {
	if f == nil {
		return nil
	}
	var faults []error
	if !inRange(f.Permeance, 0, 1) {
		faults = append(faults, &InputError{Place: place, Field: "permeance of the film [kg/(m² s Pa)]", Value: f.Permeance, Want: "0 to 1"})
	}
	if !inRange(f.Holds, 0, 1e5) {
		faults = append(faults, &InputError{Place: place, Field: "pressure the film holds [Pa]", Value: f.Holds, Want: "0 to 1e5"})
	}
	return faults
}

// makeWet sets what a model has besides when water moves, by layer.
func (m *model) makeWet(d Dish, s Settings) {
	out, in := 0.0, 0.0
	n := len(d.Layers)
	m.vents, m.films, m.soaks = make([]float64, n), make([]float64, n), make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		m.films[i] = math.Inf(1)
		if f := d.Layers[i].Film; f != nil {
			m.films[i] = f.Permeance
			out += f.Holds
		}
		m.vents[i] = s.Pressure + out
	}
	for i, r := range m.relations {
		m.laws = append(m.laws, r.Moist())
		f := r.Food()
		m.soaks[i] = f.Soak * r.Density() * (f.Composition.Solids() - f.Composition.Fat)
		if !m.mirrored() { // steam may also leave by the underside
			m.vents[i] = math.Min(m.vents[i], s.Pressure+in)
		}
		if f := d.Layers[i].Film; f != nil {
			in += f.Holds
		}
	}
}
