package safety

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
)

func randomSet(rng *rand.Rand) Inactivation {
	least := 40 + rng.Float64()*20
	return Inactivation{Name: "random", D: math.Exp(rng.Float64() * 8), Reference: 50 + rng.Float64()*30,
		Z: 3 + rng.Float64()*15, Least: least, Most: least + 1 + rng.Float64()*30}
}

func TestConstantTemperatureIsExact(t *testing.T) {
	for _, k := range Inactivations() {
		for _, temp := range []float64{k.Least, (k.Least + k.Most) / 2, k.Most} {
			got, err := k.LogReduction(constant(temp, 100*time.Minute))
			require.NoError(t, err)
			want := 6000 / (k.D * math.Pow(10, (k.Reference-temp)/k.Z))
			assert.InEpsilon(t, want, got, 1e-12, k.Name)
		}
	}
}

func TestRampsAgainstClosedFormAndQuadrature(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 6))
	for range 300 {
		k := randomSet(rng)
		k.Least, k.Most = 0, 150
		a, b := 20+rng.Float64()*100, 20+rng.Float64()*100
		seconds := 1 + rng.Float64()*1e4
		h := History{Time: []float64{7, 7 + seconds}, Temperature: []float64{a, b}}
		got, err := k.LogReduction(h)
		require.NoError(t, err)
		// The integral of the exponential of a straight line.
		closed := seconds * k.Z / math.Ln10 / (b - a) * (1/k.DAt(b) - 1/k.DAt(a))
		assert.InEpsilon(t, closed, got, 1e-9)
		sum := 0.0
		for i := range 8 {
			sum += quad.Fixed(func(s float64) float64 { return 1 / k.DAt(a+(b-a)*s) }, float64(i)/8, float64(i+1)/8, 12, nil, 0)
		}
		assert.InEpsilon(t, sum*seconds, got, 1e-9)
	}
}

// What is below Least counts nothing, what is above Most as much as at Most.
func TestEndsOfTheMeasuredRange(t *testing.T) {
	k := Inactivation{Name: "x", D: 60, Reference: 60, Z: 5, Least: 55, Most: 65}
	reduction := func(temps ...float64) float64 {
		got, err := k.LogReduction(path(0, temps[0], 10, temps[1]))
		require.NoError(t, err)
		return got
	}
	assert.Zero(t, reduction(0, 54.999))
	assert.InEpsilon(t, reduction(65, 65), reduction(65, 500), 1e-12)
	assert.InEpsilon(t, 100, reduction(200, 200), 1e-12)
	// 50 to 70 in 10 min: 2.5 min at 65 °C beside half of the time from 55 to 65.
	assert.InEpsilon(t, reduction(55, 65)/2+2.5*10, reduction(50, 70), 1e-12)
	assert.InEpsilon(t, reduction(50, 70), reduction(70, 50), 1e-12)
	assert.InEpsilon(t, reduction(60, 60), reduction(60, math.Nextafter(60, 61)), 1e-12)
}

func TestReductionProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 6))
	for range 400 {
		k, h := randomSet(rng), wandering(rng, -20, 110)
		course, err := k.Course(h)
		require.NoError(t, err)
		require.Len(t, course, len(h.Time))
		for i := 1; i < len(course); i++ {
			require.GreaterOrEqual(t, course[i], course[i-1], "it falls")
		}
		total, err := k.LogReduction(h)
		require.NoError(t, err)
		assert.Equal(t, course[len(course)-1], total)

		warmer, err := k.LogReduction(shifted(h, rng.Float64()*20))
		require.NoError(t, err)
		assert.GreaterOrEqual(t, warmer, total*(1-1e-13))

		// Two parts make the whole, wherever it is cut.
		first, last := h.Time[0], h.Time[len(h.Time)-1]
		cut := first + rng.Float64()*(last-first)
		a, err := h.Between(first, cut)
		require.NoError(t, err)
		b, err := h.Between(cut, last)
		require.NoError(t, err)
		ra, err := k.LogReduction(a)
		require.NoError(t, err)
		rb, err := k.LogReduction(b)
		require.NoError(t, err)
		assert.InDelta(t, total, ra+rb, 1e-10*(1+total))
		joined, err := Join("j", a, b)
		require.NoError(t, err)
		rj, err := k.LogReduction(joined)
		require.NoError(t, err)
		assert.InDelta(t, total, rj, 1e-10*(1+total))

		slow := h
		slow.Time = append([]float64(nil), h.Time...)
		for i := range slow.Time {
			slow.Time[i] *= 1.5
		}
		longer, err := k.LogReduction(slow)
		require.NoError(t, err)
		assert.InDelta(t, 1.5*total, longer, 1e-10*(1+total))
	}
}

func TestWeakestPlace(t *testing.T) {
	k := mustSet("e. coli o157:h7, ground beef")
	hs := []History{constant(62, time.Hour), constant(58, time.Hour), constant(60, time.Hour)}
	got, at, err := k.Weakest(hs)
	require.NoError(t, err)
	want, _ := k.LogReduction(hs[1])
	assert.Equal(t, 1, at)
	assert.Equal(t, want, got)
	_, _, err = k.Weakest(nil)
	var fault *HistoryError
	assert.ErrorAs(t, err, &fault)
}

