package validation

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// solverGroup holds the solver against exact solutions.
var solverGroup = group{
	name: "solver",
	reason: "Exact solutions have no uncertainty of their own: the tolerance is what a mesh of 100 cells of second order makes, 2/100² of the difference that drives the run. " +
		"First roots are read off runs with the same share; their coefficients, for which the run is carried back to its start, with 0.1 %. " +
		"Composite cylinder: the last printed digit. Front of freezing: 0.5 %, as near a front the order is one; temperatures there: what half of one of 200 cells makes, by which they swing as it crosses one. " +
		"Plank: 0.5 % beside the rounding of the print.",
	checks: solverChecks,
}

// solverShare is how far from an exact solution 100 cells of second order may be, as
// a share of the difference that drives a run.
const solverShare = 2e-4

func solverChecks() ([]check, error) {
	var all []check
	for _, part := range []func() ([]check, error){
		solverSeries, solverRoots, solverSteak, solverHalfSpace, solverTwoLayers, solverComposite, solverNeumann, solverPlank,
	} {
		checks, err := part()
		if err != nil {
			return nil, err
		}
		all = append(all, checks...)
	}
	return all, nil
}

// The body of the series: 30 mm of half thickness or radius, 100 K of difference.
const (
	solverRadius, solverK, solverCp = 0.03, 0.5, 3500.0
	solverStart, solverAmbient      = 5.0, 105.0
	solverTime                      = solverRadius * solverRadius * 1000 * solverCp / solverK // [s] of Fo = 1
)

// solverTheta runs a body at a Biot number up to a Fourier number and gives how to
// read (T-Ta)/(Ti-Ta) off it.
func solverTheta(shape string, bi, fo float64) (theta func(p thermal.Place, fo float64) float64, r *solverReader, err error) {
	food, err := solverConstant(solverCp, solverK)
	if err != nil {
		return nil, nil, err
	}
	run, err := solverRun(solverDish(solverShapes[shape], food, solverRadius, solverStart),
		thermal.Surroundings{Fluid: solverAmbient, H: bi * solverK / solverRadius}, thermal.Elapsed(solverSeconds(fo*solverTime)), solverFine())
	r = &solverReader{run: run}
	return func(p thermal.Place, fo float64) float64 {
		return (r.at(p, fo*solverTime) - solverAmbient) / (solverStart - solverAmbient)
	}, r, err
}

func solverSeries() ([]check, error) {
	rows, err := propRead("solver-solutions/series.csv")
	if err != nil {
		return nil, err
	}
	var checks []check
	for _, r := range rows {
		bi, fo := r.number("bi"), r.number("fo")
		if bi != 1 && bi != 20 || fo != 0.05 && fo != 0.5 {
			continue
		}
		theta, reader, err := solverTheta(r["shape"], bi, fo)
		if err != nil {
			return nil, err
		}
		for column, p := range map[string]thermal.Place{"centre": thermal.Centre(), "surface": thermal.Skin()} {
			checks = append(checks, check{
				source:    "computed, series of Carslaw & Jaeger 1959",
				quantity:  fmt.Sprintf("%s, Bi %g, Fo %g: θ of the %s, -", r["shape"], bi, fo, column),
				published: r.number(column), ours: theta(p, fo), tolerance: solverShare, scale: 1,
			})
		}
		if reader.err != nil {
			return nil, reader.err
		}
	}
	solverSort(checks)
	return checks, nil
}

// solverRoots reads the first root off the rate at which the centre's θ falls, and
// its coefficient off where it does, when the other terms of the series are gone:
// θ = C1 exp(-ζ1² Fo).
func solverRoots() ([]check, error) {
	return solverDouble("solver-solutions/eigenvalues.csv", func(r propRow) ([]check, error) {
		bi := r.number("bi")
		if bi != 0.1 && bi != 1 && bi != 10 {
			return nil, nil
		}
		// By then the second term of the series is below 4e-6 of the first.
		z := r.number("zeta1")
		from := map[string]float64{"slab": 1, "cylinder": 0.75, "sphere": 0.6}[r["shape"]]
		to := from + 0.3
		theta, reader, err := solverTheta(r["shape"], bi, to)
		if err != nil {
			return nil, err
		}
		a, b := theta(thermal.Centre(), from), theta(thermal.Centre(), to)
		square := math.Log(a/b) / (to - from)
		what := fmt.Sprintf("%s, Bi %g: ", r["shape"], bi)
		const source = "Çengel, table 4-2 (four decimals)"
		return []check{
			{source: source, quantity: what + "ζ1, -", published: z, ours: math.Sqrt(square), tolerance: solverShare * z},
			{source: source, quantity: what + "C1, -", published: r.number("c1"), ours: a * math.Exp(square*from), tolerance: 1e-3 * r.number("c1")},
		}, reader.err
	})
}

// solverDouble collects the checks that each row of a file makes.
func solverDouble(file string, of func(propRow) ([]check, error)) ([]check, error) {
	rows, err := propRead(file)
	if err != nil {
		return nil, err
	}
	var all []check
	for _, r := range rows {
		checks, err := of(r)
		if err != nil {
			return nil, fmt.Errorf("%s: %v: %w", file, r, err)
		}
		all = append(all, checks...)
	}
	return all, nil
}

