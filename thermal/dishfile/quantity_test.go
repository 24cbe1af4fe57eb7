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
		{Coverage("100 g/m²"), 0.1}, {Power("2 kW"), 2000}, {Power("1800W"), 1800}, {Volume("60 l"), 0.06}, {Volume("2 ft³"), 0.056633693184}, {Volume("0.06 m3"), 0.06},
		{Difference("20 K"), 20}, {Difference("36 F"), 20}, {Difference("-5 °C"), -5}, {Conductance("4 W/K"), 4}, {Flow("0.5 g/s"), 5e-4}, {Flow("3.6 kg/h"), 1e-3}, {Flow("60 g/min"), 1e-3},
	} {
		got, err := c.q.SI()
		require.NoError(t, err, c.q)
		assert.InDelta(t, c.want, got, 1e-12*max(1, c.want), c.q)
	}
	for _, q := range []quantity{Length(""), Length("6"), Length("mm"), Length("6 C"), Length("1/0 in"), Length("NaN m"), Length("1e999 m"),
		Length("0x10 mm"), Length("1 m -2 cm"), Temp("20 C 5 C"), Temp("20"), Time("5 m"), Time("10 min 5"), Share("0.5"),
		Area("600 cm² 3"), Coefficient("20 W/mK")} {
		_, err := q.SI()
		assert.Error(t, err, q)
	}
}

// TestQuantitiesAsTyped takes what cooks, word processors and other countries make of a
// quantity; the values are plain arithmetic.
func TestQuantitiesAsTyped(t *testing.T) {
	for _, c := range []struct {
		q    quantity
		want float64
	}{
		{Temp("25 °C"), 25}, {Temp("25C"), 25}, {Temp("25 ° C"), 25}, {Temp("25°c"), 25}, {Temp("25 degC"), 25}, {Temp("25 deg C"), 25},
		{Temp("25deg. c"), 25}, {Temp("25 degrees Celsius"), 25}, {Temp("25 ℃"), 25}, {Temp("25\u00a0°C"), 25}, {Temp("25\u2009ºC"), 25}, {Temp("25\u202f˚C"), 25},
		{Temp("77 F"), 25}, {Temp("77 °f"), 25}, {Temp("77℉"), 25}, {Temp("77 degrees fahrenheit"), 25}, {Temp("298.15 k"), 25},
		{Temp("−18 °C"), -18}, {Temp("–18 C"), -18}, {Temp("—18 C"), -18}, {Temp("- 18 C"), -18}, {Temp("+5 C"), 5}, {Temp("−½ C"), -0.5}, {Temp("-2,5 C"), -2.5},
		{Length("2,5 cm"), 0.025}, {Length("0,500 m"), 0.5}, {Length(".5 m"), 0.5}, {Length("2½ cm"), 0.025}, {Length("2 ½ cm"), 0.025}, {Length("¾in"), 0.01905},
		{Length("1⁄4 inch"), 0.00635}, {Length("1-1/2 in"), 0.0381}, {Length("6 MM"), 0.006}, {Length("6 millimeters"), 0.006}, {Length("1 foot 2 Inches"), 0.3556},
		{Time("½ h"), 1800}, {Time("1 ½ hours"), 5400}, {Time("1 h 30"), 5400}, {Time("1h30"), 5400}, {Time("1 hr 5"), 3900}, {Time("90min"), 5400}, {Time("90 mins"), 5400},
		{Time("90 MIN"), 5400}, {Time("1:30 h"), 5400}, {Time("1:30:20 h"), 5420}, {Time("1:30 min"), 90}, {Time("2 d 1 h 30"), 178200}, {Time("1,5 h"), 5400},
		{Mass("1,5 kg"), 1.5}, {Mass("1.5 Kg"), 1.5}, {Mass("2 lbs 3 ounces"), 2*0.45359237 + 3*0.028349523125}, {Mass("500 grams"), 0.5}, {Mass("1500 G"), 1.5},
		{Share("50%"), 0.5}, {Share("50 %"), 0.5}, {Share("50\u202f%"), 0.5}, {Share("62,5 percent"), 0.625},
		{Area("600 cm²"), 0.06}, {Area("600cm2"), 0.06}, {Area("600 cm^2"), 0.06}, {Area("0,06 m²"), 0.06},
		{Pressure("1013 HPA"), 101300}, {Pressure("1,013 bar"), 0}, {Coefficient("20 W/m^2 K"), 20}, {Coverage("½ kg/m²"), 0.5},
		{Power("2,2 KW"), 2200}, {Volume("60 Litres"), 0.06}, {Volume("60 L"), 0.06}, {Volume("2 ft^3"), 0.056633693184}, {Difference("20 degrees C"), 20}, {Difference("20 °k"), 20},
	} {
		got, err := c.q.SI()
		if c.want == 0 {
			assert.ErrorContains(t, err, "1.013", "%v: a comma before three digits could be one of thousands", c.q)
			continue
		}
		require.NoError(t, err, c.q)
		assert.InDelta(t, c.want, got, 1e-12*max(1, c.want), c.q)
	}
}

