package sandbox

import (
	"math"
	"math/rand/v2"

	"chalkfield/internal/base/portable"

	lua "github.com/yuin/gopher-lua"
)

// openMath takes gopher-lua's functions, with a random source of our own and an infinity that is one. Those of which
// Go's own are not the same to the bit on every processor come from portable; the rest only move bits or are rounded
// correctly.
func (b *Box) openMath() {
	functions := map[string]lua.LGFunction{}
	for name, fn := range theirMath() {
		functions[name] = fn.GFunction
	}
	for name, f := range map[string]func(float64) float64{
		"acos": portable.Acos, "asin": portable.Asin, "atan": portable.Atan, "cos": portable.Cos, "cosh": portable.Cosh,
		"exp": portable.Exp, "log": portable.Log, "log10": portable.Log10, "sin": portable.Sin, "sinh": portable.Sinh,
		"tan": portable.Tan, "tanh": portable.Tanh,
	} {
		functions[name] = func(L *lua.LState) int {
			L.Push(lua.LNumber(f(float64(L.CheckNumber(1)))))
			return 1
		}
	}
	for name, f := range map[string]func(x, y float64) float64{"atan2": portable.Atan2, "pow": portable.Pow} {
		functions[name] = func(L *lua.LState) int {
			L.Push(lua.LNumber(f(float64(L.CheckNumber(1)), float64(L.CheckNumber(2)))))
			return 1
		}
	}
	functions["random"], functions["randomseed"] = b.mathRandom, b.mathRandomSeed
	library := b.root.CreateTable(0, 16)
	b.register(library, functions)
	library.RawSetString("pi", lua.LNumber(math.Pi))
	library.RawSetString("huge", lua.LNumber(math.Inf(1)))
	b.Global("math", library)
}

// mathRandom draws from [0, 1), from 1..n, or from low..high.
func (b *Box) mathRandom(L *lua.LState) int {
	source := rand.New(b.random)
	low, high := 1, 0
	switch L.GetTop() {
	case 0:
		L.Push(lua.LNumber(source.Float64()))
		return 1
	case 1:
		high = wholeArg(L, 1)
	default:
		low, high = wholeArg(L, 1), wholeArg(L, 2)
	}
	if high < low {
		L.ArgError(L.GetTop(), "interval is empty")
	}
	L.Push(lua.LNumber(low + source.IntN(high-low+1)))
	return 1
}

func (b *Box) mathRandomSeed(L *lua.LState) int {
	b.random.Seed(math.Float64bits(float64(L.CheckNumber(1))), 0)
	return 0
}
