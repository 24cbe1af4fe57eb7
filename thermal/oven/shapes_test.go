package oven

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal"
)

// exported is a zero value of every exported type of the package.
var exported = []any{Bath{}, BathReading{}, BathSetting{}, Door{}, FitError{}, Fitted{}, InputError{}, Log{}, LogError{}, LogPoint{}, Opening{}, Oven{},
	Reading{}, Setting{}, Solid{}, TestBody{}, Thermostat{}, Tray{}}

// The table above misses no type.
func TestExportedTypes(t *testing.T) {
	var known, declared []string
	for _, v := range exported {
		known = append(known, reflect.TypeOf(v).Name())
	}
	files, err := os.ReadDir(".")
	require.NoError(t, err)
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".go") || strings.HasSuffix(f.Name(), "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), f.Name(), nil, 0)
		require.NoError(t, err)
		ast.Inspect(parsed, func(n ast.Node) bool {
			if kind, ok := n.(*ast.TypeSpec); ok && kind.Name.IsExported() {
				declared = append(declared, kind.Name.Name)
			}
			return true
		})
	}
	assert.ElementsMatch(t, declared, known)
}

// Every exported method of every exported type may be called on nothing and on the zero
// value, with arguments that are nothing either.
func TestNothing(t *testing.T) {
	called := 0
	try := func(what string, receiver reflect.Value) {
		for i := range receiver.NumMethod() {
			method := receiver.Method(i)
			name := fmt.Sprintf("%s.%s", what, receiver.Type().Method(i).Name)
			for _, filled := range []bool{false, true} {
				args := make([]reflect.Value, method.Type().NumIn())
				for k := range args {
					args[k] = reflect.Zero(method.Type().In(k))
					if filled && args[k].Kind() == reflect.Pointer {
						args[k] = reflect.New(method.Type().In(k).Elem())
					} else if filled && args[k].Type() == reflect.TypeFor[[]float64]() {
						args[k] = reflect.ValueOf(make([]float64, 3))
					}
				}
				assert.NotPanics(t, func() { method.Call(args) }, name)
				called++
			}
		}
	}
	for _, v := range exported {
		kind := reflect.TypeOf(v)
		try("no "+kind.Name(), reflect.Zero(reflect.PointerTo(kind)))
		try("zero "+kind.Name(), reflect.New(kind))
	}
	for what, m := range map[string]thermal.Medium{"tray of no setting": (*Setting)(nil).OnTray(), "tray of the zero setting": new(Setting).OnTray(),
		"setting of no oven": (*Oven)(nil).At(200), "setting of the zero oven": new(Oven).At(200), "setting of no bath": (*Bath)(nil).Off(),
		"setting of the zero bath": new(Bath).Off(), "tray of the zero oven": new(Oven).Off().OnTray(), "no log": (*Log)(nil).In(thermal.Room(20)),
		"zero log": new(Log).In(thermal.Room(20)), "oven warmed from none": (*Oven)(nil).Warmed(20).After(nil).At(20), "bath after none": (*Bath)(nil).After(nil).At(20)} {
		try(what, reflect.ValueOf(m))
		_, err := thermal.Simulate(t.Context(), crumb, thermal.Schedule{stage(m, time.Minute)}, nil)
		_, typed := errors.AsType[*thermal.InputError](err)
		assert.True(t, typed, "%s: %v", what, err)
	}
	t.Log(called, "calls")
	assert.Greater(t, called, 100)
}

// A run reads the same whatever becomes of its oven, tray, setting and bath.
func TestChangedAfterwards(t *testing.T) {
	o, b := DomesticFan().Warmed(200), Fryer()
	o.Tray = &Tray{Solid: Stone, Thickness: 0.02, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 150}
	hot := &Setting{Oven: o, To: 200, Openings: []Opening{{time.Minute, 30 * time.Second}}}
	oil := b.At(175)
	dish := pie()
	run, err := thermal.Simulate(t.Context(), dish, thermal.Schedule{{Medium: hot, Patches: under(hot.OnTray()), Until: thermal.Elapsed(5 * time.Minute)},
		{Medium: oil, Until: thermal.Elapsed(time.Minute)}}, &thermal.Settings{Moisture: true})
	require.NoError(t, err)
	read := func() (out []any) {
		for at := time.Duration(0); at <= run.Duration(); at += 20 * time.Second {
			below, err := run.Surroundings("underside", at)
			require.NoError(t, err)
			above, err := run.Surroundings("top", at)
			require.NoError(t, err)
			skin, err := run.Temperature(thermal.Skin(), at)
			require.NoError(t, err)
			out = append(out, below, above, skin, o.Read(run, at), b.Read(run, at))
		}
		text, err := run.MarshalJSON()
		require.NoError(t, err)
		return append(out, string(text))
	}
	before := read()
	tray := o.Tray
	*o = Oven{}
	*tray = Tray{}
	*b = Bath{}
	hot.To, hot.FanOff, oil.To = 100, true, 50
	assert.Equal(t, before, read())
}

// Settings of an oven that say the same are one; the same oven set twice is not.
func TestSettingsAlike(t *testing.T) {
	o := DomesticFan()
	o.Tray = &Tray{Solid: Aluminium, Thickness: 0.001, Area: 0.12, Covered: 0.03, Contact: 0.004, Start: 20}
	sim := func(tray thermal.Medium) (*thermal.Run, error) {
		return thermal.Simulate(t.Context(), pie(), thermal.Schedule{{Medium: o.At(200), Patches: under(tray), Until: thermal.Elapsed(time.Minute)}}, nil)
	}
	run, err := sim(o.At(200).OnTray())
	require.NoError(t, err)
	assert.Len(t, run.Bodies, 1)
	_, err = sim(o.At(201).OnTray())
	assert.ErrorContains(t, err, "two settings of one body")
}
