package verdict

import (
	"fmt"
	"math"

	"example.com/thawfront/thermal"
)

// Done wishes that most of a layer has been brought into a band: that the hottest
// each place has ever been, earlier runs included, lies in it.
type Done struct {
	Layer    string
	From, To float64 // [°C] -200 to 1000, From below To
	Share    float64 // [-] of the layer's volume at least; above 0, to 1
}

// String puts the wish into words.
func (w Done) String() string {
	return fmt.Sprintf("at least %s of %s brought to %.4g to %.4g °C", percent(w.Share), w.Layer, w.From, w.To)
}

func (Done) kind() string { return "done" }

func (w Done) fault(s *subject) *InputError {
	if f := band(w.From, w.To); f != nil {
		return f
	}
	if f := outside(bound{"share", w.Share, 1e-6, 1}); f != nil {
		return f
	}
	return s.known(w.Layer)
}

// shares of a layer that stayed below the band and that went over it.
func (w Done) shares(s *subject) (under, over float64) {
	reached, _, _ := s.last.PeakAbove(w.Layer, w.From) // the layer is known and the limits are in range
	over, _, _ = s.last.PeakAbove(w.Layer, w.To)
	return 1 - reached, over
}

func (w Done) judge(s *subject) Finding {
	under, over := w.shares(s)
	share := 1 - under - over
	f := measured(share, share-w.Share, "-", fmt.Sprintf("%s of %s is in the band, %s stayed colder, %s got hotter",
		percent(share), w.Layer, percent(math.Max(0, under)), percent(over)))
	f.Layer = w.Layer
	return f
}

func (w Done) mend(s *subject, _ *Finding) *ranked {
	under, over := w.shares(s)
	if under >= over {
		least := lowest(s.last.Peaks(), s.last, w.Layer)
		c := s.warmer(thermal.ColdestOf(w.Layer), least, w.From)
		if c != nil {
			c.Else = append(c.Else, fmt.Sprintf("%s of it got hotter than %s all the same: an evener way is colder and longer", percent(over), deg(w.To)))
			if over == 0 {
				c.Else = nil
			}
		}
		return c
	}
	allowed := math.Max(0, 1-w.Share-under)
	return s.gentler(w.Layer, w.To, func(t float64) bool {
		share, _, _ := s.last.PeakAbove(w.Layer, t)
		return share <= allowed
	})
}

// lowest is the least of a field by cells in a layer.
func lowest(field []float64, run *thermal.Run, layer string) float64 {
	v, err := run.Grid().Read(thermal.ColdestOf(layer), field)
	if err != nil {
		return math.NaN()
	}
	return v
}

// Rim wishes that the overcooked rim of a layer is narrow.
type Rim struct {
	Layer string
	Over  float64 // [°C] -200 to 1000; what has been hotter is overcooked
	Most  float64 // [m] 0 to 5, from either face of the layer inwards, in the thickness as given
}

// String puts the wish into words.
func (w Rim) String() string {
	return fmt.Sprintf("no more than %s of %s ever over %.4g °C", millis(w.Most), w.Layer, w.Over)
}

func (Rim) kind() string { return "rim" }

func (w Rim) fault(s *subject) *InputError {
	if f := outside(bound{"over [°C]", w.Over, -200, 1000}, bound{"most [m]", w.Most, 0, 5}); f != nil {
		return f
	}
	return s.known(w.Layer)
}

func (w Rim) judge(s *subject) Finding {
	share, _, _ := s.last.PeakAbove(w.Layer, w.Over)
	rim := s.rim(w.Layer, w.Over)
	f := measured(rim, w.Most-rim, "m", fmt.Sprintf("%s of %s has been over %.4g °C, %s of its volume", millis(rim), w.Layer, w.Over, percent(share)))
	f.Layer = w.Layer
	return f
}

func (w Rim) mend(s *subject, _ *Finding) *ranked {
	return s.gentler(w.Layer, w.Over, func(t float64) bool {
		return s.rim(w.Layer, t) <= w.Most
	})
}

// rim is the width [m] of what has been hotter than t [°C], on the face of the layer
// where it is wider: a slab may be overcooked from below. In two dimensions it is that on
// the middle line.
func (s *subject) rim(layer string, t float64) float64 {
	_, outer, _ := s.last.PeakAbove(layer, t) // the layer is known
	face := 0.0                               // [m] the inner one
	for i := range s.layer(layer) {
		face += s.last.Dish.Layers[i].Thickness
	}
	peaks := s.last.Peaks()
	inner, x0, p0 := s.last.Dish.Layers[s.layer(layer)].Thickness, face, math.NaN()
	cells := s.end.Cells()
	line, at := s.last.Grid().Line()
	for k, i := range line {
		if cells[i].Layer != layer {
			continue
		}
		if p0 != p0 {
			p0 = peaks[i] // level from the face to the first node
		}
		if p := peaks[i]; p <= t {
			inner = 0
			if p0 > t {
				inner = x0 + (at[k]-x0)*(p0-t)/(p0-p) - face
			}
			break
		}
		x0, p0 = at[k], peaks[i]
	}
	return math.Max(inner, outer)
}

