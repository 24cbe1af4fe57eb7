package thermal

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"runtime"
	"slices"
	"strconv"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// exported is a run with names that tables and JSON must quote, stages of whole
// and broken length and a stage of none.
func exported(t testing.TB) *Run {
	return mustRun(t, Dish{Shape: geometry.Cylinder{Length: 0.2}, Start: Uniform(-10), Layers: []Layer{
		{Name: `roll, "lean"`, Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.015},
		{Name: "Kruste\nknusprig ü", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.003}}},
		Schedule{{Name: "hot, fast", Medium: FanOven(220), Until: Elapsed(20 * time.Minute)},
			{Medium: Room(20), Until: Elapsed(0)},
			{Name: "rest", Medium: Room(20), Until: Elapsed(10*time.Minute + 1)}}, &Settings{Cells: 30})
}

func TestCSV(t *testing.T) {
	run := exported(t)
	for _, test := range []struct {
		every time.Duration
		rows  int
	}{
		{time.Minute, 32}, // 0 to 30 and the nanosecond after
		{7 * time.Minute, 6},
		{30*time.Minute + 1, 2},
		{time.Hour, 2},
		{math.MaxInt64, 2},
	} {
		var out bytes.Buffer
		require.NoError(t, run.WriteCSV(&out, test.every))
		table, err := csv.NewReader(&out).ReadAll() // demands the same number of fields in every row
		require.NoError(t, err)
		head, rows := table[0], table[1:]
		require.Len(t, rows, test.rows, "every %v", test.every)
		require.Equal(t, []string{"time_s", "stage", "centre_C", "surface_C", "mass_kg",
			`roll, "lean" coldest_C`, `roll, "lean" mean_C`, `roll, "lean" hottest_C`, `roll, "lean" water_kg`, `roll, "lean" ice_kg`, `roll, "lean" water_activity`,
			"Kruste\nknusprig ü coldest_C", "Kruste\nknusprig ü mean_C", "Kruste\nknusprig ü hottest_C", "Kruste\nknusprig ü water_kg", "Kruste\nknusprig ü ice_kg",
			"Kruste\nknusprig ü water_activity"}, head)
		for i, row := range rows {
			at := min(time.Duration(i)*test.every, run.Duration())
			if i == len(rows)-1 {
				at = run.Duration()
			}
			state := run.At(at)
			centre, _ := state.Temperature(Centre())
			skin, _ := state.Temperature(Skin())
			want := []float64{at.Seconds(), 0, centre, skin, state.Mass()}
			for _, l := range state.Layers() {
				want = append(want, l.Coldest, l.Mean, l.Hottest, l.Water, l.Ice, l.WaterActivity)
			}
			for j, text := range row {
				if j == 1 {
					continue
				}
				got, err := strconv.ParseFloat(text, 64)
				require.NoError(t, err)
				// seven digits are written
				require.InDelta(t, want[j], got, 1e-6*math.Abs(want[j])+1e-12, "%s in row %d", head[j], i)
			}
		}
		assert.Equal(t, `stage 1 ("hot, fast")`, rows[0][1])
		assert.Equal(t, `stage 3 ("rest")`, rows[len(rows)-1][1])
	}
}

