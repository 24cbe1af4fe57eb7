package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// held solves steady conduction with every surface at a temperature of its own, NaN
// where it is insulated, by conjugate gradients. k is by layer.
func held(t *testing.T, m *Mesh, k []float64, at func(s Surface) float64) []float64 {
	t.Helper()
	n := len(m.Cells)
	of := func(i int) float64 { return k[m.Cells[i].Layer] }
	diag, b := make([]float64, n), make([]float64, n)
	g := make([]float64, len(m.Faces))
	for i, f := range m.Faces {
		g[i] = 1 / (f.HalfA/of(f.A) + f.HalfB/of(f.B) + f.Contact/f.Area)
		diag[f.A] += g[i]
		diag[f.B] += g[i]
	}
	for _, s := range m.Surfaces {
		if to := at(s); !math.IsNaN(to) {
			c := of(s.Cell) / s.Half
			diag[s.Cell] += c
			b[s.Cell] += c * to
		}
	}
	dot := func(a, b []float64) (sum float64) {
		for i := range a {
			sum += a[i] * b[i]
		}
		return sum
	}
	x, r, z, p, q := make([]float64, n), append([]float64(nil), b...), make([]float64, n), make([]float64, n), make([]float64, n)
	last := 1.0
	for it := 0; ; it++ {
		require.Less(t, it, 20000, "no solution")
		for i := range z {
			z[i] = r[i] / diag[i]
		}
		now := dot(r, z)
		if now < 1e-26*dot(b, b)/diag[0] {
			return x
		}
		for i := range p {
			p[i] = z[i] + now/last*p[i]
		}
		last = now
		for i := range q {
			q[i] = diag[i] * p[i]
		}
		for i, f := range m.Faces {
			q[f.A] -= g[i] * p[f.B]
			q[f.B] -= g[i] * p[f.A]
		}
		a := now / dot(p, q)
		for i := range x {
			x[i] += a * p[i]
			r[i] -= a * q[i]
		}
	}
}

// worst is the largest difference [K] from a closed form over all nodes, and the root
// mean square by volume.
func worst(m *Mesh, got []float64, want func(x, y float64) float64) (most, rms float64) {
	for i, c := range m.Cells {
		d := math.Abs(got[i] - want(m.Section(i)))
		most = math.Max(most, d)
		rms += c.Volume * d * d
	}
	return most, math.Sqrt(rms / m.Volume())
}

// A field that goes straight up, through every shape and any layers of one food, is exact
// at any cell count where the mesh is of straight lines.
func TestSteadyHeightIsExact(t *testing.T) {
	same := []float64{0.5, 0.5, 0.5}
	layers := []Layer{{Name: "a", Thickness: 0.03}, {Name: "b", Thickness: 0.0005}, {Name: "c", Thickness: 0.004}}
	ends := []End{{"b", 0.002}, {"c", 0.01}}
	for _, s := range []Shape{FiniteCylinder{Length: 0.1, Bottom: ends, Top: ends[1:]}, Bar{Width: 0.05}, Tray{Width: 0.2}} {
		for _, r := range []Resolution{{Cells: 1}, {}, {Cells: 900, Grading: Uniform}} {
			m, err := s.Mesh(layers, r)
			require.NoError(t, err)
			got := held(t, m, same, func(s Surface) float64 {
				if s.Patch == Underside || s.Patch == Top {
					return 1000 * s.Position
				}
				return math.NaN()
			})
			most, _ := worst(m, got, func(_, y float64) float64 { return 1000 * y })
			assert.LessOrEqual(t, most, 1e-8, "%v, %d cells", s, len(m.Cells))
		}
	}
}

// A roll all at one temperature but for its core held by a source is the composite
// cylinder: with the temperature the same around it, the same heat passes everywhere.
func TestRoundIsTheSameAllRound(t *testing.T) {
	layers := []Layer{{Thickness: 0.03}, {Thickness: 0.005, Contact: 1e-3}, {Thickness: 0.005}}
	m, err := RollSection{ContactWidth: 0.03}.Mesh(layers, Resolution{Cells: 600})
	require.NoError(t, err)
	got := held(t, m, []float64{1, 0.45, 0.12}, func(Surface) float64 { return 80 })
	most, _ := worst(m, got, func(_, _ float64) float64 { return 80 })
	assert.LessOrEqual(t, most, 1e-9)
}

