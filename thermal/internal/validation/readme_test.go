package validation

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The README's excerpt is what the example prints.
func TestReadmeExcerpt(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs an example")
	}
	const root = "../../../"
	readme, err := os.ReadFile(root + "README.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(readme), "```text\nTIMELINE\n")
	require.True(t, found)
	excerpt, _, found := strings.Cut(rest, "```")
	require.True(t, found)
	run := exec.Command("go", "run", "./examples/frozenroll")
	run.Dir = root
	out, err := run.Output()
	require.NoError(t, err)
	printed := map[string]bool{}
	for line := range strings.Lines(string(out)) {
		printed[strings.TrimRight(line, " \n")] = true
	}
	for line := range strings.Lines(excerpt) {
		if line = strings.TrimRight(line, " \n"); line != "" && strings.TrimSpace(line) != "..." {
			assert.True(t, printed[line], "not printed by frozenroll: %q", line)
		}
	}
}
