package main

import (
	"strings"
	"unicode/utf8"
)

// table sets rows in columns, l or r of form saying to which side each is set.
func table(rows [][]string, form string) string {
	wide := make([]int, len(form))
	for _, row := range rows {
		for i, s := range row {
			wide[i] = max(wide[i], utf8.RuneCountInString(s))
		}
	}
	var b strings.Builder
	for _, row := range rows {
		line := ""
		for i, s := range row {
			gap := strings.Repeat(" ", wide[i]-utf8.RuneCountInString(s))
			if form[i] == 'r' {
				line += gap + s + "  "
			} else {
				line += s + gap + "  "
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

// folded sets the words of cells under each other where they are wider than their
// widths. Cells with fewer lines begin at the top, or else end at the bottom.
func folded(cells []string, widths []int, top bool) [][]string {
	columns, high := make([][]string, len(cells)), 0
	for i, c := range cells {
		columns[i] = lines(c, widths[i])
		high = max(high, len(columns[i]))
	}
	rows := make([][]string, high)
	for i, c := range columns {
		first := 0
		if !top {
			first = high - len(c)
		}
		for j := range rows {
			rows[j] = append(rows[j], "")
			if k := j - first; k >= 0 && k < len(c) {
				rows[j][i] = c[k]
			}
		}
	}
	return rows
}

// lines breaks words into lines of a width, longer ones where a word is.
func lines(text string, width int) (out []string) {
	for _, w := range strings.Fields(text) {
		last := len(out) - 1
		if last >= 0 && utf8.RuneCountInString(out[last]+" "+w) <= width {
			out[last] += " " + w
		} else {
			out = append(out, w)
		}
	}
	return out
}

// shortened ends a text that is too long with dots.
func shortened(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}
