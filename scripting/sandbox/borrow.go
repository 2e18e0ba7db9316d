package sandbox

import (
	"sync"

	lua "github.com/yuin/gopher-lua"
)

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
