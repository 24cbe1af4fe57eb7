package main

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal/safety"
)

func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out strings.Builder
	require.NoError(t, program(context.Background(), args, &out), "%v", args)
	return out.String()
}

// row gives the verdicts of a rule.
func row(t *testing.T, text, rule string) string {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, rule) {
			return line
		}
	}
	require.Fail(t, rule)
	return ""
}

func TestProgram(t *testing.T) {
	text := printed(t)
	for _, s := range []string{"FDA Food Code 3-501.14(A) (2022), Cooling", "Appendix B, option 1 (1999), Compliance Guidelines",
		"not known: whether it is cured", "refrigerator: ", "blast chiller: ", "ice bath: ", "Caution: " + safety.Caution} {
		assert.Contains(t, text, s)
	}
	assert.Regexp(t, `fail by \d+ min .*pass by \d+ min .*pass by \d+ min`, row(t, text, "FDA Food Code"))
	assert.Regexp(t, `cannot tell .*cannot tell .*cannot tell`, row(t, text, "FSIS Appendix B, option 3"))
	assert.Contains(t, printed(t, "-help"), "-refrigerator")
}

// What is known decides: cured or not, and whether the history is long enough.
func TestFactsDecide(t *testing.T) {
	assert.Regexp(t, `(pass by \d+ min *){3}$`, row(t, printed(t, "-across", "60", "-cured", "yes", "-moisture=false"), "FSIS Appendix B, option 3"))
	assert.Regexp(t, `(does not apply *){3}$`, row(t, printed(t, "-across", "60", "-cured", "no", "-moisture=false"), "FSIS Appendix B, option 3"))
	assert.Regexp(t, `(cannot tell *){3}$`, row(t, printed(t, "-across", "60", "-chill", "20m", "-moisture=false"), "FDA Food Code"))
}

func TestProgramFaults(t *testing.T) {
	for args, says := range map[string]string{
		"-across -5": "thickness", "-cured maybe": "want yes, no or unknown", "-rest -1h": "elapsed time", "-refrigerator NaN": "fluid temperature",
		"-core 200": "not reached", "pork": "no arguments", "-core warm": "invalid value",
	} {
		err := program(context.Background(), append([]string{"-moisture=false"}, strings.Fields(args)...), &strings.Builder{})
		assert.ErrorContains(t, err, says, args)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, program(ctx, nil, &strings.Builder{}), context.Canceled)
}
