package dishfile

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// notTOML puts what the parser has found in a line, at a byte of it, into words that name
// the usual slips; the parser's own words are left for the others.
func notTOML(data []byte, line, at int, message string) *boundError {
	var text string
	if all := bytes.Split(data, []byte{'\n'}); line >= 1 && line <= len(all) {
		text = strings.TrimRight(string(all[line-1]), "\r")
	}
	l := scanLine(text)
	at = min(max(at, 0), len(text))
	inList := strings.Contains(message, "value") || strings.Contains(message, "keyword")
	m := l.mistake(at, inList)
	head := strings.HasPrefix(text, "[") && strings.Contains(message, "newline")
	switch {
	case head || strings.HasSuffix(message, "table name"):
		m = &mistake{at: at, problem: "the head of a table is not right", want: "one word between brackets, as [settings], or as [[layers]] for one of several"}
	case m == nil && strings.Contains(message, "inline table"):
		m = unclosed(data, line)
	}
	if m == nil {
		m = inOtherWords(message, at)
	}
	if m.line > 0 {
		return &boundError{line: m.line, column: m.at, problem: m.problem, want: m.want}
	}
	return &boundError{line: line, column: utf8.RuneCountInString(text[:m.at]) + 1, problem: m.problem, want: m.want}
}

// otherWords are what the parser's mean to a cook.
var otherWords = []struct{ part, problem, want string }{
	{"expected newline", "more on the line after its value", "a line for each key, and # before a remark"},
	{"invalid escape", "a backslash in a text", `two of them (\\) for one, or single quotes around the text`},
	{"array", "a list that goes on without a comma or does not end", "a comma between what is in it, and ] at its end"},
}

// inOtherWords says what the parser says, where the line shows none of the usual slips.
func inOtherWords(message string, at int) *mistake {
	for _, w := range otherWords {
		if strings.Contains(message, w.part) {
			return &mistake{at: at, problem: w.problem, want: w.want}
		}
	}
	return &mistake{at: at, problem: "not TOML: " + message, want: "a text that keeps to TOML 1.0"}
}

// mistake is a slip at a byte of a line; with line, one of another line at a column.
type mistake struct {
	line, at      int
	problem, want string
}

// tomlLine is a line taken apart as far as that can be done without knowing what comes
// before it.
type tomlLine struct {
	text   string // without a remark at the end
	curly  int    // the first curly quote outside of texts; -1 for none, as below
	open   int    // the quote that has no second
	inside []bool // whether a byte is one of a text in quotes, which count as well
}

const curlyQuotes = "“”„‟‘’‚‛«»"

func scanLine(text string) *tomlLine {
	l := &tomlLine{text: text, curly: -1, open: -1, inside: make([]bool, len(text))}
	data := []byte(text)
	for i, r := range text {
		switch {
		case l.inside[i]:
		case r == '#':
			l.text = text[:i]
			return l
		case r == '"' || r == '\'':
			end := textEnd(data, i)
			if text[end] != text[i] || end == i {
				l.open, end = i, len(text)-1
			}
			for j := i; j <= end; j++ {
				l.inside[j] = true
			}
			if body := strings.TrimRight(text, " \t,]}"); l.open >= 0 && l.curly < 0 {
				if r, n := utf8.DecodeLastRuneInString(body); strings.ContainsRune(curlyQuotes, r) {
					l.curly = len(body) - n
				}
			}
		case strings.ContainsRune(curlyQuotes, r) && l.curly < 0:
			l.curly = i
		}
	}
	return l
}

// find is the first of some letters outside of texts, in a part of the line; -1 for none.
func (l *tomlLine) find(letters string, from, to int) int {
	for i := from; i < to; i++ {
		if !l.inside[i] && strings.IndexByte(letters, l.text[i]) >= 0 {
			return i
		}
	}
	return -1
}

// part is the bounds of the key and value around a byte: the line, or what stands between
// the commas of a table or list in the line, whose bracket is in.
func (l *tomlLine) part(at int) (from, to int, in byte) {
	var open []byte
	for i := l.find("=", 0, len(l.text)) + 1; i < len(l.text); i++ {
		c := l.text[i]
		switch {
		case l.inside[i] || strings.IndexByte("{}[],", c) < 0 || c == ',' && len(open) == 0:
			continue
		case i >= at && (c == '{' || c == '[') && l.find("=", from, i) >= 0:
			continue // a value that begins with it
		case i >= at:
			to = i
		case c == '{' || c == '[':
			open = append(open, c)
		case c != ',' && len(open) > 0:
			open = open[:len(open)-1]
		}
		if to > 0 {
			break
		}
		from = i + 1
	}
	if to == 0 {
		to = len(l.text)
	}
	if len(open) > 0 {
		in = open[len(open)-1]
	}
	return from, to, in
}

var (
	bareKey = regexp.MustCompile(`^\s*[A-Za-z0-9_.-]*\s*$`)
	commaed = regexp.MustCompile(`^[+-]?[0-9]+,[0-9]+$`)
	anyCase = regexp.MustCompile(`^(?i:true|false)$`)
)

