package materials

import (
	"slices"
	"strings"
	"unicode"
)

// maxQuery bounds the work on a name that came from outside, in bytes.
const maxQuery = 200

func separator(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }

// nearest gives up to five names of foods in which every or most words of the
// wanted name have a word that is spelled much the same.
func nearest(foods []Food, want string) []string {
	if len(want) > maxQuery {
		return nil
	}
	words := strings.FieldsFunc(strings.ToLower(want), separator)
	if len(words) == 0 {
		return nil
	}
	type near struct {
		name  string
		score float64
	}
	var found []near
	for _, f := range foods {
		have := strings.FieldsFunc(strings.ToLower(f.Name), separator)
		var score float64
		for i, w := range words {
			best := 0.0
			for _, h := range have {
				best = max(best, likeness(w, h))
			}
			if best < 0.6 {
				best = 0
			}
			if i == 0 { // the first word names the thing, the others qualify it
				best *= 1.5
			}
			score += best
		}
		if score > 0 {
			// Of equals, the name with fewer other words.
			found = append(found, near{f.Name, score - 0.01*float64(len(have))})
		}
	}
	slices.SortStableFunc(found, func(a, b near) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return 0
	})
	var names []string
	for _, n := range found[:min(5, len(found))] {
		names = append(names, n.name)
	}
	return names
}

// likeness of two words: 1 if equal, 0 if nothing is common, less the edits
// (insert, delete, replace, swap of neighbours) that lead from one to the other
// per letter.
func likeness(a, b string) float64 {
	x, y := []rune(a), []rune(b)
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return 1 - float64(last[len(y)])/float64(max(len(x), len(y), 1))
}
