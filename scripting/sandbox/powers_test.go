package sandbox

import "testing"

// Lua 5.1 reference manual, 2.5.1 (arithmetic), 2.5.6 (precedence: ^ binds more tightly than a sign before it, and to
// the right) and 2.8 (__pow).
func TestPowers(t *testing.T) {
	check(t, []expectation{
		{`2 ^ 10`, "1024"},
		{`-2 ^ 2`, "-4"},
		{`2 ^ -1`, "0.5"},
		{`2 ^ 3 ^ 2`, "512"},
		{`(2 ^ 3) ^ 2`, "64"},
		{`2 * 3 ^ 2 + 1`, "19"},
		{`"2" ^ "3"`, "8"},
		{`" 0x10 " ^ 0.5`, "4"},
		{`(function(...) return select("#", ...) end)(2 ^ 2, 3 ^ 2)`, "2"},
		{`#{2 ^ 2, 3 ^ 2}`, "2"},
		{`(function(x) return x ^ 2 end)(3)`, "9"},
		{`(function(x) local y = x ^ 2 x = y ^ 2 return x + y end)(3)`, "90"},
		{`(function() local t = {2 ^ 2, [2 ^ 1] = 5} t[3 ^ 1] = t[1] ^ 2 return t[1] + t[2] + t[3] end)()`, "25"},
		{`(function() local n = 0 for i = 1 ^ 1, 2 ^ 2, 2 ^ 0 do n = n + i ^ 2 end return n end)()`, "30"},
		{`(function() if 2 ^ 2 == 4 and not (2 ^ 2 < 4) then return "yes" end end)()`, "yes"},
		{`setmetatable({}, {__pow = function(a, b) return "to " .. b end}) ^ 3`, "to 3"},
		{`3 ^ setmetatable({}, {__pow = function(a, b) return a end})`, "3"},
		{`math.pow(3, 4)`, "81"},
		{`select(2, pcall(function() return {} ^ 2 end))`,
			"test.lua:1: cannot perform pow operation between table and number"},
		{`select(2, pcall(function() local a return 2 ^ a end))`,
			"test.lua:1: cannot perform pow operation between number and nil"},
		{`select(2, pcall(function() return "x" ^ 2 end))`,
			"test.lua:1: cannot perform pow operation between string and number"},
	})
}
