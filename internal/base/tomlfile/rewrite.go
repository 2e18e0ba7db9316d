package tomlfile

import (
	"bytes"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// Change is a value to write at a path, as Edit takes them.
type Change struct{ Path, Value string }

// Remark is a comment of ours behind what was changed, at the end of its line.
type Remark struct {
	Of      func(line []Change) string // the comment for all changes of a line, with its #
	Earlier *regexp.Regexp             // one that a Remark wrote before, which is replaced; its # may be a ;
}

// Rewrite makes changes as Edit does, each with a remark, and leaves every other byte alone, the user's own comments
// too but for blanks at their end.
func Rewrite(data []byte, changes []Change, remark Remark) ([]byte, error) {
	for _, c := range changes {
		var err error
		if data, err = Edit(data, c.Path, c.Value); err != nil {
			return nil, err
		}
	}
	p, err := locate(data)
	if err != nil {
		return nil, err
	}
	lines, values := map[int][]Change{}, map[int]int{} // by where the line ends: its changes, and where the first one's is
	for _, c := range changes {
		n := p.nodes[p.canonical(c.Path)]
		if n == nil || !n.isValue() {
			return nil, fmt.Errorf("%s is not one value: name one", c.Path)
		}
		_, end := lineEnd(data, n.end)
		if lines[end] == nil {
			values[end] = n.end
		}
		lines[end] = append(lines[end], c)
	}
	for _, end := range slices.Backward(slices.Sorted(maps.Keys(lines))) { // so that the places before it stay
		data = remarked(data, values[end], remark.Of(lines[end]), remark.Earlier)
	}
	return data, nil
}

// remarked puts a comment at the end of the line of an offset, behind the user's own: "# mine; ours".
func remarked(data []byte, from int, comment string, earlier *regexp.Regexp) []byte {
	begins, end := lineEnd(data, from)
	if begins < 0 {
		return splice(data, end, end, "  "+comment)
	}
	own := data[begins:end]
	if old := earlier.FindIndex(own); old != nil {
		own = own[:old[0]]
	}
	own = bytes.TrimRight(own, " \t")
	if len(own) == 0 {
		return splice(data, begins, end, comment)
	}
	return splice(data, begins+len(own), end, ";"+strings.TrimPrefix(comment, "#"))
}

// Comment is the comment behind the value at a path of a document, and its line, from 1; "" where there is none.
func Comment(data []byte, path string) (text string, line int) {
	p, err := locate(data)
	if err != nil {
		return "", 0
	}
	n := p.nodes[p.canonical(path)]
	if n == nil {
		return "", 0
	}
	at, end := lineEnd(data, n.end)
	if at < 0 {
		return "", 0
	}
	return string(bytes.TrimRight(data[at:end], " \t\r")), 1 + bytes.Count(data[:at], []byte("\n"))
}

// Written is a value as it stands at a path of a document: its text without quotes and escapes, and the quotes, "" for
// one that has none. there is false where the document has no value at the path.
func Written(data []byte, path string) (text, quotes string, there bool) {
	p, err := locate(data)
	if err != nil {
		return "", "", false
	}
	n := p.nodes[p.canonical(path)]
	if n == nil || !n.isValue() {
		return "", "", false
	}
	if c := data[n.at]; c == '"' || c == '\'' {
		quotes = string(c)
		if n.end-n.at >= 6 && data[n.at+1] == c && data[n.at+2] == c {
			quotes += quotes + quotes
		}
	}
	return string(n.text), quotes, true
}
