package sandbox

import (
	"strings"
	"testing"
)

// In a function that is handed over, the bracket before it is open by right.
func TestAnErrorInAFunctionHandedOverBlamesNoBracket(t *testing.T) {
	for _, text := range []string{"task(function()\n  go()\n  x = = 1\nend)\n", "go(1)\nx = = 1\n",
		"f(function() if x then g() end end)\ny = = 2\n"} {
		if hint := missingBracket(text, 1+strings.Count(text[:strings.Index(text, "= =")], "\n")); hint != "" {
			t.Errorf("%q%s", text, hint)
		}
	}
}

func TestCompileErrorsNameThePlace(t *testing.T) {
	for name, row := range map[string]struct{ text, want string }{
		"a stray word": {"local x = 1\nlocal y = = 2", `test.lua:2:11: syntax error near "="`},
		"a bracket missing before": {"return routine {\n  auto = function(bot)\n    wait(0.2\n\n    -- then (\n    if x " +
			"then go() end\n  end,\n}\n", "test.lua:6:6: syntax error near \"if\": perhaps a `)` is missing for the " +
			"`(` of line 3"},
		"no bracket missing": {"task(function()\n  go()\n  x = = 1\nend)\n", "test.lua:3:7: syntax error near \"=\""},
		"another not equal": {"if 1 != 2 then end",
			"test.lua:1:6: Invalid token near \"!\": write ~= for \"is not equal\""},
		"another not": {"if !a then end", ": write not for !"},
		"another and": {"if a && b then end", ": write and for &&"},
		"another or":  {"if a || b then end", ": write or for ||"},
		"one more": {"local a = 1\na++",
			"test.lua:2:2: parse error near \"+\": there is no ++: write a = a + 1"},
		"so much more":     {"t.a += 2 -- more", ": there is no +=: write t.a = t.a + ..."},
		"so much less":     {"a -= 2", ": there is no -=: write a = a - ..."},
		"a text more":      {"a ..= 'b'", ": there is no ..=: write a = a .. ..."},
		"another comment":  {"// drive\ndrive()", ": a comment begins with --"},
		"another variable": {"const a = 3", ": a variable begins with local: write local a = ..."},
		"a lone equals":    {"if a = 3 then end", ": write == to compare"},
		"another elseif":   {"if a then b() elif c then end", ": write elseif"},
		"another for":      {"for (i = 0; i < 3; i++) { go() }", ": write for i = 1, 10 do ... end"},
		"another function": {"task(() => go())", ": write function(...) ... end"},
		"another choice":   {"a = b ? 1 : 2", ": write a and b or c for a ? b : c"},
		"an end missing": {"if true then\n  x = 1\n",
			"test.lua:3: syntax error at the end of the file: perhaps an `end` is missing for the `if` of line 1"},
		"an end missing in a table": {"return routine {\n  auto = function(bot)\n    bot.drive:ahead(1)\n}",
			"test.lua:4:1: syntax error near \"}\": perhaps an `end` is missing for the `function` of line 2"},
		"an end missing inside": {"return routine {\n  auto = function(bot)\n    for i = 1, 2 do\n      " +
			"wait()\n  end,\n}", "test.lua:5:6: syntax error near \",\": perhaps an `end` is missing for the `for` of line 3"},
		"else if for elseif": {"local function go()\n  if a then\n    b()\n  else if c then\n    d()\n  end\nend\n",
			"test.lua:8: syntax error at the end of the file: perhaps an `end` is missing for the `if` of line 2; the `else " +
				"if` of line 4 is written `elseif`, or has an `end` of its own"},
		"an else with an if of its own": {"if a then\n  b()\nelse\n  if c then\n    d()\n  end\n",
			"test.lua:7: syntax error at the end of the file: perhaps an `end` is missing for the `if` of line 1"},
		"an end missing above": {"local function a()\n  go()\n\nlocal function b()\n  go()\nend\n",
			"at the end of the file: perhaps an `end` is missing for the `function` of line 1"},
		"an end in a comment": {"while x do -- end\n--[[ end\n]] local t = 'end' .. [==[ end ]] ]==]\n",
			"perhaps an `end` is missing for the `while` of line 1"},
		"an until missing": {"if x then\n  repeat\n    wait()\nend\n",
			"perhaps an `until` is missing for the `repeat` of line 2"},
		"a bracket missing":         {"if x then f(1 end", "test.lua:1:17: syntax error near \"end\""},
		"a bracket missing at last": {"f(1", "at the end of the file: is a bracket or a quote missing?"},
		"a quote missing":           {"local x = \"abc\nlocal y", "test.lua:1: unterminated string"},
		"a wild character":          {"local x = @", "test.lua:1:"},
		"a goto to nothing":         {"goto nowhere", "no visible label"},
		"too many locals":           {strings.Repeat("local x\n", 300), "test.lua:"},
		"bytecode":                  {"\x1bLua", "compiled Lua"},
		"too long":                  {strings.Repeat(" ", MaxSource+1), "too long"},
		"deep brackets":             {"x = " + strings.Repeat("(", 1000) + "1" + strings.Repeat(")", 1000), ""},
		"deep minus":                {"x = " + strings.Repeat("- ", 1000) + "1", "nested too deep"},
		"deep not":                  {"x = " + strings.Repeat("not ", 1000) + "1", "nested too deep"},
		"deep tables":               {"x = " + strings.Repeat("{", 1000) + strings.Repeat("}", 1000), "nested too deep"},
		"deep blocks":               {strings.Repeat("do ", 1000) + strings.Repeat("end ", 1000), "nested too deep"},
		"deep functions": {strings.Repeat("f = function() ", 1000) + strings.Repeat("end ", 1000),
			"nested too deep"},
		"deep calls":       {"x = " + strings.Repeat("f(", 1000) + strings.Repeat(")", 1000), "nested too deep"},
		"a long sum":       {"x = 1" + strings.Repeat(" + 1", 1000), "nested too deep"},
		"deepest brackets": {"x = " + strings.Repeat("(", MaxSource-10), "test.lua:"},
		"deepest minus":    {"x = " + strings.Repeat("- ", MaxSource/2-10) + "1", "nested too deep"},
		"a long list":      {"x = {" + strings.Repeat("1,", 26_000) + "}", "a table of 26000 values is too long"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Compile("test.lua", row.text)
			if row.want == "" {
				if err != nil {
					t.Error(err)
				}
				return
			}
			if err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("got  %v\nwant %q in it", err, row.want)
			}
		})
	}
}

