package phasechange

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pressureError is what the handbook grants its vapour pressures (ASHRAE
// Handbook - Fundamentals, 2017, ch. 1), relative.
const pressureError = 3e-4

// vapourSlope is the least d ln p/dT of saturated vapour [1/K] from 10 to 100 °C:
// 0.0355 at 100 °C by the steam tables (from memory).
const vapourSlope = 0.0355

// The saturated humidity ratios and the states of the handbook are held by
// thermal/internal/validation.

// testdata/humid-air/wet-bulb.csv: equation 33 of the handbook with another
// vapour pressure, to two decimals.
func TestWetBulbTable(t *testing.T) {
	var w worst
	refused := 0
	for _, r := range published(t, "humid-air/wet-bulb.csv") {
		a := HumidAir{T: r.number(t, "t"), W: r.number(t, "humidity_ratio"), Pressure: StandardPressure}
		got, err := a.WetBulb()
		if r["supersaturated"] == "yes" {
			var bad *Error
			require.ErrorAs(t, err, &bad, "%+v", a)
			assert.Contains(t, bad.Quantity, "humidity ratio")
			refused++
			continue
		}
		require.NoError(t, err, "%+v", a)
		want := r.number(t, "wet_bulb")
		assert.InDelta(t, want, got, 0.005+pressureError/vapourSlope, "%+v", a)
		w.see(math.Abs(got-want), "%+v", a)
	}
	assert.Equal(t, 5, refused)
	assert.Equal(t, 85, w.n)
	t.Log("largest deviation [K]:", &w)
}

func TestDewPointTable(t *testing.T) {
	for _, r := range published(t, "humid-air/dew-point.csv") {
		a := HumidAir{T: 150, W: r.number(t, "humidity_ratio"), Pressure: StandardPressure}
		got, err := a.DewPoint()
		require.NoError(t, err)
		assert.InDelta(t, r.number(t, "dew_point"), got, 0.005+pressureError/vapourSlope, "W %g", a.W)
		assert.InDelta(t, r.number(t, "mole_fraction"), 100*a.MoleFraction(), 0.005, "W %g", a.W)
	}
}

// The wet bulb against equations 33 and 35 as printed, in kJ.
func TestWetBulbSolvesTheEquations(t *testing.T) {
	var w worst
	ice := 0
	for _, a := range randomAir(3000) {
		wet, err := a.WetBulb()
		require.NoError(t, err)
		p := SaturationPressure(wet)
		if wet < 0 {
			p = SublimationPressure(wet)
			ice++
		}
		ws := 0.621945 * p / (a.Pressure - p)
		got := ((2501-2.326*wet)*ws - 1.006*(a.T-wet)) / (2501 + 1.86*a.T - 4.186*wet)
		if wet < 0 {
			got = ((2830-0.24*wet)*ws - 1.006*(a.T-wet)) / (2830 + 1.86*a.T - 2.1*wet)
		}
		w.see(math.Abs(got-a.W)/(a.W+1e-3), "%+v", a)
	}
	assert.Less(t, w.value, 1e-6, "%v", &w)
	assert.Greater(t, ice, 300)
}

// randomAir is n states from all over the range, some of them saturated, dry or
// next to 0 °C.
func randomAir(n int) []HumidAir {
	r := rand.New(rand.NewPCG(7, 11))
	var all []HumidAir
	for len(all) < n {
		a := HumidAir{T: -100 + 400*r.Float64(), Pressure: 20e3 + 480e3*r.Float64()}
		if r.IntN(3) == 0 {
			a.T = 20*r.Float64() - 5
		}
		rh := r.Float64()
		switch r.IntN(6) {
		case 0:
			rh = 0
		case 1:
			rh = 1
		case 2:
			rh = math.Exp(-12 * rh)
		}
		a, err := HumidAirFromRelativeHumidity(a.T, rh, a.Pressure)
		if err == nil {
			all = append(all, a)
		}
	}
	return all
}

func TestHumidAirLaws(t *testing.T) {
	for _, a := range randomAir(3000) {
		checkHumidAir(t, a)
	}
}

// checkHumidAir holds a valid state to what is true of all.
func checkHumidAir(t *testing.T, a HumidAir) {
	if err := a.Validate(); err != nil {
		t.Fatalf("%+v: %v", a, err)
	}
	for _, x := range []float64{a.VapourPressure(), a.RelativeHumidity(), a.Enthalpy(), a.Volume(), a.MoleFraction()} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("%+v: %v", a, x)
		}
	}
	same := func(from string, b HumidAir, err error, tolerance float64) {
		if err != nil || !(math.Abs(b.W-a.W) <= tolerance) || b.T != a.T || b.Pressure != a.Pressure {
			t.Fatalf("%+v by way of %s: %+v, %v", a, from, b, err)
		}
	}
	// Vapour that nearly fills the space makes W sensitive to its pressure.
	loose := (1e-9 + 1e-7*a.W) * (1 + a.W)
	rh := a.RelativeHumidity()
	if !(rh >= 0 && rh <= 1+saturationEps) || !(a.MoleFraction() >= 0 && a.MoleFraction() < 1) || !(a.Volume() > 0) {
		t.Fatalf("%+v: relative humidity %v, mole fraction %v, volume %v", a, rh, a.MoleFraction(), a.Volume())
	}
	b, err := HumidAirFromRelativeHumidity(a.T, min(rh, 1), a.Pressure)
	if a.W < maxHumidity*(1-1e-9) { // there rounding decides
		same("relative humidity", b, err, loose)
	}
	wet, err := a.WetBulb()
	if err != nil || !(wet <= a.T) {
		t.Fatalf("%+v: wet bulb %v, %v", a, wet, err)
	}
	b, err = HumidAirFromWetBulb(a.T, wet, a.Pressure)
	if a.W < maxHumidity*(1-1e-6) {
		if math.Abs(wet) < 1e-8 { // the two vapour pressures do not quite meet
			same("wet bulb", b, err, 1e-3*a.W)
		} else {
			same("wet bulb", b, err, loose)
		}
	}
	dew, err := a.DewPoint()
	if err != nil {
		if a.VapourPressure() > SublimationPressure(-100) {
			t.Fatalf("%+v: %v", a, err)
		}
		return
	}
	if !(dew <= wet) {
		t.Fatalf("%+v: dew point %v, wet bulb %v", a, dew, wet)
	}
	b, err = HumidAirFromDewPoint(a.T, max(dew, -100), a.Pressure)
	if a.W < maxHumidity*(1-1e-6) {
		if math.Abs(dew) < 1e-8 {
			same("dew point", b, err, 1e-3*a.W)
		} else {
			same("dew point", b, err, loose)
		}
	}
}

