package thermal

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/thawfront/geometry"
)

// plank is Plank's (1913) freezing time [s] of a body at its freezing point
// without sensible heat:
//
//	t = ρ L/ΔT (P a/h + R a²/k)
//
// a the thickness or diameter [m]; P, R = 1/2, 1/8 (slab), 1/4, 1/16 (cylinder),
// 1/6, 1/24 (sphere).
func plank(s geometry.Shape, density, latent, dT, a, h, k float64) float64 {
	n := map[string]float64{"geometry.HalfSlab": 1, "geometry.Cylinder": 2, "geometry.Sphere": 3}[fmt.Sprintf("%T", s)]
	return density * latent / dT * (a/h/(2*n) + a*a/k/(8*n))
}

// With less and less sensible heat the freezing time tends to Plank's, and so
// does the thawing time, k being then that of the thawed food.
func TestPlankLimit(t *testing.T) {
	const density, latent, k, width = 1000.0, 250e3, 1.2, 0.02
	// testdata/solver-solutions/single-values.csv: sphere in Singh & Heldman, slab
	// in Earle, with the inputs in its README.
	assert.InDelta(t, solution(t, "freezing of a sphere after Plank"), plank(geometry.Sphere{}, density, latent, 38.75, 0.07, 50, k), 0.5)
	assert.InDelta(t, solution(t, "freezing of a slab after Plank"), plank(geometry.HalfSlab{}, 1090, 256e3, 32, 0.10, 600, 1.6), 0.5)
	for _, s := range roundShapes {
		for _, h := range []float64{10, 50, 600} {
			for _, ambient := range []float64{-38.75, 38.75} {
				want := plank(s, density, latent, math.Abs(ambient), 0.07, h, k)
				var errs []float64
				specific := []float64{1000, 100, 1}
				for _, cp := range specific {
					food := melting(t, density, k, cp, k, cp, latent, width)
					sign := math.Copysign(1, ambient)
					until := Above(Centre(), 0.5)
					if sign < 0 {
						until = Below(Centre(), -0.5)
					}
					// all but at the end of the melting range it starts from
					run := simulate(t, one(s, food, 0.035, Uniform(-sign*width/2*0.999)), Schedule{{Medium: Surroundings{Fluid: ambient, H: h}, Until: until,
						Limit: duration(3 * want)}}, Settings{Cells: 100, MaxSteps: 20000})
					errs = append(errs, run.Duration().Seconds()/want-1)
				}
				if t.Failed() {
					return
				}
				t.Logf("%v, h %g, medium %g °C: %.0f s after Plank; off by %.3f, %.4f, %.4f at cp 1000, 100, 1 J/(kg K)", s, h, ambient, want, errs[0], errs[1], errs[2])
				assert.Greater(t, errs[0], errs[1], "sensible heat takes time")
				assert.LessOrEqual(t, math.Abs(errs[2]), 5e-3)
			}
		}
	}
}
