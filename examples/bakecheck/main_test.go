package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/thermal/dishfile"
	"example.com/thawfront/thermal/safety"
)

// A bag of beef in a bath: small and fast, invented.
const bath = `version = 1
title = "Beef in a bath"
start = "4 C"
shape = { kind = "half slab", area = "200 cm²" }
[[layers]]
name = "beef"
food = "beef tenderloin, raw"
thickness = "10 mm"
[[stages]]
name = "warm"
medium = { kind = "bath", temperature = "60 C" }
until = { time = "5 min" }
[[stages]]
name = "cook"
medium = { kind = "bath", temperature = "58 C" }
until = { above = "52 C" }
limit = "3 h"
[settings]
cells = 20
`

// with is bath with changes: what to replace, what by, and so on.
func with(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(bath) }

// Variations, each with its own end.
var (
	wished  = bath + "[[checks]]\nserved = { from = \"50 C\", to = \"55 C\" }\n"
	hotter  = bath + "[[checks]]\nserved = { from = \"70 C\", to = \"80 C\" }\n"
	limited = with(`"3 h"`, `"1 min"`)
	tired   = bath + "max_steps = 3\n"
	unsafe  = bath + "[[safety]]\nfood = \"intact meat\"\nanimal = \"beef\"\nrules = [\"food-code-intact-meat-fish-eggs\"]\n"
	wrapped = with("[[stages]]\nname = \"warm\"", "[[layers]]\nname = \"crust\"\nfood = \"puff pastry, raw\"\nthickness = \"3 mm\"\njoins = \"cook\"\nstart = \"10 C\"\n[[stages]]\nname = \"warm\"")
	broken  = with("10 mm", "10 yards", "beef tenderloin, raw", "moon rock")
)

// put writes dish files into a folder and gives their paths.
func put(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		path := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	}
}

// folder is a temporary folder with dish files, in which the test goes on.
func folder(t *testing.T, files map[string]string) {
	t.Helper()
	dir := t.TempDir()
	put(t, dir, files)
	t.Chdir(dir)
}

// call runs the program and gives its exit code and what it printed.
func call(args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = program(context.Background(), args, streams{strings.NewReader(bath), &o, &e})
	return code, o.String(), e.String()
}

func TestExitCodes(t *testing.T) {
	folder(t, map[string]string{"wished.toml": wished, "hotter.toml": hotter, "limited.toml": limited, "tired.toml": tired, "broken.toml": broken, "bath.toml": bath,
		"unsafe.toml": unsafe})
	for _, c := range []struct {
		args string
		code int
		says []string
	}{
		{"bath.toml", fine, []string{"finished after 0:", "wishes: none", "cannot tell"}},
		{"wished.toml", fine, []string{"wishes: pass (all 1)"}},
		{"hotter.toml", missed, []string{"wishes: fail (1 of 1)", "WHAT IS NOT"}},
		{"unsafe.toml", missed, []string{"safety: fail", "SAFETY: FAIL"}},
		{"limited.toml", offTarget, []string{"stopped at a limit", `Stage 2 ("cook") met its limit of 1m0s`}},
		{"tired.toml", failed, []string{"failed after", "The chain ended early"}},
		{"broken.toml", badInput, []string{"broken.toml:8: ", "broken.toml:7: ", "nothing was run"}},
		{"missing.toml", badInput, []string{"missing.toml", "nothing was run"}},
		{".", badInput, []string{"directory", "nothing was run"}},
		{"wished.toml bath.toml", fine, []string{"ALL DISHES"}},
		{"wished.toml hotter.toml", missed, nil},
		{"hotter.toml limited.toml wished.toml", offTarget, nil},
		{"limited.toml tired.toml", failed, nil},
		{"tired.toml broken.toml", badInput, nil},
		{"-help", fine, []string{"-only-read", "130"}},
		{"", badInput, []string{"want a dish file"}},
		{"-no-such-flag bath.toml", badInput, []string{"no-such-flag"}},
	} {
		code, out, errs := call(strings.Fields(c.args)...)
		assert.Equal(t, c.code, code, "%s\n%s", c.args, errs)
		for _, s := range c.says {
			assert.Contains(t, out+errs, s, c.args)
		}
		if c.code != badInput {
			assert.Empty(t, errs, "%s: a pipe shows no progress", c.args)
		}
	}
}

