package thermal

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.com/thawfront/phasechange"
)

// plane is the faces of a grid of nx by ny cells.
func plane(nx, ny int) (faces []face) {
	for c := range nx * ny {
		if c%nx+1 < nx {
			faces = append(faces, face{a: int32(c), b: int32(c + 1)})
		}
		if c+nx < nx*ny {
			faces = append(faces, face{a: int32(c), b: int32(c + nx)})
		}
	}
	return faces
}

// meshes are cells joined in many ways, in any order.
func meshes(rng *rand.Rand) map[string]struct {
	cells int
	faces []face
} {
	type mesh = struct {
		cells int
		faces []face
	}
	out := map[string]mesh{
		"one cell":   {1, nil},
		"no faces":   {30, nil},
		"chain":      {90, plane(90, 1)},
		"thin plane": {90, plane(3, 30)},
		"plane":      {16 * 17, plane(16, 17)},
		"two pieces": {200, append(plane(10, 10), face{a: 120, b: 121}, face{a: 121, b: 122})},
	}
	var ring, star, full, holes, space []face
	for i := int32(0); i < 40; i++ {
		ring = append(ring, face{a: i, b: (i + 1) % 40}, face{a: (i + 1) % 40, b: i}) // every pair twice
		star = append(star, face{a: 40, b: i})
		for j := range i {
			full = append(full, face{a: i, b: j})
		}
	}
	for _, f := range plane(20, 20) {
		hole := func(c int32) bool { return c%20 > 4 && c%20 < 9 && c/20 > 2 && c/20 < 15 || c%7 == 3 }
		if !hole(f.a) && !hole(f.b) {
			holes = append(holes, f)
		}
	}
	for k := range int32(6) {
		for _, f := range plane(6, 6) {
			space = append(space, face{a: 36*k + f.a, b: 36*k + f.b})
		}
		for c := range int32(36) {
			if k < 5 {
				space = append(space, face{a: 36*k + c, b: 36*k + 36 + c})
			}
		}
	}
	out["ring"], out["star"], out["each to each"] = mesh{40, ring}, mesh{41, star}, mesh{40, full}
	out["holes"], out["cube"] = mesh{400, holes}, mesh{216, space}
	for _, name := range names(out) {
		m := out[name]
		order := rng.Perm(m.cells)
		for i, f := range m.faces {
			f.a, f.b = int32(order[f.a]), int32(order[f.b])
			if rng.IntN(2) == 0 {
				f.a, f.b = f.b, f.a
			}
			m.faces[i] = f
		}
		rng.Shuffle(len(m.faces), func(i, j int) { m.faces[i], m.faces[j] = m.faces[j], m.faces[i] })
	}
	return out
}

func names[T any](m map[string]T) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// meshSystem is a system of blocks on any faces.
type meshSystem struct {
	blockSystem
	faces []face
}

// moistMesh is moistChain on any faces.
func moistMesh(rng *rand.Rand, cells int, faces []face, fourier, sink float64) *meshSystem {
	const width, heat = 1e-3, 2.6e6 // [m], [J/kg] that vapour carries
	s := &meshSystem{blockSystem{make([]float64, cells), make([]block, cells), make([]block, len(faces)), make([]block, len(faces)),
		evenly(rng, 0.1, 1), [2]float64{1e8, 1e3}}, faces}
	type state struct{ tU, tW, pU, pW float64 }
	states := make([]state, cells)
	for i := range states {
		t, w := evenly(rng, 0, 100), decades(rng, 20, 900)
		tU := 1 / (1.5e6 + 4186*w)
		tW := -4186 * t * tU
		activity, slope := 1.0, 0.0
		if w < 300 {
			activity, slope = w/300, 1./300
		}
		p := phasechange.SaturationPressure(t)
		dp := (phasechange.SaturationPressure(t+0.01) - p) / 0.01
		states[i] = state{tU, tW, activity * dp * tU, activity*dp*tW + slope*p}
		s.volume[i] = width * evenly(rng, 0.5, 1.5)
	}
	away := block{-1, 0, 0, -1}
	for i, f := range faces {
		g := fourier * width * 3e6 * evenly(rng, 0.1, 1)
		vapour, liquid := g/0.5*decades(rng, 1e-14, 1e-10), g/0.5*decades(rng, 1e-13, 1e-9)
		by := func(c state) block {
			return block{g*c.tU + heat*vapour*c.pU, g*c.tW + heat*vapour*c.pW, vapour * c.pU, vapour*c.pW + liquid}
		}
		s.up[i], s.low[i] = by(states[f.b]), by(states[f.a])
		s.diag[f.a] = s.diag[f.a].plus(&s.low[i], &away)
		s.diag[f.b] = s.diag[f.b].plus(&s.up[i], &away)
	}
	for i, c := range states {
		if sink > 0 && rng.Float64() < 0.5 {
			k := -sink * s.volume[i] * rng.Float64() / (heat*c.pU + math.Abs(c.pW))
			s.diag[i] = s.diag[i].plus(&block{uu: heat * k, wu: k}, &block{uu: c.pU, uw: c.pW})
		}
	}
	return s
}

