package thermal

import (
	"cmp"
	"fmt"
	"math"
	"strings"
	"time"

	"example.com/thawfront/geometry"
)

// Condition says when a stage ends, or what a run is to watch for.
type Condition interface {
	// String puts the condition into words.
	String() string
	// margin is continuous in time, negative before the condition is met and
	// zero or more from then on.
	margin(s *State) float64
	// times appends the known times at which the condition can be met.
	times(to []time.Duration) []time.Duration
	// check lists what is wrong with the condition for a dish.
	check(place string, k *model) []error
}

// Elapsed is met when the stage has lasted d. It is the only condition whose
// time is known beforehand.
func Elapsed(d time.Duration) Condition { return elapsed(d) }

type elapsed time.Duration

func (e elapsed) String() string                           { return fmt.Sprintf("%v have passed", time.Duration(e)) }
func (e elapsed) margin(s *State) float64                  { return s.sinceStage - seconds(time.Duration(e)) }
func (e elapsed) times(to []time.Duration) []time.Duration { return append(to, time.Duration(e)) }
func (e elapsed) check(place string, _ *model) []error {
	if e < 0 || time.Duration(e) > maxStage {
		return []error{&InputError{Place: place, Field: "elapsed time", Value: time.Duration(e), Want: fmt.Sprintf("0 to %v", maxStage)}}
	}
	return nil
}

// Above is met when a place has reached t [°C] or more.
func Above(p Place, t float64) Condition { return threshold{p, t, 1} }

// Below is met when a place has fallen to t [°C] or less.
func Below(p Place, t float64) Condition { return threshold{p, t, -1} }

type threshold struct {
	place Place
	t     float64
	sign  float64
}

func (c threshold) String() string {
	return fmt.Sprintf("%v is %s %.4g °C", c.place, aboveOrBelow(c.sign), c.t)
}

func (c threshold) margin(s *State) float64 {
	t, _ := s.Temperature(c.place) // the place was checked before the run
	return c.sign * (t - c.t)
}

func (c threshold) times(to []time.Duration) []time.Duration { return to }

func (c threshold) check(place string, k *model) []error {
	var faults []error
	if !inRange(c.t, -200, 1000) {
		faults = append(faults, &InputError{Place: place, Field: "threshold [°C]", Value: c.t, Want: "-200 to 1000"})
	}
	if _, err := c.place.resolve(k); err != nil {
		faults = append(faults, &InputError{Place: place, Field: "place", Value: c.place, Cause: err})
	}
	return faults
}

// FluidAbove is met when the fluid that a part of the surface meets, the air of an oven
// say, has reached t [°C] or more; "" is the outermost part, as of a Brush. An oven with a
// thermostat of a Band holds its air short of the set point by a share of that.
func FluidAbove(p geometry.Patch, t float64) Condition { return fluid{p, t, 1} }

// FluidBelow is met when the fluid that a part of the surface meets has fallen to t [°C]
// or less.
func FluidBelow(p geometry.Patch, t float64) Condition { return fluid{p, t, -1} }

type fluid struct {
	patch geometry.Patch
	t     float64
	sign  float64
}

func (c fluid) String() string {
	where := "around the dish"
	if c.patch != "" {
		where = "at the " + string(c.patch)
	}
	return fmt.Sprintf("the fluid %s is %s %.4g °C", where, aboveOrBelow(c.sign), c.t)
}
func (c fluid) margin(s *State) float64                  { return c.sign * (s.fluid(c.patch) - c.t) }
func (c fluid) times(to []time.Duration) []time.Duration { return to }
func (c fluid) check(place string, k *model) []error {
	return threshold{SkinOf(cmp.Or(c.patch, outermost(k.mesh))), c.t, c.sign}.check(place, k)
}

func aboveOrBelow(sign float64) string {
	if sign < 0 {
		return "below"
	}
	return "above"
}

// seen is what a condition on temperatures looks at, in words; "" of others.
func seen(c Condition, s *State) string {
	switch c := c.(type) {
	case threshold:
		t, _ := s.Temperature(c.place)
		return fmt.Sprintf("%.4g °C", t)
	case fluid:
		return fmt.Sprintf("%.4g °C", s.fluid(c.patch))
	case several:
		var all []string
		for _, x := range c.of {
			if text := seen(x, s); text != "" {
				all = append(all, text)
			}
		}
		return strings.Join(all, ", ")
	}
	return ""
}

