package lesson

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"chalkfield/assets"
)

// example is the lesson that `chalkfield new --lesson` writes, with some files changed: "file: old -> new"; without old
// the whole file, without both it is away.
func example(t *testing.T, changes ...string) fstest.MapFS {
	t.Helper()
	sub, err := fs.Sub(assets.Templates, "lesson")
	if err != nil {
		t.Fatal(err)
	}
	files := fstest.MapFS{}
	entries, err := fs.ReadDir(sub, ".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		data, err := fs.ReadFile(sub, e.Name())
		if err != nil {
			t.Fatal(err)
		}
		files[e.Name()] = &fstest.MapFile{Data: data}
	}
	for _, c := range changes {
		name, change, _ := strings.Cut(c, ": ")
		old, new, is := strings.Cut(change, " -> ")
		switch {
		case change == "":
			delete(files, name)
		case !is:
			files[name] = &fstest.MapFile{Data: []byte(change)}
		case !strings.Contains(string(files[name].Data), old):
			t.Fatalf("%s has no %q", name, old)
		default:
			files[name] = &fstest.MapFile{Data: []byte(strings.Replace(string(files[name].Data), old, new, 1))}
		}
	}
	return files
}

func read(t *testing.T, changes ...string) *Lesson {
	t.Helper()
	l, err := Read(example(t, changes...), "class/mark")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestALessonIsReadWhole(t *testing.T) {
	l := read(t)
	if l.Name != "mark" || l.Title != "Stop on the mark" || l.Minutes != 5 || l.Kind != Routine || !l.Nominal ||
		len(l.Steps) != 2 || len(l.Hints) != 2 || len(l.Further) != 2 {
		t.Errorf("%+v", l)
	}
	if !strings.HasPrefix(l.Opening, "The robot stands") || l.Steps[1].Title != "Reach the mark" ||
		!strings.HasPrefix(l.Steps[1].Text, "The robot stops") || l.Hints[0].Title != "Which way is ahead?" ||
		l.Further[1].Title != realRobot {
		t.Errorf("texts: %q, %+v, %+v, %+v", l.Opening, l.Steps, l.Hints, l.Further)
	}
	if l.Setup(Answer{}).Field.Name != "practice_yard.toml" {
		t.Error("not on the field of its check")
	}
}

// Who mends a sentence leaves the progress of learners; who changes what passes does not.
func TestTheHashIsOfWhatDecides(t *testing.T) {
	same := read(t).Hash
	for change, stays := range map[string]bool{
		"text.md: The mark -> Look: the mark": true, "hints.md: lies ahead -> is ahead": true, "more.txt: a note": true,
		`pass.check.toml: done_before = "4 s" -> done_before = "3 s"`: false, "start.lua: 300 -> 200": false,
	} {
		if got := read(t, change).Hash; (got == same) != stays {
			t.Errorf("%s: the hash stays: %v, want %v", change, got == same, stays)
		}
	}
}

func TestAWrongLessonIsRefusedWithItsPlaceAndRemedy(t *testing.T) {
	for _, c := range []struct{ change, want string }{
		{"lesson.toml: ", "class/mark/lesson.toml: there is no such file: `chalkfield new my_lesson --lesson` writes"},
		{"lesson.toml: title = -> titel =", `lesson.toml:4:1: titel: there is no key "titel" here: write "title"`},
		{"lesson.toml: minutes = 5 -> minutes = 25", "minutes: 25 is out of range: write a whole number from 1 to 10"},
		{"lesson.toml: after = [] -> kind = 'quiz'", `kind: "quiz"`},
		{"lesson.toml: after = [] -> kind = 'course'", "kind: a lesson of this kind has [course]: write it"},
		{"lesson.toml: after = [] -> kind = 'check'", "kind: a lesson of this kind has [judged]: write it"},
		{"lesson.toml: stars = [ -> stars = ['quick', ", `stars[0]: "quick" is no case of pass.check.toml: write one of `},
		{"lesson.toml: stars = [ -> stars = ['stops on the mark', ", "all cases are stars, so everything passes"},
		{"lesson.toml: picture = \"end\" -> picture = \"soon\"", `steps[1].picture: "soon" is no time of the run`},
		{"lesson.toml: done = { end = { at = [\"1.2 m\", \"600 mm\"], within = \"20 mm\" } } -> done = {}",
			"steps[1].done: it expects nothing"},
		{"lesson.toml: wrong_1.lua -> wrong_3.lua", `hints[0].wrong: there is no file wrong_3.lua in class/mark: write ` +
			`"wrong_1.lua"`},
		{"lesson.toml: fails = \"stops on -> fails = \"stop on", `hints[0].fails: "stop on the mark" is no case of ` +
			`pass.check.toml: write "stops on the mark"`},
		{"lesson.toml: missing = \"end\" -> missing = \"edn\"", `hints[0].missing: "edn" is no key of an expectation`},
		{"lesson.toml: missing = \"end\" -> ", "hints[0].missing: write the key of the expectation"},
		{"lesson.toml: after = 2 -> after = 0", "hints[1].after: hints open one after the other: write 1 or more"},
		{"lesson.toml: [[hints]] -> [judged]\nholds = 'a'\nfalls_short = []\n[[hints]]", `[judged] is for kind = "check"`},
		{"text.md: ", "class/mark/text.md: there is no such file: write"},
		{"text.md: # Stop -> Stop", `class/mark/text.md:1: the text begins with its title: write "# Stop on the mark"`},
		{"text.md: The robot stands at the left. The mark is 600 mm ahead of it. Your robot is to stop on it. -> ",
			"class/mark/text.md:1: write one to three sentences"},
		{"text.md: ## Reach -> ### Reach", "lesson.toml:18:3: steps[1]: it has no section in text.md: write"},
		{"text.md: ## Where this -> ## One more\n\nText.\n\n## Where this",
			`class/mark/text.md:14: "## One more" has no [[steps]] in lesson.toml`},
		{"text.md: ## Where this -> ## From where this", `the last section, but for "## On the real robot", is`},
		{"text.md: The robot stops too early. Which number must stand in the brackets? Write it, and run again. -> ",
			`class/mark/text.md:10: nothing stands under "## Reach the mark"`},
		{"hints.md: ", "class/mark/hints.md: there is no such file"},
		{"hints.md: ## Too -> ### Too", "hints[1]: it has no section in hints.md"},
		{"pass.check.toml: ", "class/mark/pass.check.toml: there is no such file: write a check file with routine = "},
		{"pass.check.toml: \"start.lua\" -> \"mine.lua\"", `pass.check.toml:4:11: routine: an answer takes the place`},
		{"pass.check.toml: \"practice_yard\" -> \"field.toml\"", `pass.check.toml:5:9: field: there is no file ` +
			`field.toml in `},
		{"pass.check.toml: \"practice_yard\" -> \"practise_yard\"", `pass.check.toml:5:9: field: there is no embedded field`},
		{"pass.check.toml: \"hauler\" -> \"haulier\"", `pass.check.toml:6:9: robot: no robot named "haulier" comes ` +
			`with the program`},
		{"pass.check.toml: robot = -> opponents = ['other.lua']\nrobot =", "the field has only one side"},
		{"pass.check.toml: robot = -> partner = 'other.lua'\nrobot =", "there is no other.lua"},
		{"pass.check.toml: robot = -> session = 'night'\nrobot =", "night"},
		{"pass.check.toml: robot = -> params = { a = 1 }\nrobot =", "leave params out"},
		{"pass.check.toml: done_before -> golden = 'g'\ndone_before", "a lesson has no golden record"},
		{"pass.check.toml: done_before -> don_before", `there is no key "don_before"`},
		{"start.lua: ", "class/mark/start.lua: there is no such file"},
		{"solution.lua: ", "class/mark/solution.lua: there is no such file"},
	} {
		_, err := Read(example(t, c.change), "class/mark")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s\n got %v\nwant %s", c.change, err, c.want)
		}
	}
}

