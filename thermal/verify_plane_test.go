package thermal

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
)

// A body that is the intersection of others, all of whose surfaces meet the same medium,
// cools as the product of their solutions, T being counted from the medium's (Carslaw &
// Jaeger 1959, section 1.15, from memory; it follows from the equation of conduction by
// separating the variables).
func TestProductSolutions(t *testing.T) {
	if testing.Short() {
		t.Skip("many cells")
	}
	const (
		radius, half, k, cp = 0.03, 0.045, 0.5, 3500.0
		alpha               = k / (1000 * cp)
		ti, ta              = 5.0, 105.0
	)
	food := constant(t, cp, k)
	shapes := []struct {
		shape geometry.Shape
		cross geometry.Shape // whose section it has over radius
		set   Settings       // of 60 by 60 cells
	}{
		{geometry.FiniteCylinder{Length: 2 * half}, geometry.Cylinder{}, Settings{Cells: 3600, CellRatio: 1}}, // 60 over its full length
		{geometry.FiniteCylinder{Length: 2 * half, Half: true}, geometry.Cylinder{}, Settings{Cells: 3600, CellRatio: 1}},
		{geometry.Bar{Width: 2 * half}, geometry.HalfSlab{}, Settings{Cells: 3600, CellRatio: 1}}, // 60 over its full height
	}
	for _, s := range shapes {
		for _, h := range []float64{25, 400, 1e5} { // the last all but holds the surface
			t.Run(fmt.Sprintf("%v/h=%g", s.shape, h), func(t *testing.T) {
				a, b := newSeries(s.cross, h*radius/k, 60), newSeries(geometry.HalfSlab{}, h*half/k, 60)
				s.set.Tolerance = 5e-3
				run := simulate(t, one(s.shape, food, radius, Uniform(ti)), convecting(Surroundings{Fluid: ta, H: h}, 0.6*radius*radius/alpha), s.set)
				var worst float64
				for _, fo := range []float64{0.05, 0.1, 0.2, 0.4, 0.6} {
					now := run.At(duration(fo * radius * radius / alpha))
					for _, p := range []float64{0, 0.31, 0.77, 0.95, 1} {
						for _, q := range []float64{0, 0.31, 0.77, 0.95, 1} {
							at := At(p*radius, q*half)
							if _, bar := s.shape.(geometry.Bar); bar {
								at = At(q*half, p*radius)
							}
							got, err := now.Temperature(at)
							require.NoError(t, err)
							want := a.at(p, fo) * b.at(q, fo*radius*radius/half/half)
							worst = math.Max(worst, math.Abs((got-ta)/(ti-ta)-want))
						}
					}
				}
				t.Logf("worst error %.4f %% of the initial difference, %d cells, energy %.1e, %v", 100*worst, len(run.model.mesh.Cells), run.Energy.Relative, run.Stats)
				assert.LessOrEqual(t, worst, 1e-3)
				assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
			})
		}
	}
}

// The order in space: nodes of the finite cylinder against the product solution, at a
// time when all is smooth.
func TestOrderInTwoDimensions(t *testing.T) {
	if testing.Short() {
		t.Skip("many cells")
	}
	const (
		radius, half, k, cp = 0.03, 0.045, 0.5, 3500.0
		alpha               = k / (1000 * cp)
		h                   = 60.0
	)
	food := constant(t, cp, k)
	for _, c := range []struct {
		shape geometry.Shape
		cross geometry.Shape
	}{{geometry.FiniteCylinder{Length: 2 * half, Half: true}, geometry.Cylinder{}}, {geometry.Bar{Width: 2 * half}, geometry.HalfSlab{}}} {
		for _, g := range []geometry.Grading{geometry.Graded, geometry.Uniform} {
			a, b := newSeries(c.cross, h*radius/k, 40), newSeries(geometry.HalfSlab{}, h*half/k, 40)
			var size, errs []float64
			for _, n := range []int{10, 20, 40} {
				run := simulate(t, one(c.shape, food, radius, Uniform(0)), convecting(Surroundings{Fluid: 100, H: h}, 0.3*radius*radius/alpha),
					Settings{Cells: n * n, CellRatio: 1, Grading: g, Tolerance: 2e-4})
				var sum, whole float64
				for _, cell := range run.End().Cells() {
					x, y := cell.X/radius, cell.Y/half
					if _, bar := c.shape.(geometry.Bar); bar {
						x, y = cell.Y/radius, cell.X/half
					}
					d := cell.Temperature - 100*(1-a.at(x, 0.3)*b.at(y, 0.3*radius*radius/half/half))
					sum += cell.Volume * d * d
					whole += cell.Volume
				}
				size, errs = append(size, 1/float64(n)), append(errs, math.Sqrt(sum/whole))
			}
			t.Logf("%v, grading %d: rms errors %.2e K, order %.2f", c.shape, g, errs, order(size, errs))
			assert.InDelta(t, 2, order(size, errs), 0.2)
		}
	}
}

// With the same medium all round a roll in two dimensions is the cylinder, step by step.
func TestRollInUniformSurroundings(t *testing.T) {
	layers := rollLayers(t)
	medium := Surroundings{Fluid: 200, H: 25, Walls: 180, Emissivity: 0.9}
	const n = 40
	cylinder := fixed(t, Dish{Shape: geometry.Cylinder{}, Layers: layers, Start: Uniform(-20)}, medium, Settings{Cells: n, Grading: geometry.Uniform})
	roll := fixed(t, Dish{Shape: geometry.RollSection{ContactWidth: 0.03}, Layers: layers, Start: Uniform(-20)}, medium, Settings{Cells: n * 15, CellRatio: float64(n) / 15, Grading: geometry.Uniform})
	mesh := roll.sys.mesh
	line := mesh.Line()
	require.Len(t, line, len(cylinder.sys.volume))
	var worst, around float64
	for range 30 {
		cylinder.march(t, 10, 4)
		roll.march(t, 10, 4)
		a, b := cylinder.temperatures(), roll.temperatures()
		for i := range line {
			for _, j := range mesh.Row(line[i]) {
				around = math.Max(around, math.Abs(b[j]-b[line[i]]))
			}
			worst = math.Max(worst, math.Abs(a[i]-b[line[i]]))
		}
	}
	t.Logf("off by %.1e K, around by %.1e K", worst, around)
	assert.LessOrEqual(t, around, 1e-9)
	assert.LessOrEqual(t, worst, 1e-6)
}
