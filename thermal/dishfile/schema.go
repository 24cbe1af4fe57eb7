package dishfile

import (
	"bytes"
	_ "embed"
)

//go:embed schema.json
var schema []byte

// Schema gives the JSON Schema (draft 2020-12) of dish files in JSON, and of those in
// TOML read as data, for editors and for programs that write dish files. It knows keys,
// types, units, words, ranges of bare numbers and what needs or excludes what within a
// table. What Read refuses besides hangs on other parts of the file or on the foods: names
// that are not there, quantities out of their range, shares that do not sum up.
//
// What the schema refuses Read refuses too, but for words in other than their listed form
// (a structure as "Fibre Across") and space other than ASCII's around quantities.
func Schema() []byte { return bytes.Clone(schema) }
