package dishfile

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

// wildAppliance has some of its figures anywhere in their ranges.
func wildAppliance(r *rand.Rand, name string) Appliance {
	a := Appliance{Name: name, Preset: presetNames()[r.IntN(len(presetNames()))]}
	if r.IntN(2) == 0 && !a.bath() {
		a.Tray = &Tray{Material: trayNames()[r.IntN(len(trayNames()))], Thickness: Length(fmt.Sprint(0.5+20*r.Float64(), " mm")), Area: "1000 cm2"}
	}
	not := ofBaths
	if a.bath() {
		not = ofOvens
	}
	v := reflect.ValueOf(&a).Elem()
	for i := range v.NumField() {
		f := v.Type().Field(i)
		low, high, ok := bounds(f.Tag.Get("in"))
		q, text := v.Field(i).Interface().(quantity)
		if !ok || !text || slices.Contains(not, keyOf(f)) || r.IntN(6) > 0 || f.Name == "Band" && a.Hysteresis != "" || f.Name == "ReadyAt" && a.Start != "" {
			continue
		}
		if _, hot := q.(Temp); hot {
			high = min(high, 300) // beyond what foods' properties cover any medium fails
		}
		x := low + (high-low)*r.Float64()
		if low >= 0 { // of any order of magnitude
			x = max(low, high*math.Pow(10, -7*r.Float64()))
		}
		if _, share := q.(Share); share {
			v.Field(i).SetString(fmt.Sprintf("%g %%", x*100))
			continue
		}
		unit := map[string]string{"W/(m² K)": "W/m2K", "m²": "m2", "m³": "m3", "°C": "C"}[q.base()]
		if unit == "" {
			unit = q.base()
		}
		v.Field(i).SetString(fmt.Sprintf("%.6g %s", x, unit))
	}
	return a
}

// What Check lets pass runs to its end or into a stage's limit, whatever the appliances
// are; nothing is refused on the way.
func TestApplianceFilesRun(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	r := rand.New(rand.NewPCG(11, 5))
	ran, refused := 0, 0
	for i := range 400 {
		a := wildAppliance(r, "it")
		f := &File{Version: Version, Start: Temp(fmt.Sprintf("%g C", -20+60*r.Float64())), Shape: &Shape{Kind: "slab", Area: "400 cm2"}, Appliances: []Appliance{a},
			Layers:   []Layer{{Food: "butter", Thickness: "10 mm"}, {Food: "bread dough, raw", Thickness: "5 mm"}},
			Settings: &Settings{Cells: 30, Moisture: i%2 == 0}}
		if r.IntN(2) == 0 {
			f.Layers[1].Joins = "later"
		}
		for j, name := range []string{"first", "later"} {
			m := &Medium{Kind: inAppliance, Appliance: "it", Off: r.IntN(3) == 0}
			if !m.Off {
				m.SetPoint = Temp(fmt.Sprintf("%g C", -30+250*r.Float64()))
			}
			if !a.bath() && r.IntN(2) == 0 {
				m.Door, m.FanOff, m.Steam = []Opening{{At: "30 s", For: "20 s"}}, r.IntN(2) == 0, "0.1 g/s"
			}
			s := Stage{Name: name, Medium: m, Until: &Condition{Time: "4 min"}}
			if a.Tray != nil {
				s.Patches = map[string]Medium{"underside": {Kind: onTray, Appliance: "it"}}
			}
			if j > 0 && r.IntN(3) == 0 {
				s.Until, s.Limit = &Condition{FluidBelow: Temp(fmt.Sprintf("%g C", 100*r.Float64()))}, "3 min"
			}
			f.Stages = append(f.Stages, s)
		}
		if err := f.Check(); err != nil {
			refused++
			_, ok := errors.AsType[Faults](err)
			require.True(t, ok)
			continue
		}
		ran++
		outcome, err := f.Simulate(t.Context(), nil)
		assert.NoError(t, err, "%d: %+v", i, a)
		if outcome.Stopped != nil {
			_, limit := errors.AsType[*thermal.StageLimitError](outcome.Stopped)
			assert.True(t, limit, "%d: %v: %+v %+v", i, outcome.Stopped, a, a.Tray)
		}
		for _, run := range outcome.Runs {
			for _, b := range run.Bodies {
				assert.Less(t, b.Relative, 1e-8, i)
			}
		}
	}
	t.Log(ran, "ran,", refused, "refused")
	assert.Greater(t, ran, 80)
	assert.Greater(t, refused, 80)
}
