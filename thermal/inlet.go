package thermal

// inlet is juice on its way into cells. What a step sets free comes in at a constant
// rate over as long as that step took, up to seepTime, so that nothing jumps even if
// the next step is cut short.
type inlet struct {
	due, dueHeat []float64 // [kg], [J] to come in
	water, heat  []float64 // [kg/s], [W] as they do
	over         float64   // [s]
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
	n, over := len(volume), max(h, in.over)
	for i, v := range volume {
		water, heat := in.due[i]/over, in.dueHeat[i]/over
		f[i] += (heat - in.heat[i]) / v
		f[n+i] += (water - in.water[i]) / v
		in.water[i], in.heat[i] = water, heat
	}
}

// arrive takes off what came in over a step of h [s] and says how much it was.
func (in *inlet) arrive(h float64) (mass, heat float64) {
	if !in.some {
		return 0, 0
	}
	in.some = false
	for i := range in.due {
		m, e := in.water[i]*h, in.heat[i]*h
		mass += m
		heat += e
		if h >= in.over {
			in.due[i], in.dueHeat[i] = 0, 0
		} else {
			in.due[i] -= m
			in.dueHeat[i] -= e
		}
		in.some = in.some || in.water[i] != 0 // the rates still have to come down
	}
	in.over = min(h, seepTime)
	return mass, heat
}

// send lets juice [kg] of an enthalpy [J/kg] come in to cell i.
func (in *inlet) send(i int, mass, enthalpy float64) {
	in.due[i] += mass
	in.dueHeat[i] += mass * enthalpy
	in.some = true
}
