package kinetics

import "math"

// SquareRoot is the growth rate of the square-root model over the whole span of
// temperature,
//
//	sqrt(µ) = B (t - Tmin) (1 - exp(C (t - Tmax)))
//
// between Tmin and Tmax and zero elsewhere (Ratkowsky et al. 1983). µ is in natural
// logarithms an hour, as B's unit has it: a B that was fitted to decades is to be
// multiplied by sqrt(ln 10). Tmin and Tmax are the model's, not the limits at
// which growth is seen.
type SquareRoot struct {
	B    float64 // [1/K] for a root in 1/√h; above 0, up to 10
	C    float64 // [1/K] above 0, up to 10
	Tmin float64 // [°C] -100 to 1000
	Tmax float64 // [°C] above Tmin, up to 1000
}

// At is the growth rate in natural logarithms a second [1/s] at t [°C].
func (r SquareRoot) At(t float64) float64 {
	if !(t > r.Tmin && t < r.Tmax) {
		return 0
	}
	root := r.B * (t - r.Tmin) * (1 - math.Exp(r.C*(t-r.Tmax)))
	return root * root / 3600
}

func (r SquareRoot) span() (lowest, highest float64) { return r.Tmin, r.Tmax }
func (r SquareRoot) line() line                      { return line{} }

func (r SquareRoot) check() *InputError {
	switch {
	case !(r.B > 0 && r.B <= 10):
		return &InputError{Field: "growth constant B [1/(K √h)]", Value: r.B, Want: "above 0, up to 10"}
	case !(r.C > 0 && r.C <= 10):
		return &InputError{Field: "growth constant C [1/K]", Value: r.C, Want: "above 0, up to 10"}
	case !(r.Tmin >= -100 && r.Tmin <= 1000):
		return &InputError{Field: "lowest temperature Tmin [°C]", Value: r.Tmin, Want: "-100 to 1000"}
	case !(r.Tmax > r.Tmin && r.Tmax <= 1000):
		return &InputError{Field: "highest temperature Tmax [°C]", Value: r.Tmax, Want: "above Tmin, up to 1000"}
	}
	return nil
}
