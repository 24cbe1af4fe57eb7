package chart

import (
	"io"
	"testing"

	"github.com/stretchr/testify/require"
)

// BenchmarkChart makes and writes every kind of chart at 800 pixels.
func BenchmarkChart(b *testing.B) {
	runs, err := roll()
	require.NoError(b, err)
	cold, err := chilled()
	require.NoError(b, err)
	for name, f := range map[string]func() (*Chart, error){
		"layers":   func() (*Chart, error) { return Layers(runs, Temperature, nil) },
		"section":  func() (*Chart, error) { return Section(runs, Temperature, nil) },
		"profiles": func() (*Chart, error) { return Profiles(runs, Temperature, nil, nil) },
		"compare":  func() (*Chart, error) { return Compare(Named{"a", runs}, Named{"b", cold}, Temperature, nil) },
	} {
		for _, format := range []Format{PNG, SVG, PDF} {
			b.Run(name+"/"+string(format), func(b *testing.B) {
				for b.Loop() {
					c, err := f()
					require.NoError(b, err)
					require.NoError(b, c.Write(io.Discard, format))
				}
			})
		}
	}
}