// mistake finds the slip in a line in which the parser stopped at a byte, where it looked
// for a value or for a key; nil if it is none of the usual.
func (l *tomlLine) mistake(at int, value bool) *mistake {
	if strings.Contains(l.text, `"""`) || strings.Contains(l.text, `'''`) {
		return nil
	}
	from, to, in := l.part(at)
	equals, colon := l.find("=", from, to), l.find(":", from, to)
	key := strings.TrimSpace(l.text[from:to])
	switch {
	case l.curly >= 0 && l.curly < len(l.text):
		return &mistake{at: l.curly, problem: "a curly quote, as word processors make them", want: `plain quotes, as in start = "-18 C"`}
	case key == "":
		return nil
	case colon >= 0 && in != '[' && (equals < 0 || colon < equals):
		return &mistake{at: colon, problem: "a colon where there should be =", want: "an equals sign, as in " + strings.TrimSpace(l.text[from:colon]) + " = ..."}
	case in == '[':
		return l.ofValue("", from, to)
	case in == 0 && equals < 0 && value: // a line of a list of many
		for i := l.find(",", from, to); i >= 0; i = l.find(",", i+1, to) {
			if i >= at {
				to = i
			} else {
				from = i + 1
			}
		}
		return l.ofValue("", from, to)
	case equals < 0 && in == '{':
		return &mistake{at: l.start(from), problem: "a key without =", want: `key = value, as in { kind = "slab" }`}
	case equals < 0:
		return &mistake{at: l.start(from), problem: "a line without =", want: `key = value, as in start = "-18 C", a head such as [settings], or # before a remark`}
	case l.find("{[", from, equals) >= 0:
		return &mistake{at: l.find("{[", from, equals), problem: "no = before a bracket", want: `one, as in shape = { kind = "slab" }`}
	case !bareKey.MatchString(l.text[from:equals]) && !slices.Contains(l.inside[from:equals], true):
		return &mistake{at: l.start(from), problem: quote(strings.TrimSpace(l.text[from:equals])) + " is no key", want: "one word before the =, such as freezing_point"}
	}
	return l.ofValue(strings.TrimSpace(l.text[from:equals])+" = ", equals+1, to)
}

// start is the first byte from one on that is no space.
func (l *tomlLine) start(from int) int {
	return len(l.text) - len(strings.TrimLeft(l.text[from:], " \t"))
}

// ofValue finds the slip in a value, before which key stands.
func (l *tomlLine) ofValue(key string, from, to int) *mistake {
	from = min(l.start(from), to)
	value := strings.TrimSpace(l.text[from:to])
	last := from + len(value) - 1
	quoted := func(s string) string {
		return "quotes around it, as in " + key + `"` + shorten(strings.Trim(s, `"',; `)) + `"`
	}
	switch {
	case value == "":
		return &mistake{at: from, problem: "nothing stands after the =", want: "a value, as in start = \"-18 C\""}
	case value[0] == '=':
		return &mistake{at: from, problem: "a second =", want: "one"}
	case commaed.MatchString(value):
		return &mistake{at: from, problem: "a number with a comma", want: "a decimal point, as in " + key + strings.Replace(value, ",", ".", 1) + ", or a quantity in quotes with its unit"}
	case value[len(value)-1] == ',' || value[len(value)-1] == ';':
		if !l.inside[last] {
			return &mistake{at: last, problem: "a " + map[byte]string{',': "comma", ';': "semicolon"}[value[len(value)-1]] + " at the end of the line", want: "none: the next key has a line of its own"}
		}
	}
	if value[0] == '"' || value[0] == '\'' {
		return l.ofText(key, from, last+1)
	}
	switch {
	case value[0] == '{' || value[0] == '[':
		return nil
	case l.find("={[", from, last) >= 0:
		return &mistake{at: from, problem: "a table without its first brace, or without the = before it", want: `both, as in shape = { kind = "slab" }`}
	case l.open >= from && l.open <= last:
		return &mistake{at: from, problem: "a text without its first quote", want: quoted(value)}
	case anyCase.MatchString(value):
		return &mistake{at: from, problem: value + " has capitals", want: key + strings.ToLower(value)}
	}
	return &mistake{at: from, problem: "a text without quotes", want: quoted(value)}
}

// ofText finds the slip in a value that begins with a quote.
func (l *tomlLine) ofText(key string, from, to int) *mistake {
	end := from + 1
	for end < to && l.inside[end] && (l.text[end] != l.text[from] || l.text[end-1] == '\\') {
		end++
	}
	rest := strings.TrimSpace(l.text[min(end+1, to):to])
	switch {
	case l.open == from:
		other := map[byte]string{'"': "'", '\'': `"`}[l.text[from]]
		if strings.HasSuffix(l.text, other) {
			return &mistake{at: from, problem: "a text that begins with one kind of quote and ends with another", want: "the same quote at both ends"}
		}
		return &mistake{at: from, problem: "a text without its last quote", want: "a quote at both ends, as in " + key + `"` + shorten(strings.TrimRight(l.text[from+1:to], "}], ")) + `"`}
	case rest == "":
		return nil
	case key == "":
		return inOtherWords("array", min(end+1, to-1))
	case !strings.ContainsAny(rest, "=\"'"):
		return inOtherWords("expected newline", min(end+1, to-1))
	case strings.Contains(rest, "="):
		return &mistake{at: min(end+1, to-1), problem: "a comma is missing between two keys", want: "a comma between those of a table in braces; other keys have a line each"}
	}
	return &mistake{at: min(end+1, to-1), problem: "a text ends within its value", want: "quotes of the other kind around a text with quotes in it, as '1/4\" thick'"}
}

// unclosed finds the brace before a line that has no second.
func unclosed(data []byte, line int) *mistake {
	type place struct{ line, column int }
	var open []place
	for n, text := range strings.Split(string(data), "\n") {
		if n+1 >= line {
			break
		}
		l := scanLine(text)
		for i := range len(l.text) {
			switch c := l.text[i]; {
			case l.inside[i]:
			case c == '{':
				open = append(open, place{n + 1, utf8.RuneCountInString(text[:i]) + 1})
			case c == '}' && len(open) > 0:
				open = open[:len(open)-1]
			}
		}
	}
	if len(open) == 0 {
		return nil
	}
	p := open[len(open)-1]
	return &mistake{line: p.line, at: p.column, problem: "a brace that is not closed", want: "} at the end of what belongs to it"}
}
