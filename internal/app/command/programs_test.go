package command

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/internal/app/program"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/render/window/viewmodel"
)

// languages are what the tests need of each language, and how its demo is built.
var languages = map[string]struct{ tools, build, run []string }{
	"python": {[]string{"python3"}, nil, []string{"python3", "demo.py"}},
	"cpp": {[]string{"g++"}, strings.Fields("g++ -std=c++17 -O1 -Wall -Wextra -Werror -o demo demo.cpp"),
		[]string{"./demo"}},
	"java": {[]string{"javac", "java"},
		strings.Fields("javac --release 11 -Xlint:all -Werror -d build Chalkfield.java Demo.java"),
		[]string{"java", "-cp", "build", "Demo"}},
}

// needs skips a test whose tools are not there, loudly: .ci/run fails on it. A Java machine that lives for seconds is
// not worth its second compiler.
func needs(t *testing.T, tools ...string) {
	t.Helper()
	t.Setenv("JAVA_TOOL_OPTIONS", "-XX:TieredStopAtLevel=1 -XX:+UseSerialGC")
	for _, tool := range tools {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("PROGRAM TEST SKIPPED: there is no %s", tool)
		}
	}
}

// clients is a folder with all that there is in a language.
func clients(t *testing.T, language string) (folder string) {
	t.Helper()
	needs(t, languages[language].tools...)
	folder = t.TempDir()
	files, err := fs.Sub(assets.Programs, language)
	if err == nil {
		err = os.CopyFS(folder, files)
	}
	if err != nil {
		t.Fatal(err)
	}
	return folder
}

// built is a folder with a language's demo, built.
func built(t *testing.T, language string) (folder string) {
	t.Helper()
	folder = clients(t, language)
	if build := languages[language].build; build != nil {
		make := exec.Command(build[0], build[1:]...)
		make.Dir = folder
		if out, err := make.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
	}
	return folder
}

// happenings are what a record tells without the places in a routine's text, which a program does not have.
func happenings(rec *record.Record) (list []record.Event) {
	for _, e := range rec.Events {
		e.File, e.Line, e.Task = "", 0, 0
		if e.Kind != record.TaskStart && e.Kind != record.TaskEnd {
			list = append(list, e)
		}
	}
	return list
}

// The demo in each language does what the Lua demo does, event by event, and the same each time.
func TestTheDemoInEachLanguage(t *testing.T) {
	lua, err := inputs{}.load()
	if err != nil {
		t.Fatal(err)
	}
	wanted := map[bool][]record.Event{}
	for _, nominal := range []bool{true, false} {
		lua.Nominal, lua.Seed = nominal, 5
		rec, err := rehearse.Run(context.Background(), lua)
		if err != nil {
			t.Fatal(err)
		}
		wanted[nominal] = happenings(rec)
	}
	for language, with := range languages {
		t.Run(language, func(t *testing.T) {
			folder := built(t, language)
			owner := program.NewOwner()
			defer owner.Close()
			in := inputs{outside: outside{Program: strings.Join(with.run, " "), dir: folder, programs: owner,
				Patience: 20 * program.Patience}}
			setup, err := in.load()
			if err != nil {
				t.Fatal(err)
			}
			prints, runs := map[string]bool{}, property.Cases(2, 20)
			if language == "python" { // it starts at once
				runs = property.Cases(3, 20)
			}
			for i := range runs {
				setup.Nominal, setup.Seed = i == 0, 5
				rec, err := rehearse.Run(context.Background(), setup)
				if err != nil {
					t.Fatal(err)
				}
				if !slices.EqualFunc(happenings(rec), wanted[setup.Nominal], sameEvent) {
					t.Fatalf("nominal %v: it does not do what the Lua demo does: it has %v", setup.Nominal, rec.Sheet.Total)
				}
				if print, _ := rec.Fingerprint(); i > 0 {
					prints[print] = true
				}
				if i == 0 {
					placed(t, folder, rec)
				}
			}
			if len(prints) != 1 {
				t.Errorf("%d rehearsals with one seed have %d fingerprints", runs-1, len(prints))
			}
		})
	}
}

// placed holds a program's lines to its text: a motion is told at a line that has its call, and while the robot is at
// work the samples have a line that is not empty.
func placed(t *testing.T, folder string, rec *record.Record) {
	t.Helper()
	texts := map[string][]string{}
	lineOf := func(file string, line int) string {
		if texts[file] == nil {
			text, err := os.ReadFile(filepath.Join(folder, file))
			if err != nil {
				t.Fatal(err)
			}
			texts[file] = strings.Split(string(text), "\n")
		}
		if line < 1 || line > len(texts[file]) {
			return ""
		}
		return texts[file][line-1]
	}
	motions := 0
	for _, e := range rec.Events {
		if e.Kind == record.MotionStart {
			if motions++; !strings.Contains(lineOf(e.File, e.Line), "drive."+e.What+"(") {
				t.Errorf("%s at %.2f s is told at %s:%d: %q", e.What, e.T, e.File, e.Line, lineOf(e.File, e.Line))
			}
		}
	}
	for _, s := range rec.Samples {
		file, line, ended := rec.Standing(0, s.T)
		if s.T > 0 && !ended && strings.TrimSpace(lineOf(file, line)) == "" {
			t.Fatalf("at %.2f s it stands at %s:%d", s.T, file, line)
		}
	}
	if motions < 10 {
		t.Errorf("%d motions", motions)
	}
}

