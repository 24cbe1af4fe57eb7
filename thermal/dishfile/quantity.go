package dishfile

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.com/thawfront/thermal"
)

// Quantities as their author wrote them: in the plain form of the examples, or as people
// type, see the package. SI gives each in its base unit; the error of a text that is no such
// quantity says which units there are.
type (
	Length      string // such as '6 mm', '1/4 in'
	Area        string // such as '0.06 m²', '600 cm2'
	Temp        string // such as '-18 C', '425 F'
	Time        string // such as '35 min', '2 h 10 min'
	Mass        string // such as '1.2 kg', '1 lb 4 oz'
	Share       string // such as '62.5 %'
	Pressure    string // such as '1013 hPa'
	Coefficient string // of heat transfer, such as '20 W/(m² K)'
	Resistance  string // to heat, such as '0.002 m² K/W'
	Permeance   string // of a film, such as '1e-9 kg/(m² s Pa)'
	Coverage    string // such as '100 g/m²'
	Power       string // such as '2 kW'
	Volume      string // such as '60 l'
	Difference  string // of temperatures, such as '20 K'
	Conductance string // of heat, such as '4 W/K'
	Flow        string // of air or steam, such as '0.5 g/s'
)

// quantity is what all of them are.
type quantity interface {
	SI() (float64, error)
	base() string
}

// SI is the length [m].
func (q Length) SI() (float64, error) { return lengths.read(string(q)) }

// SI is the area [m²].
func (q Area) SI() (float64, error) { return areas.read(string(q)) }

// SI is the temperature [°C].
func (q Temp) SI() (float64, error) { return temperatures.read(string(q)) }

// SI is the time [s].
func (q Time) SI() (float64, error) { return times.read(string(q)) }

// SI is the mass [kg].
func (q Mass) SI() (float64, error) { return masses.read(string(q)) }

// SI is the share [-].
func (q Share) SI() (float64, error) { return shares.read(string(q)) }

// SI is the pressure [Pa].
func (q Pressure) SI() (float64, error) { return pressures.read(string(q)) }

// SI is the coefficient [W/(m² K)].
func (q Coefficient) SI() (float64, error) { return coefficients.read(string(q)) }

// SI is the resistance [m² K/W].
func (q Resistance) SI() (float64, error) { return resistances.read(string(q)) }

// SI is the permeance [kg/(m² s Pa)].
func (q Permeance) SI() (float64, error) { return permeances.read(string(q)) }

// SI is the coverage [kg/m²].
func (q Coverage) SI() (float64, error) { return coverages.read(string(q)) }

// SI is the power [W].
func (q Power) SI() (float64, error) { return powers.read(string(q)) }

// SI is the volume [m³].
func (q Volume) SI() (float64, error) { return volumes.read(string(q)) }

// SI is the difference [K].
func (q Difference) SI() (float64, error) { return differences.read(string(q)) }

// SI is the conductance [W/K].
func (q Conductance) SI() (float64, error) { return conductances.read(string(q)) }

// SI is the flow [kg/s].
func (q Flow) SI() (float64, error) { return flows.read(string(q)) }

func (Length) base() string      { return "m" }
func (Area) base() string        { return "m²" }
func (Temp) base() string        { return "°C" }
func (Time) base() string        { return "s" }
func (Mass) base() string        { return "kg" }
func (Share) base() string       { return "(of 1)" }
func (Pressure) base() string    { return "Pa" }
func (Coefficient) base() string { return "W/(m² K)" }
func (Resistance) base() string  { return "m² K/W" }
func (Permeance) base() string   { return "kg/(m² s Pa)" }
func (Coverage) base() string    { return "kg/m²" }
func (Power) base() string       { return "W" }
func (Volume) base() string      { return "m³" }
func (Difference) base() string  { return "K" }
func (Conductance) base() string { return "W/K" }
func (Flow) base() string        { return "kg/s" }

// unit is one way to write a unit, worth scale base units above zero.
type unit struct {
	name  string
	scale float64
	zero  float64
}

