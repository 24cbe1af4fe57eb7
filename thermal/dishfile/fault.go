package dishfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing wrong with a dish file.
type Fault struct {
	File    string // as given to Read; empty for a File made by a program
	Line    int    // from 1; 0 where there is no text
	Column  int    // in letters from 1, of what is no TOML; else 0
	Key     string // such as layers[2].thickness, counted from 1; empty for the file as a whole
	Problem string
	Want    string // what would be accepted
}

// Error gives one line with file, line, key, problem and what would be accepted.
func (f *Fault) Error() string {
	var b strings.Builder
	b.WriteString(cmp.Or(f.File, "dish file"))
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d", f.Line)
	}
	if f.Column > 0 {
		fmt.Fprintf(&b, ":%d", f.Column)
	}
	if f.Key != "" {
		b.WriteString(": " + f.Key)
	}
	b.WriteString(": " + f.Problem)
	if f.Want != "" {
		b.WriteString(", want " + f.Want)
	}
	return b.String()
}

// Faults are all that is wrong with a dish file, by line.
type Faults []*Fault

// maxFaults is how many faults are listed; a file with more has one cause for them.
const maxFaults = 100

// Error lists the faults, one a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, x := range f {
		lines[i] = x.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the single faults, for errors.As.
func (f Faults) Unwrap() []error {
	out := make([]error, len(f))
	for i, x := range f {
		out[i] = x
	}
	return out
}

// report collects faults and knows the lines of keys.
type report struct {
	file   string
	lines  map[string]int
	faults Faults
	more   int // faults that were not kept
	cells  int // in two dimensions, of the parts of the chain so far
}

func (r *report) add(key, problem, want string) {
	if len(r.faults) >= maxFaults {
		r.more++
		return
	}
	r.faults = append(r.faults, &Fault{File: r.file, Line: r.line(key), Key: key, Problem: problem, Want: want})
}

// has says whether a key, or one below it, has a fault already.
func (r *report) has(key string) bool {
	return slices.ContainsFunc(r.faults, func(f *Fault) bool {
		rest, ok := strings.CutPrefix(f.Key, key)
		return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
	})
}

// line is that of a key, or of the nearest table around it that is in the text.
func (r *report) line(key string) int {
	for key != "" {
		if n := r.lines[key]; n > 0 {
			return n
		}
		key = key[:max(strings.LastIndexAny(key, ".["), 0)]
	}
	return r.lines[""]
}

func (r *report) err() error {
	if len(r.faults) == 0 {
		return nil
	}
	slices.SortStableFunc(r.faults, func(a, b *Fault) int { return cmp.Compare(a.Line, b.Line) })
	if r.more > 0 {
		r.faults = append(r.faults, &Fault{File: r.file, Problem: fmt.Sprintf("%d more faults", r.more)})
	}
	return r.faults
}
