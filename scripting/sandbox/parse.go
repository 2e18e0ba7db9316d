package sandbox

import (
	"strings"

	"github.com/yuin/gopher-lua/ast"
	"github.com/yuin/gopher-lua/parse"
)

// Parse is the syntax tree of a file that Compile takes.
func Parse(name, text string) ([]ast.Stmt, error) { return parse.Parse(strings.NewReader(text), name) }
