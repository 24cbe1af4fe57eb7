package verdict

import (
	"fmt"
	"math"

	"example.com/thawfront/thermal"
)

// Crisp wishes that a share of the outermost layer is crisp at the end, that is, from
// the surface inwards drier than thermal.Crispness.
type Crisp struct {
	Share float64 // [-] of the layer's thickness at least; above 0, to 1
}

// String puts the wish into words.
func (w Crisp) String() string {
	return fmt.Sprintf("at least %s of the crust crisp when served", percent(w.Share))
}

func (Crisp) kind() string { return "crisp" }

func (w Crisp) fault(*subject) *InputError { return outside(bound{"share", w.Share, 1e-6, 1}) }

// crust is the outermost layer.
func (s *subject) crust() string { return s.layers[len(s.layers)-1].Name }

// crisp is the share of the outermost layer that is crisp [-]; fat below it may be
// as dry, and counts for no more than all.
func crisp(x *thermal.State) float64 {
	layers := x.Layers()
	return math.Min(1, x.Crust(thermal.Crispness).Thickness/layers[len(layers)-1].Thickness)
}

func (w Crisp) judge(s *subject) Finding {
	layer := s.crust()
	if missing := s.still(s.since(layer)); missing != nil {
		f := unknown("-", missing...)
		f.Layer = layer
		return f
	}
	f := unknown("-", fmt.Sprintf("the water activity of %s, which is given by measured curves", layer))
	if a, err := s.end.Activity(thermal.MeanOf(layer)); err == nil && finite(a) {
		share := crisp(s.end)
		f = measured(share, share-w.Share, "-", fmt.Sprintf("%s of %s is crisp; its water activity is %.2f on average, and crisp is under %g", percent(share), layer, a, thermal.Crispness))
	}
	f.Layer = layer
	return f
}

func (w Crisp) mend(s *subject, f *Finding) *ranked {
	c := &ranked{rank: forCrust}
	if film := s.film(); film != "" {
		c.Else = append(c.Else, film)
	}
	best, at := 0.0, 0
	for i, stage := range s.last.Stages {
		if share := crisp(s.last.At(stage.End)); share > best {
			best, at = share, i
		}
	}
	name, _ := s.named(at)
	if best >= w.Share {
		c.Do = fmt.Sprintf("serve it sooner after %s", name)
		c.Why = fmt.Sprintf("the crust was %s crisp when %s ended and has gone down to %s since", percent(best), name, percent(*f.Value))
		if s.covered(at + 1) {
			c.Do += ", and do not cover it"
		}
		return c
	}
	stage := s.fiercest()
	start, end := times(s.last, stage)
	name, m := s.named(stage)
	c.Why = fmt.Sprintf("no more than %s of it was ever crisp, and the surface is at %s when %s ends, at %s",
		percent(best), s.surfaceAfter(stage), name, deg(m))
	longer := (end - start) / 2
	if dries := s.rate(stage, crisp); dries > 0 {
		longer = math.Min((w.Share-best)/dries, 2*(end-start))
		c.Why += fmt.Sprintf("; %s a minute became crisp then", percent(60*dries))
	}
	c.try(len(s.runs)-1, stage, nil, &longer)
	c.Do = fmt.Sprintf("make %s %s longer, or hotter", name, about(longer))
	return c
}

// fiercest is the stage of the last run with the hottest medium.
func (s *subject) fiercest() (stage int) {
	most := math.Inf(-1)
	for i, x := range s.last.Stages {
		if m := medium(s.last, i, x.End); m > most && x.End > x.Start {
			stage, most = i, m
		}
	}
	return stage
}

func (s *subject) surfaceAfter(stage int) string {
	t, _ := s.last.At(s.last.Stages[stage].End).Temperature(thermal.Skin())
	return deg1(t)
}

// covered says whether any stage from one on lets no water out.
func (s *subject) covered(from int) bool {
	for i := from; i < len(s.last.Stages); i++ {
		if s.last.Schedule[i].Medium.At(0).Humidity == thermal.Sealed() {
			return true
		}
	}
	return false
}

// fatWater is the share of water in a layer [-] under which it is taken for a fat
// film: butter has 16 %.
const fatWater = 0.2

