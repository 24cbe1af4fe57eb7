package convection

import "math"

// Coefficient is what a correlation gives.
type Coefficient struct {
	H       float64 // [W/(m² K)]
	Nusselt float64 // [-]
	Driving float64 // [-] the Reynolds number of a stream, the Rayleigh number of still fluid
}

// of is a Nusselt number over a length.
func (f Fluid) of(nu, driving, length float64) Coefficient {
	return Coefficient{nu * f.Conductivity / length, nu, driving}
}

// still gives the Rayleigh number of a length and a difference of temperature.
func (f Fluid) still(place string, length, difference, low, high float64) (float64, error) {
	if err := f.sized(place, length); err != nil {
		return 0, err
	}
	d := math.Abs(difference)
	if err := within(place, "difference of temperature", d, 1e-6, 1000, " K"); err != nil {
		return 0, err
	}
	ra := gravity * f.Expansion * d * length * length * length / (f.Viscosity * f.Diffusivity)
	return ra, within(place, "Rayleigh number", ra, low, high, "")
}

// stream gives the Reynolds number of a length and a speed.
func (f Fluid) stream(place string, length, speed, low, high float64) (float64, error) {
	if err := f.sized(place, length); err != nil {
		return 0, err
	}
	if err := within(place, "speed", speed, 1e-6, 100, " m/s"); err != nil {
		return 0, err
	}
	re := speed * length / f.Viscosity
	return re, within(place, "Reynolds number", re, low, high, "")
}

func (f Fluid) sized(place string, length float64) error {
	for _, p := range []struct {
		name  string
		value float64
	}{{"conductivity", f.Conductivity}, {"viscosity", f.Viscosity}, {"diffusivity", f.Diffusivity}, {"expansion", f.Expansion}} {
		if err := within(place, p.name+" of the fluid", p.value, 1e-12, 1e6, ""); err != nil {
			return err
		}
	}
	return within(place, "length", length, 1e-4, 10, " m")
}

// hindered is the factor of the Prandtl number in Churchill's correlations.
func hindered(constant, pr, power float64) float64 {
	return math.Pow(1+math.Pow(constant/pr, 9./16), power)
}

// FreeCylinder is a long horizontal cylinder of a diameter [m] in still fluid that
// differs by difference [K] from its surface (Churchill & Chu 1975, International
// Journal of Heat and Mass Transfer 18: 1049):
//
//	Nu = {0.60 + 0.387 Ra^(1/6)/[1 + (0.559/Pr)^(9/16)]^(8/27)}²   Ra from 1e-5 to 1e12
func (f Fluid) FreeCylinder(diameter, difference float64) (Coefficient, error) {
	ra, err := f.still("cylinder in still fluid", diameter, difference, 1e-5, 1e12)
	if err != nil {
		return Coefficient{}, err
	}
	nu := 0.60 + 0.387*math.Pow(ra, 1./6)/hindered(0.559, f.Prandtl(), 8./27)
	return f.of(nu*nu, ra, diameter), nil
}

// FreeVertical is a vertical plate, or the side of an upright cylinder that is not
// slender, of a height [m] (Churchill & Chu 1975, the same journal 18: 1323):
//
//	Nu = {0.825 + 0.387 Ra^(1/6)/[1 + (0.492/Pr)^(9/16)]^(8/27)}²   Ra from 0.1 to 1e12
func (f Fluid) FreeVertical(height, difference float64) (Coefficient, error) {
	ra, err := f.still("vertical plate in still fluid", height, difference, 0.1, 1e12)
	if err != nil {
		return Coefficient{}, err
	}
	nu := 0.825 + 0.387*math.Pow(ra, 1./6)/hindered(0.492, f.Prandtl(), 8./27)
	return f.of(nu*nu, ra, height), nil
}

// leastGas is the Prandtl number of air where it is least, which 0.7 and 0.71 in published
// ranges mean to hold.
const leastGas = 0.68

// FreeSphere is a sphere of a diameter [m] (Churchill 1983, Heat Exchanger Design Handbook 2.5.7):
//
//	Nu = 2 + 0.589 Ra^(1/4)/[1 + (0.469/Pr)^(9/16)]^(4/9)   Ra to 1e11, Pr from 0.7
func (f Fluid) FreeSphere(diameter, difference float64) (Coefficient, error) {
	const place = "sphere in still fluid"
	ra, err := f.still(place, diameter, difference, 0, 1e11)
	if err == nil {
		err = within(place, "Prandtl number", f.Prandtl(), leastGas, 1e6, "")
	}
	if err != nil {
		return Coefficient{}, err
	}
	return f.of(2+0.589*math.Pow(ra, 1./4)/hindered(0.469, f.Prandtl(), 4./9), ra, diameter), nil
}

