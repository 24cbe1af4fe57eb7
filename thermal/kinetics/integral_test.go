package kinetics

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

// watched is one quantity in a single cell that is fed by hand.
type watched struct {
	t *testing.T
	e *engine
	i *integral
}

func watch(t *testing.T, q Quantity) *watched {
	t.Helper()
	require.NoError(t, q.check())
	i := newIntegral(q, []float64{q.Law.fresh()})
	return &watched{t, newEngine(i), i}
}

// feed goes on by a step of length h [s] through the three temperatures [°C].
func (w *watched) feed(start, middle, end, h float64) {
	v := thermal.Interval{Length: h, Temperature: [3][]float64{{start}, {middle}, {end}}}
	require.NoError(w.t, w.e.step(&v))
}

func (w *watched) extent() float64 {
	require.NoError(w.t, w.e.flush())
	return w.i.extent[0]
}

func (w *watched) value() float64 { return w.i.law.value(w.extent()) }

// along feeds a course of temperature [°C] over time [s] from 0 to until in steps
// that grow from first [s] by a factor.
func (w *watched) along(temp func(s float64) float64, until, first, factor float64) *watched {
	for s, h := 0.0, first; s < until; s, h = s+h, h*factor {
		h = min(h, until-s)
		w.feed(temp(s), temp(s+h/2), temp(s+h), h)
	}
	return w
}

// at is the value of a quantity after a time [s] at one temperature [°C].
func at(t *testing.T, q Quantity, temp, seconds float64) float64 {
	return watch(t, q).along(func(float64) float64 { return temp }, seconds, seconds/70, 1.03).value()
}

func reduction(r Rate) Quantity { return Quantity{Name: "q", Law: LogReduction{Rate: r}} }

// At constant temperature every law is exact, whatever the steps.
func TestConstantTemperatureIsExact(t *testing.T) {
	const seconds = 5000.0
	for _, r := range []Rate{
		Bigelow{D: 100 * time.Second, Z: 5.56, Ref: 60}, Arrhenius{K: 3e-4, Ref: 70, Ea: 250e3}, PreExponential(42_000, 64_151),
		SquareRoot{B: 0.03, C: 0.3, Tmin: 3, Tmax: 80}, Onset{Lowest: 55, Rate: Bigelow{D: time.Minute, Z: 7, Ref: 60}},
		RateFunc(func(t float64) float64 { return 1e-4 * (1 + math.Sin(t)) }),
	} {
		for _, temp := range []float64{-20, 4, 54.4, 55, 60, 71.3, 121.1} {
			k := r.At(temp)
			want := k * seconds
			for name, law := range map[string]Law{
				"log reduction": LogReduction{Rate: r}, "first order": FirstOrder{Rate: r, Start: 0, End: 1},
				"zero order": ZeroOrder{Rate: r}, "second order": NthOrder{Rate: r, Order: 2, Start: 3},
			} {
				got := at(t, Quantity{Name: "q", Law: law}, temp, seconds)
				assert.InEpsilon(t, 1+law.value(want), 1+got, 1e-12, "%s by %#v at %g °C", name, r, temp)
				if law.value(want) != 0 {
					assert.InEpsilon(t, law.value(want), got, 1e-11, "%s by %#v at %g °C", name, r, temp)
				}
			}
		}
	}
}

// inverseIntegral is ∫exp(-c/T) dT from 0 to T, which is T exp(-x) - c E1(x) with x = c/T
// and the exponential integral E1, here by its continued fraction (Abramowitz & Stegun
// 1964, 5.1.22).
func inverseIntegral(c, T float64) float64 {
	x := c / T
	tail := 0.0
	for n := 300; n >= 1; n-- {
		tail = float64(n) / (1 + float64(n)/(x+tail))
	}
	return T * math.Exp(-x) * (1 - x/(x+tail))
}

