package safety

import (
	"math"
	"testing"
)

func BenchmarkCheck(b *testing.B) {
	var hs []History
	for cell := range 120 {
		h := History{Place: "cell"}
		for i := range 600 {
			h.Time = append(h.Time, float64(i)*10)
			h.Temperature = append(h.Temperature, -18+70*(1-math.Exp(-float64(i)/(250-float64(cell)))))
		}
		hs = append(hs, h)
	}
	rules := RulesOf(Cooking)
	b.ResetTimer()
	for range b.N {
		if _, err := Check(hs, Facts{Food: Roast, Animal: Beef, WaterActivity: new(0.99)}, rules...); err != nil {
			b.Fatal(err)
		}
	}
}
