package thermal

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const atmosphere = phasechange.StandardPressure

func TestHumidityPressure(t *testing.T) {
	for _, c := range []struct {
		humidity     Humidity
		fluid, total float64
		want, within float64 // [Pa]
		source       string
	}{
		{WetBulb(20), 40, atmosphere, 1048, 8 + 17, "ASHRAE Fundamentals (2017), chapter 1, example 1: 0.0065 kg/kg, printed to 8 Pa; the ideal gas may be off by 0.7 % of saturation at the wet bulb, 17 Pa"},
		{HumidityRatio(0.0065), 40, atmosphere, 0.14 * 7384, 0.005 * 7384, "the same: relative humidity 14 %; saturation 7384 Pa, steam tables"},
		{HumidityRatio(0.10), 150, atmosphere, 0.1385 * atmosphere, 0.00005 * atmosphere, "common table of dew points: mole fraction 13.85 %"},
		{DewPoint(52.60), 150, atmosphere, 0.1385 * atmosphere, 0.00005 * atmosphere, "the same"},
		{RelativeHumidity(1), 25, atmosphere, 3169.9, 0.5, "steam tables (IAPWS-IF97)"},
		{RelativeHumidity(0.5), 120, atmosphere, 99334, 20, "steam tables (IAPWS-IF97): 198.67 kPa at 120 °C"},
		{RelativeHumidity(1), -20, atmosphere, 103.26, 0.03, "ASHRAE Fundamentals (2017), chapter 1, table 3 (from memory), which has another formula"},
		{RelativeHumidity(1), 100, atmosphere, atmosphere, 0, "0.1 % over the total pressure: steam"},
		{Steam(), 180, atmosphere, atmosphere, 0, "definition"},
		{Steam(), 99.606, atmosphere, 100e3, 5, "saturated: the boiling point at 1 bar, steam tables (IAPWS-IF97)"},
		{VapourPressure(1200), 20, atmosphere, 1200, 0, "definition"},
		{HumidityRatio(0), 20, atmosphere, 0, 0, "dry air"},
		{VapourPressure(300e3), 200, 300e3, 300e3, 0, "steam at 3 bar"},
		{HumidityRatio(0.02), 700, atmosphere, 0.0312 * atmosphere, 0.00005 * atmosphere, "a hot oven; mole fraction from the table of dew points"},
	} {
		t.Run(fmt.Sprint(c.humidity, " at ", c.fluid), func(t *testing.T) {
			p, open, err := c.humidity.pressure(c.fluid, c.total)
			require.NoError(t, err)
			assert.True(t, open)
			assert.InDelta(t, c.want, p, c.within, c.source)
		})
	}
}

func TestSealedIsZero(t *testing.T) {
	assert.Equal(t, Humidity{}, Sealed())
	p, open, err := Humidity{}.pressure(math.NaN(), -1)
	assert.False(t, open)
	assert.Zero(t, p)
	assert.NoError(t, err)
}

func TestHumidityFaults(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		humidity     Humidity
		fluid, total float64
		says         string
	}{
		{HumidityRatio(-0.01), 20, atmosphere, "humidity ratio [kg/kg] -0.01, want 0 to 100"},
		{HumidityRatio(nan), 20, atmosphere, "humidity ratio"},
		{HumidityRatio(inf), 20, atmosphere, "humidity ratio"},
		{HumidityRatio(0.02), 20, atmosphere, "no more vapour than saturates air of 20 °C"},
		{HumidityRatio(0.002), -20, atmosphere, "no more vapour than saturates air of -20 °C"},
		{RelativeHumidity(1.01), 20, atmosphere, "relative humidity 1.01, want 0 to 1"},
		{RelativeHumidity(-1), 20, atmosphere, "relative humidity"},
		{RelativeHumidity(nan), 20, atmosphere, "relative humidity"},
		{RelativeHumidity(0.8), 120, atmosphere, "no more than the total pressure of 101325 Pa, not 158"},
		{RelativeHumidity(0.001), 400, atmosphere, "below 374 °C"},
		{DewPoint(21), 20, atmosphere, "dew point [°C] 21, want -100 to the fluid's 20"},
		{DewPoint(-101), 20, atmosphere, "dew point"},
		{DewPoint(nan), 20, atmosphere, "dew point"},
		{DewPoint(110), 150, atmosphere, "no more than the total pressure"},
		{WetBulb(21), 20, atmosphere, "wet bulb"},
		{WetBulb(0), 60, atmosphere, "wet bulb"},
		{WetBulb(nan), 60, atmosphere, "wet bulb"},
		{WetBulb(60), 400, atmosphere, "dry-bulb temperature"},
		{VapourPressure(-1), 20, atmosphere, "vapour pressure [Pa] -1, want at least 0"},
		{VapourPressure(nan), 20, atmosphere, "vapour pressure"},
		{VapourPressure(inf), 150, atmosphere, "vapour pressure"},
		{VapourPressure(3000), 20, atmosphere, "saturates air of 20 °C: 2339"},
		{VapourPressure(120e3), 150, atmosphere, "total pressure"},
		{Steam(), 90, atmosphere, "near the boiling point or above"},
		{Steam(), nan, atmosphere, "fluid temperature"},
		{Steam(), 1001, atmosphere, "fluid temperature"},
		{Steam(), 150, nan, "total pressure"},
		{Steam(), 150, 0, "total pressure"},
		{Steam(), 150, inf, "total pressure"},
	} {
		t.Run(fmt.Sprint(c.humidity, " at ", c.fluid), func(t *testing.T) {
			p, open, err := c.humidity.pressure(c.fluid, c.total)
			var fault *InputError
			require.True(t, errors.As(err, &fault), "%v", err)
			assert.Equal(t, humidityPlace, fault.Place)
			assert.Contains(t, err.Error(), c.says)
			assert.False(t, open)
			assert.Zero(t, p)
		})
	}
}

