package validation

import (
	"fmt"
	"math"
	"strings"
)

// check is one published value and ours.
type check struct {
	source    string // author, year, table or page; as short as it can be
	quantity  string // what, with its conditions and unit
	published float64
	ours      float64
	tolerance float64 // absolute, in the quantity's unit
	scale     float64 // what a deviation is measured against, in the quantity's unit; 0: the published value
	// known is the reason why a check lies outside of its tolerance: a limit of
	// the model. The test fails when it comes to lie inside.
	known string
}

// group is the checks of one kind.
type group struct {
	name   string
	reason string // where the tolerances come from
	checks func() ([]check, error)
}

func (c check) deviation() float64 { return c.ours - c.published }

func (c check) relative() float64 {
	s := c.scale
	if s == 0 {
		s = math.Abs(c.published)
	}
	return c.deviation() / s
}

func (c check) within() bool { return math.Abs(c.deviation()) <= c.tolerance }

// row is the check as a line of a Markdown table, to three or four digits, so
// that it is the same on every machine.
func (c check) row() string {
	mark := ""
	if c.known != "" {
		mark = " (known limit)"
	}
	return fmt.Sprintf("| %s | %s | %.4g | %.4g | %+.1f %% | ±%.2g%s |",
		cell(c.source), cell(c.quantity), c.published, c.ours, 100*c.relative(), c.tolerance, mark)
}

// limits lists the reasons of the known limits, each with how many rows it
// explains and the largest deviation among them.
func limits(checks []check) string {
	var out strings.Builder
	var order []string
	rows, worst := map[string]int{}, map[string]float64{}
	for _, c := range checks {
		if c.known == "" {
			continue
		}
		if rows[c.known] == 0 {
			order = append(order, c.known)
		}
		rows[c.known]++
		if r := c.relative(); math.Abs(r) > math.Abs(worst[c.known]) {
			worst[c.known] = r
		}
	}
	for _, reason := range order {
		plural := "s"
		if rows[reason] == 1 {
			plural = ""
		}
		fmt.Fprintf(&out, "- %s (%d row%s, up to %+.1f %%)\n", reason, rows[reason], plural, 100*worst[reason])
	}
	return out.String()
}

func cell(s string) string { return strings.ReplaceAll(s, "|", "/") }

// summary is the group as a line: how many values and sources, the mean absolute
// and the largest deviation, and how many lie outside of their tolerance.
func summary(name string, checks []check) string {
	sources := map[string]bool{}
	var sum, worst float64
	outside := 0
	for _, c := range checks {
		sources[c.source] = true
		d := math.Abs(c.relative())
		sum += d
		worst = max(worst, d)
		if !c.within() {
			outside++
		}
	}
	return fmt.Sprintf("| %s | %d | %d | %.2g %% | %.2g %% | %d |", name, len(checks), len(sources), 100*sum/float64(len(checks)), 100*worst, outside)
}
