package command

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"chalkfield/fields"
	"chalkfield/internal/geom"
	"chalkfield/internal/record"
	"chalkfield/internal/rehearse"
	"chalkfield/scripting"
	"chalkfield/sim/robotfile"

	"github.com/rogpeppe/go-internal/testscript"
)

// block is a fenced block of the README.
type block struct {
	line     int
	language string
	text     string
}

func readmeBlocks(t *testing.T) []block {
	data, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var blocks []block
	var open *block
	for i, line := range strings.Split(string(data), "\n") {
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
	if open != nil || len(blocks) < 10 {
		t.Fatalf("%d blocks, one left open: %v", len(blocks), open != nil)
	}
	return blocks
}

// fileName is the path that the first line of a block gives it: "-- my_project/routine.lua" or "# my.check.toml".
var fileName = regexp.MustCompile(`^(?:--|#) (\S+\.(?:lua|toml|csv|yml))\n`)

// Every command of the README's sh blocks runs, in order, in one folder, with the files that the README shows.
func TestReadmeCommandsRun(t *testing.T) {
	var script, files strings.Builder
	commands := 0
	for i, b := range readmeBlocks(t) {
		if name := fileName.FindStringSubmatch(b.text); name != nil {
			held := fmt.Sprintf("block%d", i)
			fmt.Fprintf(&files, "-- %s --\n%s", held, b.text)
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
			fmt.Fprintf(&script, "# README.md:%d\nexec %s\n", b.line, command)
			commands++
		}
	}
	if commands < 5 {
		t.Fatalf("only %d commands in the README", commands)
	}
	folder := t.TempDir()
	archive := script.String() + "\n" + files.String()
	if err := os.WriteFile(filepath.Join(folder, "readme.txt"), []byte(archive), 0o600); err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{Dir: folder})
}

// Every Lua example of the README runs without an error: whole routines as they are, snippets inside auto.
func TestReadmeExamplesRun(t *testing.T) {
	examples := 0
	for _, b := range readmeBlocks(t) {
		kind, isLua := strings.CutPrefix(b.language, "lua")
		if !isLua {
			continue
		}
		examples++
		t.Run(fmt.Sprintf("line_%d", b.line), func(t *testing.T) {
			rec := rehearseExample(t, strings.TrimSpace(kind), b.text)
			for _, e := range rec.Events {
				if e.Kind == record.Failure {
					t.Errorf("README.md:%d: %s", b.line, e.Text)
				}
			}
		})
	}
	if examples < 30 {
		t.Errorf("only %d Lua examples in the README", examples)
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
	program, err := scripting.LoadFS(fstest.MapFS{"example.lua": {Data: []byte(text)}}, "example.lua")
	if err != nil {
		t.Fatal(err)
	}
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	robot, err := robotfile.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	start := geom.Pose{X: 0.6, Y: 0.45}
	rec, err := rehearse.Run(context.Background(), rehearse.Setup{
		Field: field, Session: session, Nominal: true, Entrants: []rehearse.Entrant{{Robot: robot, Routine: program, Start: &start}},
	})
	if err != nil {
		t.Fatal(err)
	}
	return rec
}
