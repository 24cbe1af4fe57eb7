package materials

import "math"

// Solutes per mass of what carries them [mol/kg], for the estimate of the initial
// freezing point: rounded, from what the carriers are.
const (
	saltMoles  = 2 / 0.05844 // sodium chloride as two ions
	sugarMoles = 1 / 0.240   // between glucose and fructose, 180, and disaccharides, 342 g/mol
	// Meat's ash of 1.08 % holds 19 mmol of ions in 100 g (K 350, Na 55, P 200, Mg 25
	// mg, from memory); in plants the acids that go with potassium make it more.
	ashMoles = 20
	// Creatine, lactate, amino acids, nucleotides: 0.15 mol/kg of meat with 21 %
	// protein (from memory).
	proteinMoles = 0.7

	// solventBound is the share of the bound water that dissolves nothing. With
	// none the doughs and breads of the embedded table come out 1.3 °C too high in
	// the mean, with all of it 1.3 °C too low, with half 0.5 °C too high; wet foods
	// hardly care.
	solventBound = 0.5
)

const (
	waterMolar   = 18.01528e-3                                 // [kg/mol]
	gasConstant  = 8.314463                                    // [J/(mol K)]
	meltingPoint = 273.15                                      // [K]
	fusionRatio  = LatentHeatFusion * waterMolar / gasConstant // [K]
)

// InitialFreezingPoint is where ice first forms on cooling [°C]: FreezingPoint if
// given, otherwise estimated from the solutes by Raoult's law in the water less
// half of the bound water,
//
//	ln(n_w/(n_w + n)) = λ/R (1/T0 - 1/T)
//
// between -25 and -0.005. The moles n are those of salt as two ions, of sugar
// at 240 g/mol, 20 mol per kg of other ash and 0.7 per kg of protein.
//
// Against ASHRAE Handbook - Refrigeration, Thermal Properties of Foods, Table 3,
// foods of over 60 % water: plants, eggs and dairy 0.48 °C rms, mean +0.19; lean
// meat and fish 0.11 °C rms from the -1 °C that Riedel's enthalpies show, but 1 °C
// over the print. Doughs and cheeses are known to some 2 °C. For a measured food
// it says nothing.
func (f Food) InitialFreezingPoint() float64 {
	if f.FreezingPoint < 0 {
		return f.FreezingPoint
	}
	return freezingPoint(f.solutes(), f.solvent())
}

// solutes are the moles dissolved [mol/kg of food]: those that explain the
// freezing point where it is given, those of the composition otherwise.
func (f *Food) solutes() float64 {
	if f.FreezingPoint < 0 {
		a := iceActivity(f.FreezingPoint)
		return f.solvent() / waterMolar * (1 - a) / a
	}
	c := &f.Composition
	return math.Max(0, saltMoles*c.Salt+sugarMoles*c.Sugar+ashMoles*(c.Ash-c.Salt)+proteinMoles*c.Protein)
}

// solvent is the water that dissolves [kg/kg of food].
func (f *Food) solvent() float64 { return math.Max(0, f.Composition.Water-solventBound*f.Bound()) }

// freezingPoint [°C] of solvent water [kg] with n [mol] dissolved in it, cut to
// what an estimate may give.
func freezingPoint(n, solvent float64) float64 {
	if !(solvent > 0) {
		return lowestEstimate
	}
	t := 1/(1/meltingPoint+math.Log1p(n*waterMolar/solvent)/fusionRatio) - meltingPoint
	return math.Max(lowestEstimate, math.Min(t, highestEstimate))
}

// iceActivity is the water activity [-] of an ideal solution in equilibrium with
// ice at t [°C].
func iceActivity(t float64) float64 {
	return math.Exp(fusionRatio * (1/meltingPoint - 1/(t+meltingPoint)))
}
