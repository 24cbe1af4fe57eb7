package oven

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

// A log taken from a run in an oven cooks the dish as that oven did.
func TestLogDrivesAStage(t *testing.T) {
	o := DomesticFan()
	run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{stage(o.At(180), 40*time.Minute)}, nil)
	require.NoError(t, err)
	var text strings.Builder
	text.WriteString("wall_C,note,time_s,air_C\n")
	for at := time.Duration(0); at <= run.Duration(); at += 5 * time.Second {
		r := o.Read(run, at)
		fmt.Fprintf(&text, "%.3f,x,%g, %.3f\n", r.Walls, at.Seconds(), r.Air)
	}
	log, err := ReadLog("run.csv", strings.NewReader(text.String()))
	require.NoError(t, err)
	assert.Len(t, log.Points(), 481)
	like := thermal.Surroundings{H: o.H, Emissivity: o.Emissivity}
	again, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{stage(log.In(like), 40*time.Minute)}, nil)
	require.NoError(t, err)
	for at := 5 * time.Minute; at <= run.Duration(); at += 5 * time.Minute {
		for _, place := range []thermal.Place{thermal.Centre(), thermal.Skin()} {
			x, _ := run.Temperature(place, at)
			y, _ := again.Temperature(place, at)
			assert.InDelta(t, x, y, 0.3, "%v at %v", place, at)
		}
	}
}

func TestLogBetweenAndBeyond(t *testing.T) {
	log, err := NewLog([]LogPoint{{10, 100, math.NaN()}, {20, 200, math.NaN()}})
	require.NoError(t, err)
	for at, want := range map[float64]float64{0: 100, 10: 100, 12.5: 125, 20: 200, 1e6: 200} {
		air, walls := log.at(at)
		assert.Equal(t, want, air)
		assert.Equal(t, want, walls)
	}
}

func TestLogFaults(t *testing.T) {
	for text, says := range map[string]string{
		"":                                             "a.csv:1: no text, want a line of names",
		"\n\n":                                         "a.csv:1: no text",
		"time,air\n0,20\n":                             `a.csv:1: columns ["time" "air"]`,
		"time_s,air_C,time_s\n":                        "a.csv:1: column time_s twice",
		"time_s,air_C\n":                               "0 points",
		"time_s,air_C\n0,20\n":                         "1 points",
		"time_s,air_C\n0,20\n\n5,warm\n":               `a.csv:4: air_C "warm", want a number`,
		"time_s,air_C\n0,20\n5,NaN\n":                  `a.csv:3: air_C "NaN"`,
		"time_s,air_C\n0,20\n5\n":                      "a.csv:3: wrong number of fields",
		"time_s,air_C\n0,20\n0,21\n":                   "a.csv:3: time 0, want one after",
		"time_s,air_C\n0,20\n-1,21\n":                  "a.csv:3: time -1",
		"time_s,air_C\n0,20\n1,1e9\n":                  "a.csv:3: air 1e+09, want -100 to 1000",
		"time_s,air_C\n0,20\n1,Inf\n":                  "a.csv:3: air +Inf",
		"time_s,air_C,wall_C\n0,20,20\n1,21,2e4":       "a.csv:3: walls 20000",
		"time_s,air_C\n0,20\n1,\"2\n":                  "a.csv:3: extraneous or missing",
		"time_s,air_C\n0,20\n1\"0,20\n":                `a.csv:3: bare " in non-quoted-field`,
		"time_s,air_C\n\"0\"1,20\n":                    "a.csv:2: extraneous or missing",
		"time_s,air_C\n" + strings.Repeat("1,", 1<<16): "a.csv:2: a line of more than 64 kB",
		strings.Repeat("air_C,", 1<<16):                "a.csv:1: a line of more than 64 kB",
		"time_s,air_C\n0,20\n1,20" + strings.Repeat("\n", maxLogBytes): "length, want at most 1000000 lines and 64 MB",
	} {
		_, err := ReadLog("a.csv", strings.NewReader(text))
		var fault *LogError
		assert.True(t, errors.As(err, &fault), text)
		assert.ErrorContains(t, err, says, text)
	}
	_, err := NewLog([]LogPoint{{0, 20, 30}, {1, 20, math.NaN()}})
	assert.ErrorContains(t, err, "log:2: walls NaN")
	_, err = NewLog(make([]LogPoint, maxLogPoints+1))
	assert.ErrorContains(t, err, "1000001 points")
	for _, none := range []*Log{nil, {}} {
		assert.Empty(t, none.Points())
		_, err = thermal.Simulate(context.Background(), crumb, thermal.Schedule{stage(none.In(thermal.FanOven(0)), time.Minute)}, nil)
		assert.ErrorContains(t, err, "fluid temperature")
	}
	_, err = ReadLog("a.csv", nil)
	assert.ErrorContains(t, err, "a.csv: reader none")
}

func FuzzReadLog(f *testing.F) {
	f.Add("time_s,air_C,wall_C\n0,20,20\n60,200,150\n")
	f.Add("air_C,time_s\n\"20\",0\n")
	f.Fuzz(func(t *testing.T, text string) {
		log, err := ReadLog("x", strings.NewReader(text))
		if err != nil {
			var fault *LogError
			assert.True(t, errors.As(err, &fault))
			return
		}
		for _, at := range []float64{-1, 0, 30, 1e9} {
			air, walls := log.at(at)
			assert.True(t, air >= -100 && air <= 1000 && walls >= -100 && walls <= 1000)
		}
	})
}