// turn lets the two rows of every cell change places.
func (s *meshSystem) turn() *meshSystem {
	across := [2]float64{s.units[0] / s.units[1], s.units[1] / s.units[0]}
	swap := func(b block) block {
		return block{b.wu * across[0], b.ww * across[0], b.uu * across[1], b.uw * across[1]}
	}
	for i, v := range s.volume {
		v /= s.scale
		d := s.diag[i]
		d.uu -= v // the volume goes along
		d.ww -= v
		d = swap(d)
		d.uu += v
		d.ww += v
		s.diag[i] = d
	}
	for i := range s.faces {
		s.up[i], s.low[i] = swap(s.up[i]), swap(s.low[i])
	}
	return s
}

// dense is the matrix in units of U and w, of the first per unknowns of a cell.
func (s *meshSystem) dense(per int) *mat.Dense {
	n := len(s.volume)
	d := mat.NewDense(per*n, per*n, nil)
	add := func(i, j int, b block, volume float64) {
		for k, row := range [][2]float64{{b.uu, b.uw}, {b.wu, b.ww}}[:per] {
			for l, v := range row[:per] {
				if k == l {
					v -= volume / s.scale
				}
				d.Set(k*n+i, l*n+j, d.At(k*n+i, l*n+j)-s.scale*v*s.units[l]/s.units[k])
			}
		}
	}
	for i, v := range s.volume {
		add(i, i, s.diag[i], v)
	}
	for i, f := range s.faces {
		add(int(f.a), int(f.b), s.up[i], 0)
		add(int(f.b), int(f.a), s.low[i], 0)
	}
	return d
}

// scalars are the heat by energy of some blocks.
func scalars(b []block) []float64 {
	out := make([]float64, len(b))
	for i := range b {
		out[i] = b[i].uu
	}
	return out
}

// solutions are those with the matrix just factored, and with the factors kept, and how
// many cells' rows changed places.
func (s *meshSystem) solutions(per int, r []float64) (x [2][]float64, swapped int) {
	m := newSparse(len(s.volume), s.faces, per)
	first, second := slices.Clone(r), slices.Clone(r)
	if per == 1 {
		m.factorSolve(s.volume, scalars(s.diag), scalars(s.up), scalars(s.low), s.scale, first)
	} else {
		m.factorSolveBlocks(s.volume, s.diag, s.up, s.low, s.scale, first)
	}
	m.solve(second)
	for _, is := range m.swapped {
		if is {
			swapped++
		}
	}
	return [2][]float64{first, second}, swapped
}

// Elimination by fronts against gonum's dense LU with pivoting.
func TestSparseAgainstDense(t *testing.T) {
	for _, test := range []struct {
		name          string
		per           int
		fourier, sink float64
		turned        bool
	}{
		{"heat", 1, 30, 0, false}, {"heat, fine mesh", 1, 1e4, 0, false},
		{"food", 2, 30, 0, false}, {"food, fine mesh", 2, 1000, 0, false},
		{"steam", 2, 30, 100, false}, {"much steam", 2, 1000, 1e4, false},
		{"rows turned", 2, 30, 0, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(13, 17))
			var worst, furthest float64
			all := meshes(rng)
			for _, name := range names(all) {
				s := moistMesh(rng, all[name].cells, all[name].faces, test.fourier, test.sink)
				if test.turned {
					s.turn()
				}
				r := s.right(rng)[:test.per*len(s.volume)]
				dense, right := s.dense(test.per), s.inUnits(r)
				var lu mat.LU
				lu.Factorize(dense)
				var want, off mat.VecDense
				require.NoError(t, lu.SolveVecTo(&want, false, right))
				found, swapped := s.solutions(test.per, r)
				if test.turned {
					assert.NotZero(t, swapped, name)
				}
				for _, x := range found {
					got := s.inUnits(x)
					worst = max(worst, residual(dense, right, got))
					off.SubVec(got, &want)
					furthest = max(furthest, mat.Norm(&off, math.Inf(1))/mat.Norm(&want, math.Inf(1)))
					require.LessOrEqual(t, worst, 1e-11, name)
					require.LessOrEqual(t, furthest, 1e-9, name)
				}
			}
			t.Logf("residual %.1e, deviation %.1e", worst, furthest)
		})
	}
}

