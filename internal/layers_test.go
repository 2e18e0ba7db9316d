package internal_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// layer gives each package tree its height; a package may import only lower ones, or its own tree.
var layer = map[string]int{
	"chalkfield":                          11,
	"chalkfield/internal/app/command":     10,
	"chalkfield/render/window":            9,
	"chalkfield/internal/app/lesson":      8,
	"chalkfield/render":                   7,
	"chalkfield/internal/app/report":      6,
	"chalkfield/internal/app/check":       5,
	"chalkfield/internal/app/study":       4,
	"chalkfield/internal/app/logfile":     3,
	"chalkfield/internal/app/testdrive":   4,
	"chalkfield/internal/app/gains":       4,
	"chalkfield/internal/app/worth":       4,
	"chalkfield/internal/app/alongside":   4,
	"chalkfield/internal/app/setpoints":   4,
	"chalkfield/internal/app/fit":         4,
	"chalkfield/internal/app/build":       3,
	"chalkfield/internal/app/program":     3,
	"chalkfield/internal/app/rehearse":    3,
	"chalkfield/scripting":                2,
	"chalkfield/sim":                      2,
	"chalkfield/assets":                   0,
	"chalkfield/sim/robot":                1,
	"chalkfield/fields":                   1,
	"chalkfield/internal/base/record":     1,
	"chalkfield/internal/base/property":   -2,
	"chalkfield/internal/base/geom":       -1,
	"chalkfield/internal/base/chipmunk":   0,
	"chalkfield/internal/base/portable":   -2,
	"chalkfield/internal/base/wording":    -1,
	"chalkfield/internal/base/tomlfile":   0,
	"chalkfield/internal/base/formula":    0,
	"chalkfield/internal/base/units":      -1,
	"chalkfield/internal/base/atomicfile": -1,
	"chalkfield/internal/base/pool":       -1,
	"chalkfield/internal/base/cheader":    -2,
	"chalkfield/internal/base/stats":      -1,
	"chalkfield/internal/base/search":     -1,
}

// tree is the longest key of layer that a package lies under.
func tree(pkg string) string {
	for pkg != "." {
		if _, known := layer[pkg]; known {
			return pkg
		}
		pkg = path.Dir(pkg)
	}
	return ""
}

func TestImportsPointDown(t *testing.T) {
	root := ".."
	checked := 0
	err := filepath.WalkDir(root, func(file string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && strings.HasPrefix(entry.Name(), ".") && file != root {
			return filepath.SkipDir
		}
		if entry.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		checked++
		return checkImports(t, root, file)
	})
	if err != nil || checked < 20 {
		t.Fatalf("walked %d files: %v", checked, err)
	}
}

func checkImports(t *testing.T, root, file string) error {
	source, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	parsed, err := parser.ParseFile(token.NewFileSet(), file, source, parser.ImportsOnly)
	if err != nil {
		return err
	}
	relative, err := filepath.Rel(root, filepath.Dir(file))
	if err != nil {
		return err
	}
	from := tree(path.Join("chalkfield", filepath.ToSlash(relative)))
	if from == "" {
		t.Errorf("%s: its package is in no layer: add it to the table", file)
	}
	for _, spec := range parsed.Imports {
		to, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			return err
		}
		if to != "chalkfield" && !strings.HasPrefix(to, "chalkfield/") {
			continue
		}
		if below := tree(to); below != from && layer[below] >= layer[from] {
			t.Errorf("%s (layer %d) imports %s (layer %d): imports point down only", file, layer[from], to, layer[below])
		}
	}
	return nil
}
