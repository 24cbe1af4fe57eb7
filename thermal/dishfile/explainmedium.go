package dishfile

import "example.com/thawfront/thermal"

// mediumSources say in short where the numbers of each kind of medium come from, as
// package thermal says in full.
var mediumSources = map[string]struct{ h, humidity string }{
	"fan oven":      {"10 to 25 for air of 0.5 to 3 m/s (common practice, from memory)", ventedAir},
	"still oven":    {"natural convection, roll of 90 mm in air at 200 °C (Churchill & Chu 1975)", ventedAir},
	"steam oven":    {"as in a fan oven (common practice, from memory)", "full of steam at the pressure of the settings"},
	"room":          {"natural convection, roll of 90 mm, 3.4 to 7.0 (Churchill & Chu 1975)", "air of 20 °C and 50 %, warmed or cooled"},
	"refrigerator":  {"with radiation about 10, measured 5 to 15 (Anderson et al. 2004)", "amid 60 to 90 % (from memory)"},
	"freezer":       {"natural convection, roll of 90 mm in air at -18 °C (Churchill & Chu 1975)", "nearly saturated over the coil (from memory)"},
	"blast freezer": {"15 to 40 for air of 2 to 5 m/s (from memory)", "nearly saturated over the coil (from memory)"},
	"bath":          {"circulated, bagged food: 100 to 200 (common practice, no source)", "none passes"},
	"oil":           {"lower end of the averages for frying (Hubbard & Farkas 1999)", "none passes"},
	"plate":         {"lower end of double-sided grills (Wichchukit, Zorrilla & Singh 2001) and plate freezers (from memory)", "none passes"},
	custom:          {"", "none passes, if not given"},
}

const (
	ventedAir        = "vented oven, 0.02 kg/kg: between kitchen air and gas-fired tunnels (Baik et al. 1999), a guess"
	emissivitySource = "most foods 0.9, crust 0.85 to 0.92 (textbooks; from memory)"
)

// absentOfMedium explains what stands for a field that a medium does not have.
func (e *explainer) absentOfMedium(m *Medium, field string) (value, from string) {
	switch m.Kind {
	case insulated, onTray:
		return "", ""
	case inAppliance:
		return e.absentOfSetting(m, field)
	}
	source, s := mediumSources[m.Kind], m.typical()
	switch field {
	case "H":
		return short(s.H) + " W/(m² K)", m.Kind + ": " + source.h
	case "Emissivity":
		if s.Emissivity == 0 {
			return "0", m.Kind + ": no radiation, or it is part of h"
		}
		return short(s.Emissivity), m.Kind + ": " + emissivitySource
	case "Walls":
		if m.Emissivity != nil && *m.Emissivity > 0 || m.Emissivity == nil && s.Emissivity > 0 {
			return "as the medium", "default: the temperature"
		}
	case "Humidity":
		if e.f.moist() {
			return s.Humidity.String(), m.Kind + ": " + source.humidity
		}
	}
	return "", ""
}

// typical is the medium of its kind, at the first temperature that it has.
func (m *Medium) typical() (s thermal.Surroundings) {
	t := m.Temperature
	if t == "" && len(m.Course) > 0 {
		t = m.Course[0].Temperature
	}
	for _, k := range mediumKinds {
		if k.name == m.Kind {
			s = k.make(si(t))
		}
	}
	return s
}