func solverSteak() ([]check, error) {
	r, err := solverValue("heat-transfer-examples/examples.csv", "example", "steak cooled in air")
	if err != nil {
		return nil, err
	}
	const k, alpha = 0.45, 0.91e-7
	food, err := solverConstant(k/alpha/1000, k)
	if err != nil {
		return nil, err
	}
	run, err := solverRun(solverDish(geometry.HalfSlab{}, food, 0.01, 25), thermal.Surroundings{Fluid: -11, H: 9},
		thermal.Below(thermal.Skin(), 2), solverFine())
	if err != nil {
		return nil, err
	}
	return []check{{
		source: "Çengel, problem 11-44", quantity: "steak of 20 mm in air of -11 °C: surface from 25 to 2 °C, min",
		published: r.number("printed"), ours: run.Duration().Minutes(), tolerance: r.number("rounding") + solverShare*r.number("printed"),
	}}, nil
}

func solverHalfSpace() ([]check, error) {
	r, err := solverValue("solver-solutions/single-values.csv", "problem", "semi-infinite with convection")
	if err != nil {
		return nil, err
	}
	const k, alpha, start, ambient, thickness = 0.5, 1.3e-7, 4.0, 104.0, 0.12
	food, err := solverConstant(k/alpha/1000, k)
	if err != nil {
		return nil, err
	}
	s := solverFine()
	s.Cells = 200
	run, err := solverRun(solverDish(geometry.HalfSlab{}, food, thickness, start), thermal.Surroundings{Fluid: ambient, H: 50},
		thermal.Elapsed(solverSeconds(600)), s)
	if err != nil {
		return nil, err
	}
	reader := solverReader{run: run}
	return []check{{
		source: "computed, Carslaw & Jaeger 1959, section 2.7", quantity: "half-space with convection, 10 mm deep after 600 s: (T-Ti)/(Ta-Ti), -",
		published: r.number("value"), ours: (reader.at(thermal.Depth(0.01), 600) - start) / (ambient - start), tolerance: solverShare, scale: 1,
	}}, reader.err
}

func solverTwoLayers() ([]check, error) {
	core, err := solverConstant(3600, 0.48)
	if err != nil {
		return nil, err
	}
	shell, err := solverConstant(2000, 0.30)
	if err != nil {
		return nil, err
	}
	s := solverFine()
	s.Cells = 200
	d := thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(5), Layers: []thermal.Layer{
		{Name: "core", Food: core, Thickness: 0.020}, {Name: "shell", Food: shell, Thickness: 0.006}}}
	run, err := solverRun(d, thermal.Surroundings{Fluid: 180, H: 25}, thermal.Elapsed(solverSeconds(3600)), s)
	if err != nil {
		return nil, err
	}
	reader := solverReader{run: run}
	places := []struct {
		column string
		place  thermal.Place
	}{{"centre", thermal.Centre()}, {"interface", thermal.Within("core", 1)}, {"surface", thermal.Skin()}}
	checks, err := solverDouble("solver-solutions/two-layer-slab.csv", func(r propRow) ([]check, error) {
		var out []check
		for _, p := range places {
			out = append(out, check{
				source: "computed, series of 80 terms for two layers", quantity: fmt.Sprintf("two-layer slab, %s after %s s, °C", p.column, r["time"]),
				published: r.number(p.column), ours: reader.at(p.place, r.number("time")), tolerance: 175 * solverShare, scale: 175,
			})
		}
		return out, nil
	})
	if reader.err != nil {
		return nil, reader.err
	}
	return checks, err
}

// solverComposite runs to the steady state. What is held at 60 °C is a core whose
// heat capacity takes up the heat of the run within 1e-6 K.
func solverComposite() ([]check, error) {
	foods := make([]materials.Food, 3)
	for i, p := range [][2]float64{{1e13, 1e12}, {2000, 0.45}, {2000, 0.12}} {
		var err error
		if foods[i], err = solverConstant(p[0], p[1]); err != nil {
			return nil, err
		}
	}
	d := thermal.Dish{Shape: geometry.Cylinder{}, Start: thermal.Uniform(60), Layers: []thermal.Layer{
		{Name: "core", Food: foods[0], Thickness: 0.030, Cells: 3}, {Name: "inner", Food: foods[1], Thickness: 0.005}, {Name: "outer", Food: foods[2], Thickness: 0.005}}}
	const end = 5 * 3600.0
	run, err := solverRun(d, thermal.Surroundings{Fluid: 200, H: 25}, thermal.Elapsed(solverSeconds(end)), solverFine())
	if err != nil {
		return nil, err
	}
	reader := solverReader{run: run}
	skin := reader.at(thermal.Skin(), end)
	ours := map[string]struct{ value, scale float64 }{
		"heat flow":              {2 * math.Pi * 0.040 * 25 * (200 - skin), 0},
		"temperature at 0.035 m": {reader.at(thermal.Within("inner", 1), end), 140},
		"temperature at 0.040 m": {skin, 140},
	}
	checks, err := propEach("solver-solutions/composite-cylinder.csv", func(r propRow) (check, bool, error) {
		o, wanted := ours[r["quantity"]]
		return check{
			source: "computed, resistances in series", quantity: fmt.Sprintf("steady composite cylinder, %s, %s", r["quantity"], r["unit"]),
			published: r.number("value"), ours: o.value, tolerance: 1e-3, scale: o.scale,
		}, wanted, nil
	})
	if reader.err != nil {
		return nil, reader.err
	}
	return checks, err
}