// More vapour raises everything; heat at the same vapour raises wet bulb, volume
// and enthalpy and lowers the relative humidity.
func TestHumidAirIsMonotone(t *testing.T) {
	for _, pressure := range []float64{20e3, 70e3, StandardPressure, 500e3} {
		for _, temp := range []float64{-40, -3, 0, 0.3, 2, 8, 25, 55, 90, 150, 300} {
			lastWet, lastDew, lastRH, lastH := math.Inf(-1), math.Inf(-1), -1.0, math.Inf(-1)
			for i := range 400 {
				a, err := HumidAirFromRelativeHumidity(temp, float64(i+1)/400, pressure)
				if err != nil {
					break
				}
				wet, err := a.WetBulb()
				require.NoError(t, err)
				dew, err := a.DewPoint()
				require.NoError(t, err)
				// near 0 °C the dew point rests, for water and ice do not quite meet
				assert.True(t, wet > lastWet && (dew > lastDew || dew == 0) && a.RelativeHumidity() > lastRH && a.Enthalpy() > lastH,
					"%+v: wet bulb %g after %g, dew point %g after %g", a, wet, lastWet, dew, lastDew)
				lastWet, lastDew, lastRH, lastH = wet, dew, a.RelativeHumidity(), a.Enthalpy()
			}
		}
		for _, w := range []float64{0, 1e-5, 2e-3, 3.9e-3, 0.01, 0.2, 5} {
			last, lastWet, n := HumidAir{}, math.Inf(-1), 0
			for temp := -100.0; temp <= 300; temp += 0.37 {
				a := HumidAir{T: temp, W: w, Pressure: pressure}
				wet, err := a.WetBulb()
				if err != nil {
					assert.Zero(t, n, "supersaturated only when colder: %v", err)
					continue
				}
				assert.Greater(t, wet, lastWet, "%+v", a)
				if n++; n > 1 {
					assert.Greater(t, a.Volume(), last.Volume())
					assert.Greater(t, a.Enthalpy(), last.Enthalpy())
					if w > 0 {
						assert.Less(t, a.RelativeHumidity(), last.RelativeHumidity(), "%+v", a)
					}
				}
				last, lastWet = a, wet
			}
			assert.Positive(t, n)
		}
	}
}

