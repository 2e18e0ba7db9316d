package check

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
)

// project writes check files into a folder.
func project(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// standIn runs made-up rehearsals that miss the clamp in a share of seeds.
func standIn(often float64) Options {
	return Options{
		Workers: 2,
		Load: func(s Subject) (rehearse.Setup, string, error) {
			if strings.HasSuffix(s.Routine, "lost.lua") {
				return rehearse.Setup{}, "", fmt.Errorf("%s: no such file", filepath.Base(s.Routine))
			}
			return rehearse.Setup{Field: &fields.Field{Floor: yard}}, filepath.Base(s.Routine), nil
		},
		Rehearse: func(_ context.Context, s rehearse.Setup) (*record.Record, error) {
			return drawn(s.Seed, s.Nominal, often), nil
		},
	}
}

var files = map[string]string{
	"a.check.toml": `routine = "mine.lua"
[[cases]]
name = "as planned"
nominal = true
score_at_least = 12
[[cases]]
name = "often enough"
trials = 200
share = 0.9
score_at_least = 12
[[cases]]
name = "too much asked"
seed = 5
done_before = "3 s"
belief_within = "10 mm"
`,
	"deep/b.check.toml":    "routine = 'lost.lua'\n[[cases]]\nname = 'lost'\nscore_at_least = 1\n",
	".hidden/c.check.toml": "this is not looked at",
	"deep/other.toml":      "nor this",
}

// loadAll loads with subjects that read their routine and a robot beside it.
func loadAll(paths ...string) []*File {
	return LoadAll(paths, func(s Subject) []string {
		return []string{s.Routine, filepath.Join(filepath.Dir(s.Routine), "robot.toml")}
	}, func(string) bool { return false })
}

func judged(t *testing.T, dir string, o Options) *Outcome {
	t.Helper()
	out, err := Run(context.Background(), loadAll(dir), o)
	if err != nil {
		t.Fatal(err)
	}
	for i := range out.Cases {
		out.Cases[i].File = filepath.Base(out.Cases[i].File)
	}
	return out
}

func TestRunJudgesEveryCaseInOrder(t *testing.T) {
	out := judged(t, project(t, files), standIn(0.1))
	text := &strings.Builder{}
	text.WriteString(TextOf(out))
	want := `held   a.check.toml: as planned (12 points)
short  a.check.toml: often enough (175 of 200 held: 87.5 %, at least 82.2 %)
       expected  holds in at least 90 % of rehearsals (lower end of the 95 % Wilson interval)
       happened  in 175 of 200, 87.5 %, lower end 82.2 %; missed most often (25 times): score at least 12; first departure in 25 of them: clamp misses (line 20); seed 4: 2 points; first left the plan: clamp misses (line 20)
       at 2.10 s, mine.lua:20
       see it    chalkfield open mine.lua --seed 4
short  a.check.toml: too much asked (12 points)
       expected  the routine is done before 3.00 s
       happened  done at 3.60 s
       at 3.60 s, mine.lua:27
       expected  the belief is within 10 mm of the truth at the end
       happened  50 mm off
       at 4.00 s, mine.lua:27 (the routine had ended)
       see it    chalkfield open mine.lua --seed 5
wrong  b.check.toml: lost
       lost.lua: no such file
4 cases: 1 held, 2 fell short, 1 could not be judged
`
	if text.String() != want {
		t.Errorf("got\n%s\nwant\n%s", text, want)
	}
}

func TestWorkersOfAnyNumberGiveTheSameOutcome(t *testing.T) {
	dir := project(t, files)
	var first []byte
	for _, workers := range []int{1, 2, 8} {
		o := standIn(0.1)
		o.Workers = workers
		out := judged(t, dir, o)
		var all bytes.Buffer
		all.WriteString(TextOf(out))
		if err := errors.Join(out.JUnit(&all), json.NewEncoder(&all).Encode(out)); err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = all.Bytes()
		}
		if !bytes.Equal(first, all.Bytes()) {
			t.Errorf("%d workers give another outcome", workers)
		}
	}
}

func TestTrialsHoldWhenTheLowerBoundReachesTheShare(t *testing.T) {
	out := judged(t, project(t, files), standIn(0.01))
	if c := out.Cases[1]; c.State != Held || c.Rehearsals != 200 || c.HeldBy < 190 {
		t.Errorf("%+v", c)
	}
}

func TestOnlyAndListChooseCasesByTheirNames(t *testing.T) {
	dir := project(t, files)
	list := loadAll(dir)
	if names := List(list, ""); len(names) != 4 || !strings.HasSuffix(names[0], "a.check.toml: as planned") ||
		!strings.HasSuffix(names[3], "b.check.toml: lost") {
		t.Errorf("%q", names)
	}
	var mutex sync.Mutex
	ran := 0
	o := standIn(0)
	o.Only = "too much"
	inner := o.Rehearse
	o.Rehearse = func(ctx context.Context, s rehearse.Setup) (*record.Record, error) {
		mutex.Lock()
		defer mutex.Unlock()
		ran++
		return inner(ctx, s)
	}
	out := judged(t, dir, o)
	if len(out.Cases) != 1 || out.Cases[0].Case != "too much asked" || ran != 2 {
		t.Errorf("%d cases, %d rehearsals (the plan and the one)", len(out.Cases), ran)
	}
}

