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
// The schema has the plain form of words and quantities. Besides these Read takes what
// people type: words in any case and joined otherwise ("Fan Oven", "fan-oven", "center"),
// and quantities such as "2,5 cm", "½ h", "1 h 30" or "25 deg C". All else that the schema
// refuses Read refuses too.
func Schema() []byte { return bytes.Clone(schema) }
