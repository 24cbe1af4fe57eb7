package kinetics

import (
	"math"

	"example.com/thawfront/thermal"
)

// block is a stretch of time in which the temperature of one cell hardly moves.
// It keeps the moments of the temperature about a fixed one,
//
//	mj = ∫(t-ref)ʲ dt,
//
// from which the time integral of any rate constant follows at its end. So it
// takes one exponential to cover a dozen of the solver's steps.
type block struct {
	ref    float64 // [°C]
	limit  float64 // [K] how far from ref the series holds
	lo, hi float64 // [°C] bounds that it is to stay within
	m      [7]float64
}

const (
	// lineSpan is how far ln k may be from that at ref: the series leaves out less
	// than 2e-6.
	lineSpan = 0.5
	// curveSpan [K] is how far temperature may be from ref for a rate that is no
	// line: at 0.3/K, steep for such a rate, two nodes are then within 3e-5.
	curveSpan = 1
)

// blocks follows in all cells the integrals of rates.
type blocks struct {
	integrals []*integral
	cells     []block
	bigelow   float64   // [1/K] the steepest line in °C
	arrhenius float64   // [K] the steepest line in the inverse temperature
	curve     float64   // [K] curveSpan, or +Inf if all rates are lines
	edges     []float64 // [°C] where a rate sets in with a jump: no block has one within
}

func newBlocks(cells int, integrals []*integral) *blocks {
	b := &blocks{integrals: integrals, cells: make([]block, cells), curve: math.Inf(1)}
	for i := range b.cells {
		b.cells[i].ref = math.NaN() // not begun
	}
	for _, t := range integrals {
		switch {
		case !t.line.known:
			b.curve = curveSpan
		case t.line.inverse:
			b.arrhenius = max(b.arrhenius, t.line.slope)
		default:
			b.bigelow = max(b.bigelow, t.line.slope)
		}
		if onset, is := t.rate.(Onset); is {
			b.edges = append(b.edges, onset.Lowest)
		}
	}
	return b
}

// step adds a step of the solver to all cells.
func (b *blocks) step(v *thermal.Interval) error {
	n := len(b.cells)
	start, middle, end := v.Temperature[0][:n], v.Temperature[1][:n], v.Temperature[2][:n]
	for i := range b.cells {
		p := through(start[i], middle[i], end[i])
		if c := &b.cells[i]; c.holds(p) {
			c.add(p, v.Length)
		} else if err := b.feed(i, p, v.Length, mostHalvings); err != nil {
			return err
		}
	}
	return nil
}

// mostHalvings is how often a step is halved at most: one that is still too long
// after that only has a rate set in within.
const mostHalvings = 20

// feed adds a step of length h [s] to a cell: to its block, to a new one if that is
// full, and otherwise by halves.
func (b *blocks) feed(cell int, p parabola, h float64, halvings int) error {
	c := &b.cells[cell]
	if !c.holds(p) {
		if err := b.close(cell); err != nil {
			return err
		}
		b.open(c, p.at(-1), p.at(1))
		if !c.holds(p) && halvings > 0 {
			first, second := p.halves()
			if err := b.feed(cell, first, h/2, halvings-1); err != nil {
				return err
			}
			return b.feed(cell, second, h/2, halvings-1)
		}
	}
	c.add(p, h)
	return nil
}

// open begins a block with a step from t to next [°C]. Its ref lies ahead if the
// temperature moves, so that the block is left on the far side, but not if it
// stands still: then the rate at ref itself counts, without a series.
func (b *blocks) open(c *block, t, next float64) {
	T := max(t+kelvin, 30)
	// beyond a thirtieth of T an Arrhenius line bends too much for its series
	limit := min(lineSpan/max(b.bigelow, b.arrhenius/(T*T)), b.curve, T/30)
	ref := t + max(-0.9*limit, min(0.9*limit, 10*(next-t)))
	lo, hi := ref-limit, ref+limit
	for _, edge := range b.edges {
		if t >= edge {
			lo = max(lo, edge)
		} else {
			hi = min(hi, edge)
		}
	}
	*c = block{ref: max(lo, min(ref, hi)), limit: limit, lo: lo, hi: hi}
}

