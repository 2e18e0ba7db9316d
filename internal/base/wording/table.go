package wording

import (
	"strings"

	"golang.org/x/text/width"
)

// Pad fills words up with blanks to so many cells, before them or behind.
func Pad(words string, cells int, before bool) string {
	blanks := strings.Repeat(" ", max(0, cells-Cells(words)))
	if before {
		return blanks + words
	}
	return words + blanks
}

// Cells is how many cells of a terminal a text takes.
func Cells(text string) int {
	cells := 0
	for _, r := range text {
		cells++
		if wide(r) {
			cells++
		}
	}
	return cells
}

// wide reports whether a letter takes two cells: those that are wide or fullwidth by Unicode's Standard Annex 11, East
// Asian Width.
func wide(r rune) bool {
	kind := width.LookupRune(r).Kind()
	return kind == width.EastAsianWide || kind == width.EastAsianFullwidth
}
