package oven

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/thermal"
)

// wild draws ovens, baths, logs and schedules, some of them with a figure that makes no sense.
type wild struct{ *rand.Rand }

func (r wild) some(lo, hi float64) float64 { return lo * math.Exp(r.Float64()*math.Log(hi/lo)) }
func (r wild) pick(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

func (r wild) duration(lo, hi float64) time.Duration { return seconds(r.some(lo, hi)) }

// spoil makes one in so many wrong in one of its figures.
func (r wild) spoil(what any, oneIn int) {
	v := reflect.ValueOf(what).Elem()
	f := v.Field(r.IntN(v.NumField()))
	if r.IntN(oneIn) == 0 && f.Kind() == reflect.Float64 && f.CanSet() {
		f.SetFloat([]float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-300, 1e300, f.Float() * 100, f.Float() / 100}[r.IntN(9)])
	}
}

func (r wild) oven() *Oven {
	o := []*Oven{DomesticStill(), DomesticFan(), Combi(), Deck(), Freezer(), Refrigerator(), BlastChiller()}[r.IntN(7)]
	if r.IntN(3) == 0 {
		power := r.some(1, 1e6)
		o = &Oven{Power: power, Cools: r.IntN(4) == 0, Volume: r.some(1e-3, 100), Heater: r.some(10, 1e7), HeaterConductance: power / r.some(10, 3000), Radiant: r.Float64(),
			Air: r.some(1, 1e6), Walls: r.some(10, 1e8), Exchange: r.some(1e-2, 1e4), Loss: r.some(1e-3, 1e4), Vent: r.some(1e-6, 1), Door: Door{r.some(0.01, 5), r.some(0.01, 5)},
			H: r.some(1, 1e4), Emissivity: r.Float64(), Thermostat: Thermostat{Hysteresis: r.some(1e-6, 200)}, Room: r.pick(-50, 100), RoomVapour: r.pick(0, 0.2)}
	}
	o.Power *= r.some(0.2, 5)
	o.Start, o.Warm = r.pick(-80, 400), r.IntN(3) == 0
	if r.IntN(3) == 0 {
		o.Thermostat = Thermostat{Band: r.some(1e-3, 200), Offset: r.pick(-50, 50)}
	}
	if r.IntN(2) == 0 {
		o.Tray = &Tray{Solid: Solid{"any", r.some(0.01, 1000), r.some(10, 30000), r.some(100, 10000), r.Float64()}, Thickness: r.some(1e-4, 0.5), Area: r.some(1e-2, 10), Covered: 0.01,
			Contact: r.some(1e-4, 10), Start: r.pick(-80, 400)}
		r.spoil(o.Tray, 10)
	}
	r.spoil(o, 8)
	return o
}

func (r wild) bath() *Bath {
	b := &Bath{Power: r.some(1, 1e6), Mass: r.some(0.01, 100), HeatCapacity: r.some(500, 5000), Vessel: r.some(1e-3, 1e5), Loss: r.some(1e-6, 1e4), Water: r.IntN(2) == 0, Open: r.some(1e-4, 100),
		H: r.some(1e-2, 1e4), Thermostat: Thermostat{Band: r.some(1e-6, 200)}, Room: r.pick(-50, 100), RoomVapour: r.pick(0, .2), Start: r.pick(0, 100)}
	if r.IntN(2) == 0 {
		b = []*Bath{Fryer(), Circulator()}[r.IntN(2)]
	}
	r.spoil(b, 8)
	return b
}

func (r wild) log(t *testing.T) thermal.Medium {
	points := make([]LogPoint, 2+r.IntN(20))
	at := 0.0
	for i := range points {
		points[i] = LogPoint{at, r.pick(-100, 300), r.pick(-100, 300)}
		at += r.some(1e-6, 600)
	}
	l, err := NewLog(points)
	require.NoError(t, err)
	return l.In(thermal.Surroundings{H: r.some(1, 100), Emissivity: r.Float64()})
}

func (r wild) setting(o *Oven) *Setting {
	s := &Setting{Oven: o, To: r.pick(-60, 300), FanOff: r.IntN(2) == 0}
	if r.IntN(3) == 0 {
		s.Steam = r.some(1e-9, 1)
	}
	at := time.Duration(0)
	for range r.IntN(3) {
		x := Opening{At: at + r.duration(1e-3, 200), For: r.duration(1e-9, 200)}
		s.Openings, at = append(s.Openings, x), x.At+x.For
	}
	return s
}

func (r wild) schedule(t *testing.T, o *Oven, b *Bath, top geometry.Patch) (out thermal.Schedule) {
	for range 1 + r.IntN(3) {
		var st thermal.Stage
		switch r.IntN(6) {
		case 0:
			st.Medium = b.At(r.pick(0, 300))
		case 1:
			st.Medium = r.log(t)
		case 2:
			st.Medium = []thermal.Medium{o.Off(), b.Off()}[r.IntN(2)]
		default:
			s := r.setting(o)
			st.Medium = s
			if top == geometry.Top && (o.Tray != nil || r.IntN(10) == 0) {
				st.Patches = under(s.OnTray())
			}
		}
		d := r.duration(1, 1200)
		switch r.IntN(4) {
		case 0:
			st.Until, st.Limit = thermal.FluidAbove(top, r.pick(-50, 250)), d
		case 1:
			st.Until, st.Limit = thermal.Any(thermal.FluidBelow(top, r.pick(-50, 250)), thermal.Above(thermal.Centre(), 60)), d
		default:
			st.Until = thermal.Elapsed(d)
		}
		out = append(out, st)
	}
	return out
}

