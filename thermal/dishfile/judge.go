package dishfile

import (
	"fmt"
	"slices"

	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/quality"
	"example.com/thawfront/thermal/safety"
	"example.com/thawfront/thermal/verdict"
)

// judge holds the runs of the file's chain against its checks and its safety. The file
// has passed Check. Of a chain that broke off before its last run the end is not known:
// its checks cannot be told.
func (f *File) judge(runs []*thermal.Run) (*verdict.Report, error) {
	c := verdict.Case{Runs: runs, Layers: f.qualities(runs), Ahead: f.brokeOff(runs)}
	wishes := make([]verdict.Wish, len(f.Checks))
	for i := range f.Checks {
		_, wishes[i] = f.Checks[i].wish(f)
	}
	if c.Ahead == "" {
		c.Wishes = wishes
	}
	for i := range f.Safety {
		if p, ok := f.Safety[i].part(runs, c.Ahead != ""); ok {
			c.Parts = append(c.Parts, p)
		}
	}
	r, err := verdict.Judge(c)
	if err != nil || c.Ahead == "" {
		return r, err
	}
	for i, w := range wishes {
		kind, _ := f.Checks[i].wish(f)
		r.Findings = append(r.Findings, verdict.Finding{Kind: kind, Wish: w.String(), Verdict: verdict.CannotTell, Text: "the chain broke off", Missing: []string{c.Ahead}})
		r.Wishes = verdict.CannotTell
	}
	return r, nil
}

// brokeOff says what of the file was not begun, empty if all stages have been: a run
// that ends within its own stages is known to package verdict.
func (f *File) brokeOff(runs []*thermal.Run) string {
	planned := 0
	for _, r := range runs {
		planned += len(r.Schedule)
	}
	if planned >= len(f.Stages) {
		return ""
	}
	name := fmt.Sprintf("stage %d", planned+1)
	if s := f.Stages[planned].Name; s != "" {
		name = quote(s)
	}
	return "what comes from " + name + " on, which was not begun"
}

// qualities say what the layers of the last run are judged as, with the scales that the
// checks name besides those of the kind.
func (f *File) qualities(runs []*thermal.Run) []quality.Layer {
	var out []quality.Layer
	on := runs[len(runs)-1].LayerNames()
	for i := range f.Layers {
		l := &f.Layers[i]
		kind := judgedAs(l.JudgedAs)
		if kind == quality.Other || !slices.Contains(on, l.called()) {
			continue
		}
		q := quality.Layer{Name: l.called(), Kind: kind}
		for _, c := range f.Checks {
			if c.Graded == nil || c.Graded.Layer != l.called() {
				continue
			}
			scale, own := scaleOf(kind, c.Graded.Scale)
			if own || slices.ContainsFunc(q.Scales, func(s quality.Scale) bool { return s.Name == scale.Name }) {
				continue
			}
			if q.Scales == nil {
				q.Scales = slices.Clone(scales[kind].own)
			}
			q.Scales = append(q.Scales, scale)
		}
		out = append(out, q)
	}
	return out
}

// judgedAs finds what a layer is judged as; other for none.
func judgedAs(word string) quality.Kind {
	for k := quality.Other; k <= quality.Dough; k++ {
		if k.String() == word {
			return k
		}
	}
	return quality.Other
}

// scales are those of doneness that a kind of layer can be graded on: its own, which are
// always in the report, and more that a check may name.
var scales = map[quality.Kind]struct{ own, more []quality.Scale }{
	quality.Meat: {[]quality.Scale{quality.KitchenMeat(), quality.Proteins()}, []quality.Scale{quality.ResearchMeat()}},
	quality.Fish: {[]quality.Scale{quality.KitchenFish()}, nil},
}

// scaleOf finds a scale of a kind by name, its first for none, and whether it is its own.
// The zero scale is none.
func scaleOf(kind quality.Kind, name string) (scale quality.Scale, own bool) {
	of := scales[kind]
	for i, s := range slices.Concat(of.own, of.more) {
		if s.Name == name || name == "" {
			return s, i < len(of.own)
		}
	}
	return quality.Scale{}, false
}

// wish gives the kind of a check, which is its key, and what it wishes for; nothing for
// none.
func (c *Check) wish(f *File) (kind string, w verdict.Wish) {
	switch {
	case c.Served != nil:
		at, _, _ := c.Served.At.parse()
		return "served", verdict.Served{Place: at, From: si(c.Served.From), To: si(c.Served.To)}
	case c.Done != nil:
		return "done", verdict.Done{Layer: c.Done.Layer, From: si(c.Done.From), To: si(c.Done.To), Share: allOr(c.Done.Share)}
	case c.Rim != nil:
		return "rim", verdict.Rim{Layer: c.Rim.Layer, Over: si(c.Rim.Over), Most: si(c.Rim.Most)}
	case c.Even != nil:
		return "even", verdict.Even{Layer: c.Even.Layer, Most: c.Even.Most}
	case c.Graded != nil:
		g := c.Graded
		scale, _ := scaleOf(f.kindOf(g.Layer), g.Scale)
		return "graded", verdict.Graded{Layer: g.Layer, Scale: scale.Name, Bands: g.Bands, Share: allOr(g.Share)}
	case c.Colour != nil:
		return "colour", verdict.Colour{Darkest: c.Colour.Darkest, Lightest: c.Colour.Lightest}
	case c.Juicy != nil:
		return "juicy", verdict.Juicy{Layer: c.Juicy.Layer, Kept: si(c.Juicy.Kept)}
	case c.Set != "":
		return "set", verdict.Set{Layer: c.Set}
	case c.Crisp != "":
		return "crisp", verdict.Crisp{Share: si(c.Crisp)}
	case c.Loss != "":
		return "loss", verdict.Loss{Most: si(c.Loss)}
	case c.Ready != "":
		return "ready", verdict.Ready{Within: duration(c.Ready)}
	case c.Thawed:
		return "thawed", verdict.Thawed{}
	}
	return "", nil
}