// A temperature that rises evenly has closed integrals: of an Arrhenius rate with the
// exponential integral, of a Bigelow rate an exponential.
func TestRampAgainstClosedIntegral(t *testing.T) {
	const from, to, seconds = 5.0, 85.0, 4000.0
	ramp := func(s float64) float64 { return from + (to-from)*s/seconds }
	speed := (to - from) / seconds
	for _, c := range []struct {
		rate Rate
		want float64
	}{
		{Bigelow{D: 100 * time.Second, Z: 5.56, Ref: 60}, 5.56 / 100 / speed * (math.Pow(10, (to-60)/5.56) - math.Pow(10, (from-60)/5.56))},
		{Bigelow{D: time.Minute, Z: 12, Ref: 70}, 12. / 60 / speed * (math.Pow(10, (to-70)/12) - math.Pow(10, (from-70)/12))},
		{Onset{Lowest: 54.4, Rate: Bigelow{D: time.Minute, Z: 12, Ref: 70}}, 12. / 60 / speed * (math.Pow(10, (to-70)/12) - math.Pow(10, (54.4-70)/12))},
		{Onset{Lowest: 41.3, Rate: RateFunc(func(t float64) float64 { return (t - 30) / 1e5 })}, ((to-30)*(to-30) - 11.3*11.3) / 2e5 / speed},
	} {
		for _, kelvins := range []float64{0.01, 0.1, 0.7, 3, 20, 80} {
			got := watch(t, reduction(c.rate)).along(ramp, seconds, kelvins/speed, 1).extent()
			assert.InEpsilon(t, c.want, got, 1e-6, "%#v in steps of %g K", c.rate, kelvins)
		}
	}
	for _, ea := range []float64{2e3, 20e3, 64151, 139e3, 250e3, 500e3} {
		k0 := math.Exp(ea / (gasConstant * 343.15))
		rate, c := PreExponential(k0, ea), ea/gasConstant
		want := k0 / speed * (inverseIntegral(c, to+kelvin) - inverseIntegral(c, from+kelvin))
		for _, kelvins := range []float64{0.01, 0.1, 0.7, 3, 20, 80} {
			got := watch(t, reduction(rate)).along(ramp, seconds, kelvins/speed, 1).extent()
			assert.InEpsilon(t, want, got, 1e-6, "%g J/mol in steps of %g K", ea, kelvins)
			back := watch(t, reduction(rate)).along(func(s float64) float64 { return ramp(seconds - s) }, seconds, kelvins/speed, 1).extent()
			assert.InEpsilon(t, want, back, 1e-6, "falling, %g J/mol in steps of %g K", ea, kelvins)
		}
	}
}

// swinging is a course of temperature with slow and fast parts, turns and rests.
func swinging(seed uint64) func(s float64) float64 {
	rng := rand.New(rand.NewPCG(seed, 5))
	a, b, c, d := 20*rng.Float64(), 2*rng.Float64(), 3000*(0.3+rng.Float64()), 200*(0.6+rng.Float64())
	return func(s float64) float64 {
		return 45 + a*math.Sin(2*math.Pi*s/c) + b*math.Sin(2*math.Pi*s/d) + 10*math.Tanh((s-4000)/500)
	}
}

// steps is a course as it is fed in steps of length h [s]: a parabola through the
// two ends and the middle of each.
func steps(temp func(s float64) float64, h float64) func(s float64) float64 {
	return func(s float64) float64 {
		from := math.Floor(s/h) * h
		return through(temp(from), temp(from+h/2), temp(from+h)).at(2*(s-from)/h - 1)
	}
}