// Ovens, baths and logs in any order, in one dimension and in two, are refused, cook, or
// fail with an error of a type; what was computed can be read.
func TestWildSchedules(t *testing.T) {
	kinds := map[string]int{}
	for i := range uint64(150) {
		r := wild{rand.New(rand.NewPCG(i, 77))}
		o, b, dish, top := r.oven(), r.bath(), pie(), geometry.Top
		settings := &thermal.Settings{Moisture: r.IntN(2) == 0, Cells: 20, MaxSteps: 3000, Pressure: r.pick(25e3, 200e3)}
		if r.IntN(4) == 0 {
			dish.Shape, dish.Layers, top, settings.Cells = geometry.Bar{Width: 0.05}, dish.Layers[1:], geometry.Side, 60
		}
		dish.Start = thermal.Uniform(r.pick(-30, 60))
		run, err := thermal.Simulate(t.Context(), dish, r.schedule(t, o, b, top), settings)
		kind := "cooked"
		if _, met := errors.AsType[*thermal.StageLimitError](err); met {
			kind = "met a limit"
		} else if _, solver := errors.AsType[*thermal.SolverError](err); solver {
			kind = "failed"
		} else if _, input := errors.AsType[*thermal.InputError](err); input {
			kind = "refused"
		} else {
			require.NoError(t, err, i)
		}
		kinds[kind]++
		if run == nil {
			continue
		}
		for _, x := range run.Bodies {
			assert.Less(t, x.Relative, 1e-8, "%d: %+v", i, x)
		}
		assert.Less(t, run.Energy.Relative, 1e-8, i)
		for k := range 8 {
			at := run.Duration() * time.Duration(k) / 6
			oven, bath := o.Read(run, at), b.Read(run, at)
			assert.True(t, oven.Vapour >= 0 && oven.Vapour <= 1 && bath.Gone >= 0, "%d: %+v %+v", i, oven, bath)
			run.At(at)
			_, err := run.Surroundings(top, at)
			assert.NoError(t, err, i)
		}
		_, err = run.MarshalJSON()
		assert.NoError(t, err, i)
		if kind == "cooked" {
			dish.Start = thermal.From(run)
			_, err = thermal.Simulate(t.Context(), dish, thermal.Schedule{stage(o.After(run).Off(), time.Minute)}, settings)
			if _, input := errors.AsType[*thermal.InputError](err); !input { // of an oven that was in no stage
				assert.NoError(t, err, i)
			}
		}
	}
	t.Log(kinds)
	assert.Greater(t, kinds["cooked"], 30)
	assert.Greater(t, kinds["met a limit"], 10)
}

// Ovens with any figures that are allowed are refused, cook, or fail with an error that
// says where; their accounts close all the same.
func TestWildOvens(t *testing.T) {
	r := wild{rand.New(rand.NewPCG(1, 5))}
	some := r.some
	cooked, refused, failed := 0, 0, 0
	for i := range 200 {
		power := some(1, 1e6)
		o := &Oven{Power: power, Cools: r.IntN(4) == 0, Volume: some(1e-3, 100), Heater: some(10, 1e7), HeaterConductance: power / some(10, 3000), Radiant: r.Float64(),
			Air: some(1, 1e6), Walls: some(10, 1e8), Exchange: some(1e-2, 1e6), Loss: some(1e-3, 1e5), Vent: some(1e-6, 10), Door: Door{some(0.01, 5), some(0.01, 5)},
			H: some(1, 1e4), Emissivity: r.Float64(), Thermostat: Thermostat{Hysteresis: some(1e-6, 200)}, Room: 20, RoomVapour: 0.01, Start: -50 + 300*r.Float64(), Warm: r.IntN(2) == 0}
		s := &Setting{Oven: o, To: 250 * r.Float64(), Steam: some(1e-9, 1), Openings: []Opening{{time.Minute, time.Minute}}}
		st := stage(s, 5*time.Minute)
		if r.IntN(2) == 0 {
			o.Tray = &Tray{Solid: Solid{"any", some(0.01, 1000), some(10, 30000), some(100, 10000), r.Float64()}, Thickness: some(1e-4, 0.5), Area: some(0.03, 10), Covered: 0.01,
				Contact: some(1e-4, 10), Start: 300 * r.Float64()}
			st.Patches = under(s.OnTray())
		}
		run, err := thermal.Simulate(context.Background(), pie(), thermal.Schedule{st}, &thermal.Settings{Moisture: i%2 == 0, Cells: 20, MaxSteps: 3000})
		var input *thermal.InputError
		var solver *thermal.SolverError
		switch {
		case err == nil:
			cooked++
			assert.Less(t, run.Bodies[0].Relative, 1e-8, "%d: %+v", i, o)
			assert.Less(t, run.Energy.Relative, 1e-8, "%d: %+v", i, o)
		case run == nil:
			refused++
			assert.True(t, errors.As(err, &input), err)
		default:
			failed++
			assert.True(t, errors.As(err, &input) || errors.As(err, &solver), err)
		}
	}
	t.Log(cooked, "cooked,", refused, "refused,", failed, "failed")
	assert.Greater(t, cooked, 20)
}