// D of every set lies on or over each measured point, and touches one. Sources are
// in the file.
func TestSetsAgainstMeasuredD(t *testing.T) {
	nearest := map[string]float64{}
	for _, row := range readTable(t, "thermal-death", "d-values.csv") {
		k, err := FindInactivation(row["set"])
		require.NoError(t, err)
		temp, d := number(t, row["celsius"]), 60*number(t, row["minutes"])
		assert.GreaterOrEqual(t, k.DAt(temp), d*(1-1e-3), "%s at %v °C", k.Name, temp)
		assert.True(t, temp >= k.Least && temp <= k.Most, "%s: %v °C is not counted", k.Name, temp)
		if row["z"] != "" {
			assert.Equal(t, number(t, row["z"]), k.Z, k.Name)
		}
		ratio := k.DAt(temp) / d
		if old, ok := nearest[k.Name]; !ok || ratio < old {
			nearest[k.Name] = ratio
		}
	}
	for name, ratio := range nearest {
		assert.InDelta(t, 1, ratio, 2e-3, "%s is over all of its points", name)
	}
	for _, k := range Inactivations() {
		if _, ok := nearest[k.Name]; !ok {
			assert.Contains(t, k.Name, "(FSIS)", "no measured point; those from tables are in TestTables")
		}
	}
}

// From the middle of a bagged slab in a bath, by the series of a slab with a surface
// coefficient, against the same computed by a separate program (to its rounding) and against the
// printed table of Baldwin (2012), which is rounded up: -5 to +25 %.
func TestPasteurisationTable(t *testing.T) {
	sets := []struct {
		set  Inactivation
		logs float64
	}{
		{mustSet("salmonella, meat (Baldwin)"), 6.5}, {mustSet("e. coli, meat (Baldwin)"), 5}, {mustSet("listeria, meat (Baldwin)"), 6},
	}
	checked, most := 0, 1.0
	for _, row := range readTable(t, "water-bath-pasteurisation", "times.csv") {
		if row["series_min"] == "" {
			continue
		}
		checked++
		thickness, bath := number(t, row["thickness_mm"])/1e3, number(t, row["bath_C"])
		h := middleOfSlab(thickness, bath)
		needed, uncut := 0.0, 0.0
		for _, s := range sets {
			needed = math.Max(needed, reached(t, s.set, h, s.logs))
			s.set.Least = 0 // the program counted all
			uncut = math.Max(uncut, reached(t, s.set, h, s.logs))
		}
		printed := number(t, row["printed_min"])
		assert.InDelta(t, number(t, row["series_min"]), uncut, 0.55, "%s mm, %v °C, series", row["thickness_mm"], bath)
		assert.True(t, printed >= 0.95*needed && printed <= 1.25*needed, "%s mm, %v °C: printed %v, computed %.1f min", row["thickness_mm"], bath, printed, needed)
		most = math.Max(most, needed/uncut)
	}
	assert.InDelta(t, 1.01, most, 0.01, "what is left out below 50 °C costs little time")
	assert.Equal(t, 25, checked)
}

// reached is when a log reduction is reached [min].
func reached(t *testing.T, k Inactivation, h History, logs float64) float64 {
	t.Helper()
	course, err := k.Course(h)
	require.NoError(t, err)
	i := 0
	for course[i] < logs {
		i++
	}
	share := (logs - course[i-1]) / (course[i] - course[i-1])
	return (h.Time[i-1] + share*(h.Time[i]-h.Time[i-1])) / 60
}

// middleOfSlab is the series of Carslaw & Jaeger (1959) for the middle of a slab of
// 1.11e-7 m²/s and 0.40 W/(m K), from 5 °C, 95 W/(m² K) on both faces.
func middleOfSlab(thickness, bath float64) History {
	half := thickness / 2
	biot := 95 * half / 0.40
	var roots, weights []float64
	for n := range 60 {
		lo, hi := float64(n)*math.Pi, float64(n)*math.Pi+math.Pi/2
		for range 80 { // b tan b = Bi
			if mid := (lo + hi) / 2; mid*math.Sin(mid) < biot*math.Cos(mid) == (n%2 == 0) {
				lo = mid
			} else {
				hi = mid
			}
		}
		b := (lo + hi) / 2
		roots = append(roots, b)
		weights = append(weights, 4*math.Sin(b)/(2*b+math.Sin(2*b)))
	}
	h := History{Place: "middle"}
	for s := 0.0; s < 500*60; s += 5 {
		fo := 1.11e-7 * s / half / half
		theta := 0.0
		for i, b := range roots {
			theta += weights[i] * math.Exp(-b*b*fo)
		}
		h.Time = append(h.Time, s)
		h.Temperature = append(h.Temperature, math.Max(5, bath-(bath-5)*math.Min(1, theta)))
	}
	return h
}
