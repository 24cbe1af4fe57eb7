package dishfile

import (
	"encoding/json"
	"fmt"
	"io"

	"github.com/pelletier/go-toml/v2"
)

// WriteTOML writes the file as TOML, from which Read gives an equal one. It refuses
// what Check refuses.
func (f *File) WriteTOML(w io.Writer) error {
	if err := f.Check(); err != nil {
		return err
	}
	if err := toml.NewEncoder(w).Encode(f); err != nil {
		return fmt.Errorf("dishfile: %w", err)
	}
	return nil
}

// WriteJSON writes the file as JSON, likewise.
func (f *File) WriteJSON(w io.Writer) error {
	if err := f.Check(); err != nil {
		return err
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(f); err != nil {
		return fmt.Errorf("dishfile: %w", err)
	}
	return nil
}
