package phasechange

import "math"

const (
	vapourToAir   = 0.621945         // molar mass of water over that of dry air, 18.015268/28.966
	airConstant   = 287.042          // gas constant of dry air [J/(kg K)]
	airCp         = 1.006e3          // specific heat of dry air [J/(kg K)]
	vapourCp      = 1.86e3           // specific heat of vapour [J/(kg K)]
	vapourAtZero  = 2501e3           // enthalpy of vapour at 0 °C above liquid water at 0 °C [J/kg]
	maxHumidity   = 100              // [kg/kg of dry air]
	minHumidTemp  = -100             // [°C]
	maxHumidTemp  = 300              // [°C]
	saturationEps = 1e-9             // by how much of its pressure saturated vapour may be off through rounding
	bulbTolerance = 1e-9             // of dew point and wet bulb [K]
	belowMinimum  = minHumidTemp - 1 // [°C] where the wet bulb of dry air at minHumidTemp is sought
)

const wantHumidity = "a humidity ratio of at most 100 kg/kg at this temperature and pressure"

// HumidAir is a mixture of dry air and water vapour, both taken as ideal gases,
// by the equations of the ASHRAE Handbook - Fundamentals (2017), chapter 1. The
// vapour pressure of water and ice are those of this package: over ice below
// 0 °C, over liquid water from there. The zero value is not a state of air:
// Pressure must be set.
//
// Real humid air holds a little more vapour at saturation than the ideal
// mixture: 0.4 to 0.6 % more below 50 °C at the standard pressure, 1.2 % at 85 °C
// (held against the handbook's table). The handbook puts the errors of humidity
// ratio, enthalpy and volume of saturated air at less than 0.7 % there (Kuehn and
// others, 1998). Towards 300 °C the constant specific heats make the enthalpy of
// dry air 1.3 % and the superheat of its vapour 3 % low (mean specific heats
// 1.019 and 1.92 kJ/(kg K), from memory).
//
// Vapour without any air has no finite humidity ratio and cannot be represented;
// with the 100 kg/kg allowed, 99.4 % of the molecules are water.
type HumidAir struct {
	// T is the dry-bulb temperature [°C], -100 to 300.
	T float64
	// W is the humidity ratio: vapour [kg/kg of dry air], 0 to 100, and no more
	// than saturates air of this temperature and pressure.
	W float64
	// Pressure is that of air and vapour together [Pa], 20e3 to 500e3.
	Pressure float64
}

// HumidAirFromRelativeHumidity is air of temperature t [°C] at a pressure [Pa]
// whose vapour has the share rh [-], 0 to 1, of the vapour pressure over water, or
// over ice below 0 °C (ASHRAE equations 12, 20, 22). Above the boiling point only
// shares up to the pressure over the saturation pressure exist. The error is an
// *Error.
func HumidAirFromRelativeHumidity(t, rh, pressure float64) (HumidAir, error) {
	if err := checkHumid(t, pressure); err != nil {
		return HumidAir{}, err
	}
	if !(rh >= 0 && rh <= 1) {
		return HumidAir{}, humidError("relative humidity", rh, "0 to 1")
	}
	return fromVapour(t, rh*vapourPressureOver(t), pressure, "relative humidity", rh)
}

// HumidAirFromDewPoint is air of temperature t [°C] at a pressure [Pa] that is
// saturated when cooled to dew [°C], -100 to t: the frost point below 0 °C (ASHRAE
// equations 5, 6, 20). The error is an *Error.
func HumidAirFromDewPoint(t, dew, pressure float64) (HumidAir, error) {
	if err := checkHumid(t, pressure); err != nil {
		return HumidAir{}, err
	}
	if !(dew >= minHumidTemp && dew <= t) {
		return HumidAir{}, humidError("dew point [°C]", dew, "-100 to the dry-bulb temperature")
	}
	return fromVapour(t, vapourPressureOver(dew), pressure, "dew point [°C]", dew)
}

