package sandbox

import (
	"math/rand/v2"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
)

// scraps are pieces of Lua that random programs are made of.
var scraps = strings.Split(`local x = |function f( |) |end |if |then |else |while |do |repeat |until |for i = 1, 9 `+
	`do |for k, v in pairs( |return |break |{ |} |[ |] |( |) |= |== |.. |+ |- |* |/ |^ |% |# |not |and |or |nil |true `+
	`|"a" |'%a+' |1e9 |0 |-1 |0/0 |x |f |t |_G |string |table |math |x.y |x[1] |x:rep(9) |pcall( |error( |select( `+
	`|unpack( |setmetatable( |table.sort( |table.insert( |string.format( |string.gsub( |tostring( |; |, |... |goto a `+
	`|::a:: |[[ |]] |-- |"\0" |`, "|")

// Random programs, of raw bytes and of scraps of Lua, end without a panic and within their budget.
func TestRandomProgramsEnd(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	ran := 0
	for range 3000 {
		var text strings.Builder
		for range random.IntN(40) {
			text.WriteString(scraps[random.IntN(len(scraps))])
		}
		if survives(t, text.String()) {
			ran++
		}
	}
	if ran < 20 {
		t.Errorf("only %d of the programs compiled", ran)
	}
}

// survives runs a text if it compiles.
func survives(t *testing.T, text string) bool {
	source, err := Compile("test.lua", text)
	if err != nil {
		if strings.Contains(err.Error(), "compiler cannot translate") {
			t.Logf("%q: %v", text, err)
		}
		return false
	}
	limits := DefaultLimits()
	limits.Load = 20_000
	out := runSource(t, source, limits)
	if out.failure != nil && strings.Contains(out.failure.Message, "fault inside") {
		t.Errorf("%q: %v", text, out.failure)
	}
	return true
}

func FuzzText(f *testing.F) {
	for _, text := range []string{
		"return 1", "while true do end", "local t = {} t[1e7] = 1", "return ('x'):rep(1e9)", "error({})",
		"for i = 1, 10 do goto a ::a:: end",
		"return ('a'):gsub('(a)', '%1%1')", "local function f(...) return ... end return f(unpack({1, 2, 3}))",
		"x = {[1] = 2, 3; y = 4}",
		"return #'x' .. 1 + 2 ^ -3 % 4", "local s = [==[\n]]]==] return s", "return string.format('%5.1f %q %s', 1, 'x', {})",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		property.Bounded(t, func() { survives(t, text) })
	})
}
