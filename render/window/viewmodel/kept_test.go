package viewmodel

import (
	"slices"
	"strings"
	"testing"

	"chalkfield/scripting"
)

// watchedText is a routine with something to see.
const watchedText = `local far = {x = 700, list = {1, 2, 3, 4, 5}}
local function rest(seconds)
  local half = seconds / 2
  wait(half)
  wait(half)
end
return routine {
  start = {x = 600, y = 1000, heading = 0},
  auto = function(bot)
    local count = 0
    for i = 1, 3 do
      count = count + i
      rest(0.2)
    end
    bot.drive:ahead(300)
  end,
}
`

// observed is a model with that routine's run in it, and what it did.
func observed(t *testing.T, text string) (*Model, *files) {
	t.Helper()
	d, disk := opened(t)
	disk.routine = text
	d.Reload()
	finish(t, d)
	find(t, d)
	return d, disk
}

// find waits for what the routines of the run shown did.
func find(t *testing.T, d *Model) {
	t.Helper()
	d.Observe()
	kept := <-d.observer.results
	d.observer.results <- kept
	if !d.PollKept() {
		t.Fatal("nothing was taken")
	}
}

// rowsOf are the rows of the page of variables as text.
func rowsOf(d *Model) []string {
	list := []string{}
	for _, r := range d.Variables() {
		if r.Head {
			list = append(list, r.Label)
		} else {
			list = append(list, strings.Repeat(" ", r.Depth)+r.Label+"="+r.Value)
		}
	}
	return list
}

// variableCalled is the first row of a name.
func variableCalled(t *testing.T, d *Model, label string) VariableRow {
	t.Helper()
	rows := d.Variables()
	i := slices.IndexFunc(rows, func(r VariableRow) bool { return r.Label == label })
	if i < 0 {
		t.Fatalf("no variable %s: %q", label, rowsOf(d))
	}
	return rows[i]
}

// valueAt is a charted variable's value at a time as text.
func valueAt(t *testing.T, d *Model, key string, at float64) string {
	t.Helper()
	signal, ok := d.Now.SignalNamed(0, key)
	if !ok {
		t.Fatalf("%q is no signal", key)
	}
	if v := d.Now.Series(0, signal, signal.Curves[0])[d.Now.Index.At(at+1e-9)]; v == v {
		return tidy(v, 4)
	}
	return "none"
}

func TestVariablesOfTheTimeShown(t *testing.T) {
	d, _ := observed(t, watchedText)
	if why := d.Unkept(0); why != "" || d.History(0) == nil {
		t.Fatal(why)
	}
	for _, row := range []struct {
		t    float64
		want []string
	}{
		{0.25, []string{"auto at mine.lua:4, in rest", "seconds=0.2", "half=0.1", "auto at mine.lua:13", "bot=the robot",
			"count=3", "i=2", "rest=function, mine.lua:2"}},
		{0.9, []string{"auto at mine.lua:15", "bot=the robot", "count=6", "rest=function, mine.lua:2"}},
	} {
		d.GoTo(row.t)
		if got := rowsOf(d); !slices.Equal(got, row.want) {
			t.Errorf("at %g s %q, want %q", row.t, got, row.want)
		}
	}
}

func TestTableIsUnfolded(t *testing.T) {
	d, _ := observed(t, strings.Replace(watchedText, "rest(0.2)", "rest(0.2) local n = far.x", 1))
	d.GoTo(0.9)
	d.Unfold(variableCalled(t, d, "far").Path)
	d.Unfold(variableCalled(t, d, "list").Path)
	want := []string{"far=table of 2", " x=700", " list=table of 5", "  [1]=1", "  [2]=2", "  [3]=3", "  [4]=4", "  [5]=5"}
	got := rowsOf(d)
	if i := slices.Index(got, want[0]); i < 0 || !slices.Equal(got[i:min(i+len(want), len(got))], want) {
		t.Errorf("got %q, want %q in it", got, want)
	}
	third := variableCalled(t, d, "[3]").Path
	d.ToggleSignal(third)
	if !variableCalled(t, d, "[3]").Curve {
		t.Error("not drawn as a curve")
	}
	if v := valueAt(t, d, third, 0.9); v != "3" {
		t.Errorf("far.list[3] is %s at 0.9 s, want 3", v)
	}
	d.Unfold(variableCalled(t, d, "far").Path)
	if got := rowsOf(d); slices.Contains(got, " x=700") {
		t.Errorf("still unfolded: %q", got)
	}
}

