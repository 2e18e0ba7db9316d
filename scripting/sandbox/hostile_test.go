package sandbox

import (
	"strings"
	"testing"
)

// Whatever a file does, it ends within its budget in an error that names the line.
func TestHostileTextsEndInAnError(t *testing.T) {
	fails(t, map[string]struct{ text, want string }{
		"endless loop":           {"while true do end", "test.lua:1: more than 300000 steps without a wait"},
		"endless loop on line 3": {"local x\n\nwhile true do x = 1 end", "test.lua:3:"},
		"endless loop in pcall":  {"while true do pcall(function() while true do end end) end", "steps without a wait"},
		"endless loop of pcalls": {"while true do pcall(error, 'x') end", "steps without a wait"},
		"endless loop in xpcall": {"xpcall(function() while true do end end, function() while true do end end)",
			"steps without a wait"},
		"endless handler":         {"xpcall(error, function() while true do end end)", "steps without a wait"},
		"endless repeat":          {"repeat until false", "steps without a wait"},
		"endless for with step 0": {"for i = 2, 1, 0 do end", "steps without a wait"},
		"endless goto":            {"::a:: goto a", "steps without a wait"},
		"endless tail calls":      {"local function f() return f() end f()", "steps without a wait"},
		"endless iterator":        {"for x in function() return 1 end do end", "steps without a wait"},
		"endless comparison":      {"table.sort({3, 2, 1}, function() while true do end end)", "steps without a wait"},
		"endless metamethod": {"local t = setmetatable({}, {__index = function() while true do end " +
			"end}) return t.x", "steps without a wait"},
		"endless tostring": {"tostring(setmetatable({}, {__tostring = function() while true do end end}))",
			"steps without a wait"},
		"endless replacement": {"('x'):gsub('x', function() while true do end end)", "steps without a wait"},
		"endless recursion":   {"local function f() return 1 + f() end f()", "nested too deep"},
		"recursion in metamethods": {"local t = setmetatable({}, {}) getmetatable(t).__index = function(t, k) return " +
			"t[k] end return t.x", "nested too deep"},
		"recursion in concat": {"local t = setmetatable({}, {}) getmetatable(t).__concat = function(a, b) return a " +
			".. b end return t .. t", "nested too deep"},
		"recursion in tostring": {"local t = setmetatable({}, {__tostring = function(t) return tostring(t) end}) " +
			"return tostring(t)", "nested too deep"},
		"recursion in pcall":        {"local function f() local ok, e = pcall(f) error(e, 0) end f()", "nested too deep"},
		"table that indexes itself": {"local t = {} setmetatable(t, {__index = t}) return t.x.y", ""},
		"string doubled":            {"local s = 'x' while true do s = s .. s end", "too long"},
		"string doubled in a table": {"local t, s = {}, ('x'):rep(1e6) while true do t[#t + 1] = s .. #t end",
			"more than 8 MB"},
		"string repeated":           {"return ('x'):rep(1e9)", "too long"},
		"string repeated endlessly": {"return ('x'):rep(1e300)", "not a whole number"},
		"string concatenated": {"local t = {} for i = 1, 2000 do t[i] = ('x'):rep(1000) end return table.concat(t)",
			"too long"},
		"string concatenated by sep": {"local t = {} for i = 1, 20 do t[i] = '' end return table.concat(t, ('x'):rep(1e5))",
			"too long"},
		"string formatted wide":    {"return string.format('%999999999d', 1)", "is not a format"},
		"string formatted precise": {"return string.format('%.999999999f', 1)", "is not a format"},
		"string formatted long":    {"local s = ('x'):rep(1e6) return string.format('%s%s', s, s)", "too long"},
		"string quoted long":       {"return string.format('%q', ('\"'):rep(1e6))", "too long"},
		"string replaced long":     {"return (('x'):rep(1000):gsub('x', ('y'):rep(2000)))", "too long"},
		"string template long": {"return (('x'):rep(2000):gsub('.+', '%0%0%0%0%0%0%0%0%0%0%0%0'):gsub('.+', " +
			"('%0'):rep(100)))", "too long"},
		"sparse table": {"local t = {} t[60000000] = 1", "more than 8 MB"},
		"sparse tables": {"local all = {} for i = 1, 1e6 do local t = {} t[50000] = 1 all[i] = t end",
			"more than 8 MB"},
		"sparse rawset": {"rawset({}, 60000000, 1)", "more than 8 MB"},
		"table of numbers": {"local t = {} local i = 0 while true do i = i + 1 t[i] = i * 0.5 end",
			"more than 8 MB"},
		"table of keys": {"local t = {} local i = 0 while true do i = i + 0.5 t['k' .. i] = true end",
			"more than 8 MB"},
		"table of tables": {"local t = {} local i = 0 while true do i = i + 1 t[i] = {x = 1} end",
			"more than 8 MB"},
		"nested tables": {"local t = {} while true do t = {t} end", "more than 8 MB"},
		"table insert":  {"local t = {} while true do table.insert(t, {1}) end", "more than 8 MB"},
		"table of closures": {"local t = {} local i = 0 while true do i = i + 1 local x = i t[i] = function() " +
			"return x end end", "more than 8 MB"},
		"hidden in an upvalue": {"local t = {} local function keep(x) local o = t t = {function() return o, x end} " +
			"end while true do keep({1, 2, 3}) end", "more than 8 MB"},
		"hidden in a metatable": {"local t = {} while true do t = setmetatable({}, {t}) end", "more than 8 MB"},
		"hidden as a key":       {"local t = {} while true do t = {[t] = true} end", "more than 8 MB"},
		"hidden in an iterator": {"local t, i = {}, 0 while true do i = i + 1 t[i] = (('x'):rep(1e5) .. " +
			"i):gmatch('y') end", "more than 8 MB"},
		"hidden in string's table": {"while true do string[#string + 1] = {1, 2, 3} end", "more than 8 MB"},
		"keys removed again": {"local t, i = {}, 0 while true do i = i + 0.5 t[i] = 1 t[i] = nil end",
			"more than 8 MB"},
		"unpack without end": {"return unpack({}, 1, 1e8)", "too many results"},
		"unpack in a loop": {"local t = {unpack({}, 1, 7000)} while true do t = {unpack({}, 1, 7000)} end",
			"steps without a wait"},
		"varargs without end": {"local function f(...) return 1 + f(unpack({}, 1, 2000)) end f()", "too many values"},
		"old arg table": {"local function f(...) end local t = {} for i = 1, 5000 do t[i] = 0 end while true " +
			"do f(unpack(t)) end", "steps without a wait"},
		"pattern bomb":          {"return ('a'):rep(5000):find(('a*'):rep(30) .. 'b')", "steps without a wait"},
		"pattern bomb in match": {"return ('a'):rep(5000):match(('.-'):rep(20) .. 'b')", "steps without a wait"},
		"pattern bomb in gsub":  {"return ('a'):rep(5000):gsub(('a-'):rep(20) .. 'b', '')", "steps without a wait"},
		"pattern bomb in gmatch": {"for x in ('a'):rep(5000):gmatch(('a?'):rep(90) .. 'b') do end",
			"steps without a wait"},
		"pattern of brackets":     {"return ('('):rep(1e5):find(('%b()'):rep(5))", "steps without a wait"},
		"pattern with many items": {"return ('a'):rep(1000):find(('a?'):rep(400))", "too many nested items"},
		"long strings compared": {"local a, b = ('x'):rep(1e6), ('x'):rep(1e6) while true do local c = a < b end",
			"steps without a wait"},
		"long strings made numbers": {"local a = ('0'):rep(1e6) .. '1' while true do local c = a + 1 end",
			"steps without a wait"},
		"long keys": {"local t, k = {}, ('x'):rep(1e6) while true do local c = t[k] end",
			"steps without a wait"},
		"length of an emptied table": {"local t = {} t[300000] = 1 t[300000] = nil while true do local n = #t end",
			"steps without a wait"},
		"next over removed keys": {"local t = {} for i = 1, 20000 do t[-i] = i t[-i] = nil end t.x = 1 while true " +
			"do next(t) end", "steps without a wait"},
		"insert at the front": {"local t = {} for i = 1, 1e5 do t[i] = i end while true do " +
			"table.insert(t, 1, 0) end", ""},
		"a great sort": {"local t = {} for i = 1, 1e5 do t[i] = -i end while true do table.sort(t) end",
			"steps without a wait"},
		"error with a table":         {"error({code = 1})", "error with a table"},
		"error with a message table": {"error({message = 'broken'})", "broken"},
		"error with nil":             {"error(nil)", "error with nil"},
		"error without a message":    {"error()", "bad argument"},
		"error with a function":      {"error(print)", "error with a function"},
		"error of level 2":           {"local function f() error('deep', 2) end\nf()", "test.lua:2: deep"},
		"assert with a number":       {"assert(false, 42)", "42"},
		"a call of nil":              {"wiat(1)", "attempt to call wiat, which is nil"},
		"a call of a slip":           {"tosrting(1)", "write tostring"},
		"a look into nil": {"local robot\nreturn robot.drive",
			`test.lua:2: attempt to look up "drive" in robot, which is nil`},
		"a look into nil with []": {"local t = {} return t[1][2]", "attempt to look up"},
		"a method of nil":         {"nothing:run()", `attempt to look up "run" in nothing, which is nil`},
		"a look into a slip": {"tabel.sort({})",
			`attempt to look up "sort" in tabel, which is nil: write table`},
		"os":    {"return os.time()", "a routine has no os: use clock()"},
		"io":    {"io.write('x')", "a routine has no io: use note(text)"},
		"debug": {"debug.traceback()", "a routine has no debug"},
		"coroutine": {"coroutine.yield()",
			"a routine has no coroutine: use task(function() ... end) and wait(seconds)"},
		"load":                    {"load('x')", "a routine has no load"},
		"loadstring":              {"loadstring('return 1')()", "a routine has no loadstring"},
		"dofile":                  {"dofile('/etc/passwd')", "a routine has no dofile: use require"},
		"loadfile":                {"loadfile('/etc/passwd')", "a routine has no loadfile: use require"},
		"package":                 {"return package.path", "a routine has no package"},
		"collectgarbage":          {"collectgarbage()", "a routine has no collectgarbage"},
		"getfenv":                 {"getfenv(0)", "a routine has no getfenv"},
		"setfenv":                 {"setfenv(1, {})", "a routine has no setfenv"},
		"newproxy":                {"newproxy(true)", "a routine has no newproxy"},
		"dump":                    {"string.dump(print)", "attempt to call dump, which is nil"},
		"metatable of strings":    {"setmetatable('x', {})", "table expected"},
		"metatable of numbers":    {"setmetatable(1, {__call = print})", "table expected"},
		"metatable of functions":  {"setmetatable(print, {})", "table expected"},
		"metatable protected":     {"setmetatable(setmetatable({}, {__metatable = 1}), {})", "protected metatable"},
		"NaN as a key":            {"local t = {} t[0/0] = 1", "NaN"},
		"nil as a key":            {"local t = {} t[nil] = 1", "nil"},
		"arithmetic on nil":       {"return 1 + nil", "nil"},
		"select below one":        {"return select(0, 1)", "index out of range"},
		"select NaN":              {"return select(0/0, 1)", "not a whole number"},
		"random of nothing":       {"return math.random(0)", "interval is empty"},
		"random of infinity":      {"return math.random(math.huge)", "not a whole number"},
		"char out of range":       {"return string.char(256)", "character code"},
		"capture that is not":     {"return ('x'):gsub('x', '%2')", "invalid capture index"},
		"pattern cut off":         {"return ('x'):find('[a')", "a [ without ]"},
		"pattern with a stray %":  {"return ('x'):find('x%')", "a % at the end"},
		"pattern with a stray )":  {"return ('x'):match('x)')", "a ) without ("},
		"pattern with a stray (":  {"return ('x'):find('(x')", "a ( without )"},
		"a sort that crosses":     {"table.sort({1, 'x', {}})", "attempt to compare"},
		"format without a value":  {"return string.format('%d %d', 1)", "needs a value"},
		"format of half a number": {"return string.format('%d', 0/0)", "not a whole number"},
	})
}

