package thermal

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// crumb is a porous food in which water moves as liquid and as vapour, both in
// earnest, with the conductivity and the diffusivity bent by temperature and water.
func crumb() materials.Food {
	f := damp(0.30, materials.Isotherm{}, materials.Transport{Diffusivity: 1e-8, Activation: 25e3, HalfMoisture: 1, Permeability: 1e-10})
	f.Porosity, f.Structure = 0.5, materials.OpenPores
	return f
}

const (
	coupledTime      = 400.0 // [s]
	coupledThickness = 0.01  // [m]
)

// coupled is a problem of heat and water together in which all is smooth.
type coupled struct {
	name  string
	air   Medium
	waves float64 // amplitude of the water's start [-], with that of the temperature in proportion
}

// coupledProblems are a dish left to itself that begins uneven, and an even one in air
// whose temperature and humidity begin as those of the food and then move away.
func coupledProblems(t testing.TB) []coupled {
	f := crumb()
	pressure := sorption(t, f).Activity(f.Density()*f.Composition.Water) * phasechange.SaturationPressure(60)
	moving := MediumFunc(func(at time.Duration) Surroundings {
		x := at.Seconds() / coupledTime
		x *= x * (3 - 2*x)
		temperature := 60 + 30*x
		return Surroundings{Fluid: temperature, H: 30, Walls: temperature, Emissivity: 0.9, Humidity: VapourPressure(pressure * (1 - 0.7*x))}
	})
	return []coupled{{"sealed", Insulated(), 0.4}, {"amid moving air", moving, 0}}
}

// march goes through coupledTime in even steps and gives temperature [°C] and water
// [kg/m³] of the cells.
func (c coupled) march(t testing.TB, cells, steps int) (temps, water []float64) {
	t.Helper()
	f := crumb()
	p := fixed(t, one(geometry.HalfSlab{}, f, coupledThickness, Uniform(60)), c.air, Settings{Cells: cells, Grading: geometry.Uniform, Tolerance: 1e-6, Moisture: true})
	p.jump = math.Inf(1) // the air does not jump
	for i, cell := range p.sys.mesh.Cells {
		wave := c.waves * math.Cos(math.Pi*cell.Node/coupledThickness)
		w := f.Density() * f.Composition.Water * (1 - wave)
		p.u[i], p.u[cells+i] = p.sys.wet.cells[i].law.Energy(60+40*wave, w), w
	}
	p.begin()
	p.march(t, steps, coupledTime/float64(steps))
	return p.temperatures(), append([]float64(nil), p.u[cells:]...)
}

// Heat, liquid and vapour together, order 2 in space: differences between runs on
// meshes of twice the cells, by root mean square, of which the finer one's pairs of
// cells count as one.
func TestCoupledOrderInSpace(t *testing.T) {
	for _, c := range coupledProblems(t) {
		var size, dt, dw []float64
		temps, water := c.march(t, 50, 100)
		for _, n := range []int{100, 200, 400} {
			finer, drier := c.march(t, n, 100)
			size, dt, dw = append(size, 1/float64(n)), append(dt, apart(temps, pairs(finer))), append(dw, apart(water, pairs(drier)))
			temps, water = finer, drier
		}
		ot, ow := order(size, dt), order(size, dw)
		t.Logf("%s: order %.3f in temperature (last difference %.1e K), %.3f in water (%.1e kg/m³)", c.name, ot, dt[len(dt)-1], ow, dw[len(dw)-1])
		assert.InDelta(t, 2, ot, 0.2, c.name)
		assert.InDelta(t, 2, ow, 0.2, c.name)
	}
}

// Heat, liquid and vapour together: order 2 in time or better, down to the some 1e-5 K
// to which cells follow straight lines between two full evaluations.
func TestCoupledOrderInTime(t *testing.T) {
	for _, c := range coupledProblems(t) {
		var h, dt, dw []float64
		temps, water := c.march(t, 40, 5)
		for _, n := range []int{10, 20, 40} {
			finer, drier := c.march(t, 40, n)
			h, dt, dw = append(h, 1/float64(n)), append(dt, apart(temps, finer)), append(dw, apart(water, drier))
			temps, water = finer, drier
		}
		ot, ow := order(h, dt), order(h, dw)
		t.Logf("%s: order %.3f of temperature in time (last difference %.1e K), %.3f of water (%.1e kg/m³)", c.name, ot, dt[len(dt)-1], ow, dw[len(dw)-1])
		assert.GreaterOrEqual(t, ot, 2.0, c.name)
		assert.GreaterOrEqual(t, ow, 2.0, c.name)
	}
}

// pairs are means of neighbours.
func pairs(v []float64) []float64 {
	out := make([]float64, len(v)/2)
	for i := range out {
		out[i] = (v[2*i] + v[2*i+1]) / 2
	}
	return out
}

// apart is the root mean square difference.
func apart(a, b []float64) float64 {
	var sum float64
	for i := range a {
		sum += (a[i] - b[i]) * (a[i] - b[i])
	}
	return math.Sqrt(sum / float64(len(a)))
}
