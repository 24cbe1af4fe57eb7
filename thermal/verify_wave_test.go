package thermal

import (
	"fmt"
	"math"
	"os"
	"sort"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// wave is a solution U(x - v t) of the enthalpy problem ∂U/∂t = ∂/∂x(k ∂T/∂x) for
// any curves T(U) and k(U), here those of a real food. Integrated once from the
// far field, where no heat flows (elementary; v > 0 is its speed):
//
//	k dT/dx = -v (U - U∞)
//	x - v t = -G(U)/v,   G = ∫ k/(U - U∞) dT
//	∫ (U - U∞) dx = -(K(b) - K(a))/v,   K = ∫ k dT
//
// The last gives the mean of a cell without a quadrature in x.
type wave struct {
	food  *phasechange.Relation
	whole phasechange.Anchor
	far   float64   // [J/m³] U∞
	speed float64   // [m/s]
	shift float64   // [m] x - v t where G = 0
	node  []float64 // [J/m³] ends of the pieces, rising; no curve bends within one
	g, k  []float64 // G [m²/s] and K [W/m] there
}

// quadrature points and weights on -1 to 1: exact to rounding on a piece, where the
// integrand is a polynomial over U - U∞, which changes by less than half.
var waveX, waveW = func() (x, w []float64) {
	x, w = make([]float64, 12), make([]float64, 12)
	quad.Legendre{}.FixedLocations(x, w, -1, 1)
	return x, w
}()

// newWave is the wave into tFar [°C], tabulated from the temperature near to the
// other end [°C], both on the same side of tFar.
func newWave(t testing.TB, f materials.Food, tFar, near, end float64) *wave {
	t.Helper()
	r, err := phasechange.New(f, phasechange.Settings{})
	require.NoError(t, err)
	w := &wave{food: r, whole: r.Anchor(r.Water()), speed: 1}
	w.far = r.Energy(tFar, &w.whole)
	last := r.Energy(math.Max(near, end), &w.whole)
	require.Less(t, last, w.whole.BoilingEnergy())
	w.node = []float64{r.Energy(math.Min(near, end), &w.whole)}
	w.g, w.k = []float64{0}, []float64{0}
	piece := func(u float64) int32 {
		var hint int32
		r.At(u, &w.whole, &hint, math.NaN())
		return hint
	}
	for u := w.node[0]; u < last; {
		next := math.Min(last, u+0.4*math.Abs(u-w.far))
		if here := piece(u); piece(next) != here {
			// the first number of the next piece of the food's curves
			next = math.Nextafter(bisect(func(v float64) float64 { return float64(piece(v)-here) - 0.5 }, u, next), math.Inf(1))
		}
		g, k := w.integrals(u, next)
		n := len(w.g) - 1
		w.node, w.g, w.k = append(w.node, next), append(w.g, w.g[n]+g), append(w.k, w.k[n]+k)
		u = next
	}
	return w
}

// integrals gives what G and K rise by from a to b [J/m³], on one piece.
func (w *wave) integrals(a, b float64) (g, k float64) {
	var hint int32
	for i, x := range waveX {
		u := (a+b)/2 + x*(b-a)/2
		_, dt, cond, _ := w.food.At(u, &w.whole, &hint, math.NaN())
		v := waveW[i] * cond * dt
		k += v
		g += v / (u - w.far)
	}
	return g * (b - a) / 2, k * (b - a) / 2
}

// of gives G and K at energy u.
func (w *wave) of(u float64) (g, k float64) {
	i := min(max(sort.SearchFloat64s(w.node, u)-1, 0), len(w.node)-2)
	g, k = w.integrals(w.node[i], u)
	return w.g[i] + g, w.k[i] + k
}

// energy is U [J/m³] at s = x - v t [m]: Newton's method held within a piece.
func (w *wave) energy(s float64) float64 {
	g := -w.speed * (s - w.shift)
	sign := 1.0 // G rises with U behind a warm wave and falls behind a cold one
	if w.node[0] < w.far {
		sign = -1
	}
	i := sort.Search(len(w.g), func(i int) bool { return sign*w.g[i] >= sign*g }) - 1
	i = min(max(i, 0), len(w.g)-2)
	lo, hi := w.node[i], w.node[i+1]
	u := lo + (hi-lo)*(g-w.g[i])/(w.g[i+1]-w.g[i])
	for range 60 {
		now, _ := w.integrals(w.node[i], u)
		miss := g - w.g[i] - now
		if sign*miss > 0 {
			lo = u
		} else {
			hi = u
		}
		var hint int32
		_, dt, k, _ := w.food.At(u, &w.whole, &hint, math.NaN())
		step := miss * (u - w.far) / (k * dt)
		if math.Abs(step) < 1e-5 { // [J/m³] some 1e-11 K
			return u + step
		}
		if u += step; !(u > lo && u < hi) {
			u = (lo + hi) / 2
		}
	}
	return u
}

// at gives the temperature [°C] at s = x - v t [m].
func (w *wave) at(s float64) float64 { return w.food.Temperature(w.energy(s), &w.whole) }

// mean is the mean of U [J/m³] from a to b [m].
func (w *wave) mean(a, b float64) float64 {
	_, ka := w.of(w.energy(a))
	_, kb := w.of(w.energy(b))
	return w.far - (kb-ka)/w.speed/(b-a)
}

// meets is the medium on a face at x [m], to the right of the dish (side 1) or to
// its left (-1): the fluid is off the surface by what drives the wave's own heat
// through H.
func (w *wave) meets(x, side float64) Medium {
	const h = 1e5 // [W/(m² K)] the most that is allowed
	return MediumFunc(func(at time.Duration) Surroundings {
		u := w.energy(x - w.speed*at.Seconds())
		in := -side * w.speed * (u - w.far)
		return Surroundings{Fluid: w.food.Temperature(u, &w.whole) + in/h, H: h}
	})
}

// waveThickness [m] of the slab. The front goes from a fifth of it to three fifths.
const waveThickness = 0.02

// place sets the speed such that the front starts at a fifth of the slab and the
// underside has come to t [°C] when it is at three fifths.
func (w *wave) place(t float64) (seconds float64) {
	g0, _ := w.of(w.whole.FreezingEnergy())
	g1, _ := w.of(w.food.Energy(t, &w.whole))
	w.speed = (g1 - g0) / (0.6 * waveThickness)
	w.shift = 0.2*waveThickness + g0/w.speed
	return 0.4 * waveThickness / w.speed
}

// startMeans starts the cells with the means of the exact energy. Profile takes
// the energy at the node for the mean, which is off by an eighth of a cell's rise
// where the curve bends at the freezing point.
type startMeans struct{ *wave }

func (s startMeans) fill(m *model, u []float64, a []phasechange.Anchor, peak []float64) []error {
	for i, c := range m.mesh.Cells {
		a[i] = s.whole
		u[i] = s.mean(c.Inner, c.Outer)
		peak[i] = s.food.Temperature(u[i], &s.whole)
	}
	return nil
}

func (s startMeans) profile() Start { return Profile(s.at) }

type waveCase struct {
	name string
	food materials.Food
	far  float64 // [°C]
	end  float64 // [°C] of the underside, at the end
	near float64 // [°C] where the table begins, beyond what the top ever sees
}

func waveCases() []waveCase {
	var out []waveCase
	for _, name := range []string{"beef round, raw", "spinach, raw", "bread dough, raw", "butter"} {
		f := materials.MustFind(name)
		out = append(out, waveCase{"thawing " + name, f, -30, 60, -29.5},
			waveCase{"freezing " + name, f, 20, -40, 19.9})
	}
	return out
}

func (c waveCase) wave(t testing.TB) (w *wave, seconds float64) {
	w = newWave(t, c.food, c.far, c.near, c.end)
	return w, w.place(c.end)
}

// run follows the wave through the slab.
func (w *wave) run(t testing.TB, start Start, seconds float64, set Settings) *Run {
	t.Helper()
	d := one(geometry.Slab{}, w.food.Food(), waveThickness, start)
	return simulate(t, d, Schedule{{Until: Elapsed(duration(seconds)), Patches: map[geometry.Patch]Medium{
		geometry.Underside: w.meets(0, -1), geometry.Top: w.meets(waveThickness, 1)}}}, set)
}

// waveErrors are root mean squares over the slab and 60 times of the second half of a
// run (the error swings as the front crosses a cell), and the largest.
type waveErrors struct {
	energy float64 // of the cell's mean, as a share of the rise from end to end of the wave
	kelvin float64 // [K] at the nodes
	most   float64 // [K]
	away   float64 // [K] as kelvin, but for cells less than 2 mm from the front
}

func (w *wave) errors(run *Run) (e waveErrors) {
	const times = 60
	span := w.node[len(w.node)-1] - w.node[0]
	var n, far float64
	end := run.Duration().Seconds()
	for j := range times {
		_, phase := math.Modf(float64(j) * math.Phi) // no common measure with the cells
		now := end * (0.5 + 0.5*phase)
		s := run.At(duration(now))
		went := w.speed * now
		front := 0.2*waveThickness + went
		for i, c := range run.model.mesh.Cells {
			du := (w.food.Energy(s.temp[i], &w.whole) - w.mean(c.Inner-went, c.Outer-went)) / span
			dt := s.temp[i] - w.at(c.Node-went)
			e.energy += du * du
			e.kelvin += dt * dt
			e.most = math.Max(e.most, math.Abs(dt))
			n++
			if math.Abs(c.Node-front) > 2e-3 {
				e.away += dt * dt
				far++
			}
		}
	}
	e.energy, e.kelvin, e.away = math.Sqrt(e.energy/n), math.Sqrt(e.kelvin/n), math.Sqrt(e.away/far)
	return e
}

func TestWaveSpace(t *testing.T) {
	for _, c := range waveCases() {
		w, seconds := c.wave(t)
		t.Logf("%s: %d pieces, %.3g m/s for %.0f s, top from %.2f to %.2f, bottom %.2f to %.2f", c.name, len(w.node), w.speed, seconds,
			w.at(waveThickness), w.at(0.6*waveThickness), w.at(0), w.at(-.4*waveThickness))
		var size, eu, ek, ea []float64
		for _, n := range []int{25, 50, 100, 200, 400, 800} {
			tol := waveTol
			began := time.Now()
			run := w.run(t, startMeans{w}, seconds, Settings{Cells: n, Grading: geometry.Uniform, Tolerance: tol})
			took := time.Since(began)
			e := w.errors(run)
			t.Logf("  %d: U %.2e, rms %.2e K, most %.2e K, away %.2e K; %v audit %.1e %v %v", n, e.energy, e.kelvin, e.most, e.away, run.Stats, run.Energy.Relative, took, time.Since(began)-took)
			size, eu, ek, ea = append(size, 1/float64(n)), append(eu, e.energy), append(ek, e.kelvin), append(ea, e.away)
		}
		for i := 1; i < len(size); i++ {
			t.Logf("  orders %s", fmt.Sprintf("U %.2f K %.2f away %.2f", order(size[i-1:i+1], eu[i-1:i+1]), order(size[i-1:i+1], ek[i-1:i+1]), order(size[i-1:i+1], ea[i-1:i+1])))
		}
		assert.Positive(t, order(size, eu))
	}
}

var waveTol = func() float64 { v, _ := strconv.ParseFloat(os.Getenv("TOL"), 64); return v }()