// FreeRising is a horizontal plate on the side from which the fluid moves away: the top
// of a hot one, the underside of a cold one. Length [m] is its area over its perimeter
// (McAdams 1954; Lloyd & Moran 1974; Incropera & DeWitt, chapter 9):
//
//	Nu = 0.54 Ra^(1/4)   Ra from 1e4 to 1e7
//	Nu = 0.15 Ra^(1/3)   from there to 1e11
func (f Fluid) FreeRising(length, difference float64) (Coefficient, error) {
	ra, err := f.still("horizontal plate in still fluid, open side", length, difference, 1e4, 1e11)
	if err != nil {
		return Coefficient{}, err
	}
	if ra < 1e7 {
		return f.of(0.54*math.Pow(ra, 1./4), ra, length), nil
	}
	return f.of(0.15*math.Cbrt(ra), ra, length), nil
}

// FreeTrapped is a horizontal plate on the side on which the fluid is held: the top of a
// cold one, the underside of a hot one. Length [m] as in FreeRising (McAdams 1954;
// Incropera & DeWitt, chapter 9):
//
//	Nu = 0.27 Ra^(1/4)   Ra from 1e5 to 1e10
func (f Fluid) FreeTrapped(length, difference float64) (Coefficient, error) {
	ra, err := f.still("horizontal plate in still fluid, closed side", length, difference, 1e5, 1e10)
	if err != nil {
		return Coefficient{}, err
	}
	return f.of(0.27*math.Pow(ra, 1./4), ra, length), nil
}

// CrossFlow is a long cylinder across a stream of a speed [m/s] (Churchill & Bernstein
// 1977, Journal of Heat Transfer 99: 300):
//
//	Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3)/[1 + (0.4/Pr)^(2/3)]^(1/4) [1 + (Re/282000)^(5/8)]^(4/5)
//
// for Re Pr over 0.2 and Re up to 1e7.
func (f Fluid) CrossFlow(diameter, speed float64) (Coefficient, error) {
	const place = "cylinder across a stream"
	re, err := f.stream(place, diameter, speed, 0, 1e7)
	pr := f.Prandtl()
	if err == nil {
		err = within(place, "Reynolds times Prandtl number", re*pr, 0.2, 1e9, "")
	}
	if err != nil {
		return Coefficient{}, err
	}
	nu := 0.3 + 0.62*math.Sqrt(re)*math.Cbrt(pr)/math.Pow(1+math.Pow(0.4/pr, 2./3), 1./4)*
		math.Pow(1+math.Pow(re/282000, 5./8), 4./5)
	return f.of(nu, re, diameter), nil
}

// SphereInStream is a sphere of a diameter [m] in a stream [m/s] (Whitaker 1972, AIChE
// Journal 18: 361), without its factor for the viscosity at the surface, which air has no
// need of:
//
//	Nu = 2 + (0.4 Re^(1/2) + 0.06 Re^(2/3)) Pr^0.4   Re from 3.5 to 7.6e4, Pr from 0.71 to 380
func (f Fluid) SphereInStream(diameter, speed float64) (Coefficient, error) {
	const place = "sphere in a stream"
	re, err := f.stream(place, diameter, speed, 3.5, 7.6e4)
	if err == nil {
		err = within(place, "Prandtl number", f.Prandtl(), leastGas, 380, "")
	}
	if err != nil {
		return Coefficient{}, err
	}
	return f.of(2+(0.4*math.Sqrt(re)+0.06*math.Cbrt(re*re))*math.Pow(f.Prandtl(), 0.4), re, diameter), nil
}

// AlongPlate is the mean over a plate of a length [m] along a stream: laminar (Pohlhausen)
// up to a Reynolds number of 5e5, from there on turbulent behind a laminar part
// (Incropera & DeWitt, chapter 7):
//
//	Nu = 0.664 Re^(1/2) Pr^(1/3)
//	Nu = (0.037 Re^(4/5) - 871) Pr^(1/3)   Re to 1e8, Pr from 0.6 to 60
func (f Fluid) AlongPlate(length, speed float64) (Coefficient, error) {
	const place = "plate along a stream"
	re, err := f.stream(place, length, speed, 0, 1e8)
	pr := f.Prandtl()
	if err == nil {
		err = within(place, "Prandtl number", pr, 0.6, 60, "")
	}
	if err != nil {
		return Coefficient{}, err
	}
	nu := 0.664 * math.Sqrt(re)
	if re > 5e5 {
		nu = 0.037*math.Pow(re, 4./5) - 871
	}
	return f.of(nu*math.Cbrt(pr), re, length), nil
}

// Mixed is a slow stream in which the fluid also rises or falls by itself, with both
// coefficients of the same body (Incropera & DeWitt, chapter 9):
//
//	Nu³ = Nu_stream³ + Nu_still³
func Mixed(still, stream Coefficient) Coefficient {
	both := func(a, b float64) float64 { return math.Cbrt(a*a*a + b*b*b) }
	return Coefficient{both(still.H, stream.H), both(still.Nusselt, stream.Nusselt), stream.Driving}
}
