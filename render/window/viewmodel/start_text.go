package viewmodel

import (
	"errors"
	"fmt"

	"chalkfield/internal/base/geom"
	"chalkfield/scripting/literal"
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
	tokens := literal.Code(text)
	word := func(i int) string {
		if i >= len(tokens) {
			return ""
		}
		return tokens[i].Of(text)
	}
	found := 0
	for i := range tokens {
		if tokens[i].Kind != literal.Name || word(i) != "start" || word(i+1) != "=" || word(i+2) != "{" {
			continue
		}
		found++
		last := closing(text, tokens, i+2)
		if last < 0 {
			return 0, 0, fmt.Errorf("the braces after `start =` do not close: %w", errStart)
		}
		from, to = tokens[i+2].From, tokens[last].To
	}
	if found != 1 {
		return 0, 0, errStart
	}
	return from, to, nil
}

// closing is the token that closes the brace at one, or -1.
func closing(text string, tokens []literal.Token, open int) int {
	depth := 0
	for i := open; i < len(tokens); i++ {
		switch tokens[i].Of(text) {
		case "{":
			depth++
		case "}":
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return -1
}
