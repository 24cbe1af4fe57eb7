package convection

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/phasechange"
)

// table reads a CSV of testdata; what is empty or no number is NaN.
func table(t *testing.T, name string) []map[string]string {
	f, err := os.Open("../../testdata/convection/" + name)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, v := range r {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	require.NotEmpty(t, out)
	return out
}

func value(row map[string]string, key string) float64 {
	v, err := strconv.ParseFloat(row[key], 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

func correlations(f Fluid) map[string]func(length, driven float64) (Coefficient, error) {
	return map[string]func(length, driven float64) (Coefficient, error){
		"free cylinder": f.FreeCylinder, "free vertical": f.FreeVertical, "free sphere": f.FreeSphere,
		"free rising": f.FreeRising, "free trapped": f.FreeTrapped,
		"cross flow": f.CrossFlow, "sphere in stream": f.SphereInStream, "along plate": f.AlongPlate,
	}
}

// TestTextbook: within 0.1 % of the equations, and within 1 % of what the book prints.
func TestTextbook(t *testing.T) {
	for _, row := range table(t, "textbook.csv") {
		f := Fluid{value(row, "conductivity"), value(row, "viscosity"), value(row, "diffusivity"), value(row, "expansion")}
		c, err := correlations(f)[row["case"]](value(row, "length_m"), value(row, "driven_by"))
		require.NoError(t, err)
		assert.InEpsilon(t, value(row, "driving"), c.Driving, 1e-3, row["case"])
		assert.InEpsilon(t, value(row, "nusselt"), c.Nusselt, 1e-3, row["case"])
		assert.InEpsilon(t, value(row, "h"), c.H, 2e-3, row["case"])
		assert.InEpsilon(t, value(row, "printed"), c.H, 1e-2, row["case"])
	}
}

// TestAir: within 1 % of other properties of air in the same equations.
func TestAir(t *testing.T) {
	for _, row := range table(t, "air.csv") {
		around, surface := value(row, "air_C"), value(row, "surface_C")
		air, err := Air((around+surface)/2, phasechange.StandardPressure)
		require.NoError(t, err)
		driven := value(row, "speed")
		if math.IsNaN(driven) {
			driven = surface - around
		}
		c, err := correlations(air)[row["case"]](value(row, "length_m"), driven)
		require.NoError(t, err)
		assert.InEpsilon(t, value(row, "h"), c.H, 1e-2, "%v", row)
	}
}

// TestFluids against values of tables: air of Incropera & DeWitt, table A.4 (300, 400, 500
// K), whose density is that at 1 bar and whose conductivity is up to 2 % above that of the
// VDI Heat Atlas, which Air follows; water of the IAPWS formulations (both from memory).
func TestFluids(t *testing.T) {
	for _, c := range []struct{ t, k, nu, pr float64 }{
		{26.85, 26.3e-3, 15.89e-6, 0.707}, {126.85, 33.8e-3, 26.41e-6, 0.690}, {226.85, 40.7e-3, 38.79e-6, 0.684}} {
		f, err := Air(c.t, 1e5)
		require.NoError(t, err)
		assert.InEpsilon(t, c.k, f.Conductivity, 0.02)
		assert.InEpsilon(t, c.nu, f.Viscosity, 0.0125)
		assert.InEpsilon(t, c.pr, f.Prandtl(), 0.015)
	}
	for _, c := range []struct{ t, k, nu, beta, pr float64 }{
		{20, 0.598, 1.004e-6, 2.07e-4, 7.01}, {50, 0.644, 0.553e-6, 4.57e-4, 3.55}, {80, 0.670, 0.365e-6, 6.4e-4, 2.22}} {
		f, err := Water(c.t)
		require.NoError(t, err)
		assert.InEpsilon(t, c.k, f.Conductivity, 0.01)
		assert.InEpsilon(t, c.nu, f.Viscosity, 0.02)
		assert.InEpsilon(t, c.beta, f.Expansion, 0.02)
		assert.InEpsilon(t, c.pr, f.Prandtl(), 0.03)
	}
}

// TestLimits: still fluid around a small sphere conducts, Nu = 2; both ways of the
// heat are alike; a mixture is at least the greater.
func TestLimits(t *testing.T) {
	air, err := Air(20, phasechange.StandardPressure)
	require.NoError(t, err)
	c, err := air.FreeSphere(1e-4, 1e-3)
	require.NoError(t, err)
	assert.InDelta(t, 2, c.Nusselt, 0.02)
	hot, err := air.FreeCylinder(0.05, 30)
	require.NoError(t, err)
	cold, err := air.FreeCylinder(0.05, -30)
	require.NoError(t, err)
	assert.Equal(t, hot, cold)
	stream, err := air.CrossFlow(0.05, 0.2)
	require.NoError(t, err)
	m := Mixed(hot, stream)
	assert.Greater(t, m.H, max(hot.H, stream.H))
	assert.Less(t, m.H, hot.H+stream.H)
	slow, err := air.AlongPlate(0.3, 1)
	require.NoError(t, err)
	fast, err := air.AlongPlate(0.3, 2)
	require.NoError(t, err)
	assert.InEpsilon(t, math.Sqrt2, fast.H/slow.H, 1e-12)
}

func TestRanges(t *testing.T) {
	nan := math.NaN()
	for _, bad := range []float64{nan, math.Inf(1), -150, 700} {
		_, err := Air(bad, 1e5)
		assert.Error(t, err)
		_, err = Water(bad)
		assert.Error(t, err)
	}
	_, err := Air(20, 0)
	assert.Error(t, err)
	air, err := Air(20, 1e5)
	require.NoError(t, err)
	for name, of := range correlations(air) {
		for _, bad := range [][2]float64{{nan, 1}, {0.1, nan}, {-0.1, 1}, {0, 1}, {100, 1}, {0.1, 0}, {0.1, math.Inf(1)}, {0.1, 1e9}} {
			_, err := of(bad[0], bad[1])
			var input *InputError
			assert.True(t, errors.As(err, &input), "%s %v", name, bad)
		}
		_, err := correlations(Fluid{})[name](0.1, 1)
		assert.Error(t, err, name)
	}
	for name, of := range map[string]func() (Coefficient, error){
		"thin plate":   func() (Coefficient, error) { return air.FreeRising(0.005, 5) },                               // Ra under 1e4
		"small plate":  func() (Coefficient, error) { return air.FreeTrapped(0.02, 5) },                               // Ra under 1e5
		"slow ball":    func() (Coefficient, error) { return air.SphereInStream(0.001, 0.01) },                        // Re under 3.5
		"ball in oil":  func() (Coefficient, error) { return Fluid{0.13, 5e-5, 7e-8, 7e-4}.SphereInStream(0.1, 0.1) }, // Pr over 380
		"fast ball":    func() (Coefficient, error) { return air.SphereInStream(0.2, 20) },                            // Re over 7.6e4
		"crawl":        func() (Coefficient, error) { return air.CrossFlow(1e-4, 1e-2) },                              // Re Pr under 0.2
		"tall in hall": func() (Coefficient, error) { return air.FreeCylinder(10, 500) },                              // Ra over 1e12
	} {
		_, err := of()
		var input *InputError
		if assert.ErrorAs(t, err, &input, name) {
			assert.Contains(t, input.Field, "number")
		}
	}
}
