package thermal

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// BenchmarkPlane is a frozen dish through the oven on meshes of n by n cells.
func BenchmarkPlane(b *testing.B) {
	for _, wet := range []bool{false, true} {
		name := "heat"
		if wet {
			name = "water"
		}
		for _, n := range []int{20, 40, 60, 100} {
			if testing.Short() && (n > 60 || wet && n > 40) {
				continue // half a minute each
			}
			b.Run(name+"/"+strconv.Itoa(n), func(b *testing.B) {
				var run *Run
				for b.Loop() {
					var err error
					if run, err = Simulate(context.Background(), roundDish(n), roundSchedule(), &Settings{Moisture: wet}); err != nil {
						b.Fatal(err)
					}
				}
				report(b, run, n*n)
			})
		}
	}
}

// BenchmarkPlaneSolvers is what sparse was chosen by: one system of a dish of n by n
// cells after a quarter of an hour in the oven, at a step of 20 s, solved anew and
// with the factors kept ("again"). The others are an iteration, to a residual that the
// accounts can bear, and gonum's elimination within a band, which has half of the work,
// since it is for symmetric matrices (of one such, of the same band).
func BenchmarkPlaneSolvers(b *testing.B) {
	for _, n := range []int{20, 40, 60, 100} {
		c := newCandidates(b, n)
		for _, solver := range []struct {
			name string
			of   func(x []float64)
		}{
			{"fronts", c.byFronts}, {"fronts again", c.sparse.solve},
			{"iteration", c.byIteration}, {"iteration again", c.again}, {"band", c.byBand},
		} {
			x := slices.Clone(c.right)
			b.Run(strconv.Itoa(n)+"/"+solver.name, func(b *testing.B) {
				for b.Loop() {
					copy(x, c.right)
					solver.of(x)
				}
				perCell(b, n*n)
			})
		}
	}
}

// The iteration finds the same solution.
func TestPlaneSolversAgree(t *testing.T) {
	c := newCandidates(t, 20)
	want, got := slices.Clone(c.right), slices.Clone(c.right)
	c.byFronts(want)
	c.byIteration(got)
	t.Logf("%d iterations", c.iteration.iterations)
	assert.InDeltaSlice(t, want, got, 1e-9*floats.Norm(want, math.Inf(1)))
}

// candidates is a system with its solvers.
type candidates struct {
	*system
	scale     float64
	right     []float64
	iteration *iteration
	band      *mat.SymBandDense
}

func newCandidates(t testing.TB, n int) *candidates {
	p := fixed(t, roundDish(n), roundSchedule()[0].Medium, Settings{})
	p.march(t, 60, 1)
	p.march(t, 42, 20)
	c := &candidates{system: p.sys, scale: trD * 20, iteration: newIteration(n*n, p.sys.faces), band: mat.NewSymBandDense(n*n, n, nil)}
	for i, v := range c.volume {
		c.right = append(c.right, v*p.f[i]*20)
	}
	for i := range n * n {
		c.band.SetSymBand(i, i, 5)
		if i+1 < n*n {
			c.band.SetSymBand(i, i+1, -1)
		}
		if i+n < n*n {
			c.band.SetSymBand(i, i+n, -1)
		}
	}
	return c
}

func (c *candidates) byFronts(x []float64) {
	c.sparse.factorSolve(c.volume, c.diag, c.up, c.low, c.scale, x)
}

func (c *candidates) byIteration(x []float64) {
	c.iteration.factorise(c.volume, c.diag, c.up, c.low, c.scale)
	c.again(x)
}

func (c *candidates) again(x []float64) {
	if !c.iteration.solve(x, 1e-12) {
		panic("the iteration stalls")
	}
}

func (c *candidates) byBand(x []float64) {
	var f mat.BandCholesky
	if !f.Factorize(c.band) {
		panic("the matrix is not positive definite")
	}
	v := mat.NewVecDense(len(x), x)
	if err := f.SolveVecTo(v, v); err != nil {
		panic(err)
	}
}

// BenchmarkSparse is one factorisation with a solution, and one solution more.
func BenchmarkSparse(b *testing.B) {
	for _, per := range []int{1, 2} {
		for _, n := range []int{20, 40, 60, 100} {
			rng := rand.New(rand.NewPCG(53, 59))
			s := moistMesh(rng, n*n, plane(n, n), 30, 0)
			r := s.right(rng)[:per*n*n]
			m := newSparse(n*n, s.faces, per)
			x := slices.Clone(r)
			diag, up, low := scalars(s.diag), scalars(s.up), scalars(s.low)
			name := []string{"", "heat/", "water/"}[per] + strconv.Itoa(n)
			b.Run(name+"/factor", func(b *testing.B) {
				for b.Loop() {
					copy(x, r)
					if per == 1 {
						m.factorSolve(s.volume, diag, up, low, s.scale, x)
					} else {
						m.factorSolveBlocks(s.volume, s.diag, s.up, s.low, s.scale, x)
					}
				}
				perCell(b, n*n)
			})
			b.Run(name+"/solve", func(b *testing.B) {
				for b.Loop() {
					copy(x, r)
					m.solve(x)
				}
				perCell(b, n*n)
			})
		}
	}
}

func perCell(b *testing.B, cells int) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(cells), "ns/cell")
}
