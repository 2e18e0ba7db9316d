package sandbox

import (
	"fmt"
	"regexp"
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
	if len(e.Trace) > 1 {
		text += "\n  " + strings.Join(e.Trace, "\n  ")
	}
	return text
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
		e.Message = message
		fmt.Sscanf(place[strings.LastIndexByte(place, ':')+1:], "%d", &e.Line)
		e.File = place[:strings.LastIndexByte(place, ':')]
	}
	if len(e.Message) > longest {
		e.Message = e.Message[:longest] + "..."
	}
	return e
}

func messageOf(raised any) string {
	switch r := raised.(type) {
	case string:
		return r
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
	case lua.LNumber, lua.LBool:
		return v.Type().String() + " " + v.String()
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

// Where is the file and line of the innermost Lua function that runs on a thread.
func Where(L *lua.LState) (file string, line int) {
	for f := *frameOf(L); f != nil; f = f.Parent {
		if !f.Fn.IsG {
			return f.Fn.Proto.SourceName, f.line()
		}
	}
	return "", 0
}

// LineIn is the line that a thread stands at in one file: that of its innermost function from there, 0 if there is none.
func LineIn(L *lua.LState, file string) int {
	for f := *frameOf(L); f != nil; f = f.Parent {
		if !f.Fn.IsG && f.Fn.Proto.SourceName == file {
			return f.line()
		}
	}
	return 0
}

func (f *frame) line() int {
	if positions := f.Fn.Proto.DbgSourcePositions; f.Pc > 0 && f.Pc <= len(positions) {
		return positions[f.Pc-1]
	}
	return f.Fn.Proto.LineDefined
}

// traceback lists the Lua functions under way, innermost first.
func traceback(L *lua.LState) []string {
	var lines []string
	for f := *frameOf(L); f != nil; f = f.Parent {
		if f.Fn.IsG {
			continue
		}
		lines = append(lines, fmt.Sprintf("%s:%d: in %s", f.Fn.Proto.SourceName, f.line(), f.name()))
	}
	if len(lines) > deepest {
		lines = append(append(lines[:deepest/2:deepest/2], "..."), lines[len(lines)-deepest/2:]...)
	}
	return lines
}

// name is what the caller called the frame's function.
func (f *frame) name() string {
	if up := f.Parent; up != nil && !up.Fn.IsG && f.TailCall == 0 {
		for _, call := range up.Fn.Proto.DbgCalls {
			if call.Pc == up.Pc-1 && call.Name != "?" {
				return call.Name
			}
		}
	}
	if f.Fn.Proto.LineDefined == 0 {
		return "the file"
	}
	return fmt.Sprintf("the function of line %d", f.Fn.Proto.LineDefined)
}

// checkCallable raises an error that names what cannot be called.
func (w *watch) checkCallable(f *frame, register int) {
	v := w.at(f, register)
	if _, is := w.state.GetMetaField(v, "__call").(*lua.LFunction); is {
		return
	}
	name := ""
	for _, call := range f.Fn.Proto.DbgCalls {
		if call.Pc == f.Pc-1 && call.Name != "?" {
			name = call.Name
		}
	}
	if name == "" {
		w.state.RaiseError("attempt to call %s", describeValue(v))
	}
	w.state.RaiseError("attempt to call %s, which is %s%s", name, describeValue(v), w.box.hint(name))
}

// checkIndexed raises an error that names what is nil and cannot be looked into.
func (w *watch) checkIndexed(f *frame, register int, key string) {
	if w.at(f, register) != lua.LNil {
		return
	}
	name := f.origin(register)
	if name == "" {
		w.state.RaiseError("attempt to look up %.40q in nil", key)
	}
	w.state.RaiseError("attempt to look up %.40q in %s, which is nil%s", key, name, w.box.hint(name))
}

// origin is the name in the source of what a register holds, if the instruction before tells.
func (f *frame) origin(register int) string {
	proto := f.Fn.Proto
	if name, is := f.Fn.LocalName(register+1, f.Pc-1); is {
		return name
	}
	if f.Pc < 2 {
		return ""
	}
	before := proto.Code[f.Pc-2]
	if argA(before) != register {
		return ""
	}
	switch int(before >> 26) {
	case lua.OP_GETGLOBAL:
		return proto.Constants[argBx(before)].String()
	case lua.OP_GETTABLEKS:
		return proto.Constants[argC(before)&^constantBit].String()
	case lua.OP_GETUPVAL:
		return proto.DbgUpvalues[argB(before)]
	}
	return ""
}
