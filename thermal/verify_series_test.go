package thermal

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
)

// series is the cooling of a slab, cylinder or sphere with convection as an
// eigenfunction series in x = distance over half thickness or radius, Fo = α t
// over its square:
//
//	(T - Ta)/(Ti - Ta) = Σ Cn mode(ζn x) exp(-ζn² Fo)
//
// Carslaw & Jaeger (1959), chapters 3, 7 and 9 (from memory).
type series struct {
	shape    geometry.Shape
	zeta, cn []float64
	mode     func(z float64) float64
}

func newSeries(shape geometry.Shape, bi float64, terms int) series {
	s := series{shape: shape}
	for n := 1; n <= terms; n++ {
		var z, c float64
		switch shape.(type) {
		case geometry.HalfSlab: // ζ tan ζ = Bi
			z = bisect(func(z float64) float64 { return z*math.Sin(z) - bi*math.Cos(z) }, float64(n-1)*math.Pi, (float64(n)-0.5)*math.Pi)
			c = 4 * math.Sin(z) / (2*z + math.Sin(2*z))
			s.mode = math.Cos
		case geometry.Cylinder: // ζ J1(ζ) = Bi J0(ζ): between a zero of J1 and the next of J0
			lo := 0.0
			if n > 1 {
				m := (float64(n-1) + 0.25) * math.Pi
				lo = bisect(math.J1, m-0.5, m+0.5)
			}
			m := (float64(n) - 0.25) * math.Pi
			z = bisect(func(z float64) float64 { return z*math.J1(z) - bi*math.J0(z) }, lo, bisect(math.J0, m-0.5, m+0.5))
			j0, j1 := math.J0(z), math.J1(z)
			c = 2 / z * j1 / (j0*j0 + j1*j1)
			s.mode = math.J0
		default: // 1 - ζ cot ζ = Bi
			z = bisect(func(z float64) float64 { return (1-bi)*math.Sin(z) - z*math.Cos(z) }, float64(n-1)*math.Pi+1e-9, float64(n)*math.Pi)
			c = 4 * (math.Sin(z) - z*math.Cos(z)) / (2*z - math.Sin(2*z))
			s.mode = sinc
		}
		s.zeta, s.cn = append(s.zeta, z), append(s.cn, c)
	}
	return s
}

func sinc(z float64) float64 {
	if z == 0 {
		return 1
	}
	return math.Sin(z) / z
}

func (s series) at(x, fo float64) float64 {
	var sum float64
	for n, z := range s.zeta {
		sum += s.cn[n] * s.mode(z*x) * math.Exp(-z*z*fo)
	}
	return sum
}

var shapeOf = map[string]geometry.Shape{"slab": geometry.HalfSlab{}, "cylinder": geometry.Cylinder{}, "sphere": geometry.Sphere{}}

func TestEigenvalues(t *testing.T) {
	for _, r := range solutions(t, "eigenvalues.csv") {
		s := newSeries(shapeOf[r["shape"]], r.number(t, "bi"), 1)
		assert.InDelta(t, r.number(t, "zeta1"), s.zeta[0], 0.6e-6, "%s Bi %s", r["shape"], r["bi"])
		assert.InDelta(t, r.number(t, "c1"), s.cn[0], 0.6e-6, "%s Bi %s", r["shape"], r["bi"])
	}
	for _, r := range solutions(t, "roots.csv") {
		s := newSeries(shapeOf[r["shape"]], 1, 4)
		assert.InDelta(t, r.number(t, "zeta"), s.zeta[int(r.number(t, "n"))-1], 0.6e-5, "%s %s", r["shape"], r["n"])
	}
}

// testdata/solver-solutions/series.csv and the whole time history, at centre and
// surface, and the profile: within 0.1 % of the initial difference at 100 cells.
func TestSeriesSolutions(t *testing.T) {
	const (
		radius, k, cp = 0.03, 0.5, 3500.0
		alpha         = k / (1000 * cp)
		ti, ta        = 5.0, 105.0 // 100 K of difference
	)
	food := constant(t, cp, k)
	table := solutions(t, "series.csv")
	for _, name := range []string{"slab", "cylinder", "sphere"} {
		for _, bi := range []float64{0.5, 1, 5, 20} {
			s := newSeries(shapeOf[name], bi, 60)
			for _, g := range []geometry.Grading{geometry.Graded, geometry.Uniform} {
				t.Run(fmt.Sprintf("%s/Bi=%g/%d", name, bi, g), func(t *testing.T) {
					m := Surroundings{Fluid: ta, H: bi * k / radius}
					run := simulate(t, one(s.shape, food, radius, Uniform(ti)), convecting(m, radius*radius/alpha),
						Settings{Cells: 100, Grading: g, Tolerance: 2e-3})
					theta := func(p Place, fo float64) float64 { return (at(t, run, p, fo*radius*radius/alpha) - ta) / (ti - ta) }
					rows := 0
					for _, r := range table {
						if r["shape"] != name || r.number(t, "bi") != bi {
							continue
						}
						rows++
						fo := r.number(t, "fo")
						assert.InDelta(t, r.number(t, "centre"), s.at(0, fo), 0.6e-5)
						assert.InDelta(t, r.number(t, "surface"), s.at(1, fo), 0.6e-5)
						assert.InDelta(t, r.number(t, "centre"), theta(Centre(), fo), 1e-3, "centre at Fo %g", fo)
						assert.InDelta(t, r.number(t, "surface"), theta(Skin(), fo), 1e-3, "surface at Fo %g", fo)
					}
					require.Equal(t, 4, rows)
					var worst float64
					for fo := 0.02; fo <= 1; fo += 0.0137 {
						for _, x := range []float64{0, 0.31, 0.77, 0.95, 1} {
							worst = math.Max(worst, math.Abs(theta(Depth(radius*(1-x)), fo)-s.at(x, fo)))
						}
					}
					t.Logf("worst error %.4f %% of the initial difference, %v", 100*worst, run.Stats)
					assert.LessOrEqual(t, worst, 1e-3)
				})
			}
		}
	}
}
