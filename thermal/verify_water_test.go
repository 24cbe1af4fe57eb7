package thermal

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// The water verification tests (this file, verify_drying_test.go,
// verify_uptake_test.go, verify_coupled_test.go) hold moving water to closed
// solutions. All foods of theirs are invented.

// damp is a food of water [kg/kg] and starch alone, whose water moves as tr says.
func damp(water float64, iso materials.Isotherm, tr materials.Transport) materials.Food {
	return materials.Food{Name: "damp starch", Composition: materials.Composition{Water: water, Carbohydrate: 1 - water},
		Isotherm: iso, Transport: &tr}
}

// sorption is the law of state of a food.
func sorption(t testing.TB, f materials.Food) *phasechange.Moist {
	t.Helper()
	r, err := phasechange.New(f, phasechange.Settings{})
	require.NoError(t, err)
	return r.Moist()
}

// freely is air of an activity that a surface takes on at once, and its temperature
// [°C] with it: the film in front of it holds back next to nothing.
func freely(temperature, activity float64) Surroundings {
	return Surroundings{Fluid: temperature, H: 1e5, Humidity: RelativeHumidity(activity)}
}

// meanMode is the mean over the volume of the eigenfunction of s at z.
func (s series) meanMode(z float64) float64 {
	switch s.shape.(type) {
	case geometry.HalfSlab:
		return math.Sin(z) / z
	case geometry.Cylinder:
		return 2 * math.J1(z) / z
	}
	return 3 * (math.Sin(z) - z*math.Cos(z)) / (z * z * z)
}

// mean is the mean over the volume.
func (s series) mean(fo float64) float64 {
	var sum float64
	for n, z := range s.zeta {
		sum += s.cn[n] * s.meanMode(z) * math.Exp(-z*z*fo)
	}
	return sum
}

// sorbing is a body of an even water content in air it takes up water from or loses
// it to, without change of temperature, so that the series of heat conduction hold for
// (w - we)/(w0 - we) with Fo = D t/R² and Biot number of mass. Crank, The Mathematics
// of Diffusion (1975), sections 4.3, 5.3 and 6.3 (from memory).
type sorbing struct {
	series
	radius, diffusivity float64 // [m], [m²/s]
	start, end          float64 // [kg/m³] w0, we
	dish                Dish
	air                 Surroundings
}

// enoughSteps is ten times what these runs take: one that gets stuck fails soon.
const enoughSteps = 3000

// sorbingTemperature [°C] of all the bodies and their air.
const sorbingTemperature = 30.0

// newSorbing is one of a food of water [kg/kg] in air of a relative humidity, covered
// with a film of a permeance [kg/(m² s Pa)], +Inf for none.
func newSorbing(t testing.TB, shape geometry.Shape, water, humidity, permeance float64) sorbing {
	t.Helper()
	s := sorbing{radius: 0.005, diffusivity: 1e-11}
	f := damp(water, materials.Isotherm{}, materials.Transport{Diffusivity: s.diffusivity})
	law := sorption(t, f)
	s.start, s.end = f.Density()*water, law.Water(humidity)
	bi := 1e9
	s.dish = one(shape, f, s.radius, Uniform(sorbingTemperature))
	if permeance < 1 {
		s.dish.Layers[0].Film = &Film{Permeance: permeance}
		// the film passes permeance psat da for each da of activity, D/R dw to the inside
		da := (law.Activity(s.start) - humidity) / (s.start - s.end)
		bi = permeance * phasechange.SaturationPressure(sorbingTemperature) * da * s.radius / s.diffusivity
	}
	s.series = newSeries(shape, bi, 200)
	s.air = freely(sorbingTemperature, humidity)
	return s
}

// seconds at a Fourier number of mass.
func (s sorbing) seconds(fo float64) float64 { return fo * s.radius * s.radius / s.diffusivity }

// errors are those of the water in a state, as shares of the whole change: of the
// worst cell and of the mean.
func (s sorbing) errors(x *State, fo float64) (cell, mean float64) {
	density := s.dish.Layers[0].Food.Density()
	var sum, volume float64
	for _, c := range x.Cells() {
		theta := (c.Water*density - s.end) / (s.start - s.end)
		cell = math.Max(cell, math.Abs(theta-s.at(c.X/s.radius, fo)))
		sum += theta * c.Volume
		volume += c.Volume
	}
	return cell, math.Abs(sum/volume - s.mean(fo))
}

var sorbingShapes = []geometry.Shape{geometry.HalfSlab{}, geometry.Cylinder{}, geometry.Sphere{}}

