package thermal

import (
	"math"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
)

// Runs on meshes that are no chain keep the accounts of energy and water, with ice,
// boiling, drying and juice, also with holes in the section.
func TestPlaneAudits(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	ends := []geometry.End{{Layer: "greens", Thickness: 0.006}, {Layer: "crust", Thickness: 0.0045}}
	for _, test := range []struct {
		name     string
		shape    geometry.Shape
		cells    int
		moisture bool
		minutes  float64 // that the centre takes on any mesh of this dish; 0 = not looked at
	}{
		{"heat, section", section{n: 16, core: 0.06}, 0, false, 104}, {"heat, finer", section{n: 30, core: 0.06}, 0, false, 103},
		{"heat, holes", section{n: 17, core: 0.06, holes: true}, 0, false, 0},
		{"heat, cylinder", geometry.FiniteCylinder{Length: 0.12, Top: ends, Half: true}, 400, false, 103},
		{"heat, roll", geometry.RollSection{ContactWidth: 0.03}, 300, false, 0},
		{"heat, bar", geometry.Bar{Width: 0.1}, 300, false, 0}, {"heat, tray", geometry.Tray{Width: 0.2}, 300, false, 0},
		{"water, section", section{n: 10, core: 0.06}, 0, true, 99.5},
		{"water, holes", section{n: 12, core: 0.06, holes: true}, 0, true, 0},
		{"water, cylinder", geometry.FiniteCylinder{Length: 0.12, Top: ends, Half: true}, 150, true, 99.5},
		{"water, roll", geometry.RollSection{ContactWidth: 0.03}, 150, true, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			d := roundDish(0)
			d.Shape = test.shape
			run := mustRun(t, d, roundSchedule(), &Settings{Moisture: test.moisture, Cells: test.cells})
			t.Logf("%v; energy %.1e, water %.1e, %v", run.Stats, run.Energy.Relative, run.Water.Relative, run.Duration())
			assert.Less(t, run.Energy.Relative, 1e-12)
			assert.Less(t, run.Water.Relative, 1e-12)
			if test.minutes > 0 {
				assert.InDelta(t, test.minutes, run.Duration().Minutes(), 2, "as on other meshes of the same dish")
			}
		})
	}
}

// The bits are the same however many processors there are.
func TestPlaneBits(t *testing.T) {
	ends := func(processors int) (temps [][]float64) {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		for _, wet := range []bool{false, true} {
			run := mustRun(t, roundDish(9), roundSchedule()[:1], &Settings{Moisture: wet})
			temps = append(temps, run.final.u)
		}
		return temps
	}
	assert.Equal(t, ends(1), ends(4))
}

// The temperature of a beam between equal faces is, in units of the first difference to
// the medium, the product of those of two slabs: Newman (1936), Transactions of the
// American Institute of Chemical Engineers 30, 598-613. That holds for the cells of a
// mesh as it does for the continuum, so that only errors of the steps are left.
func TestPlaneIsProductOfSlabs(t *testing.T) {
	food := constant(t, 3500, 0.5)
	const half, n, start, fluid = 0.02, 20, 0.0, 100.0
	medium := Surroundings{Fluid: fluid, H: 60}
	s := Schedule{{Medium: medium, Until: Elapsed(20 * time.Minute)}}
	set := Settings{Tolerance: 2e-3, Cells: n, Grading: geometry.Uniform}
	slab := one(geometry.HalfSlab{}, food, half, Uniform(start))
	beam := one(section{n: n, core: half, flat: true}, food, half, Uniform(start))
	a, b := simulate(t, slab, s, set).End(), simulate(t, beam, s, set).End()
	require.Len(t, a.temp, n)
	worst := 0.0
	for j := range n {
		for i := range n {
			off := func(x float64) float64 { return (fluid - x) / (fluid - start) }
			worst = max(worst, math.Abs(off(b.temp[j*n+i])-off(a.temp[i])*off(a.temp[j])))
		}
	}
	t.Logf("middle at %.3f, edge at %.3f °C; product off by %.1e", b.temp[0], b.temp[n*n-1], worst)
	assert.Greater(t, b.temp[0], 5.0)
	assert.Less(t, b.temp[0], 90.0)
	assert.Less(t, worst, 1e-4)
}

// What is the same in both directions stays so.
func TestPlaneIsSymmetric(t *testing.T) {
	for _, wet := range []bool{false, true} {
		const n = 9
		d := roundDish(n)
		d.Shape = section{n: n, core: d.Layers[0].Thickness, flat: true}
		run := mustRun(t, d, roundSchedule()[:1], &Settings{Moisture: wet})
		shape := d.Shape.(section)
		_, layer := shape.cuts(run.model.mesh.Layers, shape.core)
		number := shape.numbers(len(d.Layers), layer, layer)
		temp, worst := run.End().temp, 0.0
		for j := range n {
			for i := range n {
				worst = max(worst, math.Abs(temp[number[j*n+i]]-temp[number[i*n+j]]))
			}
		}
		t.Logf("moisture %v: %.1e K apart", wet, worst)
		assert.Less(t, worst, 1e-10)
	}
}

// What a step may err more on such meshes leaves the cells as close to the exact solution
// on the mesh as the default tolerance leaves those of the reference case in one dimension,
// of which 99 % are within 0.016 K.
func TestPlaneTolerance(t *testing.T) {
	if testing.Short() {
		t.Skip("long runs")
	}
	hot := func(t, h float64) Surroundings { return Surroundings{Fluid: t, H: h, Walls: t, Emissivity: 0.9} }
	sheet := Surroundings{Fluid: 200, H: 400}
	for _, c := range []struct {
		shape geometry.Shape
		on    geometry.Patch
	}{{geometry.RollSection{ContactWidth: 0.03}, geometry.Contact}, {geometry.Bar{Width: 0.1}, geometry.Underside}, {geometry.Tray{Width: 0.2}, geometry.Underside}} {
		for _, start := range []float64{-18, 5} {
			d := roundDish(0)
			d.Shape, d.Start = c.shape, Uniform(start)
			schedule := Schedule{
				{Medium: hot(230, 25), Patches: map[geometry.Patch]Medium{c.on: sheet}, Until: Elapsed(12 * time.Minute)},
				{Medium: hot(20, 8), Until: Elapsed(5 * time.Minute)},
				{Medium: hot(90, 15), Until: Elapsed(40 * time.Minute)},
			}
			run := mustRun(t, d, schedule, &Settings{Cells: 600})
			fine := mustRun(t, d, schedule, &Settings{Cells: 600, Tolerance: defaultTolerance / 30})
			var off []float64
			for at := 30 * time.Second; at < run.Duration(); at += 30 * time.Second {
				a, b := run.At(at), fine.At(at)
				for i := range a.temp {
					off = append(off, math.Abs(a.temp[i]-b.temp[i]))
				}
			}
			slices.Sort(off)
			most := off[len(off)*99/100]
			t.Logf("%v from %g °C: 99 %% within %.4f K, all within %.2f K; %v", c.shape, start, most, off[len(off)-1], run.Stats)
			assert.Less(t, most, 0.016)
			assert.Less(t, off[len(off)-1], 0.5, "as a front passes a cell")
		}
	}
}
