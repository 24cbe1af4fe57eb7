package oven

import (
	"context"
	"fmt"
	"math"

	"example.com/thawfront/thermal"
)

// fitting is least squares of what a model says against what was measured.
type fitting struct {
	ctx      context.Context
	model    func(like thermal.Surroundings, out []float64) error
	temps    []float64
	unknowns int
}

// trial is one pair of coefficient and emissivity.
type trial struct {
	like    thermal.Surroundings
	out     []float64 // [°C]
	squares float64   // [K²]
}

func (f *fitting) try(h, emissivity float64) (t trial, err error) {
	if f.ctx != nil {
		if err := context.Cause(f.ctx); err != nil {
			return t, err
		}
	}
	t = trial{like: thermal.Surroundings{H: h, Emissivity: emissivity}, out: make([]float64, len(f.temps))}
	if err := f.model(t.like, t.out); err != nil {
		return t, err
	}
	for i, v := range t.out {
		t.squares += (v - f.temps[i]) * (v - f.temps[i])
	}
	return t, nil
}

// normal is the equations of least squares about a trial: sums of the products of the
// slopes, and of slopes and residuals.
type normal struct{ hh, he, ee, h, e float64 }

func (f *fitting) normal(t trial) (n normal, err error) {
	dh, de := 1e-3*t.like.H, 1e-3
	if t.like.Emissivity > 0.5 {
		de = -de
	}
	byH, err := f.try(t.like.H+dh, t.like.Emissivity)
	if err != nil {
		return n, err
	}
	byE, err := f.try(t.like.H, t.like.Emissivity+de)
	if err != nil {
		return n, err
	}
	for i, v := range t.out {
		a, b, r := (byH.out[i]-v)/dh, (byE.out[i]-v)/de, f.temps[i]-v
		n.hh += a * a
		n.he += a * b
		n.ee += b * b
		n.h += a * r
		n.e += b * r
	}
	return n, nil
}

// leastH [W/(m² K)] and mostFitH bound the search.
const (
	leastH   = 1e-3
	mostFitH = 5000.0
)

// search is the method of Levenberg (1944) and Marquardt (1963) within bounds: where one of
// the two would go beyond its own it stays there, and the other moves as that asks.
func (f *fitting) search() (best trial, err error) {
	best, err = f.try(15, 0.5)
	damping, still := 1e-3, 0
	for turn := 0; err == nil && turn < maxFitTurns && still < 2; turn++ {
		var n normal
		if n, err = f.normal(best); err != nil {
			break
		}
		bound := func(h float64) float64 {
			return math.Max(math.Max(best.like.H/5, leastH), math.Min(h, math.Min(best.like.H*5, mostFitH)))
		}
		for ; err == nil && damping < 1e9; damping *= 10 {
			hh, ee := n.hh*(1+damping), n.ee*(1+damping)
			det := hh*ee - n.he*n.he
			dh, de := (n.h*ee-n.e*n.he)/det, (n.e*hh-n.h*n.he)/det
			h := bound(best.like.H + dh)
			if h != best.like.H+dh {
				de = (n.e - n.he*(h-best.like.H)) / ee
			}
			e := best.like.Emissivity + de
			if !(e >= 0 && e <= 1) {
				e = math.Max(0, math.Min(1, e))
				h = bound(best.like.H + (n.h-n.he*(e-best.like.Emissivity))/hh)
			}
			var next trial
			if next, err = f.try(h, e); err != nil || next.squares <= best.squares {
				if best.squares-next.squares < 1e-8*(best.squares+1e-12) {
					still++
				} else {
					still = 0
				}
				best, damping = next, math.Max(damping/10, 1e-9)
				break
			}
		}
		if damping >= 1e9 {
			break // no way down any more
		}
	}
	return best, err
}

// judge finds the standard errors about a solution and whether it is one.
func (f *fitting) judge(t trial) (*Fitted, error) {
	n := float64(len(f.temps))
	out := &Fitted{H: t.like.H, Emissivity: t.like.Emissivity, Residual: math.Sqrt(t.squares / n)}
	m, err := f.normal(t)
	if err != nil {
		return nil, &FitError{Reason: "a try failed", Fitted: out, Cause: err}
	}
	det := m.hh*m.ee - m.he*m.he
	if !(det > 1e-12*m.hh*m.ee) {
		return nil, &FitError{Reason: alike, Fitted: out}
	}
	// a thermometer reads to hundredths: residuals smaller than that are luck
	variance := math.Max(t.squares, 1e-4*n) / (n - float64(f.unknowns))
	out.HError, out.EmissivityError, out.Correlation = math.Sqrt(variance*m.ee/det), math.Sqrt(variance*m.hh/det), -m.he/math.Sqrt(m.hh*m.ee)
	if out.HError > mostH*out.H || out.EmissivityError > mostE {
		return nil, &FitError{Reason: fmt.Sprintf("%s (h %.3g ± %.2g W/(m² K), emissivity %.2f ± %.2g)", alike, out.H, out.HError, out.Emissivity, out.EmissivityError), Fitted: out}
	}
	return out, nil
}

const alike = "the log does not tell convection from radiation: let the body warm further, or air and walls go apart"
