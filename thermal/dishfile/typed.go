package dishfile

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// plain is a text as people type it in the one form that read knows: keyboard's minus,
// decimal point, fractions in digits, units as they are listed. What could be meant in two
// ways stays as it is, for doubt to say so.
func (d *dimension) plain(text string) string {
	text = strings.TrimSpace(strings.Map(plainLetter, text))
	text = spelledFractions(text)
	text = mixedHyphen.ReplaceAllString(text, "$1 $2")
	text = signApart.ReplaceAllString(text, "$1")
	text = figures.ReplaceAllStringFunc(text, plainComma)
	text = bareDot.ReplaceAllString(text, "${1}0.$2")
	text = raised.ReplaceAllString(text, "$1$2")
	if d == &temperatures || d == &differences {
		text = degrees.ReplaceAllString(text, "$1$2")
	}
	if d.simple() {
		text = letterRun.ReplaceAllStringFunc(text, d.plainWord)
	}
	if d == &times {
		text = plainClock(text)
	}
	return text
}

// plainLetter takes letters that look alike, or like nothing, for those of a keyboard.
func plainLetter(r rune) rune {
	switch r {
	case '−', '–', '—', '‐', '‑', '﹣', '－':
		return '-'
	case 'º', '˚':
		return '°'
	case '⁄', '∕':
		return '/'
	case '％':
		return '%'
	case '\u200b', '\u200c', '\u200d', '\u2060', '\ufeff': // no width
		return -1
	}
	if r >= unicode.MaxASCII && unicode.IsSpace(r) {
		return ' '
	}
	return r
}

// vulgar fractions, which join a whole number before them.
var vulgar = map[rune]string{'½': "1/2", '⅓': "1/3", '⅔': "2/3", '¼': "1/4", '¾': "3/4", '⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5",
	'⅙': "1/6", '⅚': "5/6", '⅐': "1/7", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '⅑': "1/9", '⅒': "1/10",
	'℃': "°C", '℉': "°F"}

func spelledFractions(text string) string {
	var b strings.Builder
	digit := func(r rune) bool { return r >= '0' && r <= '9' }
	var last rune
	for _, r := range text {
		written, ok := vulgar[r]
		if !ok {
			written = string(r)
		}
		if ok && digit(last) || vulgar[last] != "" && digit(r) {
			b.WriteByte(' ')
		}
		b.WriteString(written)
		last = r
	}
	return b.String()
}

var (
	mixedHyphen = regexp.MustCompile(`^([+-]?\d+)-(\d+/\d+)`) // 1-1/2
	signApart   = regexp.MustCompile(`^([+-])\s+`)
	figures     = regexp.MustCompile(`[0-9.,]+`)
	oneComma    = regexp.MustCompile(`^([0-9]+),([0-9]+)$`)
	thousands   = regexp.MustCompile(`^[1-9][0-9]{0,2},[0-9]{3}$`)
	bareDot     = regexp.MustCompile(`(^|[\s+-])\.([0-9])`)
	raised      = regexp.MustCompile(`(\pL)\^([23])`)
	degrees     = regexp.MustCompile(`(?i)(^|[^\pL])(?:(?:°|degrees?|deg\.?)\s*)+(c|f|k|celsius|centigrade|fahrenheit|kelvin)$`)
	letterRun   = regexp.MustCompile(`\pL+`)
	hoursAnd    = regexp.MustCompile(`^(.*[0-9]\s*(?:h|hours?))\s*([0-5]?[0-9])$`)
	clock       = regexp.MustCompile(`^([0-9]+):([0-5][0-9])(?::([0-5][0-9]))?\s*(h|hours?|min|minutes)$`)
	bareClock   = regexp.MustCompile(`^[0-9]+:[0-5][0-9]$`)
	between     = regexp.MustCompile(`[0-9]\s*(?:-|\.\.+|to)\s*[0-9]`)
)

// plainComma takes the comma of a number for a decimal point where it can be no other.
func plainComma(number string) string {
	if thousands.MatchString(number) {
		return number
	}
	return oneComma.ReplaceAllString(number, "$1.$2")
}

// plainClock takes '1 h 30' and '1:30 h' apart.
func plainClock(text string) string {
	text = hoursAnd.ReplaceAllString(text, "$1 $2 min")
	m := clock.FindStringSubmatch(text)
	switch {
	case m == nil:
	case m[4][0] == 'm' && m[3] == "":
		return m[1] + " min " + m[2] + " s"
	case m[4][0] == 'h' && m[3] == "":
		return m[1] + " h " + m[2] + " min"
	case m[4][0] == 'h':
		return m[1] + " h " + m[2] + " min " + m[3] + " s"
	}
	return text
}

// spellings are other names of units, in small letters.
var spellings = map[string]string{
	"sec": "s", "secs": "s", "second": "s", "mins": "min", "minute": "min", "hr": "h", "hrs": "h",
	"gram": "g", "grams": "g", "gramme": "g", "grammes": "g", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg",
	"lbs": "lb", "pound": "lb", "pounds": "lb", "ounce": "oz", "ounces": "oz",
	"foot": "ft", "feet": "ft", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
	"centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
	"celsius": "C", "centigrade": "C", "fahrenheit": "F", "kelvin": "K", "percent": "%", "pct": "%",
	"watt": "W", "watts": "W", "litre": "l", "litres": "l", "liter": "l", "liters": "l",
	"pascal": "Pa", "pascals": "Pa", "millibar": "mbar", "millibars": "mbar",
}

// simple says that no unit is made of others: a word is then a unit, in any case.
func (d *dimension) simple() bool {
	return d.compound || slices.Contains([]*dimension{&temperatures, &differences, &pressures, &shares, &powers, &volumes}, d)
}

// plainWord is the listed name of the unit that a word is. The capital of a millipascal
// that is a megapascal is no case of a listed unit, so that none is taken for the other.
func (d *dimension) plainWord(word string) string {
	if _, ok := d.unit(word); ok {
		return word
	}
	also := spellings[strings.ToLower(word)]
	for _, u := range d.units {
		if strings.EqualFold(u.name, word) || u.name == also {
			return u.name
		}
	}
	return word
}

// doubt says of a plain text what no guess should settle.
func (d *dimension) doubt(plain, text string) *textError {
	number := figures.FindString(plain)
	switch {
	case thousands.MatchString(number):
		return &textError{quote(text) + " can be read in two ways", "a decimal point (" + strings.Replace(number, ",", ".", 1) + "), or thousands without a comma (" + strings.Replace(number, ",", "", 1) + ")"}
	case strings.Contains(number, ","):
		return &textError{quote(text) + " has a comma that is no decimal point", d.what}
	case d == &times && bareClock.MatchString(plain):
		return &textError{quote(text) + " can be hours or minutes", "'" + plain + " h' or '" + plain + " min'"}
	case between.MatchString(plain):
		return &textError{quote(text) + " is a range", "one value, " + d.what}
	}
	return nil
}
