package dishfile

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
)

// planes are shapes of two dimensions, with the keys that they need or more.
var planes = []string{
	`kind = "finite cylinder", length = "6 cm"`,
	`kind = "finite cylinder", length = "6 cm", top = [ { layer = "rind", thickness = "2 mm" } ], half = true`,
	`kind = "finite cylinder", length = "6 cm", bottom = [ { layer = "fat", thickness = "2 mm" }, { layer = "rind", thickness = "4 mm" } ]`,
	`kind = "roll section"`,
	`kind = "roll section", contact_width = "1 cm"`,
	`kind = "bar", width = "7 cm"`,
	`kind = "tray", width = "7 cm"`,
}

func inPlane(shape, more string) string {
	return "version = 1\nstart = \"4 C\"\nshape = { " + shape + ` }
[[layers]]
name = "pork"
food = "pork loin, raw"
thickness = "2 cm"
[[layers]]
name = "fat"
food = "butter"
thickness = "3 mm"
[[layers]]
name = "rind"
food = "butter"
thickness = "2 mm"
[[stages]]
medium = { kind = "room", temperature = "20 C" }
until = { time = "1 s" }
` + more
}

func meshOf(t *testing.T, f *File, cells int) *geometry.Mesh {
	links, err := f.Chain()
	require.NoError(t, err)
	var layers []geometry.Layer
	for _, l := range links[0].Dish.Layers {
		layers = append(layers, geometry.Layer{Name: l.Name, Thickness: l.Thickness})
	}
	mesh, err := links[0].Dish.Shape.Mesh(layers, geometry.Resolution{Cells: cells})
	require.NoError(t, err)
	return mesh
}

// TestPointsAreInTheDish where package geometry finds them, and parts of the surface are
// those that the mesh has.
func TestPointsAreInTheDish(t *testing.T) {
	if testing.Short() {
		t.Skip("many meshes")
	}
	rng := rand.New(rand.NewPCG(3, 3))
	for _, shape := range planes {
		f := parsed(t, inPlane(shape, ""))
		mesh := meshOf(t, f, 100)
		in := 0
		for range 5000 {
			x, y := 0.06*rng.Float64(), 0.16*(rng.Float64()-0.5)
			_, err := mesh.Find(x, y)
			if err == nil {
				in++
			}
			require.Equal(t, err == nil, f.holds(x, y, []int{0, 1, 2}), "%s: %g, %g", shape, x, y)
		}
		assert.Greater(t, in, 100, shape)
		assert.Less(t, in, 4900, shape)

		parts := map[geometry.Patch]bool{}
		for _, s := range mesh.Surfaces {
			parts[s.Patch] = true
		}
		assert.Len(t, f.Shape.patches(), len(parts), shape)
		for _, p := range f.Shape.patches() {
			assert.True(t, parts[p], "%s: %s", shape, p)
			place := fmt.Sprintf("[report]\nplaces = [\"surface of %s\"]\n", p)
			_, err := Read(strings.NewReader(inPlane(shape, place)), shape)
			assert.NoError(t, err)
		}
	}
}

// TestPlaneDefaultsAreTrue: what Explain says stands for keys that are not given is what
// runs have.
func TestPlaneDefaultsAreTrue(t *testing.T) {
	for _, shape := range planes {
		f := parsed(t, inPlane(shape, ""))
		values := explained(t, f)
		for key := range values {
			if of, ok := strings.CutPrefix(key, "shape."); ok {
				name, _, _ := strings.Cut(of, "[")
				name, _, _ = strings.Cut(name, ".")
				assert.True(t, f.Shape.kind().may(name), "%s: %s", shape, key)
			}
		}
		assert.Equal(t, fmt.Sprint(geometry.DefaultPlaneCells), values["settings.cells"].Value)
		assert.Equal(t, "cells alike in size", values["settings.cell_ratio"].Value)
		assert.InEpsilon(t, geometry.DefaultPlaneCells, len(meshOf(t, f, 0).Cells), 0.15, shape)

		if f.Shape.Half {
			assert.Contains(t, values["shape.bottom"].Value, "as top")
		}
		mesh := meshOf(t, f, 100)
		want := geometry.Top
		if f.Shape.Kind == finiteCylinder {
			want = geometry.Side
		}
		assert.Equal(t, want, mesh.Surfaces[len(mesh.Surfaces)-1].Patch, "what is brushed by default")
		if f.Shape.Kind != finiteCylinder {
			assert.Equal(t, "1 m", values["shape.length"].Value)
			longer := parsed(t, inPlane(shape+`, length = "1 m"`, ""))
			assert.Equal(t, meshOf(t, longer, 100).Cells, mesh.Cells)
		}
	}
}

