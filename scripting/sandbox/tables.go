package sandbox

import (
	"math/bits"
	"sort"

	lua "github.com/yuin/gopher-lua"
)

func (b *Box) openTables() {
	library := b.root.CreateTable(0, 16)
	b.register(library, map[string]lua.LGFunction{
		"concat": b.tableConcat, "insert": b.tableInsert, "remove": b.tableRemove, "sort": b.tableSort, "maxn": b.tableMaxN,
	})
	b.Global("table", library)
}

// Length is #t, charged.
func (b *Box) Length(L *lua.LState, t *lua.LTable) int {
	b.chargeLength(L, t)
	return t.Len()
}

func (b *Box) tableConcat(L *lua.LState) int {
	t, between := L.CheckTable(1), L.OptString(2, "")
	from, to := 1, b.Length(L, t)
	if L.Get(3) != lua.LNil {
		from = wholeArg(L, 3)
	}
	if L.Get(4) != lua.LNil {
		to = wholeArg(L, 4)
	}
	out := builder{box: b, state: L}
	for i := from; i <= to; i++ {
		v := t.RawGetInt(i)
		if !lua.LVCanConvToString(v) {
			L.RaiseError("invalid value (%s) at index %d in table for concat", v.Type(), i)
		}
		b.charge(L, 1)
		out.add(plainText(v))
		if i < to {
			out.add(between)
		}
	}
	out.push()
	return 1
}

// tableInsert appends, or moves what is at and after a position up. The position must be in the table or next to it.
func (b *Box) tableInsert(L *lua.LState) int {
	t := L.CheckTable(1)
	n := b.Length(L, t)
	switch L.GetTop() {
	case 2:
		b.hold(L, bytesSlot)
		t.RawSetInt(n+1, L.Get(2))
	case 3:
		at := wholeArg(L, 2)
		if at < 1 || at > n+1 {
			L.ArgError(2, "position out of bounds")
		}
		b.hold(L, bytesSlot)
		b.charge(L, (n-at)/valuesPerStep)
		if at == n+1 {
			t.RawSetInt(at, L.Get(3))
		} else {
			t.Insert(at, L.Get(3))
		}
	default:
		L.RaiseError("wrong number of arguments to table.insert: a table, a position if wanted, a value")
	}
	return 0
}

func (b *Box) tableRemove(L *lua.LState) int {
	t := L.CheckTable(1)
	n := b.Length(L, t)
	at := n
	if L.Get(2) != lua.LNil {
		at = wholeArg(L, 2)
	}
	if n == 0 || at < 1 || at > n {
		return 0
	}
	b.charge(L, (n-at)/valuesPerStep)
	L.Push(t.Remove(at))
	return 1
}

func (b *Box) tableMaxN(L *lua.LState) int {
	t := L.CheckTable(1)
	b.charge(L, (len(tableOf(t).array)+len(tableOf(t).keys))/valuesPerStep)
	greatest := lua.LNumber(t.MaxN())
	for _, key := range tableOf(t).keys {
		if n, is := key.(lua.LNumber); is && n > greatest && t.RawGetH(n) != lua.LNil {
			greatest = n
		}
	}
	L.Push(greatest)
	return 1
}

// tableSort sorts a copy and writes it back, so that a comparison that changes the table does no harm. The sort is
// stable: its outcome does not depend on the Go version.
func (b *Box) tableSort(L *lua.LState) int {
	t := L.CheckTable(1)
	n := b.Length(L, t)
	s := sorter{state: L, values: make([]lua.LValue, n)}
	if L.Get(2) != lua.LNil {
		s.less = L.CheckFunction(2)
	}
	b.hold(L, n*16)
	b.charge(L, n*bits.Len(uint(n)))
	for i := range s.values {
		s.values[i] = t.RawGetInt(i + 1)
	}
	sort.Stable(&s)
	for i, v := range s.values {
		t.RawSetInt(i+1, v)
	}
	return 0
}

type sorter struct {
	state  *lua.LState
	less   *lua.LFunction
	values []lua.LValue
}

func (s *sorter) Len() int      { return len(s.values) }
func (s *sorter) Swap(i, j int) { s.values[i], s.values[j] = s.values[j], s.values[i] }

func (s *sorter) Less(i, j int) bool {
	L := s.state
	if s.less == nil {
		return L.LessThan(s.values[i], s.values[j])
	}
	L.Push(s.less)
	L.Push(s.values[i])
	L.Push(s.values[j])
	L.Call(2, 1)
	yes := lua.LVAsBool(L.Get(-1))
	L.Pop(1)
	return yes
}
