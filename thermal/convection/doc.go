// Package convection gives heat transfer coefficients from published correlations: of
// a cylinder, a sphere or a plate, in a stream of air or water or in a still one.
//
//	air, err := convection.Air((200+60)/2, phasechange.StandardPressure)
//	free, err := air.FreeCylinder(0.09, 200-60)
//	forced, err := air.CrossFlow(0.09, 1)
//	h := convection.Mixed(free, forced).H // W/(m² K)
//
// Properties count at the film temperature, halfway between surface and stream. Every
// correlation has the range it was found in, and refuses what lies outside of it with an
// [*InputError]: nobody measured there.
//
// They are good to 20 % or so for the bodies they were made for, smooth, alone and in
// an even stream. A dish in an oven stands on a rack or a tray, in the wake of others, and
// in air that a fan stirs: what an oven does is better fitted to a measured test body.
// Radiation comes on top of them.
package convection
