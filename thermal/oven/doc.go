// Package oven holds ovens, cold cabinets and baths around a dish, which have a state of
// their own: they warm up, switch their heater on and off, fall when the door opens,
// coast when they are turned down, and are pulled down by what is put in.
//
//	o := oven.DomesticFan()
//	tray := &oven.Tray{Solid: oven.Aluminium, Thickness: 0.001, Area: 0.12, Covered: 0.03, Contact: 0.005, Start: 20}
//	o.Tray = tray
//	hot, gentle := o.At(220), o.At(85)
//	schedule := thermal.Schedule{
//		{Name: "hot", Medium: hot, Patches: map[geometry.Patch]thermal.Medium{geometry.Underside: hot.OnTray()}, ...},
//		{Name: "gentle", Medium: gentle, ...}, // goes on from the temperatures the oven has
//	}
//	run, err := thermal.Simulate(ctx, dish, schedule, nil)
//	air := o.Read(run, 30*time.Minute).Air
//
// A stage that waits for the oven ends with Until: thermal.FluidAbove(geometry.Top, 200).
//
// # Model
//
// An oven is a heater, air, walls and, if it has one, a tray, each of one temperature but
// for a thick tray. The heater gives its heat to the air and, as a radiator, to the
// walls; air and walls exchange heat; the walls lose it to the kitchen; the vent
// lets kitchen air in. The dish takes heat from the air by convection and from the walls by
// radiation, and gives vapour to the air, which the vent carries away. In an open door
// hot air runs out above and cold air in below,
//
//	V = (C/3) W H^(3/2) √(g (T_air - T_room)/T_room)   [m³/s], C = 0.6
//
// (Brown & Solvason 1962, International Journal of Heat and Mass Transfer 5), and the
// walls radiate into the kitchen.
//
// A cold cabinet is the same with a coil that takes heat out in place of the heater. What
// is moister than the coil's own vapour pressure settles there as frost and dries the air.
// A Bath is a stirred liquid of one temperature; water evaporates from its open surface,
// boils, and freezes in part where what is put in is so cold.
//
// A run's oven goes on into the next run by After. An oven can also be had as a measured
// Log, and Fit finds the coefficient and the emissivity of a real oven from the log of a
// test body.
//
// What is left out: differences of temperature within the air and between the walls,
// the pressure of the fan, grease and soot; that a compressor gives less the colder its
// coil is, and defrosting. Readings between the solver's steps are on straight lines, so
// that a relay may switch unseen: Settings.MaxStep makes steps short. Vapour counts as
// gone with its heat as soon as it is in the air; what it does to the air's humidity is
// kept.
//
// # Caution
//
// Ovens, trays and hot oil burn. A computed temperature is no proof that food is safe:
// local food codes and licensed practice decide.
package oven
