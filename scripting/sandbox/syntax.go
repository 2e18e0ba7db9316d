package sandbox

import (
	"fmt"
	"strconv"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/ast"
)

// maxList is the longest table literal without keys: beyond it gopher-lua v1.1.2 puts the values at wrong places.
const maxList = 25_000

// Called is a call of a global function by its name, as the source has it.
type Called struct {
	Name string
	Line int
	Args []ast.Expr
}

// tree walks a parsed file, refuses what the compiler cannot take, and collects the calls of global functions.
type tree struct {
	source *Source
	calls  []Called
	err    error
}

func (t *tree) refuse(line int, format string, args ...any) {
	if t.err == nil {
		t.err = fmt.Errorf("%s:%d: %s", t.source.Name, line, fmt.Sprintf(format, args...))
	}
}

func (t *tree) block(stmts []ast.Stmt, depth int) {
	for _, s := range stmts {
		t.statement(s, depth+1)
	}
}

func (t *tree) statement(s ast.Stmt, depth int) {
	if depth > maxDepth {
		t.refuse(s.Line(), "blocks are nested too deep: the limit is %d", maxDepth)
	}
	if t.err != nil {
		return
	}
	switch s := s.(type) {
	case *ast.AssignStmt:
		t.assign(s.Lhs...)
		t.expressions(s.Lhs, depth)
		t.expressions(s.Rhs, depth)
	case *ast.LocalAssignStmt:
		t.declare(s.Names...)
		t.expressions(s.Exprs, depth)
	case *ast.FuncCallStmt:
		t.expression(s.Expr, depth)
	case *ast.DoBlockStmt:
		t.block(s.Stmts, depth)
	case *ast.WhileStmt:
		t.expression(s.Condition, depth)
		t.block(s.Stmts, depth)
	case *ast.RepeatStmt:
		t.block(s.Stmts, depth)
		t.expression(s.Condition, depth)
	case *ast.IfStmt:
		t.expression(s.Condition, depth)
		t.block(s.Then, depth)
		t.block(s.Else, depth)
	case *ast.NumberForStmt:
		t.declare(s.Name)
		t.expressions([]ast.Expr{s.Init, s.Limit, s.Step}, depth)
		t.block(s.Stmts, depth)
	case *ast.GenericForStmt:
		t.declare(s.Names...)
		t.expressions(s.Exprs, depth)
		t.block(s.Stmts, depth)
	case *ast.FuncDefStmt:
		t.assign(s.Name.Func)
		t.expressions([]ast.Expr{s.Name.Func, s.Name.Receiver, s.Func}, depth)
	case *ast.ReturnStmt:
		t.expressions(s.Exprs, depth)
	}
}

// assign and declare remember the names that a hint may need.
func (t *tree) assign(places ...ast.Expr) {
	for _, e := range places {
		if name, is := e.(*ast.IdentExpr); is {
			t.source.assigned = append(t.source.assigned, name.Value)
		}
	}
}

func (t *tree) declare(names ...string) { t.source.declared = append(t.source.declared, names...) }

func (t *tree) expressions(list []ast.Expr, depth int) {
	for _, e := range list {
		t.expression(e, depth)
	}
}

func (t *tree) expression(e ast.Expr, depth int) {
	depth++
	if e == nil || t.err != nil {
		return
	}
	if depth > maxDepth {
		t.refuse(e.Line(), "an expression is nested too deep: the limit is %d", maxDepth)
		return
	}
	switch e := e.(type) {
	case *ast.AttrGetExpr:
		t.expressions([]ast.Expr{e.Object, e.Key}, depth)
	case *ast.TableExpr:
		t.table(e, depth)
	case *ast.FuncCallExpr:
		t.call(e)
		t.expressions([]ast.Expr{e.Func, e.Receiver}, depth)
		t.expressions(e.Args, depth)
	case *ast.LogicalOpExpr:
		t.expressions([]ast.Expr{e.Lhs, e.Rhs}, depth)
	case *ast.RelationalOpExpr:
		t.expressions([]ast.Expr{e.Lhs, e.Rhs}, depth)
	case *ast.StringConcatOpExpr:
		t.expressions([]ast.Expr{e.Lhs, e.Rhs}, depth)
	case *ast.ArithmeticOpExpr:
		t.expressions([]ast.Expr{e.Lhs, e.Rhs}, depth)
	case *ast.UnaryMinusOpExpr:
		t.expression(e.Expr, depth)
	case *ast.UnaryNotOpExpr:
		t.expression(e.Expr, depth)
	case *ast.UnaryLenOpExpr:
		t.expression(e.Expr, depth)
	case *ast.FunctionExpr:
		if e != nil {
			t.declare(e.ParList.Names...)
			t.block(e.Stmts, depth)
		}
	}
}

