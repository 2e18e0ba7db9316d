package sandbox

import (
	"fmt"

	"github.com/yuin/gopher-lua/ast"
)

// callsEarly is whether a call in an assignment gives exactly one value: one in brackets, or before the last.
// gopher-lua v1.1.2 builds such a call in the registers of the variable assigned to and of those after it, which are
// other variables' if it is the function's last argument: x, y = f(20, y), 4.
func callsEarly(s *ast.AssignStmt) bool {
	for i, e := range s.Rhs {
		if call, is := e.(*ast.FuncCallExpr); is && (call.AdjustRet || i < len(s.Rhs)-1) {
			return true
		}
	}
	return false
}

// inTwoSteps assigns to locals of its own first, whose names no file can have.
func inTwoSteps(s *ast.AssignStmt) ast.Stmt {
	first := &ast.LocalAssignStmt{Exprs: s.Rhs}
	second := &ast.AssignStmt{Lhs: s.Lhs}
	for i := range max(len(s.Lhs), len(s.Rhs)) {
		name := fmt.Sprintf("(%d)", i)
		first.Names = append(first.Names, name)
		if i < len(s.Lhs) {
			value := &ast.IdentExpr{Value: name}
			placeAs(value, s)
			second.Rhs = append(second.Rhs, value)
		}
	}
	block := &ast.DoBlockStmt{Stmts: []ast.Stmt{first, second}}
	for _, n := range []ast.PositionHolder{first, second, block} {
		placeAs(n, s)
	}
	return block
}

// placeAs gives a part of the syntax tree the lines of another.
func placeAs(n, other ast.PositionHolder) {
	n.SetLine(other.Line())
	n.SetLastLine(other.LastLine())
}
