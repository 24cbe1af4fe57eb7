package kinetics

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestExp(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 2))
	var near, far float64
	for range 200_000 {
		x := 50 * (2*rng.Float64() - 1)
		near = max(near, math.Abs(exp(x)/math.Exp(x)-1))
		x *= 14
		far = max(far, math.Abs(exp(x)/math.Exp(x)-1))
	}
	t.Logf("within %.1e, beyond 50 %.1e", near, far)
	assert.Less(t, near, 1e-14)
	assert.Less(t, far, 1.5e-13)
	for _, x := range []float64{0, math.Copysign(0, -1), 1e-300, -1e-300, math.Ln2 / 128, -math.Ln2 / 128, 700, -700} {
		assert.InEpsilon(t, math.Exp(x), exp(x), 2e-13, "%g", x)
	}
	assert.Equal(t, 1.0, exp(0))
}

var sink float64

func BenchmarkExp(b *testing.B) {
	for name, f := range map[string]func(x float64) float64{"own": func(x float64) float64 { return exp(x) }, "math": math.Exp} {
		b.Run(name, func(b *testing.B) {
			for i := 0; i < b.N; i++ {
				sink += f(-float64(i & 63))
			}
		})
	}
}
