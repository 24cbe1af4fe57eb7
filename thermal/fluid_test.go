package thermal

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
)

// ramp is air that warms by 0.1 K/s from 20 °C.
var ramp = MediumFunc(func(t time.Duration) Surroundings { return FanOven(20 + t.Seconds()/10) })

// A stage that waits for its medium ends when that is as warm or as cold as is said,
// water moving or not, in one dimension and in two.
func TestFluidConditions(t *testing.T) {
	falling := MediumFunc(func(t time.Duration) Surroundings { return FanOven(200 - t.Seconds()/10) })
	for _, moist := range []bool{false, true} {
		for at, d := range map[geometry.Patch]Dish{geometry.Outside: bodyDish(), geometry.Ends: potatoRoll(geometry.FiniteCylinder{Length: 0.1, Half: true}, 0.02)} {
			run := mustRun(t, d, Schedule{{Medium: ramp, Until: FluidAbove(at, 100)}, {Medium: falling, Until: FluidBelow(at, 150)}},
				&Settings{Moisture: moist, Watch: []Condition{FluidAbove(at, 60)}})
			assert.InDelta(t, 800, run.Stages[0].End.Seconds(), 0.01)
			assert.InDelta(t, 500, (run.Stages[1].End - run.Stages[1].Start).Seconds(), 0.01)
			seen, met := run.Met(0)
			assert.True(t, met)
			assert.InDelta(t, 400, seen.Seconds(), 0.01)
		}
	}
}

// What was waited for, what was reached and the limit stand in the error.
func TestLimitSaysWhatWasReached(t *testing.T) {
	for says, until := range map[string]Condition{
		`stage 1 ("preheat"): not reached within 10m0s: the fluid at the outside is above 100 °C (at 80 °C, short by 20)`: FluidAbove(geometry.Outside, 100),
		"the fluid around the dish is above 100 °C (at 80 °C, short by 20)":                                               FluidAbove("", 100),
		"the fluid at the outside is below 10 °C (at 80 °C, short by 70)":                                                 FluidBelow(geometry.Outside, 10),
		"(at 80 °C, 80 °C, short by 20)":                                                                                  All(FluidAbove(geometry.Outside, 100), FluidAbove(geometry.Outside, 90), When("so", func(*State) float64 { return 1 })),
		"so (short by 1)":                                                                                                 When("so", func(*State) float64 { return -1 }),
	} {
		_, err := Simulate(t.Context(), bodyDish(), Schedule{{Name: "preheat", Medium: ramp, Until: until, Limit: 10 * time.Minute}}, nil)
		var limit *StageLimitError
		require.ErrorAs(t, err, &limit)
		assert.ErrorContains(t, err, says)
	}
	run, err := Simulate(t.Context(), bodyDish(), Schedule{{Medium: ramp, Until: Above(Centre(), 100), Limit: 10 * time.Minute}}, nil)
	require.Error(t, err)
	reached, _ := run.End().Temperature(Centre())
	var limit *StageLimitError
	require.ErrorAs(t, err, &limit)
	assert.InDelta(t, 100-reached, -limit.Margin, 1e-9)
	var seen float64
	require.NoError(t, json.Unmarshal([]byte(limit.Seen[:len(limit.Seen)-len(" °C")]), &seen))
	assert.InDelta(t, reached, seen, 0.01)
}

func TestFluidFaults(t *testing.T) {
	for says, until := range map[string]Condition{
		`place the surface of the lid is not in the dish`: FluidAbove("lid", 50),
		"threshold [°C] NaN":                              FluidBelow(geometry.Outside, math.NaN()),
	} {
		_, err := Simulate(t.Context(), bodyDish(), Schedule{{Medium: ramp, Until: until}}, nil)
		var input *InputError
		assert.ErrorAs(t, err, &input)
		assert.ErrorContains(t, err, says)
	}
}

func TestFluidConditionsAreExported(t *testing.T) {
	run := mustRun(t, bodyDish(), Schedule{{Medium: ramp, Until: FluidAbove(geometry.Outside, 40)}}, nil)
	text, err := run.MarshalJSON()
	require.NoError(t, err)
	assert.Contains(t, string(text), `"kind":"fluid above","place":{"kind":"patch","patch":"outside"},"temperature_C":40`)
}
