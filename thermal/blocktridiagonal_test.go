package thermal

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.com/thawfront/phasechange"
)

// blockSystem is a matrix volume I - scale J. Units are the sizes of U and w by
// which its dense form is made of numbers of one size.
type blockSystem struct {
	volume        []float64
	diag, up, low []block
	scale         float64
	units         [2]float64
}

func newBlockSystem(n int, units [2]float64) *blockSystem {
	return &blockSystem{make([]float64, n), make([]block, n), make([]block, n), make([]block, n), 1, units}
}

// dense is the matrix in units of U and w.
func (s *blockSystem) dense() *mat.Dense {
	n := len(s.volume)
	d := mat.NewDense(2*n, 2*n, nil)
	set := func(i, j int, b block, volume float64) {
		for k, row := range [2][2]float64{{b.uu, b.uw}, {b.wu, b.ww}} {
			for l, v := range row {
				d.Set(k*n+i, l*n+j, -s.scale*v*s.units[l]/s.units[k])
			}
			d.Set(k*n+i, k*n+j, volume+d.At(k*n+i, k*n+j))
		}
	}
	for i, v := range s.volume {
		set(i, i, s.diag[i], v)
		if i < n-1 {
			set(i, i+1, s.up[i], 0)
			set(i+1, i, s.low[i], 0)
		}
	}
	return d
}

// inUnits is a vector in units of U and w.
func (s *blockSystem) inUnits(x []float64) *mat.VecDense {
	out := slices.Clone(x)
	for i := range out {
		out[i] /= s.units[i/len(s.volume)]
	}
	return mat.NewVecDense(len(out), out)
}

// residual is the largest |r - A x| of a row, as a share of what the row sums.
func residual(a mat.Matrix, r, x mat.Vector) (worst float64) {
	for i := range r.Len() {
		sum, size := r.AtVec(i), math.Abs(r.AtVec(i))
		for j := range x.Len() {
			term := a.At(i, j) * x.AtVec(j)
			sum -= term
			size += math.Abs(term)
		}
		worst = max(worst, math.Abs(sum)/size) // NaN stays
	}
	return worst
}

// solutions are those with the matrix just factored, and with the factors kept.
func (s *blockSystem) solutions(r []float64) [2][]float64 {
	m := newBlockTridiagonal(len(s.volume))
	first, second := slices.Clone(r), slices.Clone(r)
	m.factorSolve(s.volume, s.diag, s.up, s.low, s.scale, first)
	m.solve(second)
	return [2][]float64{first, second}
}

// right is a random right-hand side.
func (s *blockSystem) right(rng *rand.Rand) []float64 {
	n := len(s.volume)
	r := make([]float64, 2*n)
	for i := range r {
		r[i] = s.volume[i%n] * s.units[i/n] * rng.NormFloat64()
	}
	return r
}

