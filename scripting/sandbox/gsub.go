package sandbox

import (
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// stringGsub is Lua's string.gsub.
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
		return m.template(plainText(by), start, end)
	}
	if lua.LVIsFalse(v) {
		return m.text[start:end]
	}
	if !lua.LVCanConvToString(v) {
		L.RaiseError("invalid replacement value (%s)", describeValue(v))
	}
	return plainText(v)
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
	return plainText(v)
}
