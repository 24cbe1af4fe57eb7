package main

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal/safety"
	"example.com/thawfront/thermal/verdict"
)

func TestProgram(t *testing.T) {
	for _, c := range []struct {
		args []string
		says []string
	}{
		{nil, []string{"WHAT HAPPENED", `stage 2 ("gentle") begins`, "WHAT IS RIGHT", "WHAT IS NOT", "SAFETY: FAIL", "3-401.11(B)(2)", "the mass of", "No rule was applied to pastry.",
			safety.Caution, "WHAT TO CHANGE FIRST"}},
		{[]string{"-core", "200"}, []string{"ended early: limit reached", "WHAT CANNOT BE TOLD", "more time, or make it hotter", safety.Caution}},
		{[]string{"-help"}, []string{"-hotfor"}},
	} {
		var out strings.Builder
		require.NoError(t, program(context.Background(), c.args, &out), "%v", c.args)
		for _, s := range c.says {
			assert.Contains(t, out.String(), s, "%v", c.args)
		}
	}
}

// The data are the report: a program can read them and say the same.
func TestProgramJSON(t *testing.T) {
	var data, text strings.Builder
	require.NoError(t, program(context.Background(), []string{"-json"}, &data))
	require.NoError(t, program(context.Background(), nil, &text))
	var report verdict.Report
	require.NoError(t, json.Unmarshal([]byte(data.String()), &report))
	assert.True(t, strings.HasSuffix(text.String(), report.Text()))
	assert.Equal(t, safety.Caution, report.Caution)
	assert.Equal(t, verdict.Fail, report.Wishes)
	require.NotEmpty(t, report.Changes)
	assert.Contains(t, report.Changes[0].For[0], "beef", "safety comes first")
}

func TestProgramFaults(t *testing.T) {
	for args, says := range map[string]string{
		"-hold -1h": "elapsed time", "-gentle NaN": "fluid temperature", "-core 5000": "threshold", "roll": "no arguments", "-hotfor thick": "invalid value",
	} {
		err := program(context.Background(), strings.Fields(args), &strings.Builder{})
		assert.ErrorContains(t, err, says, args)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, program(ctx, nil, &strings.Builder{}), context.Canceled)
}
