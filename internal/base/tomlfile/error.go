package tomlfile

import (
	"fmt"
	"strings"
)

// Error is one thing wrong in one place of a user's file.
type Error struct {
	File         string
	Line, Column int    // counted from 1, the column in characters
	Key          string // path of the key, as in "pieces[3].at"; "" for the file as a whole
	What         string // what is wrong, and what to write instead
}

// Error gives everything on one line: file:line:column: key: what.
func (e *Error) Error() string {
	place := fmt.Sprintf("%s:%d:%d: ", e.File, e.Line, e.Column)
	if e.Key != "" {
		place += e.Key + ": "
	}
	return place + strings.ReplaceAll(e.What, "\n", " ")
}

// maxErrors is how many errors one file reports before the rest are only counted: enough to put a file right in one go,
// few enough to read.
const maxErrors = 20

// Errors are all that was found wrong in one file, in the order of the file's lines.
type Errors struct {
	List []*Error
	More int // found after the list was full

	Excerpt string // of the grammar's error: its line, and below it a caret under the place; "" for others
}

// Error gives one line for each error, and the excerpt below.
func (e *Errors) Error() string {
	lines := make([]string, len(e.List), len(e.List)+1)
	for i, one := range e.List {
		lines[i] = one.Error()
	}
	if e.More > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", e.More))
	}
	if e.Excerpt != "" {
		lines = append(lines, e.Excerpt)
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets errors.As find the single errors.
func (e *Errors) Unwrap() []error {
	out := make([]error, len(e.List))
	for i, one := range e.List {
		out[i] = one
	}
	return out
}

func (e *Errors) full() bool { return len(e.List) >= maxErrors }
