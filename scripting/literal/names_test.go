package literal

import (
	"fmt"
	"slices"
	"testing"
)

func TestDeclarationsHaveTheirDepth(t *testing.T) {
	const text = `local a, b = 1, 2 -- local remark
local function pair(bot, n) for i, v in ipairs{} do local x = i end end
function all() end
other.f = function(y) if y then local z end end
for k = 1, 2 do repeat local q until true end
return routine {driver = function(bot, pad) pad:bind("a", function(...) local w end) end}`
	var got []string
	for _, d := range Declarations(text) {
		got = append(got, fmt.Sprint(d.Name, d.Depth))
		if text[d.At:d.At+len(d.Name)] != d.Name {
			t.Errorf("%s is not at %d", d.Name, d.At)
		}
	}
	want := []string{"a0", "b0", "pair0", "bot1", "n1", "i2", "v2", "x2", "all0", "y1", "z2", "k1", "q2", "bot1", "pad1",
		"w2"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestUsedAreNoMembers(t *testing.T) {
	got := Used(`function(bot) bot.intake:run(speed, {over = 1, under}) while pad:held("a") do wait() end x.y = pad end`)
	want := []string{"function", "bot", "speed", "under", "while", "pad", "do", "wait", "end", "x"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestWhatStandsBeforeTheRoutine(t *testing.T) {
	for text, want := range map[string]string{
		"local a = 1\nreturn routine {}":                         "local a = 1\n",
		"local function f() return routine end return routine{}": "local function f() return routine end ",
		"local r = routine {} return r":                          "none",
		"":                                                       "none",
	} {
		got, ok := Before(text, "routine")
		if !ok {
			got = "none"
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
