package apidoc

import (
	"regexp"
	"strings"
)

// bracketed finds text in square brackets. A comment may break a line inside.
var bracketed = regexp.MustCompile(`\[([^\[\]]+)\]`)

// unitToken is one symbol of a unit with its exponent, such as m, kg or m^2.
var unitToken = regexp.MustCompile(`^(°C|°F|K|m|mm|µm|s|ms|min|h|d|kg|g|mg|µg|J|kJ|MJ|W|kW|Pa|kPa|MPa|` +
	`mol|kmol|N|rad|Hz|in|ft|lb|oz|%|log10)(\^?-?[0-9]+|[⁻]?[¹²³⁴])?$`)

// word is what may stand beside a symbol, as in [kg water/kg dry matter].
var word = regexp.MustCompile(`^[a-z]+$`)

// hasUnit reports whether the text has a unit in square brackets. A doc link
// such as [Food], a range such as [0, 1] and a call such as [f(x)] are none.
func hasUnit(text string) bool {
	for _, match := range bracketed.FindAllStringSubmatch(text, -1) {
		if isUnit(match[1]) {
			return true
		}
	}
	return false
}

func isUnit(content string) bool {
	content = strings.TrimSpace(content)
	if content == "-" || content == "1" {
		return true
	}
	content = strings.TrimPrefix(content, "1/")
	tokens := strings.FieldsFunc(content, func(r rune) bool {
		return strings.ContainsRune(" \t\n/()·*", r)
	})
	found := false
	for _, token := range tokens {
		switch {
		case unitToken.MatchString(token):
			found = true
		case !word.MatchString(token):
			return false
		}
	}
	return found
}