// A variable as a curve: its value at each sample, a gap where it is not there.
func TestVariableAsACurve(t *testing.T) {
	d, disk := observed(t, watchedText)
	d.GoTo(0.25)
	for label, want := range map[string]map[float64]string{
		"count": {0: "1", 0.18: "1", 0.2: "3", 0.42: "6", 0.9: "6", 10: "none"},
		"half":  {0.04: "0.1", 0.9: "none"},
		"i":     {0.04: "1", 0.9: "none"},
	} {
		for at, want := range want {
			if got := valueAt(t, d, variableCalled(t, d, label).Path, at); got != want {
				t.Errorf("%s at %g s is %s, want %s", label, at, got, want)
			}
		}
	}
	count := variableCalled(t, d, "count").Path
	disk.routine = strings.Replace(watchedText, "count + i", "count + 2 * i", 1)
	d.Reload()
	finish(t, d)
	if v := valueAt(t, d, count, 0.9); v != "none" {
		t.Errorf("a value %s of a run that was not looked at", v)
	}
	find(t, d)
	if v := valueAt(t, d, count, 0.9); v != "12" {
		t.Errorf("after the change it is %s, want 12", v)
	}
}

func TestWhyThereAreNoVariables(t *testing.T) {
	d, _ := opened(t)
	if why := d.Unkept(0); !strings.Contains(why, "once more") {
		t.Error(why)
	}
	other := *d.Now
	other.Setup.Seed, other.Setup.Nominal = 5, false
	d.Now = &other
	find(t, d)
	if why := d.Unkept(0); d.History(0) != nil || !strings.Contains(why, "not the same run") {
		t.Errorf("a run that comes out otherwise: %q", why)
	}
}

// A drive is rehearsed again with the sticks as they were, up to where it was ended.
func TestVariablesOfADrive(t *testing.T) {
	d, _ := opened(t)
	d.BeginDrive(d.DriverSessions()[0].Name, nil)
	d.Observe()
	if why := d.Unkept(0); !strings.Contains(why, "Not while somebody drives") {
		t.Error(why)
	}
	for i := range 60 {
		d.AdvanceDrive(1.0/60, scripting.PadState{LeftY: float64(i%20) / 20, Buttons: []string{"a"}[:i/7%2]})
	}
	d.EndDrive()
	find(t, d)
	h := d.History(0)
	if h == nil {
		t.Fatal(d.Unkept(0))
	}
	if m, is := h.At(0.5); !is || m.Tasks[0].Name != "driver" {
		t.Errorf("%+v", m)
	}
}

func TestLinesAndTheirTimes(t *testing.T) {
	d, disk := observed(t, watchedText)
	if words := d.LineWords(13); words != "Line 13 ran 3 times, first at 0.00 s, and took 0.60 s." {
		t.Error(words)
	}
	if words := d.LineWords(9); !strings.HasPrefix(words, "Line 9 ran 1 time, at 0.00 s") {
		t.Error(words)
	}
	if words := d.LineWords(1 + strings.Count(watchedText, "\n")); !strings.Contains(words, "did not run") {
		t.Error(words)
	}
	d.LineOn()
	if !strings.Contains(d.Notice.Text, "Choose a line") {
		t.Error(d.Notice.Text)
	}
	d.ChooseLine(13)
	var times []float64
	for range 4 {
		d.LineOn()
		times = append(times, d.Time)
	}
	d.LineBack()
	times = append(times, d.Time)
	if want := []float64{0.2, 0.4, 0, 0.2, 0}; !slices.Equal(times, want) {
		t.Errorf("went to %v, want %v", times, want)
	}
	if !strings.Contains(d.Notice.Text, "it runs 3 times, this is number 1") {
		t.Error(d.Notice.Text)
	}
	d.RunTo(15)
	if d.Time != 0.6 || d.Line() != 15 {
		t.Errorf("ran to %g s, line %d is chosen", d.Time, d.Line())
	}
	disk.routine = "-- a line before\n" + watchedText
	d.Reload()
	if d.Line() != 16 {
		t.Errorf("line %d after one was put before it, want 16", d.Line())
	}
	if runs := d.LineRuns(16); len(runs.Spans) != 0 {
		t.Errorf("times %v of a text that did not run yet", runs)
	}
	d.ChooseLine(16)
	if d.Line() != 0 {
		t.Error("chosen again it is not let go")
	}
}

func TestMovedLines(t *testing.T) {
	was := []string{"a", "b", "c", "d"}
	for _, row := range []struct {
		now  []string
		line int
		want int
	}{
		{[]string{"a", "b", "c", "d"}, 3, 3}, {[]string{"x", "a", "b", "c", "d"}, 3, 4}, {[]string{"a", "b", "d"}, 4, 3},
		{[]string{"a", "b", "d"}, 3, 0}, {[]string{"a", "b", "C", "d"}, 3, 3}, {[]string{"a", "y", "  c", "z", "d"}, 3, 3},
		{[]string{}, 3, 0}, {[]string{"a", "b", "c", "d"}, 9, 0}, {[]string{"a", "b", "c", "d"}, 0, 0},
	} {
		if got := moved(was, row.now, row.line); got != row.want {
			t.Errorf("line %d of %q is line %d of %q, want %d", row.line, was, got, row.now, row.want)
		}
	}
}
