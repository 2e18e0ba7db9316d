package wording

import (
	"bytes"
	"io"
	"strings"
	"text/tabwriter"

	"golang.org/x/text/width"
)

// Table sets what is written into it in columns: cells end with a tab, rows with a line feed. Letters of Chinese,
// Japanese and Korean take two cells.
type Table struct{ tabs *tabwriter.Writer }

// NewTable makes a table with so many blanks between its columns. It writes when it is flushed.
func NewTable(out io.Writer, gap int) *Table {
	return &Table{tabwriter.NewWriter(unfilled{out}, 0, 4, gap, ' ', 0)}
}

// filler is the second cell of a wide letter while the columns are measured, which counts characters. It is no
// character (Unicode, 23.7), so that no text has it.
const filler = "\uFDD0"

func (t *Table) Write(p []byte) (int, error) {
	var filled strings.Builder
	for _, r := range string(p) {
		filled.WriteRune(r)
		if wide(r) {
			filled.WriteString(filler)
		}
	}
	_, err := io.WriteString(t.tabs, filled.String())
	return len(p), err
}

// Flush writes the table out.
func (t *Table) Flush() error { return t.tabs.Flush() }

// unfilled takes the fillers out again.
type unfilled struct{ out io.Writer }

func (u unfilled) Write(p []byte) (int, error) {
	_, err := u.out.Write(bytes.ReplaceAll(p, []byte(filler), nil))
	return len(p), err
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
