package sandbox

import (
	"unsafe"

	lua "github.com/yuin/gopher-lua"
)

// Holder is a userdata's Go value that keeps Lua values alive.
type Holder interface{ Held() []lua.LValue }

// estimateHeap walks everything that Lua can reach and estimates its bytes. It depends on the state of the Lua program
// alone, not on Go's heap, so its outcome is the same in every run.
func (b *Box) estimateHeap() (bytes int64, visits int) {
	c := heapEstimate{seen: make(map[unsafe.Pointer]struct{})}
	c.add(b.root.G.Global)
	c.add(b.root.G.Registry)
	c.add(b.strings)
	for _, held := range b.held {
		for _, v := range held.Held() {
			c.add(v)
		}
	}
	for _, thread := range b.threads {
		values := registryOf(thread)
		for _, v := range values.array[:values.top] {
			c.add(v)
		}
	}
	for len(c.todo) > 0 {
		next := c.todo[len(c.todo)-1]
		c.todo = c.todo[:len(c.todo)-1]
		c.visit(next)
	}
	return c.bytes, c.visits
}

type heapEstimate struct {
	seen   map[unsafe.Pointer]struct{}
	todo   []lua.LValue
	bytes  int64
	visits int
}

// add counts a value and notes it for a visit if it holds others.
func (c *heapEstimate) add(v lua.LValue) {
	switch v := v.(type) {
	case lua.LNumber:
		c.bytes += bytesNumber
	case lua.LString:
		if len(v) > bytesString && !c.new(unsafe.Pointer(unsafe.StringData(string(v)))) {
			return
		}
		c.bytes += int64(len(v)) + bytesString
	case *lua.LTable:
		if c.new(unsafe.Pointer(v)) {
			c.todo = append(c.todo, v)
		}
	case *lua.LFunction:
		if c.new(unsafe.Pointer(v)) {
			c.todo = append(c.todo, v)
		}
	case *lua.LUserData:
		if c.new(unsafe.Pointer(v)) {
			c.todo = append(c.todo, v)
		}
	}
}

func (c *heapEstimate) new(p unsafe.Pointer) bool {
	if _, has := c.seen[p]; has {
		return false
	}
	c.seen[p] = struct{}{}
	c.visits++
	return true
}

func (c *heapEstimate) visit(v lua.LValue) {
	switch v := v.(type) {
	case *lua.LTable:
		c.table(tableOf(v))
	case *lua.LFunction:
		c.bytes += bytesClosure + int64(len(v.Upvalues))*bytesUpvalue
		if v.Env != nil {
			c.add(v.Env)
		}
		for _, up := range v.Upvalues {
			c.add(up.Value())
		}
	case *lua.LUserData:
		c.bytes += bytesTable
		c.add(v.Metatable)
		if holder, is := v.Value.(Holder); is {
			for _, held := range holder.Held() {
				c.add(held)
			}
		}
	}
}

func (c *heapEstimate) table(t *table) {
	c.bytes += bytesTable + int64(cap(t.array))*16
	if t.strdict != nil || t.dict != nil {
		c.bytes += bytesHash + int64(len(t.keys))*bytesKey
	}
	c.visits += (len(t.array) + len(t.keys)) / valuesPerStep
	c.add(t.Metatable)
	for _, v := range t.array {
		c.add(v)
	}
	for _, k := range t.keys {
		c.add(k)
		if s, is := k.(lua.LString); is {
			c.add(t.strdict[string(s)])
		} else {
			c.add(t.dict[k])
		}
	}
}
