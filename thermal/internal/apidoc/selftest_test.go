package apidoc

import (
	"go/parser"
	"go/token"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestIsUnit(t *testing.T) {
	for _, text := range []string{
		"[-]", "[1]", "[°C]", "[%]", "[W/(m K)]", "[kJ/kg]", "[1/K]", "[m2]", "[m^2 s^-1]", "[m²/s]", "[m s⁻¹]",
		"[kg water/kg dry matter]", "[kg/(m2 s Pa)]", "[log10]", "[°F]", "see [Food] in [K]", "[W/(m\nK)]",
	} {
		assert.True(t, hasUnit(text), text)
	}
	for _, text := range []string{
		"", "W/(m K)", "[Food]", "[geometry.Mesh]", "[*Mesh]", "[Dish.Start]", "[0, 1]", "[0,1]", "[0 1]", "[-1, 1]",
		"[mesh]", "[time.Duration]", "[]", "[C]", "[12]", "[Choi and Okos 1986]", "x[i]", "[a-b]", "[Kelvin]",
	} {
		assert.False(t, hasUnit(text), text)
	}
}

// TestRules shows each rule a breach of it and the same put right.
func TestRules(t *testing.T) {
	long := strings.Repeat("\n", maxLines)
	for _, test := range []struct {
		name, source string
		want         []string
	}{
		{"function without comment", "func F() {}", []string{"p.go:2: F lacks a comment"}},
		{"function with comment", "// F is.\nfunc F() {}", nil},
		{"directive is no comment", "//go:noinline\nfunc F() {}", []string{"F lacks a comment"}},
		{"unexported", "func f() float64 { return 0 }\ntype t struct{ X float64 }\nfunc (t) M() {}\nvar v, _ = 0, 1", nil},
		{"method", "// T is.\ntype T[V any] struct{}\nfunc (t *T[V]) M() {}", []string{"T.M lacks"}},
		{"result without unit", "// F is.\nfunc F() (x float64, err error) { return }", []string{"F takes or returns"}},
		{"result with unit", "// F is [m].\nfunc F() (x float64, err error) { return }", nil},
		{"parameter without unit", "// F is.\nfunc F(x ...float64) {}", []string{"F takes or returns"}},
		{"result of floats", "// F is.\nfunc F() iter.Seq2[int, []float64] { return nil }", []string{"F takes or returns"}},
		{"parameter called float64", "// F is.\nfunc F(float64 int) {}", nil},
		{"doc link is no unit", "// F is a [Mesh].\nfunc F() float64 { return 0 }", []string{"F takes or returns"}},
		{"type without comment", "type T int", []string{"T lacks a comment"}},
		{"type group", "// Group.\ntype (\n\tT int\n\t// U is.\n\tU int\n)", []string{"p.go:4: T lacks"}},
		{"type of float", "// T is.\ntype T func(x float64) int", []string{"T is made of float64"}},
		{"type of float with unit", "// T is [s].\ntype T []float64", nil},
		{"values", "var A, b = 1, 2\nconst C = 3", []string{"A lacks", "C lacks"}},
		{"value group", "// Kinds.\nconst (\n\tA = iota\n\tB\n)\nvar D = 1 // D is.", nil},
		{"field without comment or number", "// T is.\ntype T struct {\n\tA int\n\tb int\n}", nil},
		{"field without unit", "// T is.\ntype T struct {\n\tA, B map[string]*float64 // are\n}",
			[]string{"T.A holds", "T.B holds"}},
		{"field group", "// T is.\ntype T struct {\n\t// Both in [m].\n\tA float64\n\tB float64 // the second\n\n\tC float64 // [s]\n}", nil},
		{"group ends at an empty line", "// T is.\ntype T struct {\n\t// A is [m].\n\tA float64\n\n\tB float64\n}", []string{"T.B holds"}},
		{"group ends at a comment", "// T is.\ntype T struct {\n\t// A is [m].\n\tA float64\n\t// B is.\n\tB float64\n}", []string{"T.B holds"}},
		{"first field on the line of the struct", "// T is.\ntype T struct{ A float64 }", []string{"T.A holds"}},
		{"embedded field", "// T is.\ntype T struct {\n\tU\n}\n\n// U is.\ntype U struct{}", nil},
		{"inner struct", "// T is.\ntype T struct {\n\t// A is.\n\tA []struct{ B float64 }\n}", []string{"T.A.B holds"}},
		{"interface", "// I is.\ntype I interface {\n\tA()\n\t// B is.\n\tB() float64\n\t// C is [K].\n\tC() float64\n\terror\n}",
			[]string{"I.A lacks", "I.B takes or returns"}},
		{"settings", "// MySettings are.\ntype MySettings struct {\n\t// A is.\n\tA int\n\t// B is; the Default is 3.\n\tB int\n}",
			[]string{"MySettings.A: the comment of a settings field"}},
		{"short enough", strings.Repeat("\n", maxLines-1), nil},
		{"too long", long, []string{"file has 401 lines"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			c := checker{fset: token.NewFileSet()}
			file, err := parser.ParseFile(c.fset, "p.go", "package p\n"+test.source, parser.ParseComments)
			require.NoError(t, err)
			c.file(file)
			require.Len(t, c.faults, len(test.want), "%v", c.faults)
			for i, want := range test.want {
				assert.Contains(t, c.faults[i].String(), want)
			}
		})
	}
}