func TestAcceptWritesGoldensAndShowsWhatChanged(t *testing.T) {
	dir := project(t, map[string]string{"a.check.toml": "routine = 'mine.lua'\n[[cases]]\nname = 'golden'\nnominal = " +
		"true\ngolden = 'plan.golden.jsonl'\nscore_at_least = 100\n[[cases]]\nname = 'score'\nnominal = " +
		"true\nscore_at_least = 1\n"})
	before := judged(t, dir, standIn(0))
	if s := before.Cases[0].Shortfalls; len(s) != 2 || s[1].Happened != "there is none yet" ||
		!strings.Contains(before.Cases[0].Notes[0], "make the golden record with `chalkfield check --accept`") {
		t.Errorf("no golden yet: %+v", s)
	}
	accepting := standIn(0)
	accepting.Accept = true
	first := judged(t, dir, accepting)
	if c := first.Cases[0]; c.State != Short || len(c.Shortfalls) != 1 || len(c.Notes) != 1 ||
		!strings.Contains(c.Notes[0], "wrote ") {
		t.Errorf("accepting settles the golden and nothing else: %+v", c)
	}
	changed := accepting
	changed.Rehearse = func(context.Context, rehearse.Setup) (*record.Record, error) {
		r := made(1, true)
		bend(r, 2, 0.05, 0)
		return r, nil
	}
	unaccepted := changed
	unaccepted.Accept = false
	if s := judged(t, dir, unaccepted).Cases[0].Shortfalls; len(s) != 2 ||
		!strings.Contains(s[1].Happened, "departs by 50.0 mm") {
		t.Errorf("changed: %+v", s)
	}
	if c := judged(t, dir, changed).Cases[0]; len(c.Notes) != 1 ||
		!strings.Contains(c.Notes[0], "departs by 50.0 mm and 0.00 deg") ||
		!strings.Contains(c.Notes[0], "at 2.00 s, mine.lua:15") {
		t.Errorf("accepted: %+v", c)
	}
	if s := judged(t, dir, unaccepted).Cases[0].Shortfalls; len(s) != 1 {
		t.Errorf("after accepting only the score is short: %+v", s)
	}
}

func TestAFieldNameThatIsNotThereMakesTheFileWrong(t *testing.T) {
	dir := project(t, map[string]string{"a.check.toml": "routine = 'mine.lua'\n[[cases]]\nname = " +
		"'one'\nnever_touches = ['wal']\n"})
	if c := judged(t, dir, standIn(0)).Cases[0]; c.State != Wrong || !strings.Contains(c.Error, `write "wall"`) {
		t.Errorf("%+v", c)
	}
}

func TestAnInterruptEndsTheRun(t *testing.T) {
	list := loadAll(project(t, files))
	ctx, interrupt := context.WithCancel(context.Background())
	o := standIn(0)
	o.Rehearse = func(ctx context.Context, s rehearse.Setup) (*record.Record, error) {
		interrupt()
		return nil, ctx.Err()
	}
	if _, err := Run(ctx, list, o); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}

func TestWhatCannotBeReadIsToldBesideTheOthers(t *testing.T) {
	dir := project(t, map[string]string{
		"a.check.toml": "routine = 'mine.lua'\n[[cases]]\nname = 'one'\nnominal = true\nscore_at_least = 1\n",
		"b.check.toml": "routine = 3", "empty/readme": "",
	})
	out, err := Run(context.Background(), loadAll(dir, filepath.Join(dir, "nowhere"), filepath.Join(dir, "empty")),
		standIn(0))
	if err != nil {
		t.Fatal(err)
	}
	if out.Held != 1 || out.Wrong != 3 || out.Cases[0].State != Held {
		t.Fatalf("%+v", out)
	}
	for i, want := range []string{"b.check.toml:1:11: routine", "nowhere: no such file",
		"empty: there is no file *.check.toml at or below it"} {
		if c := out.Cases[i+1]; c.State != Wrong || c.Case != "" || !strings.Contains(c.Error, want) {
			t.Errorf("%+v, want %q", c, want)
		}
	}
	text := &strings.Builder{}
	text.WriteString(TextOf(out))
	for _, want := range []string{"b.check.toml: could not be judged\n       ",
		"1 case: 1 held, 0 fell short, 0 could not be judged; 3 whole files could not be judged\n"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("%s\nlacks %q", text, want)
		}
	}
	if err := structure(junitOf(t, out)); err != nil || out.Unjudged() != "3 files" {
		t.Error(err, out.Unjudged())
	}
}

// A folder that may not be read hides what is in it: that is told, and the walk goes on. (Tests may run as root, who
// may read all; so the walk's step is called as the walk would.)
func TestAFolderThatCannotBeReadIsAFault(t *testing.T) {
	dir := project(t, map[string]string{"locked/x": ""})
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var s search
	locked := filepath.Join(dir, "locked")
	if err := s.visit(dir, locked, entries[0], &fs.PathError{Op: "open", Path: locked,
		Err: fs.ErrPermission}); err != nil {
		t.Fatal("the walk ends:", err)
	}
	if len(s.files) != 1 || s.files[0].Fault == nil || s.files[0].Fault.Error() != locked+": permission denied" {
		t.Errorf("%+v", s.files)
	}
}

func TestEachFileIsTakenOnce(t *testing.T) {
	dir := project(t, files)
	if err := os.Symlink(filepath.Join(dir, "deep"), filepath.Join(dir, "link")); err != nil {
		t.Skip("no links here:", err)
	}
	if list := loadAll(dir, dir, dir+"/./", filepath.Join(dir, "a.check.toml"),
		filepath.Join(dir, "link", "b.check.toml")); len(list) != 2 {
		t.Errorf("%d files, want 2", len(list))
	}
}
