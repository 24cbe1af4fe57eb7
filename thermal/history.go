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
	stage           int
	start, since, h float64 // [s] start in the run and in the stage, length
	jump            float64 // [s] next time in the stage at which the media may jump
	f, end, fEnd    []float32
	ratio           []float32 // thickness of the cells over the original, nil if none rises

	// Cells before from have lost no water in the run: they began the step as the
	// one before left them, with the water of the run's start. u and w are of the
	// rest.
	from        int
	before, wet []float32
	u, w        []float32
}

// began is the energy and the water a cell began the step with.
func (s *pastStep) began(i int) (u, w float32) {
	if i < s.from {
		return s.before[i], s.wet[i]
	}
	return s.u[i-s.from], s.w[i-s.from]
}

const arraysInBlock = 128

func (h *history) keep(v []float64) []float32 {
	n := len(v)
	if len(h.block) < n {
		h.block = make([]float32, h.cells*arraysInBlock)
		h.bytes += 4 * h.cells * arraysInBlock
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
	if p.sys.wet != nil {
		h.addWet(stage, clock, p)
		return
	}
	s := pastStep{ratio: h.ratios(p), stage: stage, start: clock, since: p.t, h: p.h, jump: p.jump}
	if n := len(h.steps); n > 0 {
		last := &h.steps[n-1]
		s.before, s.wet, s.from = last.end, h.steps[0].w, p.driest
		if s.f = last.fEnd; p.restarted {
			s.f = h.keep(p.f)
		}
		if s.w = last.w; p.settled {
			s.w = h.keepWater(p, anchors, s.from)
		}
	} else {
		s.f, s.w = h.keep(p.f), h.keepWater(p, anchors, 0)
	}
	s.u = h.keep(p.u[s.from:])
	s.end, s.fEnd = h.keep(p.end), h.keep(p.fEnd)
	h.steps = append(h.steps, s)
	p.restarted, p.settled = false, false
}

// ratios keeps the thickness of the cells, if it has changed.
func (h *history) ratios(p *stepper) []float32 {
	r := p.sys.risen
	if r == nil {
		return nil
	}
	if n := len(h.steps); n > 0 && !p.risen {
		return h.steps[n-1].ratio
	}
	p.risen = false
	return h.keep(r.ratio)
}

// addWet keeps a step with moving water, whose content is among the unknowns.
func (h *history) addWet(stage int, clock float64, p *stepper) {
	s := pastStep{ratio: h.ratios(p), stage: stage, start: clock, since: p.t, h: p.h, jump: p.jump, from: len(p.u)}
	if n := len(h.steps); n > 0 && !p.settled {
		last := &h.steps[n-1]
		s.before, s.wet = last.end, last.end
		if s.f = last.fEnd; p.restarted {
			s.f = h.keep(p.f)
		}
	} else {
		s.from, s.u = 0, h.keep(p.u)
		s.w = s.u
		s.f = h.keep(p.f)
	}
	s.end, s.fEnd = h.keep(p.end), h.keep(p.fEnd)
	h.steps = append(h.steps, s)
	p.restarted, p.settled = false, false
}

// keepWater keeps the water of the cells from the given one on.
func (h *history) keepWater(p *stepper, anchors []phasechange.Anchor, from int) []float32 {
	for i := from; i < len(anchors); i++ {
		p.work[i] = anchors[i].Water()
	}
	return h.keep(p.work[from:])
}

// find gives the step that holds time t [s] of the run; a time at which one step
// ends and the next begins belongs to the one that ends.
func (h *history) find(t float64) int {
	t -= 1e-9 + 1e-12*t // a Duration is whole nanoseconds, and the clock a long sum
	i := sort.Search(len(h.steps), func(i int) bool { return h.steps[i].start >= t })
	return max(i-1, 0)
}

func single(v []float64) []float32 {
	var out []float32
	for _, x := range v {
		out = append(out, float32(x))
	}
	return out
}
