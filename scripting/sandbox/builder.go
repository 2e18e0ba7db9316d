package sandbox

import (
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// builder builds a string piece by piece under the limit, and charges for it.
type builder struct {
	box   *Box
	state *lua.LState
	text  strings.Builder
}

// add appends a piece; what it holds so far and the piece must fit.
func (w *builder) add(piece string) {
	w.box.fits(w.state, w.text.Len()+len(piece))
	w.box.hold(w.state, len(piece))
	w.text.WriteString(piece)
}

// push is the finished string as a Lua value.
func (w *builder) push() { w.state.Push(lua.LString(w.text.String())) }

// fits raises an error if a string of this size is too long.
func (b *Box) fits(L *lua.LState, size int) {
	if size > b.meter.limits.String {
		L.RaiseError("a string of %d bytes is too long: the limit is %d", size, b.meter.limits.String)
	}
}

// holdString charges a string that is about to be built at once.
func (b *Box) holdString(L *lua.LState, size int) {
	b.fits(L, size)
	b.hold(L, size+bytesString)
}
