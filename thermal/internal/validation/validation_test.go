package validation

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the tables into DEVELOPERS.md and README.md")

// groups in the order of the table. Each lives in a file of its own.
var groups = []group{propertiesGroup, humidAirGroup, solverGroup, freezingGroup, cookingGroup, transportGroup, movingGroup, aroundGroup}

func TestValidation(t *testing.T) {
	if testing.Short() {
		t.Skip("runs many simulations")
	}
	var table, short strings.Builder
	table.WriteString("| source | quantity | published | ours | deviation | tolerance |\n|---|---|---|---|---|---|\n")
	short.WriteString("| group | values | sources | mean deviation | largest | outside of tolerance |\n|---|---|---|---|---|---|\n")
	var known strings.Builder
	for _, g := range groups {
		checks, err := g.checks()
		require.NoError(t, err, g.name)
		require.NotEmpty(t, checks, g.name)
		table.WriteString("| **" + g.name + "** | " + cell(g.reason) + " | | | | |\n")
		for _, c := range checks {
			table.WriteString(c.row() + "\n")
			if c.known == "" {
				assert.True(t, c.within(), "%s: %s, %s: published %g, ours %g", g.name, c.source, c.quantity, c.published, c.ours)
			} else {
				assert.False(t, c.within(), "%s: %s, %s lies inside of its tolerance now: no known limit any more", g.name, c.source, c.quantity)
			}
		}
		short.WriteString(summary(g.name, checks) + "\n")
		known.WriteString(limits(checks))
	}
	text := short.String() + "\nKnown limits, why a row lies outside of its tolerance:\n\n" + known.String() + "\n" + table.String()
	t.Log("\n" + text)
	for file, text := range map[string]string{"DEVELOPERS.md": text, "README.md": short.String()} {
		keep(t, filepath.Join("..", "..", "..", file), text)
	}
}

// keep compares the text between the marks of a file with what was computed, or
// writes it with -update.
func keep(t *testing.T, file, text string) {
	const begin, end = "<!-- validation begins -->\n", "<!-- validation ends -->"
	raw, err := os.ReadFile(file)
	require.NoError(t, err)
	before, rest, ok := strings.Cut(string(raw), begin)
	require.True(t, ok, "%s has no mark %q", file, begin)
	was, after, ok := strings.Cut(rest, end)
	require.True(t, ok, "%s has no mark %q", file, end)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(before+begin+text+end+after), 0o644))
		return
	}
	assert.Equal(t, text, was, "%s is stale: go test ./thermal/internal/validation -run Validation -update", file)
}