// kindOf is what a layer is judged as.
func (f *File) kindOf(layer string) quality.Kind {
	for i := range f.Layers {
		if f.Layers[i].called() == layer {
			return judgedAs(f.Layers[i].JudgedAs)
		}
	}
	return quality.Other
}

// allOr is a share, all if it is not given.
func allOr(s Share) float64 {
	if s == "" {
		return 1
	}
	return si(s)
}

// part gives what is judged for safety in runs; nothing if the chain broke off before the
// layer or any of the stages was there.
func (s *Safety) part(runs []*thermal.Run, broke bool) (p verdict.Part, ok bool) {
	p = verdict.Part{Layer: s.Layer, Facts: s.facts(runs), Rules: s.rules(), Stages: s.Stages}
	if !broke {
		return p, true
	}
	begun := len(s.Stages) == 0 || slices.ContainsFunc(runs, func(r *thermal.Run) bool {
		return slices.ContainsFunc(r.Stages, func(x thermal.StageResult) bool { return slices.Contains(s.Stages, x.Name) })
	})
	return p, begun && (s.Layer == "" || slices.Contains(runs[len(runs)-1].LayerNames(), s.Layer))
}

func (s *Safety) facts(runs []*thermal.Run) safety.Facts {
	return safety.Facts{
		Food: safety.Food(max(0, slices.Index(foodWords, s.Food))), Animal: safety.Animal(max(0, slices.Index(animalWords, s.Animal))),
		Oven: safety.Oven(max(0, slices.Index(ovenWords, s.Oven))), Thawing: safety.Thawing(max(0, slices.Index(thawingWords, s.Thawing))),
		Cured: answer(s.Cured), ReadyToEat: answer(s.ReadyToEat), LabelledIntact: answer(s.LabelledIntact),
		RoastCooked: answer(s.RoastCooked), FromRoom: answer(s.FromRoom),
		Fat: known(s.Fat), Salt: known(s.Salt), WaterActivity: s.WaterActivity, PH: s.PH, Mass: known(s.Mass),
		OvenTemperature: known(s.OvenTemperature), ThawWater: known(s.ThawWater), CookEnd: s.cookEnd(runs),
	}
}

func answer(b *bool) safety.Answer {
	switch {
	case b == nil:
		return safety.Unknown
	case *b:
		return safety.Yes
	}
	return safety.No
}

// known is a quantity that is nil where it is not given: a type, as every kind is a text.
func known[Q interface {
	~string
	quantity
}](q Q) *float64 {
	if q == "" {
		return nil
	}
	v := si(q)
	return &v
}

// cookEnd is when the stage of that name ended [s] since the start of the chain, nil if
// it did not come to its end.
func (s *Safety) cookEnd(runs []*thermal.Run) *float64 {
	if s.CookEnds == "" {
		return nil
	}
	begins := 0.0
	for _, r := range runs {
		for _, stage := range r.Stages {
			if stage.Name == s.CookEnds && (stage.Reason == thermal.ConditionMet || stage.Reason == thermal.LimitReached) {
				end := begins + stage.End.Seconds()
				return &end
			}
		}
		begins += r.Duration().Seconds()
	}
	return nil
}

// rules are those that the names and steps stand for, each once.
func (s *Safety) rules() (out []safety.Rule) {
	add := func(r safety.Rule) {
		if !slices.ContainsFunc(out, func(x safety.Rule) bool { return x.Name == r.Name }) {
			out = append(out, r)
		}
	}
	for _, name := range s.Rules {
		if i := slices.Index(stepWords, name); i > 0 {
			for _, r := range safety.RulesOf(safety.Step(i)) {
				add(r)
			}
		} else if r, err := safety.Find(name); err == nil {
			add(r)
		}
	}
	return out
}

// stepWords are those of the steps of package safety, by number; the first is no step of
// its own.
var stepWords = []string{"", "cooking", "reheating", "cooling", "thawing", "holding hot", "holding cold", "holding by time", "eating raw", "pasteurising"}

// The words of the facts of package safety, by number. The first of each is that nothing
// is known, which a file says by leaving the key out.
var (
	foodWords    = words[safety.Food](safety.Plant)
	animalWords  = words[safety.Animal](safety.OtherAnimal)
	ovenWords    = words[safety.Oven](safety.HumidOven)
	thawingWords = words[safety.Thawing](safety.OtherThawing)
)

func words[T interface {
	~uint8
	fmt.Stringer
}](last T) []string {
	out := []string{""}
	for k := T(1); k <= last; k++ {
		out = append(out, k.String())
	}
	return out
}
