// Package phasechange relates the energy of a food to its temperature, through
// the freezing of its water, the melting of its fat and the boiling away of its
// water.
//
// A Relation is made from a food and holds, per cubic metre of the original
// food, the energy U [J/m³] at temperature T [°C] and water content w [kg/m³].
// The zero of energy is the food at 0 °C with all of its water liquid and its
// fat as solid as it gets; of a food given by measured curves, its first point.
//
// # The three branches
//
// Below the freezing point the water that the solutes cannot hold is ice. The
// unfrozen water m(T) depends on temperature alone, so the ice is w - m(T)
// whatever the water content, and drying a food lowers its freezing point
// without any further rule. The part of m that never freezes takes up heat as ice
// does, without the heat of fusion.
//
// Between freezing and boiling point nothing changes phase but fat.
//
// At the boiling point w(T) is reached: the water whose activity times the
// saturation pressure equals the pressure around the dish. Beyond it, water
// above w(T) leaves as steam, and U counts the heat of that steam as taken up.
// Steam that has left does not come back: an Anchor remembers the water content
// from which a piece of food is heated.
//
// # Laws
//
//  1. T rises strictly with U, on every branch and across them.
//  2. The round trip T -> U -> T returns T.
//  3. Ice and liquid are never negative and sum to w.
//  4. dT/dU is the derivative of T, with one-sided values at the two kinks.
//
// # Water that moves
//
// Moist is the law of the same food when water moves: temperature, water activity and
// vapour pressure from energy and water together, how readily liquid and vapour pass,
// and the juice that protein lets go. Beyond the boiling point it keeps the water; a
// vapour pressure above the surroundings' is what drives it out. As the first twentieth
// of the ice forms, the laws of moist food pass into those of frozen food.
//
// HumidAir is the psychrometrics of the air around a dish.
package phasechange
