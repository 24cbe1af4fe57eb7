package materials

import "testing"

func BenchmarkComponent(b *testing.B) {
	var sum float64
	for i := 0; b.Loop(); i++ {
		sum += Protein.Conductivity(float64(i & 127))
	}
	_ = sum
}

func BenchmarkComponentBeyondRange(b *testing.B) {
	var sum float64
	for i := 0; b.Loop(); i++ {
		sum += Protein.Enthalpy(200 + float64(i&127))
	}
	_ = sum
}

func BenchmarkConductivity(b *testing.B) {
	for _, name := range []string{"lamb loin, cooked", "puff pastry, raw", "white bread"} {
		f := MustFind(name)
		b.Run(name+", frozen", func(b *testing.B) {
			for b.Loop() {
				f.Conductivity(-10, 0.1, 0.2)
			}
		})
		b.Run(name+", hot crust", func(b *testing.B) {
			for b.Loop() {
				f.Conductivity(180, 0.02, 0)
			}
		})
	}
}

func BenchmarkEffectiveMedium(b *testing.B) {
	k, v := []float64{0.6, 2.2, 0.2, 0.025}, []float64{0.2, 0.4, 0.2, 0.2}
	for b.Loop() {
		EffectiveMedium(k, v)
	}
}

func BenchmarkIsothermActivity(b *testing.B) {
	iso := GAB(0.07, 15, 0.82)
	for b.Loop() {
		iso.Activity(0.1)
	}
}
