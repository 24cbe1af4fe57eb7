package safety

import (
	"encoding/json"
	"errors"
	"testing"

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
