package lesson

import (
	"context"
	"strings"
	"testing"

	"chalkfield/internal/app/check"
)

// keeping is a lesson whose answer is a check file.
var keeping = []string{
	`lesson.toml: title = "Keep it"
learn = "To write a check"
minutes = 5
kind = "check"
nominal = true
[judged]
holds = "good.lua"
falls_short = ["spoilt.lua"]
[[steps]]
done = { end = { at = ["1.2 m", "600 mm"] } }
[[hints]]
after = 1
wrong = "wrong_1.check.toml"
fails = "spoilt.lua"
[[hints]]
after = 1
wrong = "wrong_2.check.toml"
fails = "good.lua"
`,
	"text.md: # Keep it\n\nA check.\n\n## Write it\n\nDo.\n\n## Where this comes from\n\nCommon practice, no source.\n",
	"hints.md: ## Loose\n\nTighter.\n\n## Strict\n\nLooser.\n",
	"start.check.toml: " + checking("within = '900 mm'"), "solution.check.toml: " + checking("within = '50 mm'"),
	"wrong_1.check.toml: " + checking("within = '500 mm'"), "wrong_2.check.toml: " + checking("within = '0.01 mm'"),
	"good.lua: " + ahead("600"), "spoilt.lua: " + ahead("300"), "pass.check.toml: ", "start.lua: ", "solution.lua: ",
}

func checking(within string) string {
	return "routine = 'good.lua'\nfield = 'practice_yard'\nrobot = 'hauler'\n[[cases]]\nname = 'at the " +
		"mark'\nnominal = true\n" +
		"end = { at = ['1.2 m', '600 mm'], " + within + " }\n"
}

func ahead(mm string) string {
	return "return routine { start = {x = 600, y = 600, heading = 0},\n  auto = function(bot) bot.drive:ahead(" + mm +
		") end }"
}

func TestACheckIsJudgedByWhatItSaysOfRoutines(t *testing.T) {
	l := read(t, keeping...)
	for _, p := range l.Proofs() {
		if j, err := l.Prove(context.Background(), Judging{}, p); err != nil || j.State != check.Held {
			t.Errorf("%s: %+v, %v", p.Name, j, err)
		}
	}
	for _, c := range []struct{ file, marks, happened string }{
		{"solution.check.toml", "yy", ""}, {"start.check.toml", "yn", "all of its cases held"},
		{"wrong_2.check.toml", "ny", "it wants: ends within 0.01 mm"},
	} {
		m := judge(t, l, c.file)
		held, happened := "", ""
		for _, one := range m.List {
			held += map[bool]string{true: "y", false: "n"}[one.Held]
			happened += one.Happened
		}
		if held != c.marks || m.Passed != (c.marks == "yy") || !strings.HasPrefix(happened, c.happened) {
			t.Errorf("%s: %s, %q, passed %v", c.file, held, happened, m.Passed)
		}
	}
	a, err := l.answer("solution.check.toml")
	if err != nil {
		t.Fatal(err)
	}
	a.Check = "routine = 'good.lua'\n[[cases]]\nname = 'x'\nscore_at_lest = 3\n"
	if _, err := l.Judge(context.Background(), Judging{}, a); err == nil ||
		!strings.Contains(err.Error(), `solution.check.toml:4:1: cases[0].score_at_lest: there is no key`) {
		t.Error(err)
	}
}

func TestALessonAboutChecksIsRefusedWhereItsFilesAreNot(t *testing.T) {
	for _, c := range []struct{ change, want string }{
		{"lesson.toml: [\"spoilt.lua\"] -> [\"bad.lua\"]", "judged.falls_short[0]: there is no file bad.lua"},
		{"lesson.toml: fails = \"good.lua\" -> fails = \"at the mark\"", `hints[1].fails: "at the mark" is no file that`},
		{"start.check.toml: practice_yard -> field.toml", "start.check.toml:2:9: field: there is no file field.toml"},
	} {
		_, err := Read(example(t, append(append([]string{}, keeping...), c.change)...), "class/keep")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s\n got %v\nwant %s", c.change, err, c.want)
		}
	}
}