// Near 0 °C the wet bulb over water is preferred to the one over ice, and both
// are solutions.
func TestWetBulbOfWaterAndIce(t *testing.T) {
	onIce, err := HumidAirFromWetBulb(6, -0.1, StandardPressure)
	require.NoError(t, err)
	wet, err := onIce.WetBulb()
	require.NoError(t, err)
	assert.Greater(t, wet, 0.0)
	assert.Less(t, wet, 0.7)
	again, err := HumidAirFromWetBulb(6, wet, StandardPressure)
	require.NoError(t, err)
	assert.InDelta(t, onIce.W, again.W, 1e-11)
	// farther below 0 °C there is only ice
	dry, err := HumidAirFromWetBulb(6, -1, StandardPressure)
	require.NoError(t, err)
	wet, err = dry.WetBulb()
	require.NoError(t, err)
	assert.InDelta(t, -1, wet, 1e-8)
}

// Saturated air has its dry bulb as its dew point and wet bulb; superheated steam
// with next to no air has its boiling point.
func TestHumidAirAtItsEnds(t *testing.T) {
	for _, temp := range []float64{-100, -60, -0.01, 0, 0.005, 0.01, 20, 85, 99} {
		a, err := HumidAirFromRelativeHumidity(temp, 1, StandardPressure)
		require.NoError(t, err)
		wet, err := a.WetBulb()
		require.NoError(t, err)
		dew, err := a.DewPoint()
		require.NoError(t, err)
		assert.InDelta(t, temp, wet, 1e-6)
		assert.InDelta(t, temp, dew, 1e-6)
	}
	for _, pressure := range []float64{20e3, StandardPressure, 500e3} {
		steam := HumidAir{T: 250, W: 100, Pressure: pressure}
		wet, err := steam.WetBulb()
		require.NoError(t, err)
		boiling := SaturationTemperature(pressure)
		assert.Less(t, wet, boiling)
		assert.InDelta(t, boiling, wet, 0.3)
		// the volume of an ideal gas of nothing but steam, R 461.52 J/(kg K)
		assert.InEpsilon(t, 461.52*523.15/pressure, steam.Volume()/steam.W, 7e-3)
	}
	dry := HumidAir{T: 20, Pressure: StandardPressure}
	_, err := dry.DewPoint()
	var bad *Error
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad.Want, "frost point")
	// computed with the gas constant of ISO 2533, 287.05287 J/(kg K) (from memory),
	// which is 4e-5 above the handbook's
	assert.InEpsilon(t, 101325/(287.05287*293.15), 1/dry.Volume(), 4e-5)
}