// excess is by how much [K] peaks would have to be lower: the least temperature
// over the limit for which it would be kept.
func excess(limit float64, kept func(float64) bool) float64 {
	lo, hi := limit, limit+1
	for hi < limit+1000 && !kept(hi) {
		lo, hi = hi, limit+2*(hi-limit)
	}
	for range 40 {
		if m := (lo + hi) / 2; kept(m) {
			hi = m
		} else {
			lo = m
		}
	}
	return hi - limit
}

// heated is where and when a layer was hottest.
type heated struct {
	run, stage int
	place      thermal.Place
	trace      *trace
	peak, at   float64 // [°C], [s] since the start of the run
}

// hottest finds it, on the hotter of the layer's faces.
func (s *subject) hottest(layer string) (h heated, ok bool) {
	h.peak = math.Inf(-1)
	for i := s.since(layer); i < len(s.runs); i++ {
		for _, p := range []thermal.Place{thermal.Within(layer, 1), thermal.Within(layer, 0)} {
			tr, err := s.follow(s.runs[i], p)
			if err != nil {
				return h, false
			}
			if peak, at := tr.hottest(); peak > h.peak {
				h = heated{i, stageOf(s.runs[i], span(at)), p, tr, peak, at}
			}
		}
	}
	return h, true
}

// browning is where browning begins [°C] (Purlis & Salvadori 2009, from memory): a
// stage hotter than that is there for the crust.
const browning = 120

// gentler is what keeps a layer below a limit [°C], where kept says whether lower
// peaks would.
func (s *subject) gentler(layer string, limit float64, kept func(float64) bool) *ranked {
	h, ok := s.hottest(layer)
	if !ok {
		return nil
	}
	over := excess(limit, kept)
	run := s.runs[h.run]
	start, end := times(run, h.stage)
	in := ""
	if len(s.runs) > 1 && run.Stages[h.stage].Name != "" {
		in = fmt.Sprintf(" of run %d", h.run+1)
	}
	c := &ranked{rank: forRim}
	// ways around it, whichever stage is at fault
	if fierce := medium(run, h.stage, run.Stages[h.stage].End) > browning || h.stage > 0; fierce && run.At(0).Ice() == 0 {
		c.Else = append(c.Else, "start frozen: melting ice takes up the heat that now goes into the rim")
	}
	c.Else = append(c.Else, fmt.Sprintf("put a thicker or airier layer around %s", layer))
	if h.at < end-0.05*(end-start) && h.at-start < 0.5*(end-start) && h.stage > 0 { // heat of the stage before was coming in still
		return s.shorten(c, h, h.stage-1, over, in, true)
	}
	m := medium(run, h.stage, span(h.at))
	if m > browning {
		return s.shorten(c, h, h.stage, over, in, false)
	}
	coldest, err := run.At(span(h.at)).Temperature(thermal.ColdestOf(layer))
	if err != nil {
		return nil
	}
	name := s.stageName(h.run, h.stage)
	down := over * (m - coldest) / math.Max(limit+over-coldest, over) // the excess is at the depth that may just be kept
	cooler := m - down
	c.try(h.run, h.stage, &cooler, nil)
	c.Do = fmt.Sprintf("make %s%s cooler, about %s instead of %s, and as much longer as it takes", name, in, deg(cooler), deg(m))
	c.Why = fmt.Sprintf("the outside of %s was hottest, %s, when it ended; %s less in the rim take %s off the medium, as it lies between %s inside and %s outside",
		layer, deg1(h.peak), kelvin(over), kelvin(down), deg(coldest), deg(m))
	if cooler <= limit {
		c.Why += fmt.Sprintf("; the middle must be content with less than %s then", deg(cooler))
	}
	return c
}

// shorten makes a fierce stage shorter by what is in excess.
func (s *subject) shorten(c *ranked, h heated, stage int, over float64, in string, later bool) *ranked {
	run := s.runs[h.run]
	start, end := times(run, stage)
	name, m := s.stageName(h.run, stage), medium(run, stage, run.Stages[stage].End)
	cut := (end - start) / 2
	if rise := h.trace.slope(start, end); rise > 0 {
		cut = math.Min(cut, over/rise)
	}
	longer := -cut
	c.try(h.run, stage, nil, &longer)
	c.Do = fmt.Sprintf("make %s%s %s shorter", name, in, about(cut))
	c.Why = fmt.Sprintf("the outside of it came to %s, %s too much, and rose by %s at the end of %s, at %s",
		deg1(h.peak), kelvin(over), aMinute(h.trace.slope(start, end)), name, deg(m))
	if later {
		c.Why += "; it was hottest some time after, from heat that was on its way"
	} else if stage == len(run.Stages)-1 {
		c.Do += ", and finish in a gentle stage"
	}
	return c
}
