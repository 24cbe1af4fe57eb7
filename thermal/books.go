package thermal

import "math"

// EnergyAudit is the energy account of a run. Energies count both what crosses
// the surfaces and what steam carries away; the residual is what the account
// cannot explain.
type EnergyAudit struct {
	In        float64 `json:"in_J"`        // [J] heat in through the surfaces, net
	Exchanged float64 `json:"exchanged_J"` // [J] heat through the surfaces, step by step, without sign
	Steam     float64 `json:"steam_J"`     // [J] carried away by steam, above liquid water at 0 °C
	Drip      float64 `json:"drip_J"`      // [J] carried away by juice and dew that ran off
	Brushed   float64 `json:"brushed_J"`   // [J] brought by what was brushed on
	Stored    float64 `json:"stored_J"`    // [J] rise of the energy in the dish, juice on its way counted
	Residual  float64 `json:"residual_J"`  // [J] Stored - (In - Steam - Drip + Brushed)
	Relative  float64 `json:"relative"`    // [-] |Residual| over Exchanged, or over the heat of 1 mK in the dish if that is more
}

// WaterAudit is the water account of a run.
type WaterAudit struct {
	Start float64 `json:"start_kg"` // [kg]
	End   float64 `json:"end_kg"`   // [kg] with juice on its way from one layer to another
	Steam float64 `json:"steam_kg"` // [kg] boiled away

	// Only where water moves:
	Evaporated float64 `json:"evaporated_kg"` // [kg] into the air from the surface
	Condensed  float64 `json:"condensed_kg"`  // [kg] from the air, as dew or frost
	Drip       float64 `json:"drip_kg"`       // [kg] juice and dew that ran off
	Brushed    float64 `json:"brushed_kg"`    // [kg] brushed on

	Residual float64 `json:"residual_kg"` // [kg] what the account cannot explain
	Relative float64 `json:"relative"`    // [-] |Residual| over Start
}

// books keeps both accounts while a run goes on. Sums are compensated: a long
// run adds a few joules thousands of times.
type books struct {
	in, exchanged, steam, steamWater kahan
	evaporated, condensed            kahan // [kg]
	drip, dripHeat                   kahan // [kg], [J]
	brushed, brushedHeat             kahan
	juice                            []kahan   // [kg] by layer
	late, lateHeat                   []float64 // [kg], [J] by cell: juice on its way at the end
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
	b.juice = make([]kahan, len(s.layers))
	b.storedStart, b.waterStart = stored(s, u), s.water(u)
	for _, v := range s.volume {
		b.milliKelvin += v * 1e-3 * 3e6 // [J/(m³ K)] of moist food
	}
}

func (b *books) close(s *system, u []float64) {
	b.storedEnd, b.waterEnd = stored(s, u), s.water(u)
	if s.wet == nil || !s.wet.some {
		return
	}
	b.late, b.lateHeat = s.wet.due, s.wet.dueHeat
	for i, mass := range b.late { // it is in the dish, though in no cell yet
		b.waterEnd += mass
		b.storedEnd += b.lateHeat[i]
		b.soaked(mass, b.lateHeat[i])
	}
}

// gains books what a step carried.
func (b *books) gains(s *system, gain []float64) {
	m := len(s.surfaces)
	for _, g := range gain[:m] {
		b.in.add(g)
		b.exchanged.add(math.Abs(g))
	}
	if s.wet == nil {
		return
	}
	for _, g := range gain[m : 2*m] {
		if g > 0 {
			b.evaporated.add(g)
		} else {
			b.condensed.add(-g)
		}
	}
	for l := range s.wet.layers {
		f := s.wet.layerFlows(gain, l)
		b.steamWater.add(f[0])
		b.steam.add(f[1])
		b.exchanged.add(math.Abs(f[1]))
		b.letGo(l, f[2], f[3])
	}
}

// letGo books juice that a layer has let go.
func (b *books) letGo(layer int, mass, heat float64) {
	b.juice[layer].add(mass)
	b.drip.add(mass)
	b.dripHeat.add(heat)
}

// soaked books juice that cells take up again; what runs off counts as less than none.
func (b *books) soaked(mass, heat float64) {
	b.drip.add(-mass)
	b.dripHeat.add(-heat)
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
	e := EnergyAudit{In: b.in.value(), Exchanged: b.exchanged.value(), Steam: b.steam.value(), Drip: b.dripHeat.value(),
		Brushed: b.brushedHeat.value(), Stored: b.storedEnd - b.storedStart}
	e.Residual = e.Stored - (e.In - e.Steam - e.Drip + e.Brushed)
	e.Relative = math.Abs(e.Residual) / math.Max(e.Exchanged, b.milliKelvin)
	return e
}

func (b *books) water() WaterAudit {
	w := WaterAudit{Start: b.waterStart, End: b.waterEnd, Steam: b.steamWater.value(), Evaporated: b.evaporated.value(),
		Condensed: b.condensed.value(), Drip: b.drip.value(), Brushed: b.brushed.value()}
	w.Residual = w.End - (w.Start - w.Steam - w.Evaporated + w.Condensed - w.Drip + w.Brushed)
	if w.Start > 0 {
		w.Relative = math.Abs(w.Residual) / w.Start
	}
	return w
}
