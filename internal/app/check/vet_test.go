package check

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// goldenCheck is a check file whose only case has a golden record at a path.
func goldenCheck(path string) string {
	return "routine = 'mine.lua'\n[[cases]]\nname = 'golden'\nnominal = true\ngolden = '" + path + "'\n"
}

// What stands at a golden path may be a golden record or nothing; anything else keeps its content, and is told of at
// its line.
func TestAcceptOverwritesNothingButGoldenRecords(t *testing.T) {
	own := string(bytesOf(t, goldenOf(made(3, true))))
	for _, c := range []struct{ name, golden, want string }{
		{"the routine", "mine.lua", "is no golden record and would be overwritten"},
		{"the check file", "a.check.toml", "a check file's name"},
		{"a check file that is not there", "new.check.toml", "a check file's name"},
		{"somebody's text outside", "../important.txt", "is no golden record and would be overwritten"},
		{"an empty file", "empty", "is no golden record"},
		{"a record", "record.jsonl", "is no golden record"},
		{"a golden record with a conflict in it", "conflict.jsonl", "is no golden record"},
		{"a file that would be read if it were there", "robot.toml", "is one of the files that this check reads"},
		{"the same by a detour", "../work/./robot.toml", "is one of the files that this check reads"},
		{"a folder", "folder", "is no file"},
		{"a device", "/dev/zero", "is no file"},
		{"below a file", "mine.lua/g.jsonl", "not a directory"},
		{"in no folder", "nowhere/g.jsonl", "there is no folder"},
		{"nothing", "g.jsonl", ""},
		{"an older golden record", "old.jsonl", ""},
		{"a broken golden record", "cut.jsonl", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := project(t, map[string]string{
				"work/mine.lua": "return 1", "important.txt": "important\n", "work/empty": "",
				"work/record.jsonl": `{"header":{}}` + "\n", "work/folder/x": "",
				"work/old.jsonl": own, "work/cut.jsonl": own[:300], "work/conflict.jsonl": "<<<<<<< HEAD\n" + own,
				"work/a.check.toml": goldenCheck(c.golden),
			})
			before := contents(t, dir)
			o := standIn(0)
			o.Accept = true
			out := judged(t, filepath.Join(dir, "work"), o)
			if c.want == "" {
				if out.Held != 1 {
					t.Errorf("%+v", out)
				}
				return
			}
			if out.Wrong != 1 || !strings.Contains(out.Cases[0].Error, "a.check.toml:5:10: cases[0].golden: ") ||
				!strings.Contains(out.Cases[0].Error, c.want) {
				t.Errorf("%+v, want %q", out, c.want)
			}
			if after := contents(t, dir); after != before {
				t.Errorf("files changed:\n%s\nbefore:\n%s", after, before)
			}
		})
	}
}

// contents are all files of a folder with what is in them.
func contents(t *testing.T, dir string) string {
	t.Helper()
	var all strings.Builder
	err := filepath.WalkDir(dir, func(path string, entry os.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		all.WriteString(path + "\n" + string(data) + "\n")
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all.String()
}

func TestAnAbsoluteGoldenPathIsTakenAsItIs(t *testing.T) {
	golden := filepath.Join(t.TempDir(), "g.jsonl")
	o := standIn(0)
	o.Accept = true
	if out := judged(t, project(t, map[string]string{"a.check.toml": goldenCheck(golden)}), o); out.Held != 1 {
		t.Errorf("%+v", out)
	}
	if data, err := os.ReadFile(golden); err != nil || !beginsGolden(bytes.NewReader(data)) {
		t.Error(err)
	}
}

// Two rehearsals cannot both follow one record: accepting one would break the other for good.
func TestOneGoldenRecordIsOfOneRehearsal(t *testing.T) {
	two := func(first, second string) map[string]string {
		return map[string]string{"a.check.toml": "routine = 'mine.lua'\n[[cases]]\nname = 'one'\ngolden = 'g'\n" + first +
			"[[cases]]\nname = 'two'\ngolden = './g'\n" + second}
	}
	for _, c := range []struct {
		name  string
		files map[string]string
		want  string
	}{
		{"another seed", two("seed = 1\n", "seed = 2\n"), `a.check.toml:8:10: cases[1].golden: `},
		{"nominal or not", two("", "nominal = true\n"), `is the golden record of the cases "one" and "two", which are not ` +
			`the same rehearsal: give each its own`},
		{"the same", two("", "score_at_least = 1\n"), ""},
		{"another routine in another file", map[string]string{"a.check.toml": goldenCheck("g"),
			"b.check.toml": strings.Replace(goldenCheck("g"), "mine", "yours", 1)}, `a.check.toml and "golden"`},
		{"the same in another file", map[string]string{"a.check.toml": goldenCheck("g"), "b.check.toml": goldenCheck("g")},
			""},
	} {
		dir := project(t, c.files)
		o := standIn(0)
		o.Accept = true
		out := judged(t, dir, o)
		if c.want == "" {
			if out.Held != 2 {
				t.Errorf("%s: %+v", c.name, out)
			}
			continue
		}
		if last := out.Cases[len(out.Cases)-1]; last.State != Wrong || !strings.Contains(last.Error, c.want) {
			t.Errorf("%s: %+v, want %q", c.name, last, c.want)
		}
	}
}

// A write that fails is told, and nothing else: no "wrote" beside it, no state but wrong.
func TestAGoldenRecordThatCannotBeWrittenIsWrong(t *testing.T) {
	dir := project(t, map[string]string{"sub/x": "", "a.check.toml": goldenCheck("sub/g") + "score_at_least = 100\n"})
	list := loadAll(dir)
	if err := os.RemoveAll(filepath.Join(dir, "sub")); err != nil { // after it was looked at
		t.Fatal(err)
	}
	o := standIn(0)
	o.Accept = true
	out, err := Run(context.Background(), list, o)
	if err != nil {
		t.Fatal(err)
	}
	if c := out.Cases[0]; c.State != Wrong || len(c.Notes) != 0 || !strings.Contains(c.Error, "cannot be written") {
		t.Errorf("%+v", c)
	}
	if err := structure(junitOf(t, out)); err != nil {
		t.Error(err)
	}
}

// Advice to accept is given where it is not taken, and only there.
func TestAcceptingAdvisesNoAccepting(t *testing.T) {
	other := goldenOf(made(9, true))
	dir := project(t, map[string]string{"a.check.toml": goldenCheck("g"), "g": string(bytesOf(t, other))})
	c := judged(t, dir, standIn(0)).Cases[0]
	if len(c.Notes) != 1 || !strings.Contains(c.Notes[0], "`chalkfield check --accept` writes the golden record anew") ||
		strings.Contains(c.Shortfalls[0].Happened, "accept") {
		t.Errorf("%+v", c)
	}
	accepting := standIn(0)
	accepting.Accept = true
	if c := judged(t, dir, accepting).Cases[0]; c.State != Held || len(c.Notes) != 1 ||
		strings.Contains(c.Notes[0], "--accept") || !strings.Contains(c.Notes[0], "another rehearsal: mine.lua") {
		t.Errorf("%+v", c)
	}
}
