package sandbox

import "testing"

// Lua 5.1 reference manual, 2.4.3: all expressions are evaluated before the assignment.
func TestAssignmentsWithCalls(t *testing.T) {
	check(t, []expectation{
		{`(function(x) local y = 9 x = (math.max(20, y)) return x .. " " .. y end)(3)`, "20 9"},
		{`(function(x) local y = 9 x, y = math.max(20, y), 4 return x .. " " .. y end)(3)`, "20 4"},
		{`(function(x) local y, z = 9, 8 x, z = math.max(20, y), 4 return x .. " " .. y .. " " .. z end)(3)`, "20 9 4"},
		{`(function(x) local y, t = 9, {} t[1], x, t.a = y, math.max(20, y) return t[1] .. " " .. x .. " " .. ` +
			`tostring(t.a) end)(3)`, "9 20 nil"},
		{`(function(x) local y = 9 x, y = y ^ 2, x ^ 2 return x .. " " .. y end)(3)`, "81 9"},
		{`(function(x) local y = 9 x = (y ^ 2) return x .. " " .. y end)(3)`, "81 9"},
		{`(function(x) local y = 9 x = 1 + y ^ 2 return x .. " " .. y end)(3)`, "82 9"},
		{`(function(x) local y = 9 x = y and y ^ 2 or 4 return x .. " " .. y end)(3)`, "81 9"},
		{`(function(x) local y, z x, y, z = math.max(1, 2), unpack({3, 4}) return x .. " " .. y .. " " .. z end)(3)`,
			"2 3 4"},
		{`(function(x) local y x, y = math.max(1, 2), 3, 4 return x .. " " .. y end)(3)`, "2 3"},
		{`(function(x) local y x, y = math.max(1, 2) return x .. " " .. tostring(y) end)(3)`, "2 nil"},
	})
}
