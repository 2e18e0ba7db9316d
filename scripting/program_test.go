package scripting

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"

	"github.com/google/go-cmp/cmp"
)

func TestAProgramTellsWhatItIs(t *testing.T) {
	p := load(t, map[string]string{
		"routine.lua": `local lib = require "lib/gains"
local early = param("early", 1, 0, 2 * 1)
return routine {
  title = "near sled, then two cores",
  side = "ochre",
  start = {x = 1 * tile, y = 450, heading = 90},
  auto = function(bot) param("turn_gain", 0.11, -0.02, 0.4) lib() end,
}`,
		"lib/gains.lua": `return function() return param("lift_gain", 2, 1, 3) end`,
	})
	want := Program{
		Name: "routine.lua", Title: "near sled, then two cores", Side: "ochre", HasAuto: true,
		Start: &geom.Pose{X: 0.6, Y: 0.45, Heading: math.Pi / 2},
		Params: []Param{
			{Name: "turn_gain", Default: 0.11, Min: -0.02, Max: 0.4, Used: 0.11},
			{Name: "lift_gain", Default: 2, Min: 1, Max: 3, Used: 2}, {Name: "early", Default: 1, Min: 0, Max: 2, Used: 1},
		},
	}
	got := Program{Name: p.Name, Title: p.Title, Side: p.Side, HasAuto: p.HasAuto, HasDriver: p.HasDriver,
		Start: p.Start, Params: p.Params}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(Program{})); diff != "" {
		t.Error(diff)
	}
	if start, err := p.StartOn(0.5); err != nil || start.X != 0.5 {
		t.Errorf("with a tile of 500 mm the start is %v, %v", start, err)
	}
}

// The hash is over all files that the routine consists of.
func TestTheHashCoversTheModules(t *testing.T) {
	files := map[string]string{"routine.lua": `require "a" return routine { auto = function() end }`,
		"a.lua": "return 1", "b.lua": "return 1"}
	first := load(t, files).SHA256
	files["b.lua"] = "return 2"
	if load(t, files).SHA256 != first {
		t.Error("a file that is not required changes the hash")
	}
	files["a.lua"] = "return 2"
	if load(t, files).SHA256 == first {
		t.Error("a module does not change the hash")
	}
}

// Some editors put a byte order mark before the text: the routine is the same with and without.
func TestAByteOrderMarkIsSkipped(t *testing.T) {
	files := map[string]string{"routine.lua": `require "a" return routine { auto = function() note(1) end }`,
		"a.lua": "return 1"}
	plain := load(t, files)
	for name := range files {
		files[name] = "\ufeff" + files[name]
	}
	p := load(t, files)
	if p.SHA256 != plain.SHA256 {
		t.Error("the mark changes the hash")
	}
	s := stageOf(t, p, Env{})
	s.play(Auto, 1)
	if diff := cmp.Diff([]string{"1"}, s.notes()); diff != "" {
		t.Error(diff, s.failure())
	}
}

func TestModulesRunOncePerHost(t *testing.T) {
	p := load(t, map[string]string{
		"routine.lua": `local a, b = require "lib.a", require("lib/b")
return routine { auto = function(bot)
  note(a.n) note(b.a.n) a.n = a.n + 1 note(require("lib.a").n .. tostring(require "lib.none"))
end }`,
		"lib/a.lua":    `return {n = 1}`,
		"lib/b.lua":    `return {a = require "lib.a"}`,
		"lib/none.lua": `local x`,
	})
	for range 2 {
		s := stageOf(t, p, Env{})
		s.play(Auto, 1)
		if diff := cmp.Diff([]string{"1", "1", "2true"}, s.notes()); diff != "" || s.failure() != "" {
			t.Error(diff, s.failure())
		}
	}
}