func TestHumidAirErrors(t *testing.T) {
	nan, inf, one := math.NaN(), math.Inf(1), float64(StandardPressure)
	rh, dew, wet := HumidAirFromRelativeHumidity, HumidAirFromDewPoint, HumidAirFromWetBulb
	for _, c := range []struct {
		name        string
		make        func(t, x, p float64) (HumidAir, error)
		t, x, press float64
		quantity    string
	}{
		{"NaN temperature", rh, nan, 0.5, one, "dry-bulb"},
		{"too cold", dew, -100.001, -100, one, "dry-bulb"},
		{"too hot", wet, 300.001, 40, one, "dry-bulb"},
		{"-Inf temperature", wet, -inf, -inf, one, "dry-bulb"},
		{"NaN pressure", rh, 20, 0.5, nan, "pressure"},
		{"no pressure", rh, 20, 0.5, 0, "pressure"},
		{"bar for pascal", dew, 20, 10, 1.013, "pressure"},
		{"high pressure", wet, 20, 10, 500001, "pressure"},
		{"infinite pressure", wet, 20, 10, inf, "pressure"},
		{"NaN humidity", rh, 20, nan, one, "relative humidity"},
		{"negative humidity", rh, 20, -0.01, one, "relative humidity"},
		{"per cent for share", rh, 20, 50, one, "relative humidity"},
		{"supersaturated", rh, 20, 1.0001, one, "relative humidity"},
		{"pressure exceeded", rh, 150, 0.25, one, "relative humidity"},
		{"nothing but steam", rh, 100, 0.999, one, "relative humidity"},
		{"NaN dew point", dew, 20, nan, one, "dew point"},
		{"dew above dry", dew, 20, 20.1, one, "dew point"},
		{"dew too cold", dew, 20, -101, one, "dew point"},
		{"dew at boiling", dew, 150, 99.98, one, "dew point"},
		{"NaN wet bulb", wet, 20, nan, one, "wet bulb"},
		{"wet above dry", wet, 20, 20.1, one, "wet bulb"},
		{"drier than dry", wet, 40, 5, one, "wet bulb"},
		{"much drier than dry", wet, 300, -100, one, "wet bulb"},
		{"wet at boiling", wet, 200, 99.98, one, "wet bulb"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, err := c.make(c.t, c.x, c.press)
			assert.Zero(t, a)
			var bad *Error
			require.ErrorAs(t, err, &bad)
			assert.Contains(t, bad.Quantity, c.quantity)
			assert.Contains(t, err.Error(), "humid air")
		})
	}
	for _, a := range []HumidAir{
		{}, {T: 20, W: nan, Pressure: one}, {T: 20, W: -1e-9, Pressure: one}, {T: 200, W: 100.1, Pressure: one},
		{T: 200, W: inf, Pressure: one}, {T: nan, W: 0, Pressure: one}, {T: 20, W: 0, Pressure: nan}, {T: 20, W: 0.0148, Pressure: one},
	} {
		_, dewErr := a.DewPoint()
		_, wetErr := a.WetBulb()
		for _, err := range []error{a.Validate(), dewErr, wetErr} {
			var bad *Error
			assert.ErrorAs(t, err, &bad, "%+v", a)
		}
	}
}

func FuzzHumidAir(f *testing.F) {
	f.Add(uint8(0), 40.0, 0.14, 101325.0)
	f.Add(uint8(1), 25.0, -10.0, 95461.0)
	f.Add(uint8(2), 180.0, 60.0, 101325.0)
	f.Add(uint8(2), 6.0, -0.1, 101325.0)
	f.Add(uint8(3), 250.0, 100.0, 500e3)
	f.Add(uint8(3), 250.0, 91.0, 55555.0) // saturated at its wet bulb it would have more than 100 kg/kg
	f.Add(uint8(3), 0.0, 0.003776, 101325.0)
	f.Add(uint8(3), -100.0, 0.0, 20e3)
	f.Add(uint8(0), math.NaN(), math.Inf(1), -1.0)
	f.Fuzz(func(t *testing.T, by uint8, temp, x, pressure float64) {
		a, err := HumidAir{T: temp, W: x, Pressure: pressure}, error(nil)
		switch by % 4 {
		case 0:
			a, err = HumidAirFromRelativeHumidity(temp, x, pressure)
		case 1:
			a, err = HumidAirFromDewPoint(temp, x, pressure)
		case 2:
			a, err = HumidAirFromWetBulb(temp, x, pressure)
		default:
			err = a.Validate()
		}
		if err != nil {
			var bad *Error
			if !errors.As(err, &bad) || by%4 < 3 && a != (HumidAir{}) {
				t.Fatalf("error %v with %+v", err, a)
			}
			return
		}
		checkHumidAir(t, a)
	})
}

func BenchmarkWetBulb(b *testing.B) {
	for _, c := range []struct {
		name string
		air  HumidAir
	}{{"water", HumidAir{T: 180, W: 0.05, Pressure: StandardPressure}}, {"ice", HumidAir{T: -5, W: 0.001, Pressure: StandardPressure}}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := c.air.WetBulb(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
