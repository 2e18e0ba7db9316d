package sandbox

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	lua "github.com/yuin/gopher-lua"
)

// Numbers become texts by "%.14g" (the Lua 5.1 sources, luaconf.h, LUAI_NUMFFORMAT), whole ones with all their digits.
// The texts were printed by bash's printf (ran).
func TestNumbersBecomeTextsAsInLua(t *testing.T) {
	check(t, []expectation{
		{`tostring(0.1 + 0.2)`, "0.3"},
		{`0.1 + 0.2 .. "|" .. 1 / 3`, "0.3|0.33333333333333"},
		{`"a" .. 100 / 3 .. 7`, "a33.3333333333337"},
		{`string.format("%s", 0.1 + 0.2)`, "0.3"},
		{`table.concat({0.1 + 0.2, 1e-7}, " ")`, "0.3 1e-07"},
		{`("x"):gsub("x", 0.1 + 0.2)`, "0.3"},
		{`2^53 .. ""`, "9007199254740992"},
		{`setmetatable({}, {__concat = function(a, b) return type(b) .. (b == 0.1 + 0.2 and " kept" or "") end}) .. 0.1 ` +
			`+ 0.2`, "number kept"},
	})
}

// The wanted texts were printed by bash's printf, which is C's (ran).
func TestFormatWritesAsCDoes(t *testing.T) {
	check(t, []expectation{
		{`string.format("%5.2f", 3.14159)`, " 3.14"},
		{`string.format("%+d", 7)`, "+7"},
		{`string.format("%05d", -42)`, "-0042"},
		{`string.format("%-8d|", 42)`, "42      |"},
		{`string.format("%x", 255)`, "ff"},
		{`string.format("%X", 255)`, "FF"},
		{`string.format("%#x", 255)`, "0xff"},
		{`string.format("%o", 8)`, "10"},
		{`string.format("%e", 12345.678)`, "1.234568e+04"},
		{`string.format("%.3e", 0.00012)`, "1.200e-04"},
		{`string.format("%g", 100000)`, "100000"},
		{`string.format("%g", 1000000)`, "1e+06"},
		{`string.format("%g", 0.0001)`, "0.0001"},
		{`string.format("%g", 0.00001)`, "1e-05"},
		{`string.format("%G", 1e-10)`, "1E-10"},
		{`string.format("%g", 0.1)`, "0.1"},
		{`string.format("%10.4g", 3.14159265)`, "     3.142"},
		{`string.format("%.10g", 3.14159265358979)`, "3.141592654"},
		{`string.format("%5s", "ab")`, "   ab"},
		{`string.format("%-5s|", "ab")`, "ab   |"},
		{`string.format("%.2s", "abc")`, "ab"},
		{`string.format("%c", 65)`, "A"},
		{`string.format("% d", 5)`, " 5"},
		{`string.format("%g", 123456789)`, "1.23457e+08"},
		{`string.format("%f", 1e15)`, "1000000000000000.000000"},
		{`string.format("%.0f", 2.5)`, "2"},
		{`string.format("%.14g", 0.1)`, "0.1"},
		{`string.format("%08.3f", -1.5)`, "-001.500"},
		{`string.format("%i", 12)`, "12"},
		{`string.format("%u", 12)`, "12"},
		{`string.format("%f", 1/0)`, "inf"},
		{`string.format("%5.1f", -1/0)`, " -inf"},
		{`string.format("%f", 0/0)`, "nan"},
		{`string.format("%d", 3.9)`, "3"},
		{`string.format("%d%%", 50)`, "50%"},
		{`string.format("%s %s %s", nil, true, {})`, "nil true table"},
		{`string.format("%s", setmetatable({}, {__tostring = function() return "me" end}))`, "me"},
		{`string.format("%q", 'a "quoted"\nline\0')`, "\"a \\\"quoted\\\"\\\nline\\000\""},
	})
}

func TestNumbersAreRead(t *testing.T) {
	check(t, []expectation{
		{`tonumber("10")`, "10"}, {`tonumber(" 10 ")`, "10"}, {`tonumber("1e5")`, "100000"}, {`tonumber("-0.5")`, "-0.5"},
		{`tonumber("0x10")`, "16"}, {`tonumber("-0x10")`, "-16"}, {`tonumber("ff", 16)`, "255"}, {`tonumber("8", 8)`, "nil"},
		{`tonumber("z", 36)`, "35"}, {`tonumber("10", 2)`, "2"}, {`tonumber("")`, "nil"}, {`tonumber("x")`, "nil"},
		{`tonumber("inf")`, "nil"}, {`tonumber("nan")`, "nil"}, {`tonumber("1_000")`, "nil"}, {`tonumber("1 2")`, "nil"},
		{`tonumber({})`, "nil"}, {`tonumber(nil)`, "nil"}, {`tonumber(5)`, "5"},
		{`tonumber("5", 1)`, "error: bad argument #2 to tonumber (base out of range)"},
		{`tonumber("1e400")`, "+Inf"}, {`"10" + 5`, "15"},
	})
}