func evenly(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

// decades is a random number of either many sizes between lo and hi.
func decades(rng *rand.Rand, lo, hi float64) float64 { return lo * math.Pow(hi/lo, rng.Float64()) }

// dominant is a random system whose diagonal outweighs the rest of its columns
// in units.
func dominant(rng *rand.Rand, n int, units [2]float64) *blockSystem {
	s := newBlockSystem(n, units)
	s.scale = decades(rng, 1e-3, 1e3)
	cross := units[0] / units[1]
	random := func() float64 { return rng.NormFloat64() * decades(rng, 1e-2, 1e2) }
	for i := range n {
		s.volume[i] = rng.Float64() + 1e-3
		for _, b := range []*block{&s.diag[i], &s.up[i], &s.low[i]} {
			*b = block{random(), random() * cross, random() / cross, random()}
		}
	}
	for i := range n {
		d := &s.diag[i]
		var u, w float64 // the columns of cell i but for the diagonal
		for _, b := range []block{{uw: d.uw, wu: d.wu}, s.low[i], s.up[(i+n-1)%n]} {
			u += math.Abs(b.uu) + math.Abs(b.wu)*cross
			w += math.Abs(b.uw)/cross + math.Abs(b.ww)
		}
		d.uu, d.ww = -u*(1+0.1*rng.Float64()), -w*(1+0.1*rng.Float64())
	}
	return s
}

// turned is a system of which the two rows of every cell have changed places, so
// that the diagonal of no block can serve as a pivot.
func turned(s *blockSystem) *blockSystem {
	out := newBlockSystem(len(s.volume), s.units)
	out.scale, out.volume = s.scale, s.volume
	swap := func(b block) block { return block{b.wu, b.ww, b.uu, b.uw} }
	for i, v := range s.volume {
		v /= s.scale
		d := s.diag[i]
		out.diag[i] = block{v + d.wu, d.ww - v, d.uu - v, v + d.uw}
		out.up[i], out.low[i] = swap(s.up[i]), swap(s.low[i])
	}
	return out
}

// moistChain is a chain of cells of 1 mm of invented moist food over an area of
// 1 m²: heat is conducted, vapour carries its heat along, liquid moves by itself.
// Fourier is the largest conductance of a face, step times k/dx over the heat
// capacity of a cell, about; sink is how many times the volume the venting of
// steam adds to the diagonal, in half of the cells.
func moistChain(rng *rand.Rand, n int, fourier, sink float64) *blockSystem {
	const width, heat = 1e-3, 2.6e6 // [m], [J/kg] that vapour carries
	s := newBlockSystem(n, [2]float64{1e8, 1e3})
	s.scale = evenly(rng, 0.1, 1)
	// temperature and vapour pressure of the cells by U and w
	type state struct{ tU, tW, pU, pW float64 }
	states := make([]state, n)
	for i := range states {
		t, w := evenly(rng, 0, 100), decades(rng, 20, 900)
		tU := 1 / (1.5e6 + 4186*w) // [K m³/J]
		tW := -4186 * t * tU
		activity, slope := 1.0, 0.0 // wet, or less so in proportion
		if w < 300 {
			activity, slope = w/300, 1./300
		}
		p := phasechange.SaturationPressure(t)
		dp := (phasechange.SaturationPressure(t+0.01) - p) / 0.01
		states[i] = state{tU, tW, activity * dp * tU, activity*dp*tW + slope*p}
		s.volume[i] = width * evenly(rng, 0.5, 1.5)
	}
	face := func(g, vapour, liquid float64, c state) block {
		return block{g*c.tU + heat*vapour*c.pU, g*c.tW + heat*vapour*c.pW, vapour * c.pU, vapour*c.pW + liquid}
	}
	for i := range n - 1 {
		g := fourier * width * 3e6 * evenly(rng, 0.1, 1) // [J/K] by the step
		vapour := g / 0.5 * decades(rng, 1e-14, 1e-10)   // [kg/Pa]
		liquid := g / 0.5 * decades(rng, 1e-13, 1e-9)    // [m³]
		s.up[i] = face(g, vapour, liquid, states[i+1])   // into i
		s.low[i] = face(g, vapour, liquid, states[i])    // into i+1
		s.diag[i] = s.diag[i].plus(&s.low[i], &block{-1, 0, 0, -1})
		s.diag[i+1] = s.diag[i+1].plus(&s.up[i], &block{-1, 0, 0, -1})
	}
	for i, c := range states {
		if sink > 0 && rng.Float64() < 0.5 {
			k := -sink * s.volume[i] * rng.Float64() / (heat*c.pU + math.Abs(c.pW))
			s.diag[i] = s.diag[i].plus(&block{uu: heat * k, wu: k}, &block{uu: c.pU, uw: c.pW})
		}
	}
	return s
}

// Elimination from both ends against gonum's dense LU with pivoting, the matrix
// in units that make its numbers comparable.
func TestBlockTridiagonalAgainstDense(t *testing.T) {
	one, units := [2]float64{1, 1}, [2]float64{1e8, 1e3}
	for _, test := range []struct {
		name   string
		system func(*rand.Rand, int) *blockSystem
	}{
		{"dominant", func(r *rand.Rand, n int) *blockSystem { return dominant(r, n, one) }},
		{"in J/m³, kg/m³", func(r *rand.Rand, n int) *blockSystem { return dominant(r, n, units) }},
		{"rows turned", func(r *rand.Rand, n int) *blockSystem { return turned(dominant(r, n, one)) }},
		{"food", func(r *rand.Rand, n int) *blockSystem { return moistChain(r, n, 30, 0) }},
		{"food, fine mesh", func(r *rand.Rand, n int) *blockSystem { return moistChain(r, n, 1000, 0) }},
		{"steam", func(r *rand.Rand, n int) *blockSystem { return moistChain(r, n, 30, 100) }},
		{"much steam", func(r *rand.Rand, n int) *blockSystem { return moistChain(r, n, 1000, 1e4) }},
	} {
		t.Run(test.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(3, 5))
			var worst, furthest float64
			for _, n := range []int{1, 2, 3, 4, 5, 6, 7, 8, 13, 30, 51, 120, 199, 200} {
				for range 1 + 60/n {
					s := test.system(rng, n)
					dense := s.dense()
					var lu mat.LU
					lu.Factorize(dense)
					r := s.right(rng)
					right := s.inUnits(r)
					var want, off mat.VecDense
					require.NoError(t, lu.SolveVecTo(&want, false, right))
					for _, x := range s.solutions(r) {
						got := s.inUnits(x)
						worst = max(worst, residual(dense, right, got))
						off.SubVec(got, &want)
						furthest = max(furthest, mat.Norm(&off, math.Inf(1))/mat.Norm(&want, math.Inf(1)))
						require.LessOrEqual(t, worst, 1e-11, "n = %d", n)
						require.LessOrEqual(t, furthest, 1e-9, "n = %d", n)
					}
				}
			}
			t.Logf("residual %.1e, deviation %.1e", worst, furthest)
		})
	}
}

