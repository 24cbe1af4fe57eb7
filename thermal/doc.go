// Package thermal computes what happens inside a layered dish while it is
// chilled, frozen, thawed, baked, rested and held.
//
// A [Dish] (shape, layers, start) and a [Schedule] (stages of media, each until
// a condition) go into [Simulate]; a [Run] comes out:
//
//	run, err := thermal.Simulate(ctx, dish, schedule, nil)
//
// A run can be asked for the state at any time, its events, its extremes, its
// energy and water accounts, and can start the next run with [From].
//
// # Model
//
// Heat is conducted between cells and crosses the surface by convection, contact
// and radiation; the surface temperature is solved for. The energy of each cell
// is the conserved unknown, and temperature follows from it through the freezing
// curve, melting fat and boiling water of its food (package phasechange). Water
// that boils leaves the dish as steam for good, with the heat it carries: a
// crust that has dried stays dry when it cools. Steam leaves without warming what it
// passes through.
//
// What stands still in that: water that does not boil. Places in the dish count on
// the dish as it was before it rose or dried; it does not shrink.
//
// # Moving water
//
// With Settings.Moisture water is the second conserved quantity of every cell.
//
//   - Inside, liquid and bound water diffuse by water content, vapour by its pressure,
//     and from one food to another by water activity, which is continuous there; each
//     carries its enthalpy. How readily, a food's Transport says, or the usual of its
//     structure. In the pores of a crumb vapour also conducts heat. A cell whose
//     vapour pressure is above the surroundings' lets steam go.
//   - At the surface water evaporates, condenses, sublimes or freezes on, by the
//     Lewis relation with Stefan's flow, into air of the Surroundings' Humidity. The
//     media of this package have one; a Surroundings without lets none pass.
//   - Muscle lets juice go above what its Holding keeps at a temperature, at a rate, so
//     that what has been lost once is not lost again. Half of an outermost layer's juice
//     comes up to its surface; otherwise layers beside it with room to Soak take it up,
//     and what is left drips.
//   - A Film on a layer holds vapour and steam back, a Brush puts a glaze on. Layers
//     may Rise, with moving water or without.
//
// State.Activity, State.Crust, Run.Juices and Run.Water read it off. What a step
// lets go of juice comes to its place over the next step, and a dish rises after the
// step that made it; all else is solved as one system.
//
// # Two dimensions
//
// A geometry.FiniteCylinder is a round dish with its two ends, a RollSection one that lies
// on something, a Bar has a rectangular section, a Tray its rim. [At] names a point of the
// section by two coordinates: x from the axis or the vertical middle plane, and the height
// y, above mid-length, axis or centre, of a Tray above its underside. Places of one
// coordinate ([Centre], [Skin], [Depth], [Within]) are on the middle line, along which a
// probe goes in: from the axis to the side, of all but the FiniteCylinder straight up.
// [SkinOf] is a part of the surface, and Stage.Patches gives it a medium of its own.
//
// One dimension is enough for the middle of what is long and meets the same all round;
// [EndError] and [ContactError] say about what it leaves out, [Flatten] computes it. The
// roll of examples/ends is 9 cm thick and baked from frozen. To the middle of 10 cm of
// meat an endless one is 20 % late, to that of 20 cm 1 %, and of 40 cm not at all. But
// within 8 cm of an end, nearly its thickness, its slices are hotter by more than 2 K, or
// greyer, whatever the length. Take two dimensions if the ends matter, the dish is less
// than three times as long as thick, or something heats it from one side.
//
// Settings.Cells counts all cells of the section, by default 1600: some 40 either way. A
// bake then ends within about half a percent of the time of fine cells. Freezing hard to
// a centre well below its freezing point takes 1.7 % too long, 1 % with twice the cells,
// 0.5 % with four times as many. Twice the cells cost three to six times the time; a Half
// of a FiniteCylinder, if both ends are alike, puts all cells into one half. A bake takes
// some ten to thirty times as long as in one dimension, and about ten times more where
// water moves. Layers do not Rise, and cut faces of a Bar or a Tray are insulated.
//
// # Advice
//
// The heat transfer coefficient of the medium is the largest unknown of most
// runs: try it 30 % higher and lower before trusting a time to the minute. Next
// come the radius (time goes with its square) and the starting temperature.
//
// Settings.Tolerance is the error allowed to one step, a mean over the cells; twice
// that in two dimensions with water at rest, where fewer of them show it.
// With the default the temperatures of the reference case stay within some
// hundredths of a kelvin of the exact solution on the same mesh, but for the
// moments when a melting front passes the place looked at, when it may be one or
// two tenths. The default mesh of 120 cells serves a roll of four layers within a
// few seconds of 2 hours of the time of fine meshes: double Settings.Cells to see
// what it does to yours.
//
// Distrust a run whose audit is not near rounding (Run.Energy.Relative), one
// with films much thinner than a tenth of a millimetre next to thick layers at
// few cells, and anything about a crust that softens or about juice without
// Settings.Moisture. With it, mind that the coefficients of water are known far
// worse than those of heat: DEVELOPERS.md says which are measured, fitted or guessed.
//
// # Numerics
//
// Finite volumes in space, TR-BDF2 in time with Newton's method in the cell
// energies and, where it moves, water, a PI step controller, steps that land exactly on stage changes and
// on the conditions that end stages. The result is the same to the last bit for
// the same input on one machine and build, whatever GOMAXPROCS.
//
// # Caution
//
// A computed temperature is no proof of safety. Local food codes and licensed
// practice decide; a temperature measured at the coldest place counts. Hot ovens,
// plates and oil burn, and wet or frozen food in hot oil makes it boil over.
package thermal
