package scripting

import (
	"maps"
	"slices"

	lua "github.com/yuin/gopher-lua"
)

// object is the Go side of a thing that Lua calls methods on.
type object struct {
	class *class
	owner string // how a routine names it: "bot.intake"
	index int    // of the part or sensor
	value any
}

// Held is what the heap estimate must count for the object's sake.
func (o *object) Held() []lua.LValue {
	if holder, is := o.value.(interface{ Held() []lua.LValue }); is {
		return holder.Held()
	}
	return nil
}

// class is what objects of a kind have in common.
type class struct {
	what   string   // "an intake"
	names  []string // of methods and fields
	metas  *lua.LTable
	fields map[string]func(c call) lua.LValue
}

// call is one call of a method by Lua: its state, and for messages the object's and the method's names.
type call struct {
	*lua.LState
	host   *Host
	object *object
	method string
}

type method func(c call) int

// newClass makes a class. Lua finds methods without passing through Go; only a name that is unknown does.
func (h *Host) newClass(what string, methods map[string]method, fields map[string]func(c call) lua.LValue) *class {
	L := h.box.State()
	k := &class{what: what, metas: L.CreateTable(0, 3), fields: fields}
	table := L.CreateTable(0, len(methods))
	for _, name := range slices.Sorted(maps.Keys(methods)) {
		table.RawSetString(name, L.NewFunction(h.bind(k, name, methods[name])))
	}
	names := slices.Sorted(maps.Keys(methods))
	unknown := L.CreateTable(0, 1)
	k.names = append(names, slices.Sorted(maps.Keys(fields))...)
	unknown.RawSetString("__index", L.NewFunction(func(L *lua.LState) int {
		L.RaiseError("%s has no %q: %s", what, L.Get(2).String(), h.suggest("", L.Get(2).String(), k.names))
		return 0
	}))
	table.Metatable = unknown
	var index lua.LValue = table
	if len(fields) > 0 {
		index = L.NewFunction(func(L *lua.LState) int {
			if o, is := objectAt(L, 1, k); is {
				if field := fields[L.Get(2).String()]; field != nil {
					L.Push(field(call{L, h, o, L.Get(2).String()}))
					return 1
				}
			}
			L.Push(L.GetTable(table, L.Get(2)))
			return 1
		})
	}
	k.metas.RawSetString("__index", index)
	k.metas.RawSetString("__newindex", L.NewFunction(func(L *lua.LState) int {
		L.RaiseError("%s cannot be changed: %q is not yours to set", what, L.Get(2).String())
		return 0
	}))
	k.metas.RawSetString("__metatable", lua.LFalse)
	return k
}

// bind makes a method a Lua function that checks what it is called on.
func (h *Host) bind(k *class, name string, m method) lua.LGFunction {
	return func(L *lua.LState) int {
		o, is := objectAt(L, 1, k)
		if !is {
			L.RaiseError("%s's %s is called with a colon, as in x:%s(...)", k.what, name, name)
		}
		return m(call{L, h, o, name})
	}
}

func objectAt(L *lua.LState, n int, k *class) (*object, bool) {
	ud, is := L.Get(n).(*lua.LUserData)
	if !is {
		return nil, false
	}
	o, is := ud.Value.(*object)
	return o, is && o.class == k
}

// newObject makes an object for Lua.
func (h *Host) newObject(k *class, owner string, index int, value any) *lua.LUserData {
	return &lua.LUserData{
		Value:     &object{class: k, owner: owner, index: index, value: value},
		Env:       h.box.State().G.Global,
		Metatable: k.metas,
	}
}
