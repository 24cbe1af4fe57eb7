package chart

import (
	"math"
	"slices"

	"example.com/thawfront/thermal"
)

// samples is how many moments of a chain are read for a chart along the time
// axis, beside the ends of its runs.
const samples = 361

// fusion is by how much [K] about as much heat as melts an ice of 1 kg warms food of
// 1 kg: 334 kJ/kg over 3.5 kJ/(kg K).
const fusion = 95

// moment is what the charts read of a chain at one time. The last of values is
// the surface's, so that the field reaches it. What is by layer is NaN of layers
// that are not on.
type moment struct {
	time         float64 // [s] since the start of the chain
	link         int
	values       []float64 // by cell
	ice          []float64 // share of the cell's water
	cold         []float64 // [K] below 0 °C that a cell would be if its ice but iceShare were thawed by its own heat
	temp, active []float64
	low, mean    []float64 // by layer
	high         []float64
	centre, skin float64
}

// scene is a chain made ready to be drawn.
type scene struct {
	*chain
	q       Quantity
	set     Settings
	moments []moment
}

func newScene(runs []*thermal.Run, q Quantity, set Settings) (*scene, error) {
	if q > WaterActivity {
		return nil, &InputError{"quantity", uint8(q), "Temperature, WaterContent or WaterActivity"}
	}
	c, err := chainOf(runs)
	return &scene{chain: c, q: q, set: set}, err
}

// sceneOf reads a chain at even moments: about count in all, the two ends of every
// run among them.
func sceneOf(runs []*thermal.Run, q Quantity, set Settings, count int) (*scene, error) {
	c, err := newScene(runs, q, set)
	if err != nil {
		return nil, err
	}
	for i, l := range c.links {
		d := l.run.Duration().Seconds()
		if d <= 0 {
			continue
		}
		n := max(int(math.Ceil(float64(count-1)*d/c.length-1e-9)), 1)
		for k := range n + 1 {
			if err := c.read(i, d*float64(k)/float64(n)); err != nil {
				return nil, err
			}
		}
	}
	return c, c.known()
}

// readAt reads the moments given [s].
func (c *scene) readAt(moments []float64) error {
	for _, t := range moments {
		i := c.at(t)
		if err := c.read(i, t-c.links[i].begin); err != nil {
			return err
		}
	}
	return c.known()
}

// known refuses a scene that has nothing to show.
func (c *scene) known() error {
	for _, m := range c.moments {
		if slices.ContainsFunc(m.values, func(v float64) bool { return !math.IsNaN(v) }) {
			return nil
		}
	}
	return &InputError{"quantity", c.q, "one that is known of this dish"}
}

// degrees is a temperature [°C] in the unit of the chart.
func (s Settings) degrees(v float64) float64 {
	if s.Fahrenheit {
		return thermal.ToFahrenheit(v)
	}
	return v
}

// read adds the moment t [s] after the start of a link.
func (c *scene) read(link int, t float64) error {
	l := &c.links[link]
	state := l.run.At(duration(t))
	centre, err := state.Temperature(thermal.Centre())
	if err != nil {
		return err
	}
	skin, err := state.Temperature(thermal.Skin())
	if err != nil {
		return err
	}
	m := moment{time: l.begin + t, link: link, centre: c.set.degrees(centre), skin: c.set.degrees(skin)}
	n := len(c.names)
	m.low, m.mean, m.high = make([]float64, n), make([]float64, n), make([]float64, n)
	volume := make([]float64, n)
	for i := range n {
		m.low[i], m.high[i] = math.Inf(1), math.Inf(-1)
	}
	see := func(layer int, v float64) {
		m.low[layer], m.high[layer] = min(m.low[layer], v), max(m.high[layer], v)
	}
	cells := state.Cells()
	value := func(cell *thermal.CellState) float64 {
		switch c.q {
		case WaterContent:
			return cell.Water
		case WaterActivity:
			return cell.WaterActivity
		}
		return c.set.degrees(cell.Temperature)
	}
	for i := range cells {
		v := value(&cells[i])
		see(l.every[i], v)
		m.mean[l.every[i]] += v * cells[i].Volume
		volume[l.every[i]] += cells[i].Volume
	}
	for _, i := range l.line {
		cell := &cells[i]
		m.values = append(m.values, value(cell))
		m.ice = append(m.ice, cell.Ice/max(cell.Water, 1e-9))
		m.cold = append(m.cold, fusion*(cell.Ice-iceShare*cell.Water)-cell.Temperature)
		m.temp = append(m.temp, cell.Temperature)
		m.active = append(m.active, cell.WaterActivity)
	}
	last := m.values[len(m.values)-1]
	if c.q == Temperature {
		last = m.skin
		see(l.layer[len(l.layer)-1], last)
	}
	m.values = append(m.values, last)
	for i := range n {
		if m.mean[i] /= volume[i]; !l.on[i] {
			m.low[i], m.mean[i], m.high[i] = math.NaN(), math.NaN(), math.NaN()
		}
	}
	c.moments = append(c.moments, m)
	return nil
}
