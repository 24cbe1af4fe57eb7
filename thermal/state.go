package thermal

import (
	"cmp"
	"math"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/phasechange"
)

// State is the dish at one moment of a run. A state handed to a function is
// valid only until it returns; those from Run.At are the caller's own.
type State struct {
	model      *model
	run        *Run
	anchors    []phasechange.Anchor // by cell, where water stands still
	moist      []moistState         // by cell, where it moves
	temp, k    []float64            // by cell
	skins      []float64            // by surface
	fluids     []float64            // [°C] that it meets, likewise
	inlet      *inlet               // of a run under way: juice on its way
	late       []float64            // [kg] by layer, juice on its way in a run that is over
	mesh       *geometry.Mesh       // as risen
	clock      float64              // [s] since the start of the run
	sinceStage float64              // [s] since the start of the stage
}

// moistState is the water of a cell where it moves.
type moistState struct {
	water    float64 // [kg/m³]
	activity float64 // [-]
	pressure float64 // [Pa] of its vapour
}

func newState(m *model, sys *system) State {
	n := len(m.mesh.Cells)
	s := State{model: m, mesh: m.mesh, anchors: sys.anchors, temp: make([]float64, n), k: make([]float64, n),
		skins: make([]float64, len(m.mesh.Surfaces)), fluids: make([]float64, len(m.mesh.Surfaces))}
	if sys.risen != nil {
		s.mesh = sys.risen.mesh
	}
	if sys.wet != nil {
		s.moist = make([]moistState, n)
	}
	return s
}

// look fills s from the system's last evaluation.
func (s *State) look(sys *system) {
	copy(s.temp, sys.temp)
	copy(s.k, sys.k)
	for i := range sys.surfaces {
		s.fluids[i] = sys.surfaces[i].meets.Fluid
	}
	if sys.wet != nil {
		sys.wet.look(s)
		s.inlet = &sys.wet.inlet
		return
	}
	for i := range sys.surfaces {
		f := &sys.surfaces[i]
		was := *f
		sys.meet(f)
		s.skins[i] = f.skin()
		*f = was
	}
}

// Time is the time since the start of the run.
func (s *State) Time() time.Duration { return duration(s.clock) }

// StageTime is the time since the start of the stage.
func (s *State) StageTime() time.Duration { return duration(s.sinceStage) }

// Stage is the stage that the run is in, counted from 0.
func (s *State) Stage() int {
	began := duration(s.clock - s.sinceStage)
	i := len(s.run.Stages) - 1
	for i > 0 && s.run.Stages[i].Start > began+1 { // a nanosecond is rounding
		i--
	}
	return i
}

// Temperature is the temperature [°C] at a place, or an *UnknownPlaceError.
func (s *State) Temperature(p Place) (float64, error) {
	at, err := p.resolve(s.model)
	if err != nil {
		return 0, err
	}
	return s.read(at), nil
}

func (s *State) read(at spot) float64 {
	switch at.kind {
	case coldest, hottest, mean:
		lowest, highest, average := s.sum(at.first, at.end)
		switch at.kind {
		case coldest:
			return lowest
		case hottest:
			return highest
		}
		return average
	case patch:
		return s.onPatch(at.patch)
	}
	if at.kind == skin && s.mesh.Dimensions() == 1 {
		return s.skins[len(s.skins)-1]
	}
	return s.point(at.Point)
}

// onPatch is the mean temperature of a part of the surface.
func (s *State) onPatch(p geometry.Patch) float64 {
	var sum, area float64
	for i, f := range s.mesh.Surfaces {
		if f.Patch == p {
			sum += f.Area * s.skins[i]
			area += f.Area
		}
	}
	return sum / area
}

// fluid is the temperature [°C] of what a part of the surface meets, "" being the
// outermost; NaN if there is no such part.
func (s *State) fluid(p geometry.Patch) float64 {
	p = cmp.Or(p, outermost(s.mesh))
	for i := range s.mesh.Surfaces {
		if s.mesh.Surfaces[i].Patch == p {
			return s.fluids[i]
		}
	}
	return math.NaN()
}

