package main

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnswers(t *testing.T) {
	var one, four bytes.Buffer
	require.NoError(t, program(context.Background(), []string{"-workers", "1"}, &one))
	require.NoError(t, program(context.Background(), []string{"-workers", "4"}, &four))
	assert.Equal(t, one.String(), four.String(), "bits do not depend on how many work")
	var answers []Answer
	require.NoError(t, json.Unmarshal(one.Bytes(), &answers))
	require.Len(t, answers, 4)
	assert.Greater(t, answers[0].Minutes, answers[1].Minutes)
	assert.Greater(t, answers[1].Minutes, answers[2].Minutes)
	for _, a := range answers[:3] {
		assert.Equal(t, "pass", a.Wishes, a.Start)
		assert.Empty(t, a.Stopped)
	}
	require.Len(t, answers[3].Faults, 1)
	assert.Contains(t, answers[3].Faults[0], "has no unit")
}

func TestNoTimeLeft(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, program(context.Background(), []string{"-within", "1ns"}, &out))
	var answers []Answer
	require.NoError(t, json.Unmarshal(out.Bytes(), &answers))
	for _, a := range answers[:3] {
		assert.Equal(t, "took too long to compute", a.Stopped)
	}
}

func TestFlags(t *testing.T) {
	for _, args := range [][]string{{"-workers", "0"}, {"-within", "-1s"}, {"x"}, {"-nothing"}} {
		assert.Error(t, program(context.Background(), args, &bytes.Buffer{}), args)
	}
	assert.NoError(t, program(context.Background(), []string{"-help"}, &bytes.Buffer{}))
}
