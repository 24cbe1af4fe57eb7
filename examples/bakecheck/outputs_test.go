package main

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNothingIsWrittenUnasked(t *testing.T) {
	folder(t, map[string]string{"bath.toml": bath})
	for _, args := range [][]string{{"bath.toml"}, {"-quiet", "bath.toml"}, {"-explain", "bath.toml"}, {"-only-read", "bath.toml"}, {"-rewrite", "json", "bath.toml"}, {"-schema"}} {
		code, _, _ := call(args...)
		require.Equal(t, fine, code, args)
		assert.Equal(t, []string{"bath.toml"}, names(t, "."), args)
	}
}

func TestOutputs(t *testing.T) {
	charts := "[report]\ncharts = [\"layers\", \"section\", \"profiles\", \"water\", \"water section\", \"activity section\"]\nmoments = [\"2 min\", \"5 min\", \"9 h\"]\n"
	folder(t, map[string]string{"bath.toml": bath, "all.toml": with("cells = 20", "cells = 20\nmoisture = true") + charts})
	code, out, errs := call("-csv", "-json", "-pictures", "png", "-width", "600", "-to", "a/b", "bath.toml", "all.toml")
	require.Equal(t, fine, code, errs)
	want := []string{"all.activity-section.png", "all.csv", "all.layers.png", "all.profiles.png", "all.run.json", "all.section.png", "all.water-section.png", "all.water.png",
		"bath.csv", "bath.layers.png", "bath.run.json", "bath.section.png"}
	assert.Equal(t, want, names(t, "a/b"))
	for _, name := range want {
		assert.Equal(t, 1, strings.Count(out, "\n"+filepath.Join("a", "b", name)+"\n"), name)
	}
	assert.Regexp(t, `LEFT OUT\nprofiles at 9 h: the dish came to 0:\d\d:\d\d only\n`, out)
	assert.Equal(t, 1, strings.Count(out, "LEFT OUT"))
	put(t, ".", map[string]string{"late.toml": bath + "[report]\ncharts = [\"profiles\"]\nmoments = [\"9 h\"]\n"})
	code, out, errs = call("-pictures", "svg", "-to", "late", "-quiet", "late.toml")
	require.Equal(t, fine, code, errs)
	assert.Contains(t, out, "\nlate: left out: profiles at 9 h")
	assert.Contains(t, out, "five even moments are drawn instead")
	for format, begins := range map[string]string{"png": "\x89PNG", "svg": "<?xml", "pdf": "%PDF"} {
		code, _, errs := call("-pictures", format, "-to", format, "bath.toml")
		require.Equal(t, fine, code, errs)
		data, err := os.ReadFile(filepath.Join(format, "bath.layers."+format))
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(string(data), begins), format)
	}
}

// Two dish files of one name share no file, and none is lost to a result.
func TestNames(t *testing.T) {
	folder(t, map[string]string{"a/roll.toml": bath, "b/roll.toml": hotter, "c/Roll.json": "", "d/roll-2.toml": bath})
	_, text, _ := call("-rewrite", "json", "a/roll.toml")
	put(t, ".", map[string]string{"c/Roll.json": text})
	code, out, errs := call("-csv", "-to", "out", "a/roll.toml", "b/roll.toml", "c/Roll.json", "d/roll-2.toml", "-")
	assert.Equal(t, missed, code, errs)
	assert.Equal(t, []string{"Roll-3.csv", "roll-2-2.csv", "roll-2.csv", "roll.csv", "stdin.csv"}, names(t, "out"))
	assert.Contains(t, out, "\nroll-2: Beef in a bath\n")

	put(t, ".", map[string]string{"x.toml": bath, "x.run.json": text})
	code, _, errs = call("-json", "x.toml", "x.run.json")
	assert.Equal(t, badInput, code)
	assert.Contains(t, errs, "x.run.json is a dish file and would be overwritten")
	data, err := os.ReadFile("x.run.json")
	require.NoError(t, err)
	assert.Equal(t, text, string(data))
}

// The data of a run are a dish file too: run again, they say the same.
func TestRunAgain(t *testing.T) {
	folder(t, map[string]string{"roll.toml": wished})
	code, first, errs := call("-json", "-to", "out", "roll.toml")
	require.Equal(t, fine, code, errs)
	data, err := os.ReadFile("out/roll.run.json")
	require.NoError(t, err)
	put(t, ".", map[string]string{"again/roll.json": string(data)})
	code, second, errs := call("-json", "-to", "out2", "again/roll.json")
	require.Equal(t, fine, code, errs)
	assert.Equal(t, strings.ReplaceAll(first, "out"+string(filepath.Separator), "out2"+string(filepath.Separator)), second)
	again, err := os.ReadFile("out2/roll.run.json")
	require.NoError(t, err)
	assert.Equal(t, string(data), string(again))
}

