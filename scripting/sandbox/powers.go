package sandbox

import (
	"fmt"
	"reflect"
	"strings"

	"chalkfield/internal/base/portable"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/ast"
)

// gopher-lua's a ^ b is Go's math.Pow, whose last bit is not the same on every processor, even of a square. So a ^ b is
// compiled as a call of power with a and b: the call's function is the constant powerMark, which is then replaced. The
// mark is longer than any text in a file can be.
var (
	powerMark     = strings.Repeat("^", MaxSource+1)
	exprType      = reflect.TypeFor[ast.Expr]()
	stmtType      = reflect.TypeFor[ast.Stmt]()
	powerFunction = &lua.LFunction{IsG: true, GFunction: power}
)

// callPowers replaces each a ^ b below a part of the syntax tree, and each assignment that the compiler gets wrong.
func callPowers(part reflect.Value) {
	switch part.Kind() {
	case reflect.Interface, reflect.Pointer:
		if part.IsNil() {
			return
		}
		callPowers(part.Elem())
		switch part.Type() {
		case exprType:
			if e, is := part.Interface().(*ast.ArithmeticOpExpr); is && e.Operator == "^" {
				part.Set(reflect.ValueOf(powerCall(e)))
			}
		case stmtType:
			if s, is := part.Interface().(*ast.AssignStmt); is && callsEarly(s) {
				part.Set(reflect.ValueOf(inTwoSteps(s)))
			}
		}
	case reflect.Slice:
		for i := range part.Len() {
			callPowers(part.Index(i))
		}
	case reflect.Struct:
		for i := range part.NumField() {
			if field := part.Type().Field(i); field.IsExported() && !field.Anonymous {
				callPowers(part.Field(i))
			}
		}
	}
}

func powerCall(e *ast.ArithmeticOpExpr) ast.Expr {
	mark := &ast.StringExpr{Value: powerMark}
	call := &ast.FuncCallExpr{Func: mark, Args: []ast.Expr{e.Lhs, e.Rhs}}
	placeAs(mark, e)
	placeAs(call, e)
	return call
}

// setPowers puts power in place of the mark, in a function and those within.
func setPowers(p *lua.FunctionProto) {
	for i, v := range p.Constants {
		if v == lua.LString(powerMark) {
			p.Constants[i] = powerFunction
		}
	}
	for _, inner := range p.FunctionPrototypes {
		setPowers(inner)
	}
}

// power is a ^ b as Lua 5.1 has it: of numbers and of texts that are numbers, or by the operands' __pow.
func power(L *lua.LState) int {
	a, b := L.Get(1), L.Get(2)
	x, isNumber := a.(lua.LNumber)
	y, areNumbers := b.(lua.LNumber)
	if isNumber && areNumbers {
		L.Push(lua.LNumber(portable.Pow(float64(x), float64(y))))
		return 1
	}
	for _, v := range []lua.LValue{a, b} {
		if by := L.GetMetaField(v, "__pow"); by != lua.LNil {
			L.Push(by)
			L.Push(a)
			L.Push(b)
			L.Call(2, 1)
			return 1
		}
	}
	x, isNumber = operand(a)
	y, areNumbers = operand(b)
	if !isNumber || !areNumbers {
		L.RaiseError("%s", fmt.Sprintf("cannot perform pow operation between %v and %v", a.Type(), b.Type()))
	}
	L.Push(lua.LNumber(portable.Pow(float64(x), float64(y))))
	return 1
}

// operand is a value as arithmetic takes it.
func operand(v lua.LValue) (lua.LNumber, bool) {
	switch v := v.(type) {
	case lua.LNumber:
		return v, true
	case lua.LString:
		return readNumber(string(v), 10)
	}
	return 0, false
}