// dimension is the units of one kind of quantity.
type dimension struct {
	what     string // with an example
	units    []unit
	compound bool // '2 h 10 min'
}

var (
	lengths = dimension{"a length such as '6 mm' or '1/4 in'", []unit{{"mm", 1e-3, 0}, {"cm", 1e-2, 0}, {"m", 1, 0},
		{"µm", 1e-6, 0}, {"um", 1e-6, 0}, {"in", thermal.Inch, 0}, {"inch", thermal.Inch, 0}, {"inches", thermal.Inch, 0}, {"ft", 12 * thermal.Inch, 0}}, true}
	areas = dimension{"an area such as '600 cm²'", []unit{{"m2", 1, 0}, {"cm2", 1e-4, 0}, {"mm2", 1e-6, 0},
		{"in2", thermal.Inch * thermal.Inch, 0}}, false}
	temperatures = dimension{"a temperature such as '-18 C' or '425 F'", []unit{{"C", 1, 0}, {"°C", 1, 0},
		{"F", 5. / 9, -160. / 9}, {"°F", 5. / 9, -160. / 9}, {"K", 1, -273.15}}, false}
	times = dimension{"a time such as '35 min' or '2 h 10 min'", []unit{{"s", 1, 0}, {"min", 60, 0}, {"h", 3600, 0},
		{"seconds", 1, 0}, {"minutes", 60, 0}, {"hour", 3600, 0}, {"hours", 3600, 0},
		{"d", 86400, 0}, {"day", 86400, 0}, {"days", 86400, 0}}, true}
	masses = dimension{"a weight such as '1.2 kg' or '1 lb 4 oz'", []unit{{"kg", 1, 0}, {"g", 1e-3, 0}, {"mg", 1e-6, 0},
		{"lb", thermal.Pound, 0}, {"oz", thermal.Ounce, 0}}, true}
	shares    = dimension{"a share such as '62.5 %'", []unit{{"%", 1e-2, 0}, {"g/100g", 1e-2, 0}, {"kg/kg", 1, 0}}, false}
	pressures = dimension{"a pressure such as '1013 hPa'", []unit{{"Pa", 1, 0}, {"hPa", 100, 0}, {"kPa", 1e3, 0},
		{"mbar", 100, 0}, {"bar", 1e5, 0}}, false}
	coefficients = dimension{"a heat transfer coefficient such as '20 W/(m² K)'", []unit{{"W/(m2K)", 1, 0}, {"W/m2K", 1, 0},
		{"W/m2/K", 1, 0}}, false}
	resistances = dimension{"a resistance to heat such as '0.002 m² K/W'", []unit{{"m2K/W", 1, 0}}, false}
	permeances  = dimension{"a permeance such as '1e-9 kg/(m² s Pa)'", []unit{{"kg/(m2sPa)", 1, 0}, {"kg/m2sPa", 1, 0}}, false}
	coverages   = dimension{"an amount on a surface such as '100 g/m²'", []unit{{"kg/m2", 1, 0}, {"g/m2", 1e-3, 0}}, false}
	powers      = dimension{"a power such as '1800 W' or '2 kW'", []unit{{"W", 1, 0}, {"kW", 1e3, 0}}, false}
	volumes     = dimension{"a volume such as '60 l'", []unit{{"l", 1e-3, 0}, {"m3", 1, 0}, {"ft3", 1728 * thermal.Inch * thermal.Inch * thermal.Inch, 0}}, false}
	differences = dimension{"a difference of temperatures such as '20 K' or '36 F'", []unit{{"K", 1, 0}, {"C", 1, 0}, {"°C", 1, 0},
		{"F", 5. / 9, 0}, {"°F", 5. / 9, 0}}, false}
	conductances = dimension{"a conductance of heat such as '4 W/K'", []unit{{"W/K", 1, 0}}, false}
	flows        = dimension{"a flow such as '0.5 g/s' or '2 kg/h'", []unit{{"kg/s", 1, 0}, {"g/s", 1e-3, 0}, {"g/min", 1e-3 / 60, 0}, {"kg/h", 1. / 3600, 0}}, false}
)

