package sandbox

import (
	"cmp"
	"fmt"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// gopher-lua's messages about nil do not say what is nil. The two that a slip of the hand leads to most often are
// raised here, before the instruction runs, with the name and the nearest one that exists.

// checkCallable raises an error that names what cannot be called.
func (w *watch) checkCallable(f *frame, register int) {
	v := w.at(f, register)
	if callable(w.state, v) {
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
	hint := ""
	if f.fromGlobal(register) {
		hint = w.box.hint(name, f.Fn.Proto.SourceName)
	}
	w.state.RaiseError("attempt to call %s, which is %s%s", name, describeValue(v), hint)
}

// failLookup raises an error that names what is nil, or a function that was not called, and can neither be looked into
// nor be given a member.
func (w *watch) failLookup(f *frame, register int, verb string, key lua.LValue) {
	what := "a value"
	if lua.LVCanConvToString(key) {
		what = fmt.Sprintf("%.40q", lua.LVAsString(key))
	}
	name, global := w.origin(f, register)
	if _, is := w.at(f, register).(*lua.LFunction); is {
		w.state.RaiseError("attempt to %s %s in %s, which is a function: call it with ( ), as in %s()", verb, what,
			cmp.Or(name, "a value"), cmp.Or(name, "f"))
	}
	if name == "" {
		w.state.RaiseError("attempt to %s %s in nil", verb, what)
	}
	hint := ""
	if global {
		hint = w.box.hint(name, f.Fn.Proto.SourceName)
	}
	w.state.RaiseError("attempt to %s %s in %s, which is nil%s", verb, what, name, hint)
}

// origin is the name in the source of what a register holds, if the instruction before tells, and whether it is a
// global's: only those are misspelt, a local or a member that is nil was made so.
func (w *watch) origin(f *frame, register int) (name string, global bool) {
	proto := f.Fn.Proto
	names, err := w.box.localsAt(f)
	if err == nil && register < len(names) && !strings.HasPrefix(names[register], hidden) {
		return names[register], false
	}
	const lookBack = 4 // instructions: what made a temporary stands right before its use
	for pc := f.Pc - 2; pc >= max(0, f.Pc-1-lookBack); pc-- {
		before := proto.Code[pc]
		if argA(before) != register {
			continue
		}
		switch int(before >> 26) {
		case lua.OP_GETGLOBAL:
			return proto.Constants[argBx(before)].String(), true
		case lua.OP_GETTABLEKS:
			return proto.Constants[argC(before)&^constantBit].String(), false
		case lua.OP_GETUPVAL:
			return proto.DbgUpvalues[argB(before)], false
		}
		return "", false
	}
	return "", false
}

// fromGlobal reports whether a register that is about to be called was loaded from a global. The arguments in between
// are in higher registers.
func (f *frame) fromGlobal(register int) bool {
	for pc := f.Pc - 2; pc >= 0; pc-- {
		before := f.Fn.Proto.Code[pc]
		if argA(before) != register {
			continue
		}
		switch int(before >> 26) {
		case lua.OP_GETGLOBAL:
			return true
		case lua.OP_MOVE, lua.OP_GETUPVAL, lua.OP_GETTABLE, lua.OP_GETTABLEKS, lua.OP_SELF, lua.OP_CALL, lua.OP_LOADNIL,
			lua.OP_LOADK:
			return false
		}
	}
	return false
}
