// Package quality tells from a run what a cook and a food scientist ask of a dish:
// how done it is and how much of it, how wide its overcooked rim is, whether its
// crumb has set, what colour and how dry its crust is, how much water it has kept
// and how even it is.
//
// A [Layer] says what a layer of the dish is judged as; [Quantities] are what is to
// be followed for that, and [Assess] gives a [Report]:
//
//	layers := []quality.Layer{{Name: "meat", Kind: quality.Meat}, {Name: "crust", Kind: quality.Dough}}
//	followed, err := kinetics.Follow(run, nil, quality.Quantities(layers...)...)
//	report, err := quality.Assess(run, followed, layers...)
//
// A report is plain data for JSON. What cannot be known from the run is a nil pointer
// or an empty list in it, and is named with its reason among what is unknown: how
// crisp a crust is, say, of a run in which water does not move.
//
// # Doneness
//
// A [Scale] is data: names, each with what a place must have reached for it, a peak
// temperature or a value of a followed quantity. Shares are of the layer's mass as
// it was given. Between the nodes of the mesh all is a straight line.
//
// Peak temperatures and what was followed are carried along chains of runs by
// thermal.From and kinetics.Follow. A layer of food that was cooked before the first
// run counts as raw there: its story begins with the chain.
//
// # Caution
//
// Doneness is no safety: package safety has the rules for that, and local food codes
// and licensed practice decide. The kinetics are of the foods that they were measured
// in, see package kinetics: of pork for the proteins of meat, of bread for crumb
// and crust. Tenderness is not among the results: no rate at which collagen dissolves
// was found that has a source.
package quality