func TestBadFilesAreRefused(t *testing.T) {
	valid := "return routine { auto = function() end }"
	for name, row := range map[string]struct {
		files map[string]string
		want  string
	}{
		"nothing": {map[string]string{"routine.lua": ""},
			"routine.lua: the file must end in: return routine { ... }"},
		"no return": {map[string]string{"routine.lua": "routine { auto = function() end }"},
			"routine.lua: the file must end in: return routine { ... }"},
		"another table": {map[string]string{"routine.lua": "return { auto = function() end }"}, "must end in"},
		"a syntax error": {map[string]string{"routine.lua": "return routine {\n  auto = functon() end }"},
			"routine.lua:2:22: syntax error near"},
		"an error at the top": {map[string]string{"routine.lua": "local x\nx.y = 1\n" + valid},
			`routine.lua:2: attempt to set "y" in x, which is nil`},
		"an endless loop": {map[string]string{"routine.lua": "while true do end " + valid},
			"routine.lua:1: more than 2000000 steps"},
		"an unknown setting": {map[string]string{"routine.lua": "return routine { auot = function() end }"},
			`routine.lua:1: routine: the routine has no "auot": write "auto" (known: auto, driver, side, start, title)`},
		"no function": {map[string]string{"routine.lua": "return routine { title = 'x' }"},
			"routine: has neither auto"},
		"auto of a number": {map[string]string{"routine.lua": "return routine { auto = 5 }"},
			"routine: auto must be a function, not a number"},
		"title of a number": {map[string]string{"routine.lua": "return routine { title = 5 }"},
			"routine: title must be a text, not a number"},
		"start of a number": {map[string]string{"routine.lua": "return routine { start = 5 }"},
			"routine: start must be a table such as {x = 600, y = 450, heading = 90}, not a number"},
		"start without heading": {map[string]string{"routine.lua": "return routine { start = {x = 1, y = 2} }"},
			"routine: start needs a heading"},
		"start of NaN": {map[string]string{"routine.lua": "return routine { start = {x = 0/0, y = 2, " +
			"heading = 0} }"}, "routine: start's x must be a finite number"},
		"routine of nothing": {map[string]string{"routine.lua": "return routine()"}, "routine: takes a table"},
		"a module above": {map[string]string{"routine.lua": "require '../x'\n" + valid, "../x.lua": ""},
			`routine.lua:1: require "../x": write the path of a .lua file in the routine's own folder`},
		"an absolute module": {map[string]string{"routine.lua": "require '/etc/passwd'\n" + valid},
			"write the path of a .lua file"},
		"a module with dots": {map[string]string{"routine.lua": "require 'a..b'\n" + valid},
			"write the path of a .lua file"},
		"a module with slashes": {map[string]string{"routine.lua": "require 'a\\\\b'\n" + valid},
			"write the path of a .lua file"},
		"an empty module name": {map[string]string{"routine.lua": "require ''\n" + valid}, "write the path of a .lua file"},
		"a missing module": {map[string]string{"routine.lua": "\nrequire 'arm'\n" + valid},
			`routine.lua:2: require "arm": no file arm.lua in the routine's folder`},
		"a broken module": {map[string]string{"routine.lua": "require 'arm'\n" + valid, "arm.lua": "\nlocal = 1"},
			`arm.lua:2:7: syntax error`},
		"a failing module": {map[string]string{"routine.lua": "require 'arm'\n" + valid,
			"arm.lua": "\nerror 'no arm'"}, `arm.lua:2: no arm`},
		"a module that loops": {map[string]string{"routine.lua": "require 'a'\n" + valid, "a.lua": "require 'b'",
			"b.lua": "require 'a'"}, `b.lua:1: require: "a" requires itself`},
		"a folder as a module": {map[string]string{"routine.lua": "require 'a'\n" + valid, "a.lua/x.lua": ""},
			"a.lua: not a file"},
		"a picture": {map[string]string{"routine.lua": "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR"},
			"routine.lua: this is not a text file: a routine is Lua text, saved as UTF-8"},
		"a picture as a module": {map[string]string{"routine.lua": "require 'arm'\n" + valid, "arm.lua": "\x89PNG\x00"},
			"arm.lua: this is not a text file"},
		"UTF-16": {map[string]string{"routine.lua": "\xff\xfer\x00e\x00"},
			"routine.lua: this is not a text file"},
		"an old encoding": {map[string]string{"routine.lua": "-- ok\n-- M\xfcller\n" + valid},
			"routine.lua:2: this is not a text file in UTF-8: save it as UTF-8"},
		"a file too long": {map[string]string{"routine.lua": strings.Repeat("-", 200_000)},
			"routine.lua: 200000 bytes are too many for a routine file: the limit is 131072"},
		"an error after a mark": {map[string]string{"routine.lua": "\ufefflocal = 1"}, "routine.lua:1:7: syntax error"},
		"a param with changed ends": {map[string]string{"routine.lua": "-- one\nparam('x', 500, 1200, 200)\n" + valid},
			`routine.lua:2: param: "x": the least value 1200 is above the greatest 200: the order is param(name, default, ` +
				`least, greatest), so write param("x", 500, 200, 1200)`},
		"a param in a function": {map[string]string{"routine.lua": "local function f()\nreturn param('x', 5, 0, 1)\nend\n" +
			valid},
			`routine.lua:2: param: "x": the default 5 must lie between 0 and 1`},
		"a param out of range": {map[string]string{"routine.lua": "param('x', 5, 0, 1)\n" + valid},
			"the default 5 must lie between 0 and 1"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := LoadFS(folder(row.files), "routine.lua")
			if err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("got  %v\nwant %q in it", err, row.want)
			}
		})
	}
	if _, err := LoadFS(folder(map[string]string{"routine.txt": valid}), "routine.txt"); err == nil ||
		!strings.Contains(err.Error(), "must end in .lua") {
		t.Errorf("a file of another kind: %v", err)
	}
}

