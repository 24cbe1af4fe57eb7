package kinetics

import "math"

// kajitani is where the activation energies of meat proteins come from. Others
// found quite different ones (Ostojić et al. 2023, fresh pork: myosin 751,
// collagen 152, actin 331 kJ/mol): they depend on how a curve is taken apart.
const kajitani = "Kajitani, Fukuoka & Sakai 2011 (activation energies of pork from calorimetry)"

// Myosin is the share of myosin that has set [-]: the first firmness of meat.
// Activation energy 241 kJ/mol (Kajitani, Fukuoka & Sakai 2011, pork). The
// abstract prints no rate: it is placed so that a calorimeter that heats by
// 10 K/min (guess) sees the peak at 56 °C, the middle of the 54 to 58 °C of beef in
// the Encyclopedia of Meat Sciences.
func Myosin() Quantity {
	return denaturation("myosin denatured", kajitani+"; rate from a peak at 56 °C, Encyclopedia of Meat Sciences, at 10 K/min (guess)",
		peak(56, 241e3))
}

// Collagen is the share of sarcoplasmic proteins and collagen that has denatured
// [-]: meat shrinks. Activation energy 326 kJ/mol (Kajitani, Fukuoka & Sakai
// 2011, pork), rate as for Myosin from a peak at 66 °C (sarcoplasmic proteins, 65
// to 67 °C in the Encyclopedia of Meat Sciences). It does not say how much collagen
// has dissolved, which takes hours.
func Collagen() Quantity {
	return denaturation("collagen denatured", kajitani+"; rate from a peak at 66 °C, Encyclopedia of Meat Sciences, at 10 K/min (guess)",
		peak(66, 326e3))
}

// Actin is the share of actin that has denatured [-]: meat turns dry and tough.
// 0.1 a minute at 70 °C, activation energy 250 kJ/mol (Kajitani, Fukuoka & Sakai
// 2011, pork with 2 mg of salt in a gram; with 40 mg it is 1.75 a minute).
func Actin() Quantity {
	return denaturation("actin denatured", kajitani+"; rate at 70 °C of the same, 2 mg of salt in a gram",
		Arrhenius{K: 0.1 / 60, Ref: 70, Ea: 250e3})
}

// Starch is the share of the starch of bread dough that has gelatinised [-]: the
// crumb sets. k0 2.8e18 1/s, activation energy 139 kJ/mol (Zanoni et al. 1995, from
// memory).
func Starch() Quantity {
	return Quantity{Name: "starch gelatinised", Unit: "-", Source: "Zanoni et al. 1995 (from memory), bread dough",
		Law: FirstOrder{Rate: PreExponential(2.8e18, 139e3), Start: 0, End: 1}}
}

// CrustColour is the colour difference ΔE [-] of bread crust from dough: 52 is
// burnt. k0 42 000 1/s, activation energy 64.151 kJ/mol, measured from 140 to
// 250 °C (Zanoni, Peri & Bruno 1995).
func CrustColour() Quantity {
	return Quantity{Name: "crust colour difference", Unit: "-", Source: "Zanoni, Peri & Bruno 1995, bread crust, 140 to 250 °C",
		Law: FirstOrder{Rate: PreExponential(42_000, 64_151), Start: 0, End: 52}}
}

// Lightness is the lightness L* [-] of bread crust that starts at 85, browning
// from 120 °C on at the water activity aw [-] that each place has at the time:
//
//	k = (7.9233e6 + 2.7397e6/aw) exp(-(8701.5 + 49.4738/aw)/T)  [1/min]
//
// (Purlis & Salvadori 2009, from memory). Crust drier than 0.1, below which the
// formula turns back, counts as 0.1. Of food whose water activity is not known 0.3
// is assumed (guess).
func Lightness() Quantity {
	return lightness(WaterRate{Lowest: browning, Assumed: 0.3, K: func(t, aw float64) float64 {
		offset, slope := brownsBy(aw)
		return math.Exp(offset - slope/(t+kelvin))
	}})
}

// LightnessAt is Lightness with a water activity aw [-], 0.1 to 1, that is held.
// One outside of its range is refused by Follow.
func LightnessAt(aw float64) Quantity {
	if !(aw >= driest && aw <= 1) {
		aw = math.NaN()
	}
	offset, slope := brownsBy(aw)
	return lightness(Onset{Lowest: browning, Rate: PreExponential(math.Exp(offset), gasConstant*slope)})
}

const (
	browning = 120 // [°C] where browning begins
	driest   = 0.1 // [-] water activity
)

// brownsBy gives ln k = offset - slope/T of browning in seconds and kelvins.
func brownsBy(aw float64) (offset, slope float64) {
	aw = max(driest, aw)
	return math.Log((7.9233e6 + 2.7397e6/aw) / 60), 8701.5 + 49.4738/aw
}

func lightness(r Rate) Quantity {
	return Quantity{Name: "crust lightness", Unit: "-", Source: "Purlis & Salvadori 2009 (from memory), bread crust above 120 °C",
		Law: FirstOrder{Start: 85, End: 0, Rate: r}}
}

func denaturation(name, source string, rate Rate) Quantity {
	return Quantity{Name: name, Unit: "-", Source: source, Law: FirstOrder{Rate: rate, Start: 0, End: 1}}
}

// peak is the rate constant of a first-order reaction that goes fastest at t [°C]
// while it is heated by 10 K/min: there k = β Ea/(R T²) (Kissinger 1957). Actin's
// printed rate has its peak at 83 °C by it, where the literature has 80 to 83.
func peak(t, ea float64) Arrhenius {
	const heating = 10. / 60 // [K/s]
	T := t + kelvin
	return Arrhenius{K: heating * ea / (gasConstant * T * T), Ref: t, Ea: ea}
}
