package sandbox

import (
	"strings"

	lua "github.com/yuin/gopher-lua"
)

func (b *Box) openStrings() {
	own := b.root.CreateTable(0, 16)
	b.register(own, map[string]lua.LGFunction{
		"char": b.stringChar, "rep": b.stringRep, "sub": b.stringSub, "format": b.stringFormat,
		"find":  func(L *lua.LState) int { return b.search(L, true) },
		"match": func(L *lua.LState) int { return b.search(L, false) },
		"gsub":  b.stringGsub, "gmatch": b.stringGmatch,
		"byte":    b.stringByte,
		"len":     stringLen,
		"lower":   b.sized("lower"),
		"reverse": b.sized("reverse"),
		"upper":   b.sized("upper"),
	})
	metas := b.root.CreateTable(0, 2)
	metas.RawSetString("__index", own)
	metas.RawSetString("__metatable", lua.LFalse) // getmetatable("") tells nothing
	b.strings = own
	b.root.SetMetatable(lua.LString(""), metas)
	b.Global("string", own)
}

// sized is one of gopher-lua's functions, charged by the length of its first argument.
func (b *Box) sized(name string) lua.LGFunction {
	fn := theirStrings()[name].GFunction
	return func(L *lua.LState) int {
		b.holdString(L, 3*len(L.CheckString(1))) // upper and lower may write three bytes for a broken one
		return fn(L)
	}
}

func stringLen(L *lua.LState) int {
	L.Push(lua.LNumber(len(L.CheckString(1))))
	return 1
}

// stringByte gives the codes of the characters from one position to another; of one position if only that is given.
func (b *Box) stringByte(L *lua.LState) int {
	text := L.CheckString(1)
	from, to := 1, 0
	if L.Get(2) != lua.LNil {
		from = wholeArg(L, 2)
	}
	if to = from; L.Get(3) != lua.LNil {
		to = wholeArg(L, 3)
	}
	first, last := startOf(text, from), endOf(text, to)
	if from < 0 && -from > len(text) && L.Get(3) == lua.LNil {
		return 0
	}
	b.charge(L, max(0, last-first)/valuesPerStep)
	for i := first; i < last; i++ {
		L.Push(lua.LNumber(text[i]))
	}
	return max(0, last-first)
}

func (b *Box) stringChar(L *lua.LState) int {
	n := L.GetTop()
	b.holdString(L, n)
	text := make([]byte, n)
	for i := range text {
		c := wholeArg(L, i+1)
		if c < 0 || c > 255 {
			L.ArgError(i+1, "not a character code from 0 to 255")
		}
		text[i] = byte(c)
	}
	L.Push(lua.LString(text))
	return 1
}

func (b *Box) stringRep(L *lua.LState) int {
	text, n := L.CheckString(1), max(0, wholeArg(L, 2))
	if len(text) > 0 && n > b.meter.limits.String {
		n = b.meter.limits.String + 1
	}
	b.holdString(L, len(text)*n)
	L.Push(lua.LString(strings.Repeat(text, n)))
	return 1
}

func (b *Box) stringSub(L *lua.LState) int {
	text := L.CheckString(1)
	from, to := startOf(text, wholeArg(L, 2)), len(text)
	if L.Get(3) != lua.LNil {
		to = endOf(text, wholeArg(L, 3))
	}
	if from >= to {
		L.Push(lua.LString(""))
		return 1
	}
	b.pushPart(L, text, from, to)
	return 1
}

// startOf turns a position from 1, or from the end if negative, into an offset.
func startOf(text string, position int) int {
	switch {
	case position > 0:
		return position - 1
	case position < 0:
		return max(0, len(text)+position)
	}
	return 0
}

// endOf is the offset after a position from 1, or from the end if negative.
func endOf(text string, position int) int {
	if position < 0 {
		position += len(text) + 1
	}
	return min(position, len(text))
}

// pushPart pushes a part of a text. A copy keeps a small part from holding a large text in memory.
func (b *Box) pushPart(L *lua.LState, text string, from, to int) {
	b.holdString(L, to-from)
	L.Push(lua.LString(strings.Clone(text[from:to])))
}

// search is string.find and string.match.
func (b *Box) search(L *lua.LState, find bool) int {
	text, pattern := L.CheckString(1), L.CheckString(2)
	from := 0
	if L.Get(3) != lua.LNil {
		from = startOf(text, wholeArg(L, 3))
	}
	if from > len(text) {
		L.Push(lua.LNil)
		return 1
	}
	if find && (lua.LVAsBool(L.Get(4)) || !strings.ContainsAny(pattern, "^$*+?.([%-")) {
		return b.findPlain(L, text, pattern, from)
	}
	m := &matcher{box: b, state: L, text: text, pattern: pattern}
	start, end := m.first(from)
	if end < 0 {
		L.Push(lua.LNil)
		return 1
	}
	if !find {
		return m.pushCaptures(start, end, true)
	}
	L.Push(lua.LNumber(start + 1))
	L.Push(lua.LNumber(end))
	return 2 + m.pushCaptures(start, end, false)
}

func (b *Box) findPlain(L *lua.LState, text, word string, from int) int {
	b.charge(L, (len(text)-from+len(word))/16)
	at := strings.Index(text[from:], word)
	if at < 0 {
		L.Push(lua.LNil)
		return 1
	}
	L.Push(lua.LNumber(from + at + 1))
	L.Push(lua.LNumber(from + at + len(word)))
	return 2
}

// first is the first match at or after a place; end is -1 if there is none.
func (m *matcher) first(from int) (start, end int) {
	if strings.HasPrefix(m.pattern, "^") {
		return from, m.from(from, 1)
	}
	for start = from; start <= len(m.text); start++ {
		if end = m.from(start, 0); end >= 0 {
			return start, end
		}
	}
	return 0, -1
}

// pushCaptures pushes the captures, or the whole match if there are none and it is wanted.
func (m *matcher) pushCaptures(start, end int, whole bool) int {
	if len(m.captures) == 0 {
		if !whole {
			return 0
		}
		m.box.pushPart(m.state, m.text, start, end)
		return 1
	}
	for i := range m.captures {
		m.pushCapture(i)
	}
	return len(m.captures)
}

func (m *matcher) pushCapture(i int) {
	switch c := m.captures[i]; c.length {
	case placeCapture:
		m.state.Push(lua.LNumber(c.start + 1))
	case openCapture:
		m.fail("a ( without )")
	default:
		m.box.pushPart(m.state, m.text, c.start, c.start+c.length)
	}
}

// stringGmatch returns an iterator whose state is in upvalues, where the heap estimate sees it.
func (b *Box) stringGmatch(L *lua.LState) int {
	text, pattern := L.CheckString(1), L.CheckString(2)
	b.hold(L, bytesClosure+3*bytesUpvalue)
	L.Push(L.NewClosure(b.gmatchNext, lua.LString(text), lua.LString(pattern), lua.LNumber(0)))
	return 1
}

func (b *Box) gmatchNext(L *lua.LState) int {
	text, pattern := L.Get(lua.UpvalueIndex(1)).(lua.LString), L.Get(lua.UpvalueIndex(2)).(lua.LString)
	from := int(L.Get(lua.UpvalueIndex(3)).(lua.LNumber))
	m := &matcher{box: b, state: L, text: string(text), pattern: string(pattern)}
	for ; from <= len(m.text); from++ {
		end := m.from(from, 0)
		if end < 0 {
			continue
		}
		L.Replace(lua.UpvalueIndex(3), lua.LNumber(max(end, from+1)))
		return m.pushCaptures(from, end, true)
	}
	L.Push(lua.LNil)
	return 1
}