func TestCSVRefuses(t *testing.T) {
	run := exported(t)
	for _, every := range []time.Duration{0, -1, -time.Hour, math.MinInt64, 1, 100 * time.Microsecond} {
		var out bytes.Buffer
		err := run.WriteCSV(&out, every)
		fault, ok := errors.AsType[*InputError](err)
		require.True(t, ok, "%v: %v", every, err)
		assert.Equal(t, "CSV export", fault.Place)
		assert.Zero(t, out.Len(), "nothing is written")
	}
	broken := errors.New("disk full")
	assert.ErrorIs(t, run.WriteCSV(failing{broken}, time.Minute), broken)
	assert.ErrorIs(t, run.WriteCSV(failing{broken}, time.Second), broken)
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestJSON(t *testing.T) {
	run := exported(t)
	data, err := json.Marshal(run)
	require.NoError(t, err)
	var got struct {
		Version  versionJSON
		Input    struct{ Functions []string }
		Duration float64 `json:"duration_s"`
		Layers   []struct {
			Name, Food string
			Thickness  float64 `json:"thickness_m"`
		}
		Stages []struct {
			Name   string
			Start  float64 `json:"start_s"`
			End    float64 `json:"end_s"`
			Reason string
		}
		Events []struct {
			Time  float64 `json:"time_s"`
			Kind  string
			Layer string
			Text  string
		}
		Samples []struct {
			Time    float64 `json:"time_s"`
			Centre  float64 `json:"centre_C"`
			Surface float64 `json:"surface_C"`
			Mass    float64 `json:"mass_kg"`
			Layers  []LayerState
		}
		Energy EnergyAudit `json:"energy"`
		Water  WaterAudit  `json:"water"`
		Stats  Stats       `json:"solver"`
	}
	decoder := json.NewDecoder(bytes.NewReader(data))
	require.NoError(t, decoder.Decode(&got))
	assert.Equal(t, versionJSON{Version(), runtime.Version(), runtime.GOOS + "/" + runtime.GOARCH}, got.Version)
	assert.Equal(t, []string{}, got.Input.Functions)
	assert.InDelta(t, run.Duration().Seconds(), got.Duration, 1e-9)
	require.Len(t, got.Layers, 2)
	assert.Equal(t, `roll, "lean"`, got.Layers[0].Name)
	assert.Equal(t, "puff pastry, raw", got.Layers[1].Food)
	assert.Equal(t, 0.015, got.Layers[0].Thickness)
	require.Len(t, got.Stages, 3)
	assert.Equal(t, "hot, fast", got.Stages[0].Name)
	assert.Equal(t, 1200.0, got.Stages[0].End)
	assert.Equal(t, "condition met", got.Stages[2].Reason)
	require.Len(t, got.Events, len(run.Events))
	for i, e := range run.Events {
		assert.InDelta(t, e.Time.Seconds(), got.Events[i].Time, 1e-9)
		assert.Equal(t, e.Kind.String(), got.Events[i].Kind)
		assert.Equal(t, e.Text, got.Events[i].Text)
		assert.Equal(t, e.Layer, got.Events[i].Layer)
	}
	assert.Equal(t, run.Energy, got.Energy)
	assert.Equal(t, run.Water, got.Water)
	assert.Equal(t, run.Stats, got.Stats)
	assert.Len(t, got.Samples, 61, "sixty-one samples from start to end")
	last := -1.0
	for _, s := range got.Samples {
		require.Greater(t, s.Time, last)
		last = s.Time
		state := run.At(duration(s.Time))
		require.InDelta(t, state.Mass(), s.Mass, 1e-9)
		require.Len(t, s.Layers, 2)
		centre, _ := state.Temperature(Centre())
		require.InDelta(t, centre, s.Centre, 1e-6)
	}
	assert.InDelta(t, run.Duration().Seconds(), last, 1e-9)

	// runs that ended at once, early, or before they began
	for _, d := range []time.Duration{0, 1, 59, 61, time.Minute} {
		short := mustRun(t, blockOf("lamb loin, cooked", 0.02, 4), Schedule{{Medium: Room(20), Until: When("", func(s *State) float64 { return s.sinceStage - d.Seconds() })}}, nil)
		data, err := json.Marshal(short)
		require.NoError(t, err, "%v", d)
		assert.True(t, json.Valid(data))
	}
}

func TestEach(t *testing.T) {
	run := exported(t)
	times := func(every time.Duration) (out []time.Duration) {
		for s := range run.Each(every) {
			out = append(out, s.Time())
		}
		return out
	}
	end := run.Duration()
	assert.Equal(t, []time.Duration{0, 10 * time.Minute, 20 * time.Minute, 30 * time.Minute, end}, times(10*time.Minute))
	assert.Equal(t, []time.Duration{0, end}, times(0))
	assert.Equal(t, []time.Duration{0, end}, times(-5))
	assert.Equal(t, []time.Duration{0, end}, times(end))
	assert.Equal(t, []time.Duration{0, end}, times(math.MaxInt64))
	n := 0
	for range run.Each(time.Second) {
		if n++; n == 3 {
			break
		}
	}
	assert.Equal(t, 3, n, "a loop may be left")
	// the states are the caller's own
	var kept []*State
	for s := range run.Each(10 * time.Minute) {
		kept = append(kept, s)
	}
	a, _ := kept[0].Temperature(Centre())
	b, _ := kept[2].Temperature(Centre())
	assert.InDelta(t, -10, a, 1e-6)
	assert.Greater(t, b, a)
}

// TestExtremes compares with a search through the run.
func TestExtremes(t *testing.T) {
	run := exported(t)
	for l, x := range run.Extremes() {
		assert.Equal(t, run.LayerNames()[l], x.Name)
		low, high := infinite, -infinite
		for s := range run.Each(time.Second) {
			layer := s.Layers()[l]
			low, high = math.Min(low, layer.Coldest), math.Max(high, layer.Hottest)
		}
		// extremes are those of the steps' ends, the search is at whole seconds
		assert.InDelta(t, low, x.Lowest, 0.05)
		assert.InDelta(t, high, x.Highest, 0.05)
		at := run.At(x.HighestTime).Layers()[l]
		assert.InDelta(t, x.Highest, at.Hottest, 1e-6)
		at = run.At(x.LowestTime).Layers()[l]
		assert.InDelta(t, x.Lowest, at.Coldest, 1e-6)
	}
}

// TestPeakAbove compares with a search through the run's cells.
func TestPeakAbove(t *testing.T) {
	run := exported(t)
	for l, name := range run.LayerNames() {
		first, end := run.model.mesh.Span(l)
		peak := make([]float64, end-first)
		for i := range peak {
			peak[i] = -infinite
		}
		for s := range run.Each(time.Second) {
			for i := range peak {
				peak[i] = math.Max(peak[i], s.temp[first+i])
			}
		}
		last := 1.0
		for limit := -20.0; limit < 230; limit += 3.7 {
			share, rim, err := run.PeakAbove(name, limit)
			require.NoError(t, err)
			// by cells that are clear of the limit together with their neighbours,
			// towards whose nodes the peak is a straight line
			var sure, maybe, all float64
			for i := range peak {
				v := run.model.mesh.Cells[first+i].Volume
				around := peak[max(i-1, 0):min(i+2, len(peak))]
				all += v
				if slices.Min(around) > limit+0.05 {
					sure += v
				}
				if slices.Max(around) > limit-0.05 {
					maybe += v
				}
			}
			assert.GreaterOrEqual(t, share, sure/all-1e-12, "%s above %g", name, limit)
			assert.LessOrEqual(t, share, maybe/all+1e-12, "%s above %g", name, limit)
			assert.LessOrEqual(t, share, last, "less is above a higher limit")
			last = share
			thickness := run.Dish.Layers[l].Thickness
			assert.True(t, rim >= 0 && rim <= thickness*(1+1e-9))
			if share > 1-1e-12 {
				assert.InDelta(t, thickness, rim, 1e-12)
			}
			if share == 0 {
				assert.Zero(t, rim)
			}
		}
	}
	var fault *InputError
	_, _, err := run.PeakAbove(run.LayerNames()[0], notNumber)
	assert.ErrorAs(t, err, &fault)
}

// TestUnits: exact by definition (international yard and pound, 1959).
func TestUnits(t *testing.T) {
	for _, test := range []struct{ f, c float64 }{{32, 0}, {212, 100}, {-40, -40}, {98.6, 37}, {0, -160.0 / 9}, {425, 1965.0 / 9}} {
		assert.InDelta(t, test.c, FromFahrenheit(test.f), 1e-12)
		assert.InDelta(t, test.f, ToFahrenheit(test.c), 1e-12)
		assert.InDelta(t, test.f, ToFahrenheit(FromFahrenheit(test.f)), 1e-12)
	}
	assert.InDelta(t, Pound, 16*Ounce, 1e-15)
	assert.InDelta(t, 0.0254, Inch, 0)
	assert.InDelta(t, 1, 1000*MM, 1e-15)
	assert.Equal(t, 90*time.Second, Minutes(1.5))
	assert.Equal(t, 90*time.Minute, Hours(1.5))
	assert.Equal(t, 20*time.Minute, Hours(1.0/3))
	assert.Equal(t, -90*time.Second, Minutes(-1.5))
}
