package kinetics

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
)

// baked is a slab of pastry in a hot oven.
func baked(t *testing.T, moisture bool, minutes float64) *thermal.Run {
	t.Helper()
	run, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(5),
		Layers: []thermal.Layer{{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.006}}},
		thermal.Schedule{{Medium: thermal.Surroundings{Fluid: 220, H: 30, Walls: 220, Emissivity: 0.9}, Until: thermal.Elapsed(thermal.Minutes(minutes))}},
		&thermal.Settings{Cells: 40, Moisture: moisture})
	require.NoError(t, err)
	return run
}

// A rate that is the water activity itself gives its time integral. In a run in which
// water does not move a place hotter than ever before holds vapour at the pressure
// of the air: a = p/p_sat(T).
func TestWaterRateSeesTheWaterActivity(t *testing.T) {
	q := Quantity{Name: "activity", Law: ZeroOrder{Rate: WaterRate{Lowest: 110, Assumed: 1, K: func(_, aw float64) float64 { return aw }}}}
	run := baked(t, false, 20)
	got := must(follow(t, run, nil, q).Cells("activity"))
	least, most := make([]float64, len(got)), make([]float64, len(got)) // without and with the step that passes 110 °C
	for v := range run.Intervals() {
		for i, temp := range v.Temperature[1] {
			a := v.Length * 101325 / phasechange.SaturationPressure(temp)
			start, end := v.Temperature[0][i], v.Temperature[2][i]
			if start >= 110 && end >= 110 {
				least[i] += a
			}
			if start >= 110 || end >= 110 || temp >= 110 {
				most[i] += a
			}
		}
	}
	require.Greater(t, least[len(got)-1], 200.0)
	for i := range got {
		assert.GreaterOrEqual(t, got[i], least[i]*(1-1e-9), "cell %d", i)
		assert.LessOrEqual(t, got[i], most[i]*(1+1e-9), "cell %d", i)
	}
}

// Each place browns at its own water activity: between what the driest and the
// wettest give it if that is held.
func TestLightnessByPlace(t *testing.T) {
	for _, moisture := range []bool{false, true} {
		run := baked(t, moisture, 20)
		lightness := func(q Quantity) []float64 { return must(follow(t, run, nil, q).Cells("crust lightness")) }
		own, dry, wet := lightness(Lightness()), lightness(LightnessAt(0.15)), lightness(LightnessAt(0.55))
		for i := range own {
			assert.GreaterOrEqual(t, own[i], dry[i]-1e-3, "cell %d", i)
			assert.LessOrEqual(t, own[i], wet[i]+1e-3, "cell %d", i)
		}
		last := len(own) - 1
		assert.Less(t, own[last], wet[last]-0.05)
		assert.Equal(t, 85.0, own[0], "below 120 °C nothing browns")
		t.Logf("moisture %v: L* at the surface %.2f, held at 0.15 %.2f, at 0.55 %.2f", moisture, own[last], dry[last], wet[last])
	}
}

// Where the rate does not depend on it, the way through each step is that of the
// blocks, also across the temperature at which it sets in.
func TestWaterRateIsARate(t *testing.T) {
	held := LightnessAt(0.3).Law.rate()
	q := Quantity{Name: "held", Law: FirstOrder{Start: 85, End: 0, Rate: WaterRate{Lowest: 120, Assumed: 0.3, K: func(t, _ float64) float64 { return held.At(max(t, 120)) }}}}
	run := baked(t, false, 25)
	r := follow(t, run, nil, q, LightnessAt(0.3))
	want := must(r.Cells("crust lightness"))
	for i, v := range must(r.Cells("held")) {
		assert.InDelta(t, want[i], v, 2e-3, "cell %d", i)
	}
	last := 0.0
	for _, v := range must(r.Series("held", thermal.Skin())) {
		last = v
	}
	assert.InDelta(t, must(r.Cells("held"))[len(want)-1], last, 1e-12)
}

// Of food given by measured curves the assumed water activity counts.
func TestWaterRateOfUnknownFood(t *testing.T) {
	food, err := materials.FromEnthalpy("block", 1000, []materials.Point{{T: -100, Enthalpy: 0, Conductivity: 0.5}, {T: 300, Enthalpy: 8e5, Conductivity: 0.5}})
	require.NoError(t, err)
	run, err := thermal.Simulate(context.Background(), thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(150),
		Layers: []thermal.Layer{{Name: "block", Food: food, Thickness: 0.01}}},
		thermal.Schedule{{Medium: thermal.Insulated(), Until: thermal.Elapsed(10 * time.Minute)}}, &thermal.Settings{Cells: 10})
	require.NoError(t, err)
	k := Lightness().Law.rate().At(150)
	assert.InEpsilon(t, rateOf(LightnessAt(0.3), 150), k, 1e-12)
	assert.InEpsilon(t, 85*math.Exp(-600*k), read(t, follow(t, run, nil, Lightness()), "crust lightness", thermal.Centre()), 1e-6)
}

func TestWaterRateRefuses(t *testing.T) {
	one := func(_, _ float64) float64 { return 1 }
	for want, r := range map[string]Rate{
		"rate of a WaterRate none":       WaterRate{},
		"lowest temperature [°C] NaN":    WaterRate{K: one, Lowest: math.NaN()},
		"assumed water activity 1.5":     WaterRate{K: one, Assumed: 1.5},
		"rate of an Onset a WaterRate, ": Onset{Rate: WaterRate{K: one}},
	} {
		_, err := Follow(baked(t, false, 1), nil, Quantity{Name: "q", Law: LogReduction{Rate: r}})
		var input *InputError
		require.ErrorAs(t, err, &input)
		assert.ErrorContains(t, err, want)
	}
	bad := Quantity{Name: "bad", Law: LogReduction{Rate: WaterRate{Lowest: 50, K: func(_, aw float64) float64 { return -aw }}}}
	_, err := Follow(baked(t, false, 10), nil, bad)
	var rate *RateError
	require.True(t, errors.As(err, &rate))
	assert.Contains(t, rate.Place, `layer 1 ("crust")`)
	assert.Contains(t, rate.Want, "at water activity")
}
