package sandbox

import (
	"fmt"
	"math"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// stringFormat is Lua 5.1's string.format: the conversions of C's printf, width and precision of at most two digits.
func (b *Box) stringFormat(L *lua.LState) int {
	format := L.CheckString(1)
	out := builder{box: b, state: L}
	arg := 1
	for i := 0; i < len(format); i++ {
		if format[i] != '%' {
			out.add(format[i : i+1])
			continue
		}
		if i++; i < len(format) && format[i] == '%' {
			out.add("%")
			continue
		}
		start := i
		i = specEnd(L, format, i)
		arg++
		if arg > L.GetTop() {
			L.RaiseError("format %q needs a value for each %%: there are only %d", format, L.GetTop()-1)
		}
		out.add(b.formatted(L, format[start:i], format[i], arg))
	}
	out.push()
	return 1
}

// specEnd is the place of the conversion letter of a specification that begins at i.
func specEnd(L *lua.LState, format string, i int) int {
	digits := func() {
		for n := 0; n < 2 && i < len(format) && isDigit(format[i]); n++ {
			i++
		}
	}
	for i < len(format) && strings.IndexByte("-+ #0", format[i]) >= 0 {
		i++
	}
	digits()
	if i < len(format) && format[i] == '.' {
		i++
		digits()
	}
	if i >= len(format) || strings.IndexByte("cdiuoxXeEfgGqs", format[i]) < 0 {
		L.RaiseError("%.40q is not a format: after %% come flags, a width and a precision of at most two digits, and one "+
			"of c d i u o x X e E f g G q s", format)
	}
	return i
}

func (b *Box) formatted(L *lua.LState, spec string, letter byte, arg int) string {
	switch letter {
	case 's':
		text := string(Text(L, L.CheckAny(arg)))
		b.holdString(L, len(text)+99)
		return cFormat(spec, 's', text)
	case 'q':
		text := L.CheckString(arg)
		b.holdString(L, 2*len(text)+2)
		return quoted(text)
	case 'c':
		return cFormat(strings.ReplaceAll(spec, "0", ""), 's', string([]byte{byte(wholeArg(L, arg))}))
	case 'd', 'i', 'u':
		return cFormat(spec, 'd', wholeArg(L, arg))
	case 'o', 'x', 'X':
		return cFormat(spec, letter, uint64(wholeArg(L, arg)))
	}
	x := float64(L.CheckNumber(arg))
	switch {
	case math.IsNaN(x):
		return cFormat(width(spec), 's', "nan")
	case math.IsInf(x, 0):
		return cFormat(width(spec), 's', map[bool]string{true: "inf", false: "-inf"}[x > 0])
	case (letter == 'g' || letter == 'G') && !strings.Contains(spec, "."):
		spec += ".6" // C's default; Go's is the shortest that reads back
	}
	return cFormat(spec, letter, x)
}

func cFormat(spec string, letter byte, v any) string { return fmt.Sprintf("%"+spec+string(letter), v) }

// width is a specification without precision and without what makes no sense for a word.
func width(spec string) string {
	spec, _, _ = strings.Cut(spec, ".")
	kept := ""
	if strings.Contains(spec, "-") {
		kept = "-"
	}
	return kept + strings.TrimLeft(spec, "-+ #0")
}

// quoted is a string as Lua source reads it back (Lua 5.1 manual, string.format %q).
func quoted(text string) string {
	var out strings.Builder
	out.WriteByte('"')
	for i := range len(text) {
		switch c := text[i]; c {
		case '"', '\\', '\n':
			out.WriteByte('\\')
			out.WriteByte(c)
		case '\r':
			out.WriteString("\\r")
		case 0:
			out.WriteString("\\000")
		default:
			out.WriteByte(c)
		}
	}
	out.WriteByte('"')
	return out.String()
}
