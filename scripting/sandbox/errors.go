package sandbox

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// Error is why a piece of Lua failed.
type Error struct {
	File    string // where it stood; "" before any line ran
	Line    int
	Message string   // without the place
	Trace   []string // "file:line: in name", innermost first
}

// Error gives the place and the message on the first line, the traceback below.
func (e *Error) Error() string {
	text := e.Message
	if e.Line > 0 {
		text = fmt.Sprintf("%s:%d: %s", e.File, e.Line, e.Message)
	}
	if trace := e.Traceback(); trace != "" {
		text += "\n  " + strings.ReplaceAll(trace, "\n", "\n  ")
	}
	return text
}

// Traceback has a line for each call, "" if there is but the one that the place tells.
func (e *Error) Traceback() string {
	if len(e.Trace) < 2 {
		return ""
	}
	return strings.Join(e.Trace, "\n")
}

// longest is how much of a message is kept, and deepest how many lines of a traceback.
const (
	longest = 2000
	deepest = 12
)

// describe makes an Error of what was raised, while the thread's frames still stand.
func describe(L *lua.LState, raised any) *Error {
	e := &Error{Message: messageOf(raised), Trace: traceback(L)}
	e.File, e.Line = Where(L)
	if place, message, is := splitPlace(e.Message); is {
		colon := strings.LastIndexByte(place, ':')
		e.Message, e.File = message, place[:colon]
		e.Line, _ = strconv.Atoi(place[colon+1:])
	}
	if plain, known := plainer[e.Message]; known {
		e.Message = plain
	}
	if uncalled.MatchString(e.Message) {
		e.Message += ": a function gives its value when it is called with ( )"
	}
	if len(e.Message) > longest {
		e.Message = e.Message[:longest] + "..."
	}
	return e
}

// uncalled is what gopher-lua says of a function's name where its value was meant.
var uncalled = regexp.MustCompile(`^(cannot perform \w+ operation between|attempt to compare) .*\bfunction\b`)

// plainer says in other words what gopher-lua says shortly.
var plainer = map[string]string{
	"stack overflow":    "calls are nested too deep: does a function call itself for ever?",
	"registry overflow": "too many values at once in nested calls",
}

// verdict is a message of the sandbox's own, as against what a panic carries.
type verdict string

func messageOf(raised any) string {
	switch r := raised.(type) {
	case verdict:
		return string(r)
	case *lua.ApiError:
		return objectText(r.Object)
	}
	return fmt.Sprintf("fault inside the Lua machine: %v", raised)
}

// objectText is an error object as text.
func objectText(v lua.LValue) string {
	switch v := v.(type) {
	case lua.LString:
		return withoutAddresses(string(v))
	case *lua.LTable:
		for _, key := range []string{"message", "msg"} {
			if s, is := v.RawGetString(key).(lua.LString); is {
				return withoutAddresses(string(s))
			}
		}
	case nil:
		return "error with no message"
	}
	return "error with " + describeValue(v)
}

func describeValue(v lua.LValue) string {
	switch v := v.(type) {
	case *lua.LNilType:
		return "nil"
	case lua.LString:
		return fmt.Sprintf("a string (%.40q)", string(v))
	case lua.LNumber:
		return "number " + numberText(v)
	case lua.LBool:
		return "boolean " + v.String()
	}
	return "a " + v.Type().String()
}

var place = regexp.MustCompile(`^([^:\n]+\.lua:\d+): ?`)

// splitPlace takes the "file:line: " off a message that error() or the Lua machine has put there.
func splitPlace(message string) (at, rest string, is bool) {
	m := place.FindStringSubmatchIndex(message)
	if m == nil {
		return "", message, false
	}
	return message[m[2]:m[3]], message[m[1]:], true
}

var address = regexp.MustCompile(`\b(table|function|userdata|thread): 0x[0-9a-f]+`)

// withoutAddresses drops the heap addresses that gopher-lua puts into messages: they differ from run to run.
func withoutAddresses(message string) string {
	if !strings.Contains(message, ": 0x") {
		return message
	}
	return address.ReplaceAllString(message, "$1")
}
