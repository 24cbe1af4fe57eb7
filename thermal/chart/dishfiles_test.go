package chart

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"example.com/thawfront/thermal/dishfile"
	"github.com/stretchr/testify/require"
)

// TestNoTextCoversAnotherInDishes: of all the dishes there are, on a coarser mesh.
func TestNoTextCoversAnotherInDishes(t *testing.T) {
	if testing.Short() {
		t.Skip("draws or computes a great deal")
	}
	var files []string
	for _, folder := range []string{"testdata/dish-files", "examples/dishes"} {
		found, err := filepath.Glob(filepath.Join("..", "..", folder, "*.toml"))
		require.NoError(t, err)
		files = append(files, found...)
	}
	require.NotEmpty(t, files)
	for _, name := range files {
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		f, err := dishfile.Read(bytes.NewReader(b), name)
		require.NoError(t, err, name)
		if f.Settings == nil {
			f.Settings = &dishfile.Settings{}
		}
		f.Settings.Cells = 30
		for i := range f.Layers {
			f.Layers[i].Cells = 0
		}
		out, err := f.Simulate(context.Background(), nil)
		require.NoError(t, err, name)
		everyKind(t, filepath.Base(name), out.Runs, Settings{Title: f.Title}, Temperature, WaterContent)
		everyKind(t, filepath.Base(name), out.Runs, Settings{Fahrenheit: true, Width: 1600, Height: 800}, Temperature)
	}
}
