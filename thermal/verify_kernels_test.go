package thermal

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// The tableau of the step: abscissae c, matrix a, weights b; companion is the
// third-order weights that the error is the difference to.
func tableau() (c [3]float64, a [3][3]float64, b, companion [3]float64) {
	c = [3]float64{0, trGamma, 1}
	a = [3][3]float64{{}, {trD, trD}, {trW, trW, trD}}
	b = a[2]
	for i := range b {
		companion[i] = b[i] - trError[i]
	}
	return c, a, b, companion
}

// Hosea & Shampine (1996), section 2 (from memory): rows sum to the abscissae,
// the pair has order 2, the companion order 3.
func TestTableau(t *testing.T) {
	c, a, b, companion := tableau()
	const rounding = 1e-15
	for i, row := range a {
		assert.InDelta(t, c[i], row[0]+row[1]+row[2], rounding)
	}
	sum := func(w [3]float64, f func(i int) float64) (s float64) {
		for i := range w {
			s += w[i] * f(i)
		}
		return s
	}
	for _, w := range [][3]float64{b, companion} {
		assert.InDelta(t, 1, sum(w, func(int) float64 { return 1 }), rounding)
		assert.InDelta(t, 1./2, sum(w, func(i int) float64 { return c[i] }), rounding)
	}
	square := func(i int) float64 { return c[i] * c[i] }
	nested := func(i int) float64 { return sum(a[i], func(j int) float64 { return c[j] }) }
	assert.InDelta(t, 1./3, sum(companion, square), rounding)
	assert.InDelta(t, 1./6, sum(companion, nested), rounding)
	assert.Greater(t, math.Abs(1./3-sum(b, square)), 0.01, "the pair itself is of no higher order")
}

// stability is what a step makes of y' = λ y at z = λ h: of the pair, and of the
// step with its error, filtered twice, taken off.
func stability(z float64) (pair, step float64) {
	den := 1 - trD*z
	mid := (1 + trD*z) / den
	pair = (1 + trW*z*(1+mid)) / den
	e := z * (trError[0] + trError[1]*mid + trError[2]*pair)
	return pair, pair - e/den/den
}

// Both are L-stable; the step keeps within the bounds that its comment states.
func TestStabilityFunction(t *testing.T) {
	lowPair, lowStep := 1.0, 1.0
	for x := -8.0; x <= 12; x += 0.001 {
		z := -math.Pow(10, x)
		pair, step := stability(z)
		lowPair, lowStep = math.Min(lowPair, pair), math.Min(lowStep, step)
		require.LessOrEqual(t, pair, 1.0)
		require.LessOrEqual(t, step, 1.0)
	}
	t.Logf("least value of the pair %.4f, of the step %.4f", lowPair, lowStep)
	assert.Greater(t, lowPair, -0.2072)
	assert.Greater(t, lowStep, -0.045)
	pair, step := stability(-1e9)
	assert.InDelta(t, 0, pair, 1e-7)
	assert.InDelta(t, 0, step, 1e-7)
	// orders at small z: e^z to z² and z³
	for _, z := range []float64{-0.02, -0.01} {
		pair, step = stability(z)
		assert.LessOrEqual(t, math.Abs(pair-math.Exp(z)), 0.1*math.Abs(z*z*z))
		assert.LessOrEqual(t, math.Abs(step-math.Exp(z)), 0.5*z*z*z*z)
	}
}

// A lumped body obeys y' = λ y: one step of the program is the stability
// function, from short steps to absurd ones. The medium is only 0.01 K warmer, or
// the guess at the end of the longest steps would lie below absolute zero.
func TestStepIsItsStabilityFunction(t *testing.T) {
	const h, ta, cp, radius = 20.0, 0.01, 2500.0, 0.02
	for _, z := range []float64{-0.03, -0.1, -1, -3, -10, -100} {
		step := func() *stepper {
			return fixed(t, one(geometry.Cylinder{}, constant(t, cp, 1e4), radius, Uniform(0)), Surroundings{Fluid: ta, H: h}, Settings{Cells: 5, Tolerance: 1e-9})
		}
		length := -z * 1000 * cp * radius / 2 / h
		pair, full := stability(z)
		p := step()
		p.march(t, 1, length)
		assert.InDelta(t, full, 1-p.temperatures()[0]/ta, 2e-5, "step at z = %g", z) // Bi is 4e-5
		p = step()
		p.marchPair(t, 1, length)
		assert.InDelta(t, pair, 1-p.temperatures()[0]/ta, 2e-5, "pair at z = %g", z)
	}
}

