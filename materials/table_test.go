package materials

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEmbeddedTable(t *testing.T) {
	_, err := library()
	require.NoError(t, err)
	foods := Foods()
	require.GreaterOrEqual(t, len(foods), 80)
	assert.True(t, slices.IsSortedFunc(foods, func(a, b Food) int {
		return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	}))
	for _, f := range foods {
		require.NoError(t, f.Validate(), f.Name)
		assert.NotEmpty(t, f.Source, f.Name)
		assert.NotEmpty(t, f.Group, f.Name)
		assert.InDelta(t, 1, f.Composition.Sum(), 1e-12, f.Name)

		// Nothing solid is under fat's 900 kg/m³ or over sugar's 1600.
		solid := f.Density() / (1 - f.Porosity)
		assert.Greater(t, solid, 900.0, f.Name)
		assert.Less(t, solid, 1600.0, f.Name)
		k := f.Conductivity(20, f.Composition.Water, 0)
		assert.Greater(t, k, 0.03, f.Name)
		assert.Less(t, k, 0.605, f.Name)
		tf := f.InitialFreezingPoint()
		assert.GreaterOrEqual(t, tf, -25.0, f.Name)
		assert.LessOrEqual(t, tf, -0.005, f.Name)
		assert.LessOrEqual(t, f.Bound(), f.Composition.Water, f.Name)

		got, err := Find("  " + strings.ToUpper(f.Name) + " ")
		require.NoError(t, err)
		assert.Equal(t, f, got)
		if f.Composition.Fat > 0.2 {
			assert.NotEqual(t, NoFat, f.FatKind, "%s has %.0f %% fat of no kind", f.Name, 100*f.Composition.Fat)
		}
	}
}

// What is handed out can be written to.
func TestFoodsAreCopies(t *testing.T) {
	for i, f := range Foods() {
		if f.BoundWater == nil {
			continue
		}
		*f.BoundWater += 0.1
		assert.NotEqual(t, *f.BoundWater, *Foods()[i].BoundWater)
		again := MustFind(f.Name)
		assert.NotEqual(t, *f.BoundWater, *again.BoundWater)
		return
	}
	t.Fatal("no food with bound water given")
}

func TestWaterOfFoodsIsCopied(t *testing.T) {
	cod := MustFind("cod, raw")
	was := *cod.Transport
	cod.Transport.Diffusivity, cod.Holding.Points[0].Lost, cod.Holding.RawWater = 1, 0.5, 9
	again := MustFind("cod, raw")
	assert.Equal(t, was, *again.Transport)
	assert.Zero(t, again.Holding.Points[0].Lost)
	assert.NotEqual(t, 9.0, again.Holding.RawWater)
}

func TestFindUnknown(t *testing.T) {
	_, err := Find("lam lion")
	var unknown *UnknownFoodError
	require.True(t, errors.As(err, &unknown))
	assert.Equal(t, "lam lion", unknown.Name)
	require.NotEmpty(t, unknown.Nearest)
	assert.Contains(t, unknown.Nearest[0], "lamb loin")
	assert.LessOrEqual(t, len(unknown.Nearest), 5)
	assert.True(t, strings.HasPrefix(err.Error(), `materials: unknown food "lam lion": did you mean "lamb loin`), err.Error())
	assert.True(t, strings.HasSuffix(err.Error(), `?`))

	for _, name := range []string{"", "  ", "zzzzqqq", strings.Repeat("lamb ", 1000), "\xff\xfe"} {
		_, err := Find(name)
		require.True(t, errors.As(err, &unknown), "%q", name)
		assert.Empty(t, unknown.Nearest, "%.20q", name)
	}
	assert.PanicsWithError(t, err.Error(), func() { MustFind("lam lion") })
}

func TestSearch(t *testing.T) {
	names := func(query string) (n []string) {
		for _, f := range Search(query) {
			n = append(n, f.Name)
		}
		return n
	}
	lamb := names("Lamb ")
	require.NotEmpty(t, lamb)
	assert.True(t, strings.HasPrefix(lamb[0], "lamb"))
	assert.Subset(t, names("loin"), []string{"lamb loin, cooked", "lamb loin, raw"})
	assert.Contains(t, names("cooked, lamb"), "lamb loin, cooked")
	assert.NotContains(t, names("cooked, lamb"), "lamb loin, raw")
	assert.Empty(t, names(""))
	assert.Empty(t, names(" ,"))
	assert.Empty(t, names("zzzzqqq"))
	assert.Empty(t, names(strings.Repeat("a", 1000)))
}

