package sandbox

import (
	lua "github.com/yuin/gopher-lua"
)

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
