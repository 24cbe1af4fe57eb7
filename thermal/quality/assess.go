package quality

import (
	"fmt"
	"math"
	"slices"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/kinetics"
)

// Assess tells what became of a dish by the end of a run. followed is what
// kinetics.Follow gave for that run, or nil; what was not followed is unknown. Layers
// of the dish that are not given are judged as Other.
//
// A fault of the input gives an *InputError.
func Assess(run *thermal.Run, followed *kinetics.Result, layers ...Layer) (*Report, error) {
	if run == nil || run.Grid().Len() == 0 {
		return nil, &InputError{Field: "run", Value: "none", Want: "a run from thermal.Simulate"}
	}
	if followed != nil && followed.Run() != run {
		return nil, &InputError{Field: "what was followed", Value: "that of another run", Want: "that of this run, or nil"}
	}
	names := run.LayerNames()
	judged := make([]Layer, len(names))
	for l, name := range names {
		judged[l].Name = name
	}
	for i, layer := range layers {
		l := slices.Index(names, layer.Name)
		if l < 0 {
			return nil, &InputError{Field: "layer", Value: fmt.Sprintf("%q", layer.Name), Want: fmt.Sprintf("one of the dish: %q", names)}
		}
		if slices.ContainsFunc(layers[:i], func(other Layer) bool { return other.Name == layer.Name }) {
			return nil, &InputError{Place: fmt.Sprintf("layer %q", layer.Name), Field: "name", Value: "given twice", Want: "once"}
		}
		if err := layer.validate(); err != nil {
			return nil, err
		}
		judged[l] = layer
	}
	a := &assessment{run: run, grid: run.Grid(), followed: followed, peaks: run.Peaks(), start: run.At(0), end: run.End(), juices: run.Juices()}
	a.cells = a.end.Cells()
	report := &Report{}
	for l, layer := range judged {
		part, err := a.layer(l, layer)
		if err != nil {
			return nil, err
		}
		report.Layers = append(report.Layers, part)
	}
	var err error
	report.Surface, err = a.surface(judged[len(judged)-1])
	return report, err
}

// assessment is what a report is read from.
type assessment struct {
	run        *thermal.Run
	grid       thermal.Grid
	followed   *kinetics.Result
	peaks      []float64 // [°C] by cell
	start, end *thermal.State
	cells      []thermal.CellState // at the end
	juices     []thermal.Juice
}

func (a *assessment) layer(l int, layer Layer) (LayerReport, error) {
	r := LayerReport{Name: layer.Name, Kind: layer.Kind.String(),
		Peak: a.spread(layer.Name, func(i int) float64 { return a.peaks[i] }),
		End:  a.spread(layer.Name, func(i int) float64 { return a.cells[i].Temperature })}
	unknown := func(what, why string) {
		if why != "" {
			r.Unknown = append(r.Unknown, Unknown{What: what, Why: why})
		}
	}
	var err error
	var why string
	if r.Water, why, err = a.water(l, layer); err != nil {
		return r, err
	}
	unknown("water kept and juice", why)
	for _, s := range layer.scales() {
		d, why, err := a.doneness(layer.Name, s)
		if err != nil {
			return r, err
		}
		unknown(fmt.Sprintf("doneness on the scale %q", s.Name), why)
		r.Doneness = append(r.Doneness, d)
	}
	for _, limit := range layer.overcooked() {
		rim, why, err := a.rim(layer.Name, limit)
		if err != nil {
			return r, err
		}
		unknown(fmt.Sprintf("rim %q", limit.Name), why)
		r.Rims = append(r.Rims, rim)
	}
	switch layer.Kind {
	case Meat:
		if r.Collagen, why, err = a.degree(layer.Name, kinetics.Collagen().Name); err != nil {
			return r, err
		}
		unknown("collagen", why)
	case Dough:
		d, why, err := a.degree(layer.Name, kinetics.Starch().Name)
		if err != nil {
			return r, err
		}
		unknown("starch", why)
		if d != nil {
			r.Starch = &Starch{Degree: *d, Set: d.Least >= CrumbSet}
		}
	}
	return r, nil
}

// field is the values of a quantity by cell, those of the peak temperature if it has
// no name, and why they are not known if they are not.
func (a *assessment) field(quantity string) (values []float64, why string) {
	if quantity == "" {
		return a.peaks, ""
	}
	if a.followed != nil {
		if values, err := a.followed.Cells(quantity); err == nil {
			return values, ""
		}
	}
	return nil, fmt.Sprintf("%q was not followed along the run", quantity)
}

