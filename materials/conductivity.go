package materials

// Weights of the structural models that are fitted to measurements, see
// [Food.Conductivity].
const (
	acrossSeries = 0.2 // share of series among solids and liquid, heat across fibres
	alongColumns = 0.2 // share of ice that lies in columns along fibres
	poreSeries   = 0.2 // share of series between matrix and connected pores
)

// Conductivity is the thermal conductivity of the food at t [°C] when each
// kilogram of the original food holds the given liquid water and ice [kg/kg of
// original food] [W/(m K)]. The food keeps the volume it has with its original
// water at 20 °C, that of [Food.Density]: lost water leaves air, while ice takes
// room from the pores and, when those are full, from all phases alike. Less than
// 0 counts as 0.
//
// Conductivities of the components are taken at t, their volumes at 20 °C, which
// changes the mixture by less than 0.2 % from 0 to 60 °C. Phases are put together
// from the inside out, as Carson et al. (2016), J. Food Eng. 175, advise:
//   - solids and liquid in parallel; across fibres the [Krischer] mean with 0.2
//     series; without the fat in the three structures in which it follows later;
//   - ice by [Levy]; along fibres a fifth of the ice lies in parallel columns;
//   - the fat of layered pastry in series; fat that is continuous, or dispersed, by
//     [MaxwellEucken];
//   - air in closed pores by [MaxwellEucken], in open ones by [Krischer] with 0.2
//     series. Vapour's heat through pores is not in it.
//
// Mean and rms error against the measured values in
// testdata/ashrae-refrigeration/conductivity.csv: across fibres +1.5 and 5.9 %
// unfrozen, +0.1 and 6.7 % frozen; along fibres +1.2 and 3.1 % unfrozen, -1.4 and
// 3.5 % frozen; compact -2.9 and 4.9 % unfrozen. Left out are seven values that
// contradict their neighbours or hold the vapour's heat; the test names them with
// reasons. Open pores rest on one value, of dry crust (+14 %).
//
// Fat that is not in parallel: butter at 4 °C +10 % (in parallel +21), which is the
// least that an isotropic mixture of these components can have; Cheddar +9 (+14),
// egg yolk -9 of one measurement and +14 % of another (-3 and +20). Against the
// regression of dairy products of Tavman & Tavman (1999), J. Food Eng. 41: butter
// +2 (+15), table cream +7 (+11), cream cheese +7 (+13), Cheddar +15 (+20), whole
// milk +11 % (+12). Marschoun et al. (2001), Int. J. Food Prop. 4, found no Cheddar
// under 0.354 W/(m K), where this gives 0.336.
//
// A measured food takes its curve's value, whatever liquid and ice. The result is
// finite and over 0 for a valid food and finite input, NaN otherwise.
func (f Food) Conductivity(t, liquid, ice float64) float64 {
	if f.Measured != nil {
		return f.Measured.conductivity(t)
	}
	c, sv := &f.Composition, &specificVolumes

	// Volumes [m³/kg of food] and sums for parallel and series.
	fat := c.Fat * sv[Fat]
	kf := conductivities[Fat].at(t)
	var v, par, ser float64
	add := func(volume, k float64) {
		v += volume
		par += volume * k
		ser += volume / k
	}
	liquid, ice = max(liquid, 0), max(ice, 0)
	add(liquid*sv[Water], conductivities[Water].at(t))
	add(c.Protein*sv[Protein], conductivities[Protein].at(t))
	add(c.Carbohydrate*sv[Carbohydrate], conductivities[Carbohydrate].at(t))
	add(c.Fibre*sv[Fibre], conductivities[Fibre].at(t))
	add(c.Ash*sv[Ash], conductivities[Ash].at(t))
	apart := f.Structure == Layered || f.Structure == FatContinuous || f.Structure == FatDispersed
	if !apart {
		add(fat, kf)
	}

	// Solids and liquid, then ice.
	k := 0.0
	if v > 0 {
		k = par / v
		if f.Structure == FibreAcross {
			k = blend(k, v/ser, acrossSeries)
		}
	}
	if w := ice * sv[Ice]; w > 0 {
		ki := Ice.Conductivity(t)
		if v > 0 {
			x := w / (v + w)
			kn := k
			k = levy(ki, kn, x)
			if f.Structure == FibreAlong {
				k += alongColumns * (x*ki + (1-x)*kn - k)
			}
		} else {
			k = ki
		}
		v += w
	}
	if apart && fat > 0 {
		switch {
		case v <= 0:
			k = kf
		case f.Structure == Layered:
			k = (v + fat) / (v/k + fat/kf)
		case f.Structure == FatContinuous:
			k = maxwellEucken(kf, k, v/(v+fat))
		default:
			k = maxwellEucken(k, kf, fat/(v+fat))
		}
		v += fat
	}

	// Air fills what is left of the original volume.
	whole := f.volume()
	switch {
	case !(whole > 0):
		return notANumber // no composition
	case v >= whole:
		return k
	}
	ka, air := airConductivity(t), 1-v/whole
	switch {
	case v <= 0:
		return ka
	case f.Structure == OpenPores:
		return blend((1-air)*k+air*ka, 1/((1-air)/k+air/ka), poreSeries)
	}
	return maxwellEucken(k, ka, air)
}

// air is the conductivity of dry still air at 1 atm: 0.0244 at 0, 0.0316 at 100,
// 0.0382 at 200, 0.0499 W/(m K) at 400 °C (VDI Heat Atlas, from memory).
var air = newCurve(0.02436, 7.5e-5, -2.8e-8)

func airConductivity(t float64) float64 { return air.at(t) }
