package sandbox

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	lua "github.com/yuin/gopher-lua"
)

// seenBy runs a text in which look{name = value, ...} says what a function sees where it stands, and reports what it
// sees else. upvalues says the same of what is around the function.
func seenBy(t *testing.T, text string) (looks int) {
	t.Helper()
	limits := DefaultLimits()
	box, err := New(Setting{Limits: limits})
	if err != nil {
		t.Fatal(err)
	}
	compare := func(L *lua.LState, what string, of func(Frame) []Variable) int {
		looks++
		frames, err := box.Frames(L)
		if err != nil {
			t.Fatal(err)
		}
		got, want := []string{}, []string{}
		for _, v := range of(frames[0]) {
			got = append(got, v.Name+"="+shortly(v.Value))
		}
		L.CheckTable(1).ForEach(func(k, v lua.LValue) { want = append(want, k.String()+"="+shortly(v)) })
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("line %d: %s are %q, want %q", frames[0].Line, what, got, want)
		}
		return 0
	}
	box.Global("look", box.State().NewFunction(func(L *lua.LState) int {
		return compare(L, "locals", func(f Frame) []Variable { return f.Locals })
	}))
	box.Global("upvalues", box.State().NewFunction(func(L *lua.LState) int {
		return compare(L, "upvalues", func(f Frame) []Variable { return f.Upvalues })
	}))
	done := make(chan *Error)
	go func() {
		_, failure := box.Call(box.NewThread(), box.Function(compiled(t, text)))
		done <- failure
	}()
	if failure := <-done; failure != nil {
		t.Fatal(failure)
	}
	return looks
}

func shortly(v lua.LValue) string {
	switch v.(type) {
	case lua.LNumber, lua.LString, lua.LBool:
		return v.String()
	}
	return v.Type().String()
}

// nil cannot stand in a table, so an unset local is false here.
const everyScope = `
look{}
local a = 1
look{a = 1}
do
  local b = 2
  look{a = 1, b = 2}
  local a = 3
  look{a = 3, b = 2}
end
look{a = 1}
local c = 4
do local d = 5; look{a = 1, c = 4, d = 5} end look{a = 1, c = 4}
for i = 1, 2 do
  look{a = 1, c = 4, i = i}
  local e = i * 10
  look{a = 1, c = 4, i = i, e = e}
end
look{a = 1, c = 4}
for _, name in ipairs{"x", "y"} do look{a = 1, c = 4, _ = _, name = name} end
local n = 0
while n < 2 do
  n = n + 1
  local f = n
  look{a = 1, c = 4, n = n, f = f}
end
repeat
  local g = n
  n = n - 1
until (function() return g < 2 end)() and look{a = 1, c = 4, n = n, g = g} == nil
look{a = 1, c = 4, n = n}
if n == 0 then
  local h = 7
  look{a = 1, c = 4, n = n, h = h}
elseif n == 1 then
  local k = 8
  look{a = 1, c = 4, n = n, k = k}
else
  local l = 9
  look{a = 1, c = 4, n = n, l = l}
end
look{a = 1, c = 4, n = n}
local function inner(p, q)
  look{p = p, q = q}
  local r = p + q + a + c
  look{p = p, q = q, r = r}
  upvalues{a = 1, c = 4}
  return r
end
inner(1, 2)
n, c = inner(3, 4), (inner(5, 6))
look{a = 1, c = c, n = n, inner = inner}
local object = {}
function object:method(s) look{self = self, s = s} end
object:method(3)
function object.plain(s, ...) local u = ...; look{s = s, arg = arg, u = u} end
object.plain(1, 2)
local w = 2 ^ n
look{a = 1, c = c, n = n, inner = inner, object = object, w = w}
for i = 3, 1, -1 do if i == 2 then break end local z = i; look{a = 1, c = c, n = n, inner = inner, object = object,
  w = w, i = i, z = z} end
local v = (function(y) local x = y; look{y = y, x = x}; return x end)(5)
look{a = 1, c = c, n = n, inner = inner, object = object, w = w, v = v}
goto last
do local never = 1 end
::last::
look{a = 1, c = c, n = n, inner = inner, object = object, w = w, v = v}
`

