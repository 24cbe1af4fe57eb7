package dishfile

import (
	"slices"
	"strings"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
)

// Humidity is that of a medium: 'sealed', 'steam', '75 %' relative, 'dew point 50 C',
// 'wet bulb 60 C', 'vapour 3000 Pa' or 'ratio 0.02 kg/kg' of dry air.
type Humidity string

// Words that stand for a humidity and a place by themselves.
var humidityWords, placeWords = []string{"sealed", "steam"}, []string{"centre", "surface"}

const humidityWant = "'sealed', 'steam', '75 %', 'dew point 50 C', 'wet bulb 60 C', 'vapour 3000 Pa' or 'ratio 0.02 kg/kg'"

// parse gives the humidity; whether a medium can have it depends on its temperature.
func (h Humidity) parse() (thermal.Humidity, error) {
	text := strings.TrimSpace(strings.Map(plainLetter, string(h)))
	switch listed(text, humidityWords) {
	case "sealed":
		return thermal.Sealed(), nil
	case "steam":
		return thermal.Steam(), nil
	}
	kinds := []struct {
		prefix string
		units  *dimension
		make   func(float64) thermal.Humidity
	}{
		{"dew point ", &temperatures, thermal.DewPoint},
		{"wet bulb ", &temperatures, thermal.WetBulb},
		{"vapour ", &pressures, thermal.VapourPressure},
		{"vapor ", &pressures, thermal.VapourPressure},
		{"ratio ", &shares, thermal.HumidityRatio},
		{"", &shares, thermal.RelativeHumidity},
	}
	for _, k := range kinds {
		if rest, ok := cutPrefix(text, k.prefix); ok {
			v, err := k.units.read(rest)
			if err != nil {
				break
			}
			return k.make(v), nil
		}
	}
	return thermal.Humidity{}, &textError{quote(text) + " is no humidity", humidityWant}
}

// cutPrefix takes off a prefix of ASCII letters in any case.
func cutPrefix(text, prefix string) (rest string, ok bool) {
	if len(text) < len(prefix) || !strings.EqualFold(text[:len(prefix)], prefix) {
		return text, false
	}
	return text[len(prefix):], true
}

type mediumKind struct {
	name string
	make func(t float64) thermal.Surroundings
}

// mediumKinds are the kinds of media, in the order in which they are listed.
var mediumKinds = []mediumKind{
	{"fan oven", thermal.FanOven},
	{"still oven", thermal.StillOven},
	{"steam oven", thermal.SteamOven},
	{"room", thermal.Room},
	{"refrigerator", thermal.Refrigerator},
	{"freezer", thermal.StillFreezer},
	{"blast freezer", thermal.BlastFreezer},
	{"bath", thermal.WaterBath},
	{"oil", thermal.HotOil},
	{"plate", thermal.Plate},
	{insulated, func(float64) thermal.Surroundings { return thermal.Insulated() }},
	{custom, func(t float64) thermal.Surroundings { return thermal.Surroundings{Fluid: t, Walls: t} }},
}

const (
	insulated = "insulated"
	custom    = "custom"
)

// build gives the medium of a checked m, as it begins.
func (m *Medium) build() thermal.Surroundings { return m.at(m.temps()[0]) }

// at gives the medium at a temperature [°C].
func (m *Medium) at(t float64) thermal.Surroundings { return m.maker()(t) }

// maker gives what makes the medium of a checked m at a temperature [°C], its texts read
// once: the solver asks in every step.
func (m *Medium) maker() func(t float64) thermal.Surroundings {
	i := slices.IndexFunc(mediumKinds, func(k mediumKind) bool { return k.name == m.Kind })
	if i < 0 {
		return func(float64) thermal.Surroundings { return thermal.Surroundings{} }
	}
	of, given, emissivity := mediumKinds[i].make, *m, 0.0 // copies: the file may change after
	h, walls := si(m.H), si(m.Walls)
	humidity, _ := m.Humidity.parse()
	if m.Emissivity != nil {
		emissivity = *m.Emissivity
	}
	return func(t float64) thermal.Surroundings {
		s := of(t)
		if given.H != "" {
			s.H = h
		}
		if given.Emissivity != nil {
			s.Emissivity = emissivity
			s.Walls = s.Fluid
		}
		if given.Walls != "" {
			s.Walls = walls
		}
		if given.Humidity != "" {
			s.Humidity = humidity
		}
		return s
	}
}

// Place is where in the dish: 'centre', 'surface', '6 mm deep', '50 % into NAME',
// 'coldest of NAME', 'hottest of NAME' or 'mean of NAME', NAME being a layer's, 'surface of
// PART', a part of the surface, or a point of a section, '12 mm out and -30 mm up'.
type Place string

const placeWant = "'centre', 'surface', '6 mm deep', '50 % into LAYER', 'coldest of LAYER', 'hottest of LAYER', 'mean of LAYER', 'surface of top' or such a part, or in two dimensions '12 mm out and -30 mm up'"

// Find gives the place, or what is wrong with its text; whether the layer it names is in
// a dish is another matter.
func (p Place) Find() (thermal.Place, error) {
	at, _, err := p.parse()
	return at, err
}

// parse gives the place and the layer it names, if any.
func (p Place) parse() (place thermal.Place, layer string, err error) {
	text := strings.TrimSpace(string(p))
	switch word := listed(text, placeWords); {
	case p == "" || word == "centre":
		return thermal.Centre(), "", nil
	case word == "surface":
		return thermal.Skin(), "", nil
	}
	for _, k := range []struct {
		prefix string
		make   func(string) thermal.Place
	}{{"coldest of ", thermal.ColdestOf}, {"hottest of ", thermal.HottestOf}, {"mean of ", thermal.MeanOf}} {
		if name, ok := cutPrefix(text, k.prefix); ok && name != "" {
			return k.make(name), name, nil
		}
	}
	if part, ok := p.patch(); ok {
		return thermal.SkinOf(geometry.Patch(part)), "", nil
	}
	if x, y, ok := p.point(); ok && x >= 0 {
		return thermal.At(x, y), "", nil
	}
	if x, ok := p.depth(); ok && x >= 0 {
		return thermal.Depth(x), "", nil
	}
	if share, name, ok := strings.Cut(text, " into "); ok && name != "" {
		if x, err := shares.read(share); err == nil && x >= 0 && x <= 1 {
			return thermal.Within(name, x), name, nil
		}
	}
	return thermal.Place{}, "", &textError{quote(text) + " is no place", placeWant}
}
