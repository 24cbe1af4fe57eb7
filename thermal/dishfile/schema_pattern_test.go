package dishfile

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// examples are the texts in quotes that do not name a layer.
func examples(what string) (out []string) {
	for _, m := range regexp.MustCompile(`'([^']+)'`).FindAllStringSubmatch(what, -1) {
		if !strings.Contains(m[1], "LAYER") {
			out = append(out, m[1])
		}
	}
	return out
}

// pattern is that of a kind of text, with what it is in words.
func (g *generator) pattern(t reflect.Type) (pattern, what string) {
	switch v := reflect.Zero(t).Interface().(type) {
	case Humidity:
		return `^(?:sealed|steam|dew point ` + spaced(&temperatures) + `|wet bulb ` + spaced(&temperatures) + `|vapour ` + spaced(&pressures) +
			`|ratio ` + spaced(&shares) + `|` + spaced(&shares) + `)$`, humidityWant
	case Place:
		return `^(?:centre|surface|(?:coldest|hottest|mean) of .+|` + spaced(&lengths) + ` deep|surface of (?:` + strings.Join(surfaceWords(), "|") + `)|` + spaced(&lengths) + ` out and ` + spaced(&lengths) + ` up|` + spaced(&shares) + ` into .+)$`, placeWant
	case quantity:
		for _, d := range []*dimension{&lengths, &areas, &temperatures, &times, &masses, &shares, &pressures, &coefficients, &resistances, &permeances, &coverages,
			&powers, &volumes, &differences, &conductances, &flows} {
			if d.what == wanted(v) {
				return "^" + spaced(d) + "$", d.what
			}
		}
	}
	require.Fail(g.t, "no pattern", "of %v", t)
	return "", ""
}

// spaced is the pattern of the quantities of a dimension, spaces around allowed.
func spaced(d *dimension) string {
	const number = `(?:[0-9]+ [0-9]+/0*[1-9][0-9]*|[0-9]+/0*[1-9][0-9]*|[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?)`
	var units []string
	for _, u := range d.units {
		var letters []string
		for _, r := range u.name {
			letter := regexp.QuoteMeta(string(r))
			switch r {
			case '2':
				letter = "[2²]"
			case '3':
				letter = "[3³]"
			case 'µ':
				letter = "[µμ]"
			}
			letters = append(letters, letter)
		}
		gap := `[ \t·]*`
		if d.compound {
			gap = ""
		}
		units = append(units, strings.Join(letters, gap))
	}
	unit := "(?:" + strings.Join(units, "|") + ")"
	if d.compound {
		return `\s*(?:-` + number + `\s*` + unit + `|\+?` + number + `\s*` + unit + `(?:[ \t]*\+?` + number + `[ \t]*` + unit + `)*)\s*`
	}
	return `\s*[+-]?` + number + `\s*[ \t·]*` + unit + `[ \t·]*\s*`
}

