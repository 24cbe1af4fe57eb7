package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"example.com/thawfront/thermal/dishfile"
)

// dish is a dish file that was read.
type dish struct {
	label string // that no other has; files written are called after it
	path  string
	file  *dishfile.File
}

// title is what the dish is called in print.
func (d *dish) title() string {
	if d.file.Title != "" && d.file.Title != d.label {
		return d.label + ": " + d.file.Title
	}
	return d.label
}

// read reads all dish files and gives the faults of all together.
func read(paths []string, stdin io.Reader) ([]*dish, error) {
	var dishes []*dish
	var faults []error
	taken := map[string]bool{}
	for _, path := range paths {
		f, err := readOne(path, stdin)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		dishes = append(dishes, &dish{label(path, taken), path, f})
	}
	return dishes, errors.Join(faults...)
}

func readOne(path string, stdin io.Reader) (*dishfile.File, error) {
	if path == "-" {
		return dishfile.Read(stdin, "standard input")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return dishfile.Read(f, path)
}

// label gives the base name of a dish file, with a number if it is taken. Letters
// that differ by case alone are one and the same to some disks.
func label(path string, taken map[string]bool) string {
	base := filepath.Base(path)
	if path == "-" {
		base = "stdin"
	}
	for _, end := range []string{".toml", ".json"} {
		base = strings.TrimSuffix(base, end)
	}
	if base == "" {
		base = "dish"
	}
	name := base
	for n := 2; taken[strings.ToLower(name)]; n++ {
		name = fmt.Sprintf("%s-%d", base, n)
	}
	taken[strings.ToLower(name)] = true
	return name
}
