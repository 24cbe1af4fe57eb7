package thermal

import (
	"context"
	"math"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/phasechange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A warming that comes and goes while the dish is at rest is not stepped over,
// though nothing announces it.
func TestVaryingMediumIsSeen(t *testing.T) {
	medium := MediumFunc(func(at time.Duration) Surroundings {
		m := StillFreezer(-20)
		off := math.Abs((at - 10*time.Hour).Minutes())
		m.Fluid += 40 * math.Max(0, 1-off/5)
		return m
	})
	d := Dish{Shape: geometry.Cylinder{}, Layers: sandwich(), Start: Uniform(-20)}
	s := func(m Medium) Schedule { return Schedule{{Medium: m, Until: Elapsed(24 * time.Hour)}} }
	run := mustRun(t, d, s(medium), nil)
	announced := mustRun(t, d, s(Changing(medium, 10*time.Hour-5*time.Minute, 10*time.Hour, 10*time.Hour+5*time.Minute)), nil)
	assert.InEpsilon(t, announced.Energy.Exchanged, run.Energy.Exchanged, 0.05)
	assert.InDelta(t, announced.Extremes()[0].Highest, run.Extremes()[0].Highest, 0.1)
	fine := mustRun(t, d, s(medium), &Settings{MaxStep: 10 * time.Second})
	assert.InEpsilon(t, announced.Energy.Exchanged, fine.Energy.Exchanged, 0.01)
	assert.GreaterOrEqual(t, fine.Stats.Steps, 24*360)
}

// The two faces of a contact are two places.
func TestWithinKeepsToItsLayer(t *testing.T) {
	layers := sandwich()
	layers[0].Contact = 0.02
	run := mustRun(t, Dish{Shape: geometry.Cylinder{}, Layers: layers, Start: Uniform(-18)}, Schedule{{Medium: FanOven(220), Until: Elapsed(10 * time.Minute)}}, nil)
	read := func(layer string, x float64) float64 {
		v, err := run.End().Temperature(Within(layer, x))
		require.NoError(t, err)
		return v
	}
	names := run.LayerNames()
	assert.Greater(t, read(names[1], 0), read(names[0], 1)+1)
	assert.InDelta(t, read(names[1], 0), read(names[1], 1e-6), 0.01)
}

func TestFromAnotherIceCurve(t *testing.T) {
	d := Dish{Shape: geometry.Cylinder{}, Layers: sandwich(), Start: Uniform(-10)}
	first := mustRun(t, d, Schedule{{Medium: Insulated(), Until: Elapsed(time.Minute)}}, &Settings{IceCurve: phasechange.Tchigeov})
	d.Start = From(first)
	_, err := Simulate(context.Background(), d, Schedule{{Medium: Insulated(), Until: Elapsed(time.Minute)}}, nil)
	assert.ErrorContains(t, err, "ice curve")
}

// After months the clock is a long sum; the end of a stage is still its own.
func TestReadingAtAStagesEnd(t *testing.T) {
	s := Schedule{
		{Medium: StillFreezer(-20), Until: Elapsed(61*24*time.Hour + 17*time.Minute)},
		{Medium: FanOven(220), Until: Elapsed(7 * time.Minute)},
		{Medium: StillFreezer(-20), Until: Elapsed(3*time.Minute + 331*time.Millisecond)},
	}
	seen := map[time.Duration]float64{}
	run := mustRun(t, Dish{Shape: geometry.Cylinder{}, Layers: sandwich(), Start: Uniform(-18)}, s, &Settings{Progress: func(s *State) {
		seen[s.Time()], _ = s.Temperature(Skin())
	}})
	for _, stage := range run.Stages {
		got, err := run.Temperature(Skin(), stage.End)
		require.NoError(t, err)
		assert.InDelta(t, seen[stage.End], got, 0.01, "%v", stage.End)
	}
}

// At a known jump a reading is of what was before it, as in the run.
func TestReadingAtAJump(t *testing.T) {
	medium := Changing(MediumFunc(func(at time.Duration) Surroundings {
		if at < 10*time.Minute {
			return FanOven(220)
		}
		return Room(20)
	}), 10*time.Minute)
	for _, end := range []time.Duration{10 * time.Minute, 20 * time.Minute} {
		run := mustRun(t, Dish{Shape: geometry.Cylinder{}, Layers: sandwich(), Start: Uniform(4)}, Schedule{{Medium: medium, Until: Elapsed(end)}}, nil)
		at, err := run.Temperature(Skin(), 10*time.Minute)
		require.NoError(t, err)
		before, err := run.Temperature(Skin(), 10*time.Minute-time.Millisecond)
		require.NoError(t, err)
		assert.InDelta(t, before, at, 0.02)
	}
}

// What is met and unmet within a step is watched for as well.
func TestWatchedPulse(t *testing.T) {
	pulse := When("pulse", func(s *State) float64 { return 20 - math.Abs(s.StageTime().Minutes()-60) })
	d := Dish{Shape: geometry.Cylinder{}, Layers: sandwich(), Start: Uniform(4)}
	run := mustRun(t, d, Schedule{{Medium: Refrigerator(4), Until: Elapsed(2 * time.Hour)}}, &Settings{Watch: []Condition{pulse}})
	at, met := run.Met(0)
	require.True(t, met, "%v", run.Stats)
	assert.InDelta(t, 40, at.Minutes(), 0.01)
	_, met = run.Met(1)
	assert.False(t, met)
}

func TestStartAboveBoiling(t *testing.T) {
	_, err := Simulate(context.Background(), Dish{Shape: geometry.Cylinder{}, Layers: sandwich(), Start: Uniform(110)}, Schedule{{Medium: Room(20), Until: Elapsed(time.Minute)}}, nil)
	assert.ErrorContains(t, err, "boils")
}

// A run is not changed by what becomes of its input, and forgets the runs before.
func TestRunOwnsItsInput(t *testing.T) {
	d := Dish{Shape: geometry.Cylinder{}, Layers: sandwich(), Start: Uniform(4)}
	s := Schedule{{Name: "rest", Medium: Room(20), Until: Elapsed(time.Minute)}}
	var none context.Context
	run, err := Simulate(none, d, s, nil)
	require.NoError(t, err)
	d.Layers[0].Thickness = 9
	s[0].Name = "changed"
	assert.NotEqual(t, 9.0, run.Dish.Layers[0].Thickness)
	assert.Equal(t, "rest", run.Schedule[0].Name)
}

// Walls that nothing sees do not matter.
func TestWallsWithoutRadiation(t *testing.T) {
	for _, wall := range []float64{math.NaN(), math.Inf(1), 1e100} {
		run := mustRun(t, Dish{Shape: geometry.Cylinder{}, Layers: sandwich(), Start: Uniform(4)},
			Schedule{{Medium: Surroundings{Fluid: 50, H: 20, Walls: wall}, Until: Elapsed(time.Minute)}}, nil)
		assert.Greater(t, run.Energy.In, 0.0)
	}
}

// Water and ice at a place are those of its cell, or of its layer.
func TestContent(t *testing.T) {
	run := mustRun(t, standardDish(), standardSchedule()[:1], nil)
	end := run.End()
	cells := end.Cells()
	water, ice, err := end.Content(Centre())
	require.NoError(t, err)
	assert.InDelta(t, cells[0].Water, water, 1e-12)
	assert.InDelta(t, cells[0].Ice, ice, 1e-12)
	assert.Greater(t, ice, 0.3)
	skin, none, err := end.Content(Skin())
	require.NoError(t, err)
	assert.Zero(t, none)
	for i, l := range end.Layers() {
		water, ice, err := end.Content(MeanOf(l.Name))
		require.NoError(t, err)
		whole := run.model.relations[i].Density()
		var volume float64
		for _, c := range cells {
			if c.Layer == l.Name {
				volume += c.Volume
			}
		}
		assert.InEpsilon(t, l.Water+1, water*whole*volume+1, 1e-9)
		assert.InEpsilon(t, l.Ice+1, ice*whole*volume+1, 1e-9)
		if l.Name == "crust" {
			assert.Less(t, skin, water, "the crust dries from outside")
		}
	}
	_, _, err = end.Content(MeanOf("nothing"))
	var unknown *UnknownPlaceError
	assert.ErrorAs(t, err, &unknown)
}
