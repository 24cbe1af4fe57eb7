// Package kinetics follows along a run what temperature and time do to food:
// proteins that set, starch that gelatinises, crust that takes colour, germs that
// die or grow.
//
// A [Quantity] is a name and a [Law]: what a rate constant, a [Rate] of the
// temperature, does to a value. [Follow] integrates any number of quantities over
// every cell of a run, along the solver's own steps:
//
//	germs := kinetics.Quantity{Name: "germs", Law: kinetics.LogReduction{
//		Rate: kinetics.Bigelow{D: 2 * time.Minute, Z: 6, Ref: 60}}}
//	result, err := kinetics.Follow(run, nil, germs, kinetics.Myosin())
//	least, err := result.At("germs", thermal.ColdestOf("meat"))
//
// What has happened stays: the result of one run is handed to Follow for the next
// run of a chain.
//
// # Method
//
// All laws but [OwnLaw] are closed forms of one integral, that of the rate
// constant over time, so they are exact at constant temperature. Within a step of
// the solver temperature is the parabola through its start, middle and end. Each
// cell gathers the moments of its temperature over as many steps as it moves
// little in, a kelvin or so, and the integral of every rate constant follows from
// them: to 3e-6 where its logarithm is a straight line (Arrhenius, Bigelow), to 1e-4
// otherwise. A [WaterRate], which asks for the water activity of each place too, is
// integrated step by step, with the water activity of the step's middle. The solver's
// tolerance decides about the error.
//
// Temperatures are those of the cells. The dish's surface counts as its outermost
// cell, 0.14 mm thick in a roll of 45 mm radius on the default mesh: under fierce
// heat its middle is up to two kelvins cooler than the surface.
//
// # Caution
//
// Models are no proof. A rate constant was measured in one food, on one strain,
// under one history, mostly in a narrow range of temperature; beyond it the
// formula guesses. Log reductions computed here do not make food safe: local food
// codes and licensed practice decide, and a temperature measured at the coldest
// place counts.
package kinetics
