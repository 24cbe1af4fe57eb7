package dishfile

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/oven"
)

// byHand is the small oven of two-ovens.toml as package oven has it; 24 °F are 40/3 K.
func byHand() *oven.Oven {
	o := oven.DomesticStill().Warmed(200)
	o.Power, o.Volume, o.Thermostat.Hysteresis = 1600, 0.03, 24/1.8
	o.Tray = &oven.Tray{Solid: oven.DarkAluminium, Thickness: 0.001, Area: 0.1, Covered: 0.04, Contact: 0.002, Start: 20}
	return o
}

func TestAppliancesArrive(t *testing.T) {
	p := readFile(t, folder+"/two-ovens.toml").plants()
	got, want := p["small oven"].oven, byHand()
	assert.InDelta(t, want.Thermostat.Hysteresis, got.Thermostat.Hysteresis, 1e-12)
	assert.InDelta(t, want.Tray.Area, got.Tray.Area, 1e-12)
	want.Thermostat, want.Tray.Area = got.Thermostat, got.Tray.Area
	assert.Equal(t, want, got)
	bath := oven.Circulator()
	bath.Mass, bath.Open, bath.Start = 8, 0, 70
	assert.Equal(t, bath, p["pot"].bath)
}

// TestRoomHumidity: half of the 2339 Pa that saturate air of 20 °C (IAPWS, from memory).
func TestRoomHumidity(t *testing.T) {
	a := Appliance{Preset: "freezer", RoomHumidity: "50 %"}
	assert.InDelta(t, 2339./2/101325, a.build(&File{}).oven.RoomVapour, 2e-5)
	a = Appliance{Preset: "combi oven", Hysteresis: "10 K"}
	assert.Equal(t, oven.Thermostat{Hysteresis: 10}, a.build(&File{}).oven.Thermostat, "instead of the preset's band")
}

const pieInOven = `version = 1
start = "-18 C"
shape = { kind = "slab", area = "0.04 m²" }
settings = { cells = 40 }
[[appliances]]
name = "oven"
preset = "domestic still oven"
ready_at = "200 C"
tray = { material = "carbon steel", thickness = "6 mm", area = "0.12 m²", start = "20 C" }
[[layers]]
food = "bread dough, raw"
thickness = "20 mm"
[[stages]]
medium = { kind = "appliance", appliance = "oven", set_point = "200 C", door = [{ at = "4 min", for = "30 s" }] }
patches = { underside = { kind = "tray", appliance = "oven" } }
until = { time = "10 min" }
[[stages]]
medium = { kind = "appliance", appliance = "oven", off = true }
until = { fluid_below = "150 C" }
`

// A dish file is what a program would have done by hand, to the last bit.
func TestOvenAsByHand(t *testing.T) {
	outcome, err := parsed(t, pieInOven).Simulate(context.Background(), nil)
	require.NoError(t, err)
	require.NoError(t, outcome.Stopped)
	o := oven.DomesticStill().Warmed(200)
	o.Tray = &oven.Tray{Solid: oven.CarbonSteel, Thickness: 0.006, Area: 0.12, Covered: 0.04, Contact: 0.002, Start: 20}
	hot := o.At(200)
	hot.Openings = []oven.Opening{{At: 4 * time.Minute, For: 30 * time.Second}}
	dish := thermal.Dish{Shape: geometry.Slab{Area: 0.04}, Start: thermal.ByLayer(-18), Layers: []thermal.Layer{
		{Name: "bread dough, raw", Food: materials.MustFind("bread dough, raw"), Thickness: 0.02}}}
	run, err := thermal.Simulate(context.Background(), dish, thermal.Schedule{
		{Medium: hot, Patches: map[geometry.Patch]thermal.Medium{geometry.Underside: hot.OnTray()}, Until: thermal.Elapsed(10 * time.Minute)},
		{Medium: o.Off(), Until: thermal.FluidBelow(geometry.Top, 150)},
	}, &thermal.Settings{Cells: 40})
	require.NoError(t, err)
	got := outcome.Runs[0]
	assert.Equal(t, run.Bodies[0].State, got.Bodies[0].State)
	assert.Equal(t, run.Peaks(), got.Peaks())
	assert.Equal(t, run.Duration(), got.Duration())
	assert.InDelta(t, 150, o.Read(run, run.Duration()).Air, 0.1)
}

// A dish larger than its tray is refused before anything is run, in words of the file.
func TestDishLargerThanItsTray(t *testing.T) {
	for name, c := range map[string]struct{ old, new, want string }{
		"of its own area": {`area = "0.04 m²"`, `area = "0.3 m²"`, "9: appliances[1].tray.area: the slab is larger than the tray (0.3 m²; 1 m² if its shape does not say), want no less than it"},
		"of none":         {`, area = "0.04 m²"`, ``, "9: appliances[1].tray.area: the slab is larger than the tray (1 m²;"},
		"a bar": {`kind = "slab", area = "0.04 m²"`, `kind = "bar", width = "20 cm", length = "70 cm"`,
			"13: stages[1]: tray: area 0.12, want no less than the 0.14 m² of the dish on it"},
	} {
		text := strings.Replace(pieInOven, c.old, c.new, 1)
		if name == "a bar" {
			text = strings.Replace(text, `start = "20 C" }`, `start = "20 C", covered = "0.1 m²" }`, 1)
		}
		_, err := Read(strings.NewReader(text), "pie.toml")
		require.ErrorContains(t, err, c.want, name)
	}
}