// The energy that comes through the surfaces over a step is what the cells gain,
// to rounding, also with the error taken off and over long steps through a kink.
func TestStepConservesEnergy(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for _, food := range []string{"lamb loin, cooked", "puff pastry, raw", "lard"} {
		for _, s := range []geometry.Shape{geometry.Slab{}, geometry.Cylinder{}, geometry.Sphere{}} {
			d := one(s, materials.MustFind(food), 0.02, Profile(func(x float64) float64 { return -25 + 2000*x }))
			p := fixed(t, d, Surroundings{Fluid: 180, H: 20, Walls: 200, Emissivity: 0.9}, Settings{Cells: 30})
			for range 40 {
				h := math.Pow(10, 2*rng.Float64()-1)
				before, scale := stored(p.sys, p.u), 0.0
				p.h = h
				_, o := p.try()
				if o != fine {
					continue
				}
				var in float64
				for _, g := range p.gain {
					in += g
				}
				p.next()
				after := stored(p.sys, p.u)
				for i, v := range p.sys.volume {
					scale += v * math.Abs(p.u[i])
				}
				require.InDelta(t, in, after-before, 1e-12*scale+1e-11*math.Abs(in), "%s, %v, step %g s", food, s, h)
			}
		}
	}
}

// The chain's elimination from both ends against gonum's dense LU, at random
// matrices that are diagonally dominant by columns, as those of the solver are.
func TestTridiagonalAgainstDense(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{1, 2, 3, 4, 5, 6, 7, 50, 51} {
		var worst float64
		for range 40 {
			m := newTridiagonal(n)
			random := func() []float64 {
				v := make([]float64, n)
				for i := range v {
					v[i] = rng.NormFloat64() * math.Pow(10, 4*rng.Float64()-2)
				}
				return v
			}
			up, low, volume, diag := random(), random(), make([]float64, n), make([]float64, n)
			scale := math.Pow(10, 6*rng.Float64()-3)
			for i := range volume {
				volume[i] = rng.Float64() + 1e-3
				var column float64 // the off-diagonals of column i
				if i > 0 {
					column += math.Abs(up[i-1])
				}
				if i < n-1 {
					column += math.Abs(low[i])
				}
				diag[i] = -column * (1 + 0.1*rng.Float64())
			}
			dense := mat.NewDense(n, n, nil)
			for i := range n {
				dense.Set(i, i, volume[i]-scale*diag[i])
				if i < n-1 {
					dense.Set(i, i+1, -scale*up[i])
					dense.Set(i+1, i, -scale*low[i])
				}
			}
			check := func(what string, rhs, got []float64) {
				var want mat.VecDense
				require.NoError(t, want.SolveVec(dense, mat.NewVecDense(n, rhs)))
				size := mat.Norm(&want, math.Inf(1))
				for i, v := range got {
					off := math.Abs(v-want.AtVec(i)) / size
					worst = math.Max(worst, off)
					require.LessOrEqual(t, off, 1e-9, "%s, n = %d, row %d", what, n, i)
				}
				// the residual does not depend on the matrix's condition
				var r mat.VecDense
				r.MulVec(dense, mat.NewVecDense(n, got))
				for i := range got {
					bound := math.Abs(rhs[i]) + mat.Norm(dense, math.Inf(1))*size
					require.LessOrEqual(t, math.Abs(r.AtVec(i)-rhs[i]), 1e-14*bound*float64(n))
				}
			}
			rhs := random()
			x := append([]float64(nil), rhs...)
			m.factorSolve(volume, diag, up, low, scale, x)
			check("factorSolve", rhs, x)
			for range 2 { // the factors serve again
				rhs = random()
				x = append([]float64(nil), rhs...)
				m.solve(x)
				check("solve", rhs, x)
			}
		}
		t.Logf("n = %d: within %.1e", n, worst)
	}
}

