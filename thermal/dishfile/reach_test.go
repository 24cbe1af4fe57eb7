package dishfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReach: what a stage can come to depends on all that the dish has met by then.
func TestReach(t *testing.T) {
	stage := func(medium, until string) string {
		return "[[stages]]\nname = \"" + strings.ReplaceAll(until, `"`, "") + "\"\nmedium = " + medium + "\nuntil = " + until + "\n"
	}
	const (
		room   = `{ kind = "room", temperature = "20 C" }`
		oven   = `{ kind = "fan oven", temperature = "200 C" }`
		fall   = `{ kind = "fan oven", course = [{ time = "0 min", temperature = "90 C" }, { time = "9 min", temperature = "30 C" }] }`
		steam  = `{ kind = "steam oven", temperature = "100 C" }`
		frozen = "[[layers]]\nname = \"ice\"\nfood = \"carrots, raw\"\nthickness = \"1 mm\"\nstart = \"-30 C\"\njoins = \"{ below = -10 C }\"\n"
		moist  = "[settings]\nmoisture = true\n"
	)
	for name, c := range map[string]struct{ text, never string }{
		"above all":                        {stage(room, `{ above = "21 C" }`), "above"},
		"above what comes later":           {stage(room, `{ above = "21 C" }`) + stage(oven, `{ above = "30 C" }`), "above"},
		"above what was there":             {stage(oven, `{ above = "30 C" }`) + stage(room, `{ above = "31 C" }`), ""},
		"below all":                        {stage(room, `{ below = "3 C" }`), "below"},
		"the hottest of a course":          {stage(fall, `{ above = "89 C" }`), ""},
		"above a course":                   {stage(fall, `{ above = "91 C" }`), "above"},
		"nothing freezes":                  {stage(room, `{ frozen = "50 %" }`), "frozen"},
		"one of any is enough":             {stage(room, `{ any = [{ above = "21 C" }, { time = "1 h" }] }`), ""},
		"none of any":                      {stage(room, `{ any = [{ above = "21 C" }, { below = "3 C" }] }`), "any[1].above"},
		"one of all is too much":           {stage(room, `{ all = [{ time = "1 h" }, { above = "21 C" }] }`), "all[2].above"},
		"a layer joins cold":               {frozen + stage(room, `{ above = "10 C" }`) + stage(room, `{ below = "-10 C" }`), ""},
		"before a cold layer joins":        {frozen + stage(room, `{ below = "-5 C" }`) + stage(room, `{ below = "-10 C" }`), "below"},
		"drying cools":                     {stage(room, `{ at = "surface", below = "0 C" }`) + moist, ""},
		"drying cools no further":          {stage(room, `{ at = "surface", below = "-15 C" }`) + moist, "below"},
		"taking up water warms":            {stage(room, `{ at = "surface", above = "39 C" }`) + moist, ""},
		"taking up water warms no further": {stage(room, `{ at = "surface", above = "41 C" }`) + moist, "above"},
		"taking up steam warms":            {stage(steam, `{ at = "surface", above = "120 C" }`) + moist, ""},
		"taking up steam warms no further": {stage(steam, `{ at = "surface", above = "161 C" }`) + moist, "above"},
		"water that stands still does not": {stage(steam, `{ at = "surface", above = "120 C" }`), "above"},
	} {
		head := "version = 1\nstart = \"4 C\"\nshape = { kind = \"slab\" }\n[[layers]]\nname = \"core\"\nfood = \"carrots, raw\"\nthickness = \"1 cm\"\n"
		_, err := Read(strings.NewReader(head+c.text), name)
		if c.never == "" {
			assert.NoError(t, err, name)
			continue
		}
		var faults Faults
		require.ErrorAs(t, err, &faults, name)
		assert.True(t, strings.HasSuffix(faults[0].Key, c.never), "%s: %v", name, err)
		assert.Contains(t, faults[0].Problem, "never reached", name)
	}
}
