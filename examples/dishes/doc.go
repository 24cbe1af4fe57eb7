// Package dishes holds the dish files that README.md beside it shows; its test holds the
// figures given there.
package dishes