// TestPatternsAgreeWithQuantities on many texts, right and nearly right: what Read takes
// is in its plain form what the schema takes.
func TestPatternsAgreeWithQuantities(t *testing.T) {
	if testing.Short() {
		t.Skip("many texts")
	}
	var document struct {
		Defs map[string]struct {
			Pattern  string
			Examples []string
		} `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(Schema(), &document))
	for name, read := range map[string]func(string) error{
		"Length": reads[Length], "Area": reads[Area], "Temp": reads[Temp], "Time": reads[Time], "Mass": reads[Mass], "Share": reads[Share],
		"Pressure": reads[Pressure], "Coefficient": reads[Coefficient], "Resistance": reads[Resistance], "Permeance": reads[Permeance],
		"Coverage": reads[Coverage], "Power": reads[Power], "Volume": reads[Volume], "Difference": reads[Difference], "Conductance": reads[Conductance], "Flow": reads[Flow],
		"Humidity": func(s string) error { _, err := Humidity(s).parse(); return err },
		"Place":    func(s string) error { _, _, err := Place(s).parse(); return err },
	} {
		def := document.Defs[name]
		require.NotEmpty(t, def.Pattern, name)
		require.NotEmpty(t, def.Examples, name)
		pattern := regexp.MustCompile(def.Pattern)
		rng := rand.New(rand.NewPCG(7, 7))
		good, bad := 0, 0
		for i := range 15000 {
			text := drawText(rng, def.Examples)
			if i < len(def.Examples) {
				text = def.Examples[i]
			}
			err := read(text)
			if i < len(def.Examples) {
				require.NoError(t, err)
			}
			plain := plainly(name, text)
			require.Equal(t, plain, plainly(name, plain), "%s %q", name, text)
			if matched := pattern.MatchString(text); plain != text && matched {
				require.True(t, pattern.MatchString(plain), "%s %q is plain enough for the schema", name, text)
			}
			matches := pattern.MatchString(plain)
			if err == nil {
				good++
			} else if bad++; matches && outOfBounds(name, plain, err) {
				continue
			}
			require.Equal(t, err == nil, matches, "%s %q: %v", name, text, err)
		}
		assert.Greater(t, good, 1000, name)
		assert.Greater(t, bad, 1000, name)
	}
}

// dimensions are those of the types of quantities.
var dimensions = map[string]*dimension{"Length": &lengths, "Area": &areas, "Temp": &temperatures, "Time": &times, "Mass": &masses, "Share": &shares,
	"Pressure": &pressures, "Coefficient": &coefficients, "Resistance": &resistances, "Permeance": &permeances, "Coverage": &coverages,
	"Power": &powers, "Volume": &volumes, "Difference": &differences, "Conductance": &conductances, "Flow": &flows}

// plainly gives a text with its quantity in plain form. A comma that is in doubt is in no
// plain form, which the texts of patterns show.
func plainly(name, text string) string {
	if d := dimensions[name]; d != nil {
		return d.plain(text)
	}
	text = strings.TrimSpace(text)
	alone := humidityWords
	if name == "Place" {
		alone = placeWords
	}
	if word := listed(text, alone); slices.Contains(alone, word) {
		return word
	}
	if name == "Humidity" {
		for prefix, d := range map[string]*dimension{"dew point ": &temperatures, "wet bulb ": &temperatures, "vapour ": &pressures, "vapor ": &pressures, "ratio ": &shares} {
			if rest, ok := cutPrefix(text, prefix); ok {
				return strings.Replace(prefix, "vapor", "vapour", 1) + d.plain(rest)
			}
		}
		return shares.plain(text)
	}
	for _, prefix := range []string{"coldest of ", "hottest of ", "mean of "} {
		if layer, ok := cutPrefix(text, prefix); ok {
			return prefix + layer
		}
	}
	if part, ok := Place(text).patch(); ok {
		return "surface of " + part
	}
	if m := outAndUp.FindStringSubmatch(text); m != nil {
		return lengths.plain(m[1]) + " out and " + lengths.plain(m[2]) + " up"
	}
	const deep = " deep"
	if depth := text[:max(0, len(text)-len(deep))]; strings.EqualFold(text[len(depth):], deep) {
		return lengths.plain(depth) + deep
	}
	if share, layer, ok := strings.Cut(text, " into "); ok {
		return shares.plain(share) + " into " + layer
	}
	return text
}

func reads[Q interface {
	~string
	quantity
}](s string) error {
	_, err := Q(s).SI()
	return err
}

// outOfBounds says that it is the size of a number that is refused, which no pattern
// knows: too great for a computer, or a place outside of a layer.
func outOfBounds(name, text string, err error) bool {
	if name == "Place" && !tooGreat.MatchString(text) {
		share, _, into := strings.Cut(text, " into ")
		x, fault := shares.read(share)
		depth, ok := strings.CutSuffix(text, " deep")
		y, wrong := lengths.read(depth)
		out, _, _ := strings.Cut(text, " out and ")
		z, no := lengths.read(out)
		return into && fault == nil && !(x >= 0 && x <= 1) || ok && wrong == nil && y < 0 || no == nil && z < 0
	}
	return strings.Contains(err.Error(), "finite") || tooGreat.MatchString(text)
}

var tooGreat = regexp.MustCompile(`[eE]\+?[0-9]{3}`)

// drawText puts a quantity together from parts that fit or do not, or spoils an example.
func drawText(rng *rand.Rand, examples []string) string {
	pick := func(of ...string) string { return of[rng.IntN(len(of))] }
	if rng.IntN(3) == 0 {
		text := []rune(pick(examples...))
		for range rng.IntN(3) {
			at := rng.IntN(len(text) + 1)
			switch letter := []rune(" \t\n·²2μµ°%/().-+eE0159mckCFKWghinsPadoblJx"); {
			case rng.IntN(2) == 0 || at == len(text):
				text = slices.Insert(text, at, letter[rng.IntN(len(letter))])
			default:
				text = slices.Delete(text, at, at+1)
			}
		}
		return string(text)
	}
	_, unit, _ := strings.Cut(pick(examples...), " ")
	var b strings.Builder
	b.WriteString(pick("", "", "", " ", "dew point ", "wet bulb ", "vapour ", "ratio "))
	for range 1 + rng.IntN(2)*rng.IntN(3) {
		b.WriteString(pick("", "", "", "", "-", "+", "--"))
		b.WriteString(pick("6", "12.5", "1/4", "1 1/2", "0", "007", "1e3", "1.5E-3", "1e999", "1/0", "3/00", "1.", ".5", "1,5", "1e", "0x1", "NaN"))
		b.WriteString(pick("", " ", " ", "  ", "\t", "\n", "·"))
		b.WriteString(pick(unit, unit, unit, "mm", "cm", "in", "ft", "min", "h", "d", "s", "C", "°F", "K", "kg", "lb", "oz", "%", "Pa", "bar", "m²", "cm2", "W/(m²·K)", "W / m2 K", "kg/m²", ""))
		b.WriteString(pick("", "", "", " ", "\t", "\n"))
	}
	b.WriteString(pick("", "", "", "", " deep", " into crust", " of lamb", " out and 2 mm up", " out and -1/4 in up"))
	return b.String()
}
