package thermal

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"time"

	"example.com/thawfront/geometry"
)

// Stage is a part of a schedule: a medium until a condition is met.
type Stage struct {
	Name   string
	Medium Medium // around the whole dish
	// Patches are the parts of the surface that meet something else, such as
	// the Underside of a slab on a tray.
	Patches map[geometry.Patch]Medium
	Brush   *Brush        // put on as the stage begins; default (nil): nothing
	Until   Condition     // ends the stage
	Limit   time.Duration // ends the run with a StageLimitError if Until is not met by then; default (0) = 48 h beyond any Elapsed in Until
}

// Schedule is the stages of a run, in order.
type Schedule []Stage

// Bounds of a schedule.
const (
	maxStages    = 1000
	maxStage     = 400 * 24 * time.Hour
	defaultLimit = 48 * time.Hour
	maxChanges   = 100000
	varying      = 60.0                       // [s] longest step amid media that vary
	maxSchedule  = 200 * 365 * 24 * time.Hour // what a Duration can hold, with room
)

// compiledStage is a stage made ready for one mesh.
type compiledStage struct {
	Stage
	media    []Medium  // one a surface
	stops    []float64 // [s] known times to land on, ascending; the last is the limit
	fault    error     // the first bad surroundings met
	place    string
	pressure float64 // [Pa]
	longest  float64 // [s] step
	lo       float64 // [°C] span of the media so far
	hi       float64
	parts    []activePart // the bodies around the dish
	refused  string       // what was wrong with the last control
	actives  []activeSide // one a surface while the stage is cooked, if there are bodies
}

// meets gives the surroundings of surface i at t [s]. Bad values from a user's
// function are remembered as a fault and replaced by insulation.
func (c *compiledStage) meets(i int, t float64) Surroundings {
	var s Surroundings
	if c.actives != nil && c.actives[i].body != nil {
		s = c.actives[i].body.meets(c.actives[i].port, t)
	} else {
		s = c.media[i].At(duration(t))
	}
	if f := s.faults(c.place, c.pressure); f != nil {
		if c.fault == nil {
			c.fault = errors.Join(f...)
		}
		return Insulated()
	}
	c.lo, c.hi = s.span(c.lo, c.hi)
	return s
}

func seconds(d time.Duration) float64 { return d.Seconds() }

// duration rounds t [s] to nanoseconds, where time.Duration(t)*time.Second would
// cut it to whole seconds.
func duration(t float64) time.Duration { return time.Duration(math.Round(t * 1e9)) }

// compile checks a schedule against a mesh and joins all faults.
func (s Schedule) compile(k *model) ([]*compiledStage, error) {
	if len(s) == 0 || len(s) > maxStages {
		return nil, &InputError{Place: "schedule", Field: "number of stages", Value: len(s), Want: fmt.Sprintf("1 to %d", maxStages)}
	}
	var faults []error
	out := make([]*compiledStage, len(s))
	var total time.Duration
	for i, st := range s {
		c, f := st.compile(i, k)
		out[i], faults = c, append(faults, f...)
		if c.Limit > maxSchedule-total && total >= 0 {
			faults = append(faults, &InputError{Place: c.place, Field: "limit", Value: c.Limit, Want: fmt.Sprintf("less: with the stages before, it goes beyond %v", maxSchedule)})
			total = -1 // said once
		} else if total >= 0 {
			total += max(c.Limit, 0)
		}
	}
	faults = append(faults, sizeFaults(out)...)
	return out, errors.Join(faults...)
}

