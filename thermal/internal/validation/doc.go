// Package validation holds the library against published values.
//
// Its tests collect checks from all groups into one table: the source, the
// quantity, the published value, ours, the deviation and the tolerance with its
// reason. The table is printed by
//
//	go test ./thermal/internal/validation -run Validation -v
//
// and stands in DEVELOPERS.md, its summary in README.md; both are written by
//
//	go test ./thermal/internal/validation -run Validation -update
//
// and the test fails when they differ from what it computes.
package validation
