package thermal

import (
	"math"
	"reflect"
	"slices"

	"example.com/thawfront/phasechange"
)

// around is the bodies around the dish in a run.
type around struct {
	bodies []bodyState
	taken  []kahan   // [J] by body
	moved  []kahan   // [J] without sign
	given  []float64 // [J] at the start
	stored []float64 // [J] likewise
	sides  []activeSide
}

// bodyState is a body now and as it is foretold for the step under way.
type bodyState struct {
	body          any
	control       Control // of the last stage it was in
	now, mid, end []float64
	tried         []float64 // the end with what the dish took
	between       []float64 // room for meets
	course        bodyCourse
	exchange      []Exchange
	surfaces      []int       // of the mesh, in the order of exchange
	skins         []movedSkin // likewise
	active        bool
	from, over    float64 // [s] the step under way, after the start of the stage
}

// movedSkin is a surface at the start of the step under way and at its end.
type movedSkin struct {
	was, is         float64 // [°C] outermost temperature
	rise, waterRise float64 // [K/s], [kg/s²] in the step before, the latter as if the air had stayed as moist
	air, airThen    float64 // [Pa] vapour around it
	drying          float64 // [kg/(s Pa)] by which more vapour changes evaporation
}

// activeSide is the body that a surface meets; nil if none.
type activeSide struct {
	body *bodyState
	port int
}

// activePart is how a stage meets a body.
type activePart struct {
	control  Control
	surfaces []int
	ports    []int
}

// join puts what a surface meets into the stage's parts.
func (c *compiledStage) join(surface int, control Control, port int) error {
	if err := bodyFaults(c.place, control, port); err != nil {
		return err
	}
	if p := c.part(control.Body()); p != nil {
		if !reflect.DeepEqual(p.control, control) {
			return &InputError{Place: c.place, Field: "media", Value: "two settings of one body", Want: "one setting of a body in a stage"}
		}
		p.surfaces, p.ports = append(p.surfaces, surface), append(p.ports, port)
		return nil
	}
	c.parts = append(c.parts, activePart{control, []int{surface}, []int{port}})
	return nil
}

// part is how the stage meets a body, nil if it does not.
func (c *compiledStage) part(body any) *activePart {
	for i := range c.parts {
		if c.parts[i].control.Body() == body {
			return &c.parts[i]
		}
	}
	return nil
}

// joinAs puts surface i where surface like of the same patch is.
func (c *compiledStage) joinAs(i, like int) {
	for j := range c.parts {
		p := &c.parts[j]
		if k := slices.Index(p.surfaces, like); k >= 0 {
			p.surfaces, p.ports = append(p.surfaces, i), append(p.ports, p.ports[k])
			return
		}
	}
}

// newAround makes the bodies of all stages ready; nil if there are none.
func newAround(stages []*compiledStage, pressure float64) *around {
	var a around
	for _, st := range stages {
		for i := range st.parts {
			control := st.parts[i].control
			if a.find(control.Body()) >= 0 {
				continue
			}
			n := control.Size()
			b := bodyState{body: control.Body(), control: control}
			block := make([]float64, 5*n)
			for _, p := range []*[]float64{&b.now, &b.mid, &b.end, &b.tried, &b.between} {
				*p, block = block[:n:n], block[n:]
			}
			b.course.size = n
			control.Begin(b.now, pressure)
			a.bodies = append(a.bodies, b)
		}
	}
	if len(a.bodies) == 0 {
		return nil
	}
	n := len(a.bodies)
	a.taken, a.moved, a.given, a.stored = make([]kahan, n), make([]kahan, n), make([]float64, n), make([]float64, n)
	for i := range a.bodies {
		a.stored[i], a.given[i] = a.bodies[i].control.Account(a.bodies[i].now)
	}
	return &a
}

func (a *around) find(body any) int {
	for i := range a.bodies {
		if a.bodies[i].body == body {
			return i
		}
	}
	return -1
}

// enter begins a stage at clock [s] of the run.
func (a *around) enter(st *compiledStage, s *system, clock float64) {
	for i := range a.bodies {
		a.bodies[i].active = false
	}
	a.sides = a.sides[:0]
	for range s.surfaces {
		a.sides = append(a.sides, activeSide{})
	}
	st.actives = a.sides
	for i := range st.parts {
		p := &st.parts[i]
		b := &a.bodies[a.find(p.control.Body())]
		b.active, b.control, b.surfaces = true, p.control, p.surfaces
		b.exchange, b.skins = make([]Exchange, len(p.surfaces)), make([]movedSkin, len(p.surfaces))
		for k, f := range p.surfaces {
			b.exchange[k] = Exchange{Port: p.ports[k], Area: s.surfaces[f].Area}
			a.sides[f] = activeSide{b, p.ports[k]}
		}
		copy(b.mid, b.now)
		copy(b.end, b.now)
		b.from, b.over = 0, 1
		b.course.add(clock, b.now)
	}
}

