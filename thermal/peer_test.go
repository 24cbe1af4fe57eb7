package thermal_test

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// The peer is a program of its own (testdata/peer) that integrates the same
// published equations with SUNDIALS CVODE: other unknowns, other mesh, other
// code. What both state of a case is written down twice, here and there.

const peerFolder = "../testdata/peer"

// peerFood is a food as the peer states it.
func peerFood(name string, s materials.Structure, c materials.Composition, tf, bound, porosity float64) materials.Food {
	return materials.Food{Name: name, Structure: s, Composition: c, FreezingPoint: tf, BoundWater: &bound, Porosity: porosity}
}

var (
	peerLean = peerFood("lean", materials.FibreAcross,
		materials.Composition{Water: 0.745, Protein: 0.215, Fat: 0.030, Ash: 0.010}, -1.0, 0.08, 0)
	peerFish = peerFood("fish", materials.FibreAlong,
		materials.Composition{Water: 0.790, Protein: 0.180, Fat: 0.018, Ash: 0.012}, -1.2, 0.07, 0)
	peerLeaf = peerFood("leaf", materials.Compact,
		materials.Composition{Water: 0.910, Protein: 0.030, Fat: 0.005, Carbohydrate: 0.025, Fibre: 0.020, Ash: 0.010}, -0.6, 0.02, 0)
	peerFilm = peerFood("film", materials.Compact,
		materials.Composition{Water: 0.080, Protein: 0.020, Fat: 0.895, Ash: 0.005}, -1.5, 0.01, 0)
	peerDough = peerFood("dough", materials.Compact,
		materials.Composition{Water: 0.350, Protein: 0.070, Fat: 0.150, Carbohydrate: 0.400, Fibre: 0.015, Ash: 0.015}, -5.0, 0.15, 0.10)
	peerCrumb = peerFood("crumb", materials.OpenPores,
		materials.Composition{Water: 0.420, Protein: 0.085, Fat: 0.020, Carbohydrate: 0.445, Fibre: 0.015, Ash: 0.015}, -4.0, 0.19, 0.60)
	peerSauce = peerFood("sauce", materials.Compact,
		materials.Composition{Water: 0.820, Protein: 0.030, Fat: 0.060, Carbohydrate: 0.075, Fibre: 0.005, Ash: 0.010}, -1.1, 0.03, 0)
	peerPastry = peerFood("pastry", materials.Layered,
		materials.Composition{Water: 0.300, Protein: 0.060, Fat: 0.280, Carbohydrate: 0.340, Fibre: 0.010, Ash: 0.010}, -4.5, 0.14, 0)
)

// peerSoft is a fat that takes up its heat of melting about 25 °C, along a
// logistic curve 4 K wide; the peer evaluates the formula, this side a curve of
// its values.
func peerSoft(t testing.TB) materials.Food {
	t.Helper()
	var p []materials.Point
	for i := range 601 {
		c := -40 + float64(i)*0.25
		p = append(p, materials.Point{T: c, Enthalpy: 2100*c + 80e3/(1+math.Exp(-(c-25)/4)), Conductivity: 0.18})
	}
	f, err := materials.FromEnthalpy("soft", 920, p)
	require.NoError(t, err)
	return f
}

// peerCase is a case of the peer as this library sees it.
type peerCase struct {
	name     string
	dish     thermal.Dish
	schedule thermal.Schedule
	mid      thermal.Place
	under    thermal.Place // of a slab only
}

func peerLayer(f materials.Food, thickness, contact float64) thermal.Layer {
	return thermal.Layer{Food: f, Thickness: thickness, Contact: contact}
}

func peerStage(seconds, fluid, h, walls, emissivity float64) thermal.Stage {
	return thermal.Stage{Name: fmt.Sprintf("%g s", seconds), Until: thermal.Elapsed(time.Duration(seconds) * time.Second),
		Medium: thermal.Surroundings{Fluid: fluid, H: h, Walls: walls, Emissivity: emissivity}}
}

