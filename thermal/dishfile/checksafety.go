package dishfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/thawfront/thermal/safety"
)

func (f *File) checkSafety(r *report, s *Safety, key string) {
	if s.Layer != "" {
		f.onAtEnd(r, s.Layer, below(key, "layer"))
	}
	for _, w := range []struct {
		key, got string
		words    []string
	}{{"food", s.Food, foodWords}, {"animal", s.Animal, animalWords}, {"oven", s.Oven, ovenWords}, {"thawing", s.Thawing, thawingWords}} {
		if !slices.Contains(w.words, w.got) {
			r.oneOf(below(key, w.key), w.got, "one of "+strings.Join(w.words[1:], ", ")+", or none if it is not known", w.words[1:])
		}
	}
	k := below(key, "rules")
	if len(s.Rules) == 0 || len(s.Rules) > maxNames {
		r.need(k, fmt.Sprintf("1 to %d names of rules, or of steps: %s", maxNames, strings.Join(stepWords[1:], ", ")))
	} else {
		for i, name := range s.Rules {
			if !slices.Contains(stepWords[1:], name) && !slices.Contains(ruleNames(), name) {
				r.oneOf(item(k, i), name, rulesLike(name), nil) // the nearest are named
			}
		}
	}
	if n := len(s.Stages); n > maxNames {
		r.add(below(key, "stages"), fmt.Sprintf("%d stages", n), fmt.Sprintf("at most %d", maxNames))
	} else {
		for i, name := range s.Stages {
			f.checkStageName(r, name, item(below(key, "stages"), i))
		}
	}
	if s.CookEnds != "" {
		f.checkStageName(r, s.CookEnds, below(key, "cook_ends"))
	}
}

// checkStageName reports a name that is not that of exactly one stage.
func (f *File) checkStageName(r *report, name, key string) {
	n := 0
	for i := range f.Stages {
		if name != "" && f.Stages[i].Name == name {
			n++
		}
	}
	switch {
	case n == 0:
		r.unknown(key, "stage", name, f.stageNames)
	case n > 1:
		r.add(key, fmt.Sprintf("%d stages are named %s", n, quote(name)), "the name of one stage only")
	}
}

// stageNames are those that stages have, each once.
func (f *File) stageNames() (names []string) {
	there := map[string]bool{"": true}
	for i := range f.Stages {
		if s := f.Stages[i].Name; !there[s] {
			names, there[s] = append(names, s), true
		}
	}
	return names
}

func ruleNames() []string {
	return names(safety.Rules(), func(x safety.Rule) string { return x.Name })
}

// rulesLike lists the steps and the rules whose names come near.
func rulesLike(name string) string {
	names := ruleNames()
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(alike(name, b), alike(name, a)) })
	return "such as " + strings.Join(names[:5], ", ") + ", or all of a step: " + strings.Join(stepWords[1:], ", ")
}
