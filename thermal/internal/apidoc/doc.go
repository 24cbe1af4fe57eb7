// Package apidoc has no code of its own. Its test reads the source of every
// public package of the module and fails when an exported name lacks its
// comment, a float64 its unit, a settings field its default, or when a file has
// grown too long.
package apidoc
