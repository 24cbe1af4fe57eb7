package thermal

import "math"

// EnergyAudit is the energy account of a run. Energies count both what crosses
// the surfaces and what steam carries away; the residual is what the account
// cannot explain.
type EnergyAudit struct {
	In        float64 `json:"in_J"`        // [J] heat in through the surfaces, net
	Exchanged float64 `json:"exchanged_J"` // [J] heat through the surfaces, step by step, without sign
	Steam     float64 `json:"steam_J"`     // [J] carried away by steam, above liquid water at 0 °C
	Stored    float64 `json:"stored_J"`    // [J] rise of the energy in the dish
	Residual  float64 `json:"residual_J"`  // [J] Stored - (In - Steam)
	Relative  float64 `json:"relative"`    // [-] |Residual| over Exchanged, or over the heat of 1 mK in the dish if that is more
}

// WaterAudit is the water account of a run.
type WaterAudit struct {
	Start    float64 `json:"start_kg"`    // [kg]
	End      float64 `json:"end_kg"`      // [kg]
	Steam    float64 `json:"steam_kg"`    // [kg] boiled away
	Residual float64 `json:"residual_kg"` // [kg] End - (Start - Steam)
	Relative float64 `json:"relative"`    // [-] |Residual| over Start
}

// books keeps both accounts while a run goes on. Sums are compensated: a long
// run adds a few joules thousands of times.
type books struct {
	in, exchanged, steam, steamWater kahan
	storedStart, storedEnd           float64
	waterStart, waterEnd             float64
	milliKelvin                      float64
}

// kahan is a compensated sum (Neumaier 1974).
type kahan struct{ sum, lost float64 }

func (k *kahan) add(v float64) {
	t := k.sum + v
	if math.Abs(k.sum) >= math.Abs(v) {
		k.lost += (k.sum - t) + v
	} else {
		k.lost += (v - t) + k.sum
	}
	k.sum = t
}

func (k *kahan) value() float64 { return k.sum + k.lost }

// stored sums the energy of all cells [J].
func stored(s *system, u []float64) float64 {
	var k kahan
	for i, v := range s.volume {
		k.add(v * u[i])
	}
	return k.value()
}

func (b *books) open(s *system, u []float64) {
	b.storedStart, b.waterStart = stored(s, u), s.water()
	for _, v := range s.volume {
		b.milliKelvin += v * 1e-3 * 3e6 // [J/(m³ K)] of moist food
	}
}

func (b *books) close(s *system, u []float64) {
	b.storedEnd, b.waterEnd = stored(s, u), s.water()
}

func (b *books) gains(gain []float64) {
	for _, g := range gain {
		b.in.add(g)
		b.exchanged.add(math.Abs(g))
	}
}

// settle lets the steam of cell i go and books it.
func (b *books) settle(s *system, u []float64, i int) {
	a := &s.anchors[i]
	w := a.Water()
	remains := s.relation[i].Settle(u[i], a, &s.hints[i])
	b.steam.add(s.volume[i] * (u[i] - remains))
	b.steamWater.add(s.volume[i] * (w - a.Water()))
	u[i] = remains
}

func (b *books) energy() EnergyAudit {
	e := EnergyAudit{In: b.in.value(), Exchanged: b.exchanged.value(), Steam: b.steam.value(), Stored: b.storedEnd - b.storedStart}
	e.Residual = e.Stored - (e.In - e.Steam)
	e.Relative = math.Abs(e.Residual) / math.Max(e.Exchanged, b.milliKelvin)
	return e
}

func (b *books) water() WaterAudit {
	w := WaterAudit{Start: b.waterStart, End: b.waterEnd, Steam: b.steamWater.value()}
	w.Residual = w.End - (w.Start - w.Steam)
	if w.Start > 0 {
		w.Relative = math.Abs(w.Residual) / w.Start
	}
	return w
}
