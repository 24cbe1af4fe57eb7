package safety

import (
	"math"
	"slices"
)

// Growth says how fast a germ multiplies in a food that suits it. The rate is that
// of the natural logarithm of the count; between Lowest and Highest it is either
// the square-root model (Ratkowsky et al. 1983),
//
//	rate = (B (T - Lowest) (1 - exp(C (T - Highest))))²
//
// or, if Fastest is given, the cardinal temperature model (Rosso et al. 1993):
// zero at Lowest and Highest, Fastest at Best. Elsewhere it is zero. Salt, acid,
// dryness and the cold of the start slow growth down; none of them is in it.
type Growth struct {
	Name, Germ, Food string

	Lowest  float64 // [°C] -20 to 100
	Highest float64 // [°C] over Lowest, to 120
	B       float64 // [1/K] times the root of a rate in 1/h; 0 to 1
	C       float64 // [1/K] 0 to 10
	Best    float64 // [°C] nearer to Highest than to Lowest
	Fastest float64 // [1/h] 0 to 100
	Source  string
}

// Validate reports the first fault as a [*SetError].
func (g *Growth) Validate() error {
	err := firstOutside(g.Name, []bound{
		{"lowest temperature [°C]", g.Lowest, -20, 100},
		{"highest temperature [°C]", g.Highest, math.Nextafter(g.Lowest, 120), 120},
		{"B [1/K]", g.B, 0, 1},
		{"C [1/K]", g.C, 0, 10},
		{"fastest rate [1/h]", g.Fastest, 0, 100},
	})
	switch {
	case err != nil:
		return err
	case (g.B > 0 && g.C > 0) == (g.Fastest > 0):
		return &SetError{g.Name, "B, C and fastest rate", []float64{g.B, g.C, g.Fastest}, "either B and C or the fastest rate over 0"}
	case g.Fastest > 0 && !(g.Best > (g.Lowest+g.Highest)/2 && g.Best < g.Highest):
		return &SetError{g.Name, "best temperature [°C]", g.Best, "under the highest, nearer to it than to the lowest"}
	}
	return nil
}

// Rate is the growth rate of the natural logarithm of the count [1/h] at
// temperature t [°C]. The doubling time is ln 2 over it.
func (g *Growth) Rate(t float64) float64 {
	if !(t > g.Lowest && t < g.Highest) {
		return 0
	}
	up, down := t-g.Lowest, t-g.Highest
	if g.Fastest == 0 {
		root := g.B * up * -math.Expm1(g.C*down)
		return root * root
	}
	width := g.Best - g.Lowest
	under := width * (width*(t-g.Best) - (g.Best-g.Highest)*(g.Best+g.Lowest-2*t))
	return math.Max(0, g.Fastest*down*up*up/under)
}

// LogGrowth is the most the germ may have grown along the history [log10]: the
// integral of the rate from the first moment on, without any lag. Heat that would
// kill takes nothing off. It never falls as time goes on.
func (g *Growth) LogGrowth(h History) (float64, error) {
	if err := g.Validate(); err != nil {
		return 0, err
	}
	if err := h.Validate(); err != nil {
		return 0, err
	}
	sum := 0.0
	for i := 1; i < len(h.Time); i++ {
		sum += g.grown(h.piece(i))
	}
	return sum / (math.Ln10 * 3600), nil
}

// Strongest is the greatest growth [log10] over the histories of a dish's places,
// and which of them it is.
func (g *Growth) Strongest(histories []History) (growth float64, at int, err error) {
	return extreme(histories, g.LogGrowth, func(a, b float64) bool { return a > b })
}

// Nodes and weights of Gauss and Legendre's rule on -1 to 1.
var gauss = [5][2]float64{
	{0, 0.5688888888888889},
	{-0.5384693101056831, 0.47862867049936647}, {0.5384693101056831, 0.47862867049936647},
	{-0.906179845938664, 0.23692688505618908}, {0.906179845938664, 0.23692688505618908},
}

// panel is the width [K] over which five nodes are good to 1e-8 of the growth.
const panel = 2.0

// grown is the integral of the rate over a straight piece, in seconds times 1/h.
func (g *Growth) grown(p piece) float64 {
	dt := p.t1 - p.t0
	cold, hot := math.Min(p.a, p.b), math.Max(p.a, p.b)
	if dt == 0 || hot <= g.Lowest || cold >= g.Highest {
		return 0
	}
	if cold == hot {
		return dt * g.Rate(hot)
	}
	from, to := math.Max(cold, g.Lowest), math.Min(hot, g.Highest)
	dt *= (to - from) / (hot - cold)
	panels := math.Max(1, math.Ceil((to-from)/panel)) // half of the least number is none
	half := (to - from) / panels / 2
	sum := 0.0
	for i := range int(panels) {
		middle := from + half*float64(2*i+1)
		for _, node := range gauss {
			sum += node[1] * g.Rate(middle+half*node[0])
		}
	}
	return sum * dt / (2 * panels)
}

// Growths lists the published sets, as copies.
func Growths() []Growth { return slices.Clone(growths) }

// FindGrowth gives the set of a name, or a [*SetError] that lists the names.
func FindGrowth(name string) (Growth, error) {
	return find(name, growths, func(g Growth) string { return g.Name })
}

// Germ is a kind of germ and the temperatures between which it grows where all
// else suits it.
type Germ struct {
	Name    string
	Lowest  float64 // [°C] of growth
	Highest float64 // [°C] of growth
	Source  string
}

// Germs lists the germs with their limits of growth.
func Germs() []Germ { return slices.Clone(germs) }
