package validation

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

// freezingGroup holds freezing and thawing times against formulas that were fitted
// to experiments, and against another program with the same properties.
var freezingGroup = group{
	name: "freezing and thawing",
	reason: "No single experiment could be read, so times stand against the formulas fitted to some hundred of them. " +
		"The published value is the middle of the band that the formulas span, each widened by its stated error (10 % of experiments, the tighter of the 10 to 15 % stated); the tolerance is half of the band. " +
		"In brackets, not counting: Plank's, which leaves sensible heat out, and those outside of the range they were fitted in. Worked examples: the 10 % of their formula. " +
		"Enthalpy solution of another program: 1 % for its 30 cells.",
	checks: freezingChecks,
}

func freezingChecks() ([]check, error) {
	var all []check
	for _, part := range []func() ([]check, error){freezingBands, freezingExamples, freezingSolutions} {
		checks, err := part()
		if err != nil {
			return nil, err
		}
		all = append(all, checks...)
	}
	return all, nil
}

// hours is our time until the centre passes the end temperature.
func (c freezingCase) hours(s *thermal.Settings) (float64, error) {
	food, err := c.food.relation()
	if err != nil {
		return 0, err
	}
	until := thermal.Below(thermal.Centre(), c.end)
	if c.thaws() {
		until = thermal.Above(thermal.Centre(), c.end)
	}
	run, err := solverRun(solverDish(solverShapes[c.shape], food, c.diameter/2, c.start), thermal.Surroundings{Fluid: c.ambient, H: c.h}, until, s)
	if err != nil {
		return 0, fmt.Errorf("%v: %w", c, err)
	}
	return run.Duration().Hours(), nil
}

func freezingCases(file string, of func(freezingCase, propRow) (check, error)) ([]check, error) {
	foods, err := freezingFoods()
	if err != nil {
		return nil, err
	}
	return propEach("freezing-and-thawing-times/"+file, func(r propRow) (check, bool, error) {
		c, err := freezingRead(r, foods)
		if err != nil {
			return check{}, false, err
		}
		made, err := of(c, r)
		return made, true, err
	})
}

// freezingBand is what the formulas with a stated error span [h], widened by it, and
// the values of all.
func freezingBand(c freezingCase) (low, high float64, values string) {
	low, high = math.Inf(1), 0
	var each []string
	for _, f := range c.formulas() {
		hours := f.time(c) / 3600
		counts := f.error > 0 && (f.valid == nil || f.valid(c))
		text := fmt.Sprintf("%s %.3g", f.name, hours)
		if !counts {
			text = "[" + text + "]"
		}
		each = append(each, text)
		if counts {
			low, high = math.Min(low, hours*(1-f.error)), math.Max(high, hours*(1+f.error))
		}
	}
	return low, high, strings.Join(each, ", ")
}

func freezingBands() ([]check, error) {
	return freezingCases("cases.csv", func(c freezingCase, _ propRow) (check, error) {
		ours, err := c.hours(nil)
		low, high, values := freezingBand(c)
		source := "Pham 1986; Cleland & Earle 1977-84; Salvadori & Mascheroni 1991 (from memory)"
		if c.thaws() {
			source = "Cleland, Cleland, Earle & Byrne 1986 (from memory)"
		}
		return check{source: source, quantity: fmt.Sprintf("%v, h (%s)", c, values),
			published: (low + high) / 2, ours: ours, tolerance: (high - low) / 2}, err
	})
}

func freezingExamples() ([]check, error) {
	return freezingCases("examples.csv", func(c freezingCase, r propRow) (check, error) {
		ours, err := c.hours(nil)
		printed := r.number("hours")
		return check{source: propSource(r["source"], r["status"]), quantity: fmt.Sprintf("%v, h, by %s", c, r["formula"]),
			published: printed, ours: ours, tolerance: 0.10 * printed}, err
	})
}

func freezingSolutions() ([]check, error) {
	return freezingCases("enthalpy-solution.csv", func(c freezingCase, r propRow) (check, error) {
		ours, err := c.hours(nil)
		return check{source: "computed, explicit enthalpy solution of another program", quantity: fmt.Sprintf("%v, h", c),
			published: r.number("hours"), ours: ours, tolerance: 0.01 * r.number("hours")}, err
	})
}

// How far each formula is from ours, and how little ours depends on the mesh.
func TestFreezing(t *testing.T) {
	solverTest(t, freezingGroup)
	foods, err := freezingFoods()
	require.NoError(t, err)
	rows, err := propRead("freezing-and-thawing-times/cases.csv")
	require.NoError(t, err)
	sum, worst, n := map[string]float64{}, map[string]float64{}, map[string]float64{}
	mesh := 0.0
	for _, r := range rows {
		c, err := freezingRead(r, foods)
		require.NoError(t, err)
		ours, err := c.hours(nil)
		require.NoError(t, err)
		finer, err := c.hours(&thermal.Settings{Cells: 240, Tolerance: 0.01})
		require.NoError(t, err)
		mesh = math.Max(mesh, math.Abs(ours/finer-1))
		for _, f := range c.formulas() {
			if f.valid != nil && !f.valid(c) {
				continue
			}
			d := f.time(c)/3600/ours - 1
			name := f.name + map[bool]string{true: ", thawing", false: ", freezing"}[c.thaws()]
			sum[name] += d
			n[name]++
			if math.Abs(d) > math.Abs(worst[name]) {
				worst[name] = d
			}
		}
	}
	for name, s := range sum {
		t.Logf("%s: %+.1f %% of ours on the average of %g cases, at most %+.1f %%", name, 100*s/n[name], n[name], 100*worst[name])
	}
	t.Logf("twice the cells change our time by %.2f %% at most", 100*mesh)
	require.Less(t, mesh, 0.01)
}
