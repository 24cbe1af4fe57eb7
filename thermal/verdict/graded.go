package verdict

import (
	"fmt"
	"slices"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/kinetics"
	"example.com/thawfront/thermal/quality"
)

// assess judges the last run by package quality, with what was followed along the
// chain.
func (s *subject) assess(layers []quality.Layer) error {
	var followed *kinetics.Result
	if q := quality.Quantities(layers...); len(q) > 0 {
		for i, run := range s.runs {
			var err error
			if followed, err = kinetics.Follow(run, followed, q...); err != nil {
				return &InputError{Place: fmt.Sprintf("run %d", i+1), Cause: err}
			}
		}
	}
	report, err := quality.Assess(s.last, followed, layers...)
	if err != nil {
		return &InputError{Place: "layers", Cause: err}
	}
	s.quality = report
	return nil
}

// reasons writes what is unknown, or the words if nothing is.
func reasons(unknown []quality.Unknown, otherwise string) (out []string) {
	for _, u := range unknown {
		out = append(out, fmt.Sprintf("%s: %s", u.What, u.Why))
	}
	if out == nil {
		return []string{otherwise}
	}
	return out
}

// Graded wishes that most of a layer is in some bands of a scale of doneness, which
// the case gives with the layer or which is that of its kind.
type Graded struct {
	Layer string
	Scale string
	Bands []string
	Share float64 // [-] of the layer's mass at least; above 0, to 1
}

// String puts the wish into words.
func (w Graded) String() string {
	return fmt.Sprintf("at least %s of %s %s", percent(w.Share), w.Layer, list(w.Bands, "or"))
}

func (Graded) kind() string { return "graded" }

func (w Graded) fault(s *subject) *InputError {
	if f := outside(bound{"share", w.Share, 1e-6, 1}); f != nil {
		return f
	}
	if len(w.Bands) == 0 {
		return &InputError{Field: "number of bands", Value: 0, Want: "at least 1"}
	}
	if f := s.known(w.Layer); f != nil {
		return f
	}
	d := s.doneness(w)
	if d == nil {
		return &InputError{Field: "scale", Value: fmt.Sprintf("%q", w.Scale), Want: fmt.Sprintf("one that the case gives for %s", w.Layer)}
	}
	for _, band := range w.Bands {
		if _, ok := d.Share(band); !ok && len(d.Bands) > 0 {
			return &InputError{Field: "band", Value: fmt.Sprintf("%q", band), Want: fmt.Sprintf("one of %q", w.Scale)}
		}
	}
	return nil
}

// doneness finds the scale of the wish, or nil.
func (s *subject) doneness(w Graded) *quality.Doneness {
	layer := s.quality.Layer(w.Layer)
	if layer == nil {
		return nil
	}
	i := slices.IndexFunc(layer.Doneness, func(d quality.Doneness) bool { return d.Scale == w.Scale })
	if i < 0 {
		return nil
	}
	return &layer.Doneness[i]
}

// shares are the parts of the layer below the bands, in them and above.
func (w Graded) shares(d *quality.Doneness) (under, in, over float64) {
	seen := false
	for _, b := range d.Bands {
		switch {
		case slices.Contains(w.Bands, b.Name):
			in, seen = in+b.Share, true
		case seen:
			over += b.Share
		default:
			under += b.Share
		}
	}
	return under, in, over
}

func (w Graded) judge(s *subject) Finding {
	d := s.doneness(w)
	f := unknown("-", reasons(s.quality.Layer(w.Layer).Unknown, "a quantity of the scale, which was not followed")...)
	if len(d.Bands) > 0 {
		under, in, over := w.shares(d)
		f = measured(in, in-w.Share, "-", fmt.Sprintf("%s of %s is that, %s is less done and %s more", percent(in), w.Layer, percent(under), percent(over)))
	}
	f.Layer = w.Layer
	return f
}

func (w Graded) mend(s *subject, _ *Finding) *ranked {
	under, _, over := w.shares(s.doneness(w))
	h, ok := s.hottest(w.Layer)
	if !ok {
		return nil
	}
	name := s.stageName(h.run, h.stage)
	m := medium(s.runs[h.run], h.stage, span(h.at))
	if under >= over {
		return &ranked{rank: forDoneness, Change: Change{
			Do:  fmt.Sprintf("make the last stage longer, or %s hotter than %s", name, deg(m)),
			Why: fmt.Sprintf("%s of %s is less done than wished, %s more; the coldest of it came to %s", percent(under), w.Layer, percent(over), deg1(lowest(s.last.Peaks(), s.last, w.Layer))),
		}}
	}
	return &ranked{rank: forRim, Change: Change{
		Do:  fmt.Sprintf("make %s shorter, or cooler than %s", name, deg(m)),
		Why: fmt.Sprintf("%s of %s is more done than wished, %s less; its outside was hottest, %s, in %s", percent(over), w.Layer, percent(under), deg1(h.peak), name),
	}}
}

// Set wishes that the crumb of a layer of bread or pastry has set, that is, that its
// starch has gelatinised to quality.CrumbSet everywhere. The layer must be a
// quality.Dough of the case.
type Set struct{ Layer string }

// String puts the wish into words.
func (w Set) String() string { return fmt.Sprintf("%s baked through", w.Layer) }

func (Set) kind() string { return "set" }

func (w Set) fault(s *subject) *InputError { return s.known(w.Layer) }

func (w Set) judge(s *subject) Finding {
	layer := s.quality.Layer(w.Layer)
	f := unknown("-", "how its starch set: give the layer as quality.Dough")
	if layer != nil && layer.Starch != nil {
		least := layer.Starch.Least
		f = measured(least, least-quality.CrumbSet, "-", fmt.Sprintf("%s of the starch has set where least has", percent(least)))
	}
	f.Layer = w.Layer
	return f
}

// baked is where starch sets within two minutes [°C]: a rate of 0.0285 in a second
// at 90 °C (Zanoni et al. 1995, from memory).
const baked = 90

func (w Set) mend(s *subject, _ *Finding) *ranked {
	least := lowest(s.last.Peaks(), s.last, w.Layer)
	stage := s.fiercest()
	c := &ranked{rank: forDoneness}
	name, _ := s.named(stage)
	c.Why = fmt.Sprintf("the least heated of %s came to %s; starch sets within two minutes at %d °C", w.Layer, deg1(least), baked)
	start, end := times(s.last, stage)
	tr, err := s.follow(s.last, thermal.ColdestOf(w.Layer))
	if err != nil {
		return nil
	}
	if rise := tr.slope(start, end); rise > 0 && (baked-least)/rise < end-start && least < baked {
		longer := (baked - least) / rise
		c.Do = fmt.Sprintf("make %s %s longer", name, about(longer))
		c.try(len(s.runs)-1, stage, nil, &longer)
	} else {
		c.Do = fmt.Sprintf("make %s longer or hotter, or %s thinner", name, w.Layer)
	}
	c.Else = []string{fmt.Sprintf("bake %s ahead on its own", w.Layer)}
	return c
}

// list joins words for readers.
func list(words []string, last string) string {
	switch n := len(words); n {
	case 0:
		return "nothing"
	case 1:
		return words[0]
	case 2:
		return words[0] + " " + last + " " + words[1]
	default:
		return words[0] + ", " + list(words[1:], last)
	}
}
