package internal_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// written is a number's verb with a unit that people may have in inches or pounds.
var written = regexp.MustCompile(
	`%[-+ #0]*[0-9]*(\.[0-9*]*)?[sdvfeg] (mm|cm|m|kg|N|kPa|ml)(/s(\^2)?|\^2| m)?($|[^\w/^])`)

// notShown are files whose texts with such a unit are for no person's eyes in a system of theirs, with the reason.
var notShown = map[string]string{
	"internal/base/units":                    "the one place that knows units",
	"sim/":                                   "of a record, which Retold tells, or about a key of the robot file",
	"fields/":                                "about a key of the field file, in its units",
	"scripting/":                             "about a routine, which counts in mm; kept in a record",
	"internal/app/testdrive/":                "a flag's or a file's own words; report retells what is said of a plan",
	"internal/app/fit/":                      "kept as data in SI units; report retells it",
	"internal/app/logfile/":                  "kept as data in SI units; report retells it",
	"internal/app/study/results/":            "kept in a study's file; report retells it",
	"internal/app/command/new_ci.go":         "written into a check file",
	"internal/app/check/departure.go":        "retold where it stands",
	"render/window/viewmodel/draft.go":       "written into a routine",
	"render/window/viewmodel/new_routine.go": "written into a routine",
}

// What a person is shown is told by units.System, and nowhere is a unit written behind a number of another form: it
// would stay metric for those who read inches.
func TestQuantitiesAreToldInThePersonsUnits(t *testing.T) {
	files, forms := token.NewFileSet(), 0
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		hidden := strings.HasPrefix(entry.Name(), ".") && path != ".."
		if err != nil || entry.IsDir() && (hidden || entry.Name() == "testdata") {
			return filepath.SkipDir
		}
		name := filepath.ToSlash(strings.TrimPrefix(path, ".."+string(filepath.Separator)))
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") || excused(name) {
			return nil
		}
		file, err := parser.ParseFile(files, path, nil, 0)
		if err != nil {
			return err
		}
		told := map[ast.Node]bool{}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, is := n.(*ast.CallExpr); is && tellsInUnits(call) {
				for _, form := range call.Args[:min(len(call.Args), 2)] { // behind a fact's name
					ast.Inspect(form, func(n ast.Node) bool { told[n] = true; return true })
				}
			}
			if text, is := n.(*ast.BasicLit); is && text.Kind == token.STRING {
				words, _ := strconv.Unquote(text.Value)
				if !written.MatchString(words) {
					return true
				}
				if forms++; !told[n] {
					t.Errorf("%s: %q has its unit whatever the person reads: tell it by units.System.Sprintf, or say in notShown "+
						"why it is not shown", files.Position(text.Pos()), words)
				}
			}
			return true
		})
		return nil
	})
	if err != nil || forms < 20 {
		t.Fatalf("%d forms with a unit: %v", forms, err)
	}
}

// tellsInUnits reports whether a call is one of those that tell a form in a person's units. A fact is.
func tellsInUnits(call *ast.CallExpr) bool {
	of, is := call.Fun.(*ast.SelectorExpr)
	if !is {
		return false
	}
	pkg, _ := of.X.(*ast.Ident)
	return of.Sel.Name == "fact" || of.Sel.Name == "Number" ||
		of.Sel.Name == "Sprintf" && (pkg == nil || pkg.Name != "fmt")
}

func excused(name string) bool {
	for begin := range notShown {
		if strings.HasPrefix(name, begin) {
			return true
		}
	}
	return false
}
