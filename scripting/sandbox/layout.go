package sandbox

import (
	"fmt"
	"reflect"
	"unsafe"

	lua "github.com/yuin/gopher-lua"
)

// What the meter must see of an instruction before it runs is private in gopher-lua: the frame's program counter, the
// registers, the parts of a table. These types mirror gopher-lua v1.1.2 (pinned in go.mod), field by field. checkLayout
// compares them with the real ones at start-up, so another version is refused instead of misread.

type frame struct {
	Idx        int
	Fn         *lua.LFunction
	Parent     *frame
	Pc         int
	Base       int
	LocalBase  int
	ReturnBase int
	NArgs      int
	NRet       int
	TailCall   int
}

type registry struct {
	array []lua.LValue
	top   int
}

type table struct {
	Metatable lua.LValue
	array     []lua.LValue
	dict      map[lua.LValue]lua.LValue
	strdict   map[string]lua.LValue
	keys      []lua.LValue
	k2i       map[lua.LValue]int
}

// layout is where the mirrored parts lie in a gopher-lua state.
type layout struct {
	frame, registry uintptr // offsets of *callFrame and *registry in LState
	err             error
}

var stateLayout = checkLayout()

func checkLayout() layout {
	state := reflect.TypeFor[lua.LState]()
	current, has1 := state.FieldByName("currentFrame")
	reg, has2 := state.FieldByName("reg")
	if !has1 || !has2 || current.Type.Kind() != reflect.Pointer || reg.Type.Kind() != reflect.Pointer {
		return layout{err: fmt.Errorf("gopher-lua's LState has changed: the sandbox must be adapted")}
	}
	for _, pair := range []struct{ theirs, ours reflect.Type }{
		{current.Type.Elem(), reflect.TypeFor[frame]()},
		{reg.Type.Elem(), reflect.TypeFor[registry]()},
		{reflect.TypeFor[lua.LTable](), reflect.TypeFor[table]()},
	} {
		if err := sameLayout(pair.theirs, pair.ours); err != nil {
			return layout{err: err}
		}
	}
	return layout{frame: current.Offset, registry: reg.Offset}
}

// sameLayout reports an error unless every field of ours lies at the same place in theirs, with the same kind and size.
func sameLayout(theirs, ours reflect.Type) error {
	for i := range ours.NumField() {
		want := ours.Field(i)
		got, has := theirs.FieldByName(want.Name)
		if !has || got.Offset != want.Offset || got.Type.Kind() != want.Type.Kind() || got.Type.Size() != want.Type.Size() {
			return fmt.Errorf("gopher-lua's %s has changed at %s: the sandbox must be adapted", theirs.Name(), want.Name)
		}
	}
	return nil
}

// frameOf is the address of the state's pointer to its running frame.
func frameOf(L *lua.LState) **frame {
	return (**frame)(unsafe.Add(unsafe.Pointer(L), stateLayout.frame))
}

func registryOf(L *lua.LState) *registry {
	return *(**registry)(unsafe.Add(unsafe.Pointer(L), stateLayout.registry))
}

func tableOf(t *lua.LTable) *table { return (*table)(unsafe.Pointer(t)) }

// dead is how many keys of the hash part have been removed: gopher-lua keeps their places.
func (t *table) dead() int { return len(t.keys) - len(t.dict) - len(t.strdict) }

// tail is how many empty places the array part ends with: gopher-lua's length operator walks over them.
func (t *table) tail() int {
	n := 0
	for i := len(t.array) - 1; i >= 0 && t.array[i] == lua.LNil; i-- {
		n++
	}
	return n
}