// rectangle is the steady temperature in a rectangle of width 2a and height b, 1 at the
// top y = b and 0 at the other sides, x from the middle: separation of variables
// (Carslaw & Jaeger 1959, section 5.3, from memory).
func rectangle(a, b, x, y float64) float64 {
	var sum float64
	for n := 0; n < 400; n++ {
		z := (float64(n) + 0.5) * math.Pi / a
		c := 2 / (z * a) * math.Cos(z*x) * math.Exp(z*(y-b)) * (1 - math.Exp(-2*z*y)) / (1 - math.Exp(-2*z*b))
		if n%2 == 1 {
			c = -c
		}
		if sum += c; math.Abs(c) < 1e-14 && z*(b-y) > 40 {
			break
		}
	}
	return sum
}

func TestSteadyRectangle(t *testing.T) {
	assert.InDelta(t, 0.25, rectangle(0.5, 1, 0, 0.5), 1e-12, "the middle of a square has the mean of its sides")
	var errs []float64
	for _, n := range []int{20, 40, 80} {
		// the corners, where the sides jump, are singular: the mean over all tells less
		m, err := Bar{Width: 0.08}.Mesh([]Layer{{Thickness: 0.03}}, Resolution{Cells: n * n / 2, Ratio: 2, Grading: Uniform})
		require.NoError(t, err)
		got := held(t, m, []float64{0.5}, func(s Surface) float64 {
			if s.Patch == Top {
				return 1
			}
			return 0
		})
		var most float64
		for i := range m.Cells {
			if x, y := m.Section(i); x < 0.02 && math.Abs(y) < 0.015 {
				most = math.Max(most, math.Abs(got[i]-rectangle(0.04, 0.06, x, y+0.03)))
			}
		}
		errs = append(errs, most)
	}
	t.Logf("errors %.2e, order %.2f", errs, math.Log2(errs[1]/errs[2]))
	assert.LessOrEqual(t, errs[1], 1e-3)
	assert.InDelta(t, 2, math.Log2(errs[1]/errs[2]), 0.2)
}

// Around the axis: a roll with cos(nθ) at its surface has the harmonic (r/R)^n cos(nθ)
// inside, and with two layers r cos θ and (b r + c/r) cos θ, which meet with one
// temperature and one flow of heat.
func TestSteadyAroundTheAxis(t *testing.T) {
	const radius, inner, k1, k2 = 0.04, 0.03, 0.5, 0.1
	// at the interface 1 = b + c/inner² and k1 = k2 (b - c/inner²)
	b := (1 + k1/k2) / 2
	c := (1 - b) * inner * inner
	outer := b*radius + c/radius
	cases := []struct {
		name   string
		layers []Layer
		k      []float64
		want   func(r, angle float64) float64
		most   float64 // at 40 by 40 cells
	}{
		{"across", []Layer{{Thickness: radius}}, []float64{1}, func(r, a float64) float64 { return r / radius * math.Cos(a) }, 5e-4},
		{"twofold", []Layer{{Thickness: radius}}, []float64{1}, func(r, a float64) float64 { return r * r / radius / radius * math.Cos(2*a) }, 2e-3},
		{"two layers", []Layer{{Thickness: inner}, {Thickness: radius - inner}}, []float64{k1, k2}, func(r, a float64) float64 {
			if r < inner {
				return r / outer * math.Cos(a)
			}
			return (b*r + c/r) / outer * math.Cos(a)
		}, 1e-3},
	}
	for _, test := range cases {
		var errs []float64
		for _, n := range []int{20, 40, 80} {
			m, err := RollSection{}.Mesh(test.layers, Resolution{Cells: n * n, Ratio: 1})
			require.NoError(t, err)
			surface := func(s Surface) float64 { return test.want(radius, m.Cells[s.Cell].Along) }
			want := func(x, y float64) float64 { return test.want(math.Hypot(x, y), math.Atan2(x, -y)) }
			most, rms := worst(m, held(t, m, test.k, surface), want)
			errs = append(errs, rms)
			if n == 40 {
				t.Logf("%s: worst node off by %.1e, rms %.1e", test.name, most, rms)
				assert.LessOrEqual(t, most, test.most)
			}
		}
		t.Logf("%s: rms errors %.2e, order %.2f", test.name, errs, math.Log2(errs[1]/errs[2]))
		assert.InDelta(t, 2, math.Log2(errs[1]/errs[2]), 0.25)
	}
}