// Of flags that contradict each other none is taken.
func TestFlags(t *testing.T) {
	folder(t, map[string]string{"bath.toml": bath})
	for _, args := range []string{"-schema bath.toml", "-rewrite yaml bath.toml", "-rewrite json bath.toml bath.toml", "-rewrite json -quiet bath.toml",
		"-pictures gif bath.toml", "-width 800 bath.toml", "-pictures png -width 10 bath.toml", "-to out bath.toml", "-only-read -json bath.toml",
		"-quiet -explain bath.toml", "- -", "-width many bath.toml"} {
		code, out, errs := call(strings.Fields(args)...)
		assert.Equal(t, badInput, code, args)
		assert.Empty(t, out, args)
		assert.Contains(t, errs, "-help says more", args)
	}
	assert.Equal(t, []string{"bath.toml"}, names(t, "."))
}

func names(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// What a dish comes to depends neither on what runs beside it nor on how many do.
func TestSideBySide(t *testing.T) {
	folder(t, map[string]string{"bath.toml": bath, "hotter.toml": hotter, "limited.toml": limited})
	single := map[string]string{}
	files := []string{"bath.toml", "hotter.toml", "limited.toml"}
	for _, f := range files {
		_, single[f], _ = call(f)
	}
	before := runtime.GOMAXPROCS(0)
	t.Cleanup(func() { runtime.GOMAXPROCS(before) })
	var all []string
	for _, n := range []int{1, 2} {
		runtime.GOMAXPROCS(n)
		_, out, _ := call(files...)
		all = append(all, out)
	}
	assert.Equal(t, all[0], all[1])
	assert.True(t, strings.HasPrefix(all[0], single[files[0]]+"\n"+single[files[1]]+"\n"+single[files[2]]+"\nALL DISHES\n"), "in the order of the files, each whole")
	for f, out := range single {
		assert.Equal(t, 1, strings.Count(out, safety.Caution), f)
	}
}

// An interruption keeps what was computed, and begins nothing new.
func TestInterruption(t *testing.T) {
	folder(t, map[string]string{"bath.toml": bath, "wished.toml": wished})
	before := runtime.GOMAXPROCS(1)
	t.Cleanup(func() { runtime.GOMAXPROCS(before) })
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	var out, errs bytes.Buffer
	c := command{streams: streams{nil, &out, &errs}, meter: &meter{watch: func(i int, p dishfile.Progress) {
		if i == 0 && p.Time.Minutes() > 6 {
			cancel()
		}
	}}}
	assert.Equal(t, interrupted, c.run(ctx, []string{"-json", "-csv", "bath.toml", "wished.toml"}))
	assert.Contains(t, out.String(), "OUTCOME: interrupted after 0:0")
	assert.Contains(t, out.String(), `Interrupted in stage 2 ("cook")`)
	assert.Contains(t, out.String(), "0:05:00  warm, end")
	assert.Contains(t, out.String(), "  cook, stopped ")
	assert.Contains(t, out.String(), safety.Caution)
	assert.Contains(t, out.String(), "wished: not run: interrupted")
	assert.Contains(t, errs.String(), "interrupted")
	assert.Equal(t, []string{"bath.csv", "bath.run.json", "bath.toml", "wished.toml"}, names(t, "."))

	out.Reset()
	errs.Reset()
	assert.Equal(t, interrupted, program(ctx, []string{"bath.toml"}, streams{nil, &out, &errs}), "before anything began")
	assert.Empty(t, out.String())
	assert.Contains(t, errs.String(), "nothing was run")
}

// All faults of all files are told, and then nothing runs.
func TestAllFaults(t *testing.T) {
	folder(t, map[string]string{"good.toml": bath, "broken.toml": broken, "other.toml": with("version = 1", "version = 1\ncolour = \"blue\"")})
	for _, args := range []string{"good.toml broken.toml other.toml", "-only-read good.toml broken.toml other.toml missing.toml", "-json good.toml broken.toml other.toml"} {
		code, out, errs := call(strings.Fields(args)...)
		assert.Equal(t, badInput, code)
		assert.Empty(t, out)
		for _, s := range []string{"broken.toml:7: layers[1].food", "broken.toml:8: layers[1].thickness", "other.toml:2: colour"} {
			assert.Contains(t, errs, s)
		}
		assert.NotContains(t, errs, "good.toml")
	}
	assert.Len(t, names(t, "."), 3, "nothing was written")
}

func TestOnlyRead(t *testing.T) {
	folder(t, map[string]string{"bath.toml": bath})
	code, out, _ := call("-only-read", "bath.toml", "-")
	assert.Equal(t, fine, code)
	assert.Equal(t, "bath: Beef in a bath: nothing wrong; layers: 1, stages: 2, checks: 0, safety: 0\n"+
		"stdin: Beef in a bath: nothing wrong; layers: 1, stages: 2, checks: 0, safety: 0\n", out)
	_, out, _ = call("-only-read", "-explain", "bath.toml")
	assert.Contains(t, out, "WHERE EACH NUMBER COMES FROM")
	assert.Contains(t, out, "thickness")
	assert.NotContains(t, out, "TIMELINE")
	_, out, _ = call("-explain", "bath.toml")
	assert.Contains(t, out, "WHERE EACH NUMBER COMES FROM")
	assert.Contains(t, out, "TIMELINE")
}

// A dish file goes from one form to the other and back.
func TestRewrite(t *testing.T) {
	folder(t, map[string]string{"bath.toml": bath})
	_, first, _ := call("-rewrite", "json", "bath.toml")
	put(t, ".", map[string]string{"bath.json": first})
	code, toml, errs := call("-rewrite", "toml", "bath.json")
	assert.Equal(t, fine, code, errs)
	put(t, ".", map[string]string{"again.toml": toml})
	_, second, _ := call("-rewrite", "json", "again.toml")
	assert.Equal(t, first, second)
	assert.True(t, json.Valid([]byte(first)))
	_, schema, _ := call("-schema")
	assert.True(t, json.Valid([]byte(schema)))
}

func TestQuiet(t *testing.T) {
	folder(t, map[string]string{"wished.toml": wished, "hotter.toml": hotter})
	code, out, _ := call("wished.toml", "hotter.toml", "-quiet", "-fahrenheit")
	assert.Equal(t, missed, code)
	lines := strings.Split(out, "\n")
	require.Len(t, lines, 4)
	assert.Regexp(t, `^wished: finished after 0:\d\d, centre at 125.6 °F; wishes: pass \(all 1\); safety: cannot tell`, lines[0])
	assert.Regexp(t, `^hotter: .* wishes: fail`, lines[1])
	assert.Contains(t, lines[2], safety.Caution)
}

// Names in a dish file cannot play tricks on the terminal.
func TestControlCharacters(t *testing.T) {
	folder(t, map[string]string{"x.toml": with("Beef in a bath", `Beef\u001b[31m in\r a\u009b bath`)})
	_, out, _ := call("x.toml")
	assert.Contains(t, out, "Beef[31m in a bath")
	assert.NotContains(t, out, "\x1b")
}

// The caution for hot oil stands where there is some.
func TestHotOil(t *testing.T) {
	fryer := with(`"bath", temperature = "60 C"`, `"appliance", appliance = "pan", set_point = "170 C"`)
	folder(t, map[string]string{"bath.toml": bath, "oil.toml": with(`"bath", temperature = "60 C"`, `"oil", temperature = "170 C"`),
		"fryer.toml": fryer + "\n[[appliances]]\nname = \"pan\"\npreset = \"fryer\"\nready_at = \"170 C\"\n"})
	_, out, _ := call("oil.toml", "bath.toml", "fryer.toml")
	assert.Equal(t, 2, strings.Count(out, "hot oil makes it spatter"), out)
}

func TestMeter(t *testing.T) {
	var to bytes.Buffer
	m := &meter{to: &to}
	m.start([]*dish{{label: "one"}, {label: "two"}})
	m.of(1)(dishfile.Progress{Name: "cook", Time: 90 * 60e9, Centre: 41.25})
	assert.Equal(t, "\r0 of 2 done; two: cook, 1:30 in the dish, centre 41.2 °C", to.String())
	m.finish(1)
	m.clear()
	text := to.String()
	assert.True(t, strings.HasSuffix(text, "\r"+strings.Repeat(" ", 56)+"\r"), "%q", text)
	assert.NotContains(t, text, "\x1b")
	assert.LessOrEqual(t, len([]rune(shortened(fmt.Sprint(text, text, text), meterWidth))), meterWidth)
	assert.Nil(t, newMeter(&to).to, "no terminal")
	file, err := os.Create(filepath.Join(t.TempDir(), "errors"))
	require.NoError(t, err)
	defer file.Close()
	assert.Nil(t, newMeter(file).to, "no terminal")
}