// film gives the advice of a fat film where the inside lost water and there is none.
func (s *subject) film() string {
	n := len(s.layers)
	if n < 2 || s.last.Dish.Layers[n-2].Film != nil || s.layers[n-2].Water < fatWater*s.layers[n-2].Mass {
		return ""
	}
	inside := s.layers[n-2]
	gave := s.last.At(0).Layers()[n-2].Water - inside.Water
	if gave <= 0 {
		return ""
	}
	return fmt.Sprintf("put a film of fat between %s and %s: %s gave off %s of water in the last run", inside.Name, s.crust(), inside.Name, grams(gave))
}

// Colour wishes for the lightness of a crust of bread or pastry: 85 is dough, 65 to 75
// golden, 50 to 60 brown (from memory, no source). The outermost layer must be a
// quality.Dough of the case.
type Colour struct {
	Darkest, Lightest float64 // [-] L*, 0 to 100, Darkest below Lightest
}

// String puts the wish into words.
func (w Colour) String() string {
	return fmt.Sprintf("a crust of lightness L* %.4g to %.4g", w.Darkest, w.Lightest)
}

func (Colour) kind() string { return "colour" }

func (w Colour) fault(*subject) *InputError {
	if f := outside(bound{"darkest", w.Darkest, 0, 100}, bound{"lightest", w.Lightest, 0, 100}); f != nil {
		return f
	}
	if !(w.Darkest < w.Lightest) {
		return &InputError{Field: "lightest", Value: w.Lightest, Want: fmt.Sprintf("more than darkest, %.4g", w.Darkest)}
	}
	return nil
}

func (w Colour) judge(s *subject) Finding {
	x := s.quality.Surface
	f := unknown("L*", reasons(x.Unknown, "the colour of the crust: give the outermost layer as quality.Dough")...)
	if x.Lightness != nil {
		l := x.Lightness.Surface
		f = measured(l, inBand(l, w.Darkest, w.Lightest), "L*", fmt.Sprintf("the surface of %s has L* %.0f; dough has %.0f", s.crust(), l, doughLightness))
	}
	f.Layer = s.crust()
	return f
}

// doughLightness is where kinetics.Lightness begins.
const doughLightness = 85.0

func (w Colour) mend(s *subject, f *Finding) *ranked {
	c := &ranked{rank: forCrust}
	stage := s.fiercest()
	name, m := s.named(stage)
	tr, err := s.follow(s.last, thermal.Skin())
	if err != nil {
		return nil
	}
	if peak, _ := tr.hottest(); *f.Value > w.Lightest && peak < browning {
		c.Do = fmt.Sprintf("make %s hotter than %s, or longer", name, deg(m))
		c.Why = fmt.Sprintf("the surface came to no more than %s, and browning begins about %d °C", deg1(peak), browning)
		return c
	}
	// L* falls as exp(-∫k dt): what is lacking in the integral over the rate at the end.
	start, end := times(s.last, stage)
	sum, hot := 0.0, 0.0
	for i := 1; i < len(tr.time); i++ {
		if tr.temperature[i] > browning {
			hot += tr.time[i] - tr.time[i-1]
			sum += (tr.time[i] - tr.time[i-1]) * browns(tr.temperature[i])
		}
	}
	aim := (w.Darkest + w.Lightest) / 2
	more := sum / browns(tr.at(end)) * (math.Log(doughLightness/aim)/math.Log(doughLightness / *f.Value) - 1)
	switch {
	case !finite(more) || more > 2*(end-start) || more < -0.9*(end-start):
		way := "hotter"
		if *f.Value < w.Darkest {
			way = "cooler"
		}
		c.Do = fmt.Sprintf("make %s %s than %s", name, way, deg(m))
	case more > 0:
		c.try(len(s.runs)-1, stage, nil, &more)
		c.Do = fmt.Sprintf("make %s %s longer, or hotter than %s", name, about(more), deg(m))
	default:
		c.try(len(s.runs)-1, stage, nil, &more)
		c.Do = fmt.Sprintf("make %s %s shorter, or cooler than %s", name, about(-more), deg(m))
	}
	c.Why = fmt.Sprintf("the surface was over %d °C for %s and came to L* %.0f", browning, minutes(hot), *f.Value)
	return c
}

// browns is how fast crust browns at t [°C], up to a factor: the temperature in the
// exponent is that of Purlis & Salvadori 2009 (from memory) without its part of water
// activity.
func browns(t float64) float64 { return math.Exp(-8701.5 / (t + 273.15)) }