// TestValuesArriveInPlane: the shape of each part of the chain has the layers that are on.
func TestValuesArriveInPlane(t *testing.T) {
	links, err := readFile(t, folder+"/closed-roll.toml").Chain()
	require.NoError(t, err)
	require.Len(t, links, 2)
	assert.Equal(t, geometry.FiniteCylinder{Length: 0.06, Half: true}, links[0].Dish.Shape)
	assert.Equal(t, geometry.FiniteCylinder{Length: 0.06, Half: true, Top: []geometry.End{{Layer: "pastry", Thickness: 0.004}}}, links[1].Dish.Shape)
	assert.Equal(t, 1.5, links[0].Settings.CellRatio)
	assert.Contains(t, links[0].Schedule[0].Patches, geometry.Ends)
	assert.Equal(t, fmt.Sprint(thermal.Any(thermal.Above(thermal.At(0.005, 0.02), 40), thermal.Elapsed(20*time.Minute))), fmt.Sprint(links[1].Schedule[0].Until))

	links, err = readFile(t, folder+"/roll-on-a-sheet.toml").Chain()
	require.NoError(t, err)
	assert.Equal(t, geometry.RollSection{Length: 0.3, ContactWidth: 0.01}, links[0].Dish.Shape)
	assert.Equal(t, geometry.Top, links[0].Schedule[0].Brush.Patch)
}

// TestPlaneEndsLikeTheLibrary: a file and the same dish in Go give the same bits.
func TestPlaneEndsLikeTheLibrary(t *testing.T) {
	f := readFile(t, folder+"/filled-bar.toml")
	outcome, err := f.Simulate(context.Background(), nil)
	require.NoError(t, err)
	foods := pantry{}
	dish := thermal.Dish{Shape: geometry.Bar{Width: 0.08, Length: 0.25}, Start: thermal.Uniform(70), Layers: []thermal.Layer{
		{Name: "terrine", Food: foods.find(&report{}, "", "pork loin, raw"), Thickness: 0.03},
		{Name: "fat", Food: foods.find(&report{}, "", "butter"), Thickness: 0.003}}}
	run, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{{Name: "chill", Medium: thermal.Refrigerator(3),
		Patches: map[geometry.Patch]thermal.Medium{geometry.Underside: thermal.Plate(5)}, Until: thermal.Below(thermal.At(0.04, 0.02), 40)}},
		&thermal.Settings{Cells: 100, Grading: geometry.Uniform})
	require.NoError(t, err)
	assert.Equal(t, run.Duration(), outcome.Runs[0].Duration())
	want, err := run.End().Temperature(thermal.Centre())
	require.NoError(t, err)
	assert.Equal(t, want, outcome.Report.End.Centre)
}