// heading is that of a table without the columns on water.
var heading = func() string {
	var names []string
	for i, name := range tableColumns {
		if !optional(i) {
			names = append(names, name)
		}
	}
	return strings.Join(names, ",") + "\n"
}()

func TestParseTable(t *testing.T) {
	foods, err := ParseTable(strings.NewReader("\ufeff# mine\r\n\n" + heading +
		"\"stew, thick\",sauces,70,10,5,10,2,2,1,3,-1.5,0.05,fibre-along,0.1,tallow,oswin 0.13 0.33,\"me, today\",a note\r\n" +
		"# between\n" +
		"plain,,99,,,,,,,,,,,,,,,\n"))
	require.NoError(t, err)
	require.Len(t, foods, 2)
	f := foods[0]
	assert.Equal(t, "stew, thick", f.Name)
	assert.Equal(t, "sauces", f.Group)
	assert.Equal(t, "me, today", f.Source)
	assert.InDelta(t, 70.0/99, f.Composition.Water, 1e-12)
	assert.InDelta(t, 3.0/99, f.Composition.Sugar, 1e-12)
	assert.InDelta(t, 1.0/99, f.Composition.Salt, 1e-12)
	assert.Equal(t, -1.5, f.FreezingPoint)
	assert.Equal(t, 0.05, *f.BoundWater)
	assert.Equal(t, FibreAlong, f.Structure)
	assert.Equal(t, 0.1, f.Porosity)
	assert.Equal(t, Tallow, f.FatKind)
	assert.Equal(t, Oswin(0.13, 0.33), f.Isotherm)
	g := foods[1]
	assert.Nil(t, g.BoundWater)
	assert.Equal(t, Compact, g.Structure)
	assert.Equal(t, NoFat, g.FatKind)
	assert.True(t, g.Isotherm.IsZero())
}

// fullHeading is that of a table with the columns on water.
var fullHeading = strings.Join(tableColumns, ",") + "\n"

func TestParseTableOnWater(t *testing.T) {
	foods, err := ParseTable(strings.NewReader(fullHeading +
		"raw,,75,22,2,,,1,,,,,fibre-across,,,,2e-10,20000,0.5,1e-12,3,beef,,a paper,,\n" +
		"cooked,,65,30,4,,,1,,,,,fibre-across,,,,,,0,,,Lean Fish 3.41,,\"two, papers\",,\n" +
		"crumb,,36,8,3,50,2,1,,,,,open-pores,0.7,,,,,,,,,2.5,,,\n"))
	require.NoError(t, err)
	require.Len(t, foods, 3)
	raw, cooked, crumb := foods[0], foods[1], foods[2]

	w, given := raw.WaterTransport()
	assert.True(t, given)
	assert.Contains(t, w.Source, "given: a paper;")
	w.Source = ""
	assert.Equal(t, Transport{Diffusivity: 2e-10, Activation: 20000, HalfMoisture: 0.5, Permeability: 1e-12, MeltedFat: 3}, w)
	assert.Equal(t, "beef", raw.Holding.Name)
	assert.InEpsilon(t, 75.0/22, raw.Holding.RawWater, 1e-12)
	assert.Zero(t, raw.Soak)

	// A given 0 is a 0; the cells left empty are as usual.
	w, given = cooked.WaterTransport()
	assert.True(t, given)
	assert.Zero(t, w.HalfMoisture)
	assert.Equal(t, muscleDiffusivity, w.Diffusivity)
	assert.Contains(t, w.Source, "given: two, papers;")
	assert.Equal(t, "lean-fish", cooked.Holding.Name)
	assert.Equal(t, 3.41, cooked.Holding.RawWater)

	assert.Nil(t, crumb.Transport)
	assert.Nil(t, crumb.Holding)
	assert.Equal(t, 2.5, crumb.Soak)

	// Each of the columns may be left out.
	some := strings.Replace(heading, "source,note", "holding,soak,source,note", 1)
	foods, err = ParseTable(strings.NewReader(some + "a,,75,22,2,,,1,,,,,,,,,beef,3,s,n\n"))
	require.NoError(t, err)
	assert.Equal(t, "beef", foods[0].Holding.Name)
	assert.Equal(t, 3.0, foods[0].Soak)
	assert.Equal(t, "s", foods[0].Source)
	assert.Nil(t, foods[0].Transport)
}