// IceGone is met when no ice is left anywhere in the dish.
func IceGone() Condition { return iceGone{} }

type iceGone struct{}

func (iceGone) String() string { return "no ice is left" }
func (iceGone) margin(s *State) float64 {
	return s.least(func(i int) float64 { return s.temp[i] - s.freezing(i) })
}
func (iceGone) times(to []time.Duration) []time.Duration { return to }
func (iceGone) check(string, *model) []error             { return nil }

// Frozen is met when everywhere at least share [-] (0 to 1) of the water that
// can freeze is ice. Places with less than 0.1 kg of such water in a kilogram
// do not count: the brine in a cured fat freezes at temperatures that no freezer
// reaches. Trade and codes call a food frozen through at about -18 °C;
// the freezing time of tables ends when the centre passes -10 °C (use Below).
func Frozen(share float64) Condition { return frozen(share) }

type frozen float64

func (f frozen) String() string {
	return fmt.Sprintf("%.4g %% of the freezable water is ice everywhere", 100*float64(f))
}

func (f frozen) margin(s *State) float64 {
	m := s.least(func(i int) float64 {
		r := s.model.relations[s.model.mesh.Cells[i].Layer]
		free := s.held(i) - r.Bound()
		if free <= 0.1*r.Density() {
			return math.Inf(1)
		}
		return s.ice(i)/free - float64(f)
	})
	if math.IsInf(m, 1) {
		return -1 // nothing in the dish can freeze
	}
	return m
}
func (f frozen) times(to []time.Duration) []time.Duration { return to }
func (f frozen) check(place string, _ *model) []error {
	if !inRange(float64(f), 1e-6, 1) {
		return []error{&InputError{Place: place, Field: "frozen share", Value: float64(f), Want: "above 0, at most 1"}}
	}
	return nil
}

// When is met when margin, a continuous function of the state in a unit of your
// choice [-], is zero or more.
// A function that jumps from below to above zero is found too, but only if it
// does so between the ends or the middle of two steps. The state is valid only
// during the call.
func When(what string, margin func(*State) float64) Condition { return when{what, margin} }

type when struct {
	what string
	f    func(*State) float64
}

func (w when) String() string { return w.what }
func (w when) margin(s *State) float64 {
	m := w.f(s)
	if m != m {
		return math.Inf(-1)
	}
	return m
}
func (w when) times(to []time.Duration) []time.Duration { return to }
func (w when) check(place string, _ *model) []error {
	if w.f == nil {
		return []error{&InputError{Place: place, Field: "function of When", Value: "none", Want: "a function of the state"}}
	}
	return nil
}

// Any is met when one of its conditions is.
func Any(c ...Condition) Condition { return several{c, " or ", math.Max, math.Inf(-1)} }

// All is met when all of its conditions are met at the same time.
func All(c ...Condition) Condition { return several{c, " and ", math.Min, math.Inf(1)} }

// maxConditions bounds what Any and All may hold, those inside of each other
// counted.
const maxConditions = 100

// count counts the conditions, up to one more than most: shared ones nested in
// each other can stand for more than there is time to walk through.
func (c several) count(most int) int {
	n := 0
	for _, x := range c.of {
		n++
		if s, ok := x.(several); ok {
			n += s.count(most - n)
		}
		if n > most {
			break
		}
	}
	return n
}

type several struct {
	of    []Condition
	word  string
	pick  func(a, b float64) float64
	empty float64
}

func (c several) String() string {
	words := make([]string, len(c.of))
	for i, x := range c.of {
		words[i] = fmt.Sprint(x)
	}
	return strings.Join(words, c.word)
}

func (c several) margin(s *State) float64 {
	m := c.empty
	for _, x := range c.of {
		m = c.pick(m, x.margin(s))
	}
	return m
}

func (c several) times(to []time.Duration) []time.Duration {
	for _, x := range c.of {
		to = x.times(to)
	}
	return to
}

func (c several) check(place string, k *model) []error {
	if n := c.count(maxConditions); len(c.of) == 0 || n > maxConditions {
		return []error{&InputError{Place: place, Field: "number of conditions", Value: n, Want: fmt.Sprintf("1 to %d", maxConditions)}}
	}
	var faults []error
	for _, x := range c.of {
		if isNil(x) {
			faults = append(faults, &InputError{Place: place, Field: "condition", Value: "none", Want: "a Condition"})
			continue
		}
		faults = append(faults, x.check(place, k)...)
	}
	return faults
}
