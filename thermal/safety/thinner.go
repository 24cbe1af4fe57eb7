package safety

import "math"

// A parabola is replaced by lines that leave it by no more than chord [K]; of their
// ends those are left out that lie within half of a swath from the line between two
// that are kept. The extremes among them are kept again, which moves the line by the
// other half at most. Together that is the 0.01 K that is stated.
const (
	chord = 0.0025
	swath = 0.0075
)

// thinner keeps as few points of a series as its accuracy allows, in one pass: a point
// is kept when the next would bend the line from the one kept before it by too much.
type thinner struct {
	History
	kept, last  reading
	low, high   reading // since the last point kept
	least, most float64 // [K/s] slopes from the last point kept that pass all since
}

type reading struct {
	t, temp float64 // [s], [°C]
}

// step adds a step of the solver: the parabola through its start a, its middle m and
// its end b. What is not there yet, NaN, is passed over.
func (k *thinner) step(start, length, a, m, b float64) {
	if a != a || m != m || b != b {
		return
	}
	bend := a - 2*m + b
	at := func(x float64) reading { // from -1 at the start to 1 at the end
		return reading{start + length*(1+x)/2, m + x*(b-a)/2 + x*x*bend/2}
	}
	pieces := math.Ceil(math.Sqrt(math.Abs(bend) / (8 * chord))) // of each half
	turn := (a - b) / 2 / bend
	k.see(reading{start, a})
	for half, ends := range [2][2]float64{{a, m}, {m, b}} {
		from := float64(half) - 1
		lo, hi := min(ends[0], ends[1]), max(ends[0], ends[1])
		held := 2*turn - math.Round(turn-from) - from // where a half that turns is at its nearer end's level
		for j := 1.0; j <= pieces; j++ {
			x := from + j/pieces
			if held > x-1/pieces && held < x && turn > from && turn < from+1 {
				r := at(held)
				k.see(reading{r.t, min(max(r.temp, lo), hi)})
			}
			if j < pieces {
				r := at(x)
				k.see(reading{r.t, min(max(r.temp, lo), hi)})
			}
		}
		k.see(reading{start + length*float64(half+1)/2, ends[1]})
	}
}

// see adds a point that is no earlier than the last one.
func (k *thinner) see(r reading) {
	if len(k.Time) == 0 {
		k.keep(r)
		return
	}
	if r.t <= k.last.t {
		if r.temp != k.last.temp { // a jump
			k.close()
			k.keep(reading{k.last.t, r.temp})
		}
		return
	}
	if slope := k.slope(r); slope < k.least || slope > k.most {
		k.close()
	}
	slope, half := k.slope(r), swath/2/(r.t-k.kept.t)
	k.least, k.most = max(k.least, slope-half), min(k.most, slope+half)
	k.last = r
	if r.temp < k.low.temp {
		k.low = r
	}
	if r.temp > k.high.temp {
		k.high = r
	}
}

// slope is that from the last point kept.
func (k *thinner) slope(r reading) float64 { return (r.temp - k.kept.temp) / (r.t - k.kept.t) }

func (k *thinner) keep(r reading) {
	k.Time = append(k.Time, r.t)
	k.Temperature = append(k.Temperature, r.temp)
	k.kept, k.last, k.low, k.high = r, r, r, r
	k.least, k.most = math.Inf(-1), math.Inf(1)
}

// close keeps the last point seen and, before it, those since the last one kept that
// are colder or warmer than both.
func (k *thinner) close() {
	from, to := k.kept, k.last
	if to == from {
		return
	}
	first, second := k.low, k.high
	if first.t > second.t {
		first, second = second, first
	}
	for _, r := range [2]reading{first, second} {
		if r.temp < min(from.temp, to.temp) || r.temp > max(from.temp, to.temp) {
			k.keep(r)
		}
	}
	k.keep(to)
}

// end gives the history up to the last point seen.
func (k *thinner) end() History {
	if len(k.Time) > 0 {
		k.close()
	}
	return k.History
}
