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
		"byte":    b.sized("byte"),
		"len":     b.sized("len"),
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
		if to = wholeArg(L, 3); to < 0 {
			to += len(text) + 1
		}
	}
	to = min(to, len(text))
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

// stringGmatch returns an iterator whose state is in upvalues, where the census sees it.
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

func (b *Box) stringGsub(L *lua.LState) int {
	text, pattern := L.CheckString(1), L.CheckString(2)
	L.CheckTypes(3, lua.LTString, lua.LTNumber, lua.LTTable, lua.LTFunction)
	limit := len(text) + 1
	if L.Get(4) != lua.LNil {
		limit = wholeArg(L, 4)
	}
	anchored := strings.HasPrefix(pattern, "^")
	m := &matcher{box: b, state: L, text: text, pattern: pattern}
	out := builder{box: b, state: L}
	place, count, skip := 0, 0, 0
	if anchored {
		skip = 1
	}
	for count < limit {
		end := m.from(place, skip)
		if end >= 0 {
			count++
			out.add(m.replacement(L.Get(3), place, end))
		}
		switch {
		case end > place:
			place = end
		case place < len(text):
			out.add(text[place : place+1])
			place++
		default:
			place++
		}
		if place > len(text) || anchored {
			break
		}
	}
	out.add(text[min(place, len(text)):])
	out.push()
	L.Push(lua.LNumber(count))
	return 2
}

// replacement is what gsub puts in the place of a match.
func (m *matcher) replacement(by lua.LValue, start, end int) string {
	L := m.state
	var v lua.LValue
	switch by := by.(type) {
	case *lua.LTable:
		m.pushFirst(start, end)
		key := L.Get(-1)
		L.Pop(1)
		v = L.GetTable(by, key)
	case *lua.LFunction:
		L.Push(by)
		n := m.pushCaptures(start, end, true)
		captures := m.captures
		L.Call(n, 1)
		m.captures = captures
		v = L.Get(-1)
		L.Pop(1)
	default:
		return m.template(lua.LVAsString(by), start, end)
	}
	if lua.LVIsFalse(v) {
		return m.text[start:end]
	}
	if !lua.LVCanConvToString(v) {
		L.RaiseError("invalid replacement value (%s)", describeValue(v))
	}
	return lua.LVAsString(v)
}

// pushFirst pushes the first capture, or the whole match.
func (m *matcher) pushFirst(start, end int) {
	if len(m.captures) > 0 {
		m.pushCapture(0)
		return
	}
	m.box.pushPart(m.state, m.text, start, end)
}

// template fills %0 to %9 of a replacement text.
func (m *matcher) template(with string, start, end int) string {
	if !strings.Contains(with, "%") {
		return with
	}
	out := builder{box: m.box, state: m.state}
	for i := 0; i < len(with); i++ {
		if with[i] != patternEscape {
			out.add(with[i : i+1])
			continue
		}
		if i++; i == len(with) {
			m.state.RaiseError("a %% at the end of the replacement text")
		}
		switch c := with[i]; {
		case c == '0':
			out.add(m.text[start:end])
		case isDigit(c):
			out.add(m.captured(int(c-'1'), start, end))
		default:
			out.add(with[i : i+1])
		}
	}
	return out.text.String()
}

func (m *matcher) captured(i, start, end int) string {
	if i == 0 && len(m.captures) == 0 {
		return m.text[start:end]
	}
	if i >= len(m.captures) {
		m.state.RaiseError("invalid capture index %%%d", i+1)
	}
	m.pushCapture(i)
	v := m.state.Get(-1)
	m.state.Pop(1)
	return lua.LVAsString(v)
}