// look notes where the dish's surfaces are.
func (a *around) look(s *system) {
	for i := range a.bodies {
		b := &a.bodies[i]
		if !b.active {
			continue
		}
		for k, f := range b.surfaces {
			b.skins[k].look(s, f)
		}
	}
}

func (m *movedSkin) look(s *system, f int) {
	m.was = s.surfaces[f].temp
	if s.wet != nil {
		m.air, m.drying = s.wet.skins[f].air, s.wet.drying(f)
	}
}

// drying is by how much [kg/(s Pa)] the water that surface i gives off changes with the
// vapour of the air, all else as it is inside of the dish.
func (w *wet) drying(i int) float64 {
	const more = 50 // [Pa]
	k := &w.skins[i]
	if !k.open {
		return 0
	}
	cell := &w.cells[k.surface.Cell]
	skin, surface := *k, *k.surface // the balance remembers: it is put back
	k.solve(cell, w.pressure)
	dry := k.mass
	k.air += more
	k.solve(cell, w.pressure)
	slope := (k.mass - dry) / more
	*k, *k.surface = skin, surface
	return min(slope, 0)
}

// foretell predicts the bodies over a step from t over h [s]; rate is the flows at t.
func (a *around) foretell(s *system, rate []float64, t, h float64) {
	steam, steamHeat := s.steam(rate)
	for i := range a.bodies {
		b := &a.bodies[i]
		if !b.active {
			continue
		}
		b.from, b.over = t, h
		for k, f := range b.surfaces {
			x := &b.exchange[k]
			x.Known, x.Heat, x.HeatRise = false, 0, 0
			x.SurfaceRise = b.skins[k].rise
			if s.wet != nil {
				x.WaterRise, x.Vapour, x.WaterByVapour = b.skins[k].waterRise, b.skins[k].air, b.skins[k].drying
				x.Steam, x.SteamHeat = steam*x.Area, steamHeat*x.Area
			}
			b.expect(k, f, s, rate, trGamma*h/2)
		}
		copy(b.mid, b.now)
		b.control.Advance(b.mid, t, trGamma*h, b.exchange)
		for k, f := range b.surfaces {
			b.expect(k, f, s, rate, (trGamma+1)*h/2)
		}
		copy(b.end, b.mid)
		b.control.Advance(b.end, t+trGamma*h, (1-trGamma)*h, b.exchange)
	}
}

// expect carries surface f on to after [s] the start of the step.
func (b *bodyState) expect(k, f int, s *system, rate []float64, after float64) {
	x := &b.exchange[k]
	x.Surface = b.skins[k].was + x.SurfaceRise*after
	if s.wet != nil {
		x.Water = rate[len(s.surfaces)+f] + x.WaterRise*after
	}
}

// agree moves the bodies over the step with what the dish took, into tried, and says
// how far [K] that is from what was foretold. Rate and rEnd are the flows at the two
// ends of the step, gain what they carried.
func (a *around) agree(s *system, gain, rate, rEnd []float64, t, h float64) (apart float64) {
	steam, steamHeat := s.steam(gain)
	for i := range a.bodies {
		b := &a.bodies[i]
		if !b.active {
			continue
		}
		for k, f := range b.surfaces {
			x, skin := &b.exchange[k], &b.skins[k]
			skin.is = s.surfaces[f].temp
			x.Known, x.Heat, x.HeatRise = true, gain[f]/h, (rEnd[f]-rate[f])/h
			x.Surface, x.SurfaceRise = (skin.was+skin.is)/2, (skin.is-skin.was)/h
			if s.wet != nil {
				w := len(s.surfaces) + f
				x.Water, x.WaterRise = gain[w]/h, (rEnd[w]-rate[w])/h
				skin.airThen = s.wet.skins[f].air
				x.Steam, x.SteamHeat = steam*x.Area/h, steamHeat*x.Area/h
			}
		}
		copy(b.tried, b.now)
		b.control.Advance(b.tried, t, h, b.exchange)
		if !finiteState(b.tried) {
			return math.Inf(1)
		}
		for k := range b.exchange {
			x := &b.exchange[k]
			told, came := b.control.Meets(x.Port, b.end, t+h), b.control.Meets(x.Port, b.tried, t+h)
			apart = max(apart, b.skins[k].distance(s, x.Area, told, came))
		}
	}
	if apart != apart {
		return math.Inf(1)
	}
	return apart
}

