package materials

import (
	"fmt"
	"math"
)

// Isotherm is a sorption isotherm: the water X that dry solids hold at a water
// activity a, in kg of water per kg of dry non-fat solids. The zero value is a
// generic starchy food, GAB with 0.07, 15 and 0.82: the middle of what is
// published for bread crumb at 25 °C (from memory: Xm 0.06 to 0.08, C 10 to 25,
// K 0.75 to 0.90).
//
// Isotherms move with temperature; these do not. Published sets are mostly for
// 25 °C and hold too much water at 100 °C, by about a third for wheat (modified
// Oswin, ASAE D245, from memory).
type Isotherm struct {
	kind    isothermKind
	a, b, c float64
}

type isothermKind uint8

const (
	generic isothermKind = iota
	gab
	oswin
)

var genericIsotherm = GAB(0.07, 15, 0.82)

// oswinEnd is the activity from which Oswin's curve goes on as its tangent.
const oswinEnd = 0.95

// GAB is the isotherm of Guggenheim, Anderson and de Boer,
//
//	X = xm c k a / ((1 - k a)(1 - k a + c k a))
//
// with the monolayer water xm [kg/kg dry non-fat solids], 0 to 2, and the
// constants c [-], over 0 to 1e6, and k [-], over 0 and below 1. Van den Berg &
// Bruin (1981, cited from memory). [Isotherm.Validate] tells faulty constants.
func GAB(xm, c, k float64) Isotherm { return Isotherm{gab, xm, c, k} }

// Oswin is the isotherm
//
//	X = a (aw/(1 - aw))^b
//
// with a, the water at activity 0.5 [kg/kg dry non-fat solids], 0 to 2, and b [-],
// over 0 to 3. Oswin (1946, cited from memory). The law is infinite at activity 1; above 0.95 it goes
// on as its tangent there. [Isotherm.Validate] tells faulty constants.
func Oswin(a, b float64) Isotherm { return Isotherm{kind: oswin, a: a, b: b} }

// IsothermError is a fault in a constant of an [Isotherm].
type IsothermError struct {
	Isotherm string
	Constant string
	Value    float64 // [-] as given
	Want     string
}

// Error names the isotherm, its constant, the value and what is wanted.
func (e *IsothermError) Error() string {
	return fmt.Sprintf("materials: %s isotherm: %s %v, want %s", e.Isotherm, e.Constant, e.Value, e.Want)
}

// Validate returns the first faulty constant as an [*IsothermError].
func (i Isotherm) Validate() error {
	check := func(name string, x, low, high float64, want string) error {
		if x > low && x <= high {
			return nil
		}
		return &IsothermError{i.name(), name, x, want}
	}
	var errs [3]error
	switch i.kind {
	case gab:
		errs = [3]error{
			check("xm", i.a, 0, 2, "over 0 to 2 kg/kg"),
			check("c", i.b, 0, 1e6, "over 0 to 1e6"),
			check("k", i.c, 0, math.Nextafter(1, 0), "over 0 and below 1"),
		}
	case oswin:
		errs = [3]error{
			check("a", i.a, 0, 2, "over 0 to 2 kg/kg"),
			check("b", i.b, 0, 3, "over 0 to 3"),
		}
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// IsZero tells whether no isotherm was given, so that the generic one is used.
func (i Isotherm) IsZero() bool { return i == Isotherm{} }

func (i Isotherm) name() string {
	return [...]string{"generic", "gab", "oswin"}[i.kind]
}

// String is the form [ParseTable] reads, such as "gab 0.07 15 0.82"; empty for the
// zero value.
func (i Isotherm) String() string {
	switch i.kind {
	case gab:
		return fmt.Sprintf("gab %v %v %v", i.a, i.b, i.c)
	case oswin:
		return fmt.Sprintf("oswin %v %v", i.a, i.b)
	}
	return ""
}

// Moisture is the water held at water activity aw [-]
// [kg/kg dry non-fat solids]. It rises with aw from 0 and is finite at 1;
// outside 0 to 1 the end's value stays.
func (i Isotherm) Moisture(aw float64) float64 {
	aw = min(max(aw, 0), 1)
	switch i.kind {
	case gab:
		u := i.c * aw
		return i.a * i.b * u / ((1 - u) * (1 - u + i.b*u))
	case oswin:
		if aw <= oswinEnd {
			return i.a * math.Pow(aw/(1-aw), i.b)
		}
		return i.oswinLast() * (1 + i.b*(aw-oswinEnd)/(oswinEnd*(1-oswinEnd)))
	}
	return genericIsotherm.Moisture(aw)
}

func (i Isotherm) oswinLast() float64 { return i.a * math.Pow(oswinEnd/(1-oswinEnd), i.b) }

// Activity is the water activity [-], 0 to 1, at a water content x
// [kg/kg dry non-fat solids]: the inverse of [Isotherm.Moisture]. It is 0 for x
// of 0 or less and 1 for all x that the isotherm at activity 1 does not reach.
func (i Isotherm) Activity(x float64) float64 {
	if x <= 0 {
		return 0
	}
	switch i.kind {
	case gab:
		if x >= i.Moisture(1) { // also keeps x² from overflow
			return 1
		}
		// With u = k a: (c-1) X u² + (xm c - (c-2) X) u - X = 0, the root in 0..1
		// written so that nothing cancels.
		b := i.a*i.b - (i.b-2)*x
		d := b*b + 4*(i.b-1)*x*x
		return min(2*x/(b+math.Sqrt(max(d, 0)))/i.c, 1)
	case oswin:
		if last := i.oswinLast(); x > last {
			return min(oswinEnd+(x/last-1)*oswinEnd*(1-oswinEnd)/i.b, 1)
		}
		r := math.Pow(x/i.a, 1/i.b)
		return r / (1 + r)
	}
	return genericIsotherm.Activity(x)
}
