package validation

import (
	"fmt"
	"math"
	"testing"

	"example.com/thawfront/geometry"
	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/convection"
)

// aroundGroup is what meets a dish and its second dimension.
var aroundGroup = group{
	name: "surfaces and second dimension",
	reason: "Coefficients: 1 % between the stated equations with other properties of air, and for the rounding of textbooks. " +
		"Product solutions: 0.1 % of the difference that drives the run, at 60 cells from the middle either way.",
	checks: aroundChecks,
}

func TestAround(t *testing.T) { solverTest(t, aroundGroup) }

func aroundChecks() ([]check, error) {
	checks, err := propEach("convection/textbook.csv", func(r propRow) (check, bool, error) {
		f := convection.Fluid{Conductivity: r.number("conductivity"), Viscosity: r.number("viscosity"), Diffusivity: r.number("diffusivity"), Expansion: r.number("expansion")}
		c, err := correlation(f, r["case"], r.number("length_m"), r.number("driven_by"))
		printed := r.number("printed")
		return check{source: "Incropera & DeWitt, from memory", quantity: r["case"] + ", h [W/(m² K)]", published: printed, ours: c.H, tolerance: 0.01 * printed}, true, err
	})
	if err != nil {
		return nil, err
	}
	air, err := propEach("convection/air.csv", func(r propRow) (check, bool, error) {
		around, surface := r.number("air_C"), r.number("surface_C")
		f, err := convection.Air((around+surface)/2, phasechange.StandardPressure)
		if err != nil {
			return check{}, false, err
		}
		driven, words := surface-around, fmt.Sprintf("%s, %g m, air %g °C, surface %g °C", r["case"], r.number("length_m"), around, surface)
		if v := r["speed"]; v != "" {
			driven, words = r.number("speed"), words+", "+v+" m/s"
		}
		c, err := correlation(f, r["case"], r.number("length_m"), driven)
		h := r.number("h")
		return check{source: "stated equations, other properties of air", quantity: words + ", h [W/(m² K)]", published: h, ours: c.H, tolerance: 0.01 * h}, true, err
	})
	if err != nil {
		return nil, err
	}
	checks = append(checks, air...)
	product, err := productCheck()
	return append(checks, product...), err
}

func correlation(f convection.Fluid, name string, length, driven float64) (convection.Coefficient, error) {
	switch name {
	case "free cylinder":
		return f.FreeCylinder(length, driven)
	case "free vertical":
		return f.FreeVertical(length, driven)
	case "free rising":
		return f.FreeRising(length, driven)
	case "free trapped":
		return f.FreeTrapped(length, driven)
	case "cross flow":
		return f.CrossFlow(length, driven)
	case "along plate":
		return f.AlongPlate(length, driven)
	}
	return convection.Coefficient{}, fmt.Errorf("unknown correlation %q", name)
}

// productCheck is a short cylinder in an oven: the product of the series of the cylinder
// and of the slab, summed by a separate program.
func productCheck() ([]check, error) {
	food, err := solverConstant(3500, 0.5)
	if err != nil {
		return nil, err
	}
	const radius, half, start, oven = 0.04, 0.075, 5.0, 180.0
	density := food.Density()
	after := 3600 * density / 1050 // the same Fourier number
	run, err := solverRun(thermal.Dish{Shape: geometry.FiniteCylinder{Length: 2 * half, Half: true}, Start: thermal.Uniform(start),
		Layers: []thermal.Layer{{Name: "body", Food: food, Thickness: radius}}},
		thermal.Surroundings{Fluid: oven, H: 20}, thermal.Elapsed(solverSeconds(after)), &thermal.Settings{Cells: 3600, CellRatio: 1, Tolerance: 1e-3})
	if err != nil {
		return nil, err
	}
	centre, err := run.Temperature(thermal.Centre(), run.Duration())
	if err == nil && math.IsNaN(centre) {
		err = fmt.Errorf("no temperature")
	}
	return []check{{source: "series of cylinder and slab (product rule)", quantity: "finite cylinder of 80 x 150 mm, Bi 1.6 and 3.0, centre after an hour [°C]",
		published: 66.658, ours: centre, tolerance: 0.001 * (oven - start), scale: oven - start}}, err
}
