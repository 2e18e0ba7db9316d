package command

import (
	"encoding/json"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
)

// addedRows are all that a kind of mechanism and one of sensor need beside their files: a row behind the last in each
// table.
var addedRows = []struct{ file, behind, row string }{
	{"sim/robot/part.go", "\tLift     *Lift     `toml:\"lift\"`\n", "Spinner *Spinner `toml:\"spinner\"`\n"},
	{"sim/parts.go", "robot.KindLift: newLift,", "robot.KindSpinner: newSpinner,"},
	{"scripting/parts.go", "robot.KindLift: liftCalls,", "robot.KindSpinner: spinnerCalls,"},
	{"render/scene/kinds.go", "robot.KindLift: liftKind,", "robot.KindSpinner: spinnerKind,"},

	{"sim/robot/sensor.go", "\tBumper   *BumperSensor   `toml:\"bumper\"`\n",
		"Volt *VoltmeterSensor `toml:\"voltmeter\"`\n"},
	{"sim/sensors.go", "float64 { return s.part.(*lift).at },",
		"robot.Voltmeter: func(r *Robot, _ *sensor) float64 { return r.battery.Terminal() },"},
	{"scripting/sensors.go", "robot.Bumper:   {\"pressed\", nil, \"whether it is pressed (`read()`: 1 or 0)\"},\n",
		"robot.Voltmeter: {\"volts\", func(*Host, robot.Sensor) float64 { return 1 }, \"V of the battery\"},\n"},
	{"render/scene/sensors.go", "robot.Optical:  {value: is(truths), place: (*drawing).opticalPlace},",
		"robot.Voltmeter: {value: is(Value{Unit: \"V\", Scale: 1})},"},
}

const addedRoutine = `return routine { side = "ochre", start = {x = 600, y = 450, heading = 0}, auto = function(bot)
  bot.spinner:run(6) wait(1)
  note("rim " .. math.floor(bot.spinner:speed()) .. " mm/s")
  note("it reads " .. math.abs(bot.sense.meter:volts() - bot.battery()))
end }
`

// A mechanism is added by a file in sim/robot, sim, scripting and render/scene and a row each, a sensor by a file in
// sim/robot and a row each (DEVELOPERS.md): with these and no other change the program reads a spinner and a voltmeter
// from a robot file, turns and reads them, offers them to routines, draws and describes them. `go test ./...` only
// compiles the layers with them.
func TestAMechanismOrSensorIsAFileAndARowALayer(t *testing.T) {
	folder := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	program := withAdded(t, folder, file)
	if program == "" {
		return
	}
	hauler, err := os.ReadFile("../../../assets/robots/hauler.toml")
	if err != nil {
		t.Fatal(err)
	}
	machine := file("machine.toml", string(hauler)+"\n[[parts]]\nname = \"spinner\"\n[parts.spinner]\nradius "+
		"= \"40 mm\"\n[[sensors]]\nname = \"meter\"\n[sensors.voltmeter]\n")
	picture, routine := filepath.Join(folder, "run.svg"), file("spin.lua", addedRoutine)
	for _, c := range []struct {
		want string
		args []string
	}{
		{"bot.spinner: spinner, a disc of 80 mm", []string{"show", machine}},
		{"bot.spinner:run(volts)           turns the disc", []string{"show", machine, "--calls"}},
		{"bot.sense.meter:volts()          V of the battery", []string{"show", machine, "--calls"}},
		{"bot.sense.meter: voltmeter", []string{"show", machine}},
		{"", []string{"show", machine, "--picture", picture}},
		// The motor line (I R = V - k w, k = 12 V (1 - 0.2 A/4 A) / 480 rpm): at its free current 6 V turn it at 23.8 rad/s,
		// 952 mm/s.
		{"rim 9", []string{"run", routine, "--robot", machine, "--nominal", "--picture", picture}},
		{"it reads 0  ", []string{"run", routine, "--robot", machine, "--nominal"}},
	} {
		out, err := exec.Command(program, c.args...).CombinedOutput()
		if err != nil || !strings.Contains(string(out), c.want) {
			t.Errorf("%v: %v, without %q:\n%s", c.args, err, c.want, out)
		}
	}
}

// withAdded builds the program as if the added files and rows were in the tree, or no more than their packages: then
// there is no program.
func withAdded(t *testing.T, folder string, file func(name, text string) string) (program string) {
	t.Helper()
	house, err := filepath.Abs("../../..")
	if err != nil {
		t.Fatal(err)
	}
	replace := map[string]string{}
	for _, r := range addedRows {
		at := filepath.Join(house, r.file)
		source, err := os.ReadFile(at)
		if err != nil || strings.Count(string(source), r.behind) != 1 {
			t.Fatalf("%s has no row %q (%v)", r.file, r.behind, err)
		}
		changed := strings.Replace(string(source), r.behind, r.behind+r.row, 1)
		replace[at] = file(strings.ReplaceAll(r.file, "/", "_"), changed)
	}
	from, err := filepath.Abs("testdata/added")
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
	if err != nil || failed != nil || len(replace) != len(addedRows)+5 {
		t.Fatalf("%d files: %v, %v", len(replace), err, failed)
	}
	args := []string{"build", "-overlay", file("overlay.json", string(overlay))}
	if property.Cases(0, 1) == 1 {
		program = filepath.Join(folder, "chalkfield.exe")
		args = append(args, "-ldflags=-s -w", "-o", program, "chalkfield")
	} else {
		for _, r := range addedRows {
			args = append(args, "chalkfield/"+path.Dir(r.file))
		}
	}
	build := exec.Command("go", args...)
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return program
}