func peerCases(t testing.TB) []peerCase {
	middle := func(layer string) thermal.Place { return thermal.Within(layer, 0.5) }
	hotPlate := peerStage(8000, 75, 12, 95, 0.85)
	hotPlate.Patches = map[geometry.Patch]thermal.Medium{geometry.Underside: thermal.Surroundings{Fluid: 60, H: 200}}
	return []peerCase{
		{name: "freeze-slab", mid: middle("lean"),
			dish:     thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(10), Layers: []thermal.Layer{peerLayer(peerLean, 0.025, 0)}},
			schedule: thermal.Schedule{peerStage(12000, -35, 30, -35, 0.9)}},
		{name: "thaw-slab", mid: middle("lean"),
			dish:     thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(-20), Layers: []thermal.Layer{peerLayer(peerLean, 0.025, 0)}},
			schedule: thermal.Schedule{peerStage(80000, 5, 25, 5, 0.9)}},
		{name: "layered-cylinder", mid: middle("lean"), dish: peerCylinder(),
			schedule: thermal.Schedule{peerStage(12000, 90, 20, 90, 0.9)}},
		{name: "asymmetric-slab", mid: middle("fish"), under: thermal.Within("crumb", 0),
			dish: thermal.Dish{Shape: geometry.Slab{}, Start: thermal.Uniform(-12), Layers: []thermal.Layer{
				peerLayer(peerCrumb, 0.005, 0), peerLayer(peerFish, 0.015, 0), peerLayer(peerSauce, 0.005, 0)}},
			schedule: thermal.Schedule{hotPlate}},
		{name: "freeze-sphere", mid: middle("fish"),
			dish:     thermal.Dish{Shape: geometry.Sphere{}, Start: thermal.Uniform(20), Layers: []thermal.Layer{peerLayer(peerFish, 0.030, 0)}},
			schedule: thermal.Schedule{peerStage(9000, -30, 25, -24, 0.9)}},
		{name: "melting-film", mid: middle("lean"),
			dish: thermal.Dish{Shape: geometry.Cylinder{}, Start: thermal.Uniform(-18), Layers: []thermal.Layer{
				peerLayer(peerLean, 0.018, 0), peerLayer(peerSoft(t), 0.002, 0), peerLayer(peerLeaf, 0.004, 0)}},
			schedule: thermal.Schedule{peerStage(2700, 85, 25, 85, 0.9), peerStage(6300, 50, 10, 50, 0.9)}},
		{name: "contact", mid: middle("lean"),
			dish: thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.ByLayer(-18, 4), Layers: []thermal.Layer{
				peerLayer(peerLean, 0.012, 0.01), peerLayer(peerPastry, 0.005, 0.02)}},
			schedule: thermal.Schedule{peerStage(12000, 60, 100, 90, 0.9)}},
	}
}

func peerCylinder() thermal.Dish {
	return thermal.Dish{Shape: geometry.Cylinder{}, Start: thermal.Uniform(-18), Layers: []thermal.Layer{
		peerLayer(peerLean, 0.033, 0), peerLayer(peerLeaf, 0.006, 0), peerLayer(peerFilm, 0.001, 0), peerLayer(peerDough, 0.0045, 0)}}
}

// peerCurve is a stored curve: columns by name, time in seconds.
type peerCurve struct {
	time   []float64
	places []string
	value  map[string][]float64
}

func readPeerCurve(t testing.TB, path string) peerCurve {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 100, path)
	c := peerCurve{value: map[string][]float64{}}
	require.Equal(t, "time [s]", rows[0][0])
	for _, head := range rows[0][1:] {
		name, ok := strings.CutSuffix(head, " [°C]")
		require.True(t, ok, head)
		c.places = append(c.places, name)
	}
	for _, row := range rows[1:] {
		for i, text := range row {
			v, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			if i == 0 {
				c.time = append(c.time, v)
			} else {
				c.value[c.places[i-1]] = append(c.value[c.places[i-1]], v)
			}
		}
	}
	return c
}

// The comparison's limits. Where a plateau ends, a place warms or cools by kelvins
// within seconds and any difference in time is a large one in temperature: there,
// and only there, a sample may agree in time instead.
const (
	peerWithin = 0.1                // [K]
	peerSteep  = 1.0                // [K] between a sample and one beside it: the end of a plateau
	peerLate   = 1e-3               // share of the elapsed time
	peerSame   = 0.005              // [K] a curve made anew, by other compilers and releases
	peerLimit  = 300 * time.Second  // for building the peer and one case
	peerSwitch = "THAWFRONT_PEER"   // set to 1: build the peer and make a curve anew
	peerLive   = "contact"          // the case made anew
	peerScript = "build-and-run.sh" // in peerFolder
	peerCurves = peerFolder + "/curves"
)

