package kinetics

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rateOf is the rate constant [1/s] of a quantity at t [°C].
func rateOf(q Quantity, t float64) float64 { return q.Law.rate().At(t) }

// The colour of bread crust, ΔE = 52 (1 - exp(-kt)) with k = 42 000 1/s exp(-64 151/RT)
// (Zanoni, Peri & Bruno 1995): rate constants, half-times and the difference after ten
// minutes, evaluated from that formula.
func TestCrustColour(t *testing.T) {
	q := CrustColour()
	for _, c := range []struct{ at, k, halfMinutes, afterTen float64 }{
		{100, 4.40e-5, 263, 1.4}, {120, 1.26e-4, 91.7, 3.8}, {140, 3.26e-4, 35.5, 9.2}, {150, 5.06e-4, 22.8, 13.6},
		{165, 9.45e-4, 12.2, 22.5}, {180, 1.69e-3, 6.8, 33.2}, {200, 3.48e-3, 3.3, 45.5}, {220, 6.74e-3, 1.7, 51.1},
	} {
		assert.InEpsilon(t, c.k, rateOf(q, c.at), 0.004, "%g °C", c.at)
		half := at(t, q, c.at, c.halfMinutes*60)
		assert.InDelta(t, 26, half, 26*0.5*math.Ln2*0.05/c.halfMinutes*2+0.1, "half-time at %g °C", c.at)
		assert.InDelta(t, c.afterTen, at(t, q, c.at, 600), 0.06, "%g °C", c.at)
	}
}

// The lightness of bread crust (Purlis & Salvadori 2009, from memory), rate constants
// a minute evaluated from its formula by temperature and water activity.
func TestLightness(t *testing.T) {
	for at120, k := range map[float64][4]float64{
		120: {0.0028, 0.0026, 0.0025, 0.0024}, 150: {0.0141, 0.0129, 0.0121, 0.0115},
		180: {0.0573, 0.0515, 0.0477, 0.0453}, 200: {0.1321, 0.1172, 0.1081, 0.1026},
	} {
		for i, aw := range []float64{0.2, 0.4, 0.6, 0.8} {
			q := LightnessAt(aw)
			own := Lightness().Law.rate().(WaterRate)
			assert.InEpsilon(t, rateOf(q, at120), own.K(at120, aw), 1e-12, "each place's own water activity")
			assert.InDelta(t, k[i], 60*rateOf(q, at120), 6e-5, "%g °C, water activity %g", at120, aw)
			assert.InEpsilon(t, 85*math.Exp(-3600*rateOf(q, at120)), at(t, q, at120, 3600), 1e-9)
		}
	}
	assert.Zero(t, rateOf(LightnessAt(0.5), 119.9), "its authors have browning begin at 120 °C")
	for _, aw := range []float64{0, -1, 1.1, math.NaN(), math.Inf(1)} {
		q := LightnessAt(aw)
		assert.Error(t, q.check(), "water activity %g", aw)
	}
}

// Gelatinisation of bread dough (Zanoni et al. 1995, from memory): rate constants, and
// the times to 98 % evaluated from them.
func TestStarch(t *testing.T) {
	q := Starch()
	for at60, k := range map[float64]float64{60: 4.5e-4, 70: 1.95e-3, 80: 7.7e-3, 90: 2.85e-2, 95: 5.3e-2} {
		assert.InEpsilon(t, k, rateOf(q, at60), 0.011, "%g °C", at60)
	}
	for at70, seconds := range map[float64]float64{70: 34 * 60, 80: 8.4 * 60, 90: 2.3 * 60, 95: 74} {
		assert.InDelta(t, 0.98, at(t, q, at70, seconds), 0.0015, "%g °C", at70)
	}
}

// A calorimeter that heats by 10 K/min sees proteins go fastest at the peaks of the
// Encyclopedia of Meat Sciences: myosin 54 to 58, sarcoplasmic proteins 65 to 67, actin
// 80 to 83 °C. Of actin this is a check of the rate printed by Kajitani et al. 2011;
// the others are placed by it.
func TestProteinPeaks(t *testing.T) {
	for _, c := range []struct {
		q      Quantity
		lo, hi float64
	}{{Myosin(), 54, 58}, {Collagen(), 65, 67}, {Actin(), 80, 83.1}} {
		last, fastest, peak := 0.0, 0.0, 0.0
		e := watch(t, c.q)
		for x := 30.0; x < 100; x += 0.1 {
			e.feed(x, x+0.05, x+0.1, 0.6)
			if v := e.value(); v-last > fastest {
				fastest, peak = v-last, x
			}
			last = e.value()
		}
		t.Logf("%s: %.1f °C", c.q.Name, peak)
		assert.Greater(t, peak, c.lo, c.q.Name)
		assert.Less(t, peak, c.hi, c.q.Name)
		assert.InDelta(t, 1, last, 1e-3, c.q.Name)
	}
	// 0.1 a minute at 70 °C with 2 mg of salt in a gram (Kajitani, Fukuoka & Sakai 2011)
	assert.InEpsilon(t, 0.1, 60*rateOf(Actin(), 70), 1e-12)
	// an activation energy of 241 kJ/mol doubles a rate every 2.6 K at 60 °C
	assert.InDelta(t, 2, rateOf(Myosin(), 62.6)/rateOf(Myosin(), 60), 0.05)
}

// Salmonella in beef of the FSIS guideline for cooked beef (Appendix A, 6.5 log): the
// printed times are those of one D and z, 17.23 min at 130 °F and 10 °F, rounded to
// whole minutes or seconds.
func TestBeefTable(t *testing.T) {
	fahrenheit := func(f float64) float64 { return (f - 32) * 5 / 9 }
	q := Quantity{Name: "Salmonella", Law: LogReduction{Rate: Bigelow{D: 112 * time.Minute * 10 / 65, Z: 50. / 9, Ref: fahrenheit(130)}}}
	for f, seconds := range map[float64]float64{130: 112 * 60, 131: 89 * 60, 132: 71 * 60, 133: 56 * 60, 134: 45 * 60, 140: 12 * 60,
		146: 169, 147: 134, 148: 107, 149: 85, 150: 67, 151: 54, 152: 43, 153: 34, 154: 27, 155: 22, 156: 17, 157: 14} {
		rounding := 0.5
		if seconds > 200 {
			rounding = 60 // minutes are rounded up
		}
		least, most := at(t, q, fahrenheit(f), seconds-rounding), at(t, q, fahrenheit(f), seconds+0.5)
		assert.True(t, least <= 6.5*1.02 && most >= 6.5*0.98, "%g °F: %.3f to %.3f", f, least, most)
	}
	assert.InEpsilon(t, 6.5, at(t, q, fahrenheit(130), 112*60), 1e-11)
}

func TestPublishedQuantitiesAreSound(t *testing.T) {
	names := map[string]bool{}
	for _, q := range []Quantity{Myosin(), Collagen(), Actin(), Starch(), CrustColour(), Lightness()} {
		require.NoError(t, q.check())
		assert.NotEmpty(t, q.Source, q.Name)
		assert.NotEmpty(t, q.Unit, q.Name)
		assert.False(t, names[q.Name], q.Name)
		names[q.Name] = true
	}
}