// Drying and moistening to the water content of the air around, at 100 cells: profile
// within 0.15 % of the change, its mean within 0.1 %. The isotherm plays no part inside, where the
// flux goes by water content; in the outermost half cell it goes by activity, which is
// what is tried here with a change of up to half the water.
func TestSorptionSeries(t *testing.T) {
	for _, shape := range sorbingShapes {
		for _, c := range []struct {
			way             string
			water, humidity float64
		}{{"drying", 0.20, 0.5}, {"moistening", 0.10, 0.88}} {
			for _, g := range []geometry.Grading{geometry.Graded, geometry.Uniform} {
				t.Run(fmt.Sprintf("%v/%s/%d", shape, c.way, g), func(t *testing.T) {
					s := newSorbing(t, shape, c.water, c.humidity, math.Inf(1))
					run := simulate(t, s.dish, convecting(s.air, s.seconds(1)), Settings{Cells: 100, Grading: g, Tolerance: 2e-3, Moisture: true, MaxSteps: enoughSteps})
					var cell, mean, warm float64
					for fo := 0.02; fo <= 1; fo += 0.0137 {
						x := run.At(duration(s.seconds(fo)))
						e, m := s.errors(x, fo)
						cell, mean = math.Max(cell, e), math.Max(mean, m)
						for _, c := range x.Cells() {
							warm = math.Max(warm, math.Abs(c.Temperature-sorbingTemperature))
						}
					}
					t.Logf("%.0f to %.0f kg/m³: cells within %.3f %% of the change, the mean within %.3f %%, %.4f K off; %v",
						s.start, s.end, 100*cell, 100*mean, warm, run.Stats)
					assert.LessOrEqual(t, cell, 1.5e-3)
					assert.LessOrEqual(t, mean, 1e-3)
					assert.LessOrEqual(t, warm, 0.02, "not isothermal")
					assert.LessOrEqual(t, run.Water.Relative, 1e-12)
				})
			}
		}
	}
}

// A film on the surface is the convection of the series. The change is small, a
// thousandth in activity, over which the film's flux is as good as linear in the
// water: profile and mean within 0.1 % of it.
func TestSorptionSeriesWithFilm(t *testing.T) {
	const water, change = 0.18, 1e-3
	f := damp(water, materials.Isotherm{}, materials.Transport{})
	humidity := sorption(t, f).Activity(f.Density()*water) + change
	for _, shape := range sorbingShapes {
		for _, permeance := range []float64{2e-11, 2e-10, 2e-9} {
			s := newSorbing(t, shape, water, humidity, permeance)
			run := simulate(t, s.dish, convecting(s.air, s.seconds(1)), Settings{Cells: 100, Tolerance: 1e-6, Moisture: true, MaxSteps: enoughSteps})
			var cell, mean float64
			for fo := 0.02; fo <= 1; fo += 0.0137 {
				e, m := s.errors(run.At(duration(s.seconds(fo))), fo)
				cell, mean = math.Max(cell, e), math.Max(mean, m)
			}
			t.Logf("%v, ζ1 %.4f: cells within %.3f %%, the mean within %.3f %%", shape, s.zeta[0], 100*cell, 100*mean)
			assert.LessOrEqual(t, cell, 1e-3, "%v, permeance %g", shape, permeance)
			assert.LessOrEqual(t, mean, 1e-3, "%v, permeance %g", shape, permeance)
		}
	}
}

// Order 2 in space, of the profile against the series. The jump at the start takes a
// logarithm off it: in the outermost half cell the flux is linear in the activity, an
// error of h² over the time since the jump.
func TestSorptionOrderInSpace(t *testing.T) {
	const fo = 0.15
	for _, shape := range sorbingShapes {
		for _, g := range []geometry.Grading{geometry.Graded, geometry.Uniform} {
			s := newSorbing(t, shape, 0.10, 0.88, math.Inf(1))
			var size, cells []float64
			for _, n := range []int{25, 50, 100, 200} {
				run := simulate(t, s.dish, convecting(s.air, s.seconds(fo)), Settings{Cells: n, Grading: g, Tolerance: 1e-6, Moisture: true, MaxSteps: enoughSteps})
				e, _ := s.errors(run.End(), fo)
				size, cells = append(size, 1/float64(n)), append(cells, e)
			}
			o := order(size, cells)
			t.Logf("%v, grading %d: order %.2f in space (%.1e of the change at 200 cells)", shape, g, o, cells[3])
			assert.InDelta(t, 2, o, 0.25, "%v, grading %d", shape, g)
		}
	}
}

// pair is a dish of two foods that share their water without loss, each spread
// evenly, in a bath that keeps it at one temperature.
type pair struct {
	dish  Dish
	laws  [2]*phasechange.Moist
	even  float64    // [-] activity in the end
	apart [2]float64 // [-] activities at the start
}

const pairTemperature = 25.0

