package thermal

import (
	"context"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"time"

	"example.com/thawfront/geometry"
)

// Flattened is what leaving a dimension out does to the time a schedule takes.
type Flattened struct {
	One *Run // in one dimension, see geometry.Flatten
	Two *Run // in two
	// Late is how much later the last stage of the run in one dimension ends, as a share of
	// the time in two [-]; below zero if it is early.
	Late float64
	// Stages are the same of each stage's end, since the start of the run [-].
	Stages []float64
}

// Flatten takes a dish of a shape of two dimensions through a schedule, and the same
// in one, and compares the times. Media of patches that one dimension does not have are
// left out; what a Bar or a Tray meets at its sides, and a roll where it lies, is then
// what it meets around. Faults are those of Simulate; a stage that meets its limit in one
// of the two is one. What was computed up to there comes with them.
//
// EndError and ContactError tell beforehand about how much to expect.
func Flatten(ctx context.Context, d Dish, s Schedule, settings *Settings) (*Flattened, error) {
	flat := d
	flat.Shape = geometry.Flatten(d.Shape)
	if reflect.TypeOf(flat.Shape) == reflect.TypeOf(d.Shape) {
		return nil, &InputError{Place: "dish", Field: "shape", Value: d.Shape, Want: "a shape of two dimensions"}
	}
	mesh, err := flat.Shape.Mesh(geometryLayers(d.Layers), geometry.Resolution{})
	if err != nil {
		return nil, &InputError{Place: "dish in one dimension", Field: "shape", Value: flat.Shape, Want: "one that can be", Cause: err}
	}
	known := map[geometry.Patch]bool{}
	for _, f := range mesh.Surfaces {
		known[f.Patch] = true
	}
	fewer := slices.Clone(s)
	for i := range fewer {
		fewer[i].Patches = maps.Clone(fewer[i].Patches)
		maps.DeleteFunc(fewer[i].Patches, func(p geometry.Patch, _ Medium) bool { return !known[p] })
	}
	var out Flattened
	if out.One, err = Simulate(ctx, flat, fewer, settings); out.One == nil {
		return nil, fmt.Errorf("in one dimension: %w", err)
	} else if err != nil {
		return &out, fmt.Errorf("in one dimension: %w", err)
	}
	if out.Two, err = Simulate(ctx, d, s, settings); err != nil {
		return &out, fmt.Errorf("in two dimensions: %w", err)
	}
	late := func(one, two time.Duration) float64 {
		if one == two { // at once, perhaps
			return 0
		}
		return seconds(one)/seconds(two) - 1
	}
	for i := range out.Two.Stages {
		out.Stages = append(out.Stages, late(out.One.Stages[i].End, out.Two.Stages[i].End))
	}
	out.Late = late(out.One.Duration(), out.Two.Duration())
	return &out, nil
}

func geometryLayers(layers []Layer) (out []geometry.Layer) {
	for _, l := range layers {
		out = append(out, geometry.Layer{Name: l.Name, Thickness: l.Thickness, Contact: l.Contact, Cells: l.Cells})
	}
	return out
}

// EndError is about the most by which the middle of a round dish is later in one dimension
// than with its two ends, as a share [-] of its time, for a ratio of length to diameter [-]
// and a Biot number h R/k of the side [-], both above 0: the ends as naked as the side, far
// from the start. It follows from the slowest terms of the series solutions of the cylinder
// and the slab, whose rates add up (Newman 1936; Incropera & DeWitt, chapter 5):
//
//	(ζs/ζc)² (D/L)²,   ζc J1(ζc)/J0(ζc) = Bi,  ζs tan ζs = Bi L/D
//
// which is 0.43 (D/L)² for a surface that takes on the medium's temperature at once,
// and 0.5 D/L where the film is what limits. The middle learns of its ends late, so that
// the error of a stage is less: potato of 6 cm that is warmed to nine tenths of the way in
// an oven of 20 W/(m² K) is 10 % late at twice its diameter (18 % by the rule), 2.5 % at
// three times and 0.1 % at five times; in a bath 2.5, 0.1 and 0 %. What lies within a
// radius to a diameter of an end is another matter: there one dimension is wrong whatever the length.
func EndError(lengthToDiameter, biot float64) (float64, error) {
	for _, x := range []struct {
		name  string
		value float64
	}{{"length to diameter", lengthToDiameter}, {"Biot number", biot}} {
		if !inRange(x.value, 1e-3, 1e4) {
			return 0, &InputError{Place: "end error", Field: x.name, Value: x.value, Want: "1e-3 to 1e4"}
		}
	}
	c := firstRoot(2.404825557695773, func(z float64) float64 { return z*math.J1(z) - biot*math.J0(z) })
	s := firstRoot(math.Pi/2, func(z float64) float64 { return z*math.Sin(z) - biot*lengthToDiameter*math.Cos(z) })
	r := s / c / lengthToDiameter
	return r * r, nil
}

// firstRoot is the root of a function between 0, where it is below zero, and high.
func firstRoot(high float64, f func(float64) float64) float64 {
	low := 0.0
	for range 60 {
		if m := (low + high) / 2; f(m) < 0 {
			low = m
		} else {
			high = m
		}
	}
	return (low + high) / 2
}

// ContactError is about the most by which the middle of a roll is early in one dimension, as
// a share [-] of its time, if it lies on something that gives it no heat, for a width of the
// contact over the diameter [-], 0 to 1: the share of the surface that is missing, over the
// share that is left. A contact that gives heat as the rest does leaves no error, one that
// gives more makes the middle late by as much at most. At high Biot numbers the middle
// notices about half of it.
func ContactError(widthToDiameter float64) (float64, error) {
	if !inRange(widthToDiameter, 0, 1) {
		return 0, &InputError{Place: "contact error", Field: "width to diameter", Value: widthToDiameter, Want: "0 to 1"}
	}
	covered := math.Asin(widthToDiameter) / math.Pi
	return covered / (1 - covered), nil
}