func TestTablesAreKept(t *testing.T) {
	check(t, []expectation{
		{`(function() local t = {1, 2, 3} table.insert(t, 4) return table.concat(t, ",") end)()`, "1,2,3,4"},
		{`(function() local t = {1, 2, 3} table.insert(t, 1, 0) return table.concat(t, ",") end)()`, "0,1,2,3"},
		{`(function() local t = {1, 2, 3} table.insert(t, 4, 9) return table.concat(t, ",") end)()`, "1,2,3,9"},
		{`(function() local t = {1, 2, 3} table.insert(t, 5, 9) end)()`,
			"error: bad argument #2 to insert (position out of bounds)"},
		{`(function() local t = {1, 2, 3} return table.remove(t) .. #t end)()`, "32"},
		{`(function() local t = {1, 2, 3} return table.remove(t, 1) .. table.concat(t) end)()`, "123"},
		{`table.remove({})`, "nil"},
		{`table.concat({1, 2, 3}, "-", 2, 3)`, "2-3"},
		{`table.concat({}, "-")`, ""},
		{`table.concat({1, {}, 3})`, "error: invalid value (table) at index 2 in table for concat"},
		{`(function() local t = {3, 1, 2} table.sort(t) return table.concat(t) end)()`, "123"},
		{`(function() local t = {3, 1, 2} table.sort(t, function(a, b) return a > b end) return table.concat(t) end)()`,
			"321"},
		{`(function() local t = {"b1", "a1", "b2", "a2"} table.sort(t, function(a, b) return a:sub(1, 1) < b:sub(1, 1) ` +
			`end) return table.concat(t) end)()`, "a1a2b1b2"},
		{`(function() local t = {3, 1, 2} table.sort(t, function(a, b) t[1] = nil table.remove(t) return a < b end) ` +
			`return #t end)()`, "3"},
		{`table.maxn({1, 2, nil, 4, [10] = 1})`, "10"},
		{`select("#", unpack({1, nil, 3}, 1, 3))`, "3"},
		{`select(-1, 1, 2, 3)`, "3"},
		{`select("#", select(2, 1, 2, 3))`, "2"},
		{`#{1, 2, nil, 4}`, "4"},
		{`next({})`, "nil"},
		{`rawget(rawset({}, "a", 1), "a")`, "1"},
		{`rawequal("a", "a")`, "true"},
	})
}

func TestStringsAreCut(t *testing.T) {
	check(t, []expectation{
		{`("hello"):sub(2, 4)`, "ell"}, {`("hello"):sub(-3)`, "llo"}, {`("hello"):sub(2, -2)`, "ell"},
		{`("hello"):sub(0)`, "hello"},
		{`("hello"):sub(10)`, ""}, {`("hello"):sub(4, 2)`, ""}, {`("hello"):sub(-100, 2)`, "he"},
		{`("hello"):sub(2, 100)`, "ello"},
		{`("hello"):byte()`, "104"}, {`("hello"):byte(-1)`, "111"}, {`("hello"):byte(2)`, "101"},
		{`select("#", ("hello"):byte(9))`, "0"},
		{`select("#", ("hello"):byte(0))`, "0"}, {`select("#", ("hello"):byte(-9))`, "0"},
		{`select("#", ("hello"):byte(4, 2))`, "0"}, {`select("#", ("hello"):byte(-9, 9))`, "5"},
		{`select("#", (""):byte())`, "0"}, {`("hello"):byte(0/0)`,
			"error: bad argument #2 to byte (not a whole number: NaN)"}, {`select("#", ("hello"):byte(1, -1))`, "5"},
		{`string.char(72, 105)`, "Hi"},
		{`("hi"):upper() .. ("HI"):lower()`, "HIhi"}, {`("abc"):reverse()`, "cba"}, {`#("x"):rep(5)`, "5"},
		{`("ab"):rep(0)`, ""}, {`("ab"):rep(-1)`, ""},
		{`("abc"):len()`, "3"}, {`math.huge`, "+Inf"}, {`math.floor(-1.5)`, "-2"}, {`math.max(1, 3, 2)`, "3"},
		{`tostring(1e15)`, "1000000000000000"},
		{`getmetatable("x")`, "false"}, {`tostring(print)`, "function"}, {`type(next)`, "function"},
	})
}