// A function's locals are those that its text says, wherever it stands.
func TestFramesHaveTheLocalsOfTheirPlace(t *testing.T) {
	if looks, written := seenBy(t, everyScope), strings.Count(everyScope, "look{"); looks < written {
		t.Errorf("%d looks, %d are written", looks, written)
	}
}

// Every file of any shape that the compiler takes can be compiled with numbers for lines.
func TestScopesOfDeepNesting(t *testing.T) {
	var text strings.Builder
	want := []string{}
	for i := range 60 {
		fmt.Fprintf(&text, "local v%d = %d\ndo local w%d = 1 end\n", i, i, i)
		want = append(want, fmt.Sprintf("v%d = %d", i, i))
	}
	fmt.Fprintf(&text, "look{%s}\n", strings.Join(want, ", "))
	seenBy(t, text.String())
}

// An error names the local that holds nil, also behind a block with locals of its own.
func TestErrorNamesTheLocalBehindABlock(t *testing.T) {
	fails(t, map[string]struct{ text, want string }{
		"behind": {"do local x = 1 end\nlocal t = nil\ndo local y = 1 end\nt.foo = 1", `set "foo" in t, which is nil`},
	})
}

func TestOwnGlobals(t *testing.T) {
	out := run(t, "speed = 3\nfunction go() end\nlocal l = 1\nl = 2\nprint = print\nnone = nil")
	if out.failure != nil {
		t.Fatal(out.failure)
	}
	names := []string{}
	for _, v := range out.box.OwnGlobals() {
		names = append(names, v.Name)
	}
	if want := []string{"go", "speed"}; !slices.Equal(names, want) {
		t.Errorf("got %q, want %q", names, want)
	}
}

func TestEntries(t *testing.T) {
	out := run(t, `local t = {10, 20, b = 1, a = 2}
    t.c, t[3.5], t.b = true, "x", nil
    return t`)
	list, all := Entries(out.result.(*lua.LTable), 4)
	got := []string{}
	for _, e := range list {
		got = append(got, e.Key.String()+"="+e.Value.String())
	}
	if want := []string{"1=10", "2=20", "a=2", "3.5=x"}; !slices.Equal(got, want) || all != 5 {
		t.Errorf("got %q of %d, want %q of 5", got, all, want)
	}
}

// Each line is told of when it begins, once however it is made up, and again when a loop comes back to it.
func TestFollowerTellsLines(t *testing.T) {
	ran := map[int]int{}
	box, err := New(Setting{Limits: DefaultLimits(), Ran: func(file string, line int) {
		if file != "test.lua" {
			t.Errorf("a line of %q", file)
		}
		ran[line]++
	}})
	if err != nil {
		t.Fatal(err)
	}
	source := compiled(t, `local n = 0
local function add(k)
  n = n + k
  return n
end
for i = 1, 3 do
  add(i)
end
local s = add(1) + add(2)
while n < 12 do n = n + 1 end
table.sort({3, 1, 2}, function(a, b)
  return a < b
end)
if n < 0 then
  n = 0
end`)
	done := make(chan *Error)
	go func() {
		_, failure := box.Call(box.NewThread(), box.Function(source))
		done <- failure
	}()
	if failure := <-done; failure != nil {
		t.Fatal(failure)
	}
	// n is 9 before line 10, which so runs three times and looks a fourth; line 12 runs as often as the sort compares; the
	// file's own end counts as the line behind it
	delete(ran, 12)
	want := map[int]int{1: 1, 2: 1, 3: 5, 4: 5, 6: 4, 7: 3, 9: 1, 10: 4, 11: 1, 14: 1, 17: 1}
	if !maps.Equal(ran, want) {
		t.Errorf("lines ran %v times, want %v", ran, want)
	}
}
