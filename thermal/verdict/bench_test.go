package verdict

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func BenchmarkJudge(b *testing.B) {
	c := everything(bakedPie(b))
	for b.Loop() {
		_, err := Judge(c)
		require.NoError(b, err)
	}
}