func sameEvent(a, b record.Event) bool { return reflect.DeepEqual(a, b) }

// The window loads a program as it loads a routine, with its text for reading; a routine that is opened takes its
// place.
func TestTheWindowLoadsAProgram(t *testing.T) {
	folder := built(t, "python")
	owner := program.NewOwner()
	defer owner.Close()
	open := openCommand{inputs: inputs{outside: outside{Program: "python3 demo.py", dir: folder, programs: owner,
		Patience: 20 * program.Patience}}}
	loaded, err := open.loadFor(viewmodel.Files{})
	if err != nil {
		t.Fatal(err)
	}
	if e := loaded.Setup.Entrants[0]; !e.Routine.Foreign() ||
		loaded.Source.Name != "demo.py" || loaded.Source.Path != "" ||
		!slices.Contains(loaded.Watch, filepath.Join(folder, "demo.py")) {
		t.Errorf("it loads %s with the text of %q and watches %v", e.Routine.Name, loaded.Source.Name, loaded.Watch)
	}
	loaded, err = open.loadFor(viewmodel.Files{Routine: demoRoutine})
	if err != nil || loaded.Setup.Entrants[0].Routine.Foreign() || loaded.Source.Name == "" {
		t.Errorf("then it loads %+v, %v", loaded.Setup.Entrants[0].Routine, err)
	}
}

// A new project with a program builds by the line that it is given, and its check holds. What is compiled takes
// seconds: in `go test ./...` TestTheDemoInEachLanguage alone builds it.
func TestANewProgramWorks(t *testing.T) {
	for _, l := range assets.Languages {
		if l.Build != "" && property.Cases(0, 1) == 0 {
			continue
		}
		t.Run(l.Name, func(t *testing.T) {
			needs(t, languages[l.Name].tools...)
			folder := filepath.Join(t.TempDir(), "my bot")
			var out bytes.Buffer
			if code := Main([]string{"new", folder, "--program", l.Name}, &out, &out); code != held {
				t.Fatal(out.String())
			}
			if build := strings.Fields(l.Build); len(build) > 0 {
				make := exec.Command(build[0], build[1:]...)
				make.Dir = folder
				if said, err := make.CombinedOutput(); err != nil {
					t.Fatalf("%v: %s", err, said)
				}
			}
			if !strings.Contains(out.String(), "Next: cd ") || !strings.Contains(out.String(), l.Build) {
				t.Errorf("it says %s", out.String())
			}
			out.Reset()
			if code := Main([]string{"check", folder, "--allow-programs"}, &out, &out); code != held {
				t.Error(out.String())
			}
			readme, err := os.ReadFile(filepath.Join(folder, "README.md"))
			if err != nil || !strings.Contains(string(readme), `--program "`+l.Command+`"`) {
				t.Errorf("its README has %s, %v", readme, err)
			}
		})
	}
}

// validator is a JSON Schema validator that is not ours: what was said, line by line, is held to the schema.
const validator = `
import json, sys, jsonschema
schema = json.load(open(sys.argv[1]))
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
seen = {}
for path in sys.argv[2:]:
    lines = open(path).readlines()
    for line in lines[:50] + lines[50::50] + lines[-5:]:  # there are thousands of ticks alike
        message = json.loads(line)
        validator.validate(message)
        kind = message.get("message") or message["answer"]
        seen[kind] = seen.get(kind, 0) + 1
for wrong in ({"answer": "commands"}, {"message": "tick"}, {"answer": "commands", "to": 1, "comands": []}, {}):
    assert not validator.is_valid(wrong), wrong
print(" ".join(sorted(seen)))
`

// sorter looks at a crate on its belt and at the marks around.
const sorter = `
import chalkfield

def auto(bot):
    bot.intake.run(7)
    bot.belt.run(2.2)
    bot.drive.ahead(-320, speed=350)
    bot.belt.hold()
    bot.until(lambda: bot.sense.eye(), 2)
    bot.note("%s of %s" % (bot.sense.eye.kind(), bot.sense.eye.side()))
    bot.drive.face(-140)
    bot.wait(0.3)
    bot.note(bot.sense.camera.seen())
    bot.note(bot.sense.camera.see("azure pole"))

chalkfield.play(auto=auto, side="amber", start=(700, 600, 180))
`