// Marks of another language in texts and comments are not blamed.
func TestForeignMarksInTextsAreNoSlip(t *testing.T) {
	_, err := Compile("test.lua", "a = 'x != y' .. [[ ++ ]] ) -- && ?")
	if err == nil || err.Error() != `test.lua:1:26: syntax error near ")"` {
		t.Error(err)
	}
}

// A slip in a text whose blocks all have their ends is not blamed on them.
func TestNoEndIsMissedWhereNoneIsMissing(t *testing.T) {
	for _, text := range []string{
		"function f() local x = = 1 end", "for i = 1, 2 do repeat x() until y = 2 end",
		"while a do if b then c() else d() ) end end",
		"x = 'a \\' if' +", "x = \"do\" )", "local s = [[ function ]] )", "--[==[ if ]] ]==] x = )",
		"x = = 1\nif later then\n",
	} {
		if _, err := Compile("test.lua", text); err == nil || strings.Contains(err.Error(), "perhaps") {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// Up to its limit a list is what it says: beyond it gopher-lua would misplace values.
func TestALongListIsWhole(t *testing.T) {
	out := runSource(t, compiled(t, "local t = {"+strings.Repeat("1,",
		maxList)+"} local n = 0 for i, v in ipairs(t) do n = n + v end return n"), DefaultLimits())
	if out.failure != nil || out.result.String() != "25000" {
		t.Errorf("the list sums to %v, %v", out.result, out.failure)
	}
}

func TestCallsOfGlobalsAreListed(t *testing.T) {
	source := compiled(t, `local a = require "arm"
local b = { f = function() return param("gain", 0.5, -1, 2e0) end }
for i = 1, other(b) do x.y(require("lib/leg")) end`)
	type row struct {
		name, text string
		line       int
	}
	want := []row{{"require", "arm", 1}, {"param", "gain", 2}, {"other", "", 3}, {"require", "lib/leg", 3}}
	if len(source.Calls) != len(want) {
		t.Fatalf("got %d calls: %v", len(source.Calls), source.Calls)
	}
	for i, call := range source.Calls {
		text, _ := call.Text(0)
		if (row{call.Name, text, call.Line}) != want[i] {
			t.Errorf("call %d is %s(%q) on line %d, want %v", i, call.Name, text, call.Line, want[i])
		}
	}
	low, is := source.Calls[1].Number(2)
	high, is2 := source.Calls[1].Number(3)
	if !is || !is2 || low != -1 || high != 2 {
		t.Errorf("the numbers are %v %v, %v %v", low, is, high, is2)
	}
}
