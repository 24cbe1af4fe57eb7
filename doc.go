// Package thawfront is the root of a library that computes what happens, minute
// by minute and millimetre by millimetre, inside a layered dish while it is
// chilled, frozen, thawed, baked, rested and held.
//
// This package holds documentation only. The parts, each of which imports only
// parts that stand above it in the list:
//
//   - materials: what a food is made of, and the conductivity, density and heat
//     capacity of any mixture.
//   - geometry: a shape and its layers turned into cells, faces, areas and
//     volumes. It knows nothing of foods and imports nothing of the module.
//   - phasechange: ice, fat crystals and steam; energy to temperature and back.
//     It imports materials.
//   - thermal: a dish and a schedule turned into a run: media, solver, events
//     and results. It imports the three above, and it is where to start.
//   - packages below thermal: what is built on runs, such as quality, safety and
//     planning.
//
// The examples folder has runnable programs, one to a folder, and testdata has
// published check values, one file to a source.
//
// # Units
//
// Everything is a plain float64 in SI units, save that temperatures are in
// degrees Celsius. Durations are [time.Duration]. The comment of every exported
// quantity names its unit in square brackets, such as [W/(m K)].
//
// # Caution
//
// What the library says of safety is a calculation from the data it was given.
// It replaces neither a thermometer in the dish nor the local food code and
// licensed practice, which decide.
//
// # Module path
//
// The host example.com in the module path is a placeholder until the project
// has a home; no go get will find it there. To use the library meanwhile, clone
// it and point a replace directive at the clone.
package thawfront
