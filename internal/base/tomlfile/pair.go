package tomlfile

import (
	"bytes"
	"strings"
)

// pair is a key and its value as they stand in the file, by offsets.
type pair struct {
	from   int // where the key begins, of a dotted one the whole
	key    int // where that part of it begins which is a key of the table at hand
	keyEnd int
	value  int
	end    int   // behind the value
	brace  bool  // in braces
	before *pair // of the same table
}

// like writes another key beside this one, spaced as it is.
func (p *pair) like(data []byte, key, value string) string {
	key = string(data[p.from:p.key]) + key
	blank, behind, _ := strings.Cut(string(data[p.keyEnd:p.value]), "=")
	if column := p.column(data); p.aligned(data) {
		blank = strings.Repeat(" ", max(1, column-len(key)))
	}
	return key + blank + "=" + behind + value
}

// column is how far behind the key's beginning its = stands.
func (p *pair) column(data []byte) int {
	return p.keyEnd - p.from + bytes.IndexByte(data[p.keyEnd:p.value], '=')
}

// aligned reports whether the file writes the = of this key and of another, shorter or longer one below each other.
func (p *pair) aligned(data []byte) bool {
	for other := p.before; other != nil && !p.brace; other = other.before {
		if other.keyEnd-other.from != p.keyEnd-p.from && other.column(data) == p.column(data) {
			return true
		}
	}
	return false
}

// closing is where the list, or the table in braces, ends that begins at an offset of good TOML.
func closing(data []byte, at int) int {
	depth := 0
	for i := at; i < len(data); i++ {
		switch c := data[i]; c {
		case '[', '{':
			depth++
		case ']', '}':
			if depth--; depth == 0 {
				return i + 1
			}
		case '"', '\'':
			i = stringEnd(data, i) - 1
		case '#':
			i += max(0, bytes.IndexByte(data[i:], '\n'))
		}
	}
	return len(data)
}

// stringEnd is where the string ends that begins at an offset of good TOML.
func stringEnd(data []byte, at int) int {
	quote := data[at : at+1]
	if three := bytes.Repeat(quote, 3); bytes.HasPrefix(data[at:], three) {
		quote = three
	}
	for i := at + len(quote); i < len(data); i++ {
		switch {
		case data[i] == '\\' && quote[0] == '"':
			i++
		case bytes.HasPrefix(data[i:], quote):
			for i += len(quote); len(quote) == 3 && i < len(data) && data[i] == quote[0]; {
				i++ // up to two quotes may stand before the closing three
			}
			return i
		}
	}
	return len(data)
}

// lineEnd is where a line ends, without its line break, and where its comment begins, -1 without one. from is an offset
// in the line outside of any string.
func lineEnd(data []byte, from int) (comment, end int) {
	comment = -1
	for i := from; i < len(data); i++ {
		switch c := data[i]; {
		case c == '\n' && i > from && data[i-1] == '\r':
			return comment, i - 1
		case c == '\n':
			return comment, i
		case c == '#' && comment < 0:
			comment = i
		case (c == '"' || c == '\'') && comment < 0:
			i = stringEnd(data, i) - 1
		}
	}
	return comment, len(data)
}

// lineBreak is how the lines of a document end.
func lineBreak(data []byte) string {
	if at := bytes.IndexByte(data, '\n'); at > 0 && data[at-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}
