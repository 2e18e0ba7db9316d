package window

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"strings"
	"testing"
)

// The window changes its memory by the memory's own methods, never by writing into it.
func TestTheModelIsChangedByItsMethodsAlone(t *testing.T) {
	fset := token.NewFileSet()
	own := func(f fs.FileInfo) bool { return !strings.HasSuffix(f.Name(), "_test.go") }
	packages, err := parser.ParseDir(fset, ".", own, 0)
	if err != nil {
		t.Fatal(err)
	}
	looked := 0
	for _, file := range packages["window"].Files {
		ast.Inspect(file, func(n ast.Node) bool {
			for _, to := range written(n) {
				looked++
				if field := ofModel(to); field != "" {
					t.Errorf("%s: writes %s", fset.Position(n.Pos()), field)
				}
			}
			return true
		})
	}
	if looked < 100 {
		t.Errorf("only %d assignments were found", looked)
	}
}

// written are the places that a statement writes to, and those whose address an expression takes.
func written(n ast.Node) []ast.Expr {
	switch n := n.(type) {
	case *ast.AssignStmt:
		return n.Lhs
	case *ast.IncDecStmt:
		return []ast.Expr{n.X}
	case *ast.UnaryExpr:
		if n.Op == token.AND {
			return []ast.Expr{n.X}
		}
	}
	return nil
}

// ofModel names the member of the model or of its settings that a place is or lies in, "" for neither.
func ofModel(place ast.Expr) string {
	switch place := place.(type) {
	case *ast.IndexExpr:
		return ofModel(place.X)
	case *ast.StarExpr:
		return ofModel(place.X)
	case *ast.SelectorExpr:
		owner := ""
		switch x := place.X.(type) {
		case *ast.SelectorExpr:
			owner = x.Sel.Name
		case *ast.Ident:
			owner = x.Name
		}
		if owner == "model" || owner == "memory" {
			return owner + "." + place.Sel.Name
		}
		return ofModel(place.X)
	}
	return ""
}
