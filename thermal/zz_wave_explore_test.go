package thermal

import (
	"math"
	"testing"

	"example.com/thawfront/geometry"
)

func TestZZWave(t *testing.T) {
	for _, c := range waveCases() {
		w, seconds := c.wave(t)
		t.Log(c.name)
		for _, n := range []int{25, 100, 400} {
			for _, tol := range []float64{2e-4} {
				a := w.run(t, startMeans{w}, seconds, Settings{Cells: n, Grading: geometry.Uniform, Tolerance: tol})
				b := w.run(t, startMeans{w}.profile(), seconds, Settings{Cells: n, Grading: geometry.Uniform, Tolerance: tol})
				sa, sb := a.At(0), b.At(0)
				var heat, abs, late float64
				for i := range sa.temp {
					d := w.food.Energy(sb.temp[i], &w.whole) - w.food.Energy(sa.temp[i], &w.whole)
					heat += d / float64(n)
					abs = math.Max(abs, math.Abs(d))
				}
				sa, sb = a.End(), b.End()
				for i := range sa.temp {
					d := w.food.Energy(sb.temp[i], &w.whole) - w.food.Energy(sa.temp[i], &w.whole)
					late += d / float64(n)
				}
				span := w.node[len(w.node)-1] - w.node[0]
				ea, eb := w.errors(a), w.errors(b)
				t.Logf(" %d: start heat off %.2e most %.2e end %.2e; errors %v %v", n, heat/span, abs/span, late/span, ea, eb)
			}
		}
		var ref *Run
		for _, tol := range []float64{1e-6, 1e-4, 1e-3, 3e-3, 1e-2, 3e-2, 0.05, 0.1, 0.3} {
			r := w.run(t, startMeans{w}, seconds, Settings{Cells: 100, Grading: geometry.Uniform, Tolerance: tol})
			if ref == nil {
				ref = r
				continue
			}
			var sum, most float64
			for j := range 60 {
				_, ph := math.Modf(float64(j) * math.Phi)
				now := duration(seconds * ph)
				x, y := r.At(now), ref.At(now)
				for i := range x.temp {
					d := math.Abs(x.temp[i] - y.temp[i])
					sum += d * d
					most = math.Max(most, d)
				}
			}
			rms := math.Sqrt(sum / 6000)
			x, y := r.End(), ref.End()
			var e float64
			for i := range x.temp {
				e += (x.temp[i] - y.temp[i]) * (x.temp[i] - y.temp[i])
			}
			t.Logf(" tol %g: %d steps, rms %.2e (%.2f tol) most %.2e (%.1f tol) end %.2e", tol, r.Stats.Steps, rms, rms/tol, most, most/tol, math.Sqrt(e/100))
		}
		r := w.run(t, startMeans{w}, seconds, Settings{})
		t.Logf(" default: %d steps %+v", r.Stats.Steps, w.errors(r))
	}
}