// Every message of a match, of both phases, is as the schema says; few cases are a short driver period.
func TestTheMessagesAreAsTheirSchemaSays(t *testing.T) {
	needs(t, "python3", "sh", "tee")
	if exec.Command("python3", "-c", "import jsonschema; jsonschema.Draft202012Validator").Run() != nil {
		t.Skip("PROGRAM TEST SKIPPED: python3 has no module jsonschema")
	}
	folder := built(t, "python")
	field, err := os.ReadFile("../../../fields/core_haul.toml")
	if err != nil {
		t.Fatal(err)
	}
	whole, period := `length = "100 s"`, fmt.Sprintf(`length = "%d s"`, property.Cases(4, 100))
	if !strings.Contains(string(field), whole) {
		t.Fatal("the driver period of Core Haul is not 100 s long")
	}
	for name, text := range map[string]string{
		"field.toml":  strings.Replace(string(field), whole, period, 1),
		"pad.csv":     "time,left_x,left_y,right_x,right_y,buttons\n20,0,0.8,0,0,\n22,0,0,0.3,0,b+a\n23,0,0,0,0,\n",
		"sort.py":     sorter,
		"validate.py": validator, "schema.json": string(assets.Messages),
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(folder)
	var out bytes.Buffer
	if code := Main([]string{"run", "--program", `sh -c "tee heard.jsonl | python3 demo.py | tee said.jsonl"`, "--field",
		"field.toml", "--session", "match", "--pad", "pad.csv", "--patience", "20s"}, &out, &out); code != held {
		t.Fatal(out.String())
	}
	out.Reset()
	if code := Main([]string{"run", "--program", `sh -c "tee heard2.jsonl | python3 sort.py"`, "--robot", "sifter",
		"--field", "sorting_yard", "--nominal", "--patience", "20s"}, &out, &out); code != held {
		t.Fatal(out.String())
	}
	for _, want := range []string{"note: crate of amber", "note: .amber pole, 10.. mm away at -1.* deg", "note: None"} {
		if !regexp.MustCompile(want).Match(out.Bytes()) {
			t.Errorf("no %q in\n%s", want, out.String())
		}
	}
	validate := exec.Command("python3", "validate.py", "schema.json", "heard.jsonl", "said.jsonl", "heard2.jsonl")
	said, err := validate.CombinedOutput()
	if err != nil || strings.TrimSpace(string(said)) != "begin commands end hello ready tick" {
		t.Errorf("%v: %s", err, said)
	}
}

// A wrong name is told with those that there are, where the language knows at the program's own line; in C++ in
// .ci/run.
func TestAWrongNameIsToldWithTheRightOnes(t *testing.T) {
	for name, c := range map[string]struct{ language, file, text, want string }{
		"python part":   {"python", "bad.py", "bot.clav.stop()", "bad.py:3: .*no 'clav': it has drive, .*intake"},
		"python sensor": {"python", "bad.py", "bot.sense.frond()", "bad.py:3: .*no sensor 'frond': there is .*chute"},
		"python param":  {"python", "bad.py", `bot.param("x")`, "bad.py:3: .*no parameter 'x': it was of speed"},
		"python NaN":    {"python", "bad.py", `bot.drive.ahead(float("nan"))`, "bad.py:3: .*drive.ahead: a number is nan"},
		"python look":   {"python", "bad.py", "bot.sense.front.kind()", "bad.py:3: .*front does not tell its 'kind'"},
		"python wait":   {"python", "bad.py", `bot.wait(-1)`, "bad.py:3: .*wait: for -1 s: write 0 or more"},
		"c++ part":      {"cpp", "bad.cpp", `bot["clav"].tell("stop");`, `the robot has no "clav": it has .*intake`},
		"c++ NaN": {"cpp", "bad.cpp", `bot.drive.volts(1, std::nan(""));`,
			`drive.volts: value 2 is null, not a number`},
		"c++ sensor": {"cpp", "bad.cpp", `bot.sense("frond");`, `there is no "frond" here: there is .*chute`},
	} {
		if c.language == "cpp" && property.Cases(0, 1) == 0 {
			continue // it is built for seconds
		}
		t.Run(name, func(t *testing.T) {
			folder := clients(t, c.language)
			text, command := "import chalkfield\ndef auto(bot):\n    "+c.text+"\nchalkfield.play(auto=auto, "+
				"side=\"ochre\", start=(600, 450, 90), params=[(\"speed\", 5, 1, 9)])\n", "python3 bad.py"
			if c.language == "cpp" {
				text, command = "#include \"chalkfield.hpp\"\nint main() { chalkfield::Program p;\n"+
					"p.autonomous = [](chalkfield::Bot& bot) { "+c.text+" };\np.start = {600, 450, 90}; return p.play(); }\n", "./bad"
			}
			if err := os.WriteFile(filepath.Join(folder, c.file), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
			t.Chdir(folder)
			if c.language == "cpp" {
				if said, err := exec.Command("g++", "-std=c++17", "-o", "bad", "bad.cpp").CombinedOutput(); err != nil {
					t.Fatalf("%v: %s", err, said)
				}
			}
			var out, errs bytes.Buffer
			code := Main([]string{"run", "--program", command, "--patience", "20s"}, &out, &errs)
			if code != fellShort || !regexp.MustCompile("failed at .*"+c.want).Match(errs.Bytes()) {
				t.Errorf("%d, %s, want %s", code, errs.String(), c.want)
			}
		})
	}
}
