package internal_test

import (
	"bytes"
	"flag"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var unfuse = flag.Bool("unfuse", false, "write float64(x*y) where a product is fused with a sum")

// sameEverywhere are the packages whose results must have the same bits on every processor.
var sameEverywhere = []string{
	"./fields/...", "./scripting/...", "./sim/...", "./internal/base/chipmunk", "./internal/base/geom",
	"./internal/base/portable", "./internal/base/record",
	"./internal/app/rehearse", "./internal/base/units",
}

// triggered is what the compiler prints for a fused product and sum: the sum's place, each inlined call's before it.
var triggered = regexp.MustCompile(`(?m)^fmahash triggered (.*) [01]+$`)

// A Go compiler may fuse x*y + z into one operation, which rounds once instead of twice, even across statements and
// inlined calls; on amd64 it does not, on arm64 and others it does. An explicit conversion, float64(x*y) + z, forbids
// it (Go specification, "Floating-point operators"). Here the compiler for arm64 itself is asked what it fuses:
// nothing, in the packages that a record depends on. With -unfuse those sums are rewritten in which the product stands
// in plain sight.
func TestNoProductIsFusedWithASum(t *testing.T) {
	if testing.Short() {
		t.Skip("builds for arm64")
	}
	places := fused(t)
	if *unfuse {
		places = rewritten(t, places)
	}
	for _, place := range places {
		t.Errorf("%s: a product is fused with this sum on some processors: write float64(x*y) for the product", place)
	}
}

// fused lists the places, innermost last.
func fused(t *testing.T) []string {
	build := exec.Command("go", append([]string{"build", "-gcflags=chalkfield/...=-d=fmahash=vy"}, sameEverywhere...)...)
	build.Dir = ".."
	build.Env = append(os.Environ(), "GOARCH=arm64", "CGO_ENABLED=0")
	out, err := build.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	var places []string
	for _, match := range triggered.FindAllSubmatch(out, -1) {
		place := string(match[1])
		if !filepath.IsAbs(innermost(place)) { // else in a library
			places = append(places, place)
		}
	}
	slices.Sort(places)
	return slices.Compact(places)
}

// innermost is the sum's own place, behind those of the calls that it was inlined through.
func innermost(place string) string { return place[strings.LastIndex(place, " ")+1:] }

// That the compiler still answers the question: in this one it fuses.
func TestAFusedProductIsFound(t *testing.T) {
	if testing.Short() {
		t.Skip("builds for arm64")
	}
	folder := t.TempDir()
	for name, text := range map[string]string{
		"go.mod": "module chalkfield\n",
		"a.go": "package a\n\nfunc f(x, y float64) float64 { return x * y }\n\nfunc F(x, y, z float64) float64 {\n\tp := " +
			"f(x, y)\n\treturn z - p\n}\n",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	build := exec.Command("go", "build", "-gcflags=chalkfield/...=-d=fmahash=vy", ".")
	build.Dir = folder
	build.Env = append(os.Environ(), "GOARCH=arm64", "CGO_ENABLED=0")
	out, err := build.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if match := triggered.FindSubmatch(out); match == nil || !strings.Contains(string(match[1]), "a.go:7:11") {
		t.Errorf("the compiler does not tell of the fused sum:\n%s", out)
	}
}

// rewritten rewrites what it can and gives the places that are left for a person.
func rewritten(t *testing.T, places []string) (left []string) {
	wanted := map[string]map[[2]int]string{} // file, then line and column: the whole place
	for _, place := range places {
		parts := strings.Split(innermost(place), ":")
		line, _ := strconv.Atoi(parts[1])
		column, _ := strconv.Atoi(parts[2])
		if wanted[parts[0]] == nil {
			wanted[parts[0]] = map[[2]int]string{}
		}
		wanted[parts[0]][[2]int{line, column}] = place
	}
	for file, sums := range wanted {
		unfuseFile(t, filepath.Join("..", file), sums)
		for _, place := range sums {
			left = append(left, place)
		}
	}
	return left
}

// unfuseFile wraps products of the sums at the given places, and deletes those places from sums.
func unfuseFile(t *testing.T, path string, sums map[[2]int]string) {
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	files := token.NewFileSet()
	parsed, err := parser.ParseFile(files, path, source, 0)
	if err != nil {
		t.Fatal(err)
	}
	marks := map[int]string{} // by offset: what to insert
	wrap := func(sum token.Pos, terms ...ast.Expr) {
		at := files.Position(sum)
		key := [2]int{at.Line, at.Column}
		if _, found := sums[key]; !found {
			return
		}
		for _, term := range terms {
			if product := productOf(term); product != nil {
				from, to := files.Position(product.Pos()).Offset, files.Position(product.End()).Offset
				marks[from], marks[to] = "float64("+marks[from], marks[to]+")"
				delete(sums, key)
			}
		}
	}
	ast.Inspect(parsed, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BinaryExpr:
			if n.Op == token.ADD || n.Op == token.SUB {
				wrap(n.OpPos, n.X, n.Y)
			}
		case *ast.AssignStmt:
			if n.Tok == token.ADD_ASSIGN || n.Tok == token.SUB_ASSIGN {
				wrap(n.TokPos, n.Rhs[0])
				wrap(n.Pos(), n.Rhs[0])
			}
		}
		return true
	})
	var out bytes.Buffer
	for i, c := range source {
		out.WriteString(marks[i])
		out.WriteByte(c)
	}
	if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// productOf is the product that a term of a sum is, or nil.
func productOf(term ast.Expr) ast.Expr {
	switch e := term.(type) {
	case *ast.ParenExpr:
		return productOf(e.X)
	case *ast.UnaryExpr:
		return productOf(e.X)
	case *ast.BinaryExpr:
		// x/2 is compiled as x*0.5
		if _, constant := e.Y.(*ast.BasicLit); e.Op == token.MUL || e.Op == token.QUO && constant {
			return e
		}
	}
	return nil
}