// newPair are 2 mm of a bread-like and 3 mm of a wetter food with transport tr, with a
// film between them or none.
func newPair(t testing.TB, tr materials.Transport, film *Film) pair {
	t.Helper()
	foods := [2]materials.Food{damp(0.10, materials.GAB(0.07, 15, 0.82), tr), damp(0.16, materials.Oswin(0.09, 0.5), tr)}
	thick := [2]float64{0.002, 0.003}
	p := pair{dish: Dish{Shape: geometry.HalfSlab{}, Start: Uniform(pairTemperature), Layers: []Layer{
		{Name: "inner", Food: foods[0], Thickness: thick[0], Film: film}, {Name: "outer", Food: foods[1], Thickness: thick[1]}}}}
	var all float64
	for i, f := range foods {
		p.laws[i] = sorption(t, f)
		w := f.Density() * f.Composition.Water
		p.apart[i] = p.laws[i].Activity(w)
		all += w * thick[i]
	}
	// no water is lost: Σ thickness w(a) = all
	p.even = bisect(func(a float64) float64 { return thick[0]*p.laws[0].Water(a) + thick[1]*p.laws[1].Water(a) - all }, 0.01, 0.99)
	return p
}

// hold is a run of some time in the bath.
func (p pair) hold(t testing.TB, seconds float64) *Run {
	t.Helper()
	return simulate(t, p.dish, convecting(Surroundings{Fluid: pairTemperature, H: 1e4}, seconds), Settings{Cells: 40, Tolerance: 1e-4, Moisture: true, MaxSteps: enoughSteps})
}

// Two foods in touch come to one water activity, that which the balance of water and
// their isotherms give, by whatever way the water goes.
func TestFoodsComeToOneActivity(t *testing.T) {
	for _, c := range []struct {
		name    string
		tr      materials.Transport
		film    *Film
		seconds float64
	}{
		{"as liquid", materials.Transport{Diffusivity: 1e-10}, nil, 3e6},
		{"as vapour", materials.Transport{Permeability: 1e-10}, nil, 3e7},
		{"as both", materials.Transport{Diffusivity: 1e-10, Permeability: 1e-10}, nil, 3e6},
		{"through a film", materials.Transport{Diffusivity: 1e-10, Permeability: 1e-10}, &Film{Permeance: 1e-8}, 3e6},
		{"through a film of a tenth", materials.Transport{Diffusivity: 1e-10, Permeability: 1e-10}, &Film{Permeance: 1e-9}, 3e7},
	} {
		p := newPair(t, c.tr, c.film)
		run := p.hold(t, c.seconds)
		var worst float64
		for _, x := range run.End().Cells() {
			worst = math.Max(worst, math.Abs(x.WaterActivity-p.even))
		}
		t.Logf("%s: from %.4f and %.4f to %.6f within %.1e; %v", c.name, p.apart[0], p.apart[1], p.even, worst, run.Stats)
		assert.LessOrEqual(t, worst, 1e-4, c.name)
		assert.LessOrEqual(t, run.Water.Relative, 1e-12, c.name)
		assert.Greater(t, math.Abs(p.apart[0]-p.even), 0.1, "nothing to come to")
	}
}

// A film that is all the resistance there is makes the difference of activities a
// die away at the rate
//
//	-d ln(a2 - a1)/dt = permeance psat(T) (a1' + a2'),   ai' = dai/dwi over the thickness
//
// near the end, where the isotherms are straight (elementary).
func TestFilmSetsThePace(t *testing.T) {
	psat := phasechange.SaturationPressure(pairTemperature)
	for _, permeance := range []float64{1e-8, 1e-9, 1e-10} {
		p := newPair(t, materials.Transport{Diffusivity: 1e-7, Permeability: 2e-10}, &Film{Permeance: permeance})
		var slopes float64
		for i, law := range p.laws {
			const d = 1e-4
			slopes += 2 * d / (law.Water(p.even+d) - law.Water(p.even-d)) / p.dish.Layers[i].Thickness
		}
		want := permeance * psat * slopes
		run := p.hold(t, 7/want)
		apart := func(times float64) float64 {
			c := run.At(duration(times / want)).Cells()
			return c[len(c)-1].WaterActivity - c[0].WaterActivity
		}
		got := math.Log(apart(4)/apart(6)) / (2 / want)
		t.Logf("permeance %g: rate %.4e 1/s, %.2f %% off", permeance, got, 100*(got/want-1))
		assert.InEpsilon(t, want, got, 0.01, "permeance %g", permeance)
	}
}

// Nothing passes a film without permeance, nor food through which nothing moves.
func TestWaterStaysBehindATightFilm(t *testing.T) {
	for name, p := range map[string]pair{
		"tight film":  newPair(t, materials.Transport{Diffusivity: 1e-9, Permeability: 1e-10}, &Film{}),
		"no movement": newPair(t, materials.Transport{}, nil),
	} {
		run := p.hold(t, 1e6)
		cells := len(run.model.mesh.Cells)
		for i, w := range run.final.u[cells:] {
			f := p.dish.Layers[run.model.mesh.Cells[i].Layer].Food
			require.InEpsilon(t, f.Density()*f.Composition.Water, w, 1e-13, "%s, cell %d", name, i)
		}
	}
}
