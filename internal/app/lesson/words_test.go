package lesson

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"chalkfield/assets"
)

// explained are the rows of the guide's page words that name a lesson: word, lesson.
func explained(t *testing.T) (rows [][2]string) {
	t.Helper()
	page, err := assets.GuidePage("words")
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(page, "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if strings.HasPrefix(line, "|") && len(cells) == 3 && cells[0] != "word" {
			rows = append(rows, [2]string{cells[0], cells[2]})
		}
	}
	return rows
}

var (
	bold = regexp.MustCompile(`\*\*([^*]+)\*\*`)
	code = regexp.MustCompile("(?s:```.*?```)|`[^`]*`|(?m:^    .*$)")
)

// text is what a learner reads of a lesson, without code.
func reading(l *Lesson) string {
	words := l.Opening
	for _, s := range l.Steps {
		words += "\n\n" + s.Title + "\n\n" + s.Text
	}
	for _, h := range l.Hints {
		words += "\n\n" + h.Title + "\n\n" + h.Text
	}
	return code.ReplaceAllString(words, "")
}

// Each word that a lesson explains is a row of the guide's page, with that lesson, and in the order of the lessons.
func TestWordsThatLessonsExplainAreInTheGuide(t *testing.T) {
	rows := explained(t)
	var want [][2]string
	for _, l := range embedded(t) {
		for _, m := range bold.FindAllStringSubmatch(reading(l), -1) {
			word := strings.Join(strings.Fields(m[1]), " ")
			if !slices.ContainsFunc(want, func(row [2]string) bool { return strings.EqualFold(row[0], word) }) {
				want = append(want, [2]string{word, l.Name})
			}
		}
	}
	for _, row := range want {
		if !slices.ContainsFunc(rows, func(r [2]string) bool { return strings.EqualFold(r[0], row[0]) && r[1] == row[1] }) {
			t.Errorf("%s explains %q: assets/guide/words.md has no such row", row[1], row[0])
		}
	}
	for i, row := range rows {
		if i >= len(want) || !strings.EqualFold(want[i][0], row[0]) {
			t.Errorf("row %d of assets/guide/words.md is %q of %s; in the lessons' order %v comes", i+1, row[0], row[1],
				want[min(i, len(want)-1)])
			break
		}
	}
}

// plainWords have another meaning in plain English too, in which lessons may use them from the beginning.
var plainWords = []string{"line", "call", "saved", "track", "i", "d", "p", "if", "mean", "case", "cause", "bend",
	"function", "check", "task", "pad"}

func TestNoWordIsUsedBeforeItIsExplained(t *testing.T) {
	lessons := embedded(t)
	for _, row := range explained(t) {
		if slices.Contains(plainWords, strings.ToLower(row[0])) {
			continue
		}
		used := regexp.MustCompile(`(?i)\b` + regexp.QuoteMeta(row[0]) + `s?\b`)
		for _, l := range lessons {
			if l.Name == row[1] {
				break
			}
			if at := used.FindStringIndex(reading(l)); at != nil {
				words := reading(l)
				t.Errorf("%s uses %q, which %s explains, later: ...%s...", l.Name, row[0], row[1],
					strings.Join(strings.Fields(words[max(0, at[0]-40):min(len(words), at[1]+30)]), " "))
			}
		}
	}
}

// The code of lessons has no sentence for who learns: these are in assets/lessons/words.toml, where they can be
// translated. What says that a file or a flag is wrong is like all such messages of the program.
func TestNoSentenceOfLessonsIsInTheCode(t *testing.T) {
	var files []string
	for _, pattern := range []string{"*.go", "../command/learn*.go", "../../../render/window/lesson*.go",
		"../../../render/window/viewmodel/l*son*.go", "../../../render/window/viewmodel/learning*.go"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	said := map[string]bool{}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range sentences(parsed, said) {
			t.Errorf("%s: %q: put it into assets/lessons/words.toml, and Say it", file, text)
		}
	}
	for _, key := range words().Keys("") {
		if !said[key] && !strings.HasPrefix(key, "medal_") {
			t.Errorf("assets/lessons/words.toml has %q, which nothing says", key)
		}
	}
	for key := range said {
		if _, known := words().Text(key); !known {
			t.Errorf("the code says %q, which assets/lessons/words.toml has not", key)
		}
	}
}

// sentences are the texts of several words in a file, but those of errors, panics, help and tags. said takes the keys
// of what is said.
func sentences(file *ast.File, said map[string]bool) []string {
	return slices.DeleteFunc(sentencesOf(file, said), func(text string) bool { return slices.Contains(formats, text) })
}

// formats are words of files and commands, which are not translated.
var formats = []string{string(Left), sources, realRobot, "chalkfield open ", "a table of progress",
	"lesson,title,passed,stars,tries,hints opened,steps done,steps,medal,best s"}

func sentencesOf(part ast.Node, said map[string]bool) (list []string) {
	ast.Inspect(part, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			switch name := called(n.Fun); name {
			case "Errorf", "New", "panic", "Error", "fault", "Wrong", "KeyErrorf", "MustCompile", "Index", "named":
				for _, arg := range n.Args {
					sentencesOf(arg, said) // for what is said in it
				}
				return false
			case "Say", "say":
				if key, is := n.Args[0].(*ast.BasicLit); is {
					word, _ := strconv.Unquote(key.Value)
					said[word] = true
				}
			}
		case *ast.FuncDecl:
			return n.Name.Name != "Help" && n.Name.Name != "Error"
		case *ast.KeyValueExpr:
			_, literal := n.Value.(*ast.BasicLit)
			return !literal || !isName(n.Key)
		case *ast.AssignStmt:
			for i, to := range n.Lhs {
				if len(n.Rhs) == len(n.Lhs) && !isName(to) {
					list = append(list, sentencesOf(n.Rhs[i], said)...)
				}
			}
			return len(n.Rhs) != len(n.Lhs)
		case *ast.Field:
			return n.Tag == nil
		case *ast.BasicLit:
			if text, err := strconv.Unquote(n.Value); n.Kind == token.STRING && err == nil && isSentence(text) {
				list = append(list, text)
			}
		}
		return true
	})
	return list
}

func called(f ast.Expr) string {
	switch f := f.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

// isName reports whether something is kept under a name that only the program reads.
func isName(to ast.Expr) bool { return strings.EqualFold(called(to), "name") }

// isSentence: two words of letters after each other, the way people write them.
func isSentence(text string) bool {
	return regexp.MustCompile(`[a-z]{2,} [a-z]{2,}`).MatchString(text)
}
