package formula

import (
	"math"
	"reflect"

	"github.com/expr-lang/expr/builtin"
)

// function is one that a formula may call: exact on all processors.
type function struct {
	least, most int // arguments
	of          func(x ...float64) float64
}

const several = 20 // arguments

// quotient is what division is called within a program.
const quotient = "/"

var functions = map[string]function{
	"min":   {2, several, func(x ...float64) float64 { return fold(math.Min, x) }},
	"max":   {2, several, func(x ...float64) float64 { return fold(math.Max, x) }},
	"abs":   {1, 1, func(x ...float64) float64 { return math.Abs(x[0]) }},
	"floor": {1, 1, func(x ...float64) float64 { return math.Floor(x[0]) }},
	"ceil":  {1, 1, func(x ...float64) float64 { return math.Ceil(x[0]) }},
	"round": {1, 1, func(x ...float64) float64 { return math.Round(x[0]) }},
}

func fold(f func(a, b float64) float64, x []float64) float64 {
	out := x[0]
	for _, y := range x[1:] {
		out = f(out, y)
	}
	return out
}

// divide gives 0 for what is divided by 0: a share of nothing is nothing, and a score is always a number.
func divide(x ...float64) float64 {
	if x[1] == 0 {
		return 0
	}
	return x[0] / x[1]
}

// builtin is the function as expr calls it.
func (f function) builtin(name string) *builtin.Function {
	return &builtin.Function{Name: name, Types: []reflect.Type{reflect.TypeFor[func(...float64) float64]()},
		Func: func(args ...any) (any, error) {
			x := make([]float64, len(args))
			for i, a := range args {
				x[i], _ = a.(float64)
			}
			return f.of(x...), nil
		}}
}

// stub keeps a word from being taken for a function of expr's own. It is never called: its calls become readings.
func stub(name string) *builtin.Function { return function{0, 0, nil}.builtin(name) }