func TestParseTableFaultsOnWater(t *testing.T) {
	row := func(cells string) string { return fullHeading + "a,,75,22,2,,,1,,,,,,,,," + cells + ",,,\n" }
	for _, test := range []struct{ name, text, column string }{
		{"diffusivity", row("1,,,,,,"), "diffusivity"},
		{"diffusivity NaN", row("NaN,,,,,,"), "diffusivity"},
		{"diffusivity word", row("fast,,,,,,"), "diffusivity"},
		{"activation", row(",-1,,,,,"), "activation"},
		{"half moisture", row(",,11,,,,"), "half_moisture"},
		{"permeability", row(",,,1e-9,,,"), "permeability"},
		{"melted fat", row(",,,,0.5,,"), "melted_fat"},
		{"melted fat word", row(",,,,much,,"), "melted_fat"},
		{"holding", row(",,,,,goat,"), "holding"},
		{"holding number", row(",,,,,beef three,"), "holding"},
		{"holding negative", row(",,,,,beef -3,"), "holding"},
		{"holding NaN", row(",,,,,beef NaN,"), "holding"},
		{"holding only a number", row(",,,,,3.4,"), "holding"},
		{"holding without protein", fullHeading + "a,,100,,,,,,,,,,,,,,,,,,,beef,,,,\n", "holding"},
		{"soak", row(",,,,,,51"), "soak"},
		{"soak negative", row(",,,,,,-1"), "soak"},
		{"soak infinite", row(",,,,,,Inf"), "soak"},
		{"order", strings.Replace(fullHeading, "holding,soak", "soak,holding", 1), "source"},
		{"column at the end", strings.Replace(heading, "note", "note,soak", 1), ""},
		{"too many", strings.Replace(fullHeading, "note", "note,more", 1), ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			foods, err := ParseTable(strings.NewReader(test.text))
			assert.Nil(t, foods)
			var e *TableError
			require.True(t, errors.As(err, &e), "%v", err)
			assert.Equal(t, test.column, e.Column, err)
		})
	}
}

// What the embedded rows say of water has its source beside it, and a food that
// soaks can take up more than it holds.
func TestEmbeddedRowsOnWater(t *testing.T) {
	lines := bufio.NewScanner(strings.NewReader(string(embedded)))
	seen := 0
	for lines.Scan() {
		if text := lines.Text(); text == "" || text[0] == '#' || strings.HasPrefix(text, "name,") {
			continue
		}
		record, err := splitRecord(lines.Text())
		require.NoError(t, err)
		for column := colDiffusivity; column <= colSoak; column++ {
			if record[column] != "" && column != colHolding {
				assert.NotEmpty(t, record[colWaterSource], "%s: %s", record[colName], tableColumns[column])
				seen++
			}
		}
	}
	require.NoError(t, lines.Err())
	assert.Greater(t, seen, 30)
	for _, f := range Foods() {
		if f.Soak > 0 {
			c := f.Composition
			assert.Greater(t, f.Soak, c.Water/(c.Protein+c.Carbohydrate+c.Fibre+c.Ash), f.Name)
		}
	}
}

