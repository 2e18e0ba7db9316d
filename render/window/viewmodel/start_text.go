package viewmodel

import (
	"errors"
	"fmt"
	"strings"

	"chalkfield/internal/base/geom"
)

// errStart says why a routine's start cannot be rewritten.
var errStart = errors.New("the routine does not have exactly one `start = {...}`: write the start by hand")

// RewriteStart gives the routine's text with its start pose exchanged: the table of the only `start = {...}` outside
// comments and strings. Everything else stays byte for byte. old is what was there.
func RewriteStart(text string, at geom.Pose) (changed, old string, err error) {
	from, to, err := startTable(text)
	if err != nil {
		return "", "", err
	}
	return text[:from] + LuaPose(at) + text[to:], text[from:to], nil
}

// startTable finds the braces after the only `start =`.
func startTable(text string) (from, to int, err error) {
	found := 0
	for i := 0; i < len(text); {
		if skipped := skip(text, i); skipped > i {
			i = skipped
			continue
		}
		if !isName(text[i]) {
			i++
			continue
		}
		end := i
		for end < len(text) && isName(text[end]) {
			end++
		}
		if open := tableAfter(text, end); text[i:end] == "start" && open >= 0 {
			from, to = open, closing(text, open)
			found++
			if to < 0 {
				return 0, 0, fmt.Errorf("the braces after `start =` do not close: %w", errStart)
			}
		}
		i = end
	}
	if found != 1 {
		return 0, 0, errStart
	}
	return from, to, nil
}

// skip gives the end of a comment or string that begins at i, or i.
func skip(text string, i int) int {
	rest := text[i:]
	switch {
	case strings.HasPrefix(rest, "--"):
		if end := long(text, i+2); end > i+2 {
			return end
		}
		if newline := strings.IndexByte(rest, '\n'); newline >= 0 {
			return i + newline
		}
		return len(text)
	case rest[0] == '[':
		return long(text, i)
	case rest[0] == '"' || rest[0] == '\'':
		for j := i + 1; j < len(text); j++ {
			switch text[j] {
			case '\\':
				j++
			case rest[0], '\n':
				return j + 1
			}
		}
		return len(text)
	}
	return i
}

// long gives the end of a long bracket [[...]] or [=[...]=] that begins at i, or i.
func long(text string, i int) int {
	if i >= len(text) || text[i] != '[' {
		return i
	}
	level := 0
	for i+1+level < len(text) && text[i+1+level] == '=' {
		level++
	}
	if i+1+level >= len(text) || text[i+1+level] != '[' {
		return i
	}
	ending := "]" + strings.Repeat("=", level) + "]"
	if at := strings.Index(text[i:], ending); at >= 0 {
		return i + at + len(ending)
	}
	return len(text)
}

func isName(c byte) bool {
	return c == '_' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
}

// tableAfter gives the place of the brace in "= {" after i, or -1.
func tableAfter(text string, i int) int {
	i = spaces(text, i)
	if i >= len(text) || text[i] != '=' {
		return -1
	}
	if i = spaces(text, i+1); i < len(text) && text[i] == '{' {
		return i
	}
	return -1
}

func spaces(text string, i int) int {
	for i < len(text) && strings.IndexByte(" \t\r\n", text[i]) >= 0 {
		i++
	}
	return i
}

// closing gives the place after the brace that closes the one at open, or -1.
func closing(text string, open int) int {
	depth := 0
	for i := open; i < len(text); {
		if skipped := skip(text, i); skipped > i {
			i = skipped
			continue
		}
		switch text[i] {
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				return i + 1
			}
		}
		i++
	}
	return -1
}
