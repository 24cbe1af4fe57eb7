package materials

import (
	"bytes"
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"
)

//go:embed foods.csv
var embedded []byte

// library is the embedded table, sorted by name, read at its first use.
var library = sync.OnceValues(func() ([]Food, error) {
	foods, err := ParseTable(bytes.NewReader(embedded))
	slices.SortStableFunc(foods, func(a, b Food) int {
		return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
	return foods, err
})

// UnknownFoodError is a name that the table does not hold.
type UnknownFoodError struct {
	Name    string
	Nearest []string // up to five names that come near, the nearest first
}

// Error gives the name and those that come near.
func (e *UnknownFoodError) Error() string {
	s := fmt.Sprintf("materials: unknown food %q", e.Name)
	for i, n := range e.Nearest {
		if i == 0 {
			s += ": did you mean "
		} else {
			s += ", "
		}
		s += fmt.Sprintf("%q", n)
	}
	if len(e.Nearest) > 0 {
		s += "?"
	}
	return s
}

// Find gives the food of that name from the embedded table, without regard to
// case and to spaces around. A name that is not there gives an
// [*UnknownFoodError] with near ones.
func Find(name string) (Food, error) {
	foods, err := library()
	if err != nil {
		return Food{}, err
	}
	want := strings.TrimSpace(name)
	for _, f := range foods {
		if strings.EqualFold(f.Name, want) {
			return f.clone(), nil
		}
	}
	return Food{}, &UnknownFoodError{name, nearest(foods, want)}
}

// MustFind is [Find] for names that are fixed in a program: it panics on an
// unknown one.
func MustFind(name string) Food {
	f, err := Find(name)
	if err != nil {
		panic(err)
	}
	return f
}

// Foods gives all foods of the embedded table, sorted by name, to keep.
func Foods() []Food {
	foods, err := library()
	if err != nil {
		return nil // a test holds the embedded table to be readable
	}
	c := make([]Food, len(foods))
	for i, f := range foods {
		c[i] = f.clone()
	}
	return c
}

// Search gives the foods of the embedded table that have every word of the query
// in their name or group: first those whose name begins with the query, then
// those with all words in the name, then the rest, shorter names first. An empty
// query gives none.
func Search(query string) []Food {
	foods, _ := library()
	query = strings.ToLower(strings.TrimSpace(query))
	if len(query) > maxQuery {
		return nil
	}
	words := strings.FieldsFunc(query, separator)
	if len(words) == 0 {
		return nil
	}
	type hit struct {
		food Food
		rank int
	}
	var hits []hit
	for _, f := range foods {
		name, group := strings.ToLower(f.Name), strings.ToLower(f.Group)
		all, inName := true, true
		for _, w := range words {
			n := strings.Contains(name, w)
			inName = inName && n
			all = all && (n || strings.Contains(group, w))
		}
		switch {
		case !all:
		case strings.HasPrefix(name, query):
			hits = append(hits, hit{f, 0})
		case inName:
			hits = append(hits, hit{f, 1})
		default:
			hits = append(hits, hit{f, 2})
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int {
		if a.rank != b.rank {
			return a.rank - b.rank
		}
		return len(a.food.Name) - len(b.food.Name)
	})
	found := make([]Food, len(hits))
	for i, h := range hits {
		found[i] = h.food.clone()
	}
	return found
}

// clone shares nothing with f that could be written to.
func (f Food) clone() Food {
	if f.BoundWater != nil {
		b := *f.BoundWater
		f.BoundWater = &b
	}
	if f.Transport != nil {
		t := *f.Transport
		f.Transport = &t
	}
	if f.Holding != nil {
		f.Holding = f.Holding.clone()
	}
	return f
}
