package thermal

import (
	"sort"

	"example.com/thawfront/phasechange"
)

// history keeps every step of a run so that the dish can be looked at any time
// afterwards. It keeps single precision, which is 1e-5 K, and shares what a step
// has in common with the one before. Memory comes in blocks of many steps.
type history struct {
	cells int
	steps []pastStep
	block []float32
	bytes int
}

// maxHistory bounds what a run keeps: an error beats a machine out of memory.
const maxHistory = 1 << 30

// pastStep is one step: energies and rates at its two ends, and the water each
// cell began it with.
type pastStep struct {
	stage              int
	start, since, h    float64 // [s] start in the run and in the stage, length
	jump               float64 // [s] next time in the stage at which the media may jump
	u, f, end, fEnd, w []float32
}

const arraysInBlock = 128

func (h *history) keep(v []float64) []float32 {
	n := len(v)
	if len(h.block) < n {
		h.block = make([]float32, n*arraysInBlock)
		h.bytes += 4 * n * arraysInBlock
	}
	out := h.block[:n:n]
	h.block = h.block[n:]
	for i, x := range v {
		out[i] = float32(x)
	}
	return out
}

// add keeps the stepper's step, which starts as the one before it ended unless
// the media have jumped (new rates) or steam was let go (less energy and water).
func (h *history) add(stage int, clock float64, p *stepper, anchors []phasechange.Anchor) {
	s := pastStep{stage: stage, start: clock, since: p.t, h: p.h, jump: p.jump}
	if n := len(h.steps); n > 0 && !p.restarted {
		s.u, s.f = h.steps[n-1].end, h.steps[n-1].fEnd
	} else {
		s.f = h.keep(p.f)
	}
	if n := len(h.steps); n == 0 || p.restarted || p.settled {
		s.u = h.keep(p.u)
		for i := range anchors {
			p.work[i] = anchors[i].Water()
		}
		s.w = h.keep(p.work)
	} else {
		s.w = h.steps[n-1].w
	}
	s.end, s.fEnd = h.keep(p.end), h.keep(p.fEnd)
	h.steps = append(h.steps, s)
	p.restarted, p.settled = false, false
}

// find gives the step that holds time t [s] of the run; a time at which one step
// ends and the next begins belongs to the one that ends.
func (h *history) find(t float64) int {
	t -= 1e-9 + 1e-12*t // a Duration is whole nanoseconds, and the clock a long sum
	i := sort.Search(len(h.steps), func(i int) bool { return h.steps[i].start >= t })
	return max(i-1, 0)
}
