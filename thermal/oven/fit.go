package oven

import (
	"context"
	"errors"
	"fmt"
	"math"

	"example.com/thawfront/thermal"
)

// TestBody is a piece of metal, or a thin vessel of stirred water, of one temperature,
// that is heated in an oven to measure it.
type TestBody struct {
	Capacity float64 // [J/K] 1 to 1e6
	Area     float64 // [m²] 1e-5 to 10
}

// Fitted is what a log of a test body says of an oven.
type Fitted struct {
	H               float64 // [W/(m² K)]
	HError          float64 // [W/(m² K)] standard error
	Emissivity      float64 // [-] of the body and how much of the walls it sees, 0 to 1
	EmissivityError float64 // [-] standard error
	Correlation     float64 // [-] of the two errors, -1 to 1
	Residual        float64 // [K] root mean square of what is left
}

// Like is what the oven's air is for a surface, but for its temperatures and humidity.
func (f *Fitted) Like() thermal.Surroundings {
	if f == nil {
		return thermal.Insulated()
	}
	return thermal.Surroundings{H: f.H, Emissivity: f.Emissivity}
}

// FitError says that a log does not tell coefficient and emissivity.
type FitError struct {
	Reason string
	Fitted *Fitted // as far as it came; nil if it did not
	Cause  error
}

// Error gives the reason.
func (e *FitError) Error() string {
	if e == nil {
		return "oven: no fault"
	}
	if e.Cause != nil {
		return fmt.Sprintf("oven: fit: %s: %v", e.Reason, e.Cause)
	}
	return "oven: fit: " + e.Reason
}

// Unwrap gives the cause.
func (e *FitError) Unwrap() error {
	if e == nil {
		return nil
	}
	return e.Cause
}

// Bounds of a fit.
const (
	maxFitPoints = 10_000
	maxFitTime   = 48 * 3600 // [s]
	fitStep      = 5.0       // [s]
	maxFitTurns  = 60
	// mostH and mostE are the standard errors beyond which nothing has been learned (guess).
	mostH = 0.5  // [-] of h
	mostE = 0.25 // [-] of the emissivity
)

// Fit finds the coefficient and the emissivity with which a test body would have had the
// measured temperatures [°C], one for each point of the log, the first of them its start:
//
//	C dT/dt = A [h (T_air - T) + ε σ (T_walls⁴ - T⁴)]
//
// It takes the least squares. The standard errors count the points as independent of each
// other; a thermocouple that reads wrong all the time is in none of them. Where the log
// does not tell the two apart the error is a *FitError, as for a body that hardly
// warms, or when walls and air are alike and the body is too. A nil ctx never ends.
func Fit(ctx context.Context, body TestBody, log *Log, temps []float64) (*Fitted, error) {
	c := checker{place: "test body"}
	c.within("heat capacity", body.Capacity, 1, 1e6, false, " J/K")
	c.within("area", body.Area, 1e-5, 10, false, " m²")
	if c.faults != nil {
		return nil, errors.Join(c.faults...)
	}
	return fit(ctx, log, temps, func(like thermal.Surroundings, out []float64) error {
		body.follow(log, like, temps[0], out)
		return nil
	})
}

// FitDish is Fit for a test body that has a temperature inside, such as a can of jelly,
// measured [°C] at a place in it; the stage begins at the log's 0 s. Each try is a
// simulation, and there are about thirty.
func FitDish(ctx context.Context, dish thermal.Dish, place thermal.Place, log *Log, temps []float64, settings *thermal.Settings) (*Fitted, error) {
	return fit(ctx, log, temps, func(like thermal.Surroundings, out []float64) error {
		p := log.points
		end := thermal.Elapsed(seconds(p[len(p)-1].Time))
		run, err := thermal.Simulate(ctx, dish, thermal.Schedule{{Medium: log.In(like), Until: end}}, settings)
		if err != nil {
			return err
		}
		for i := range p {
			if out[i], err = run.Temperature(place, seconds(p[i].Time)); err != nil {
				return err
			}
		}
		return nil
	})
}

// follow gives the temperatures of the body at the log's points, by the implicit
// midpoint rule.
func (b TestBody) follow(log *Log, like thermal.Surroundings, start float64, out []float64) {
	t := start
	out[0] = t
	for i := 1; i < len(log.points); i++ {
		from, to := log.points[i-1].Time, log.points[i].Time
		n := math.Ceil((to - from) / fitStep)
		dt := (to - from) / n
		for k := range int(n) {
			air, walls := log.at(from + (float64(k)+0.5)*dt)
			mid := t
			for range 20 {
				m := mid + kelvin
				flow := b.Area * (like.H*(air-mid) + like.Emissivity*sigma*(fourth(walls)-m*m*m*m))
				slope := b.Area * (like.H + 4*like.Emissivity*sigma*m*m*m)
				step := (t + dt/(2*b.Capacity)*flow - mid) / (1 + dt/(2*b.Capacity)*slope)
				mid += step
				if math.Abs(step) < 1e-9 {
					break
				}
			}
			t = 2*mid - t
		}
		out[i] = t
	}
}

// fit is least squares on what model says of the log's points.
func fit(ctx context.Context, log *Log, temps []float64, model func(like thermal.Surroundings, out []float64) error) (*Fitted, error) {
	if log == nil || len(log.points) < 5 || len(log.points) > maxFitPoints || len(temps) != len(log.points) || log.points[len(temps)-1].Time > maxFitTime {
		return nil, &FitError{Reason: fmt.Sprintf("a log of 5 to %d points and %d h and as many temperatures is wanted", maxFitPoints, maxFitTime/3600)}
	}
	for i, v := range temps {
		if !(v >= -100 && v <= 1000) {
			return nil, &FitError{Reason: fmt.Sprintf("temperature %d of the body is %g, want -100 to 1000 °C", i+1, v)}
		}
	}
	f := fitting{ctx: ctx, model: model, temps: temps}
	best, err := f.search()
	if err != nil {
		return nil, &FitError{Reason: "a try failed", Cause: err}
	}
	return f.judge(best)
}
