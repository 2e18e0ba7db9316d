package internal_test

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// longest is how many characters a line may have; a tab is one.
const longest = 120

// A line is longer only where it cannot break: by the tag of a struct's field, or within a raw text of several lines,
// whose lines are those of what is read or printed. The copy of the engine has the lines of the original.
func TestLinesAreShort(t *testing.T) {
	lines := 0
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() && entry.Name() == "chipmunk" ||
			entry.IsDir() && strings.HasPrefix(entry.Name(), ".") && path != ".." {
			return filepath.SkipDir
		}
		if entry.IsDir() || !strings.HasSuffix(path, ".go") {
			return nil
		}
		source, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		var long []int
		for i, line := range bytes.Split(source, []byte("\n")) {
			if lines++; utf8.RuneCount(line) > longest {
				long = append(long, i+1)
			}
		}
		for _, line := range breakable(t, path, source, long) {
			t.Errorf("%s:%d: more than %d characters: break the line", path, line, longest)
		}
		return nil
	})
	if err != nil || lines < 10000 {
		t.Fatalf("%d lines: %v", lines, err)
	}
}

// breakable are those of a file's lines that are no field with a tag and do not go through a raw text.
func breakable(t *testing.T, path string, source []byte, long []int) (left []int) {
	t.Helper()
	if len(long) == 0 {
		return nil
	}
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, path, source, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	excused := map[int]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.Field:
			if n.Tag != nil {
				end := files.Position(n.Tag.End())
				excused[end.Line] = end.Column > longest // else it is the comment behind it that is long
			}
		case *ast.BasicLit:
			begin, end := files.Position(n.Pos()).Line, files.Position(n.End()).Line
			for line := begin; begin < end && line <= end; line++ {
				excused[line] = true
			}
		}
		return true
	})
	for _, line := range long {
		if !excused[line] {
			left = append(left, line)
		}
	}
	return left
}

func TestALongLineIsFound(t *testing.T) {
	source := "package p\n\ntype s struct {\n\tA int `help:\"" + strings.Repeat("it cannot break ", 8) + "\"`\n" +
		"\tB int `help:\"short\"` // long\n}\n\nconst a = `one\ntwo` + `three`\n\n// a comment\nvar b = `four`\n"
	if got := breakable(t, "p.go", []byte(source), []int{4, 5, 8, 9, 11, 12}); !slices.Equal(got, []int{5, 11, 12}) {
		t.Errorf("it finds the lines %v", got)
	}
}