// holds says whether a step stays within the block, and is straight and short
// enough for Gauss's rule.
func (c *block) holds(p parabola) bool {
	tilt, bend := math.Abs(p.tilt), math.Abs(p.bend)
	return c.ref == c.ref && p.middle-tilt-bend >= c.lo && p.middle+tilt+bend <= c.hi &&
		tilt <= 0.6*c.limit && bend <= 0.1*c.limit
}

// add adds a step of length h [s] to the moments, by Gauss's rule.
func (c *block) add(p parabola, h float64) {
	const off, outer, inner = 0.7745966692414834, 5. / 18, 8. / 18 // sqrt(3/5)
	y := p.middle - c.ref
	even, odd := y+off*off*p.bend, off*p.tilt
	x, z := even-odd, even+odd
	px, py, pz := h*outer*x, h*inner*y, h*outer*z
	m := &c.m
	m[0] += h
	m[1] += px + py + pz
	for j := 2; j < len(m); j++ {
		px, py, pz = px*x, py*y, pz*z
		m[j] += px + py + pz
	}
}

// close adds what the block of a cell holds to the integrals.
func (b *blocks) close(cell int) error {
	c := &b.cells[cell]
	if c.ref != c.ref || c.m[0] == 0 {
		return nil
	}
	for _, t := range b.integrals {
		if c.hi <= t.lowest || c.lo >= t.highest {
			continue
		}
		dose := 0.0
		if t.line.known {
			dose = c.alongLine(t.line)
		} else {
			nodes, weights := c.nodes()
			for j, at := range nodes {
				k, err := t.at(cell, at)
				if err != nil {
					return err
				}
				dose += weights[j] * k
			}
		}
		t.extent[cell] += dose
	}
	c.ref = math.NaN()
	return nil
}

// alongLine is the time integral of a rate whose logarithm is a straight line.
// With d = t - ref and g the slope of ln k at ref,
//
//	k/k(ref) = exp(g d)  or, in the inverse temperature,  exp(g d/(1 + d/T)) = Σ pj dʲ
//
// the second being the generating function of Laguerre polynomials, whose
// recurrence serves both.
func (c *block) alongLine(l line) float64 {
	x, g, bend := l.x(c.ref), l.slope, 0.0
	if l.inverse {
		bend = -x
		g *= x * x
	}
	const third, fifth, sixth = 1. / 3, 1. / 5, 1. / 6 // a product is far quicker than a quotient
	p1, b2 := g, bend*bend
	p2 := (g - 2*bend) * p1 * 0.5
	p3 := ((g-4*bend)*p2 - b2*p1) * third
	p4 := ((g-6*bend)*p3 - 2*b2*p2) * 0.25
	p5 := ((g-8*bend)*p4 - 3*b2*p3) * fifth
	p6 := ((g-10*bend)*p5 - 4*b2*p4) * sixth
	m := &c.m
	return l.k(x) * (m[0] + p1*m[1] + p2*m[2] + p3*m[3] + p4*m[4] + p5*m[5] + p6*m[6])
}

// nodes are the temperatures [°C] and weights [s] of the rule of two points that
// has the moments of the block up to the third.
func (c *block) nodes() (at, weights [2]float64) {
	m := &c.m
	mean, square, cube := m[1]/m[0], m[2]/m[0], m[3]/m[0]
	variance := square - mean*mean
	if !(variance > 1e-8) { // else rounding has the say about the skewness
		return [2]float64{c.ref + mean, c.ref + mean}, [2]float64{m[0], 0}
	}
	deviation := math.Sqrt(variance)
	skew := (cube - mean*(3*square-2*mean*mean)) / (2 * variance * deviation)
	root := math.Sqrt(1 + skew*skew)
	at = [2]float64{c.ref + mean + deviation*(skew-root), c.ref + mean + deviation*(skew+root)}
	return at, [2]float64{m[0] * (1 + skew/root) / 2, m[0] * (1 - skew/root) / 2}
}

// flush closes the blocks of all cells.
func (b *blocks) flush() error {
	for i := range b.cells {
		if err := b.close(i); err != nil {
			return err
		}
	}
	return nil
}