func TestListsAreInTheirOrder(t *testing.T) {
	class := func(order string, after map[string]string) fstest.MapFS {
		all := fstest.MapFS{}
		for name, before := range after {
			for file, data := range example(t, "lesson.toml: after = [] -> after = ["+before+"]") {
				all[name+"/"+file] = data
			}
		}
		if order != "" {
			all["list.toml"] = &fstest.MapFile{Data: []byte(order)}
		}
		return all
	}
	three := map[string]string{"a": "'c'", "b": "", "c": "'b', 'elsewhere'"}
	for _, c := range []struct {
		order string
		after map[string]string
		want  string // names, or a part of the error
	}{
		{"", three, "b c a"},
		{"lessons = ['a', 'b']", three, "a b"},
		{"lessons = ['a', 'd']", three, `class/list.toml:1:17: lessons[1]: "d" is no folder here with lesson.toml`},
		{"lessons = ['a', 'a']", three, `"a" is in the list already`},
		{"lesons = []", three, `write "lessons"`},
		{"", map[string]string{"a": "'b'", "b": "'a'"}, "class/a/lesson.toml, class/b/lesson.toml: each is to come after"},
	} {
		lessons, err := list(class(c.order, c.after), "class")
		var names []string
		for _, l := range lessons {
			names = append(names, l.Name)
		}
		got := strings.Join(names, " ")
		if err != nil {
			got = err.Error()
		}
		if got != c.want && (err == nil || !strings.Contains(got, c.want)) {
			t.Errorf("%q, %v: got %s, want %s", c.order, c.after, got, c.want)
		}
	}
}

func TestALessonThatCannotBeReadLeavesTheOthers(t *testing.T) {
	all := fstest.MapFS{}
	for file, data := range example(t) {
		all["good/"+file] = data
		if file != text {
			all["bad/"+file] = data
		}
	}
	lessons, err := list(all, "class")
	if len(lessons) != 1 || err == nil || !strings.Contains(err.Error(), "class/bad/text.md: there is no such file") {
		t.Errorf("%d lessons, error %v", len(lessons), err)
	}
}
