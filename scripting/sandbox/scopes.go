package sandbox

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/ast"
	"github.com/yuin/gopher-lua/parse"
)

// scopes are the names of the locals in a function's registers, at each of its instructions. gopher-lua's own notes of
// them (DbgLocals) name the wrong end for what follows a nested block: EndScope of its compile.go takes a register for
// an index of the notes.
type scopes map[*lua.FunctionProto][][]string

// scopesOf compiles a file once more with a number of its own for each statement in place of its line. The code is the
// same, and its lines then tell which statement an instruction belongs to, and so which locals there are.
func scopesOf(s *Source) (scopes, error) {
	chunk, err := parse.Parse(strings.NewReader(s.text), s.Name)
	if err != nil {
		return nil, err
	}
	callPowers(reflect.ValueOf(chunk))
	n := numbering{}
	n.block(chunk)
	twin, err := lua.Compile(chunk, s.Name)
	if err != nil {
		return nil, err
	}
	found := scopes{}
	return found, found.add(s.proto, twin, n.seen)
}

// add takes what a function's twin tells of it, and of those within.
func (s scopes) add(p, twin *lua.FunctionProto, seen [][]string) error {
	if !slices.Equal(p.Code, twin.Code) || len(p.FunctionPrototypes) != len(twin.FunctionPrototypes) {
		return fmt.Errorf("%s:%d: compiled twice, this function is not the same", p.SourceName, p.LineDefined)
	}
	names := make([][]string, len(p.Code))
	for pc, number := range twin.DbgSourcePositions {
		if 0 < number && number <= len(seen) {
			names[pc] = seen[number-1]
		}
	}
	s[p] = names
	for i, inner := range p.FunctionPrototypes {
		if err := s.add(inner, twin.FunctionPrototypes[i], seen); err != nil {
			return err
		}
	}
	return nil
}

// numbering gives statements numbers, from 1, and keeps for each the locals that it can see, in the order of their
// registers. Lists share what they have in common, so they are only ever appended to by copying.
type numbering struct {
	locals []string
	seen   [][]string
}

// next is the number of a statement that sees the locals as they are now.
func (n *numbering) next() int {
	n.seen = append(n.seen, n.locals)
	return len(n.seen)
}

func (n *numbering) declare(names ...string) {
	n.locals = append(n.locals[:len(n.locals):len(n.locals)], names...)
}

// block numbers statements whose locals end with them.
func (n *numbering) block(stmts []ast.Stmt, locals ...string) {
	before := n.locals
	n.declare(locals...)
	for _, s := range stmts {
		n.statement(s)
	}
	n.locals = before
}

// The names of the registers that a loop has for itself.
const hidden = "("

func (n *numbering) statement(s ast.Stmt) {
	number := n.next()
	s.SetLine(number)
	s.SetLastLine(number)
	switch s := s.(type) {
	case *ast.LocalAssignStmt:
		n.mark(number, s.Exprs)
		n.declare(s.Names...)
	case *ast.DoBlockStmt:
		n.block(s.Stmts)
	case *ast.WhileStmt:
		n.mark(number, s.Condition)
		n.block(s.Stmts)
	case *ast.RepeatStmt:
		before := n.locals
		for _, inner := range s.Stmts {
			n.statement(inner)
		}
		n.mark(n.next(), s.Condition) // it sees the block's locals
		n.locals = before
	case *ast.IfStmt:
		n.mark(number, s.Condition)
		n.block(s.Then)
		n.block(s.Else)
	case *ast.NumberForStmt:
		n.mark(number, []ast.Expr{s.Init, s.Limit, s.Step})
		n.block(s.Stmts, hidden, hidden, hidden, s.Name)
	case *ast.GenericForStmt:
		n.mark(number, s.Exprs)
		n.block(s.Stmts, append([]string{hidden, hidden, hidden}, s.Names...)...)
	case *ast.FuncDefStmt:
		n.mark(number, s.Name)
		if s.Name.Func == nil {
			n.function(number, s.Func, "self")
		} else {
			n.function(number, s.Func)
		}
	case *ast.AssignStmt:
		n.mark(number, [][]ast.Expr{s.Lhs, s.Rhs})
	case *ast.FuncCallStmt:
		n.mark(number, s.Expr)
	case *ast.ReturnStmt:
		n.mark(number, s.Exprs)
	}
}

// function numbers a function's own statements.
func (n *numbering) function(number int, f *ast.FunctionExpr, locals ...string) {
	f.SetLine(number)
	f.SetLastLine(number)
	before := n.locals
	n.locals = nil
	locals = append(locals, f.ParList.Names...)
	if f.ParList.HasVargs {
		locals = append(locals, "arg")
	}
	n.block(f.Stmts, locals...)
	n.locals = before
}

// mark gives every part of expressions a statement's number, and functions among them their own.
func (n *numbering) mark(number int, part any) { n.markAll(number, reflect.ValueOf(part)) }

func (n *numbering) markAll(number int, part reflect.Value) {
	switch part.Kind() {
	case reflect.Interface, reflect.Pointer:
		if part.IsNil() {
			return
		}
		switch at := part.Interface().(type) {
		case *ast.FunctionExpr:
			n.function(number, at)
			return
		case ast.PositionHolder:
			at.SetLine(number)
			at.SetLastLine(number)
		}
		n.markAll(number, part.Elem())
	case reflect.Slice:
		for i := range part.Len() {
			n.markAll(number, part.Index(i))
		}
	case reflect.Struct:
		for i := range part.NumField() {
			if field := part.Type().Field(i); field.IsExported() && !field.Anonymous {
				n.markAll(number, part.Field(i))
			}
		}
	}
}