// solverNeumann freezes water from one side. The surface is held by the largest
// coefficient there is, 1e5 W/(m² K), which acts as 22 µm of ice.
func solverNeumann() ([]check, error) {
	const width, thickness, hour, cells = 0.04, 0.20, 3600.0, 200
	food, err := solverIce(width)
	if err != nil {
		return nil, err
	}
	return solverDouble("solver-solutions/neumann.csv", func(r propRow) ([]check, error) {
		surface, start := r.number("surface"), r.number("start")
		if start == 0 {
			start = width / 2 // all liquid, at the end of its melting
		}
		run, err := solverRun(solverDish(geometry.HalfSlab{}, food, thickness, start), thermal.Surroundings{Fluid: surface, H: 1e5},
			thermal.Elapsed(solverSeconds(hour)), &thermal.Settings{Cells: cells, Tolerance: 0.02, Grading: geometry.Uniform})
		if err != nil {
			return nil, err
		}
		const source = "computed, Neumann in Carslaw & Jaeger 1959, ch. XI"
		what := fmt.Sprintf("water at %s °C, surface at %s °C, after 1 h: ", r["start"], r["surface"])
		front := r.number("front_1h")
		out := []check{{source: source, quantity: what + "front, mm", published: front,
			ours: 1e3 / 2 * solverFront(run.End(), width), tolerance: 5e-3 * front}} // a half slab counts both halves
		reader := solverReader{run: run}
		for _, depth := range []float64{10, 40} {
			published := r.number(fmt.Sprintf("t_%gmm", depth))
			if depth > front && r.number("start") == 0 {
				continue // at its melting point throughout
			}
			out = append(out, check{source: source, quantity: what + fmt.Sprintf("%g mm deep, °C", depth), published: published,
				ours: reader.at(thermal.Depth(depth/1e3), hour), tolerance: math.Abs(surface) * thickness * 1e3 / cells / 2 / front,
				scale: r.number("start") - surface})
		}
		return out, reader.err
	})
}

// solverPlank freezes foods of 1 J/(kg K), 0.02 K about their freezing point, from
// just above it: the case that Plank's (1913) equation is exact for.
func solverPlank() ([]check, error) {
	examples := map[string]struct {
		shape                                        geometry.Shape
		half, density, latent, k, h, freezes, medium float64
		contact                                      float64
	}{
		"sphere frozen":                  {geometry.Sphere{}, 0.035, 1000, 250e3, 1.2, 50, -1.25, -40, 0},
		"slab between plates":            {geometry.HalfSlab{}, 0.05, 1090, 256e3, 1.6, 600, -2, -34, 0},
		"slab between plates, cardboard": {geometry.HalfSlab{}, 0.05, 1090, 256e3, 1.6, 600, -2, -34, 0.001 / 0.06},
	}
	return propEach("heat-transfer-examples/examples.csv", func(r propRow) (check, bool, error) {
		e, wanted := examples[r["example"]]
		if !wanted {
			return check{}, false, nil
		}
		const width = 0.02
		food, err := solverFreezing(e.density, e.k, 1, e.latent, e.freezes, width)
		if err != nil {
			return check{}, false, err
		}
		d := solverDish(e.shape, food, e.half, e.freezes+0.499*width)
		d.Layers[0].Contact = e.contact
		run, err := solverRun(d, thermal.Surroundings{Fluid: e.medium, H: e.h}, thermal.Below(thermal.Centre(), e.freezes-0.5),
			&thermal.Settings{Cells: 100, MaxSteps: 50000})
		if err != nil {
			return check{}, false, err
		}
		printed := r.number("printed")
		return check{
			source: propSource("Plank 1913 in a textbook", r["status"]), quantity: r["example"] + ", " + r["unit"],
			published: printed, ours: run.Duration().Hours(), tolerance: 5e-3*printed + r.number("rounding"),
		}, true, nil
	})
}

func TestSolver(t *testing.T) { solverTest(t, solverGroup) }

// solverTest runs the checks of a group and logs them.
func solverTest(t *testing.T, g group) {
	t.Helper()
	checks, err := g.checks()
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, c := range checks {
		t.Log(c.row())
		assert.False(t, seen[c.quantity], "two checks are called %q", c.quantity)
		seen[c.quantity] = true
		assert.Equal(t, c.known == "", c.within(), "%s, %s: published %g, ours %g, tolerance %g, known limit %q",
			c.source, c.quantity, c.published, c.ours, c.tolerance, c.known)
	}
	t.Log(summary(g.name, checks))
}
