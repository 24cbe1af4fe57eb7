package thermal

import (
	"fmt"
	"time"

	"example.com/thawfront/geometry"
)

// InputError is a fault in what the caller gave: a dish, a layer, a stage, a
// medium, a setting. Simulate reports all faults at once, joined; use errors.As
// to take one apart.
type InputError struct {
	Place string // such as `layer 2 ("crust")` or `stage 1 ("bake")`
	Field string // such as "thickness"
	Value any    // what was given
	Want  string // what would be accepted
	Cause error  // the error of the package that refused it, if any
}

// Error gives one line that names the place, the value and what is wanted.
func (e *InputError) Error() string {
	if e.Cause != nil {
		return fmt.Sprintf("thermal: %s: %v", e.Place, e.Cause)
	}
	return fmt.Sprintf("thermal: %s: %s %v, want %s", e.Place, e.Field, e.Value, e.Want)
}

// Unwrap gives the cause.
func (e *InputError) Unwrap() error { return e.Cause }

// StageLimitError says that a stage met its limit before its condition. The run
// that comes with it ends there.
type StageLimitError struct {
	Stage  int // counted from 0
	Name   string
	Until  string // the condition that was not met
	Seen   string // the temperatures it looks at, as they were at the limit; "" if it looks at none
	Limit  time.Duration
	Margin float64 // [-] how far the condition was from being met, in its own unit (K, s); negative
}

// Error names the stage, its limit, its condition and how far it came.
func (e *StageLimitError) Error() string {
	at := ""
	if e.Seen != "" {
		at = "at " + e.Seen + ", "
	}
	return fmt.Sprintf("thermal: %s: not reached within %v: %s (%sshort by %.3g)", stagePlace(e.Stage, e.Name), e.Limit, e.Until, at, -e.Margin)
}

// SolverError says that the solver could not go on, where and why. The run that
// comes with it holds what was computed up to then.
type SolverError struct {
	Stage  int // counted from 0
	Name   string
	Time   time.Duration // since the start of the run
	Layer  string
	X      float64 // [m] from the centre or underside; in two dimensions from the axis or middle plane
	Y      float64 // [m] height in two dimensions, as the dish's shape counts it; else 0
	Step   time.Duration
	Reason string
}

// Error names the stage, the time, the place in the dish and the reason.
func (e *SolverError) Error() string {
	return fmt.Sprintf("thermal: %s at %v, layer %q, %.4g m: %s (step down to %v)",
		stagePlace(e.Stage, e.Name), e.Time.Round(time.Millisecond), e.Layer, e.X, e.Reason, e.Step)
}

// InterruptedError says that the context ended the run, which comes with it.
type InterruptedError struct {
	Stage int // counted from 0
	Name  string
	Time  time.Duration // since the start of the run
	Cause error         // of the context
}

// Error names the stage and the time.
func (e *InterruptedError) Error() string {
	return fmt.Sprintf("thermal: %s interrupted at %v: %v", stagePlace(e.Stage, e.Name), e.Time.Round(time.Millisecond), e.Cause)
}

// Unwrap gives the context's cause.
func (e *InterruptedError) Unwrap() error { return e.Cause }

// UnknownPlaceError says that a place is not in the dish.
type UnknownPlaceError struct {
	Place string
	Known string
}

// Error names the place and what is there instead.
func (e *UnknownPlaceError) Error() string {
	return fmt.Sprintf("thermal: place %s is not in the dish, which has %s", e.Place, e.Known)
}

func stagePlace(i int, name string) string {
	if name == "" {
		return fmt.Sprintf("stage %d", i+1)
	}
	return fmt.Sprintf("stage %d (%q)", i+1, name)
}

func layerPlace(i int, name string) string { return geometry.LayerPlace(i, name) }

func inRange(v, lo, hi float64) bool { return v >= lo && v <= hi }
