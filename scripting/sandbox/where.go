package sandbox

import (
	"fmt"

	lua "github.com/yuin/gopher-lua"
)

// Where is the file and line of the innermost Lua function that runs on a thread.
func Where(L *lua.LState) (file string, line int) {
	for f := *frameOf(L); f != nil; f = f.Parent {
		if !f.Fn.IsG {
			return f.Fn.Proto.SourceName, f.line()
		}
	}
	return "", 0
}

// LineIn is the line that a thread stands at in one file: that of its innermost function from there, 0 if there is
// none.
func LineIn(L *lua.LState, file string) int {
	for f := *frameOf(L); f != nil; f = f.Parent {
		if !f.Fn.IsG && f.Fn.Proto.SourceName == file {
			return f.line()
		}
	}
	return 0
}

// placeAt is "file:line: " of the nth function up from the Go function that runs, "" if that is no Lua function.
func placeAt(L *lua.LState, n int) string {
	f := *frameOf(L)
	for ; f != nil && n > 0; n-- {
		f = f.Parent
	}
	if f == nil || f.Fn.IsG {
		return ""
	}
	return fmt.Sprintf("%s:%d: ", f.Fn.Proto.SourceName, f.line())
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