// A chain with nothing but flows between its cells keeps the heat and the water
// of the right-hand side; what leaves at a surface or as steam is missing from it.
// Diagonals without steam are up to some 170 times the volume here; rounding goes
// by the condition of the matrix, so that finer meshes or longer steps keep less.
func TestBlockTridiagonalConserves(t *testing.T) {
	for _, test := range []struct {
		name                  string
		fourier, sink, outlet float64
	}{
		{"closed", 1, 0, 0},
		{"closed, fine mesh", 30, 0, 0},
		{"open", 30, 0, 1},
		{"open, large surface", 30, 0, 100},
		{"steam", 30, 100, 1},
		{"much steam", 30, 1e4, 1},
	} {
		t.Run(test.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(7, 11))
			var worst [2]float64
			for _, n := range []int{1, 2, 3, 10, 51, 120, 200} {
				for range 20 {
					s := moistChain(rng, n, test.fourier, test.sink)
					s.diag[n-1].uu -= test.outlet * s.volume[n-1]
					s.diag[n-1].ww -= test.outlet * s.volume[n-1]
					// what flows out of the chain by the unknowns of each cell
					gone := slices.Clone(s.diag)
					for i := range n - 1 {
						gone[i] = gone[i].plus(&s.low[i], &block{1, 0, 0, 1})
						gone[i+1] = gone[i+1].plus(&s.up[i], &block{1, 0, 0, 1})
					}
					s.units = [2]float64{1e7, 4} // as much water as this energy boils off
					r := s.right(rng)
					for i := range r {
						r[i] = math.Abs(r[i])
					}
					for _, x := range s.solutions(r) {
						for k := range 2 {
							var in, kept, size float64
							for i := range n {
								by := [2][2]float64{{gone[i].uu, gone[i].uw}, {gone[i].wu, gone[i].ww}}[k]
								byU, byW := s.scale*by[0]*x[i], s.scale*by[1]*x[n+i]
								in += r[k*n+i]
								kept += s.volume[i]*x[k*n+i] - (byU + byW)
								size += r[k*n+i]
								if test.sink > 0 { // large terms that nearly cancel
									size += math.Abs(byU) + math.Abs(byW)
								}
							}
							worst[k] = max(worst[k], math.Abs(kept-in)/size)
							require.LessOrEqual(t, worst[k], 1e-13, "n = %d, %s", n, []string{"heat", "water"}[k])
						}
					}
				}
			}
			t.Logf("heat within %.1e, water within %.1e", worst[0], worst[1])
		})
	}
}

// A sink K [h; 1][pU pW] of any size beside the volume: both rows of the pivot
// block balance to rounding, where a block's inverse would lose what is gained
// by the sink's size.
func TestBlockTridiagonalSink(t *testing.T) {
	const heat = 2.6e6
	rng := rand.New(rand.NewPCG(13, 17))
	var worst float64
	for _, size := range []float64{1, 100, 1e4, 1e6, 1e9} {
		for range 500 {
			s := newBlockSystem(1, [2]float64{1 << 27, 1 << 10}) // powers of two, exact
			s.volume[0] = decades(rng, 1e-8, 1)
			k, z := size*s.volume[0], s.volume[0]*rng.NormFloat64()
			pW := evenly(rng, -0.2, 1) // a cell may be colder with more water in it
			s.diag[0] = block{-k, -k * heat * pW, -k / heat, -k * pW}
			for _, r := range [][]float64{{heat * z, z}, s.right(rng)} {
				for _, x := range s.solutions(r) {
					worst = max(worst, residual(s.dense(), s.inUnits(r), s.inUnits(x)))
					require.LessOrEqual(t, worst, 1e-15, "sink %g", size)
				}
			}
		}
	}
	t.Logf("residual within %.1e", worst)
}