// sum gives the lowest, highest and mean temperature of a layer, given by its
// cells. The dish's own surface counts for the lowest and highest.
func (s *State) sum(first, end int) (lowest, highest, mean float64) {
	lowest, highest = math.Inf(1), math.Inf(-1)
	see := func(t float64) { lowest, highest = math.Min(lowest, t), math.Max(highest, t) }
	var volume float64
	for i := first; i < end; i++ {
		v := s.model.mesh.Cells[i].Volume
		see(s.temp[i])
		mean += v * s.temp[i]
		volume += v
	}
	for i, f := range s.model.mesh.Surfaces {
		if f.Cell >= first && f.Cell < end {
			see(s.skins[i])
		}
	}
	return lowest, highest, mean / volume
}

// Content is the water (liquid and ice) and the ice at a place [kg/kg of original
// food]: of the cell that holds a point, or the mean of a layer with juice on its way to
// it, or below a patch. A place that is not in the dish gives an *UnknownPlaceError.
func (s *State) Content(p Place) (water, ice float64, err error) {
	at, err := p.resolve(s.model)
	if err != nil {
		return 0, 0, err
	}
	if at.kind == coldest || at.kind == hottest || at.kind == mean {
		water = s.onItsWay(s.model.mesh.Cells[at.first].Layer)
	}
	var mass float64
	at.each(s.model.mesh, func(i int, volume float64) {
		water += s.held(i) * volume
		ice += s.ice(i) * volume
		mass += s.model.relations[s.model.mesh.Cells[i].Layer].Density() * volume
	})
	return water / mass, ice / mass, nil
}

// law is what a cell goes by where water moves.
func (s *State) law(i int) *phasechange.Moist { return s.model.laws[s.model.mesh.Cells[i].Layer] }

// freezing is the temperature [°C] at which cell i begins to freeze.
func (s *State) freezing(i int) float64 {
	if s.moist != nil {
		return s.law(i).FreezingPoint(s.moist[i].water)
	}
	return s.anchors[i].FreezingPoint()
}

// boiling is how far [K] cell i is above where it begins to boil.
func (s *State) boiling(i int) float64 {
	if s.moist == nil {
		return s.temp[i] - s.anchors[i].BoilingPoint()
	}
	at := s.model.vents[s.model.mesh.Cells[i].Layer]
	return (s.moist[i].pressure - at) / (at * 0.0357) // dp/dT of water near its boiling point is 3.6 % of p
}

// activity is the water activity [-] of cell i, or NaN.
func (s *State) activity(i int) float64 {
	r := s.model.relations[s.model.mesh.Cells[i].Layer]
	if s.moist != nil {
		if s.law(i).Still() {
			return math.NaN()
		}
		return s.moist[i].activity
	}
	a, known := r.WaterActivity(s.held(i))
	switch t := s.temp[i]; {
	case !known:
		return math.NaN()
	case t < s.freezing(i):
		return phasechange.SublimationPressure(t) / phasechange.SaturationPressure(t)
	}
	return a
}

// ice is the ice [kg/m³] in cell i.
func (s *State) ice(i int) float64 {
	if s.moist != nil {
		return s.law(i).Ice(s.temp[i], s.moist[i].water)
	}
	return s.model.relations[s.model.mesh.Cells[i].Layer].Ice(s.temp[i], &s.anchors[i])
}

// least is the smallest of f over all cells.
func (s *State) least(f func(i int) float64) float64 {
	v := math.Inf(1)
	for i := range s.temp {
		v = math.Min(v, f(i))
	}
	return v
}

// held is the water [kg/m³] of cell i.
func (s *State) held(i int) float64 {
	if s.moist != nil {
		return s.moist[i].water
	}
	r := s.model.relations[s.model.mesh.Cells[i].Layer]
	return r.WaterHeld(s.temp[i], s.anchors[i].Water())
}