// comparison is how a place of a run compares with the peer's curve.
type comparison struct {
	worst, at, rms float64 // [K], [s], [K], samples that agree in time left out
	inTime         int     // samples that agree in time
	late           float64 // [s] the largest of their differences, positive if the run is late
	off            []string
}

func compareWithPeer(t testing.TB, run *thermal.Run, place thermal.Place, time0, peer []float64) (c comparison) {
	t.Helper()
	read := func(s float64) float64 {
		v, err := run.Temperature(place, time.Duration(s*1e9))
		require.NoError(t, err)
		return v
	}
	var sum, n float64
	// The first sample is left out: there the peer's surface has its starting
	// temperature, this library's the one that balances the medium.
	for i := 1; i < len(peer); i++ {
		s, want := time0[i], peer[i]
		d := math.Abs(read(s) - want)
		steep := math.Abs(want-peer[i-1]) > peerSteep || i+1 < len(peer) && math.Abs(peer[i+1]-want) > peerSteep
		if d > peerWithin && steep {
			if late, ok := peerShift(read, s, want); ok {
				c.inTime++
				if math.Abs(late) > math.Abs(c.late) {
					c.late = late
				}
				continue
			}
		}
		sum, n = sum+d*d, n+1
		if d > c.worst {
			c.worst, c.at = d, s
		}
		if !(d <= peerWithin) {
			c.off = append(c.off, fmt.Sprintf("%.4f K at %g s", d, s))
		}
	}
	c.rms = math.Sqrt(sum / n)
	return c
}

// peerShift finds how much later than s [s] the run has the wanted temperature, if
// it has it within peerLate.
func peerShift(read func(s float64) float64, s, want float64) (late float64, ok bool) {
	lo, hi := s*(1-peerLate), s*(1+peerLate)
	below := read(lo) < want
	if below == (read(hi) < want) {
		return 0, false
	}
	for range 40 {
		if mid := (lo + hi) / 2; (read(mid) < want) == below {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo - s, true
}

func TestPeer(t *testing.T) {
	if testing.Short() {
		t.Skip("seven fine runs take seconds, and a minute under the race detector")
	}
	for _, c := range peerCases(t) {
		t.Run(c.name, func(t *testing.T) {
			peer := readPeerCurve(t, filepath.Join(peerCurves, c.name+".csv"))
			places := map[string]thermal.Place{"centre": thermal.Centre(), "mid": c.mid, "surface": thermal.Skin(), "underside": c.under}
			compare := func(what string, s thermal.Settings, assertAll bool) {
				run, err := thermal.Simulate(context.Background(), c.dish, c.schedule, &s)
				require.NoError(t, err)
				require.InDelta(t, run.Duration().Seconds(), peer.time[len(peer.time)-1], 1e-6)
				for _, name := range peer.places {
					d := compareWithPeer(t, run, places[name], peer.time, peer.value[name])
					t.Logf("%s, %s: at most %.4f K (at %g s), rms %.4f K; %d samples in time, %+.1f s at most",
						what, name, d.worst, d.at, d.rms, d.inTime, d.late)
					if assertAll {
						assert.Empty(t, d.off, name)
					}
				}
			}
			compare("800 even cells", thermal.Settings{Cells: 800, Grading: geometry.Uniform, Tolerance: 0.001}, true)
			compare("default settings", thermal.Settings{}, false)
		})
	}
}

// With THAWFRONT_PEER=1 the peer is built and must give its stored curve again.
func TestPeerAnew(t *testing.T) {
	if os.Getenv(peerSwitch) != "1" {
		t.Skipf("%s is not 1: building the peer needs a C compiler, bash and SUNDIALS (Debian: libsundials-dev)", peerSwitch)
	}
	out := t.TempDir()
	ctx, cancel := context.WithTimeout(context.Background(), peerLimit)
	defer cancel()
	said, err := exec.CommandContext(ctx, "bash", filepath.Join(peerFolder, peerScript), "-q", "-o", out, peerLive).CombinedOutput()
	require.NoError(t, err, "%s", said)
	stored := readPeerCurve(t, filepath.Join(peerCurves, peerLive+".csv"))
	anew := readPeerCurve(t, filepath.Join(out, peerLive+".csv"))
	require.Equal(t, stored.time, anew.time)
	require.Equal(t, stored.places, anew.places)
	for _, name := range stored.places {
		assert.InDeltaSlice(t, stored.value[name], anew.value[name], peerSame, name)
	}
}