// A matrix that cannot be solved gives no number that could be taken for a
// solution.
func TestBlockTridiagonalSingular(t *testing.T) {
	for name, d := range map[string]block{
		"zero":            {uu: 1, ww: 1},
		"rows alike":      {uu: 0, uw: -1, wu: -1, ww: 0},
		"no energy":       {uu: 1, wu: 0, uw: -3, ww: -1},
		"not a number":    {uu: math.NaN()},
		"infinite":        {ww: math.Inf(-1), uu: math.Inf(1)},
		"infinite across": {uw: math.Inf(1)},
	} {
		for n := 1; n <= 6; n++ {
			for at := range n {
				s := newBlockSystem(n, [2]float64{1, 1})
				s.volume, s.diag[at] = slices.Repeat([]float64{1}, n), d
				for _, x := range s.solutions(slices.Repeat([]float64{1}, 2*n)) {
					finite := !slices.ContainsFunc(x, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
					assert.False(t, finite, "%s in cell %d of %d: %v", name, at, n, x)
				}
			}
		}
	}
}

// Only the right-hand side is written to, nothing is allocated, and the bits do
// not depend on what was solved before.
func TestBlockTridiagonalLeavesInputs(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 23))
	for _, n := range []int{1, 2, 3, 120} {
		s := moistChain(rng, n, 30, 100)
		before := *s
		before.volume, before.diag = slices.Clone(s.volume), slices.Clone(s.diag)
		before.up, before.low = slices.Clone(s.up), slices.Clone(s.low)
		m := newBlockTridiagonal(n)
		r, work := s.right(rng), make([]float64, 2*n)
		solve := func(s *blockSystem) {
			copy(work, r)
			m.factorSolve(s.volume, s.diag, s.up, s.low, s.scale, work)
			m.solve(work)
		}
		solve(s)
		first := slices.Clone(work)
		assert.Equal(t, before, *s)
		solve(turned(dominant(rng, n, [2]float64{1, 1})))
		assert.NotEqual(t, first, work)
		assert.Zero(t, testing.AllocsPerRun(10, func() { solve(s) }))
		assert.Equal(t, first, work)
	}
}

// BenchmarkBlockTridiagonal takes turns with tridiagonal on the energies alone, so
// that the ratio of the two does not vary with the speed of the machine.
func BenchmarkBlockTridiagonal(b *testing.B) {
	const n, turn = 120, 50
	rng := rand.New(rand.NewPCG(1, 2))
	s := moistChain(rng, n, 30, 100)
	diag, up, low := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range diag {
		diag[i], up[i], low[i] = s.diag[i].uu, s.up[i].uu, s.low[i].uu
	}
	r, x := s.right(rng), make([]float64, 2*n)
	one, two := newTridiagonal(n), newBlockTridiagonal(n)
	compare := func(name string, solvers ...func()) {
		b.Run(name, func(b *testing.B) {
			var took [2]time.Duration
			for b.Loop() {
				for k, solve := range solvers {
					start := time.Now()
					for range turn {
						copy(x, r)
						solve()
					}
					took[k] += time.Since(start)
				}
			}
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(float64(took[0])/float64(turn*b.N), "ns/scalar")
			b.ReportMetric(float64(took[1])/float64(turn*b.N), "ns/block")
			b.ReportMetric(float64(took[1])/float64(took[0]), "ratio")
		})
	}
	one.factorSolve(s.volume, diag, up, low, s.scale, x[:n]) // for solve, when it runs alone
	two.factorSolve(s.volume, s.diag, s.up, s.low, s.scale, x)
	compare("factorSolve", func() { one.factorSolve(s.volume, diag, up, low, s.scale, x[:n]) },
		func() { two.factorSolve(s.volume, s.diag, s.up, s.low, s.scale, x) })
	compare("solve", func() { one.solve(x[:n]) }, func() { two.solve(x) })
}
