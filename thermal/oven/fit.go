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
	fitStep      = 2.0       // [s] for the curvature of radiation
	maxFitTurns  = 60
	// mostH and mostE are the standard errors beyond which nothing has been learned (guess).
	mostH = 0.5  // [-] of h
	mostE = 0.25 // [-] of the emissivity
)

// Fit finds the coefficient and the emissivity with which a test body would have had the
// measured temperatures [°C], one for each point of the log:
//
//	C dT/dt = A [h (T_air - T) + ε σ (T_walls⁴ - T⁴)]
//
// It takes the least squares; the start is found too, as the first reading is no better than
// the others. The standard errors count the points as independent of each
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
	byStart := make([]float64, len(temps))
	return fit(ctx, log, temps, 3, func(like thermal.Surroundings, out []float64) error {
		body.fromBest(log, like, temps, out, byStart)
		return nil
	})
}

// FitDish is Fit for a test body that has a temperature inside, such as a can of jelly,
// measured [°C] at a place in it; the stage begins at the log's 0 s. Each try is a
// simulation, and there are about forty.
func FitDish(ctx context.Context, dish thermal.Dish, place thermal.Place, log *Log, temps []float64, settings *thermal.Settings) (*Fitted, error) {
	return fit(ctx, log, temps, 2, func(like thermal.Surroundings, out []float64) error {
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

// fromBest is follow from the start that suits the measured temperatures best. With it
// found for every pair of coefficient and emissivity, their errors count that of the start
// (variable projection, Golub & Pereyra 1973, from memory).
func (b TestBody) fromBest(log *Log, like thermal.Surroundings, temps, out, byStart []float64) {
	const turns = 3 // a start acts almost in proportion
	start := temps[0]
	for range turns {
		b.follow(log, like, start, out, byStart)
		up, all := 0.0, 0.0
		for i, slope := range byStart {
			up += slope * (temps[i] - out[i])
			all += slope * slope
		}
		start = max(-200, min(start+up/all, 1100)) // all is 1 and more: the first slope is 1
	}
	b.follow(log, like, start, out, byStart)
}

// follow gives the temperatures of the body at the log's points and their slopes by its
// start [-]: an exponential Rosenbrock step (Hochbruck & Ostermann 2010, Acta Numerica 19,
// from memory), exact but for the curvature of radiation, so that a body may follow the air
// as fast as it likes.
func (b TestBody) follow(log *Log, like thermal.Surroundings, start float64, out, byStart []float64) {
	t, slope := start, 1.0
	out[0], byStart[0] = t, slope
	per := b.Area / b.Capacity
	for i := 1; i < len(log.points); i++ {
		from, to := log.points[i-1].Time, log.points[i].Time
		n := math.Ceil((to - from) / fitStep)
		dt := (to - from) / n
		for k := range int(n) {
			air, walls := log.at(from + float64(k)*dt)
			airThen, wallsThen := log.at(from + float64(k+1)*dt)
			m := t + kelvin
			rise := per * (like.H*(air-t) + like.Emissivity*sigma*(fourth(walls)-m*m*m*m))
			drift := per * (like.H*(airThen-air) + like.Emissivity*sigma*(fourth(wallsThen)-fourth(walls)))
			z := dt * per * (like.H + 4*like.Emissivity*sigma*m*m*m)
			first, second := 1.0, 0.5 // (1 - e^-z)/z and (z - 1 + e^-z)/z²
			if z > 1e-6 {
				first = -math.Expm1(-z) / z
				second = (1 - first) / z
			}
			t += dt * (first*rise + second*drift)
			slope *= math.Exp(-z)
		}
		out[i], byStart[i] = t, slope
	}
}

// fit is least squares on what model says of the log's points, with so many unknowns.
func fit(ctx context.Context, log *Log, temps []float64, unknowns int, model func(like thermal.Surroundings, out []float64) error) (*Fitted, error) {
	if log == nil || len(log.points) < 5 || len(log.points) > maxFitPoints || len(temps) != len(log.points) || log.points[len(temps)-1].Time > maxFitTime {
		return nil, &FitError{Reason: fmt.Sprintf("a log of 5 to %d points and %d h and as many temperatures is wanted", maxFitPoints, maxFitTime/3600)}
	}
	for i, v := range temps {
		if !(v >= -100 && v <= 1000) {
			return nil, &FitError{Reason: fmt.Sprintf("temperature %d of the body is %g, want -100 to 1000 °C", i+1, v)}
		}
	}
	f := fitting{ctx: ctx, model: model, temps: temps, unknowns: unknowns}
	best, err := f.search()
	if err != nil {
		return nil, &FitError{Reason: "a try failed", Cause: err}
	}
	return f.judge(best)
}
