package chart

import (
	"math"
	"slices"
)

// iceShare is the share [-] of a cell's water as ice from which on it counts as
// frozen.
const iceShare = 0.01

// iceTracks finds the ice edge. Between the moments at which one cell and the next
// freeze or thaw, the ice edge lies within a cell, and how the ice lies in it is not
// known; a line through a guess of that at every moment has stairs. The moments
// themselves are known well, and so is where the edge is then. So the line goes
// through them only, beside its two ends.
func (c *scene) iceTracks() (out [][][2]float64) {
	found := c.tracks(c.iceEdges)
	for _, track := range found {
		first, last := track[0], track[len(track)-1]
		t := iceTrack{scene: c}
		if !t.turn(first.moment-1, first.moment, first) {
			t.add(c.moments[first.moment].time, c.inCell(first), first)
		}
		for k := 1; k < len(track); k++ {
			a, b := track[k-1], track[k]
			if c.moments[a.moment].link != c.moments[b.moment].link {
				continue // other cells
			}
			step := 1
			if a.cell > b.cell {
				step = -1
			}
			// Where ice leaves, the cells from a's on; where it comes, those up to b's.
			from, to := a.cell, b.cell
			if step == a.side {
				from, to = from+step, to+step
			}
			for i := from; i != to; i += step {
				t.pass(a.moment, i, a.side)
			}
		}
		if !t.turn(last.moment, last.moment+1, last) {
			t.add(c.moments[last.moment].time, c.inCell(last), last)
		}
		out = append(out, append(t.lines, t.line)...)
	}
	return out
}

// iceEdges finds between which cells the ice ends, those of layers without water to
// speak of left out.
func (c *scene) iceEdges(k int) (out []point) {
	m := &c.moments[k]
	l := &c.links[m.link]
	last := -1
	for i, share := range m.ice {
		if !l.icy[l.layer[i]] {
			continue
		}
		if j := last; j >= 0 {
			switch a, b := m.ice[j] >= iceShare, share >= iceShare; {
			case a && !b:
				out = append(out, point{k, (l.nodes[j] + l.nodes[i]) / 2, j, 1})
			case b && !a:
				out = append(out, point{k, (l.nodes[j] + l.nodes[i]) / 2, i, -1})
			}
		}
		last = i
	}
	return out
}

// closely reads more moments where cells freeze or thaw between two of them, as
// many as cells, so that iceTracks can tell when each did.
func (c *scene) closely() error {
	const most = 8
	was := c.moments
	c.moments = nil
	for k, b := range was {
		if k > 0 && was[k-1].link == b.link {
			a, passed := &was[k-1], 0
			for i := range b.ice {
				if a.ice[i] >= iceShare != (b.ice[i] >= iceShare) {
					passed++
				}
			}
			passed = min(passed, most)
			for i := range passed {
				t := a.time + (b.time-a.time)*float64(i+1)/float64(passed+1)
				if err := c.read(b.link, t-c.links[b.link].begin); err != nil {
					return err
				}
			}
		}
		c.moments = append(c.moments, b)
	}
	return nil
}

// iceTrack is an ice edge in the making, in pieces between layers that are not on.
type iceTrack struct {
	*scene
	lines [][][2]float64
	line  [][2]float64
	layer int // of the last point
}

func (t *iceTrack) add(at, x float64, p point) {
	l := &t.links[t.moments[p.moment].link]
	layer := l.layer[p.cell]
	if n := len(t.line); n > 0 {
		at = max(at, t.line[n-1][0])
		if slices.Contains(l.on[min(layer, t.layer):max(layer, t.layer)+1], false) {
			t.lines, t.line = append(t.lines, t.line), nil
		}
	}
	t.line, t.layer = append(t.line, [2]float64{at, x}), layer
}

