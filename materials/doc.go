// Package materials says what a food is made of, and gives the density and thermal
// conductivity of any mixture; its heat capacity, which ice and steam have a part
// in, is package phasechange's.
//
// A [Composition] is six mass fractions: water, protein, fat, carbohydrate,
// fibre and ash. A [Component] knows its own conductivity, density, specific
// heat and sensible enthalpy against temperature (Choi & Okos 1986). A [Food]
// adds what a composition cannot say: how the phases lie to each other
// ([Structure]), how much air is between them, where freezing begins, how much
// water never freezes, which fat it is ([FatKind]), how firmly dry solids hold
// water ([Isotherm]), how fast water moves ([Transport]) and how muscle expels
// juice ([WaterHolding]).
//
// Foods come from the embedded table ([Find], [Search], [Foods]), from a table
// of one's own ([ParseTable]), from a composition (a literal, then
// [Food.Validate]), from measured curves ([FromEnthalpy], [FromSpecificHeat]),
// or from other foods ([Mix], [Food.WithWater], [Food.LoseWater], [Food.Baked]).
//
// This package has no phase change: ice, fat crystals and steam belong to
// package phasechange, which asks this one for the rest. Likewise the heat that
// vapour carries through pores is left to the model that moves the vapour; pores
// conduct like still air here.
//
// Units are SI, temperatures degrees Celsius, fractions mass fractions unless a
// comment says otherwise.
package materials
