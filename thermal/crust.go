package thermal

import "math"

// Activity is the water activity [-] at a place, 0 to 1: of the cell that holds a
// point, or the mean of a layer by volume or of the cells below a patch by area. It is NaN where it is not known, of food
// given by measured curves. A place that is not in the dish gives an
// *UnknownPlaceError.
func (s *State) Activity(p Place) (float64, error) {
	at, err := p.resolve(s.model)
	if err != nil {
		return 0, err
	}
	switch at.kind {
	case coldest, hottest, mean:
		return s.meanActivity(at.first, at.end), nil
	case patch:
		var sum, area float64
		at.each(s.model.mesh, func(i int, a float64) {
			sum += a * s.activity(i)
			area += a
		})
		return sum / area, nil
	}
	return s.activity(at.Cell), nil
}

func (s *State) meanActivity(first, end int) float64 {
	var sum, volume, a float64
	last := math.NaN()
	for i := first; i < end; i++ {
		v := s.model.mesh.Cells[i].Volume
		// where water stands still most cells have the same, and a search is not cheap
		if w := s.held(i); w != last || s.temp[i] < s.freezing(i) || s.moist != nil {
			a, last = s.activity(i), w
			if s.temp[i] < s.freezing(i) {
				last = math.NaN()
			}
		}
		sum += v * a
		volume += v
	}
	return sum / volume
}

// Crust is the dry zone below a surface.
type Crust struct {
	Thickness float64 // [m] as risen
	Water     float64 // [kg/kg] of the food without its water, mean of the zone; 0 if there is none
	Activity  float64 // [-] mean of the zone by volume; 0 if there is none
}

// Crispness is a water activity [-] below which bread crust is crisp, about 0.6
// (van Nieuwenhuijzen et al. 2007).
const Crispness = 0.6

// Crust is the zone from the outermost surface inwards that is all below a water
// activity [-], such as Crispness, a film of dry fat in it included. Its inner edge lies
// between nodes, on a straight line. In two dimensions it is that of the middle line, see
// Skin.
func (s *State) Crust(below float64) Crust {
	var c Crust
	cells := s.model.mesh.Cells
	var volume, water, dry float64
	line := s.mesh.Line()
	last := len(line) - 1
	edge := s.mesh.Cells[line[last]].Outer
	outer := edge
	for n := last; n >= 0; n-- {
		i := line[n]
		a := s.activity(i)
		if !(a < below) {
			if n < last {
				x0, x1 := s.mesh.Cells[i].Node, s.mesh.Cells[line[n+1]].Node
				b := s.activity(line[n+1])
				edge = x1 + (x0-x1)*(below-b)/(a-b)
				if math.IsNaN(edge) {
					edge = s.mesh.Cells[i].Outer
				}
			}
			break
		}
		v := cells[i].Volume
		r := s.model.relations[cells[i].Layer]
		volume += v
		water += v * s.held(i)
		dry += v * (r.Density() - r.Water())
		c.Activity += v * a
		edge = s.mesh.Cells[i].Inner
	}
	if volume == 0 {
		return Crust{}
	}
	return Crust{Thickness: outer - edge, Water: water / dry, Activity: c.Activity / volume}
}

// Juice is what a layer has let go of in a run, taken up by other layers or not.
type Juice struct {
	Layer string
	Mass  float64 // [kg]
	Share float64 // [-] of the weight of the layer's food as it was given
}

// Juices gives the juice of every layer.
func (r *Run) Juices() []Juice {
	out := make([]Juice, len(r.model.names))
	for i, c := range r.model.mesh.Cells {
		out[c.Layer].Share += r.model.relations[c.Layer].Density() * r.model.mesh.Cells[i].Volume
	}
	for l, name := range r.model.names {
		out[l].Layer, out[l].Mass = name, r.books.juice[l].value()
		out[l].Share = out[l].Mass / out[l].Share
	}
	return out
}
