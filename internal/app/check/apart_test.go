package check

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// mixed has good cases and one that is wrong at each stage of reading: a key, a value, a name that only the field
// tells, a golden path.
const mixed = `routine = "mine.lua"
[[cases]]
name = "as planned"
nominal = true
score_at_least = 12
[[cases]]
name = "misspelt"
score_at_lest = 12
[[cases]]
name = "no share"
trials = 1000000000
score_at_least = 12
[[cases]]
name = "unknown"
trials = 200
share = 0.5
never_touches = ["wal"]
[[cases]]
name = "overwriting"
golden = "mine.lua"
[[cases]]
seed = "one"
score_at_least = 1
[[cases]]
name = "often enough"
trials = 200
share = 0.5
score_at_least = 12
`

func TestABadCaseLeavesTheGoodOnes(t *testing.T) {
	out := judged(t, project(t, map[string]string{"a.check.toml": mixed, "mine.lua": "return 1"}), standIn(0.1))
	want := []struct {
		name  string
		state State
		at    string // where its error is
	}{
		{"as planned", Held, ""}, {"misspelt", Wrong, "a.check.toml:8:1: cases[1].score_at_lest: "},
		{"no share", Wrong, "a.check.toml:11:10: cases[2].trials: "},
		{"unknown", Wrong, "a.check.toml:17:18: cases[3].never_touches[0]: "},
		{"overwriting", Wrong, "a.check.toml:20:10: cases[4].golden: "},
		{"case 6", Wrong, "a.check.toml:22:8: cases[5].seed: "}, {"often enough", Held, ""},
	}
	for i, w := range want {
		c := out.Cases[i]
		if c.Case != w.name || c.State != w.state || !strings.Contains(c.Error, w.at) || (c.Error == "") != (w.at == "") {
			t.Errorf("case %d is %q, %s, %q; want %q, %s, %q", i, c.Case, c.State, c.Error, w.name, w.state, w.at)
		}
	}
	if len(out.Cases) != len(want) || out.Held != 2 || out.Wrong != 5 || out.Unjudged() != "5 cases" {
		t.Errorf("%d cases, %d held, %d wrong", len(out.Cases), out.Held, out.Wrong)
	}
	var text, junit, data bytes.Buffer
	text.WriteString(TextOf(out))
	if err := out.JUnit(&junit); err != nil {
		t.Fatal(err)
	}
	if err := json.NewEncoder(&data).Encode(out); err != nil {
		t.Fatal(err)
	}
	for _, w := range want {
		if n := strings.Count(text.String(), w.at); w.at != "" && n != 1 {
			t.Errorf("%q stands %d times in\n%s", w.at, n, text.String())
		}
		if !strings.Contains(junit.String(), `name="`+w.name+`"`) || !strings.Contains(data.String(), `"case":"`+w.name+`"`) {
			t.Errorf("%q is not named in\n%s\n%s", w.name, junit.String(), data.String())
		}
	}
	if n := strings.Count(junit.String(), `<error type="wrong"`); n != 5 {
		t.Errorf("%d errors in\n%s", n, junit.String())
	}
}

// What is wrong with the routine is so for every case, and is printed once.
func TestAnErrorOfAllCasesIsPrintedOnce(t *testing.T) {
	text := "routine = 'lost.lua'\n"
	for i := range 3 {
		text += fmt.Sprintf("[[cases]]\nname = 'case of %d'\nscore_at_least = 1\n", i)
	}
	out := judged(t, project(t, map[string]string{"a.check.toml": text}), standIn(0))
	var told strings.Builder
	told.WriteString(TextOf(out))
	want := "wrong  a.check.toml: case of 0\n       lost.lua: no such file\nwrong  a.check.toml: case of 1\n       the " +
		"same\nwrong  a.check.toml: case of 2\n       the same\n" +
		"3 cases: 0 held, 0 fell short, 3 could not be judged\n"
	if told.String() != want {
		t.Errorf("got\n%s\nwant\n%s", told.String(), want)
	}
}

// More errors than one file tells of still leave no wrong case judged.
func TestACaseWhoseErrorsWereOnlyCountedIsNotJudged(t *testing.T) {
	text := "routine = 'mine.lua'\n"
	for i := range 40 {
		text += fmt.Sprintf("[[cases]]\nname = 'wrong %d'\nscore_at_lest = 1\n", i)
	}
	text += "[[cases]]\nname = 'good'\nscore_at_least = 1\n"
	out := judged(t, project(t, map[string]string{"a.check.toml": text}), standIn(0))
	if out.Held != 1 || out.Wrong != 40 || !strings.Contains(out.Cases[39].Error,
		"put right what is told of above first") {
		t.Errorf("%d held, %d wrong, the last of them: %s", out.Held, out.Wrong, out.Cases[39].Error)
	}
	whole := judged(t, project(t, map[string]string{"a.check.toml": "tilte = 'x'\n" + text}), standIn(0))
	if whole.Held != 0 || len(whole.Cases) != 1 || whole.Cases[0].Case != "" {
		t.Errorf("a file that is wrong outside of its cases is judged: %+v", whole.Cases[0])
	}
}
