package thermal

// inlet is juice on its way into cells. What a step sets free comes in at a constant
// rate over the next, so that nothing jumps.
type inlet struct {
	due, dueHeat []float64 // [kg], [J] to come in over the step
	water, heat  []float64 // [kg/s], [W] as they do
	some         bool
}

func newInlet(n int) inlet {
	b := make([]float64, 4*n)
	return inlet{due: b[:n], dueHeat: b[n : 2*n], water: b[2*n : 3*n], heat: b[3*n:]}
}

// spread sets the rates for a step of h [s]; the rates f [per m³] of all unknowns at
// its start follow.
func (in *inlet) spread(h float64, f, volume []float64) {
	if !in.some {
		return
	}
	n := len(volume)
	for i, v := range volume {
		water, heat := in.due[i]/h, in.dueHeat[i]/h
		f[i] += (heat - in.heat[i]) / v
		f[n+i] += (water - in.water[i]) / v
		in.water[i], in.heat[i] = water, heat
	}
}

// arrive empties what was due and says how much it was.
func (in *inlet) arrive() (mass, heat float64) {
	if !in.some {
		return 0, 0
	}
	left := false
	for i := range in.due {
		mass += in.due[i]
		heat += in.dueHeat[i]
		left = left || in.water[i] != 0
	}
	clear(in.due)
	clear(in.dueHeat)
	in.some = left // the rates still have to come down
	return mass, heat
}

// send lets juice [kg] of an enthalpy [J/kg] come in to cell i over the next step.
func (in *inlet) send(i int, mass, enthalpy float64) {
	in.due[i] += mass
	in.dueHeat[i] += mass * enthalpy
	in.some = true
}
