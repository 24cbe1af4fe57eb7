package quality

import (
	"math"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/kinetics"
)

func (a *assessment) surface(layer Layer) (Surface, error) {
	s := Surface{Layer: layer.Name}
	unknown := func(what, why string) {
		if why != "" {
			s.Unknown = append(s.Unknown, Unknown{What: what, Why: why})
		}
	}
	if layer.Kind != Dough {
		unknown("colour", "the published rates are of bread crust, and the outermost layer is not judged as dough")
	} else {
		var why string
		var err error
		if s.Lightness, why, err = a.colour(layer.Name, kinetics.Lightness().Name); err != nil {
			return s, err
		}
		unknown("lightness", why)
		if s.Difference, why, err = a.colour(layer.Name, kinetics.CrustColour().Name); err != nil {
			return s, err
		}
		unknown("colour difference", why)
	}
	activity := a.cells[len(a.cells)-1].WaterActivity
	if math.IsNaN(activity) {
		unknown("dryness of the surface", "the food is given by measured curves, which say nothing of its water")
		return s, nil
	}
	crust := a.end.Crust(thermal.Crispness)
	s.Dry = &Dry{Thickness: crust.Thickness, Water: crust.Water, Activity: crust.Activity}
	switch {
	case !a.run.Settings.Moisture:
		unknown("crispness", "in this run water does not move: what dries or softens a crust below the boiling point is not known")
		return s, nil
	case layer.Kind != Dough:
		unknown("crispness", "the limit is that of bread crust, and the outermost layer is not judged as dough")
	default:
		crisp := activity < thermal.Crispness
		s.Crisp = &crisp
	}
	s.Activity = &activity
	return s, nil
}

// depths is how many places the mean colour is taken from.
const depths = 50

func (a *assessment) colour(layer, quantity string) (c *Colour, why string, err error) {
	values, why := a.field(quantity)
	if why != "" {
		return nil, why, nil
	}
	layers := a.run.Dish.Layers
	thickness := layers[len(layers)-1].Thickness
	c = &Colour{Depth: min(OuterDepth, thickness)}
	if c.Surface, err = a.grid.Read(thermal.Skin(), values); err != nil {
		return nil, "", err
	}
	for i := range depths {
		x := c.Depth * (float64(i) + 0.5) / depths
		v, err := a.grid.Read(thermal.Within(layer, 1-x/thickness), values)
		if err != nil {
			return nil, "", err
		}
		c.Outer += v / depths
	}
	return c, "", nil
}
