package materials

import (
	"fmt"
	"math"
	"sort"
)

// Measured is a material known by measured curves instead of a composition.
type Measured struct {
	Density float64 // [kg/m³], over 0 to 30000
	Points  []Point // 2 to 10000, temperature and enthalpy strictly increasing
}

// Point is a point of the curves of a [Measured] material.
type Point struct {
	T            float64 // [°C], -120 to 450
	Enthalpy     float64 // [J/kg] over any reference, all heats of fusion included
	Conductivity float64 // [W/(m K)], over 0 to 1e12
}

const (
	maxPoints          = 10000
	coldest, hottest   = -120.0, 450.0
	maxMeasuredDensity = 30000.0
	// Above maxMeasuredConductivity [W/(m K)] the differences of temperature that carry
	// the heat are lost in rounding and a run's accounts with them: 4e-8 of the energy of
	// a slab of 20 mm at 1e8, 1e-4 at 1e12, all of it at 1e20.
	maxMeasuredConductivity = 1e12
)

// FromEnthalpy makes a food of a measured curve of enthalpy and conductivity,
// with its density [kg/m³]. The points are copied. Faults come as joined
// [*FoodError]: fewer than 2 or more than 10000 points, a temperature outside
// -120 to 450 °C, temperature or enthalpy not rising, a conductivity outside of
// over 0 to 1e12 W/(m K).
func FromEnthalpy(name string, density float64, points []Point) (Food, error) {
	if len(points) > maxPoints {
		return Food{}, &FoodError{Food: name, Field: "number of points", Value: len(points), Want: "2 to 10000"}
	}
	m := &Measured{density, append([]Point(nil), points...)}
	f := Food{Name: name, Measured: m}
	if err := f.Validate(); err != nil {
		return Food{}, err
	}
	return f, nil
}

// FromSpecificHeat is [FromEnthalpy] for a measured specific heat cp [J/(kg
// K)], over 0, at temperatures t [°C] with conductivities k [W/(m K)]. Between
// the points cp is a straight line and its integral, from 0 J/kg at the first,
// is the enthalpy; a narrow peak, as of melting, needs enough points for its
// area to be right. Each interval gets up to 7 points more, so that the line of
// cp shows in the enthalpy.
func FromSpecificHeat(name string, density float64, t, cp, k []float64) (Food, error) {
	if len(cp) != len(t) || len(k) != len(t) {
		return Food{}, &FoodError{Food: name, Field: "number of cp and k", Value: fmt.Sprintf("%d and %d", len(cp), len(k)),
			Want: fmt.Sprintf("as many as temperatures, %d", len(t))}
	}
	if len(t) < 2 || len(t) > maxPoints {
		return Food{}, &FoodError{Food: name, Field: "number of points", Value: len(t), Want: "2 to 10000"}
	}
	for i := range t {
		if !(cp[i] > 0) || math.IsInf(cp[i], 1) {
			return Food{}, &FoodError{Food: name, Field: fmt.Sprintf("cp of point %d", i+1), Value: cp[i], Want: "over 0 J/(kg K)"}
		}
		if !(t[i] >= coldest && t[i] <= hottest) || i > 0 && !(t[i] > t[i-1]) {
			return Food{}, &FoodError{Food: name, Field: fmt.Sprintf("temperature of point %d", i+1), Value: t[i], Want: "rising, -120 to 450 °C"}
		}
	}
	pieces := max(1, min(8, (maxPoints-1)/(len(t)-1)))
	points := make([]Point, 0, (len(t)-1)*pieces+1)
	points = append(points, Point{t[0], 0, k[0]})
	h := 0.0
	for i := 1; i < len(t); i++ {
		dt := t[i] - t[i-1]
		for j := 1; j < pieces; j++ {
			s := float64(j) / float64(pieces)
			points = append(points, Point{
				T:            t[i-1] + s*dt,
				Enthalpy:     h + s*dt*(cp[i-1]+s/2*(cp[i]-cp[i-1])),
				Conductivity: k[i-1] + s*(k[i]-k[i-1]),
			})
		}
		h += dt * (cp[i-1] + cp[i]) / 2
		points = append(points, Point{t[i], h, k[i]})
	}
	return FromEnthalpy(name, density, points)
}

func (m *Measured) validate(food string) []error {
	var errs []error
	fault := func(field string, value any, want string) {
		errs = append(errs, &FoodError{Food: food, Field: field, Value: value, Want: want})
	}
	if !(m.Density > 0 && m.Density <= maxMeasuredDensity) {
		fault("measured density", m.Density, "over 0 to 30000 kg/m³")
	}
	if n := len(m.Points); n < 2 || n > maxPoints {
		fault("number of points", n, "2 to 10000")
		return errs
	}
	for i, p := range m.Points {
		at := fmt.Sprintf(" of point %d", i+1)
		if !(p.T >= coldest && p.T <= hottest) {
			fault("temperature"+at, p.T, "-120 to 450 °C")
		} else if i > 0 && !(p.T > m.Points[i-1].T) {
			fault("temperature"+at, p.T, "over that of the point before")
		}
		if math.IsNaN(p.Enthalpy) || math.IsInf(p.Enthalpy, 0) {
			fault("enthalpy"+at, p.Enthalpy, "a finite number of J/kg")
		} else if i > 0 && !(p.Enthalpy > m.Points[i-1].Enthalpy) {
			fault("enthalpy"+at, p.Enthalpy, "over that of the point before")
		}
		if !(p.Conductivity > 0 && p.Conductivity <= maxMeasuredConductivity) {
			fault("conductivity"+at, p.Conductivity, "over 0 to 1e12 W/(m K)")
		}
		if len(errs) > 20 {
			break
		}
	}
	return errs
}

// conductivity between the points, and that of the end beyond them.
func (m *Measured) conductivity(t float64) float64 {
	p := m.Points
	if len(p) == 0 || math.IsNaN(t) {
		return notANumber
	}
	i := sort.Search(len(p), func(i int) bool { return p[i].T >= t })
	switch i {
	case 0:
		return p[0].Conductivity
	case len(p):
		return p[len(p)-1].Conductivity
	}
	a, b := p[i-1], p[i]
	return a.Conductivity + (t-a.T)/(b.T-a.T)*(b.Conductivity-a.Conductivity)
}