// HumidAirFromWetBulb is air of temperature t [°C] at a pressure [Pa] whose
// thermodynamic wet bulb is wet [°C], up to t and not below that of dry air: over
// ice when below 0 °C (ASHRAE equations 33, 35). The error is an *Error.
func HumidAirFromWetBulb(t, wet, pressure float64) (HumidAir, error) {
	if err := checkHumid(t, pressure); err != nil {
		return HumidAir{}, err
	}
	const quantity = "wet bulb [°C]"
	if !(wet >= belowMinimum && wet <= t) {
		return HumidAir{}, humidError(quantity, wet, "that of dry air to the dry-bulb temperature")
	}
	s := vapourPressureOver(wet)
	if s >= pressure {
		return HumidAir{}, humidError(quantity, wet, "below the boiling point")
	}
	heat := heatToVapour(wet, wet < 0)
	w := (heat*vapourToAir*s/(pressure-s) - airCp*(t-wet)) / (heat + vapourCp*(t-wet))
	if w > maxHumidity {
		return HumidAir{}, humidError(quantity, wet, wantHumidity)
	}
	if w < 0 {
		// What rounding takes from dry air is given back.
		if w < -saturationEps {
			return HumidAir{}, humidError(quantity, wet, "at least that of dry air")
		}
		w = 0
	}
	return HumidAir{T: t, W: w, Pressure: pressure}, nil
}

// Validate returns an *Error that names the quantity which is not a number, out
// of range, or the humidity ratio when the air is supersaturated.
func (a HumidAir) Validate() error {
	if err := checkHumid(a.T, a.Pressure); err != nil {
		return err
	}
	if !(a.W >= 0 && a.W <= maxHumidity) {
		return humidError("humidity ratio [kg/kg]", a.W, "0 to 100")
	}
	if a.VapourPressure() > vapourPressureOver(a.T)*(1+saturationEps) {
		return humidError("humidity ratio [kg/kg]", a.W, "at most that of saturated air")
	}
	return nil
}

// MoleFraction is the share of the molecules that are water [-], which is also
// the share by volume.
func (a HumidAir) MoleFraction() float64 { return a.W / (vapourToAir + a.W) }

// VapourPressure is the partial pressure of the vapour [Pa], ASHRAE equation 20.
func (a HumidAir) VapourPressure() float64 { return a.Pressure * a.MoleFraction() }

// RelativeHumidity is the vapour pressure over that of water, or of ice below
// 0 °C, at the dry-bulb temperature [-], ASHRAE equation 22. Above the boiling
// point it stays below 1 even without air.
func (a HumidAir) RelativeHumidity() float64 { return a.VapourPressure() / vapourPressureOver(a.T) }

// Enthalpy is that of the dry air and of its vapour [J/kg of dry air], above dry
// air and liquid water at 0 °C, ASHRAE equation 30.
func (a HumidAir) Enthalpy() float64 { return airCp*a.T + a.W*(vapourAtZero+vapourCp*a.T) }

// Volume is that of the mixture [m³/kg of dry air], ASHRAE equation 26.
func (a HumidAir) Volume() float64 {
	return airConstant * (a.T + zeroC) * (1 + a.W/vapourToAir) / a.Pressure
}

// DewPoint is the temperature [°C] to which the air can be cooled at its pressure
// until dew, or hoar-frost below 0 °C, forms: the saturation temperature at the
// vapour pressure. The error is an *Error if the air is not valid or so dry that
// frost forms only below -100 °C.
func (a HumidAir) DewPoint() (float64, error) {
	if err := a.Validate(); err != nil {
		return 0, err
	}
	p := a.VapourPressure()
	if p < SublimationPressure(minHumidTemp)*(1-saturationEps) {
		return 0, humidError("humidity ratio [kg/kg]", a.W, "enough vapour for a frost point of at least -100 °C")
	}
	return min(a.dewPoint(p), a.T), nil
}

// dewPoint is the saturation temperature [°C] at vapour pressure p [Pa], held at
// belowMinimum.
func (a HumidAir) dewPoint(p float64) float64 {
	if p >= SaturationPressure(0) {
		return max(SaturationTemperature(p), 0)
	}
	// The logarithm makes it nearly linear. Liquid water at 0 °C has 0.06 Pa more
	// than ice, since they meet at 0.01 °C: in between the root is held at 0.
	return root(func(t float64) float64 { return math.Log(SublimationPressure(t) / p) }, belowMinimum, 0)
}

