package dishfile

import (
	"encoding/json"
	"errors"
	"io"
	"runtime"
	"strconv"

	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/verdict"
)

// outcomeVersion is that of the form of an outcome in JSON.
const outcomeVersion = 1

// Keys of an outcome in JSON that Read looks for.
const (
	outcomeKey = "outcome"
	dishKey    = "dish"
)

// outcomeJSON is an Outcome in JSON.
type outcomeJSON struct {
	Outcome int             `json:"outcome"`
	MadeBy  madeBy          `json:"made_by"`
	Dish    *File           `json:"dish"`
	Runs    []*thermal.Run  `json:"runs"`
	Report  *verdict.Report `json:"report,omitempty"`
	Stopped string          `json:"stopped,omitempty"`
}

// madeBy is what else decides the figures of an outcome.
type madeBy struct {
	Library string `json:"thawfront"` // version of the module, or revision of its source
	Go      string `json:"go"`
	Arch    string `json:"arch"`
	Foods   string `json:"foods_sha256"`
}

// WriteJSON writes the outcome with all that it was made from: the dish file, versions of
// library and table of foods, and the runs with their settings. Read takes the file out of
// it again; simulated by the same library on the same kind of machine it gives the same
// figures to the last bit.
func (o *Outcome) WriteJSON(w io.Writer) error {
	out := outcomeJSON{Outcome: outcomeVersion, Dish: o.File, Runs: o.Runs, Report: o.Report,
		MadeBy: madeBy{thermal.Version(), runtime.Version(), runtime.GOARCH, materials.TableSum()}}
	if o.Stopped != nil {
		out.Stopped = o.Stopped.Error()
	}
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(out)
}

// ofOutcome gives the dish of an outcome, and any other tree as it is.
func ofOutcome(root *node) (*node, error) {
	v := root.table[outcomeKey]
	if v == nil {
		return root, nil
	}
	dish := root.table[dishKey]
	if v.kind != integerNode || v.text != strconv.Itoa(outcomeVersion) || dish == nil || dish.kind != tableNode {
		return nil, errors.New("an outcome of another version, or without its dish")
	}
	return dish, nil
}
