package safety

import (
	"encoding/json"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A finding comes back from JSON as it went.
func TestFindingThroughJSON(t *testing.T) {
	for v := range verdictNames {
		was := Finding{Rule: "r", Verdict: Verdict(v), Caution: Caution}
		text, err := json.Marshal(was)
		require.NoError(t, err)
		var is Finding
		require.NoError(t, json.Unmarshal(text, &is))
		assert.Equal(t, was, is)
	}
	var v Verdict
	var bad *FactError
	assert.True(t, errors.As(v.UnmarshalText([]byte("perhaps")), &bad))
	assert.Equal(t, CannotTell, v)
}

// Numbers in a finding are written as a reader expects them.
func TestFiguresOfFindings(t *testing.T) {
	hot := Facts{Food: Roast, Mass: new(2.0), Oven: StillOven, OvenTemperature: new(300.0)}
	assert.Contains(t, check(t, MustFind("food-code-roast-oven"), hot, constant(50, time.Hour)).String(), "pass by 123 K:")
	cold := check(t, criterion(Stay{-noBound, 5}), Facts{}, constant(-0.04, time.Hour))
	assert.Contains(t, cold.String(), "pass by 5 K:")
	assert.Contains(t, cold.Text, "at 0 °C")
	early := path(-120, 3, -90, 7, -60, 3)
	assert.Contains(t, check(t, criterion(Stay{-noBound, 5}), Facts{}, early).String(), "fail by 2 K:")
	assert.Contains(t, check(t, criterion(Stay{-noBound, 5}), Facts{}, early).String(), "; at -90 min.")
}
