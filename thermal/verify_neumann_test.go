package thermal

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// phase is one side of a melting front.
type phase struct{ k, c float64 } // [W/(m K)], [J/(kg K)]

// The water and ice of testdata/solver-solutions/neumann.csv.
var (
	ice   = phase{2.22, 2050}
	water = phase{0.561, 4217}
)

const (
	iceDensity = 917.0   // [kg/m³] of both
	iceLatent  = 333.6e3 // [J/kg]
)

func (p phase) alpha() float64 { return p.k / (iceDensity * p.c) }

// neumann is the half-space whose surface is held at ts while a front moves in
// from it; grown is the phase that grows, old the one that was there, at ti.
type neumann struct {
	grown, old     phase
	ts, ti, lambda float64
}

func newNeumann(grown, old phase, ts, ti float64) neumann {
	ag, ao := grown.alpha(), old.alpha()
	f := func(l float64) float64 {
		v := math.Exp(-l*l)/math.Erf(l) - l*math.Sqrt(math.Pi)*iceLatent/(grown.c*math.Abs(ts))
		v -= old.k / grown.k * math.Sqrt(ag/ao) * math.Abs(ti/ts) * math.Exp(-l*l*ag/ao) / math.Erfc(l*math.Sqrt(ag/ao))
		return v
	}
	return neumann{grown, old, ts, ti, bisect(f, 1e-6, 3)}
}

// front is the position [m] of the front after t [s].
func (n neumann) front(t float64) float64 { return 2 * n.lambda * math.Sqrt(n.grown.alpha()*t) }

// at is the temperature [°C] at depth x [m] after t [s].
func (n neumann) at(x, t float64) float64 {
	if x <= n.front(t) {
		return n.ts * (1 - math.Erf(x/2/math.Sqrt(n.grown.alpha()*t))/math.Erf(n.lambda))
	}
	ratio := math.Sqrt(n.grown.alpha() / n.old.alpha())
	return n.ti * (1 - math.Erfc(x/2/math.Sqrt(n.old.alpha()*t))/math.Erfc(n.lambda*ratio))
}

// waterFood melts over width [K] about 0 °C, its conductivity going evenly from that of
// ice to that of water.
func waterFood(t testing.TB, width float64) materials.Food {
	return melting(t, iceDensity, ice.k, ice.c, water.k, water.c, iceLatent, width)
}

// front finds the front [m from the underside] of a slab of waterFood from its
// latent heat: the share that has changed phase, summed over the cells. A cell
// half through counts half, which a search for the isotherm between nodes would
// not see.
func front(s *State, width float64, frozen bool) float64 {
	var x float64
	for i, c := range s.model.mesh.Cells {
		share := math.Max(0, math.Min(1, (width/2-s.temp[i])/width))
		if !frozen {
			share = 1 - share
		}
		x += share * (c.Outer - c.Inner)
	}
	return x
}

func TestNeumannRoots(t *testing.T) {
	for _, r := range solutions(t, "neumann.csv") {
		n := newNeumann(ice, water, r.number(t, "surface"), r.number(t, "start"))
		assert.InDelta(t, r.number(t, "lambda"), n.lambda, 0.6e-6)
		assert.InDelta(t, r.number(t, "front_1h"), 1e3*n.front(hour), 0.6e-3)
		assert.InDelta(t, r.number(t, "front_24h"), 1e3*n.front(24*hour), 0.6e-2)
		for _, x := range []float64{5, 10, 20, 40, 60} {
			assert.InDelta(t, r.number(t, fmt.Sprintf("t_%gmm", x)), n.at(x/1e3, hour), 0.6e-3)
		}
	}
}