// WetBulb is the thermodynamic wet-bulb temperature [°C]: that of water which,
// evaporating into the air until it is saturated, brings it to the water's own
// temperature; ice below 0 °C. It solves ASHRAE equation 33 or 35 and lies
// between dew point and dry bulb. Air may suit both a water and an ice that are
// near 0 °C, at the standard pressure between -0.7 and 0.7 °C; the answer is then
// the water's. Between 50 and 150 °C the heat of
// vaporisation of these equations is up to 2 % above that of the steam tables. The
// error is an *Error if the air is not valid.
func (a HumidAir) WetBulb() (float64, error) {
	if err := a.Validate(); err != nil {
		return 0, err
	}
	p := a.VapourPressure()
	dew := min(a.dewPoint(p), a.T)
	// The heat that the vapour needs, less the heat that the air gives, both times
	// Pressure - saturation pressure, so that it stays finite at the boiling point.
	lack := func(t float64, ice bool) float64 {
		over := SaturationPressure
		if ice {
			over = SublimationPressure
		}
		s := over(t)
		return heatToVapour(t, ice)*(vapourToAir+a.W)*(s-p) - (airCp+a.W*vapourCp)*(a.T-t)*(a.Pressure-s)
	}
	if a.T >= 0 && lack(0, false) <= 0 {
		high := min(a.T, SaturationTemperature(a.Pressure))
		return root(func(t float64) float64 { return lack(t, false) }, max(dew, 0), high), nil
	}
	return root(func(t float64) float64 { return lack(t, true) }, dew, min(a.T, 0)), nil
}

// heatToVapour is the heat [J/kg] that turns water, or ice, at t [°C] into vapour:
// the difference of the linear enthalpies in ASHRAE equations 33 and 35.
func heatToVapour(t float64, ice bool) float64 {
	if ice {
		return 2830e3 - 0.24e3*t
	}
	return vapourAtZero - 2.326e3*t
}

// vapourPressureOver is the vapour pressure [Pa] of ice or water, whichever is
// stable at t [°C].
func vapourPressureOver(t float64) float64 {
	if t < 0 {
		return SublimationPressure(t)
	}
	return SaturationPressure(t)
}

// fromVapour is the air with vapour pressure p [Pa]; quantity and value say what
// that came from.
func fromVapour(t, p, pressure float64, quantity string, value float64) (HumidAir, error) {
	// the humidity ratio at its limit, turned round so that nothing is divided by 0
	if p*(vapourToAir+maxHumidity) > pressure*maxHumidity {
		return HumidAir{}, humidError(quantity, value, wantHumidity)
	}
	return HumidAir{T: t, W: min(vapourToAir*p/(pressure-p), maxHumidity), Pressure: pressure}, nil
}

func checkHumid(t, pressure float64) error {
	if !(t >= minHumidTemp && t <= maxHumidTemp) {
		return humidError("dry-bulb temperature [°C]", t, "-100 to 300")
	}
	if !(pressure >= MinPressure && pressure <= MaxPressure) {
		return humidError("pressure [Pa]", pressure, "20e3 to 500e3")
	}
	return nil
}

func humidError(quantity string, value float64, want string) error {
	return &Error{Food: "humid air", Quantity: quantity, Value: value, Want: want}
}

// root is where the rising f passes 0 between low and high [°C], to
// bulbTolerance; the nearer end if it does not. It is the method of Oliveira and
// Takahashi (2021, "An enhancement of the bisection method average performance
// preserving minmax optimality"): false position, drawn to the middle and kept
// within what bisection could have reached, so that it takes at most one more
// evaluation than that.
func root(f func(float64) float64, low, high float64) float64 {
	at, bt := f(low), f(high)
	if !(at < 0) {
		return low
	}
	if !(bt > 0) {
		return high
	}
	steps := max(math.Ceil(math.Log2((high-low)/(2*bulbTolerance))), 0) + 1
	draw := 0.2 / (high - low)
	for reach := bulbTolerance * math.Exp2(steps); high-low > 2*bulbTolerance; reach /= 2 {
		width, middle := high-low, (low+high)/2
		x := (bt*low - at*high) / (bt - at)
		side := math.Copysign(1, middle-x)
		if d := draw * width * width; d < math.Abs(middle-x) {
			x += side * d
		} else {
			x = middle
		}
		if r := max(reach-width/2, 0); math.Abs(x-middle) > r {
			x = middle - side*r
		}
		switch y := f(x); {
		case y > 0:
			high, bt = x, y
		case y < 0:
			low, at = x, y
		default:
			return x
		}
	}
	return (low + high) / 2
}
