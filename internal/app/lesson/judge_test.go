package lesson

import (
	"context"
	"strings"
	"testing"

	"chalkfield/internal/app/check"
	"chalkfield/internal/app/rehearse"
)

func judge(t *testing.T, l *Lesson, file string) *Marks {
	t.Helper()
	a, err := l.answer(file)
	if err != nil {
		t.Fatal(err)
	}
	m, err := l.Judge(context.Background(), Judging{}, a)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestAnAnswerIsToldItsMarks(t *testing.T) {
	l := read(t, "wrong_2.lua: 100} -> 500}", "pass.check.toml: done_before = \"2 s\" -> done_before = \"1.1 s\"")
	for _, c := range []struct {
		file  string
		held  string // a letter a mark
		stars int
	}{{"start.lua", "ynnn", 0}, {"wrong_1.lua", "ynyn", 0}, {"solution.lua", "yyyy", 2}, {"wrong_2.lua", "yyny", 1}} {
		m := judge(t, l, c.file)
		held := ""
		for _, one := range m.List {
			held += map[bool]string{true: "y", false: "n"}[one.Held]
			if one.Expected == "" || (one.Happened == "") != one.Held || one.Star != (one.Case == "in under two seconds") {
				t.Errorf("%s: %+v", c.file, one)
			}
		}
		if held != c.held || m.Stars != c.stars || m.Passed != (c.stars > 0) {
			t.Errorf("%s: held %s, %d stars, passed %v; want %s, %d", c.file, held, m.Stars, m.Passed, c.held, c.stars)
		}
	}
}

// Trials are one mark, which tells how many held.
func TestTrialsAreOneMark(t *testing.T) {
	l := read(t, "pass.check.toml: nominal = true -> trials = 20\nshare = 0.8")
	m := judge(t, l, "wrong_2.lua")
	if m.Passed || m.List[0].Key != check.Share || m.List[0].Held || !strings.Contains(m.List[0].Happened, "in 0 of 20") {
		t.Errorf("%+v", m)
	}
}

func TestAnErrorInTheAnswerIsAMark(t *testing.T) {
	for body, want := range map[string]string{
		"    bot.drive:ahed(600)":                        "ahed",
		"    while true do end":                          "without a wait",
		"    error('stop')":                              "stop",
		"    local s = 'a' while true do s = s .. s end": "",
	} {
		l := read(t, "start.lua: return routine { start = {x = 600, y = 600, heading = 0}, auto = "+
			"function(bot)\n"+body+"\nend }")
		m := judge(t, l, "start.lua")
		if m.Passed || m.List[0].Key != check.NoError || !strings.Contains(m.List[0].Happened, want) || m.List[0].Line != 2 {
			t.Errorf("%s: %+v", body, m.List[0])
		}
	}
}

func TestStepsAreTickedOffByTheRun(t *testing.T) {
	l := read(t, "lesson.toml: curve = [\"speed\", \"x real\"]\ndone = -> curve = []\n[[steps]]\ndone = ",
		"text.md: ## Drive -> ## Begin\n\nText.\n\n## Drive")
	for _, c := range []struct {
		file   string
		passed bool
		want   string
	}{{"start.lua", false, "true true false"}, {"solution.lua", true, "true true true"}} {
		a, err := l.answer(c.file)
		if err != nil {
			t.Fatal(err)
		}
		r, err := rehearse.Run(context.Background(), l.Setup(a))
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, done := range l.StepsDone(r, c.passed) {
			got = append(got, map[bool]string{true: "true", false: "false"}[done])
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %v, want %s", c.file, got, c.want)
		}
	}
}

// Each way in which a lesson can teach what it does not say falls short or is an error.
func TestProofs(t *testing.T) {
	for _, c := range []struct{ change, of, want string }{
		{"text.md: look -> Look", "", ""},
		{"solution.lua: 600 -> 500", "solution", "solution.lua passes and does every step: stops on the mark: ends " +
			"within 20 mm of "},
		{"lesson.toml: motion end arrived -> motion end timeout", "solution",
			"step 1, Drive, and look: motion end timeout at least once"},
		{"lesson.toml: \"x real\" -> \"x reel\"", "solution", `steps[0].curve[1]: "x reel" is no signal of the run: ` +
			`write "x real"`},
		{"lesson.toml: \"end\"  -> \"55 s\"", "solution", "steps[1].picture: the run ends at 15.00 s"},
		{"lesson.toml: motion end arrived -> motion end arived", "solution",
			`"arived" is no thing that can be motion end: write "arrived"`},
		{"start.lua: 300, {speed = 100} -> 600", "start", "what the learner begins with does not pass"},
		{"start.lua: ahead -> ahed", "start", "the routine runs without an error"},
		{"wrong_1.lua: -300 -> 600", "wrong_1", "wrong_1.lua, a wrong answer, does not pass"},
		{"wrong_2.lua: 600 -> 300", "wrong_2", ""},
		{"wrong_2.lua: 600, {speed = 100} -> 300", "wrong_2", "wrong_2.lua misses done_before of \"stops on the mark\""},
		{"wrong_2.lua: function(bot) -> function(bot", "wrong_2", "in class/mark: wrong_2.lua:"},
	} {
		l := read(t, c.change)
		var found []string
		for _, p := range l.Proofs() {
			if !strings.HasPrefix(p.Name, c.of) {
				continue
			}
			j, err := l.Prove(context.Background(), Judging{}, p)
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range j.Shortfalls {
				found = append(found, j.Case+": "+s.Expected)
			}
			if j.State == check.Wrong {
				found = append(found, j.Error)
			}
		}
		got := strings.Join(found, "\n")
		if !strings.Contains(got, c.want) || c.want == "" && got != "" {
			t.Errorf("%s\n got %s\nwant %s", c.change, got, c.want)
		}
	}
}
