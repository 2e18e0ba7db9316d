package command

import (
	"encoding/json"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// spinnerRows are all that a kind of mechanism needs beside its files: a row behind the one of the lift in each table.
var spinnerRows = []struct{ file, behind, row string }{
	{"sim/robot/part.go", "\tLift     *Lift     `toml:\"lift\"`\n", "Spinner *Spinner `toml:\"spinner\"`\n"},
	{"sim/parts.go", "robot.KindLift: newLift,", "robot.KindSpinner: newSpinner,"},
	{"scripting/parts.go", "robot.KindLift: liftMethods,", "robot.KindSpinner: spinnerMethods,"},
	{"render/scene/kinds.go", "robot.KindLift: liftKind,", "robot.KindSpinner: spinnerKind,"},
}

const spinnerRoutine = `return routine { side = "ochre", start = {x = 600, y = 450, heading = 0}, auto = function(bot)
  bot.spinner:run(6) wait(1)
  note("rim " .. math.floor(bot.spinner:speed()) .. " mm/s")
end }
`

// A mechanism is added by a file in sim/robot, sim, scripting and render/scene and a row each (DEVELOPERS.md): with
// these and no other change the program reads a spinner from a robot file, turns it, offers it to routines, draws and
// describes it.
func TestAMechanismIsAFileAndARowALayer(t *testing.T) {
	folder := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	program := withSpinner(t, folder, file)
	hauler, err := os.ReadFile("../../../assets/robots/hauler.toml")
	if err != nil {
		t.Fatal(err)
	}
	machine := file("machine.toml", string(hauler)+"\n[[parts]]\nname = \"spinner\"\n[parts.spinner]\nradius "+
		"= \"40 mm\"\n")
	picture := filepath.Join(folder, "run.svg")
	for _, c := range []struct {
		want string
		args []string
	}{
		{"bot.spinner: spinner, a disc of 80 mm", []string{"show", machine}},
		{"", []string{"show", machine, "--picture", picture}},
		// The motor line (I R = V - k w, k = 12 V (1 - 0.2 A/4 A) / 480 rpm): at its free current 6 V turn it at 23.8 rad/s,
		// 952 mm/s.
		{"rim 9", []string{"run", file("spin.lua", spinnerRoutine), "--robot", machine, "--nominal", "--picture", picture}},
	} {
		out, err := exec.Command(program, c.args...).CombinedOutput()
		if err != nil || !strings.Contains(string(out), c.want) {
			t.Errorf("%v: %v, without %q:\n%s", c.args, err, c.want, out)
		}
	}
}

// withSpinner builds the program as if the spinner's files and rows were in the tree.
func withSpinner(t *testing.T, folder string, file func(name, text string) string) (program string) {
	t.Helper()
	house, err := filepath.Abs("../../..")
	if err != nil {
		t.Fatal(err)
	}
	replace := map[string]string{}
	for _, r := range spinnerRows {
		path := filepath.Join(house, r.file)
		source, err := os.ReadFile(path)
		if err != nil || strings.Count(string(source), r.behind) != 1 {
			t.Fatalf("%s has no row %q (%v)", r.file, r.behind, err)
		}
		replace[path] = file(strings.ReplaceAll(r.file, "/", "_"), strings.Replace(string(source), r.behind, r.behind+r.row,
			1))
	}
	from, err := filepath.Abs("testdata/spinner")
	if err != nil {
		t.Fatal(err)
	}
	err = filepath.WalkDir(from, func(path string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() {
			replace[filepath.Join(house, strings.TrimPrefix(path, from))] = path
		}
		return err
	})
	overlay, failed := json.Marshal(map[string]any{"Replace": replace})
	if err != nil || failed != nil || len(replace) != 8 {
		t.Fatalf("%d files: %v, %v", len(replace), err, failed)
	}
	program = filepath.Join(folder, "chalkfield.exe")
	build := exec.Command("go", "build", "-ldflags=-s -w", "-overlay", file("overlay.json", string(overlay)), "-o", program, "chalkfield")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return program
}