func (a *assessment) spread(layer string, of func(cell int) float64) Spread {
	s := Spread{Least: math.Inf(1), Most: math.Inf(-1)}
	var volume, sum, square float64
	for i, c := range a.cells {
		if c.Layer != layer {
			continue
		}
		t := of(i)
		s.Least, s.Most = min(s.Least, t), max(s.Most, t)
		volume += c.Volume
		sum += c.Volume * t
	}
	s.Mean = min(max(sum/volume, s.Least), s.Most) // whatever rounding does
	for i, c := range a.cells {
		if c.Layer == layer {
			square += c.Volume * (of(i) - s.Mean) * (of(i) - s.Mean)
		}
	}
	s.Deviation = math.Sqrt(square / volume)
	return s
}

// lowestWater [kg/kg] is the water below which a food counts as one without.
const lowestWater = 1e-3

func (a *assessment) water(l int, layer Layer) (w Water, why string, err error) {
	food := &a.run.Dish.Layers[l].Food
	switch {
	case !a.run.Settings.Moisture:
		return w, "in this run water does not move: neither juice nor evaporation is known", nil
	case food.Measured != nil:
		return w, "the food is given by measured curves, which say nothing of its water", nil
	case (layer.Kind == Meat || layer.Kind == Fish) && food.Holding == nil:
		return w, "it is not known how the protein of this food holds its water", nil
	}
	juice := a.juices[l].Mass
	w.Juice = &juice
	if food.Composition.Water < lowestWater {
		return w, "", nil
	}
	at := thermal.MeanOf(layer.Name)
	before, _, err := a.start.Content(at)
	if err != nil {
		return w, "", err
	}
	left, _, err := a.end.Content(at)
	if err != nil {
		return w, "", err
	}
	kept := left / food.Composition.Water
	w.Kept = &kept
	if before > 0 {
		inRun := left / before
		w.KeptInRun = &inRun
	}
	return w, "", nil
}

// doneness shares a layer out over a scale. A place has come to a step if it has
// reached that one or any later: so the parts that have lie within each other,
// whatever quantities the steps are in, and their differences are the shares.
func (a *assessment) doneness(layer string, s Scale) (d Doneness, why string, err error) {
	d = Doneness{Scale: s.Name, Source: s.Source}
	n := len(s.Steps)
	bands := make([]Band, n+1)
	furthest := make([]float64, a.grid.Len()) // by how much a cell is past this step or a later one
	for i := range furthest {
		furthest[i] = math.Inf(-1)
	}
	reached := 0.0
	for k := n - 1; k >= 0; k-- {
		step := s.Steps[k]
		values, why := a.field(step.Quantity)
		if why != "" {
			return d, why, nil
		}
		for i, v := range values {
			furthest[i] = max(furthest[i], v-step.From)
		}
		share, _, err := a.grid.Above(layer, furthest, justBelow(0))
		if err != nil {
			return d, "", err
		}
		share = min(max(share, reached), 1) // whatever rounding does
		bands[k+1] = Band{Name: step.Name, Share: share - reached}
		reached = share
	}
	bands[0] = Band{Name: s.Below, Share: 1 - reached}
	d.Bands = bands
	return d, "", nil
}

// justBelow makes of "above" an "at or above".
func justBelow(limit float64) float64 { return math.Nextafter(limit, math.Inf(-1)) }

func (a *assessment) rim(layer string, limit Step) (r Rim, why string, err error) {
	r.Step = limit
	values, why := a.field(limit.Quantity)
	if why != "" {
		return r, why, nil
	}
	share, width, err := a.grid.Above(layer, values, justBelow(limit.From))
	if err != nil {
		return r, "", err
	}
	share = min(max(share, 0), 1)
	r.Width, r.Share = &width, &share
	return r, "", nil
}

func (a *assessment) degree(layer, quantity string) (d *Degree, why string, err error) {
	values, why := a.field(quantity)
	if why != "" {
		return nil, why, nil
	}
	d = &Degree{}
	for _, part := range []struct {
		place thermal.Place
		to    *float64
	}{{thermal.ColdestOf(layer), &d.Least}, {thermal.MeanOf(layer), &d.Mean}, {thermal.HottestOf(layer), &d.Most}} {
		if *part.to, err = a.grid.Read(part.place, values); err != nil {
			return nil, "", err
		}
	}
	return d, "", nil
}
