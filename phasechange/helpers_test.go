package phasechange

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

var allCurves = []IceCurve{BoundWater, Miles, Tchigeov, IdealSolution}

// shares are the parts of the original water at which anchors are tested. The
// first is the original food itself.
var shares = []float64{1, 0.7, 0.3, 0.02, 0}

func newRelation(t testing.TB, f materials.Food, s Settings) *Relation {
	t.Helper()
	r, err := New(f, s)
	require.NoError(t, err)
	return r
}

// relations runs a subtest for every food of the embedded table with every ice
// curve.
func relations(t *testing.T, run func(t *testing.T, r *Relation)) {
	for _, f := range materials.Foods() {
		for _, c := range allCurves {
			t.Run(fmt.Sprintf("%s, %s", f.Name, c), func(t *testing.T) {
				run(t, newRelation(t, f, Settings{IceCurve: c}))
			})
		}
	}
}

// anchors runs f for the water contents of shares. Pure water that is gone leaves
// nothing to hold energy.
func anchors(r *Relation, f func(share float64, a Anchor)) {
	for _, s := range shares {
		if s == 0 && r.food.Composition.Solids() == 0 {
			continue
		}
		f(s, r.Anchor(s*r.Water()))
	}
}

// temperatures from -60 to 250 °C, with some close to the kinks of a and to
// 0 °C on either side, rising.
func temperatures(a *Anchor) []float64 {
	var ts []float64
	add := func(t float64) {
		if t > -60 && t < 250 {
			ts = append(ts, t)
		}
	}
	for t := -59.3; t < 250; t += 7.25 {
		add(t)
	}
	for _, kink := range []float64{a.tf, 0, a.tb} {
		for _, d := range []float64{0.003, 0.04, 0.5, 2} {
			add(kink - d)
			add(kink + d)
		}
	}
	// keep a distance that rounding cannot turn into nothing
	slices.Sort(ts)
	return slices.CompactFunc(ts, func(a, b float64) bool { return math.Abs(b-a) < 1e-3 })
}

// nearKink tells whether t [°C] is within d [K] of a place where dU/dT jumps:
// freezing point, boiling point, and 0 °C, where the specific heat of water does.
func nearKink(a *Anchor, t, d float64) bool {
	return math.Abs(t-a.tf) < d || math.Abs(t-a.tb) < d || math.Abs(t) < d
}

func newStates(n int) (s States) {
	for _, p := range []*[]float64{&s.T, &s.TU, &s.K, &s.KU, &s.F, &s.FU} {
		*p = make([]float64, n)
	}
	return s
}

// worst keeps the greatest of the values shown to it, and where it was.
type worst struct {
	value float64
	where string
	n     int
}

func (w *worst) see(v float64, format string, args ...any) {
	w.n++
	if v > w.value || math.IsNaN(v) || w.n == 1 {
		w.value, w.where = v, fmt.Sprintf(format, args...)
	}
}

func (w *worst) String() string { return fmt.Sprintf("%.3g (%s), %d values", w.value, w.where, w.n) }

// row is a line of a file of published values, by column.
type row map[string]string

func (r row) number(t testing.TB, column string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, "column %s of %v", column, r)
	return x
}

func published(t testing.TB, file string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", filepath.FromSlash(file)))
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(records), 1, file)
	var rows []row
	for _, record := range records[1:] {
		r := row{}
		for i, name := range records[0] {
			r[strings.TrimSpace(name)] = record[i]
		}
		rows = append(rows, r)
	}
	return rows
}
