package viewmodel

import (
	"errors"

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
	tables := literal.Tables(text, "start")
	if len(tables) != 1 {
		return 0, 0, errStart
	}
	return tables[0].From, tables[0].To, nil
}