func (st Stage) compile(i int, k *model) (*compiledStage, []error) {
	c := &compiledStage{Stage: st, place: stagePlace(i, st.Name), pressure: k.pressure, longest: math.Inf(1), lo: math.Inf(1), hi: math.Inf(-1)}
	var faults []error
	fault := func(field string, v any, want string) {
		faults = append(faults, &InputError{Place: c.place, Field: field, Value: v, Want: want})
	}
	known := map[geometry.Patch]bool{}
	first := map[geometry.Patch]int{}
	for i, f := range k.mesh.Surfaces {
		m := st.Medium
		if p, ok := st.Patches[f.Patch]; ok {
			m = p
		}
		c.media = append(c.media, m)
		if known[f.Patch] {
			c.joinAs(i, first[f.Patch])
			continue
		}
		known[f.Patch], first[f.Patch] = true, i
		faults = append(faults, c.meet(i, f.Patch, k.pressure)...)
		if len(c.stops) > maxChanges {
			return c, faults
		}
	}
	faults = append(faults, c.bearFaults(k)...)
	faults = append(faults, st.Brush.faults(c.place, k)...)
	for p := range st.Patches {
		if !known[p] {
			fault("patch", fmt.Sprintf("%q", p), fmt.Sprintf("one of this shape's: %v", sortedKeys(known)))
		}
	}
	if isNil(st.Until) {
		fault("Until", "none", "a Condition, such as Elapsed(30*time.Minute)")
		return c, faults
	}
	if f := st.Until.check(c.place, k); f != nil {
		return c, append(faults, f...)
	}
	longest := time.Duration(0)
	for _, d := range st.Until.times(nil) {
		longest = max(longest, d)
		c.stops = append(c.stops, seconds(d))
	}
	if st.Limit == 0 {
		c.Limit = min(longest+defaultLimit, maxStage)
	}
	if c.Limit < 0 || c.Limit > maxStage {
		fault("limit", st.Limit, fmt.Sprintf("0 (default) to %v", maxStage))
	}
	if e, ok := st.Until.(elapsed); ok && st.Limit != 0 && st.Limit < time.Duration(e) {
		fault("limit", st.Limit, fmt.Sprintf("at least the %v that the stage is to last", time.Duration(e)))
	}
	c.stops = append(c.stops, seconds(c.Limit))
	slices.Sort(c.stops)
	c.stops = slices.Compact(c.stops)
	last, _ := slices.BinarySearch(c.stops, seconds(c.Limit))
	c.stops = c.stops[:last+1]
	return c, faults
}

// meet takes in what a patch meets, given by its first surface: when that jumps, the
// body it belongs to, and what is wrong with it.
func (c *compiledStage) meet(surface int, p geometry.Patch, pressure float64) []error {
	m := c.media[surface]
	if isNil(m) {
		return []error{&InputError{Place: c.place, Field: "medium of " + string(p), Value: "none", Want: "a Medium, Insulated() to let no heat through"}}
	}
	if ch, ok := m.(Changer); ok {
		for _, d := range ch.Changes() {
			if d > 0 {
				c.stops = append(c.stops, seconds(d))
			}
		}
		if len(c.stops) > maxChanges {
			return []error{&InputError{Place: c.place, Field: "number of changes of the media", Value: len(c.stops), Want: fmt.Sprintf("at most %d", maxChanges)}}
		}
	}
	if _, steady := m.(Surroundings); !steady {
		c.longest = varying
	}
	place := fmt.Sprintf("%s, %s", c.place, p)
	control, port, active := controlOf(m)
	if !active {
		return m.At(0).faults(place, pressure)
	}
	if err := c.join(surface, control, port); err != nil {
		if err.Error() == c.refused {
			return nil // said of another patch
		}
		c.refused = err.Error()
		return []error{err}
	}
	state := make([]float64, control.Size())
	control.Begin(state, pressure)
	return control.Meets(port, state, 0).faults(place, pressure)
}

// isNil says whether v is nil or holds a nil pointer or function, or a changing
// medium that does.
func isNil(v any) bool {
	if c, ok := v.(changing); ok {
		return isNil(c.Medium)
	}
	if v == nil {
		return true
	}
	r := reflect.ValueOf(v)
	return (r.Kind() == reflect.Pointer || r.Kind() == reflect.Func) && r.IsNil()
}

func sortedKeys(m map[geometry.Patch]bool) []geometry.Patch {
	var out []geometry.Patch
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func (s Schedule) clone() Schedule {
	s = slices.Clone(s)
	for i := range s {
		s[i].Patches = maps.Clone(s[i].Patches)
	}
	return s
}