// The report says what of a bath is ice.
func TestIceOfABathIsTold(t *testing.T) {
	text := strings.NewReplacer("domestic still oven", "circulator", `ready_at = "200 C"`, "mass = \"5 kg\"\nstart = \"1 C\"", "0.04 m²", "0.5 m²",
		"tray = {", "#", "patches", "#", `, set_point = "200 C", door = [{ at = "4 min", for = "30 s" }]`, ", off = true", `{ fluid_below = "150 C" }`, `{ time = "1 min" }`).Replace(pieInOven)
	outcome, err := parsed(t, text).Simulate(context.Background(), nil)
	require.NoError(t, err)
	run := outcome.Runs[0]
	ice := run.Bodies[0].Body.(*oven.Bath).Read(run, run.Duration()).Ice
	assert.Greater(t, ice, 0.1)
	assert.Contains(t, outcome.Report.Text(), fmt.Sprintf("now at 0 °C, %.3g kg of it frozen", ice))
}

// The timeline has the lowest air of an opening, when the air was back, and the heat.
func TestAppliancesAreTold(t *testing.T) {
	f := parsed(t, pieInOven)
	outcome, err := f.Simulate(context.Background(), nil)
	require.NoError(t, err)
	run := outcome.Runs[0]
	o := run.Bodies[0].Body.(*oven.Oven)
	opened := 4 * time.Minute
	before, lowest, back := o.Read(run, opened).Air, 1e3, time.Duration(0)
	level := min(before, 200)
	for at := opened; at < 10*time.Minute && back == 0; at += time.Second {
		air := o.Read(run, at).Air
		lowest = min(lowest, air)
		if at > opened+30*time.Second && air >= level {
			back = at - opened
		}
	}
	require.NotZero(t, back)
	texts, last := map[string]string{}, 0.0
	for _, m := range outcome.Report.Timeline {
		assert.GreaterOrEqual(t, m.Time, last, "in order")
		texts[m.Kind], last = m.Text, m.Time
	}
	assert.Equal(t, fmt.Sprintf("oven: door open for 30 s, air from %.0f to %.0f °C, back at %.0f °C after %.1f min", before, lowest, level, back.Minutes()), texts["door"])
	assert.Less(t, lowest, before-30)
	end := o.Read(run, run.Duration())
	assert.Equal(t, fmt.Sprintf("oven: %.2f kWh from its heater, %.2f kWh lost through the walls, air at 150 °C", end.Delivered/3.6e6, end.Escaped/3.6e6), texts["appliance"])

	// of a freezer the air gets warmer, and its coil takes heat out
	cold := strings.NewReplacer("domestic still oven", "freezer", "200 C", "-18 C", "{ fluid_below = \"150 C\" }", `{ time = "1 min" }`).Replace(pieInOven)
	outcome, err = parsed(t, cold).Simulate(context.Background(), nil)
	require.NoError(t, err)
	text := outcome.Report.Text()
	assert.Contains(t, text, "taken out by its coil")
	var from, to float64
	_, err = fmt.Sscanf(text[strings.Index(text, "air from"):], "air from %f to %f °C", &from, &to)
	require.NoError(t, err)
	assert.Greater(t, to, from+5)
}

// An oven and a bath go on from run to run of a chain, also over runs that they are not in.
func TestStateGoesOn(t *testing.T) {
	text := strings.Replace(pieInOven, "[[stages]]", "[[layers]]\nname = \"glaze\"\nfood = \"butter\"\nthickness = \"1 mm\"\njoins = \"glazed\"\nleaves = \"bare\"\n[[stages]]", 1)
	text = strings.Replace(text, "until = { fluid_below = \"150 C\" }\n", `until = { time = "1 min" }
[[stages]]
name = "glazed"
medium = { kind = "room", temperature = "20 C" }
until = { time = "2 min" }
[[stages]]
name = "bare"
medium = { kind = "appliance", appliance = "oven", off = true }
until = { time = "1 min" }
`, 1)
	outcome, err := parsed(t, text).Simulate(context.Background(), nil)
	require.NoError(t, err)
	require.NoError(t, outcome.Stopped)
	require.Len(t, outcome.Runs, 3)
	first, last := outcome.Runs[0], outcome.Runs[2]
	require.Len(t, last.Bodies, 1)
	was, is := first.Bodies[0].Body.(*oven.Oven).Read(first, first.Duration()), last.Bodies[0].Body.(*oven.Oven).Read(last, 0)
	assert.InDeltaSlice(t, []float64{was.Air, was.Walls, was.Heater, was.Tray[0]}, []float64{is.Air, is.Walls, is.Heater, is.Tray[0]}, 1e-11)
	assert.Greater(t, is.Air, 150.0, "not that of a room")
	assert.Empty(t, outcome.Runs[1].Bodies)
}

// Water that is set to less than a condition asks for never gets there, nor does oil.
func TestBathNeverReaches(t *testing.T) {
	bath := func(above string) error {
		_, err := Read(strings.NewReader(`version = 1
start = "4 C"
shape = { kind = "sphere" }
[[appliances]]
name = "pot"
preset = "circulator"
[[layers]]
food = "butter"
thickness = "2 cm"
[[stages]]
medium = { kind = "appliance", appliance = "pot", set_point = "60 C" }
until = { above = "`+above+`" }
`), "bath")
		return err
	}
	assert.NoError(t, bath("58 C"))
	assert.ErrorContains(t, bath("62 C"), `"62 C" is never reached: nothing the dish meets is above 61 C`)
}