// The surface temperature balances what comes from outside and what goes in, and
// the slope of the heat is its derivative.
func TestSurfaceBalance(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	var worst, steepest float64
	for i := range 3000 {
		f := surface{Surface: geometry.Surface{Area: math.Pow(10, between(-4, 1)), Contact: 0}, temp: math.NaN()}
		f.Half = math.Pow(10, between(-6, -2)) / f.Area
		if i%3 == 0 {
			f.Contact = math.Pow(10, between(-5, 0))
		}
		m := Surroundings{Fluid: between(-60, 400), H: math.Pow(10, between(-2, 5)), Walls: between(-60, 900), Emissivity: rng.Float64()}
		switch i % 5 {
		case 0:
			m.H = 0
		case 1:
			m.Emissivity = 0
		}
		f.meets = m
		cell, k := between(-60, 300), math.Pow(10, between(-2, 1))
		dT, dk := math.Pow(10, between(-9, -5)), between(-1, 1)*1e-9
		if i%2 == 0 {
			f.temp = between(-270, 900) // a start from anywhere
		}
		if i%17 == 0 {
			f.solve(cell, k, dT, dk) // and from a solution
		}
		f.solve(cell, k, dT, dk)
		slope := f.slope
		r := f.Half/k + f.Contact/f.Area
		inward := (f.temp - cell) / r
		T, W := f.temp+kelvin, m.Walls+kelvin
		outside := f.Area * (m.H*(m.Fluid-f.temp) + m.Emissivity*stefanBoltzmann*(W*W*W*W-T*T*T*T))
		// in kelvin at the surface: residual over the slope of both sides
		gauge := 1/r + f.Area*(m.H+4*m.Emissivity*stefanBoltzmann*T*T*T)
		off := math.Abs(outside-inward) / gauge
		worst = math.Max(worst, off)
		require.LessOrEqual(t, off, 2e-9, "case %d: %+v", i, m)
		require.InDelta(t, f.heat*f.Contact/f.Area, f.temp-f.skin(), 1e-12*(1+math.Abs(f.skin())))

		// central difference in the energy of the cell: T and k move together.
		// Its rounding is that of the temperatures, 1e-13 K, over the step.
		heat := func(u float64) float64 {
			g := f
			for range 3 {
				g.solve(cell+dT*u, k+dk*u, dT, dk)
			}
			return (g.temp - (cell + dT*u)) / (g.Half/(k+dk*u) + g.Contact/g.Area)
		}
		du := math.Min(0.01/dT, 1e-3*k/math.Abs(dk))
		difference := (heat(du) - heat(-du)) / (2 * du)
		bound := 1e-5*(math.Abs(difference)+gauge*1e-4*dT) + 2e-9/r/du
		steepest = math.Max(steepest, math.Abs(slope-difference)/bound)
		require.InDelta(t, difference, slope, bound, "case %d: %+v", i, m)
	}
	t.Logf("balance within %.1e K, slope within %.2f of the bound", worst, steepest)
}

