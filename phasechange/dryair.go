package phasechange

// Dry air: conductivity within 0.5 % of the VDI Heat Atlas (from memory) from 0 to 400 °C,
// specific heat within 0.5 % of 1006, 1011, 1025, 1045 and 1069 J/(kg K) at 0, 100, 200,
// 300 and 400 °C (the same, from memory). Textbooks' tables of the conductivity differ by
// up to 2 %.
const (
	dryK0, dryK1, dryK2 = 0.02436, 7.5e-5, -2.8e-8
	dryC0, dryC1, dryC2 = 1006, 0.01, 4e-4
)

// DryAir gives the thermal conductivity [W/(m K)] and the specific heat [J/(kg K)] of dry
// air at t [°C], each with its slope by t. They are parabolas,
//
//	k = 0.02436 + 7.5e-5 t - 2.8e-8 t²,  cp = 1006 + 0.01 t + 4e-4 t²
//
// for -150 to 600 °C, which nothing here checks. Enthalpies of [HumidAir] have the one
// specific heat of psychrometry instead.
func DryAir(t float64) (k, dk, cp, dcp float64) {
	return dryK0 + t*(dryK1+t*dryK2), dryK1 + 2*t*dryK2, dryC0 + t*(dryC1+t*dryC2), dryC1 + 2*t*dryC2
}
