package command

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"chalkfield/assets"
	"chalkfield/internal/app/program"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"

	"github.com/rogpeppe/go-internal/testscript"
)

// document is the README or a page of the guide: what they show is run.
type document struct {
	name   string // README or the page's name
	path   string // from the top of the repository
	blocks []block
}

// block is a fenced block of a document.
type block struct {
	line     int
	language string
	text     string
}

func documents(t *testing.T) []document {
	paths := []string{"README.md"}
	for _, page := range assets.GuidePages {
		paths = append(paths, "assets/guide/"+page+".md")
	}
	var all []document
	for _, path := range paths {
		data, err := os.ReadFile(filepath.Join("../../..", path))
		if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimSuffix(filepath.Base(path), ".md")
		all = append(all, document{name, path, blocksOf(t, path, string(data))})
	}
	return all
}

func blocksOf(t *testing.T, path, text string) []block {
	var blocks []block
	var open *block
	for i, line := range strings.Split(text, "\n") {
		switch {
		case open == nil && strings.HasPrefix(line, "```"):
			open = &block{line: i + 1, language: strings.TrimPrefix(line, "```")}
		case open != nil && line == "```":
			blocks = append(blocks, *open)
			open = nil
		case open != nil:
			open.text += line + "\n"
		}
	}
	if open != nil {
		t.Fatalf("%s:%d: a block that is not closed", path, open.line)
	}
	return blocks
}

// fileName is the path that the first line of a block gives it: "-- my_project/routine.lua" or "# my.check.toml". A
// block whose line adds "(goes on)" is the file's next part.
var fileName = regexp.MustCompile(`^(?:--|#|//) (\S+\.(?:lua|toml|csv|yml|py|cpp))( \(goes on\))?\n`)

// longPages are those whose commands take seconds. In `go test ./...` they are only read: a command and flags that
// there are not are found all the same.
var longPages = map[string]bool{"measure": true}

// Every command of a document's sh blocks runs, in order, in one folder a document, with the files that it shows; those
// of long pages, and what has to be compiled, in .ci/run.
func TestDocumentCommandsRun(t *testing.T) {
	folder := t.TempDir()
	commands := 0
	for _, d := range documents(t) {
		archive, n := d.script()
		commands += n
		if n == 0 {
			continue
		}
		if err := os.WriteFile(filepath.Join(folder, d.name+".txt"), []byte(archive), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if commands < 20 {
		t.Fatalf("only %d commands in the README and the guide", commands)
	}
	cmds := called()
	cmds["parse"] = parse
	testscript.Run(t, testscript.Params{Cmds: cmds, Dir: folder, Condition: atLength})
}

// parse is `parse chalkfield ...`: the program reads the command line, and no more.
func parse(ts *testscript.TestScript, _ bool, args []string) {
	parser, err := newParser(&commands{}, streams{out: io.Discard, err: io.Discard}, program.NewOwner())
	ts.Check(err)
	_, err = parser.Parse(args[1:])
	ts.Check(err)
}

// script is a document as a test script, and how many commands it has.
func (d document) script() (archive string, commands int) {
	var script, files strings.Builder
	soFar := map[string]string{}
	for i, b := range d.blocks {
		if name := fileName.FindStringSubmatch(b.text); name != nil {
			if name[2] == "" {
				soFar[name[1]] = ""
			}
			soFar[name[1]] += b.text
			held := fmt.Sprintf("block%d", i)
			fmt.Fprintf(&files, "-- %s --\n%s", held, soFar[name[1]])
			if folder := filepath.Dir(name[1]); folder != "." {
				fmt.Fprintf(&script, "mkdir %s\n", folder)
			}
			fmt.Fprintf(&script, "cp %s %s\n", held, name[1])
		}
		if b.language != "sh" {
			continue
		}
		for _, line := range strings.Split(strings.TrimSpace(b.text), "\n") {
			command, _, _ := strings.Cut(line, "   #")
			command = strings.ReplaceAll(strings.TrimSpace(command), `"`, `'`) // test scripts know only these quotes
			where, how := "", "call"
			switch {
			case strings.Contains(command, "python3 ") || strings.Contains(command, "--allow-programs"):
				where = "[exec:python3] "
			case strings.Contains(command, "--program cpp_bot/"):
				where = "[exec:g++] [thorough] "
			case strings.HasPrefix(command, "g++ "):
				where, how = "[exec:g++] [thorough] ", "exec"
			case longPages[d.name]:
				where = "[thorough] "
				fmt.Fprintf(&script, "[!thorough] parse %s\n", command)
			}
			fmt.Fprintf(&script, "# %s:%d\n%s%s %s\n", d.path, b.line, where, how, command)
			commands++
		}
	}
	return script.String() + "\n" + files.String(), commands
}

// runs tells whether a block is a file that one of the document's commands runs.
func (d document) runs(b block) bool {
	name := fileName.FindStringSubmatch(b.text)
	return name != nil && !longPages[d.name] && slices.ContainsFunc(d.blocks, func(other block) bool {
		return other.language == "sh" && strings.Contains(other.text, "chalkfield run "+name[1])
	})
}

// Every Lua example of the README and the guide runs without an error: whole routines as they are, snippets inside
// auto. Those that a command runs are left to it: they may be for another field.
func TestDocumentExamplesRun(t *testing.T) {
	examples := 0
	for _, d := range documents(t) {
		for _, b := range d.blocks {
			kind, isLua := strings.CutPrefix(b.language, "lua")
			if !isLua || d.runs(b) {
				continue
			}
			examples++
			t.Run(fmt.Sprintf("%s_line_%d", d.name, b.line), func(t *testing.T) {
				rec := rehearseExample(t, strings.TrimSpace(kind), b.text)
				for _, e := range rec.Events {
					if e.Kind == record.Failure {
						t.Errorf("%s:%d: %s", d.path, b.line, e.Text)
					}
				}
			})
		}
	}
	if examples < 30 {
		t.Errorf("only %d Lua examples in the README and the guide", examples)
	}
}

// rehearseExample plays an example on Core Haul with the hauler: the body of auto, the body of driver, or a whole file.
func rehearseExample(t *testing.T, kind, text string) *record.Record {
	session := "autonomous"
	switch {
	case kind == "driver":
		text = "return routine { driver = function(bot, pad)\n" + text + "end }\n"
		session = "solo run"
	case !strings.Contains(text, "return routine"):
		text = "return routine { auto = function(bot)\n" + text + "end }\n"
	case strings.Contains(text, "driver ="):
		session = "match"
	}
	routine, err := scripting.LoadFS(fstest.MapFS{"example.lua": {Data: []byte(text)}}, "example.lua")
	if err != nil {
		t.Fatal(err)
	}
	setup := demo(t)
	setup.Session, setup.Nominal = session, true
	setup.Entrants[0].Routine, setup.Entrants[0].Start = routine, &geom.Pose{X: 0.6, Y: 0.45}
	rec, err := rehearse.Run(context.Background(), setup)
	if err != nil {
		t.Fatal(err)
	}
	return rec
}
