package validation

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// solverShapes are the shapes by the names they have in the files.
var solverShapes = map[string]geometry.Shape{"slab": geometry.HalfSlab{}, "cylinder": geometry.Cylinder{}, "sphere": geometry.Sphere{}}

// solverDimensions are how many dimensions heat leaves a shape in.
var solverDimensions = map[string]float64{"slab": 1, "cylinder": 2, "sphere": 3}

// solverConstant is a material of density 1000 kg/m³ whose specific heat [J/(kg K)]
// and conductivity [W/(m K)] never change.
func solverConstant(cp, k float64) (materials.Food, error) {
	return materials.FromEnthalpy("constant", 1000, []materials.Point{
		{T: -120, Enthalpy: -120 * cp, Conductivity: k}, {T: 450, Enthalpy: 450 * cp, Conductivity: k}})
}

// solverDish is a dish of one layer [m] at t [°C].
func solverDish(shape geometry.Shape, food materials.Food, thickness, t float64) thermal.Dish {
	return thermal.Dish{Shape: shape, Start: thermal.Uniform(t),
		Layers: []thermal.Layer{{Name: "all", Food: food, Thickness: thickness}}}
}

// solverFine is for exact solutions: the error of a step must not hide that of the
// mesh.
func solverFine() *thermal.Settings { return &thermal.Settings{Cells: 100, Tolerance: 0.002} }

// solverRun runs a dish in one medium until a condition, for at most 2000 h.
func solverRun(d thermal.Dish, m thermal.Medium, until thermal.Condition, s *thermal.Settings) (*thermal.Run, error) {
	return thermal.Simulate(context.Background(), d, thermal.Schedule{{Medium: m, Until: until, Limit: thermal.Hours(2000)}}, s)
}

// solverSeconds gives t [s] as a Duration, fractions included.
func solverSeconds(t float64) time.Duration { return thermal.Minutes(t / 60) }

// solverReader reads temperatures of a run and keeps the first error.
type solverReader struct {
	run *thermal.Run
	err error
}

// at is the temperature [°C] of a place after t [s].
func (r *solverReader) at(p thermal.Place, t float64) float64 {
	v, err := r.run.Temperature(p, solverSeconds(t))
	if err != nil && r.err == nil {
		r.err = err
	}
	return v
}

// solverFreezing is a food that freezes over width [K] about t [°C], with the same
// properties on both sides but for its heat of fusion [J/kg].
func solverFreezing(density, k, cp, latent, t, width float64) (materials.Food, error) {
	lo, hi := t-width/2, t+width/2
	return materials.FromEnthalpy("freezing", density, []materials.Point{
		{T: -110, Enthalpy: cp * (-110 - lo), Conductivity: k}, {T: lo, Enthalpy: 0, Conductivity: k},
		{T: hi, Enthalpy: latent, Conductivity: k}, {T: 200, Enthalpy: latent + cp*(200-hi), Conductivity: k}})
}

// Ice and water of testdata/solver-solutions/neumann.csv, in SI.
const (
	solverIceK, solverIceC     = 2.22, 2050.0
	solverWaterK, solverWaterC = 0.561, 4217.0
	solverIceDensity           = 917.0
	solverIceLatent            = 333.6e3
)

// solverIce freezes over width [K] about 0 °C. While it does it conducts as ice,
// the phase that grows, but for the last ten-thousandth: the limit of a narrow
// range does not depend on it, and a cell that a front crosses is on the average
// half full of ice next to the side the heat leaves by.
func solverIce(width float64) (materials.Food, error) {
	w, sliver := width/2, width*1e-4
	return materials.FromEnthalpy("ice and water", solverIceDensity, []materials.Point{
		{T: -110, Enthalpy: solverIceC * (w - 110), Conductivity: solverIceK},
		{T: -w, Enthalpy: 0, Conductivity: solverIceK},
		{T: w - sliver, Enthalpy: solverIceLatent * (1 - 1e-4), Conductivity: solverIceK},
		{T: w, Enthalpy: solverIceLatent, Conductivity: solverWaterK},
		{T: 200, Enthalpy: solverIceLatent + solverWaterC*(200-w), Conductivity: solverWaterK},
	})
}

// solverFront is how far [m] a slab of 1 m² of solverIce has frozen, by the share of
// every cell that has.
func solverFront(s *thermal.State, width float64) float64 {
	x := 0.0
	for _, c := range s.Cells() {
		x += c.Volume * math.Max(0, math.Min(1, 0.5-c.Temperature/width))
	}
	return x
}

// solverValue finds the one row of a file whose column holds a text.
func solverValue(file, column, text string) (propRow, error) {
	rows, err := propRead(file)
	if err != nil {
		return nil, err
	}
	for _, r := range rows {
		if r[column] == text {
			return r, nil
		}
	}
	return nil, fmt.Errorf("%s: no %q in column %s", file, text, column)
}

// solverSort puts checks in the order of their quantities: those made from a map
// come in any.
func solverSort(checks []check) {
	slices.SortStableFunc(checks, func(a, b check) int { return strings.Compare(a.quantity, b.quantity) })
}