// The Jacobian that assemble gives is the derivative of the heat it gives: real
// foods, frozen, mushy, moist, boiling and dried, and pieces that have dried and
// froze again.
func TestJacobianAgainstDifferences(t *testing.T) {
	foods := []string{"lamb loin, cooked", "spinach, cooked", "lard", "puff pastry, raw", "ice cream"}
	rng := rand.New(rand.NewPCG(11, 12))
	spans := []struct {
		name   string
		lo, hi float64
	}{
		{"frozen", -60, -25}, {"mushy", -12, -0.5}, {"moist", 1, 95}, {"hot", 85, 140}, {"any", -60, 250},
	}
	for _, curve := range []phasechange.IceCurve{phasechange.BoundWater, phasechange.Tchigeov, phasechange.IdealSolution} {
		d := Dish{Shape: geometry.Cylinder{}, Start: Uniform(20)}
		for i, name := range foods {
			food, err := materials.Find(name)
			if err != nil {
				continue // the table may name it otherwise; at least three must be there
			}
			d.Layers = append(d.Layers, Layer{Food: food, Thickness: 0.004, Contact: float64(i) * 1e-4, Cells: 3})
		}
		require.GreaterOrEqual(t, len(d.Layers), 3)
		for _, dried := range []bool{false, true} {
			for _, span := range spans {
				p := fixed(t, d, Surroundings{Fluid: 180, H: 25, Walls: 210, Emissivity: 0.9}, Settings{IceCurve: curve})
				s := p.sys
				n := len(p.u)
				checked, skipped, worst := 0, 0, 0.0
				for range 60 {
					for i := range p.u {
						r := s.relation[i]
						w := r.Water()
						if dried {
							w *= rng.Float64()
						}
						T := span.lo + (span.hi-span.lo)*rng.Float64()
						s.anchors[i] = r.Anchor(w)
						p.u[i] = r.Energy(T, &s.anchors[i])
						s.hints[i], s.temp[i] = 0, math.NaN()
					}
					s.assemble(p.u)
					diag := append([]float64(nil), s.diag...)
					up, low := append([]float64(nil), s.up...), append([]float64(nil), s.low...)
					dT := append([]float64(nil), s.dT...)
					dk := append([]float64(nil), s.dk...)
					temp := append([]float64(nil), s.temp...)
					j := rng.IntN(n)
					// the size of the terms of the derivative, which may cancel
					terms := math.Abs(diag[j])
					for _, f := range s.faces {
						if int(f.a) == j || int(f.b) == j {
							ra, rb := f.halfA/s.k[f.a], f.halfB/s.k[f.b]
							g := 1 / (ra + rb + f.contact)
							q := g * math.Abs(s.temp[f.b]-s.temp[f.a])
							terms = math.Max(terms, g*(q*math.Max(ra, rb)*math.Abs(s.dk[j]/s.k[j])+dT[j]))
						}
					}
					du := 2e-3 / dT[j] // 2 mK to each side
					side := func(sign float64) []float64 {
						u := append([]float64(nil), p.u...)
						u[j] += sign * du
						s.assemble(u)
						return append([]float64(nil), s.heat...)
					}
					plus := side(1)
					bendT, bendK := math.Abs(s.dT[j]-dT[j]), math.Abs(s.dk[j]-dk[j])
					minus := side(-1)
					bendT, bendK = math.Max(bendT, math.Abs(s.dT[j]-dT[j])), math.Max(bendK, math.Abs(s.dk[j]-dk[j]))
					// a kink of the relation within the 4 mK: differences say nothing
					if bendT > 0.02*dT[j] || bendK > 0.05*math.Abs(dk[j])+1e-12 {
						skipped++
						continue
					}
					checked++
					for i := range n {
						want := (plus[i] - minus[i]) / (2 * du)
						got := 0.0
						switch i {
						case j:
							got = diag[j]
						case j - 1:
							got = up[i]
						case j + 1:
							got = low[j]
						}
						// what the bend itself leaves, and rounding of the heats
						bound := 1e-3*terms + 1e-10*(math.Abs(plus[i])+math.Abs(minus[i]))/du
						worst = math.Max(worst, math.Abs(got-want)/terms)
						require.InDelta(t, want, got, bound, "%v, %s, dried %v: heat of cell %d by energy of cell %d (%s at %.3f °C)",
							curve, span.name, dried, i, j, s.relation[j].Food().Name, temp[j])
					}
				}
				t.Logf("%v, %s, dried %v: %d checked, %d at kinks, within %.1e of the largest term", curve, span.name, dried, checked, skipped, worst)
				assert.GreaterOrEqual(t, checked, 30, fmt.Sprint(curve, span, dried))
			}
		}
	}
}
