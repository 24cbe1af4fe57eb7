package validation

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// propertiesGroup holds what foods, water and fats are like, without any run.
var propertiesGroup = group{
	name: "properties",
	reason: "Components: last printed digit. Water, ice, steam: the spread between sources, or twice the rounding. " +
		"Enthalpies: 3 % of H(0)-H(-40), which is what their deviation is a share of, and unfrozen water 3 points: twice the 1.5 that the recalled tables agree to among themselves. " +
		"Conductivities: 10 %, twice the 5 % by which a recalled value may be wrong; dairy: the scatter around its line. " +
		"Measured specific heats: 5 %, the spread of lean meats of one water content in the source, or the printed span; those of Table 3: 0.02 kJ/(kg K), which the handbook's own rule leaves. " +
		"Freezing points: 0.4 K, by which two handbooks differ at the least (carrots, peas; apples 0.9); their deviation is a share of 10 K, about that of the ice at -10 °C. " +
		"Solutions: 0.02 K or one last digit. Worked examples: the rounding, 3 % where our equation is another, 2 % for conductivity. " +
		"Fats: the usual spread; our curves were drawn through it, so those rows check no more than that. " +
		"Freezing points of meat, fish, bread and apple sauce in our table were read from the same enthalpies they are compared with here.",
	checks: propertiesChecks,
}

// propertiesLimit is a reason for which checks lie outside of their tolerance.
type propertiesLimit struct {
	reason     string
	quantities []string
}

func propertiesChecks() ([]check, error) {
	var all []check
	for _, part := range []func() ([]check, error){
		propComponents, propWaterAndIce, propSteam,
		propConductivities, propDairy, propSpecificHeats, propPrintedHeats,
		propEnthalpies, propUnfrozen, propSolutions, propFreezingPoints, propExamples, propGels,
		propFats,
	} {
		checks, err := part()
		if err != nil {
			return nil, err
		}
		all = append(all, checks...)
	}
	known := map[string]string{}
	for _, l := range propertiesLimits {
		for _, q := range l.quantities {
			known[q] = l.reason
		}
	}
	seen := map[string]bool{}
	for i := range all {
		q := all[i].quantity
		if seen[q] {
			return nil, fmt.Errorf("properties: two checks are called %q", q)
		}
		seen[q] = true
		all[i].known = known[q]
	}
	for q := range known {
		if !seen[q] {
			return nil, fmt.Errorf("properties: no check is called %q, which is listed as a known limit", q)
		}
	}
	return all, nil
}

func TestProperties(t *testing.T) {
	checks, err := propertiesGroup.checks()
	require.NoError(t, err)
	for _, c := range checks {
		t.Log(c.row())
		assert.Equal(t, c.known == "", c.within(), "%s, %s: published %g, ours %g, tolerance %g, known limit %q",
			c.source, c.quantity, c.published, c.ours, c.tolerance, c.known)
	}
	t.Log(summary(propertiesGroup.name, checks))
}
