package dishfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Inch, pound and ounce are exact by definition (international yard and pound, 1959).
func TestQuantities(t *testing.T) {
	for _, c := range []struct {
		q    quantity
		want float64
	}{
		{Length("6 mm"), 0.006}, {Length("6mm"), 0.006}, {Length("1/4 in"), 0.00635}, {Length("1 1/2 in"), 0.0381},
		{Length("1 ft 2 in"), 0.3556}, {Length("40 µm"), 40e-6}, {Length("40 μm"), 40e-6}, {Area("600 cm²"), 0.06},
		{Temp("-18 C"), -18}, {Temp("425 F"), 393 / 1.8}, {Temp("-40 °F"), -40}, {Temp("273.15 K"), 0},
		{Time("35 min"), 2100}, {Time("2 h 10 min"), 7800}, {Time("2h10min"), 7800}, {Time("1.5 d"), 129600},
		{Mass("1.2 kg"), 1.2}, {Mass("1 lb 4 oz"), 0.45359237 + 4*0.028349523125}, {Share("62.5 %"), 0.625}, {Share("3 g/100 g"), 0.03},
		{Pressure("1013.25 hPa"), 101325}, {Coefficient("20 W/(m² K)"), 20}, {Coefficient("20 W/m2K"), 20},
		{Coefficient("20 W/(m²·K)"), 20}, {Resistance("0.002 m² K/W"), 0.002}, {Permeance("1e-9 kg/(m² s Pa)"), 1e-9},
		{Coverage("100 g/m²"), 0.1},
	} {
		got, err := c.q.SI()
		require.NoError(t, err, c.q)
		assert.InDelta(t, c.want, got, 1e-12*max(1, c.want), c.q)
	}
	for _, q := range []quantity{Length(""), Length("6"), Length("mm"), Length("6 C"), Length("1/0 in"), Length("NaN m"), Length("1e999 m"),
		Length("0x10 mm"), Length("1 m -2 cm"), Temp("20 C 5 C"), Temp("20"), Time("5 m"), Time("10 min 5"), Share("0.5"), Mass("1,2 kg"),
		Area("600 cm² 3"), Coefficient("20 W/mK")} {
		_, err := q.SI()
		assert.Error(t, err, q)
	}
}
