package safety

import (
	"fmt"
	"math"
	"slices"
)

// Inactivation says how fast heat kills a germ in a food: Bigelow's law, in
// which the decimal reduction time falls tenfold every Z kelvins.
//
//	D(T) = D 10^((Reference - T)/Z)
type Inactivation struct {
	Name, Germ, Food string

	D         float64 // [s] at Reference, 1e-9 to 1e12
	Reference float64 // [°C] 0 to 200
	Z         float64 // [K] 1 to 50

	Least  float64 // [°C] below this nothing is counted; -50 to 200
	Most   float64 // [°C] what is above counts as this; over Least, to 200
	Source string
}

// SetError is a fault in an [Inactivation] or a [Growth], or a name that is none.
type SetError struct {
	Name  string
	Field string
	Value any
	Want  string
}

// Error names the set, the field and what is wanted.
func (e *SetError) Error() string {
	return fmt.Sprintf("safety: set %q: %s %v, want %s", e.Name, e.Field, e.Value, e.Want)
}

// Validate reports the first fault as a [*SetError].
func (k *Inactivation) Validate() error {
	return firstOutside(k.Name, []bound{
		{"D [s]", k.D, 1e-9, 1e12},
		{"reference temperature [°C]", k.Reference, 0, 200},
		{"z [K]", k.Z, 1, 50},
		{"least temperature counted [°C]", k.Least, -50, 200},
		{"most temperature counted [°C]", k.Most, math.Nextafter(k.Least, 200), 200},
	})
}

type bound struct {
	field         string
	value, lo, hi float64
}

func firstOutside(set string, bounds []bound) error {
	for _, b := range bounds {
		if !(b.value >= b.lo && b.value <= b.hi) {
			return &SetError{set, b.field, b.value, fmt.Sprintf("%v to %v", b.lo, b.hi)}
		}
	}
	return nil
}

// DAt is the decimal reduction time [s] at temperature t [°C] by the formula,
// also where [Inactivation.LogReduction] does not count it.
func (k *Inactivation) DAt(t float64) float64 { return k.D * math.Pow(10, (k.Reference-t)/k.Z) }

// LogReduction is how many powers of ten [log10] of the germ the history kills:
// the integral of 1/D(T), in closed form on each straight piece. It never falls
// as time goes on.
func (k *Inactivation) LogReduction(h History) (float64, error) {
	sum := 0.0
	err := k.walk(&h, func(_ int, reduction float64) { sum = reduction })
	return sum, err
}

// Course is the log reduction [log10] reached at each point of the history.
func (k *Inactivation) Course(h History) ([]float64, error) {
	course := make([]float64, len(h.Time))
	err := k.walk(&h, func(i int, reduction float64) { course[i] = reduction })
	if err != nil {
		return nil, err
	}
	return course, nil
}

// Weakest is the least log reduction [log10] over the histories of a dish's
// places, and which of them it is.
func (k *Inactivation) Weakest(histories []History) (reduction float64, at int, err error) {
	return extreme(histories, k.LogReduction, func(a, b float64) bool { return a < b })
}

func (k *Inactivation) walk(h *History, see func(i int, reduction float64)) error {
	if err := k.Validate(); err != nil {
		return err
	}
	if err := h.Validate(); err != nil {
		return err
	}
	sum := 0.0
	for i := 1; i < len(h.Time); i++ {
		sum += k.killed(h.piece(i))
		see(i, sum)
	}
	return nil
}

// killed is the log reduction on a straight piece. The part between Least and
// Most is
//
//	dt/D(hot) (1 - exp(-x))/x,  x = ln 10 (hot - cold)/Z
//
// and the part above Most counts at Most.
func (k *Inactivation) killed(p piece) float64 {
	dt := p.t1 - p.t0
	cold, hot := math.Min(p.a, p.b), math.Max(p.a, p.b)
	if hot < k.Least || dt == 0 {
		return 0
	}
	if cold >= k.Most {
		return dt / k.DAt(k.Most)
	}
	span := hot - cold
	over := 0.0
	if hot > k.Most {
		over = dt * (hot - k.Most) / span / k.DAt(k.Most)
	}
	from, to := math.Max(cold, k.Least), math.Min(hot, k.Most)
	if span > 0 {
		dt *= (to - from) / span
	}
	x := math.Ln10 * (to - from) / k.Z
	if x == 0 {
		return over + dt/k.DAt(to)
	}
	return over + dt/k.DAt(to)*(-math.Expm1(-x)/x)
}

// reached is the time [s] within a straight piece at which its log reduction is no less
// than given, which the whole piece reaches.
func (k *Inactivation) reached(p piece, reduction float64) float64 {
	before, after := p.t0, p.t1
	for range 60 {
		middle := (before + after) / 2
		if k.killed(piece{p.t0, p.a, middle, line(p.t0, p.a, p.t1, p.b, middle)}) < reduction {
			before = middle
		} else {
			after = middle
		}
	}
	return after
}

// extreme finds the history with the first value that no other beats.
func extreme(histories []History, value func(History) (float64, error), beats func(a, b float64) bool) (best float64, at int, err error) {
	if len(histories) == 0 {
		return 0, 0, &HistoryError{"", -1, "number of histories", 0, "at least 1"}
	}
	for i, h := range histories {
		v, err := value(h)
		if err != nil {
			return 0, 0, err
		}
		if i == 0 || beats(v, best) {
			best, at = v, i
		}
	}
	return best, at, nil
}

// Inactivations lists the published sets, as copies.
func Inactivations() []Inactivation { return slices.Clone(inactivations) }

// FindInactivation gives the set of a name, or a [*SetError] that lists the names.
func FindInactivation(name string) (Inactivation, error) {
	return find(name, inactivations, func(k Inactivation) string { return k.Name })
}

func find[T any](name string, sets []T, nameOf func(T) string) (found T, err error) {
	names := make([]string, len(sets))
	for i, s := range sets {
		if names[i] = nameOf(s); names[i] == name {
			return s, nil
		}
	}
	return found, &SetError{name, "name", fmt.Sprintf("%q", name), fmt.Sprintf("one of %q", names)}
}
