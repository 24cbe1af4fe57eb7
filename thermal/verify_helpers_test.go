package thermal

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// The verification tests (verify_*_test.go) hold the solver to closed solutions.
// Values computed outside of this library stand in testdata/solver-solutions.

// constant is a material of constant properties: density 1000 kg/m³, cp [J/(kg
// K)], k [W/(m K)].
func constant(t testing.TB, cp, k float64) materials.Food {
	t.Helper()
	return measured(t, 1000, []materials.Point{{T: -120, Enthalpy: -120 * cp, Conductivity: k}, {T: 450, Enthalpy: 450 * cp, Conductivity: k}})
}

func measured(t testing.TB, density float64, p []materials.Point) materials.Food {
	t.Helper()
	f, err := materials.FromEnthalpy("measured", density, p)
	require.NoError(t, err)
	return f
}

// melting is a material that melts between -width/2 and width/2 [K] with heat
// latent [J/kg] on top of what its specific heats take.
func melting(t testing.TB, density, ks, cs, kl, cl, latent, width float64) materials.Food {
	t.Helper()
	w := width / 2
	return measured(t, density, []materials.Point{
		{T: -110, Enthalpy: cs * (w - 110), Conductivity: ks}, {T: -w, Enthalpy: 0, Conductivity: ks},
		{T: w, Enthalpy: latent, Conductivity: kl}, {T: 200, Enthalpy: latent + cl*(200-w), Conductivity: kl},
	})
}

// one is a dish of a single layer.
func one(s geometry.Shape, f materials.Food, thickness float64, start Start) Dish {
	return Dish{Shape: s, Start: start, Layers: []Layer{{Name: "all", Food: f, Thickness: thickness}}}
}

// convecting is a schedule of one stage of t [s] in a medium.
func convecting(m Medium, t float64) Schedule {
	return Schedule{{Medium: m, Until: Elapsed(duration(t))}}
}

func simulate(t testing.TB, d Dish, s Schedule, set Settings) *Run {
	t.Helper()
	run, err := Simulate(context.Background(), d, s, &set)
	require.NoError(t, err)
	return run
}

func at(t testing.TB, r *Run, p Place, seconds float64) float64 {
	t.Helper()
	v, err := r.Temperature(p, duration(seconds))
	require.NoError(t, err)
	return v
}

// fixed is a stepper with a dish and one medium for steps of a chosen length,
// without the controller.
func fixed(t testing.TB, d Dish, m Medium, set Settings) *stepper {
	t.Helper()
	set, faults := set.withDefaults()
	require.Empty(t, faults)
	k, err := d.compile(set)
	require.NoError(t, err)
	stages, err := convecting(m, 1).compile(k)
	require.NoError(t, err)
	sys := newSystem(k)
	p := newStepper(sys, set.Tolerance)
	start := newContents(len(sys.volume))
	require.Empty(t, d.Start.fill(k, start))
	sys.take(k, start, p.u)
	p.stage = stages[0]
	p.begin()
	return p
}

// march makes n steps of h [s]. Whatever the error estimate says, they count,
// and are finished as an accepted step is.
func (p *stepper) march(t testing.TB, n int, h float64) {
	t.Helper()
	for range n {
		if p.once(t, h) == errorTooLarge {
			p.extrapolate()
		}
		p.next()
	}
}

// marchPair makes n steps of h [s] of the second-order pair alone: its error
// must be above the tolerance, so that it is not taken off.
func (p *stepper) marchPair(t testing.TB, n int, h float64) {
	t.Helper()
	for range n {
		require.Equal(t, errorTooLarge, p.once(t, h), "choose a tighter tolerance")
		p.next()
	}
}

func (p *stepper) once(t testing.TB, h float64) outcome {
	t.Helper()
	p.h = h
	_, o := p.try()
	require.True(t, o == fine || o == errorTooLarge, "step of %g s at %g s: %v", h, p.t, o)
	return o
}

// next moves to the end of the step.
func (p *stepper) next() {
	p.u, p.end = p.end, p.u
	p.f, p.fEnd = p.fEnd, p.f
	p.rate, p.rEnd = p.rEnd, p.rate
	p.t += p.h
}

// temperatures evaluates the cells of a stepper [°C].
func (p *stepper) temperatures() []float64 {
	p.sys.evaluate(p.u)
	return append([]float64(nil), p.sys.temp...)
}

// bisect finds the root of f, of one change of sign, between a and b.
func bisect(f func(float64) float64, a, b float64) float64 {
	fa := f(a)
	for range 200 {
		m := a + (b-a)/2
		if m == a || m == b {
			break
		}
		if fm := f(m); (fm < 0) == (fa < 0) {
			a = m
		} else {
			b = m
		}
	}
	return a + (b-a)/2
}

// order is the least-squares slope of log error against log size.
func order(size, err []float64) float64 {
	var sx, sy, sxx, sxy float64
	n := float64(len(size))
	for i := range size {
		x, y := math.Log(size[i]), math.Log(err[i])
		sx, sy, sxx, sxy = sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	return (n*sxy - sx*sy) / (n*sxx - sx*sx)
}

// row is a line of a CSV file by column.
type row map[string]string

func (r row) number(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, "column %q", column)
	return v
}

func solutions(t testing.TB, file string) []row {
	t.Helper()
	f, err := os.Open("../testdata/solver-solutions/" + file)
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 1)
	var out []row
	for _, l := range lines[1:] {
		r := row{}
		for i, v := range l {
			r[lines[0][i]] = v
		}
		out = append(out, r)
	}
	return out
}

func solution(t testing.TB, problem string) float64 {
	t.Helper()
	for _, r := range solutions(t, "single-values.csv") {
		if r["problem"] == problem {
			return r.number(t, "value")
		}
	}
	require.Fail(t, "no such problem", problem)
	return 0
}

const hour = 3600.0 // [s]
