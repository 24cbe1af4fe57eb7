// Package experiments holds dish files for three experiments that README.md beside it
// describes; its test holds the figures given there.
package experiments