// On a real disk: a missing file is recognisable, and no link leads out of the folder.
func TestFilesOnDisk(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	write("secret.lua", "return 42")
	good := write("inside/routine.lua", `require "lib/a" return routine { title = "on disk", auto = function() end }`)
	write("inside/lib/a.lua", "return 1")
	if p, err := Load(good); err != nil || p.Title != "on disk" {
		t.Errorf("got %v, %v", p, err)
	}
	if _, err := Load(filepath.Join(dir, "none.lua")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a missing file: %v", err)
	}
	if _, err := Load(filepath.Join(dir, "no", "folder", "none.lua")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a missing folder: %v", err)
	}
	lost := write("inside/lost.lua", "\nrequire \"lib/b\"")
	write("inside/lib/b.lua", "return require 'arm'")
	for routine, want := range map[string]string{
		write("inside/lone.lua", "\nrequire \"arm\""): `lone.lua:2: require "arm": no file arm.lua in the routine's folder`,
		lost: `lost.lua:2: require "lib/b": lib/b.lua:1: require "arm": no file arm.lua in the routine's folder`,
		write("inside/far.lua", `require "none.arm"`): `far.lua:1: require "none.arm": no file none/arm.lua in the ` +
			`routine's folder`,
	} {
		if _, err := Load(routine); err == nil || err.Error() != want || errors.Is(err, os.ErrNotExist) {
			t.Errorf("a missing module: %v\nwant %s, and not like a missing routine", err, want)
		}
	}
	if _, err := Load(filepath.Join(dir, "inside", "lib")); err == nil {
		t.Error("a folder is a routine")
	}
	if err := os.Symlink(filepath.Join(dir, "secret.lua"), filepath.Join(dir, "inside", "link.lua")); err != nil {
		t.Skip("no symbolic links here")
	}
	bad := write("inside/bad.lua", `require "link" return routine { auto = function() end }`)
	if _, err := Load(bad); err == nil || !strings.Contains(err.Error(), "link.lua") {
		t.Errorf("a link that leads out of the folder: %v", err)
	}
}

func TestParamsComeFromOutside(t *testing.T) {
	p := load(t, auto(`note(param("gain", 0.5, 0, 1)) note(param("gain", 0.5, 0, 1)) note(param("other", 1, 0, 2))`))
	s := stageOf(t, p, Env{Params: map[string]float64{"gain": 0.75, "unknown": 3}})
	s.play(Auto, 1)
	if diff := cmp.Diff([]string{"0.75", "0.75", "1"}, s.notes()); diff != "" {
		t.Error(diff)
	}
	want := []Param{{Name: "gain", Default: 0.5, Max: 1, Used: 0.75}, {Name: "other", Default: 1, Max: 2, Used: 1}}
	if diff := cmp.Diff(want, s.Params()); diff != "" {
		t.Error(diff)
	}
	for _, bad := range []float64{1.5, -1, math.NaN(), math.Inf(1)} {
		s := stageOf(t, p, Env{Params: map[string]float64{"gain": bad}})
		s.play(Auto, 1)
		if !strings.Contains(s.failure(), "which is not between 0 and 1") {
			t.Errorf("%g: %q", bad, s.failure())
		}
	}
}