func TestErrorsAreCaught(t *testing.T) {
	check(t, []expectation{
		{`select(2, pcall(error, "x"))`, "x"},
		{`select(2, pcall(error, {code = 7})).code`, "7"},
		{`select(2, pcall(function() error("x") end))`, "test.lua:1: x"},
		{`select(2, pcall(function() error("x", 0) end))`, "x"},
		{`select("#", pcall(function() return 1, nil, 3 end))`, "4"},
		{`select(2, pcall(function() local t = {} t[{}].x = 1 end))`, `test.lua:1: attempt to set "x" in nil`},
		{`select(2, pcall(nil))`, "attempt to call nil"},
		{`select(2, xpcall(function() error("x", 0) end, function(e) return e .. "!" end))`, "x!"},
		{`select("#", xpcall(function() return 1, 2 end, print))`, "3"},
		{`select(2, pcall(function() return {} .. "x" end))`,
			"test.lua:1: cannot perform concat operation between table and string"},
		{`select(2, pcall(function() return {} < {} end))`, "test.lua:1: attempt to compare table with table"},
		{`select(2, pcall(function() local s = "x" s.y.z = 1 end))`, `test.lua:1: attempt to set "z" in y, which is nil`},
		{`pcall(pcall, error)`, "true"},
	})
}

// gopher-lua puts heap addresses into some messages; they differ from run to run and must not reach a script.
func TestMessagesHoldNoAddresses(t *testing.T) {
	out := run(t, `local key = {} print(select(2, pcall(function() local x = 1; return x[key] end))) print(print) `+
		`local n = 5; return n[key]`)
	for _, text := range append(out.printed, out.message()) {
		if strings.Contains(text, "0x") {
			t.Errorf("an address in %q", text)
		}
	}
	if len(out.printed) != 2 || out.failure == nil {
		t.Errorf("printed %q, failure %v", out.printed, out.failure)
	}
}

// pairs goes by array place, then by first insertion: never by Go's random map order.
func TestPairsKeepTheOrderOfInsertion(t *testing.T) {
	text := `local t = {10, 20, z = 1, a = 2}
t.m = 3 t[-1] = 4 t.a = nil t.b = 5 t.a = 6 t[3] = 30 t[true] = 7 t[0.5] = 8
for k, v in pairs(t) do print(k, v) end`
	want := []string{"1\t10", "2\t20", "3\t30", "z\t1", "a\t6", "m\t3", "-1\t4", "b\t5", "true\t7", "0.5\t8"}
	for range 20 {
		if got := run(t, text).printed; !slices.Equal(got, want) {
			t.Fatalf("got %q, want %q", got, want)
		}
	}
}

// The names of the library come in the same order in every box.
func TestTheLibraryIsInOrder(t *testing.T) {
	text := `for _, t in ipairs{_G, string, table, math} do for k in pairs(t) do print(k) end end`
	first := run(t, text).printed
	if !slices.Contains(first, "format") || !slices.Contains(first, "random") {
		t.Fatalf("the library is %q", first)
	}
	for range 10 {
		if diff := cmp.Diff(first, run(t, text).printed); diff != "" {
			t.Fatal(diff)
		}
	}
}

// What a routine can reach is what is listed here, and nothing of it touches files, processes or the clock.
func TestTheGlobalsAreTheseOnly(t *testing.T) {
	out := run(t, `for k in pairs(_G) do print(k) end`)
	want := []string{"getmetatable", "ipairs", "rawequal", "rawget", "type", "assert", "error", "pairs", "pcall",
		"print", "rawset",
		"select", "setmetatable", "tonumber", "tostring", "unpack", "xpcall", "next", "_G", "_VERSION", "string", "table",
		"math"}
	if diff := cmp.Diff(want, out.printed); diff != "" {
		t.Error(diff)
	}
}

// The random source is a box's own: the same seed, the same numbers; another, others.
func TestRandomNumbersFollowTheSeed(t *testing.T) {
	draw := func(seed uint64) string {
		box, err := New(Setting{Limits: DefaultLimits(), Seed: [2]uint64{seed, 0}})
		if err != nil {
			t.Fatal(err)
		}
		done := make(chan lua.LValue, 1)
		go func() {
			v, _ := box.Call(box.NewThread(), box.Function(compiled(t,
				`local s = "" for i = 1, 20 do s = s .. math.random(100) .. " " .. math.random() .. " " end return s`)))
			done <- v
		}()
		return (<-done).String()
	}
	if draw(1) != draw(1) || draw(1) == draw(2) {
		t.Error("the numbers do not follow the seed")
	}
	out := run(t, `math.randomseed(7) local a = math.random() math.randomseed(7) return a == math.random()`)
	if out.result != lua.LTrue {
		t.Error("randomseed does not repeat the numbers")
	}
}