// Freezing of water and melting of ice from one side of a thick slab, at 200
// cells, with a melting range of 0.04 K.
//
// The surface is held by H = 1e5 W/(m² K), the most that is allowed: it acts as
// k/H = 22 µm of ice more, 0.07 % of the front after an hour, and is left in.
// The slab is thick enough for its far side to stay as it was within 0.002 K.
func TestNeumann(t *testing.T) {
	const width = 0.04
	cases := []neumann{newNeumann(water, ice, 20, -10), newNeumann(water, ice, 40, -0.5)}
	for _, r := range solutions(t, "neumann.csv") {
		cases = append(cases, newNeumann(ice, water, r.number(t, "surface"), r.number(t, "start")))
	}
	for _, n := range cases {
		t.Run(fmt.Sprintf("%g on %g", n.ts, n.ti), func(t *testing.T) {
			start, thickness := n.ti, 0.20
			if n.ts > 0 {
				thickness = 0.40 // cold spreads faster through ice
			}
			if start == 0 {
				start = width / 2 // all liquid, at the end of its melting
			}
			d := one(geometry.Slab{}, waterFood(t, width), thickness, Uniform(start))
			s := Schedule{{Medium: Insulated(), Patches: map[geometry.Patch]Medium{geometry.Underside: Surroundings{Fluid: n.ts, H: 1e5}},
				Until: Elapsed(duration(hour))}}
			run := simulate(t, d, s, Settings{Cells: 200, Tolerance: 0.02})
			var worst float64
			for _, at := range []float64{0.25, 0.4, 0.6, 0.8, 1} {
				x := front(run.At(duration(at*hour)), width, n.ts < 0)
				off := x/n.front(at*hour) - 1
				worst = math.Max(worst, math.Abs(off))
				assert.LessOrEqual(t, math.Abs(off), 5e-3, "front after %g h: %.3f mm, exact %.3f mm", at, x*1e3, n.front(at*hour)*1e3)
			}
			var off float64
			for _, x := range []float64{0.005, 0.010, 0.020, 0.040, 0.060} {
				off = math.Max(off, math.Abs(at(t, run, Depth(thickness-x), hour)-n.at(x, hour)))
			}
			t.Logf("front within %.3f %%, temperatures within %.3f K, far side %.1e K, audit %.1e, %v",
				100*worst, off, at(t, run, Skin(), hour)-start, run.Energy.Relative, run.Stats)
			// Temperatures swing as the front crosses a cell, by what half a cell makes.
			i, err := run.model.mesh.Locate(n.front(hour))
			require.NoError(t, err)
			c := run.model.mesh.Cells[i]
			assert.LessOrEqual(t, off, math.Abs(n.ts)*(c.Outer-c.Inner)/2/n.front(hour), "temperatures [K]")
			assert.LessOrEqual(t, math.Abs(at(t, run, Skin(), hour)-start), 2e-3)
			assert.LessOrEqual(t, run.Energy.Relative, 1e-8)
		})
	}
}

// Near a front the order falls: its cell has the temperature of its mean energy, wherever
// in it the front is, so that the front swings as it crosses the cells. On the mean it is
// neither late nor early: the flux potential sees to that. With the conductivity of each
// cell on its half of a face the front is late by 0.45 of a cell, of order 1.
func TestOrderAtAFront(t *testing.T) {
	const width, thickness, times = 0.04, 0.12, 100
	n := newNeumann(ice, water, -20, 10)
	var size, errs []float64
	var last float64
	for _, cells := range []int{25, 50, 100, 200} {
		d := one(geometry.Slab{}, waterFood(t, width), thickness, Uniform(10))
		s := Schedule{{Medium: Insulated(), Patches: map[geometry.Patch]Medium{geometry.Underside: Surroundings{Fluid: -20, H: 1e5}},
			Until: Elapsed(duration(hour))}}
		run := simulate(t, d, s, Settings{Cells: cells, Grading: geometry.Uniform, Tolerance: 0.02})
		var sum, late float64
		for i := range times {
			at := (0.3 + 0.7*float64(i)/times) * hour
			// k/H counts as ice, or its share would hide the order
			want := n.front(at) - ice.k/1e5
			x := front(run.At(duration(at)), width, true)
			sum += math.Abs(x - want)
			late += want - x
		}
		last = late / times / (thickness / float64(cells))
		size, errs = append(size, 1/float64(cells)), append(errs, sum/times)
	}
	o := order(size, errs)
	t.Logf("order %.2f, mean error %.4f mm at 200 cells, front late by %.3f of a cell", o, 1e3*errs[3], last)
	assert.GreaterOrEqual(t, o, 1.4)
	assert.Less(t, math.Abs(last), 0.03)
}