// distance is how far [K] two surroundings are from each other as the surface feels it:
// a wet one feels the vapour by the heat that evaporation takes.
func (m *movedSkin) distance(s *system, area float64, a, b Surroundings) float64 {
	d := math.Abs(a.Fluid - b.Fluid)
	if a.Emissivity > 0 {
		d = max(d, math.Abs(a.Walls-b.Walls))
	}
	if m.drying < 0 && a.H > 0 {
		p, _, _ := a.Humidity.pressure(a.Fluid, s.wet.pressure)
		q, _, _ := b.Humidity.pressure(b.Fluid, s.wet.pressure)
		heat, _ := phasechange.VapourEnthalpy(m.is)
		d = max(d, math.Abs((p-q)*m.drying*heat)/(a.H*area))
	}
	return d
}

// accept takes the step over that ends at clock [s] of the run, and says how many bytes it
// keeps of it.
func (a *around) accept(s *system, gain []float64, clock float64) (bytes int) {
	for i := range a.bodies {
		b := &a.bodies[i]
		if !b.active {
			continue
		}
		for k, f := range b.surfaces {
			x, m := &b.exchange[k], &b.skins[k]
			back := x.SteamHeat * b.over
			a.taken[i].add(gain[f] - back)
			a.moved[i].add(math.Abs(gain[f]) + math.Abs(back))
			m.rise, m.waterRise = x.SurfaceRise, x.WaterRise-m.drying*(m.airThen-m.air)/b.over
			m.look(s, f)
			m.was = m.is
		}
		b.now, b.tried = b.tried, b.now
		copy(b.mid, b.now)
		copy(b.end, b.now)
		b.course.add(clock, b.now)
		bytes += 8 * (1 + len(b.now))
	}
	return bytes
}

// meets gives what a surface at a port of a body meets at t, on straight lines between
// now, the middle and the end of the step under way.
func (b *bodyState) meets(port int, t float64) Surroundings {
	x := (t - b.from) / b.over
	from, to, w := b.now, b.mid, x/trGamma
	if x > trGamma {
		from, to, w = b.mid, b.end, (x-trGamma)/(1-trGamma)
	}
	w = max(0, min(1, w))
	for i, v := range from {
		b.between[i] = v + w*(to[i]-v)
	}
	return b.control.Meets(port, b.between, t)
}

// recall puts the bodies of a stage around the dish as they were at t [s] of the run.
func (r *Run) recall(st *compiledStage, t float64) []activeSide {
	if len(st.parts) == 0 || len(r.courses) == 0 {
		return nil
	}
	sides := make([]activeSide, len(st.media))
	for i := range st.parts {
		p := &st.parts[i]
		for k := range r.Bodies {
			if r.Bodies[k].Body != p.control.Body() {
				continue
			}
			now := r.courses[k].at(t)
			b := &bodyState{control: p.control, now: now, mid: now, end: now, between: make([]float64, len(now)), over: 1}
			for j, f := range p.surfaces {
				sides[f] = activeSide{b, p.ports[j]}
			}
		}
	}
	return sides
}

// results closes the books of the bodies.
func (a *around) results() (out []BodyResult, courses []bodyCourse) {
	if a == nil {
		return nil, nil
	}
	for i := range a.bodies {
		b := &a.bodies[i]
		stored, given := b.control.Account(b.now)
		r := BodyResult{Body: b.body, State: append([]float64(nil), b.now...), Given: given - a.given[i], Stored: stored - a.stored[i], Taken: a.taken[i].value()}
		if scale := a.moved[i].value() + math.Abs(r.Given) + math.Abs(r.Stored); scale > 0 {
			r.Relative = math.Abs(r.Given-r.Taken-r.Stored) / scale
		}
		out, courses = append(out, r), append(courses, b.course)
	}
	return out, courses
}

// steam is what boils off and the energy it takes along, by area of the dish, in the unit
// of flows: those of a moment or of a step. Where water stands still it is let go between
// steps and not known here.
func (s *system) steam(flows []float64) (mass, heat float64) {
	if s.wet == nil {
		return 0, 0
	}
	area := 0.0
	for i := range s.surfaces {
		area += s.surfaces[i].Area
	}
	for l := range s.wet.layers {
		f := s.wet.layerFlows(flows, l)
		mass += f[0] / area
		heat += f[1] / area
	}
	return mass, heat
}