// TestPlaneCellsAreBounded, in one part of the chain and in all together.
func TestPlaneCellsAreBounded(t *testing.T) {
	thin := func(n int, stages bool) string {
		var b strings.Builder
		b.WriteString("version = 1\nstart = \"4 C\"\nshape = { kind = \"bar\", width = \"7 cm\" }\n")
		for i := range n {
			fmt.Fprintf(&b, "[[layers]]\nname = \"l%d\"\nfood = \"butter\"\nthickness = \"2 mm\"\n", i)
			if stages && i > 0 {
				fmt.Fprintf(&b, "joins = \"s%d\"\n", i)
			}
		}
		for i := range n {
			if i == 0 || stages {
				fmt.Fprintf(&b, "[[stages]]\nname = \"s%d\"\nmedium = { kind = \"room\", temperature = \"20 C\" }\nuntil = { time = \"1 min\" }\n", i)
			}
		}
		return b.String()
	}
	for text, want := range map[string]string{
		thin(4, true):    "",
		thin(30, false):  "the layers come to 16740 cells",
		thin(200, false): "1200 by 600",
		thin(13, true):   "in all parts of the chain together",
		thin(3, false) + "[settings]\ncells = 6401\n": "6401 are too many in two dimensions",
		thin(3, false) + "[settings]\ncells = 6300\n": "",
	} {
		_, err := Read(strings.NewReader(text), "bounded")
		if want == "" {
			assert.NoError(t, err)
		} else {
			assert.ErrorContains(t, err, want)
		}
	}
}

// TestPlaneChainsRun: random chains in two dimensions that pass Check, layers
// joining and leaving anywhere, run to their end.
func TestPlaneChainsRun(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	rng := rand.New(rand.NewPCG(11, 5))
	pick := func(of ...string) string { return of[rng.IntN(len(of))] }
	ran, parts := 0, 0
	for range 400 {
		var b strings.Builder
		end := func() string {
			return pick("[]", `[{ layer = "l1", thickness = "2 mm" }]`, `[{ layer = "l1", thickness = "2 mm" }, { layer = "l2", thickness = "0.01 mm" }]`, `[{ layer = "l2", thickness = "1 cm" }]`)
		}
		shape := pick(`"finite cylinder", length = "4 cm", top = `+end()+`, bottom = `+end(), `"finite cylinder", length = "9 cm", half = true, top = `+end(),
			`"roll section", contact_width = "`+pick("1 mm", "3 cm", "4.2 cm")+`"`, `"bar", width = "`+pick("1 mm", "8 cm")+`"`, `"tray", width = "12 cm"`)
		fmt.Fprintf(&b, "version = 1\nstart = \"4 C\"\nshape = { kind = %s }\n", shape)
		for i := range 3 {
			fmt.Fprintf(&b, "[[layers]]\nname = \"l%d\"\nfood = \"carrots, raw\"\nthickness = \"%s\"\n", i, []string{"2 cm", "3 mm", "0.02 mm"}[i])
			b.WriteString(pick("", "", "joins = \"s1\"\n", "joins = \"s2\"\n"))
			b.WriteString(pick("", "", "leaves = \"s2\"\n", "leaves = \"s3\"\n"))
		}
		place := pick("centre", "surface", "surface of top", "surface of side", "12 mm out and 3 mm up", "0 mm out and 21 mm up", "22 mm deep", "60 % into l1")
		for i := range 4 {
			fmt.Fprintf(&b, "[[stages]]\nname = \"s%d\"\nmedium = { kind = \"fan oven\", temperature = \"180 C\" }\nuntil = { any = [{ time = \"40 s\" }, { at = \"%s\", above = \"20 C\" }] }\n", i, place)
		}
		fmt.Fprintf(&b, "[[checks]]\nserved = { at = %q, from = \"1 C\", to = \"100 C\" }\n[settings]\ncells = %s\nmoisture = %s\n", place, pick("1", "60", "300"), pick("false", "false", "true"))
		f, err := Read(strings.NewReader(b.String()), "random")
		if err != nil {
			continue
		}
		ran++
		outcome, err := f.Simulate(context.Background(), nil)
		require.NoError(t, err, b.String())
		require.NoError(t, outcome.Stopped, b.String())
		parts += len(outcome.Runs)
	}
	t.Logf("%d files of %d parts", ran, parts)
	assert.Greater(t, ran, 40)
	assert.Greater(t, parts, ran+20)
}
