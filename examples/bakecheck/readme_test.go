package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestFirstDish holds the README to its first dish: the file as it is shown, what it
// says of it, and what comes of the change it asks for.
func TestFirstDish(t *testing.T) {
	page, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	file, err := os.ReadFile("../first.toml")
	require.NoError(t, err)
	assert.Contains(t, string(page), "```toml\n"+string(file)+"```\n")
	_, err = os.Stat("../first.section.png")
	require.NoError(t, err)

	said := func(text string) string {
		name := filepath.Join(t.TempDir(), "mine.toml")
		require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
		var out, errs bytes.Buffer
		program(context.Background(), []string{name}, streams{strings.NewReader(""), &out, &errs})
		return out.String() + errs.String()
	}
	before := said(string(file))
	assert.Contains(t, before, "finished after 1:54")
	assert.Contains(t, before, "wishes: fail (1 of 2)")
	assert.Contains(t, before, "last ice gone from \"lamb\"")
	after := said(strings.Replace(string(file), `"34 mm"`, `"28 mm"`, 1))
	assert.Contains(t, after, "finished after 1:16")
	assert.Contains(t, after, "wishes: pass")
}

// TestNothingHappens: a dish whose targets are met as it begins is no fault, and has no
// pictures.
func TestNothingHappens(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "done.toml")
	require.NoError(t, os.WriteFile(name, []byte("version = 1\nstart = \"20 C\"\nshape = { kind = \"sphere\" }\n[[layers]]\nfood = \"butter\"\nthickness = \"2 cm\"\n[[stages]]\nmedium = { kind = \"room\", temperature = \"20 C\" }\nuntil = { ice_gone = true }\n"), 0o666))
	var out, errs bytes.Buffer
	code := program(context.Background(), []string{"-pictures", "png", "-to", dir, name}, streams{strings.NewReader(""), &out, &errs})
	assert.Zero(t, code, errs.String())
	assert.Contains(t, out.String(), "Nothing happened")
	assert.Contains(t, out.String(), "LEFT OUT\npictures (layers, section): no time passed in the dish")
	pictures, err := filepath.Glob(filepath.Join(dir, "*.png"))
	require.NoError(t, err)
	assert.Empty(t, pictures)
}