// TestQuantitiesInDoubt are not guessed: the message has what would be taken.
func TestQuantitiesInDoubt(t *testing.T) {
	for _, c := range []struct {
		q    quantity
		says string
	}{
		{Mass("1,500 g"), `"1,500 g" can be read in two ways, want a decimal point (1.500), or thousands without a comma (1500)`},
		{Mass("1,234,567 g"), `has a comma that is no decimal point, want a weight such as '1.2 kg'`},
		{Mass("1.234,5 g"), `has a comma that is no decimal point`},
		{Time("1:30"), `"1:30" can be hours or minutes, want '1:30 h' or '1:30 min'`},
		{Time("10 min 5"), `"10 min 5" has no unit, want a time such as`},
		{Time("5 m"), `unknown unit "m", want a time such as '35 min' or '2 h 10 min' in s, min, h`},
		{Time("20-25 min"), `"20-25 min" is a range, want one value, a time such as '35 min'`},
		{Time("20 – 25 min"), `is a range`}, {Time("20 to 25 min"), `is a range`},
		{Temp("180"), `"180" has no unit, want a temperature such as '-18 C' or '425 F'`}, {Temp("180 °"), `unknown unit "°"`},
		{Temp("180 degrees"), `unknown unit "degrees"`}, {Temp("hot"), `"hot" is no such quantity, want a temperature such as`},
		{Pressure("1 MPa"), `unknown unit "MPa", want a pressure such as '1013 hPa'`}, {Pressure("1 mPa"), `unknown unit "mPa"`},
		{Length("1½2 mm"), `want a length such as '6 mm'`}, {Length("2^2 mm"), `want a length`},
	} {
		_, err := c.q.SI()
		assert.ErrorContains(t, err, c.says, c.q)
	}
}

// FuzzQuantities: a plain form is its own plain form and worth the same; nothing is read as
// what is no number.
func FuzzQuantities(f *testing.F) {
	for _, text := range []string{"6 mm", "1 1/2 in", "−18 °C", "2,5 cm", "1½ h", "1 h 30", "1:30 h", "1,500 g", "25 deg C", "1e-9 kg/(m² s Pa)", "20–25 min"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for name, d := range dimensions {
			plain := d.plain(text)
			require.Equal(t, plain, d.plain(plain), "%s %q", name, text)
			x, err := d.read(text)
			require.Zero(t, x-x, "%s %q", name, text)
			if len(text) > maxText || len(plain) > maxText {
				continue
			}
			y, fault := d.read(plain)
			require.Equal(t, err == nil, fault == nil, "%s %q", name, text)
			require.Equal(t, x, y, "%s %q", name, text)
		}
	})
}