// Any rate along any course, against Simpson's rule with steps of 0.2 s over the
// same parabolas.
func TestCoursesAgainstFineSums(t *testing.T) {
	const seconds, n = 8000.0, 40_000
	for _, c := range []struct {
		rate Rate
		near float64
	}{
		{Bigelow{D: 100 * time.Second, Z: 5.56, Ref: 60}, 2e-6}, {Arrhenius{K: 1e-3, Ref: 60, Ea: 326e3}, 2e-6}, {PreExponential(42_000, 64_151), 2e-6},
		// the fine sums miss the jump by a tenth of a second
		{Onset{Lowest: 50, Rate: Bigelow{D: 100 * time.Second, Z: 9, Ref: 60}}, 5e-5},
		{Onset{Lowest: 41, Rate: SquareRoot{B: 0.03, C: 0.25, Tmin: 5, Tmax: 48}}, 5e-4},
		{SquareRoot{B: 0.03, C: 0.25, Tmin: 5, Tmax: 48}, 1e-4}, // its bend jumps at Tmax
		{RateFunc(func(t float64) float64 { return 1e-3 * math.Exp(0.3*(t-60)) }), 3e-5},
	} {
		for seed := range uint64(3) {
			for _, h := range []float64{2, 20, 100} {
				temp := swinging(seed)
				fed := steps(temp, h)
				sum := 0.0
				for i := range n + 1 {
					w := 2.0 + 2*float64(i%2)
					if i == 0 || i == n {
						w = 1
					}
					sum += w * c.rate.At(fed(seconds*float64(i)/n))
				}
				want := sum * seconds / n / 3
				got := watch(t, reduction(c.rate)).along(temp, seconds, h, 1).extent()
				assert.InEpsilon(t, want, got, c.near, "%T, course %d in steps of %g s", c.rate, seed, h)
			}
		}
	}
}

// Quantities that are followed together do not change each other beyond what the
// shared blocks leave out.
func TestCompanyDoesNotMatter(t *testing.T) {
	temp := swinging(3)
	quantities := ten()
	var all []*integral
	for _, q := range quantities {
		all = append(all, newIntegral(q, []float64{q.Law.fresh()}))
	}
	together := &watched{t, newEngine(all...), all[0]}
	together.along(temp, 8000, 5, 1).extent()
	for i, q := range quantities {
		alone := watch(t, q).along(temp, 8000, 5, 1).extent()
		assert.InDelta(t, alone, all[i].extent[0], 5e-5*alone, q.Name)
	}
}

// What has happened never goes back, and hotter or longer is more of it.
func TestIntegralsNeverFall(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	rates := []Rate{Bigelow{D: time.Minute, Z: 6, Ref: 60}, Arrhenius{K: 1e-3, Ref: 60, Ea: 300e3}, Onset{Lowest: 54, Rate: Arrhenius{K: 1e-3, Ref: 60, Ea: 100e3}},
		RateFunc(func(t float64) float64 { return max(0, t-30) / 1e5 })}
	for _, r := range rates {
		cool, hot := watch(t, reduction(r)), watch(t, reduction(r))
		before, a := 0.0, 20.0
		for range 2000 {
			b := a + rng.NormFloat64()*3
			if b < -30 || b > 110 {
				b = a
			}
			middle, h := (a+b)/2+rng.NormFloat64()*0.3, 20*rng.Float64()
			more := 0.5 * rng.Float64()
			cool.feed(a, middle, b, h)
			hot.feed(a+more, middle+more, b+more, h)
			now := cool.extent()
			require.GreaterOrEqual(t, now, before, "%T", r)
			before, a = now, b
		}
		assert.Greater(t, hot.extent(), cool.extent(), "%T", r)
	}
}