// CellState is one cell of a dish at one moment.
type CellState struct {
	Layer       string
	X           float64 // [m] from the centre or underside; in two dimensions from the axis or middle plane
	Y           float64 // [m] height in two dimensions, as the dish's shape counts it; else 0
	Volume      float64 // [m³]
	Temperature float64 // [°C]
	Water       float64 // [kg/kg of original food], liquid and ice
	Ice         float64 // [kg/kg of original food]
	// WaterActivity [-], 0 to 1; NaN where it is not known, of food given by measured
	// curves.
	WaterActivity float64
}

// Cells gives the dish cell by cell, from the centre or underside outwards, in two
// dimensions layer by layer; the last is below the surface of Skin.
func (s *State) Cells() []CellState {
	out := make([]CellState, len(s.temp))
	for i, c := range s.model.mesh.Cells {
		r := s.model.relations[c.Layer]
		w := s.held(i)
		x, y := s.model.mesh.Section(i)
		out[i] = CellState{Layer: s.model.names[c.Layer], X: x, Y: y, Volume: c.Volume, Temperature: s.temp[i],
			Water: w / r.Density(), Ice: s.ice(i) / r.Density(),
			WaterActivity: s.activity(i)}
	}
	return out
}

// LayerState sums up a layer at one moment.
type LayerState struct {
	Name      string  `json:"name"`
	Coldest   float64 `json:"coldest_C"`   // [°C] surface included
	Hottest   float64 `json:"hottest_C"`   // [°C] surface included
	Mean      float64 `json:"mean_C"`      // [°C] by volume
	Mass      float64 `json:"mass_kg"`     // [kg] with the juice of other layers on its way to it
	Thickness float64 `json:"thickness_m"` // [m] as risen, on the middle line
	// WaterActivity is the mean by volume [-]; 0 where it is not known, of food given by
	// measured curves.
	WaterActivity float64 `json:"water_activity"`
	Water         float64 `json:"water_kg"` // [kg] liquid and ice, and juice on its way to it
	Ice           float64 `json:"ice_kg"`   // [kg]
}

// Layers sums up every layer, in the order of the dish.
func (s *State) Layers() []LayerState {
	out := make([]LayerState, len(s.model.names))
	for l, name := range s.model.names {
		out[l].Name = name
		first, end := s.model.mesh.Span(l)
		out[l].Coldest, out[l].Hottest, out[l].Mean = s.sum(first, end)
		if a := s.meanActivity(first, end); a == a {
			out[l].WaterActivity = a
		}
		inner, outer := s.mesh.Through(l)
		out[l].Thickness = outer - inner
	}
	for i, c := range s.model.mesh.Cells {
		l, r, w := &out[c.Layer], s.model.relations[c.Layer], s.held(i)
		l.Mass += (r.Density() - r.Water() + w) * c.Volume
		l.Water += w * c.Volume
		l.Ice += s.ice(i) * c.Volume
	}
	for l := range out {
		late := s.onItsWay(l)
		out[l].Mass += late
		out[l].Water += late
	}
	return out
}

// onItsWay is the juice [kg] that is due to layer l, but in none of its cells yet.
// While a step is being made it does not count what that lets go.
func (s *State) onItsWay(l int) float64 {
	switch {
	case s.late != nil:
		return s.late[l]
	case s.inlet == nil || !s.inlet.some:
		return 0
	}
	first, end := s.model.mesh.Span(l)
	return s.inlet.late(first, end, s.clock-s.run.stepped())
}

// total sums a quantity of the layers.
func (s *State) total(of func(*LayerState) float64) (sum float64) {
	layers := s.Layers()
	for i := range layers {
		sum += of(&layers[i])
	}
	return sum
}

// Mass is the mass of the dish [kg], with what was brushed on.
func (s *State) Mass() float64 {
	return s.total(func(l *LayerState) float64 { return l.Mass }) + s.run.dry(s.Time())
}

// Water is the water in the dish [kg], liquid and ice.
func (s *State) Water() float64 { return s.total(func(l *LayerState) float64 { return l.Water }) }

// Ice is the ice in the dish [kg].
func (s *State) Ice() float64 { return s.total(func(l *LayerState) float64 { return l.Ice }) }
