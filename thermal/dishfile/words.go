package dishfile

import (
	"slices"
	"strings"
	"sync"

	"example.com/thawfront/materials"
)

// choices are the words that a field, called 'Type.Field', must be one of; of a list, its
// entries; of a map, its keys.
var choices = sync.OnceValue(func() map[string][]string {
	var grades, bands []string
	media := append(names(mediumKinds, func(k mediumKind) string { return k.name }), inAppliance, onTray)
	for _, of := range scales {
		for _, s := range slices.Concat(of.own, of.more) {
			grades = append(grades, s.Name)
			bands = append(bands, s.Below)
			for _, step := range s.Steps {
				bands = append(bands, step.Name)
			}
		}
	}
	_, noStructure := materials.ParseStructure("?")
	_, noFat := materials.ParseFatKind("?")
	return map[string][]string{
		"Shape.Kind":        shapeWords(),
		"Food.Structure":    noStructure.(*materials.NameError).Want,
		"Food.FatKind":      noFat.(*materials.NameError).Want,
		"Layer.JudgedAs":    {"meat", "fish", "dough", "other"},
		"Stage.Patches":     surfaceWords(),
		"Brush.Patch":       surfaceWords(),
		"Medium.Kind":       media,
		"Condition.Patch":   surfaceWords(),
		"Appliance.Preset":  presetNames(),
		"Tray.Material":     trayNames(),
		"Settings.Grading":  {"graded", "uniform"},
		"Settings.IceCurve": iceCurves(),
		"Safety.Food":       foodWords[1:],
		"Safety.Animal":     animalWords[1:],
		"Safety.Oven":       ovenWords[1:],
		"Safety.Thawing":    thawingWords[1:],
		"Safety.Rules":      slices.Concat(stepWords[1:], ruleNames()),
		"Graded.Scale":      once(grades),
		"Graded.Bands":      once(bands),
		"Report.Units":      {"C", "F"},
		"Report.Charts":     chartNames,
	}
})

// once sorts words and leaves out what is there twice.
func once(of []string) []string {
	of = slices.Clone(of)
	slices.Sort(of)
	return slices.Compact(of)
}

// respelled takes the other spelling of English, and what joins words.
var respelled = strings.NewReplacer("center", "centre", "fiber", "fibre", "color", "colour", "-", " ", "_", " ")

// folded is a word in the form in which two ways to write it are the same; a unit of
// temperature may have its sign.
func folded(word string) string {
	return strings.Join(strings.Fields(respelled.Replace(strings.ToLower(strings.TrimPrefix(word, "°")))), " ")
}

// listed is the word of a list that a word stands for, itself if there is none.
func listed(word string, of []string) string {
	if len(word) > maxText || slices.Contains(of, word) {
		return word
	}
	typed := folded(word)
	if i := slices.IndexFunc(of, func(w string) bool { return folded(w) == typed }); i >= 0 {
		return of[i]
	}
	return word
}

// list puts the words of a node into their listed form, before it is decoded.
func (r *report) list(n *node, of []string, key string) {
	switch n.kind {
	case textNode:
		n.text = listed(n.text, of)
	case listNode:
		for _, x := range n.items {
			r.list(x, of, key)
		}
	case tableNode:
		keys := n.keys
		n.keys = nil
		for _, k := range keys {
			to, v := listed(k, of), n.table[k]
			if to != k && n.table[to] != nil {
				r.lines[below(key, to)] = v.line
				r.add(below(key, to), quote(to)+" is there twice, as "+quote(k)+" too", "each once")
				continue
			}
			delete(n.table, k)
			n.set(to, v)
		}
	}
}

// nearest says which of the names a word may stand for, if one comes near.
func nearest(word string, of []string) string {
	const near = 0.5
	best, most, typed := "", near, folded(word[:min(len(word), maxText)])
	for _, name := range of {
		if likeness := alike(typed, folded(name[:min(len(name), maxText)])); likeness > most && name != word {
			best, most = name, likeness
		}
	}
	if best == "" {
		return ""
	}
	return ", perhaps " + quote(best) + " is meant"
}

// alike is how many of the pairs of neighbouring letters of two names are the same, as a
// share of the pairs of both (Dice 1945, from memory).
func alike(a, b string) float64 {
	a, b = a[:min(len(a), maxText)], b[:min(len(b), maxText)]
	same := 0
	for i := range max(0, len(a)-1) {
		if strings.Contains(b, a[i:i+2]) {
			same++
		}
	}
	return 2 * float64(same) / float64(max(1, len(a)+len(b)-2))
}

// some lists names of a file, of many the first.
func some(names []string) string {
	const most = 10
	shown := joinNames(names[:min(len(names), most)], shorten)
	if len(names) > most {
		shown += ", …"
	}
	return shown
}

// names are those of things of a list.
func names[T any](of []T, name func(T) string) (out []string) {
	for _, x := range of {
		out = append(out, name(x))
	}
	return out
}

// joinNames lists the names of things.
func joinNames[T any](of []T, name func(T) string) string { return strings.Join(names(of, name), ", ") }
