package sandbox

import (
	"maps"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"

	"chalkfield/internal/tomlfile"

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
		"assert": assert, "error": raiseValue, "pcall": b.pcall, "xpcall": b.xpcall, "print": b.printLine, "rawset": b.rawset, "select": b.choose,
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

// gopher-lua's own functions by name.
var (
	theirBase    = borrow(lua.OpenBase, "_G")
	theirStrings = borrow(lua.OpenString, lua.StringLibName)
	theirMath    = borrow(lua.OpenMath, lua.MathLibName)
)

// borrow opens a library once, in a state of its own, for its functions.
func borrow(open lua.LGFunction, name string) func() map[string]*lua.LFunction {
	return sync.OnceValue(func() map[string]*lua.LFunction {
		L := lua.NewState(lua.Options{SkipOpenLibs: true})
		defer L.Close()
		L.Push(L.NewFunction(open))
		L.Push(lua.LString(name))
		L.Call(1, 0)
		functions := map[string]*lua.LFunction{}
		L.GetGlobal(name).(*lua.LTable).ForEach(func(key, v lua.LValue) {
			if fn, is := v.(*lua.LFunction); is {
				functions[key.String()] = fn
			}
		})
		return functions
	})
}

// register sets functions in order of their names: pairs goes by insertion, and Go's map order must not show.
func (b *Box) register(into *lua.LTable, functions map[string]lua.LGFunction) {
	for _, name := range slices.Sorted(maps.Keys(functions)) {
		into.RawSetString(name, b.root.NewFunction(functions[name]))
	}
}

// raiseValue is Lua's error. Level 1 is the function that calls it, level 2 the one that called that.
func raiseValue(L *lua.LState) int {
	v, level := L.CheckAny(1), 1
	if L.Get(2) != lua.LNil {
		level = wholeArg(L, 2)
	}
	if text, is := v.(lua.LString); is && level > 0 {
		v = lua.LString(placeAt(L, level)) + text
	}
	L.Error(v, 0)
	return 0
}

func assert(L *lua.LState) int {
	if lua.LVAsBool(L.CheckAny(1)) {
		return L.GetTop()
	}
	message := L.Get(2)
	if message == lua.LNil {
		message = lua.LString("assertion failed!")
	}
	L.Error(message, 0)
	return 0
}

// failedCall is what a caught error costs: gopher-lua writes a traceback that nobody reads.
const failedCall = 200

func (b *Box) pcall(L *lua.LState) int {
	if fn := L.CheckAny(1); !callable(L, fn) {
		L.Push(lua.LFalse)
		L.Push(lua.LString("attempt to call " + describeValue(fn)))
		return 2
	}
	if err := L.PCall(L.GetTop()-1, lua.MultRet, nil); err != nil {
		b.charge(L, failedCall)
		L.Push(lua.LFalse)
		L.Push(caught(err))
		return 2
	}
	L.Insert(lua.LTrue, 1)
	return L.GetTop()
}

func callable(L *lua.LState, v lua.LValue) bool {
	if _, is := v.(*lua.LFunction); is {
		return true
	}
	_, is := L.GetMetaField(v, "__call").(*lua.LFunction)
	return is
}

// xpcall runs the handler after the error has unwound the stack: there is no debug library that could tell.
func (b *Box) xpcall(L *lua.LState) int {
	handler := L.CheckFunction(2)
	L.SetTop(1)
	if err := L.PCall(0, lua.MultRet, nil); err != nil {
		b.charge(L, failedCall)
		L.Push(lua.LFalse)
		L.Push(handler)
		L.Push(caught(err))
		L.Call(1, lua.MultRet)
		return L.GetTop()
	}
	L.Insert(lua.LTrue, 1)
	return L.GetTop()
}

// caught is the error object that pcall returns.
func caught(err error) lua.LValue {
	api, is := err.(*lua.ApiError)
	if !is {
		return lua.LString(err.Error())
	}
	switch object := api.Object.(type) {
	case lua.LString:
		return lua.LString(withoutAddresses(string(object)))
	case nil:
		return lua.LNil
	}
	return api.Object
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
	case lua.LNumber, lua.LBool, *lua.LNilType:
		return lua.LString(v.String())
	}
	return lua.LString(v.Type().String())
}

// tonumber reads decimal and hexadecimal numbers, and whole numbers of other bases. What Go's strconv takes beyond that
// ("inf", "1_000") is no number.
func (b *Box) tonumber(L *lua.LState) int {
	v := L.CheckAny(1)
	base := 10
	if L.Get(2) != lua.LNil {
		if base = wholeArg(L, 2); base < 2 || base > 36 {
			L.ArgError(2, "base out of range")
		}
	}
	if n, is := v.(lua.LNumber); is && base == 10 {
		L.Push(n)
		return 1
	}
	if !lua.LVCanConvToString(v) {
		L.Push(lua.LNil)
		return 1
	}
	text := lua.LVAsString(v)
	b.charge(L, len(text)/16)
	if n, is := readNumber(text, base); is {
		L.Push(n)
		return 1
	}
	L.Push(lua.LNil)
	return 1
}

func readNumber(text string, base int) (lua.LNumber, bool) {
	text = strings.TrimSpace(text)
	if strings.ContainsAny(text, "_") {
		return 0, false
	}
	body := strings.ToLower(strings.TrimLeft(text, "+-"))
	if base == 10 && strings.HasPrefix(body, "0x") {
		base, text = 16, strings.Replace(strings.ToLower(text), "0x", "", 1)
	}
	if base != 10 {
		n, err := strconv.ParseInt(text, base, 64)
		return lua.LNumber(n), err == nil
	}
	if body == "" || strings.ContainsAny(body[:1], "in") {
		return 0, false
	}
	x, err := strconv.ParseFloat(text, 64)
	return lua.LNumber(x), err == nil || math.IsInf(x, 0)
}

// wholeArg is an argument that must be a whole number within the exact range of a float.
func wholeArg(L *lua.LState, n int) int {
	x := float64(L.CheckNumber(n))
	if math.IsNaN(x) || math.Abs(x) > 1<<53 {
		L.ArgError(n, "not a whole number: "+lua.LNumber(x).String())
	}
	return int(x)
}

// absent tells those who look for a part of Lua that a routine does not have what to use instead.
var absent = map[string]string{
	"os": "use clock() for the time", "io": "use note(text) to leave a line in the record",
	"debug": "", "package": "use require", "coroutine": "use task(function() ... end) and wait(seconds)",
	"load": "", "loadstring": "", "loadfile": "use require", "dofile": "use require", "module": "return a table instead",
	"collectgarbage": "", "getfenv": "", "setfenv": "", "newproxy": "",
}

// hint is what to write instead of a name that means nothing, as the end of a message.
func (b *Box) hint(name string) string {
	first, _, _ := strings.Cut(name, ".")
	if advice, is := absent[first]; is {
		if advice != "" {
			advice = ": " + advice
		}
		return " (a routine has no " + first + advice + ")"
	}
	if near := tomlfile.Nearest(name, b.names()); near != "" && near != name {
		return ": did you mean " + near + "?"
	}
	return ""
}

// names are the globals' names, sorted.
func (b *Box) names() []string {
	var list []string
	for _, key := range tableOf(b.root.G.Global).keys {
		if name, is := key.(lua.LString); is {
			list = append(list, string(name))
		}
	}
	sort.Strings(list)
	return list
}
