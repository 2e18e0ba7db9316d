package sandbox

import (
	"maps"
	"slices"

	lua "github.com/yuin/gopher-lua"
)

// openBase sets the basic functions. Of gopher-lua's own, only those are kept that neither reach outside nor cost more
// than a step.
func (b *Box) openBase() {
	theirs := theirBase()
	for _, name := range []string{"getmetatable", "ipairs", "rawequal", "rawget", "type"} {
		fn := b.root.NewFunction(theirs[name].GFunction)
		fn.Upvalues = theirs[name].Upvalues // of ipairs: its step function
		b.Global(name, fn)
	}
	next := b.root.NewFunction(b.next)
	b.register(b.root.G.Global, map[string]lua.LGFunction{
		"assert": assert, "error": raiseValue, "pcall": b.pcall, "xpcall": b.xpcall, "print": b.printLine,
		"rawset": b.rawset, "select": b.choose,
		"setmetatable": setmetatable, "tonumber": b.tonumber, "tostring": tostring, "unpack": b.unpack,
		"pairs": func(L *lua.LState) int {
			t := L.CheckTable(1)
			L.Push(next)
			L.Push(t)
			L.Push(lua.LNil)
			return 3
		},
	})
	b.Global("next", next)
	b.Global("_G", b.root.G.Global)
	b.Global("_VERSION", lua.LString(lua.LuaVersion))
}

// register sets functions in order of their names: pairs goes by insertion, and Go's map order must not show.
func (b *Box) register(into *lua.LTable, functions map[string]lua.LGFunction) {
	for _, name := range slices.Sorted(maps.Keys(functions)) {
		into.RawSetString(name, b.root.NewFunction(functions[name]))
	}
}

// next is Lua's next. The order is that of the array, then of the keys' first insertion: never Go's map order. The work
// of skipping removed keys is charged.
func (b *Box) next(L *lua.LState) int {
	t := L.CheckTable(1)
	inner := tableOf(t)
	from := L.Get(2)
	key, value := t.Next(from)
	if dead := inner.dead(); dead > valuesPerStep {
		skipped := len(inner.keys) - inner.k2i[from]
		if key != lua.LNil {
			skipped = inner.k2i[key] - inner.k2i[from]
		}
		b.charge(L, max(0, min(skipped, dead))/valuesPerStep)
	}
	if key == lua.LNil {
		L.Push(lua.LNil)
		return 1
	}
	L.Push(key)
	L.Push(value)
	return 2
}

func (b *Box) rawset(L *lua.LState) int {
	t, key := L.CheckTable(1), L.CheckAny(2)
	b.chargeSet(L, t, key)
	L.RawSet(t, key, L.CheckAny(3))
	L.SetTop(1)
	return 1
}

// choose is Lua's select.
func (b *Box) choose(L *lua.LState) int {
	rest := L.GetTop() - 1
	b.charge(L, rest/valuesPerStep)
	if L.Get(1) == lua.LString("#") {
		L.Push(lua.LNumber(rest))
		return 1
	}
	n := wholeArg(L, 1)
	if n < 0 {
		n = rest + n + 1
	}
	if n < 1 {
		L.ArgError(1, "index out of range")
	}
	return max(0, rest-n+1)
}

// setmetatable is for tables only, as in Lua: gopher-lua would set those of all strings, numbers and functions too.
func setmetatable(L *lua.LState) int {
	t := L.CheckTable(1)
	L.CheckTypes(2, lua.LTNil, lua.LTTable)
	if mt, is := t.Metatable.(*lua.LTable); is && mt.RawGetString("__metatable") != lua.LNil {
		L.RaiseError("cannot change a protected metatable")
	}
	t.Metatable = L.Get(2)
	L.SetTop(1)
	return 1
}

func (b *Box) unpack(L *lua.LState) int {
	t := L.CheckTable(1)
	b.chargeLength(L, t)
	from, to := 1, 0
	if L.Get(2) != lua.LNil {
		from = wholeArg(L, 2)
	}
	if L.Get(3) != lua.LNil {
		to = wholeArg(L, 3)
	} else {
		to = t.Len()
	}
	if from > to {
		return 0
	}
	if to-from >= b.meter.limits.Values {
		L.RaiseError("too many results to unpack: %d", to-from+1)
	}
	b.charge(L, (to-from)/valuesPerStep)
	for i := from; i <= to; i++ {
		L.Push(t.RawGetInt(i))
	}
	return to - from + 1
}

func (b *Box) printLine(L *lua.LState) int {
	line := builder{box: b, state: L}
	for i := 1; i <= L.GetTop(); i++ {
		if i > 1 {
			line.add("\t")
		}
		line.add(string(Text(L, L.Get(i))))
	}
	if b.print != nil {
		b.print(L, line.text.String())
	}
	return 0
}

func tostring(L *lua.LState) int {
	L.Push(Text(L, L.CheckAny(1)))
	return 1
}

// Text is a value as tostring gives it. A table or function has no address: it would differ from run to run.
func Text(L *lua.LState, v lua.LValue) lua.LString {
	if fn, is := L.GetMetaField(v, "__tostring").(*lua.LFunction); is {
		L.Push(fn)
		L.Push(v)
		L.Call(1, 1)
		text, is := L.Get(-1).(lua.LString)
		if !is {
			L.RaiseError("__tostring must return a string")
		}
		L.Pop(1)
		return text
	}
	switch v := v.(type) {
	case lua.LString:
		return v
	case lua.LNumber:
		return lua.LString(numberText(v))
	case lua.LBool, *lua.LNilType:
		return lua.LString(v.String())
	}
	return lua.LString(v.Type().String())
}
