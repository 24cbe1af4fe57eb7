package materials

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// row is a line of a file of published values, by column.
type row map[string]string

func (r row) number(t testing.TB, column string) float64 {
	t.Helper()
	if r[column] == "" {
		return 0
	}
	x, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, "%v", r)
	return x
}

func published(t testing.TB, file string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", filepath.FromSlash(file)))
	require.NoError(t, err)
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(records), 1, file)
	rows := make([]row, 0, len(records)-1)
	for _, record := range records[1:] {
		r := row{}
		for i, name := range records[0] {
			r[name] = record[i]
		}
		rows = append(rows, r)
	}
	return rows
}
