package safety

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFaultyHistories(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct {
		name string
		h    History
		text string
	}{
		{"empty", History{}, "number of points 0"},
		{"uneven", History{Time: []float64{0, 1}, Temperature: []float64{5}}, "number of temperatures 1, want 2"},
		{"NaN time", path(0, 5, nan, 5), `point 1: time NaN`},
		{"infinite time", path(0, 5, inf, 5), "time +Inf"},
		{"huge time", path(0, 5, 1e12, 5), "within 30 years"},
		{"unsorted", path(0, 5, 2, 5, 1, 5), "point 2: time 60, want 120 or later"},
		{"NaN temperature", path(0, nan, 2, 5), "point 0: temperature NaN"},
		{"too cold", path(0, -300), "temperature -300"},
		{"too hot", path(0, 5, 1, inf), "temperature +Inf"},
	}
	k, g := inactivations[0], growths[0]
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tt.h.Place = "core"
			_, a := k.LogReduction(tt.h)
			_, b := k.Course(tt.h)
			_, c := g.LogGrowth(tt.h)
			_, d := Check([]History{constant(60, time.Hour), tt.h}, Facts{})
			_, e := tt.h.Between(0, 1)
			_, f := Join("j", constant(3, time.Hour), tt.h)
			_, i := tt.h.TimeBetween(0, 5)
			_, _, j := k.Weakest([]History{tt.h})
			_, _, l := g.Strongest([]History{tt.h})
			for _, err := range []error{a, b, c, d, e, f, i, j, l} {
				var fault *HistoryError
				require.ErrorAs(t, err, &fault)
				assert.Equal(t, "core", fault.Place)
				assert.Contains(t, err.Error(), tt.text)
			}
		})
	}
}

func TestBetweenAndJoin(t *testing.T) {
	h := path(0, 0, 10, 100, 10, 50, 20, 50)
	h.Surface = true
	part, err := h.Between(5*60, 15*60)
	require.NoError(t, err)
	assert.Equal(t, History{Place: "centre", Surface: true, Time: []float64{300, 600, 600, 900}, Temperature: []float64{50, 100, 50, 50}}, part)
	part, err = h.Between(0, 600)
	require.NoError(t, err)
	assert.Equal(t, []float64{0, 100}, part.Temperature, "up to the jump")
	part, err = h.Between(600, 1200)
	require.NoError(t, err)
	assert.Equal(t, []float64{50, 50}, part.Temperature, "from the jump on")
	for _, ends := range [][2]float64{{-1, 5}, {5, 1e6}, {9, 8}, {math.NaN(), 5}, {5, math.NaN()}} {
		_, err = h.Between(ends[0], ends[1])
		var fault *HistoryError
		assert.ErrorAs(t, err, &fault, "%v", ends)
	}
	joined, err := Join("all", path(5, 60, 10, 70), path(100, 20, 101, 30))
	require.NoError(t, err)
	assert.Equal(t, History{Place: "all", Time: []float64{300, 600, 600, 660}, Temperature: []float64{60, 70, 20, 30}}, joined)
	_, err = Join("none")
	assert.Error(t, err)
}

func TestAt(t *testing.T) {
	h := path(0, 0, 10, 100, 10, 50, 20, 60)
	for at, want := range map[float64]float64{-5: 0, 0: 0, 300: 50, 600: 50, 900: 55, 1200: 60, 5000: 60} {
		assert.Equal(t, want, h.At(at), "at %v s", at)
	}
}

func TestTimeBetween(t *testing.T) {
	h := path(0, 0, 10, 100, 30, 100, 40, 0)
	for _, tt := range []struct {
		low, high float64
		want      time.Duration
	}{
		{5, 57, 2 * 312 * time.Second}, {57, math.Inf(1), 1716 * time.Second}, {math.Inf(-1), 200, 40 * time.Minute},
		{99, 101, 20*time.Minute + 12*time.Second}, {100, 101, 0}, {60, 50, 0},
	} {
		got, err := h.TimeBetween(tt.low, tt.high)
		require.NoError(t, err)
		assert.InDelta(t, tt.want.Seconds(), got.Seconds(), 1e-6, "%v to %v", tt.low, tt.high)
	}
	_, err := h.TimeBetween(math.NaN(), 5)
	assert.Error(t, err)
}

func TestFaultySets(t *testing.T) {
	h := constant(60, time.Hour)
	nan := math.NaN()
	for name, change := range map[string]func(*Inactivation){
		"D": func(k *Inactivation) { k.D = 0 }, "reference": func(k *Inactivation) { k.Reference = nan },
		"z": func(k *Inactivation) { k.Z = -5 }, "least": func(k *Inactivation) { k.Least = nan },
		"most": func(k *Inactivation) { k.Most = k.Least }, "most infinite": func(k *Inactivation) { k.Most = math.Inf(1) },
	} {
		k := inactivations[0]
		change(&k)
		_, err := k.LogReduction(h)
		var fault *SetError
		assert.ErrorAs(t, err, &fault, name)
	}
	for name, change := range map[string]func(*Growth){
		"lowest": func(g *Growth) { g.Lowest = nan }, "highest": func(g *Growth) { g.Highest = g.Lowest },
		"both laws": func(g *Growth) { g.B, g.C = 0.1, 0.1 }, "no law": func(g *Growth) { g.Fastest = 0 },
		"best": func(g *Growth) { g.Best = 20 }, "best NaN": func(g *Growth) { g.Best = nan }, "fastest": func(g *Growth) { g.Fastest = math.Inf(1) },
	} {
		g := growths[0]
		change(&g)
		_, err := g.LogGrowth(h)
		var fault *SetError
		assert.ErrorAs(t, err, &fault, name)
	}
	_, err := FindInactivation("no such")
	assert.ErrorContains(t, err, "salmonella, chicken broth")
	_, err = FindGrowth("no such")
	assert.ErrorContains(t, err, "listeria, meat")
	for _, k := range Inactivations() {
		assert.NoError(t, k.Validate())
		assert.NotEmpty(t, k.Source+k.Germ+k.Food)
	}
	for _, g := range Growths() {
		assert.NoError(t, g.Validate())
		assert.NotEmpty(t, g.Source+g.Germ+g.Food)
	}
}