func TestParseTableFaults(t *testing.T) {
	many := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "food %d,,100,,,,,,,,,,,,,,,\n", i)
		}
		return b.String()
	}
	tests := []struct {
		name, text string
		line       int
		column     string
	}{
		{"empty", "", 1, ""},
		{"comments only", "# a\n# b\n", 3, ""},
		{"columns", "a,b\n", 1, ""},
		{"heading", strings.Replace(heading, "protein", "albumen", 1), 1, "protein"},
		{"short row", heading + "a,b,1\n", 2, ""},
		{"quotes", heading + "a,\"b,70\n", 2, ""},
		{"no name", heading + ",,100,,,,,,,,,,,,,,,\n", 2, "name"},
		{"twice", heading + "Aa,,100,,,,,,,,,,,,,,,\naA,,100,,,,,,,,,,,,,,,\n", 3, "name"},
		{"word for number", heading + "a,,much,,,,,,,,,,,,,,,\n", 2, "water"},
		{"NaN", heading + "a,,NaN,,,,,,,,,,,,,,,\n", 2, "water..ash"},
		{"infinite", heading + "a,,Inf,,,,,,,,,,,,,,,\n", 2, "water..ash"},
		{"sum", heading + "a,,90,,,,,,,,,,,,,,,\n", 2, "water..ash"},
		{"negative", heading + "a,,105,-5,,,,,,,,,,,,,,\n", 2, "protein"},
		{"salt", heading + "a,,99,,,,,1,2,,,,,,,,,\n", 2, "salt"},
		{"sugar NaN", heading + "a,,99,,,,,1,,NaN,,,,,,,,\n", 2, "sugar"},
		{"freezing point", heading + "a,,100,,,,,,,,3,,,,,,,\n", 2, "freezing_point"},
		{"bound water", heading + "a,,100,,,,,,,,,1.5,,,,,,\n", 2, "bound_water"},
		{"structure", heading + "a,,100,,,,,,,,,,wobbly,,,,,\n", 2, "structure"},
		{"porosity", heading + "a,,100,,,,,,,,,,,1,,,,\n", 2, "porosity"},
		{"fat", heading + "a,,100,,,,,,,,,,,,butters,,,\n", 2, "fat_kind"},
		{"isotherm", heading + "a,,100,,,,,,,,,,,,,gab 1 2,,\n", 2, "isotherm"},
		{"isotherm words", heading + "a,,100,,,,,,,,,,,,,gab 1 2 3 4 5,,\n", 2, "isotherm"},
		{"isotherm number", heading + "a,,100,,,,,,,,,,,,,oswin x 2,,\n", 2, "isotherm"},
		{"isotherm range", heading + "a,,100,,,,,,,,,,,,,gab 0.07 15 1.1,,\n", 2, "isotherm"},
		{"long line", heading + strings.Repeat("a", maxLineBytes+1), 2, ""},
		{"many rows", heading + many(maxRows+1), maxRows + 2, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			foods, err := ParseTable(strings.NewReader(test.text))
			assert.Nil(t, foods)
			var e *TableError
			require.True(t, errors.As(err, &e), "%v", err)
			assert.Equal(t, test.line, e.Line, err)
			assert.Equal(t, test.column, e.Column, err)
			assert.Contains(t, err.Error(), fmt.Sprintf("materials: table line %d", test.line))
		})
	}
	foods, err := ParseTable(strings.NewReader(heading + many(maxRows)))
	require.NoError(t, err)
	assert.Len(t, foods, maxRows)
	_, err = ParseTable(iotest.ErrReader(io.ErrUnexpectedEOF))
	assert.ErrorIs(t, err, io.ErrUnexpectedEOF)
}

// Rows of the embedded table must be one line each and short of the limit with
// room, or a table made after it would not be read.
func TestEmbeddedLinesAreShort(t *testing.T) {
	lines := bufio.NewScanner(strings.NewReader(string(embedded)))
	for lines.Scan() {
		assert.Less(t, len(lines.Text()), maxLineBytes/4)
	}
	require.NoError(t, lines.Err())
}

func TestNamesAreReadBack(t *testing.T) {
	for s := Structure(0); s < structures; s++ {
		for _, name := range []string{s.String(), strings.ToUpper(s.String()), " " + strings.ReplaceAll(s.String(), "-", " ")} {
			got, err := ParseStructure(name)
			require.NoError(t, err)
			assert.Equal(t, s, got)
		}
	}
	for k := FatKind(0); k < fatKinds; k++ {
		for _, name := range []string{k.String(), strings.ToUpper(k.String()), strings.ReplaceAll(k.String(), "-", " ")} {
			got, err := ParseFatKind(name)
			require.NoError(t, err)
			assert.Equal(t, k, got)
		}
	}
	for _, bad := range []string{"", "x", "compactx"} {
		var e *NameError
		_, err := ParseStructure(bad)
		assert.ErrorAs(t, err, &e)
		_, err = ParseFatKind(bad)
		assert.ErrorAs(t, err, &e)
		assert.Contains(t, err.Error(), "materials: unknown fat kind")
	}
	assert.Equal(t, "Structure(99)", Structure(99).String())
	assert.Equal(t, "FatKind(99)", FatKind(99).String())
}
