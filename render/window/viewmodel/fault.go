package viewmodel

import (
	"errors"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// Fault is an error with the place it speaks of, for showing at its line.
type Fault struct {
	File string // as the error names it; "" if it names none
	Line int    // 0: none
	Text string // the whole message
}

// place finds "file:line:" or "file:line:column:" anywhere in a message's first line, as every loader of Chalkfield
// and the Lua compiler write it.
var place = regexp.MustCompile(`([^\s:]+\.(?:lua|toml|jsonl|csv)):(\d+)(?::\d+)?:`)

// FaultOf reads an error.
func FaultOf(err error) *Fault {
	fault := &Fault{Text: strings.TrimSpace(err.Error())}
	if found := place.FindStringSubmatch(fault.Text); found != nil {
		fault.File = found[1]
		fault.Line, _ = strconv.Atoi(found[2]) // digits only: the pattern says so; too many of them give 0, no line
	}
	var missing *fs.PathError
	if fault.File == "" && errors.As(err, &missing) {
		fault.File = missing.Path
	}
	return fault
}

// In reports whether the fault speaks of a file.
func (f *Fault) In(path string) bool {
	return f != nil && f.File != "" && filepath.Base(f.File) == filepath.Base(path)
}

// Short is the first line of the message.
func (f *Fault) Short() string {
	first, _, _ := strings.Cut(f.Text, "\n")
	return first
}