// Where nothing leaves, heat and water of the right-hand side are kept.
func TestSparseConserves(t *testing.T) {
	for _, fourier := range []float64{1, 30, 1000} {
		rng := rand.New(rand.NewPCG(19, 23))
		var worst [2]float64
		all := meshes(rng)
		for _, name := range names(all) {
			s := moistMesh(rng, all[name].cells, all[name].faces, fourier, 0)
			s.units = [2]float64{1e7, 4}
			r := s.right(rng)
			for i := range r {
				r[i] = math.Abs(r[i])
			}
			found, _ := s.solutions(2, r)
			for _, x := range found {
				for k := range 2 {
					var in, kept, size float64
					for i, v := range s.volume {
						j := k*len(s.volume) + i
						in, kept, size = in+r[j], kept+v*x[j], size+math.Abs(r[j])+v*math.Abs(x[j])
					}
					worst[k] = max(worst[k], math.Abs(in-kept)/size)
				}
			}
		}
		t.Logf("fourier %g: heat %.1e, water %.1e", fourier, worst[0], worst[1])
		assert.Less(t, worst[0], 1e-14*fourier)
		assert.Less(t, worst[1], 1e-14*fourier)
	}
}

// On a chain it finds what the chains' own solvers find.
func TestSparseOnChain(t *testing.T) {
	rng := rand.New(rand.NewPCG(29, 31))
	for _, n := range []int{1, 2, 3, 30, 199} {
		s := moistMesh(rng, n, plane(n, 1), 30, 10)
		s.up, s.low = append(s.up, block{}), append(s.low, block{})
		r := s.right(rng)
		for _, per := range []int{1, 2} {
			want := slices.Clone(r[:per*n])
			if per == 1 {
				m := newTridiagonal(n)
				m.factorSolve(s.volume, scalars(s.diag), scalars(s.up), scalars(s.low), s.scale, want)
			} else {
				m := newBlockTridiagonal(n)
				m.factorSolve(s.volume, s.diag, s.up, s.low, s.scale, want)
			}
			found, _ := s.solutions(per, r[:per*n])
			got := found[0]
			for k := range per {
				size := 0.0
				for _, v := range want[k*n : (k+1)*n] {
					size = max(size, math.Abs(v))
				}
				assert.InDeltaSlice(t, want[k*n:(k+1)*n], got[k*n:(k+1)*n], 1e-11*size, "%d cells, %d unknowns", n, per)
			}
		}
	}
}

// No face joins two separators of which neither is eliminated after, and below, the
// other; every cell is in one.
func TestDissect(t *testing.T) {
	rng := rand.New(rand.NewPCG(37, 41))
	all := meshes(rng)
	for _, name := range names(all) {
		m := all[name]
		sets := dissect(newNeighbours(m.cells, m.faces))
		home := make([]int, m.cells)
		found := 0
		for i, set := range sets {
			assert.NotEmpty(t, set.cells, name)
			assert.Less(t, set.parent, i, name)
			for _, c := range set.cells {
				home[c] = i
				found++
			}
		}
		assert.Equal(t, m.cells, found, name)
		above := func(i, j int) bool {
			for ; j >= 0; j = sets[j].parent {
				if i == j {
					return true
				}
			}
			return false
		}
		for _, f := range m.faces {
			a, b := home[f.a], home[f.b]
			assert.True(t, above(a, b) || above(b, a), "%s: cells %d and %d", name, f.a, f.b)
		}
	}
}

// On n by n cells the work of a factorisation goes with n³ and the memory with
// n² log n.
func TestSparseWork(t *testing.T) {
	for _, n := range []int{20, 40, 60, 100} {
		s := newSparse(n*n, plane(n, n), 1)
		var work, numbers float64
		indices := 0
		for i := range s.fronts {
			f := &s.fronts[i]
			numbers += float64(len(f.values))
			indices += 4*(len(f.unknowns)+len(f.cells)+len(f.into)+7*len(f.joins)) + 8*len(f.children)
			for k := range f.pivots {
				left := float64(len(f.unknowns) - k - 1)
				work += left * left
			}
		}
		cells := float64(n * n)
		t.Logf("%d cells: %.3g products, %.1f n³; %.3g factors, %.1f N log2 N, %.2f MB with their places",
			n*n, work, work/math.Pow(float64(n), 3), numbers, numbers/cells/math.Log2(cells), (8*numbers+float64(indices))/1e6)
		assert.Less(t, work, 11*math.Pow(float64(n), 3))
		assert.Less(t, numbers, 4*cells*math.Log2(cells))
	}
}

func TestSparseAllocatesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(43, 47))
	s := moistMesh(rng, 144, plane(12, 12), 30, 10)
	r := s.right(rng)
	m := newSparse(144, s.faces, 2)
	assert.Zero(t, testing.AllocsPerRun(10, func() {
		m.factorSolveBlocks(s.volume, s.diag, s.up, s.low, s.scale, r)
		m.solve(r)
	}))
}