// A law of one's own against the closed forms, along a course.
func TestOwnLaw(t *testing.T) {
	k := Arrhenius{K: 2e-3, Ref: 60, Ea: 200e3}
	for name, c := range map[string]struct {
		own    OwnLaw
		closed Law
	}{
		"first order":  {OwnLaw{Start: 0, Rate: func(t, v float64) float64 { return k.At(t) * (1 - v) }}, FirstOrder{Rate: k, Start: 0, End: 1}},
		"decay":        {OwnLaw{Start: 85, Rate: func(t, v float64) float64 { return -k.At(t) * v }}, FirstOrder{Rate: k, Start: 85, End: 0}},
		"second order": {OwnLaw{Start: 2, Rate: func(t, v float64) float64 { return -k.At(t) * v * v }}, NthOrder{Rate: k, Order: 2, Start: 2}},
		"zero order":   {OwnLaw{Start: -3, Rate: func(t, _ float64) float64 { return k.At(t) }}, ZeroOrder{Rate: k, Start: -3}},
	} {
		for _, step := range []float64{2, 30, 400} {
			got := watch(t, Quantity{Name: name, Law: c.own}).along(swinging(1), 6000, step, 1).value()
			want := watch(t, Quantity{Name: name, Law: c.closed}).along(swinging(1), 6000, step, 1).value()
			assert.InEpsilon(t, want, got, 2e-5, "%s in steps of %g s", name, step)
		}
	}
	// a value that falls as well as rises: water taken up towards what the temperature asks for
	settle := OwnLaw{Start: 10, Rate: func(t, v float64) float64 { return 0.01 * (t - v) }}
	assert.InDelta(t, 60, watch(t, Quantity{Name: "v", Law: settle}).along(func(float64) float64 { return 60 }, 3000, 100, 1).value(), 1e-6)
	assert.InEpsilon(t, 60-50*math.Exp(-1), watch(t, Quantity{Name: "v", Law: settle}).along(func(float64) float64 { return 60 }, 100, 100, 1).value(), 1e-6)
}

// Nonsense from the caller's functions is an error that says where, and ends at once.
func TestNonsenseRates(t *testing.T) {
	nan := math.NaN()
	for what, law := range map[string]Law{
		"rate NaN":          LogReduction{Rate: RateFunc(func(t float64) float64 { return nan })},
		"rate -1":           LogReduction{Rate: RateFunc(func(t float64) float64 { return -1 })},
		"rate +Inf":         LogReduction{Rate: Onset{Lowest: 10, Rate: RateFunc(func(t float64) float64 { return math.Inf(1) })}},
		"rate NaN at 60 °C": OwnLaw{Rate: func(t, _ float64) float64 { return nan }},
		"can follow":        OwnLaw{Start: 1, Rate: func(t, v float64) float64 { return -1e12 * (v - t) }},
		"can follow; a":     OwnLaw{Start: 1, Rate: func(t, v float64) float64 { return v * v }},
	} {
		i := newIntegral(Quantity{Name: "mine", Law: law}, []float64{law.fresh()})
		e := newEngine(i)
		err := e.step(&thermal.Interval{Length: 100, Temperature: [3][]float64{{60}, {60}, {60}}})
		err = errors.Join(err, e.flush())
		var rate *RateError
		require.ErrorAs(t, err, &rate, what)
		assert.ErrorContains(t, rate, what)
		assert.ErrorContains(t, rate, `"mine"`)
		assert.InDelta(t, 60, rate.Temperature, 1e-9)
	}
	huge := watch(t, reduction(RateFunc(func(float64) float64 { return 1e300 })))
	huge.feed(60, 60, 60, 1)
	assert.InEpsilon(t, 1e30, huge.extent(), 1e-12, "as fast as it counts")
}

// A step costs no memory.
func TestStepDoesNotAllocate(t *testing.T) {
	quantities := append(ten(), Quantity{Name: "mine", Law: OwnLaw{Rate: func(t, v float64) float64 { return 1e-4 * (1 - v) }}})
	var all []*integral
	for _, q := range quantities {
		all = append(all, newIntegral(q, make([]float64, 3)))
	}
	e := newEngine(all...)
	v := thermal.Interval{Length: 1, Temperature: [3][]float64{{60, 10, 119}, {60.2, 10.1, 121}, {60.4, 10.2, 123}}}
	assert.Zero(t, testing.AllocsPerRun(100, func() { _ = e.step(&v) }))
}
