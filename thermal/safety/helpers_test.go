package safety

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// readTable reads a file of the module's testdata, a map from column to text a row.
func readTable(t *testing.T, path ...string) (rows []map[string]string) {
	t.Helper()
	file, err := os.Open(filepath.Join(append([]string{"..", "..", "testdata"}, path...)...))
	require.NoError(t, err)
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(records), 1)
	for _, r := range records[1:] {
		row := map[string]string{}
		for i, name := range records[0] {
			row[name] = r[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

func celsius(fahrenheit float64) float64 { return (fahrenheit - 32) * 5 / 9 }

// constant is a history at one temperature, with a point in the middle.
func constant(temp float64, length time.Duration) History {
	s := length.Seconds()
	return History{Place: "centre", Time: []float64{0, s / 3, s}, Temperature: []float64{temp, temp, temp}}
}

// path is a history through minutes and temperatures in turn.
func path(minutesAndTemps ...float64) History {
	h := History{Place: "centre"}
	for i := 0; i < len(minutesAndTemps); i += 2 {
		h.Time = append(h.Time, minutesAndTemps[i]*60)
		h.Temperature = append(h.Temperature, minutesAndTemps[i+1])
	}
	return h
}

// wandering is a random history between two temperatures.
func wandering(rng *rand.Rand, lo, hi float64) History {
	n := 2 + rng.IntN(30)
	h := History{Place: "somewhere"}
	clock := rng.Float64() * 1000
	for range n {
		h.Time = append(h.Time, clock)
		h.Temperature = append(h.Temperature, lo+rng.Float64()*(hi-lo))
		if rng.IntN(10) > 0 { // else a jump
			clock += math.Exp(rng.Float64() * 9)
		}
	}
	return h
}

func shifted(h History, by float64) History {
	h.Temperature = append([]float64(nil), h.Temperature...)
	for i := range h.Temperature {
		h.Temperature[i] += by
	}
	return h
}

// criterion wraps one criterion in a rule for anything.
func criterion(c ...Criterion) Rule {
	return Rule{Name: "test", Code: "T", Number: "1", Title: "Test", Year: 2000, Criteria: c}
}

func check(t *testing.T, r Rule, f Facts, h ...History) Finding {
	t.Helper()
	found, err := Check(h, f, r)
	require.NoError(t, err)
	require.Len(t, found, 1)
	return found[0]
}
