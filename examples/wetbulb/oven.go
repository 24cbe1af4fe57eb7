package main

import (
	"context"
	"math"
	"time"

	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
)

// dry is the water activity [-] at which a surface counts as dry here.
const dry = 0.9

// air is what the oven is filled with.
type air struct {
	name  string
	ratio float64 // [kg/kg of dry air] of vapour
	steam bool    // no air at all
	foil  bool    // no air reaches the block; steam that boils off still finds its way out
}

func (a air) humidity() thermal.Humidity {
	switch {
	case a.steam:
		return thermal.Steam()
	case a.foil:
		return thermal.Sealed()
	}
	return thermal.HumidityRatio(a.ratio)
}

// wetBulb is that of the air at t [°C]: in steam the boiling point, in foil none.
func (a air) wetBulb(t float64) (float64, error) {
	switch {
	case a.steam:
		return phasechange.SaturationTemperature(phasechange.StandardPressure), nil
	case a.foil:
		return math.NaN(), nil
	}
	return phasechange.HumidAir{T: t, W: a.ratio, Pressure: phasechange.StandardPressure}.WetBulb()
}

// row is what one oven does to the block.
type row struct {
	air
	wetBulb         float64       // [°C] NaN if there is none
	surface, centre float64       // [°C] while the surface is wet
	rate            float64       // [kg/(m² s)] at which water goes then
	took            time.Duration // until the surface was dry, or the block was taken out
	dried           bool
	lost, dew       float64 // [kg/m²] evaporated and boiled off until then; condensed before
}

// cook leaves the block in the oven until its surface is dry.
func (a air) cook(ctx context.Context, dish thermal.Dish, oven thermal.Surroundings, longest time.Duration) (row, error) {
	isDry := thermal.When("the surface is dry", func(s *thermal.State) float64 {
		activity, _ := s.Activity(thermal.Skin()) // every dish has a surface
		return dry - activity
	})
	wet, err := a.wetBulb(oven.Fluid)
	if err != nil {
		return row{}, err
	}
	oven.Humidity = a.humidity()
	run, err := thermal.Simulate(ctx, dish, thermal.Schedule{{Medium: oven, Until: thermal.Any(isDry, thermal.Elapsed(longest))}}, &thermal.Settings{Moisture: true})
	if err != nil {
		return row{}, err
	}
	const area = 2.0 // [m²] both faces of a half slab
	r := row{air: a, wetBulb: wet, took: run.Duration(), dried: run.Duration() < longest, lost: (run.Water.Evaporated + run.Water.Steam) / area, dew: run.Water.Condensed / area}
	// when half of the loss has gone, and over a twentieth of the time around it
	at, span := run.Duration()/2, run.Duration()/40
	half := (run.At(0).Mass() + run.End().Mass()) / 2
	for s := range run.Each(span) {
		if run.Lost() > 0 && s.Mass() < half {
			at = s.Time()
			break
		}
	}
	at = min(at, run.Duration()-span)
	s := run.At(at)
	r.surface, _ = s.Temperature(thermal.Skin())
	r.centre, _ = s.Temperature(thermal.Centre())
	r.rate = (run.At(at-span).Mass() - run.At(at+span).Mass()) / area / (2 * span).Seconds()
	return r, nil
}