// A local, an upvalue or a member that is nil is no misspelt global.
func TestOnlyGlobalsAreTakenForMisspelt(t *testing.T) {
	for text, want := range map[string]string{
		"local math_ = nil; math_.x = 3":                            `attempt to set "x" in math_, which is nil`,
		"local nexr = nil; return nexr.x":                           `attempt to look up "x" in nexr, which is nil`,
		"local nexr; return (function() return nexr.x end)()":       `attempt to look up "x" in nexr, which is nil`,
		"local t = {}; return t.nexr.x":                             `attempt to look up "x" in nexr, which is nil`,
		"local nexr; nexr(1, tostring(2))":                          "attempt to call nexr, which is nil",
		"local nexr; (function() local a = nexr(type(1), 2) end)()": "attempt to call nexr, which is nil",
		"x = nil; x.y = 1":                                          `attempt to set "y" in x, which is nil`,
		"x.y = 1":                                                   `attempt to set "y" in x, which is nil`,
		"nexr = nil; return nexr.y":                                 `attempt to look up "y" in nexr, which is nil`,
		"nexr = nil; nexr()":                                        "attempt to call nexr, which is nil",
		"sleep(1)": "attempt to call sleep, which is nil: write " +
			"wait(seconds)",
		"delay(500)": "attempt to call delay, which is nil: write " +
			"wait(seconds)",
		"Sleep(1)": "attempt to call Sleep, which is nil: write " +
			"wait(seconds)",
		"println('x')": "attempt to call println, which is nil: write " +
			"print(text) or note(text)",
		"return sqrt(2)": "attempt to call sqrt, which is nil: write math.sqrt",
		"insert({}, 1)": "attempt to call insert, which is nil: write " +
			"table.insert",
		"return drive.x": `attempt to look up "x" in drive, which is nil: write bot.drive`,
		"Print('x')":     "attempt to call Print, which is nil: write print",
		"local f = function(bot) Bot.drive:ahead(1) end; f({})": `attempt to look up "drive" in Bot, which is nil: write bot`,
		"local f = function(bot) return bott.drive end; f({})": `attempt to look up "drive" in bott, which is nil: ` +
			`write bot`,
		"local speed = 5; return math.abs(speeed.x)": `attempt to look up "x" in speeed, which is nil: write speed`,
		"local t = {}; t.nexr(1, 2 < 3)":             "attempt to call nexr, which is nil",
		"nexr({}, type(1) == 'number' and 2 < 3, {tostring(1), 4}, 5)": "attempt to call nexr, which is nil: " +
			"write next",
	} {
		if out := run(t, text); out.failure == nil || out.failure.Message != want {
			t.Errorf("%s\ngot  %v\nwant %s", text, out.failure, want)
		}
	}
}

