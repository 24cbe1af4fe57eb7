package materials

import (
	"fmt"
	"math"
	"slices"
)

// WaterHolding is how much of its water a muscle food keeps when it is heated,
// and how fast it expels the rest as juice. Per kilogram of protein the water w
// [kg/kg] falls as
//
//	dw/dt = -Rate(T) (w - Kept(T))   while w > Kept(T)
//
// and what has gone is not taken back, so the water itself remembers how hot the
// food has been.
type WaterHolding struct {
	Name     string
	RawWater float64 // [kg/kg protein] water of the raw muscle, over 0 to 100
	Points   []HoldingPoint
	Source   string // where the points come from: measured, fitted or guessed
}

// HoldingPoint is a point of the curves of a [WaterHolding].
type HoldingPoint struct {
	Temperature float64 // [°C], -120 to 450, rising from point to point
	Lost        float64 // [-] share of the raw water expelled if held there for long, 0 to 0.9, never falling
	Rate        float64 // [1/s] of the approach, over 0 to 1
}

const (
	greatestRawWater = 100.0 // [kg/kg protein]
	greatestLost     = 0.9
	greatestRate     = 1.0 // [1/s]
	maxHoldingPoints = 100
)

// Kept is the water that stays however long the food is held at t [°C]
// [kg/kg protein]: RawWater less the lost share, which is a straight line
// between the points and that of the end beyond them. It never rises with t.
func (h *WaterHolding) Kept(t float64) float64 {
	a, b, s := h.between(t)
	return h.RawWater * (1 - a.Lost - s*(b.Lost-a.Lost))
}

// lost is the share [-] of the raw water that is not kept at t [°C].
func (h *WaterHolding) lost(t float64) float64 {
	a, b, s := h.between(t)
	return a.Lost + s*(b.Lost-a.Lost)
}

// Rate is the rate of the approach to [WaterHolding.Kept] at t [°C] [1/s]: its
// logarithm is a straight line between the points; beyond them it is that of the
// end.
func (h *WaterHolding) Rate(t float64) float64 {
	a, b, s := h.between(t)
	return a.Rate * math.Exp(s*math.Log(b.Rate/a.Rate))
}

// between gives the points around t and how far t is from the first to the
// second, 0 to 1.
func (h *WaterHolding) between(t float64) (a, b HoldingPoint, s float64) {
	p := h.Points
	if len(p) == 0 || math.IsNaN(t) {
		return a, b, notANumber
	}
	i := 0
	for i < len(p) && p[i].Temperature <= t {
		i++
	}
	switch i {
	case 0:
		return p[0], p[0], 0
	case len(p):
		return p[i-1], p[i-1], 0
	}
	a, b = p[i-1], p[i]
	return a, b, (t - a.Temperature) / (b.Temperature - a.Temperature)
}

// HoldingError is a fault in a field of a [WaterHolding].
type HoldingError struct {
	Holding string
	Field   string
	Value   float64 // [-] as given, in the field's own unit
	Want    string
}

// Error names the curve, the field, the value and what is wanted.
func (e *HoldingError) Error() string {
	return fmt.Sprintf("materials: water holding %q: %s %v, want %s", e.Holding, e.Field, e.Value, e.Want)
}

// Validate returns the first fault as a [*HoldingError]: raw water outside of 0
// to 100 kg/kg, fewer than 1 or more than 100 points, a temperature that does not
// rise, a lost share that falls or is outside of 0 to 0.9, a rate outside of 0 to 1.
func (h *WaterHolding) Validate() error {
	fault := func(field string, value float64, want string) error {
		return &HoldingError{h.Name, field, value, want}
	}
	if !(h.RawWater > 0 && h.RawWater <= greatestRawWater) {
		return fault("raw water", h.RawWater, "over 0 to 100 kg/kg protein")
	}
	if n := len(h.Points); n < 1 || n > maxHoldingPoints {
		return fault("number of points", float64(n), "1 to 100")
	}
	last := HoldingPoint{Temperature: math.Inf(-1)}
	for i, p := range h.Points {
		at := fmt.Sprintf(" of point %d", i+1)
		switch {
		case !(p.Temperature >= coldest && p.Temperature <= hottest && p.Temperature > last.Temperature):
			return fault("temperature"+at, p.Temperature, "rising, -120 to 450 °C")
		case !(p.Lost >= last.Lost && p.Lost <= greatestLost):
			return fault("lost share"+at, p.Lost, "not falling, 0 to 0.9")
		case !(p.Rate > 0 && p.Rate <= greatestRate):
			return fault("rate"+at, p.Rate, "over 0 to 1 1/s")
		}
		last = p
	}
	return nil
}

