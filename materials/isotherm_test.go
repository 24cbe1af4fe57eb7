package materials

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// GAB with 0.07, 15, 0.82 computed by another program; hard wheat at 25 °C by the
// modified Oswin equation of ASAE D245 (from memory): a = 0.11785, b = 1/2.9987.
func TestIsothermValues(t *testing.T) {
	wheat := Oswin((13.101-0.052626*25)/100, 1/2.9987)
	tests := []struct {
		iso   Isotherm
		aw, x float64
		tol   float64
	}{
		{GAB(0.07, 15, 0.82), 0.1, 0.0437, 1e-4}, {GAB(0.07, 15, 0.82), 0.2, 0.0625, 1e-4}, {GAB(0.07, 15, 0.82), 0.3, 0.0771, 1e-4},
		{GAB(0.07, 15, 0.82), 0.4, 0.0916, 1e-4}, {GAB(0.07, 15, 0.82), 0.5, 0.1083, 1e-4}, {GAB(0.07, 15, 0.82), 0.6, 0.1289, 1e-4},
		{GAB(0.07, 15, 0.82), 0.7, 0.1566, 1e-4}, {GAB(0.07, 15, 0.82), 0.8, 0.1966, 1e-4}, {GAB(0.07, 15, 0.82), 0.9, 0.2610, 1e-4},
		{GAB(0.07, 15, 0.82), 0.95, 0.3109, 1e-4},
		{Isotherm{}, 0.5, 0.1083, 1e-4}, {Isotherm{}, 0.9, 0.2610, 1e-4},
		{wheat, 0.1, 0.0566, 1e-4}, {wheat, 0.3, 0.0888, 1e-4}, {wheat, 0.5, 0.1179, 1e-4}, {wheat, 0.7, 0.1563, 1e-4},
		{wheat, 0.8, 0.1871, 1e-4}, {wheat, 0.9, 0.2452, 1e-4},
	}
	for _, test := range tests {
		assert.InDelta(t, test.x, test.iso.Moisture(test.aw), test.tol, "%v at %v", test.iso, test.aw)
	}
}

func TestIsothermInverse(t *testing.T) {
	for _, iso := range []Isotherm{
		{}, GAB(0.07, 15, 0.82), GAB(0.07, 1, 0.9), GAB(0.05, 0.4, 0.95), GAB(0.1, 1e5, 0.7), GAB(0.08, 12, 0.999), GAB(0.06, 2, 0.1),
		Oswin(0.118, 1/2.9987), Oswin(0.3, 1), Oswin(0.01, 3), Oswin(0.2, 0.1),
	} {
		require.NoError(t, iso.Validate())
		assert.Zero(t, iso.Moisture(0))
		last := -1.0
		for i := range 1001 {
			aw := float64(i) / 1000
			x := iso.Moisture(aw)
			require.False(t, math.IsInf(x, 0) || math.IsNaN(x), "%v", iso)
			assert.Greater(t, x, last, "%v at %v", iso, aw)
			// Near 1 a flat inverse is as good as X says: compare there, too.
			assert.InDelta(t, aw, iso.Activity(x), 1e-9, "%v at %v", iso, aw)
			last = x
		}
		assert.Equal(t, 1.0, iso.Activity(last*1.01+1e-9))
		assert.Equal(t, 1.0, iso.Activity(math.Inf(1)))
		assert.Zero(t, iso.Activity(0))
		assert.Zero(t, iso.Activity(-1))
		assert.Equal(t, iso.Moisture(1), iso.Moisture(1.5))
		assert.Equal(t, iso.Moisture(0), iso.Moisture(-0.5))
		assert.True(t, math.IsNaN(iso.Moisture(math.NaN())))
		assert.True(t, math.IsNaN(iso.Activity(math.NaN())))
	}
}

func TestOswinTangentAboveItsEnd(t *testing.T) {
	iso := Oswin(0.118, 0.33)
	const h = 1e-6
	below := (iso.Moisture(oswinEnd) - iso.Moisture(oswinEnd-h)) / h
	above := (iso.Moisture(oswinEnd+h) - iso.Moisture(oswinEnd)) / h
	assert.InEpsilon(t, below, above, 1e-4)
	assert.InEpsilon(t, above, (iso.Moisture(1)-iso.Moisture(0.97))/0.03, 1e-6)
}

func TestIsothermValidate(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		iso      Isotherm
		constant string
	}{
		{GAB(0, 15, 0.8), "xm"}, {GAB(nan, 15, 0.8), "xm"}, {GAB(3, 15, 0.8), "xm"}, {GAB(0.07, 0, 0.8), "c"}, {GAB(0.07, math.Inf(1), 0.8), "c"},
		{GAB(0.07, 15, 1), "k"}, {GAB(0.07, 15, -1), "k"}, {GAB(0.07, 15, nan), "k"},
		{Oswin(0, 0.3), "a"}, {Oswin(nan, 0.3), "a"}, {Oswin(0.1, 0), "b"}, {Oswin(0.1, 5), "b"},
	} {
		var e *IsothermError
		require.True(t, errors.As(c.iso.Validate(), &e), "%v", c.iso)
		assert.Equal(t, c.constant, e.Constant)
		assert.Contains(t, e.Error(), "materials: ")
	}
	assert.NoError(t, Isotherm{}.Validate())
	assert.True(t, Isotherm{}.IsZero())
	assert.False(t, GAB(0, 0, 0).IsZero())
}

func TestIsothermStringIsReadBack(t *testing.T) {
	for _, iso := range []Isotherm{{}, GAB(0.07, 15, 0.82), Oswin(0.13, 1.0/3)} {
		got, err := parseIsotherm(iso.String())
		require.NoError(t, err)
		assert.Equal(t, iso, got)
	}
}
