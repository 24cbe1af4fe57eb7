package chart

import (
	"math"

	"example.com/thawfront/thermal"
)

// Quantity is what a chart shows.
type Quantity uint8

// The quantities.
const (
	Temperature   Quantity = iota
	WaterContent           // liquid and ice, per kg of original food
	WaterActivity          // not known of food given by measured curves
)

// String names the quantity.
func (q Quantity) String() string {
	switch q {
	case Temperature:
		return "temperature"
	case WaterContent:
		return "water content"
	case WaterActivity:
		return "water activity"
	}
	return "unknown quantity"
}

func (q Quantity) unit(s Settings) string {
	switch {
	case q == WaterContent:
		return "kg per kg of original food"
	case q == WaterActivity:
		return "0 to 1"
	case s.Fahrenheit:
		return "°F"
	}
	return "°C"
}

// moment is what the charts read of a run at one time. The last of values is
// the surface's, so that the field reaches it.
type moment struct {
	time         float64 // [s]
	values       []float64
	ice          []float64 // share of the cell's water
	temp, active []float64
	low, mean    []float64 // by layer
	high         []float64
	centre, skin float64
}

// scene is a run made ready to be drawn.
type scene struct {
	run     *thermal.Run
	q       Quantity
	nodes   []float64 // [mm] of the cells, and the surface
	layer   []int     // of each cell
	names   []string
	edges   []float64 // [mm] faces of the layers, one more than layers
	from    string    // where distance is counted from
	moments []moment
}

// sceneOf reads a run at the times given, or at count even ones.
func sceneOf(run *thermal.Run, q Quantity, s Settings, count int, at []float64) (*scene, error) {
	if q > WaterActivity {
		return nil, &InputError{"quantity", uint8(q), "Temperature, WaterContent or WaterActivity"}
	}
	if run == nil || run.Grid().Len() == 0 || run.Duration() <= 0 {
		return nil, &InputError{"run", "without any time in it", "one that Simulate computed"}
	}
	c := &scene{run: run, q: q, names: run.LayerNames(), edges: []float64{0}, from: origin(run.Dish.Shape)}
	for _, l := range run.Dish.Layers {
		c.edges = append(c.edges, c.edges[len(c.edges)-1]+l.Thickness*1e3)
	}
	if at == nil {
		for i := range count {
			at = append(at, run.Duration().Seconds()*float64(i)/float64(count-1))
		}
	}
	known := false
	for _, t := range at {
		m, err := c.read(t, s)
		if err != nil {
			return nil, err
		}
		for _, v := range m.values {
			known = known || !math.IsNaN(v)
		}
		c.moments = append(c.moments, m)
	}
	if !known {
		return nil, &InputError{"quantity", q, "one that is known of this dish"}
	}
	return c, nil
}

func (c *scene) read(t float64, s Settings) (moment, error) {
	state := c.run.At(duration(t))
	cells := state.Cells()
	if c.nodes == nil {
		for _, cell := range cells {
			x := cell.X * 1e3
			i := 0
			for i < len(c.names)-1 && c.edges[i+1] < x {
				i++
			}
			c.nodes, c.layer = append(c.nodes, x), append(c.layer, i)
		}
		c.nodes = append(c.nodes, c.edges[len(c.edges)-1])
	}
	degrees := func(v float64) float64 {
		if s.Fahrenheit {
			return thermal.ToFahrenheit(v)
		}
		return v
	}
	centre, err := state.Temperature(thermal.Centre())
	if err != nil {
		return moment{}, err
	}
	skin, err := state.Temperature(thermal.Skin())
	if err != nil {
		return moment{}, err
	}
	m := moment{time: t, centre: degrees(centre), skin: degrees(skin)}
	n := len(c.names)
	m.low, m.mean, m.high = make([]float64, n), make([]float64, n), make([]float64, n)
	volume := make([]float64, n)
	for i := range n {
		m.low[i], m.high[i] = math.Inf(1), math.Inf(-1)
	}
	for i, cell := range cells {
		v := degrees(cell.Temperature)
		switch c.q {
		case WaterContent:
			v = cell.Water
		case WaterActivity:
			v = cell.WaterActivity
		}
		l := c.layer[i]
		m.low[l], m.high[l] = math.Min(m.low[l], v), math.Max(m.high[l], v)
		m.mean[l] += v * cell.Volume
		volume[l] += cell.Volume
		m.values = append(m.values, v)
		m.ice = append(m.ice, cell.Ice/math.Max(cell.Water, 1e-9))
		m.temp = append(m.temp, cell.Temperature)
		m.active = append(m.active, cell.WaterActivity)
	}
	for i := range n {
		m.mean[i] /= volume[i]
	}
	last := m.values[len(m.values)-1]
	if c.q == Temperature {
		last = m.skin
		m.low[n-1], m.high[n-1] = math.Min(m.low[n-1], last), math.Max(m.high[n-1], last)
	}
	m.values = append(m.values, last)
	return m, nil
}