// A disk that cannot be written to is told before time is spent on runs, if it can be.
func TestDiskErrors(t *testing.T) {
	folder(t, map[string]string{"bath.toml": bath, "file": "", "out/bath.run.json/in the way": ""})
	code, out, errs := call("-json", "-to", "file/below", "bath.toml")
	assert.Equal(t, failed, code)
	assert.Empty(t, out)
	assert.Contains(t, errs, "nothing was run")

	code, out, errs = call("-json", "-csv", "-to", "out", "bath.toml")
	assert.Equal(t, failed, code)
	assert.Contains(t, errs, "bath.run.json")
	assert.Contains(t, out, "TIMELINE", "the run is not lost")
	assert.Contains(t, out, filepath.Join("out", "bath.csv"))
	assert.NotContains(t, out, filepath.Join("out", "bath.run.json"))
	assert.Equal(t, []string{"bath.csv", "bath.run.json"}, names(t, "out"), "no part of a file is left")

	put(t, ".", map[string]string{"days.toml": with(`"5 min"`, `"30 d"`) + "[report]\nevery = \"0.1 s\"\n"})
	code, _, errs = call("-csv", "-to", "csv", "days.toml")
	assert.Equal(t, failed, code)
	assert.Contains(t, errs, "want at most 1000000")
	assert.Empty(t, names(t, "csv"))
}

// The timeline has a line every so often and at the end of each stage, in °C or °F.
func TestTimeline(t *testing.T) {
	report := "[report]\nevery = \"2 min\"\nplaces = [\"surface\", \"5 mm deep\", \"50 % into beef\", \"coldest of beef\", \"hottest of beef\", \"mean of beef\", \"centre\"]\n"
	folder(t, map[string]string{"c.toml": bath + report, "f.toml": bath + report + "units = \"F\"\n", "s.toml": bath + "[report]\nevery = \"10 s\"\n", "x.toml": bath + "[report]\nevery = \"0.1 s\"\n"})
	code, out, errs := call("-csv", "c.toml", "f.toml")
	require.Equal(t, fine, code, errs)
	c, f := rows(t, "c.csv"), rows(t, "f.csv")
	assert.Equal(t, []string{"time_s", "stage", "surface C", "5 mm deep C", "50 % into beef C", "coldest of beef C", "hottest of beef C", "mean of beef C", "centre C", "weight kg", "ice kg"}, c[0])
	assert.Equal(t, "surface F", f[0][2])
	require.Len(t, f, len(c))
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	var times []string
	for i := 1; i < len(c); i++ {
		times = append(times, c[i][0])
		for j := 2; j < 9; j++ {
			assert.InDelta(t, number(c[i][j])*1.8+32, number(f[i][j]), 1e-4)
		}
		assert.InDelta(t, number(c[i][3]), number(c[i][4]), 1e-9, "half of 10 mm")
		assert.LessOrEqual(t, number(c[i][5]), number(c[i][7]))
	}
	assert.Equal(t, []string{"0.000", "120.000", "240.000", "300.000", "360.000"}, times[:5])
	assert.Equal(t, "warm", c[4][1])
	assert.Equal(t, "cook", c[5][1])
	assert.InDelta(t, 52, number(c[len(c)-1][8]), 1e-3, "the target of the last stage")
	assert.Contains(t, out, "0:05  warm, end")
	assert.Contains(t, out, "What follows is in °C.")

	_, out, _ = call("s.toml")
	assert.Contains(t, out, "0:00:10  warm")
	_, out, _ = call("x.toml")
	assert.Contains(t, out, "-csv has all")
	assert.Less(t, strings.Count(out, "\n"), 500)
	assert.Equal(t, "0.0", degrees(-0.04), "no minus before nought")
}

func rows(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(name)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	return rows
}

// The timeline runs on where layers are put on; where a layer is not, it has no figure.
func TestChain(t *testing.T) {
	folder(t, map[string]string{"chain.toml": wrapped, "short.toml": strings.ReplaceAll(wrapped, `"3 h"`, `"1 min"`)})
	code, out, errs := call("-csv", "chain.toml")
	require.Equal(t, fine, code, errs)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "10 mm beef (beef tenderloin, raw); 3 mm crust (puff pastry, raw; at 10 C; put on for cook)")
	assert.Regexp(t, `0:05  warm, end +[0-9.]+ +[0-9.]+ +- `, out)
	lines := rows(t, "chain.csv")
	assert.Equal(t, "mean of crust C", lines[0][4])
	before := 0.0
	for _, row := range lines[1:] {
		assert.Equal(t, row[1] == "warm", row[4] == "", "%v", row)
		now, err := strconv.ParseFloat(row[0], 64)
		require.NoError(t, err)
		assert.True(t, now > before || now == 0, "%v", row)
		before = now
	}
	code, out, _ = call("short.toml")
	assert.Equal(t, offTarget, code)
	assert.Contains(t, out, `Stage 2 ("cook") met its limit of 1m0s`, "as the file counts, not the run")
}
