package materials

import "math"

// The models below give the conductivity [W/(m K)] of a mixture from the
// conductivities k [W/(m K)] of its phases and their volume fractions v [m³/m³].
// Fractions are scaled to sum 1. Where k and v differ in length or are empty, or
// hold a negative number or NaN, the result is NaN. Years and places of the
// originals are cited from memory, the forms are checked by the tests.

// Parallel is the conductivity of phases in sheets along the heat flow, the upper
// bound of all models [W/(m K)]:
//
//	Σ v k
//
// Wiener (1912).
func Parallel(k, v []float64) float64 {
	total, ok := volume(k, v)
	if !ok {
		return notANumber
	}
	var sum float64
	for i := range k {
		sum += v[i] * k[i]
	}
	return sum / total
}

// Series is the conductivity of phases in sheets across the heat flow, the lower
// bound of all models [W/(m K)]:
//
//	1 / Σ v/k
//
// Wiener (1912).
func Series(k, v []float64) float64 {
	total, ok := volume(k, v)
	if !ok {
		return notANumber
	}
	var sum float64
	for i := range k {
		if v[i] > 0 {
			sum += v[i] / k[i]
		}
	}
	return total / sum
}

// Krischer is the harmonic mean of [Parallel] and [Series] with the given share
// of series, 0 to 1 [W/(m K)]:
//
//	1 / ((1 - s)/k_parallel + s/k_series)
//
// Krischer (1963), Die wissenschaftlichen Grundlagen der Trocknungstechnik.
func Krischer(k, v []float64, series float64) float64 {
	if !(series >= 0 && series <= 1) {
		return notANumber
	}
	return blend(Parallel(k, v), Series(k, v), series)
}

// blend is the harmonic mean with share s of b.
func blend(a, b, s float64) float64 {
	switch s {
	case 0:
		return a
	case 1:
		return b
	}
	return 1 / ((1-s)/a + s/b)
}

// MaxwellEucken is the conductivity of a phase that is continuous, and another
// that is dispersed in it as apart spheres of volume fraction vDispersed
// [m³/m³], 0 to 1 [W/(m K)]. With the better conductor continuous it is the upper,
// otherwise the lower bound of what an isotropic mixture can have (Hashin &
// Shtrikman 1962). Eucken (1940), ASHRAE Handbook - Refrigeration, Thermal
// Properties of Foods.
func MaxwellEucken(continuous, dispersed, vDispersed float64) float64 {
	if !twoPhases(continuous, dispersed, vDispersed) {
		return notANumber
	}
	return maxwellEucken(continuous, dispersed, vDispersed)
}

func maxwellEucken(kc, kd, v float64) float64 {
	if kc == 0 {
		return 0
	}
	s, d := 2*kc+kd, kc-kd
	return kc * (s - 2*v*d) / (s + v*d)
}

// Levy is Levy's form of Maxwell-Eucken, which gives one value whichever phase is
// called dispersed [W/(m K)]; v1 is the volume fraction of phase 1 [m³/m³], 0 to
// 1, k1 and k2 over 0.
//
//	k = k2 ((2+Λ) + 2(Λ-1)F) / ((2+Λ) - (Λ-1)F),  Λ = k1/k2
//	F = (q - √(q² - 8 v1/σ))/2,  q = 2/σ - 1 + 2 v1
//	σ = (Λ-1)² / ((Λ+1)² + Λ/2)
//
// Levy (1981), Int. J. Refrigeration 4, 223; ASHRAE Handbook - Refrigeration,
// Thermal Properties of Foods.
func Levy(k1, k2, v1 float64) float64 {
	if !twoPhases(k1, k2, v1) || k1 == 0 || k2 == 0 {
		return notANumber
	}
	return levy(k1, k2, v1)
}

func levy(k1, k2, v float64) float64 {
	l := k1 / k2
	d := l - 1
	s := d * d / ((l+1)*(l+1) + l/2)
	// F as the product of roots over the larger one, both times σ: nothing cancels
	// and σ = 0 is no exception.
	b := 2 - s + 2*v*s
	f := 4 * v / (b + math.Sqrt(max(b*b-8*v*s, 0)))
	return k2 * (2 + l + 2*d*f) / (2 + l - d*f)
}

// EffectiveMedium is the conductivity of phases mixed at random, none of which is
// the continuous one [W/(m K)]: the root k of
//
//	Σ v (k_i - k)/(k_i + 2 k) = 0
//
// Bruggeman (1935), Landauer (1952). A phase that does not conduct stops all
// conduction when it fills more than two thirds.
func EffectiveMedium(k, v []float64) float64 {
	if _, ok := volume(k, v); !ok {
		return notANumber
	}
	lo, hi := math.Inf(1), 0.0
	for i := range k {
		if v[i] > 0 {
			lo, hi = min(lo, k[i]), max(hi, k[i])
		}
	}
	// The sum falls steadily from lo to hi. Newton from the midpoint, halving
	// where it would leave the bracket.
	x := (lo + hi) / 2
	for range 200 {
		if hi-lo <= 1e-15*hi {
			break
		}
		var f, df float64
		for i := range k {
			if n := k[i] + 2*x; n > 0 {
				f += v[i] * (k[i] - x) / n
				df -= v[i] * 3 * k[i] / (n * n)
			}
		}
		if f == 0 {
			return x
		}
		if f > 0 {
			lo = x
		} else {
			hi = x
		}
		next := x - f/df
		if !(next > lo && next < hi) {
			next = lo + (hi-lo)/2
		}
		if math.Abs(next-x) <= 4e-16*x {
			return next
		}
		x = next
	}
	return x
}

// volume sums the fractions and tells whether k and v can be used.
func volume(k, v []float64) (total float64, ok bool) {
	if len(k) != len(v) {
		return 0, false
	}
	for i := range k {
		if !(k[i] >= 0 && v[i] >= 0) || math.IsInf(k[i], 1) {
			return 0, false
		}
		total += v[i]
	}
	return total, total > 0 && !math.IsInf(total, 1)
}

func twoPhases(k1, k2, v float64) bool {
	return k1 >= 0 && k2 >= 0 && v >= 0 && v <= 1 && !math.IsInf(k1+k2, 1)
}
