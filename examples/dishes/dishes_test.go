package dishes

import (
	"bytes"
	"context"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal/dishfile"
	"example.com/thawfront/thermal/verdict"
)

// dishes are all files of the folder and what comes out of them. The figures are those
// of the library when the files were written, held loosely: they are to notice a
// change that a cook would notice. Nobody has measured these dishes.
var dishes = []struct {
	name           string
	minutes        float64 // [min] until served, from the end of "store" if there is such a stage
	centre         float64 // [°C] at the end
	lost           float64 // [%] of the weight, negative if it gained
	wishes, safety verdict.Verdict
}{
	{"beef-roll-frozen", 133.8, 52.1, 2.8, verdict.Pass, verdict.Fail},
	{"chicken-thaw", 2749, 0.5, 0, verdict.Pass, verdict.Pass},
	{"croquettes-fried", 9.5, 75.2, 12.3, verdict.Pass, verdict.Pass},
	{"filled-buns-frozen", 19.3, 86.2, -15.9, verdict.Pass, verdict.Pass},
	{"fish-pie", 54.2, 72.7, 4.1, verdict.Pass, verdict.Pass},
	{"gratin-frozen", 107.5, 79.1, 3.5, verdict.Pass, verdict.Pass},
	{"ice-cream-bombe", 6, -22, 3.3, verdict.Pass, verdict.Pass},
	{"lamb-roll-chain", 141, 53, 11.5, verdict.Pass, verdict.Pass},
	{"leek-pie-coasting-oven", 87.1, 81.4, 4, verdict.Pass, verdict.Pass},
	{"loaf-falling-oven", 79.5, 81.5, 14.6, verdict.Pass, verdict.Pass},
	{"parbaked-loaf-frozen", 21, 73.5, 14.9, verdict.Pass, verdict.Pass},
	{"pasta-tray-frozen", 133.2, 79.9, 4, verdict.Pass, verdict.Pass},
	{"pork-parcel", 58.4, 66, 7.5, verdict.Pass, verdict.Pass},
	{"pumpkin-strudel-frozen", 111.5, 78.8, 4.3, verdict.Pass, verdict.Pass},
	{"salmon-roll-chilled", 29.9, 63.6, 5.8, verdict.Fail, verdict.Pass},
	{"stew-blast-chilled", 239.9, 4, 0, verdict.Pass, verdict.Pass},
	{"stuffed-courgettes", 52.8, 80.7, 21.5, verdict.Pass, verdict.Pass},
	{"turkey-loaf-on-a-tray", 78.2, 77.8, 24.4, verdict.Pass, verdict.Pass},
}

func read(t *testing.T, name string) *dishfile.File {
	data, err := os.ReadFile(name + ".toml")
	require.NoError(t, err)
	f, err := dishfile.Read(bytes.NewReader(data), name+".toml")
	require.NoError(t, err)
	return f
}

func TestFigures(t *testing.T) {
	for _, d := range dishes {
		t.Run(d.name, func(t *testing.T) {
			f := read(t, d.name)
			assert.True(t, strings.HasPrefix(strings.TrimSpace(f.Note), "Invented."), "the note says that the dish is invented")
			assert.NotEmpty(t, f.Title)
			assert.NotEmpty(t, f.Checks)
			assert.NotEmpty(t, f.Safety)
			o, err := f.Simulate(context.Background(), nil)
			require.NoError(t, err)
			require.NoError(t, o.Stopped)
			require.NotNil(t, o.Report)
			assert.InEpsilon(t, d.minutes, toServing(o.Report), 0.15)
			assert.InDelta(t, d.centre, o.Report.End.Centre, 3)
			assert.InDelta(t, d.lost, 100*o.Report.End.LostShare, 0.2+abs(d.lost)/3)
			assert.Equal(t, d.wishes, o.Report.Wishes)
			assert.Equal(t, d.safety, o.Report.Safety)
			for _, run := range o.Runs {
				assert.Less(t, run.Energy.Relative, 1e-8)
				assert.Less(t, run.Water.Relative, 1e-8)
			}
		})
	}
}

// toServing is the time [min] that a dish takes, storage and what was before it left out.
func toServing(r *verdict.Report) float64 {
	from := 0.0
	for _, stage := range r.Stages {
		if stage.Name == "store" {
			from = stage.End
		}
	}
	return (r.Duration - from) / 60
}

func abs(x float64) float64 { return max(x, -x) }

// TestGallery holds the files of the folder, the table above, the pictures and the README
// against each other.
func TestGallery(t *testing.T) {
	text, err := os.ReadFile("README.md")
	require.NoError(t, err)
	gallery := string(text)
	inTable := map[string]bool{}
	for _, d := range dishes {
		inTable[d.name] = true
	}
	files, err := filepath.Glob("*.toml")
	require.NoError(t, err)
	assert.Len(t, files, len(dishes))
	for _, file := range files {
		name := strings.TrimSuffix(file, ".toml")
		assert.True(t, inTable[name], "%s is in the table of this test", file)
		assert.Contains(t, gallery, "`"+file+"`")
		assert.Contains(t, gallery, "## "+read(t, name).Title+"\n")
		pictures, err := filepath.Glob(filepath.Join("pictures", name+".*.png"))
		require.NoError(t, err)
		assert.NotEmpty(t, pictures, "%s has a picture", file)
	}
	pictures, err := filepath.Glob(filepath.Join("pictures", "*"))
	require.NoError(t, err)
	total := int64(0)
	for _, file := range pictures {
		assert.Contains(t, gallery, "]("+filepath.ToSlash(file)+")")
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		c, err := png.DecodeConfig(bytes.NewReader(data))
		require.NoError(t, err)
		assert.Equal(t, 800, c.Width)
		total += int64(len(data))
	}
	assert.Less(t, total, int64(2e6), "bytes of all pictures")
}
