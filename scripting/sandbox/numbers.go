package sandbox

import (
	"math"
	"strconv"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// tonumber reads decimal and hexadecimal numbers, and whole numbers of other bases. What Go's strconv takes beyond that
// ("inf", "1_000") is no number.
func (b *Box) tonumber(L *lua.LState) int {
	v := L.CheckAny(1)
	base := 10
	if L.Get(2) != lua.LNil {
		if base = wholeArg(L, 2); base < 2 || base > 36 {
			L.ArgError(2, "base out of range")
		}
	}
	if n, is := v.(lua.LNumber); is && base == 10 {
		L.Push(n)
		return 1
	}
	if !lua.LVCanConvToString(v) {
		L.Push(lua.LNil)
		return 1
	}
	text := lua.LVAsString(v)
	b.charge(L, len(text)/16)
	if n, is := readNumber(text, base); is {
		L.Push(n)
		return 1
	}
	L.Push(lua.LNil)
	return 1
}

func readNumber(text string, base int) (lua.LNumber, bool) {
	text = strings.TrimSpace(text)
	if strings.ContainsAny(text, "_") {
		return 0, false
	}
	body := strings.ToLower(strings.TrimLeft(text, "+-"))
	if base == 10 && strings.HasPrefix(body, "0x") {
		base, text = 16, strings.Replace(strings.ToLower(text), "0x", "", 1)
	}
	if base != 10 {
		n, err := strconv.ParseInt(text, base, 64)
		return lua.LNumber(n), err == nil
	}
	if body == "" || strings.ContainsAny(body[:1], "in") {
		return 0, false
	}
	x, err := strconv.ParseFloat(text, 64)
	return lua.LNumber(x), err == nil || math.IsInf(x, 0)
}

// numberText is a number as Lua 5.1 writes it (LUAI_NUMFFORMAT in its luaconf.h, "%.14g"), where gopher-lua has up to
// 17 digits: 0.1 + 0.2 is 0.3. Whole numbers keep all theirs.
func numberText(n lua.LNumber) string {
	if x := float64(n); x != math.Trunc(x) { // false for both infinities
		return strconv.FormatFloat(x, 'g', 14, 64)
	}
	return n.String()
}

// plainText is what gopher-lua's LVAsString gives, a number as Lua writes it.
func plainText(v lua.LValue) string {
	if n, is := v.(lua.LNumber); is {
		return numberText(n)
	}
	return lua.LVAsString(v)
}

// wholeArg is an argument that must be a whole number within the exact range of a float.
func wholeArg(L *lua.LState, n int) int {
	x := float64(L.CheckNumber(n))
	if math.IsNaN(x) || math.Abs(x) > 1<<53 {
		L.ArgError(n, "not a whole number: "+lua.LNumber(x).String())
	}
	return int(x)
}
