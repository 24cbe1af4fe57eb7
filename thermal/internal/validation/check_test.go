package validation

import (
	"fmt"
	"math"
	"strconv"
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
	// factor is by how many times ours may be more or less, for what spans decades;
	// it takes the place of tolerance and scale. 0: they hold.
	factor float64
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

func (c check) within() bool {
	if c.factor > 0 {
		return c.size() <= math.Log(c.factor)
	}
	return math.Abs(c.deviation()) <= c.tolerance
}

// size is how far the check is off: the share of its scale, or the logarithm of the
// factor between the two.
func (c check) size() float64 {
	if c.factor > 0 {
		return math.Abs(math.Log(c.ours / c.published))
	}
	return math.Abs(c.relative())
}

// off is how far the check is off, for readers.
func (c check) off() string {
	if c.factor > 0 {
		return fmt.Sprintf("×%.3g", c.ours/c.published)
	}
	return fmt.Sprintf("%+.1f %%", 100*c.relative())
}

// row is the check as a line of a Markdown table, to three or four digits, so
// that it is the same on every machine.
func (c check) row() string {
	mark := ""
	if c.known != "" {
		mark = " (known limit)"
	}
	allowed := fmt.Sprintf("±%.2g", c.tolerance)
	if c.factor > 0 {
		allowed = fmt.Sprintf("×÷%.3g", c.factor)
	}
	return fmt.Sprintf("| %s | %s | %.4g | %.4g | %s | %s%s |",
		cell(c.source), cell(c.quantity), c.published, c.ours, c.off(), allowed, mark)
}

// threeDigits rounds what comes from a run whose water moves: where juice comes up to
// a surface that dries, the fourth digit depends on how a machine rounds.
func threeDigits(x float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	if err != nil {
		panic(err) // of what FormatFloat has made
	}
	return rounded
}

// limits lists the reasons of the known limits, each with how many rows it
// explains and the largest deviation among them.
func limits(checks []check) string {
	var out strings.Builder
	var order []string
	rows, worst := map[string]int{}, map[string]check{}
	for _, c := range checks {
		if c.known == "" {
			continue
		}
		if rows[c.known] == 0 {
			order = append(order, c.known)
		}
		if rows[c.known] == 0 || c.size() > worst[c.known].size() {
			worst[c.known] = c
		}
		rows[c.known]++
	}
	for _, reason := range order {
		plural := "s"
		if rows[reason] == 1 {
			plural = ""
		}
		fmt.Fprintf(&out, "- %s (%d row%s, up to %s)\n", reason, rows[reason], plural, worst[reason].off())
	}
	return out.String()
}

func cell(s string) string { return strings.ReplaceAll(s, "|", "/") }

// summary is the group as a line: how many values and sources, the mean absolute
// and the largest deviation, and how many lie outside of their tolerance. Where ours
// are held to factors the mean is the geometric one.
func summary(name string, checks []check) string {
	sources := map[string]bool{}
	var sum, worst float64
	outside := 0
	for _, c := range checks {
		sources[c.source] = true
		sum += c.size()
		worst = max(worst, c.size())
		if !c.within() {
			outside++
		}
	}
	mean := sum / float64(len(checks))
	text := func(size float64) string { return fmt.Sprintf("%.2g %%", 100*size) }
	if checks[0].factor > 0 {
		text = func(size float64) string { return fmt.Sprintf("×÷%.3g", math.Exp(size)) }
	}
	return fmt.Sprintf("| %s | %d | %d | %s | %s | %d |", name, len(checks), len(sources), text(mean), text(worst), outside)
}