func (h *WaterHolding) clone() *WaterHolding {
	c := *h
	c.Points = slices.Clone(h.Points)
	return &c
}

// FindHolding gives one of the curves known by name, to keep and to change:
//
//	beef       also for veal, lamb, game and pork
//	poultry    chicken and its like
//	lean-fish  cod and its like, tuna
//	fat-fish   salmon, trout, mackerel
//
// in any case, with hyphens or spaces. RawWater is that of a typical raw muscle;
// set it to the food's own. An unknown name gives a [*NameError].
func FindHolding(name string) (*WaterHolding, error) {
	if i := nameIndex(holdingNames, name); i >= 0 {
		return holdings[i].clone(), nil
	}
	return nil, &NameError{"water holding", name, holdingNames}
}

var holdingNames = func() []string {
	names := make([]string, len(holdings))
	for i, h := range holdings {
		names[i] = h.Name
	}
	return names
}()

var holdings = [...]WaterHolding{
	// Loss of beef of 75 % water by Table 6.1 of the Handbook of Meat Processing
	// (cubes heated at 2.5 K/min and held for 40 min), all of it taken for water. Rates
	// are typical at 60 and 80 °C (from memory). Near 55 °C both are bent so that hours
	// at 54.4 °C lose some 15 % of the mass (common practice, no source): the limit
	// there lies half again over what 40 min in the print give and the curve is flatter
	// between 55 and 65 °C than on both sides.
	{"beef", 3.4, []HoldingPoint{
		{35, 0, 2.5e-4},
		{40, 0.047, 3e-4},
		{50, 0.127, 3.5e-4},
		{55, 0.203, 3.7e-4},
		{60, 0.227, 6.5e-4},
		{65, 0.267, 1e-3},
		{70, 0.32, 1.6e-3},
		{75, 0.38, 2.2e-3},
		{80, 0.44, 3e-3},
		{90, 0.547, 5e-3},
		{100, 0.60, 8e-3},
	}, "fitted: cubes of lean beef, Handbook of Meat Processing, Table 6.1; rates from memory"},
	// Beef's with four fifths of its loss: chicken breast at 75 °C then loses the 19 to 21 %
	// that were measured (19.2 five minutes after an oven of 84 °C, 20.8 at room
	// temperature; PMC7647922, Table 1), 25 mm thick being assumed.
	{"poultry", 3.4, []HoldingPoint{
		{35, 0, 2.5e-4},
		{40, 0.038, 3e-4},
		{50, 0.102, 3.5e-4},
		{55, 0.162, 3.7e-4},
		{60, 0.182, 6.5e-4},
		{65, 0.214, 1e-3},
		{70, 0.256, 1.6e-3},
		{75, 0.304, 2.2e-3},
		{80, 0.352, 3e-3},
		{90, 0.438, 5e-3},
		{100, 0.48, 8e-3},
	}, "fitted: chicken breast, PMC7647922, Table 1, thickness assumed; otherwise as beef"},
	// Drawn through the middle of the ranges for cod held 10 to 30 min (Skipnes, Østby
	// and Hendrickx 2007, from memory), beginning at 25 °C (Ofstad and others 1993: 20
	// to 35 °C); the rates are a guess, as fast as those ranges need at 10 min.
	{"lean-fish", 4.56, []HoldingPoint{
		{25, 0, 1e-3},
		{30, 0.019, 1.5e-3},
		{40, 0.099, 2e-3},
		{50, 0.216, 3.5e-3},
		{60, 0.241, 4e-3},
		{70, 0.296, 5e-3},
		{80, 0.327, 6e-3},
		{90, 0.346, 7e-3},
	}, "fitted: cod, Skipnes, Østby and Hendrickx (2007), from memory; rates a guess"},
	// Half of the lean fish up to 60 °C (Ofstad and others 1993: cod loses about twice
	// as much as salmon), from 30 °C (Rørå and Regost 2003); above towards the 11.6 to
	// 16.2 % of the mass that steaming and roasting take (Głuchowski and others 2020).
	{"fat-fish", 3.18, []HoldingPoint{
		{30, 0, 1.5e-3},
		{40, 0.05, 2e-3},
		{50, 0.105, 3.5e-3},
		{60, 0.125, 4e-3},
		{70, 0.165, 5e-3},
		{80, 0.20, 6e-3},
		{90, 0.215, 7e-3},
	}, "fitted: salmon, Głuchowski and others (2020), Ofstad and others (1993); rates a guess"},
}