// maxText bounds the text of a quantity, in bytes.
const maxText = 100

// A quantity is a number (6, -18.5, 1/4, 1 1/2, 1e-9) and a unit; the units of
// compound ones are letters, so that the next number ends them.
var (
	measure = regexp.MustCompile(`^([+-]?(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?(?:[eE][+-]?\d+)?))\s*(\S.*)$`)
	letters = regexp.MustCompile(`^\pL+\s*`)
)

// textError is a text that is no quantity of the kind.
type textError struct{ problem, want string }

func (e *textError) Error() string { return "dishfile: " + e.problem + ", want " + e.want }

// read gives a text in the base unit.
func (d *dimension) read(text string) (float64, error) {
	if len(text) > maxText {
		return 0, &textError{fmt.Sprintf("a text of %d bytes", len(text)), d.what}
	}
	rest := d.plain(text)
	if e := d.doubt(rest, text); e != nil {
		return 0, e
	}
	sum, negative := 0.0, false
	for part := 0; part == 0 || rest != ""; part++ {
		m := measure.FindStringSubmatch(rest)
		switch {
		case isNumber(rest):
			return 0, &textError{fmt.Sprintf("%q has no unit", text), d.what}
		case m == nil || part > 0 && (!d.compound || negative || strings.HasPrefix(rest, "-")):
			return 0, &textError{fmt.Sprintf("%q is no such quantity", text), d.what}
		}
		v, ok := number(m[1])
		if !ok {
			return 0, &textError{fmt.Sprintf("%q is not a finite number", m[1]), d.what}
		}
		name, next := m[2], ""
		if d.compound {
			name = letters.FindString(m[2])
			next = m[2][len(name):]
		}
		u, ok := d.unit(name)
		if !ok {
			return 0, &textError{fmt.Sprintf("unknown unit %q", strings.TrimSpace(m[2])), d.what + " in " + d.names()}
		}
		negative = strings.HasPrefix(m[1], "-")
		sum += v*u.scale + u.zero
		rest = next
	}
	if math.IsInf(sum, 0) || math.IsNaN(sum) {
		return 0, &textError{fmt.Sprintf("%q is not a finite number", text), d.what}
	}
	return sum, nil
}

// closedUp is a unit without what makes no difference.
var closedUp = strings.NewReplacer(" ", "", "\t", "", "·", "", "²", "2", "³", "3", "μ", "µ")

// unit finds a unit without regard to spaces, dots of multiplication and whether the
// 2 of a square or the 3 of a cube is raised.
func (d *dimension) unit(name string) (unit, bool) {
	name = closedUp.Replace(name)
	for _, u := range d.units {
		if u.name == name {
			return u, true
		}
	}
	return unit{}, false
}

func (d *dimension) names() string {
	names := make([]string, len(d.units))
	for i, u := range d.units {
		names[i] = u.name
	}
	return strings.Join(names, ", ")
}

func isNumber(s string) bool { _, ok := number(s); return ok }

// number reads a decimal, a fraction or a whole number with a fraction.
func number(s string) (float64, bool) {
	head, fraction, mixed := strings.Cut(s, " ")
	if !mixed {
		head, fraction = "0", s
	}
	over, under, ok := strings.Cut(fraction, "/")
	if !ok {
		v, err := strconv.ParseFloat(s, 64)
		return v, err == nil && !mixed && !math.IsInf(v, 0) && !math.IsNaN(v)
	}
	w, err0 := strconv.ParseFloat(head, 64)
	a, err1 := strconv.ParseFloat(over, 64)
	b, err2 := strconv.ParseFloat(under, 64)
	if err0 != nil || err1 != nil || err2 != nil || b == 0 {
		return 0, false
	}
	if strings.HasPrefix(head, "-") {
		a = -a
	}
	v := w + a/b
	return v, !math.IsInf(v, 0) && !math.IsNaN(v)
}