func TestAnErrorCarriesTheTraceback(t *testing.T) {
	out := run(t, `local function inner() error("here") end
local function outer()
  inner()
end
outer()`)
	want := "test.lua:1: here\n  test.lua:1: in inner\n  test.lua:3: in outer\n  test.lua:5: in the file"
	if out.message() != want {
		t.Errorf("got\n%s\nwant\n%s", out.message(), want)
	}
}

// A caught error is no excuse: what a script does in its handlers still counts.
func TestBrokenBudgetsCannotBeCaught(t *testing.T) {
	out := run(t, `pcall(function() while true do end end) print("went on")`)
	if out.failure == nil || len(out.printed) != 0 {
		t.Errorf("after a broken budget the script printed %q, failure %v", out.printed, out.failure)
	}
	out = run(t, `pcall(function() local t = {} while true do t = {t} end end) print("went on")`)
	if out.failure == nil || len(out.printed) != 0 {
		t.Errorf("after broken memory the script printed %q, failure %v", out.printed, out.failure)
	}
}

// What can be caught is: a string that is too long is an error like others.
func TestLongStringsCanBeCaught(t *testing.T) {
	out := run(t, `print(pcall(string.rep, "x", 1e7)) print("went on")`)
	if len(out.printed) != 2 || !strings.Contains(out.printed[0], "too long") {
		t.Errorf("printed %q, failure %v", out.printed, out.failure)
	}
}

// Garbage is no sin: only what is held counts.
func TestGarbageIsNotHeldAgainstAScript(t *testing.T) {
	limits := DefaultLimits()
	for _, text := range []string{
		`for i = 1, 200 do local s = ("x"):rep(5e5) end`,
		`for i = 1, 30000 do local t = {i, x = i} end`,
		`local t = {} for round = 1, 20 do t = {} for i = 1, 5000 do t[i] = {i} end end`,
	} {
		if out := runSource(t, compiled(t, text), limits); out.failure != nil {
			t.Errorf("%s\n%v", text, out.failure)
		}
	}
}