func (t *tree) table(e *ast.TableExpr, depth int) {
	plain := 0
	for _, f := range e.Fields {
		if f.Key == nil {
			plain++
		}
		t.expressions([]ast.Expr{f.Key, f.Value}, depth)
	}
	if plain > maxList {
		t.refuse(e.Line(), "a table of %d values is too long: the limit is %d", plain, maxList)
	}
}

func (t *tree) call(e *ast.FuncCallExpr) {
	if name, is := e.Func.(*ast.IdentExpr); is {
		t.calls = append(t.calls, Called{Name: name.Value, Line: e.Line(), Args: e.Args})
	}
}

// Text is a literal string argument.
func (c Called) Text(i int) (string, bool) {
	if i >= len(c.Args) {
		return "", false
	}
	e, is := c.Args[i].(*ast.StringExpr)
	if !is {
		return "", false
	}
	return e.Value, true
}

// Member is the line at which a table argument gives a name its value, 0 where it does not.
func (c Called) Member(i int, name string) int {
	if i >= len(c.Args) {
		return 0
	}
	table, is := c.Args[i].(*ast.TableExpr)
	if !is {
		return 0
	}
	for _, f := range table.Fields {
		if key, is := f.Key.(*ast.StringExpr); is && key.Value == name {
			return f.Value.Line()
		}
	}
	return 0
}

// Number is a literal number argument, with a sign if it has one.
func (c Called) Number(i int) (float64, bool) {
	if i >= len(c.Args) {
		return 0, false
	}
	sign, e := 1.0, c.Args[i]
	if minus, is := e.(*ast.UnaryMinusOpExpr); is {
		sign, e = -1, minus.Expr
	}
	n, is := e.(*ast.NumberExpr)
	if !is {
		return 0, false
	}
	x, err := strconv.ParseFloat(n.Value, 64)
	return sign * float64(lua.LNumber(x)), err == nil
}

// Truth is an argument that is true or false.
func (c Called) Truth(i int) (value, is bool) {
	if i >= len(c.Args) {
		return false, false
	}
	switch c.Args[i].(type) {
	case *ast.TrueExpr:
		return true, true
	case *ast.FalseExpr:
		return false, true
	}
	return false, false
}

// Plain is a literal argument as `tostring` has it; of a table its literal name, "" if it has none.
func (c Called) Plain(i int) (string, bool) {
	if i >= len(c.Args) {
		return "", false
	}
	if text, is := c.Text(i); is {
		return text, true
	}
	if x, is := c.Number(i); is {
		return lua.LNumber(x).String(), true
	}
	if yes, is := c.Truth(i); is {
		return lua.LBool(yes).String(), true
	}
	table, is := c.Args[i].(*ast.TableExpr)
	if !is {
		return "", false
	}
	for _, f := range table.Fields {
		if key, is := f.Key.(*ast.StringExpr); is && key.Value == "name" {
			return Called{Args: []ast.Expr{f.Value}}.Text(0)
		}
	}
	return "", true
}

// List is an argument that is a list of literals, each as Plain has it.
func (c Called) List(i int) ([]string, bool) {
	if i >= len(c.Args) {
		return nil, false
	}
	table, is := c.Args[i].(*ast.TableExpr)
	if !is {
		return nil, false
	}
	var list []string
	for _, f := range table.Fields {
		text, plain := Called{Args: []ast.Expr{f.Value}}.Plain(0)
		if f.Key != nil || !plain {
			return nil, false
		}
		list = append(list, text)
	}
	return list, true
}