// turn adds what made an edge appear, or vanish, between moments a and b, if that
// was a cell that froze or thawed.
func (t *iceTrack) turn(a, b int, p point) bool {
	if a < 0 || b == len(t.moments) || t.moments[a].link != t.moments[b].link {
		return false
	}
	l := &t.links[t.moments[a].link]
	for _, i := range []int{p.cell, p.cell + p.side} {
		if l.icy[l.layer[i]] && t.moments[a].ice[i] >= iceShare != (t.moments[b].ice[i] >= iceShare) {
			t.pass(a, i, p.side)
			return true
		}
	}
	return false
}

// pass adds the time and place at which cell i froze or thawed after moment k: when
// the heat that it took up since passed what thaws it.
func (t *iceTrack) pass(k, i, side int) {
	a, b := &t.moments[k], &t.moments[k+1]
	l := &t.links[a.link]
	if !l.icy[l.layer[i]] {
		return
	}
	_, thawed := l.below(i, 0)
	later := min(max((a.cold[i]-thawed)/(a.cold[i]-b.cold[i]), 0), 1)
	iced := a
	if b.ice[i] > a.ice[i] {
		iced = b
	}
	j := i - side
	var x float64
	switch {
	case j < 0:
		x = l.inner[i]
	case j == len(a.ice):
		x = l.outer[i]
	case l.icy[l.layer[j]] && max(a.ice[j], b.ice[j]) < iceShare: // the last ice, or the first, between two edges
		x = l.nodes[i]
	default:
		x = l.iceEdge(i, side, iceShare, l.fullShare(iced, i), a.temp[j]*(1-later)+b.temp[j]*later)
	}
	t.add(a.time+later*(b.time-a.time), x, point{moment: k, cell: i})
}

// inCell is where an edge is at a moment at which it lies within a cell.
func (c *scene) inCell(p point) float64 {
	m := &c.moments[p.moment]
	l := &c.links[m.link]
	behind := m.temp[p.cell]
	if j := p.cell - p.side; j >= 0 && j < len(m.temp) {
		behind = m.temp[j]
	}
	return l.iceEdge(p.cell, p.side, m.ice[p.cell], l.fullShare(m, p.cell), behind)
}

// below is how far [K] a temperature [°C] lies below the freezing point of the
// food of cell i, and that point below that of water.
func (l *link) below(i int, temperature float64) (below, freezing float64) {
	freezing = max(-l.freezing[l.layer[i]], 1e-6)
	return -temperature - freezing, freezing
}

// fullShare is the share S [-] of the water of cell i that is ice in great cold, from
// S (1 - Tf/T) being so now, as in phasechange.BoundWater.
func (l *link) fullShare(m *moment, i int) float64 {
	below, freezing := l.below(i, m.temp[i])
	return m.ice[i] * (1 + freezing/max(below, 1e-6))
}

// iceEdge is the place [mm] where the ice of cell i ends towards side, from its
// share of ice and the temperature [°C] of the cell behind.
//
// From the node behind to the edge the temperature goes in a straight line to the
// freezing point, and by it the share of ice, full being that in great cold. The
// edge is where all the ice of the cell is behind it. Of pure water that is the
// share of its width that is frozen; of food it is close to the isotherm.
func (l *link) iceEdge(i, side int, share, full, behind float64) float64 {
	from, to := l.inner[i], l.outer[i]
	if side < 0 {
		from, to = to, from
	}
	width, gap := math.Abs(to-from), math.Abs(l.nodes[i]-from)
	if j := i - side; j >= 0 && j < len(l.layer) {
		gap = math.Abs(from - l.nodes[j])
	}
	below, freezing := l.below(i, behind)
	slopeAt := func(z float64) float64 { return max(below, 1e-6) / (z + gap) } // [K/mm]
	lo, hi := 0.0, width
	for range 30 {
		z := (lo + hi) / 2
		g := slopeAt(z) / freezing
		if full*(z-math.Log1p(g*z)/g) < share*width {
			lo = z
		} else {
			hi = z
		}
	}
	return from + float64(side)*(lo+hi)/2
}
