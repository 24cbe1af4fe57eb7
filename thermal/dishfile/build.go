package dishfile

import (
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
)

// layers gives all layers of a checked file, and where each starts [°C].
func (f *File) layers() (out []thermal.Layer, starts []float64) {
	foods := f.checkFoods(&report{})
	for i := range f.Layers {
		l := &f.Layers[i]
		layer := thermal.Layer{Name: l.called(), Food: foods.find(&report{}, "", l.Food), Thickness: si(l.Thickness), Contact: si(l.Contact), Cells: l.Cells}
		if l.Film != nil {
			layer.Film = &thermal.Film{Permeance: si(l.Film.Permeance), Holds: si(l.Film.Holds)}
		}
		if l.Rise != nil {
			layer.Rise = l.Rise.build()
		}
		out = append(out, layer)
		starts = append(starts, si(l.begins(f)))
	}
	return out, starts
}

func (s *Rise) build() *thermal.Rise {
	out := &thermal.Rise{}
	if s.Points[0].Time != "" {
		out.Against = thermal.RunTime
	}
	for _, p := range s.Points {
		out.Points = append(out.Points, thermal.RisePoint{At: p.at(), Ratio: p.Ratio})
	}
	return out
}

// schedule gives some stages of a checked file amid its appliances.
func (f *File) schedule(amid plants, stages []Stage) (out thermal.Schedule) {
	foods := f.checkFoods(&report{})
	for i := range stages {
		s := &stages[i]
		sets := amid.sets(s)
		stage := thermal.Stage{Name: s.Name, Medium: s.Medium.meets(sets), Until: s.Until.build(), Limit: duration(s.Limit)}
		for _, p := range s.patches() {
			if stage.Patches == nil {
				stage.Patches = map[geometry.Patch]thermal.Medium{}
			}
			m := s.Patches[p]
			stage.Patches[geometry.Patch(p)] = m.meets(sets)
		}
		if b := s.Brush; b != nil {
			stage.Brush = &thermal.Brush{Food: foods.find(&report{}, "", b.Food), Mass: si(b.Amount), Temperature: b.warmth(), Patch: geometry.Patch(b.Patch)}
		}
		out = append(out, stage)
	}
	return out
}

// warmth is the temperature [°C] of what is brushed on.
func (b *Brush) warmth() float64 {
	if b.Temperature == "" {
		return 20
	}
	return si(b.Temperature)
}

func duration(t Time) time.Duration { return thermal.Hours(si(t) / 3600) }

func (c *Condition) build() thermal.Condition {
	at, _, _ := c.At.parse()
	switch {
	case c.Time != "":
		return thermal.Elapsed(duration(c.Time))
	case c.Above != "":
		return thermal.Above(at, si(c.Above))
	case c.Below != "":
		return thermal.Below(at, si(c.Below))
	case c.FluidAbove != "":
		return thermal.FluidAbove(geometry.Patch(c.Patch), si(c.FluidAbove))
	case c.FluidBelow != "":
		return thermal.FluidBelow(geometry.Patch(c.Patch), si(c.FluidBelow))
	case c.IceGone:
		return thermal.IceGone()
	case c.Frozen != "":
		return thermal.Frozen(si(c.Frozen))
	case len(c.Any) > 0:
		return thermal.Any(buildAll(c.Any)...)
	}
	return thermal.All(buildAll(c.All)...)
}

func buildAll(of []Condition) []thermal.Condition {
	var out []thermal.Condition
	for i := range of {
		out = append(out, of[i].build())
	}
	return out
}

// settings gives the settings of a checked file, without what it watches.
func (f *File) settings() (out thermal.Settings) {
	s := f.Settings
	if s == nil {
		return out
	}
	out = thermal.Settings{Cells: s.Cells, CellRatio: s.CellRatio, Tolerance: s.Tolerance, Pressure: si(s.Pressure), Moisture: s.Moisture,
		MaxSteps: s.MaxSteps, MaxStep: duration(s.MaxStep)}
	out.IceCurve, _ = iceCurve(s.IceCurve)
	if s.Grading == "uniform" {
		out.Grading = geometry.Uniform
	}
	return out
}