// Each way to say a humidity leads to the same air.
func TestHumidityRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	for range 2000 {
		fluid := -40 + 330*rng.Float64()
		total := 20e3 + 480e3*rng.Float64()
		most := math.Min(saturatedOver(fluid), 0.9*total) // there are humidity ratios up to 100 only
		p := most * (1e-3 + 0.999*rng.Float64())
		air := phasechange.HumidAir{T: fluid, W: vapourToAir * p / (total - p), Pressure: total}
		dew, err := air.DewPoint()
		require.NoError(t, err)
		wet, err := air.WetBulb()
		require.NoError(t, err)
		ways := []Humidity{HumidityRatio(air.W), RelativeHumidity(math.Min(1, air.RelativeHumidity())), VapourPressure(p), DewPoint(dew)}
		// at a wet bulb near 0 °C there is one air for water and another for ice
		if math.Abs(wet) > 1 {
			ways = append(ways, WetBulb(wet))
		}
		for _, h := range ways {
			q, open, err := h.pressure(fluid, total)
			require.NoError(t, err, "%v at %v °C, %v Pa", h, fluid, total)
			require.True(t, open)
			// wet bulb and dew point are known to 1e-9 K, of which dry air's vapour makes the most
			require.InDelta(t, p, q, 1e-8*p+1e-9*total, "%v at %v °C, %v Pa", h, fluid, total)
			again := phasechange.HumidAir{T: fluid, W: vapourToAir * q / (total - q), Pressure: total}
			b, err := again.WetBulb()
			require.NoError(t, err)
			require.InDelta(t, wet, b, 1e-6, "%v at %v °C, %v Pa", h, fluid, total)
		}
	}
}

func TestHumidityString(t *testing.T) {
	for want, h := range map[string]Humidity{
		"sealed":                  {},
		"0.01 kg/kg of dry air":   HumidityRatio(0.01),
		"60 % relative humidity":  RelativeHumidity(0.6),
		"dew point 12 °C":         DewPoint(12),
		"wet bulb 60 °C":          WetBulb(60),
		"vapour pressure 1200 Pa": VapourPressure(1200),
		"steam":                   Steam(),
	} {
		assert.Equal(t, want, h.String())
	}
}

func FuzzHumidity(f *testing.F) {
	f.Add(uint8(1), 0.01, 180.0, 101325.0)
	f.Add(uint8(2), 0.5, 20.0, 101325.0)
	f.Add(uint8(4), -3.0, 0.5, 95e3)
	f.Add(uint8(6), 0.0, 100.0, 101325.0)
	f.Fuzz(func(t *testing.T, kind uint8, v, fluid, total float64) {
		h := Humidity{humidityKind(kind % (uint8(steam) + 1)), v}
		p, open, err := h.pressure(fluid, total)
		if err != nil {
			var fault *InputError
			require.True(t, errors.As(err, &fault))
			require.False(t, open)
			return
		}
		if !open {
			require.Equal(t, sealed, h.kind)
			return
		}
		require.True(t, p >= 0 && p <= total, "%v at %v °C, %v Pa: %v Pa", h, fluid, total, p)
		require.LessOrEqual(t, p, saturatedOver(fluid)*(1+2*overSaturated))
	})
}

func BenchmarkHumidity(b *testing.B) {
	for _, h := range []Humidity{HumidityRatio(0.01), RelativeHumidity(0.1), DewPoint(20), WetBulb(60), Steam()} {
		b.Run(h.String(), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := h.pressure(180, atmosphere); err != nil && h.kind != relativeHumidity {
					b.Fatal(err)
				}
			}
		})
	}
}
