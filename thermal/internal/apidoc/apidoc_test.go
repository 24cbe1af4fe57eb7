package apidoc

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestModule holds every public package of the module to the rules.
func TestModule(t *testing.T) {
	root := moduleRoot(t)
	c := checker{fset: token.NewFileSet()}
	for _, directory := range publicFolders(t, root) {
		checkPackage(t, &c, directory)
	}
	require.NotZero(t, c.fset.Base()-1, "no source was found below %s", root)
	for _, fault := range c.faults {
		if relative, err := filepath.Rel(root, fault.pos.Filename); err == nil {
			fault.pos.Filename = filepath.ToSlash(relative)
		}
		t.Error(fault)
	}
}

// moduleRoot walks up from the test's folder to the one that has go.mod.
func moduleRoot(t *testing.T) string {
	t.Helper()
	directory, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(directory, "go.mod")); err == nil {
			return directory
		}
		parent := filepath.Dir(directory)
		require.NotEqual(t, parent, directory, "no go.mod above the test's folder")
		directory = parent
	}
}

// publicFolders lists the folders whose packages others can import.
func publicFolders(t *testing.T, root string) (folders []string) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || !entry.IsDir() {
			return err
		}
		if path != root {
			name := entry.Name()
			switch {
			case strings.HasPrefix(name, "."), strings.HasPrefix(name, "_"),
				name == "internal", name == "testdata", name == "vendor",
				path == filepath.Join(root, "examples"):
				return fs.SkipDir
			}
			if _, err := os.Stat(filepath.Join(path, "go.mod")); err == nil {
				return fs.SkipDir // another module
			}
		}
		folders = append(folders, path)
		return nil
	})
	require.NoError(t, err)
	return folders
}

// checkPackage checks the files of one folder, whatever their build tags, but
// for tests and programs. A folder without any is no fault.
func checkPackage(t *testing.T, c *checker, directory string) {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(directory, "*.go"))
	require.NoError(t, err)
	var first *ast.File
	described := false
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(c.fset, name, nil, parser.ParseComments|parser.SkipObjectResolution)
		if !assert.NoError(t, err) || file.Name.Name == "main" {
			continue
		}
		if first == nil {
			first = file
		}
		if filepath.Base(name) == "doc.go" && strings.TrimSpace(file.Doc.Text()) != "" {
			described = true
		}
		c.file(file)
	}
	if first != nil && !described {
		c.add(first.Package, "package %s lacks a doc.go with the package's comment", first.Name.Name)
	}
}
