package sandbox

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	lua "github.com/yuin/gopher-lua"
)

// The examples of the Lua 5.1 reference manual, section 5.4 (memory), and others worked out by hand from its rules.
func TestPatternsFollowTheManual(t *testing.T) {
	check(t, []expectation{
		{`(("hello world"):gsub("(%w+)", "%1 %1"))`, "hello hello world world"},
		{`(("hello world"):gsub("%w+", "%0 %0", 1))`, "hello hello world"},
		{`(("hello world from Lua"):gsub("(%w+)%s*(%w+)", "%2 %1"))`, "world hello Lua from"},
		{`(("$name-$version.tar.gz"):gsub("%$(%w+)", {name = "lua", version = "5.1"}))`, "lua-5.1.tar.gz"},
		{`(("home = $HOME"):gsub("%$(%w+)", function(x) return x:lower() end))`, "home = home"},
		{`("THE (quick) fox"):find("%((%a+)%)")`, "5"},
		{`select(3, ("THE (quick) fox"):find("%((%a+)%)"))`, "quick"},
		{`("key = value"):match("^(%w+)%s*=%s*(%w+)$")`, "key"},
		{`select(2, ("key = value"):match("^(%w+)%s*=%s*(%w+)$"))`, "value"},
		{`("f(a(b)c)d"):match("%b()")`, "(a(b)c)"},
		{`("THE (quick) fox"):find("%f[%a]%a+", 5)`, "6"},
		{`("=[[x]]"):match("^=(%[+)")`, "[["},
		{`("abcabc"):match("(abc)%1")`, "abc"},
		{`("hello"):match("()ll()")`, "3"},
		{`select(2, ("hello"):match("()ll()"))`, "5"},
		{`("a.b"):find(".", 1, true)`, "2"},
		{`("a+b"):find("+", 1, true)`, "2"},
		{`("abc"):find("")`, "1"},
		{`select(2, ("abc"):find(""))`, "0"},
		{`("abc"):find("", 10)`, "nil"},
		{`("abc"):find("", 4)`, "4"},
		{`("abc"):find("b", -1)`, "nil"},
		{`("abc"):find("b", -2)`, "2"},
		{`(("abc"):gsub("", "-"))`, "-a-b-c-"},
		{`select(2, ("abc"):gsub("", "-"))`, "4"},
		{`(("abc"):gsub("%w", "%%%0"))`, "%a%b%c"},
		{`(("abc"):gsub("b*", "x"))`, "xaxxcx"}, // 5.1 takes the empty match after b; 5.4 does not
		{`("[]]"):match("[]]+")`, "]]"},
		{`("a-z"):match("[a-]+")`, "a-"},
		{`("a^z"):match("[z^]+")`, "^z"},
		{`("x^y"):match("x^y")`, "x^y"},
		{`("a$b"):match("a$b")`, "a$b"},
		{`("  trim  "):match("^%s*(.-)%s*$")`, "trim"},
		{`("0x1F"):match("^0[xX](%x+)$")`, "1F"},
		{`("2026-11-25"):match("(%d+)-(%d+)-(%d+)")`, "2026"},
		{`(("one two"):gsub("%w+", false or function() return false end))`, "one two"},
		{`(("one"):gsub("%w+", function() return 42 end))`, "42"},
		{`(("x y"):gsub("%S", {x = 1}))`, "1 y"},
		{`("\0a"):match("%z(%a)")`, "a"},
		{`("a,b,,c"):gsub(",", ";")`, "a;b;;c"},
	})
}

// The matcher agrees with gopher-lua's on seeded random patterns and texts, where both accept the pattern.
func TestPatternsAgreeWithAnotherMatcher(t *testing.T) {
	theirs := lua.NewState()
	defer theirs.Close()
	random := rand.New(rand.NewPCG(1, 2))
	compared, matched := 0, 0
	for range 100 {
		var calls []string
		for range 50 {
			calls = append(calls, fmt.Sprintf("%s(%q, %q)", []string{"string.find", "string.match"}[random.IntN(2)],
				randomText(random), randomPattern(random)))
		}
		ours := run(t, listing(calls)).printed
		for i, want := range ask(t, theirs, calls) {
			if want == "error" || strings.HasPrefix(ours[i], "error") {
				continue // gopher-lua refuses other patterns than the manual does
			}
			compared++
			if want != "<nil>" {
				matched++
			}
			if ours[i] != want {
				t.Errorf("%s\n got %s\nwant %s", calls[i], ours[i], want)
			}
		}
	}
	if compared < 4_000 || matched < 1_000 {
		t.Errorf("only %d of 5,000 were compared, %d with a match", compared, matched)
	}
}

// listing is a program that prints the results of each call on a line.
func listing(calls []string) string {
	text := `local function list(ok, ...)
  if not ok then return "error" end
  local line = select("#", ...) == 0 and "<nil>" or ""
  for i = 1, select("#", ...) do line = line .. "<" .. tostring((select(i, ...))) .. ">" end
  return line
end
`
	for _, call := range calls {
		text += "print(list(pcall(function() return " + call + " end)))\n"
	}
	return text
}

// ask runs the same in plain gopher-lua.
func ask(t *testing.T, L *lua.LState, calls []string) (lines []string) {
	L.SetGlobal("print", L.NewFunction(func(L *lua.LState) int {
		lines = append(lines, L.CheckString(1))
		return 0
	}))
	if err := L.DoString(listing(calls)); err != nil {
		t.Fatal(err)
	}
	return lines
}

func randomText(random *rand.Rand) string {
	var text strings.Builder
	for range random.IntN(12) {
		text.WriteByte("aab (1)."[random.IntN(8)])
	}
	return text.String()
}

func randomPattern(random *rand.Rand) string {
	items := []string{"a", "b", ".", "%a", "%d", "%s", "%(", "%)", "[ab]", "[^a]", "[%d.]", "[a-b1]", "%W", "%b()"}
	repeats := []string{"", "", "", "*", "+", "-", "?"}
	var pattern strings.Builder
	if random.IntN(5) == 0 {
		pattern.WriteByte('^')
	}
	open := 0
	for range 1 + random.IntN(5) {
		switch random.IntN(8) {
		case 0:
			pattern.WriteByte('(')
			open++
		case 1:
			if open > 0 {
				pattern.WriteByte(')')
				open--
			}
		}
		item := items[random.IntN(len(items))]
		pattern.WriteString(item)
		if item != "%b()" {
			pattern.WriteString(repeats[random.IntN(len(repeats))])
		}
	}
	pattern.WriteString(strings.Repeat(")", open))
	if random.IntN(5) == 0 {
		pattern.WriteByte('$')
	}
	return pattern.String()
}
