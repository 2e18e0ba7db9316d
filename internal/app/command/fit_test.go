package command

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// weaveLua drives so that straight and turning tell volts, travel and heading apart.
const weaveLua = `return routine {
  start = {x = 1200, y = 1200, heading = 0},
  auto = function(bot)
    wait(0.5)
    for _, volts in ipairs {{4, 4}, {-4, -4}, {-5, 5}, {5, -5}, {3, 6}, {-3, -6}} do
      bot.drive:volts(volts[1], volts[2])
      wait(0.7)
      bot.drive:volts(0, 0)
      wait(0.8)
    end
  end,
}`

// here runs a command line here.
func here(ctx context.Context, args ...string) (code int, out, trouble string) {
	var stdout, stderr bytes.Buffer
	code = run(ctx, args, streams{out: &stdout, err: &stderr})
	return code, stdout.String(), stderr.String()
}

// woven drives the hauler and gives its log as a table.
func woven(t *testing.T) [][]string {
	t.Helper()
	t.Chdir(t.TempDir())
	if err := os.WriteFile("weave.lua", []byte(weaveLua), 0o600); err != nil {
		t.Fatal(err)
	}
	code, _, trouble := here(context.Background(), "run", "weave.lua", "--field", "practice_yard", "--nominal", "--log-as",
		"good.csv")
	if code != held {
		t.Fatal(trouble)
	}
	data, err := os.ReadFile("good.csv")
	if err != nil {
		t.Fatal(err)
	}
	in := csv.NewReader(bytes.NewReader(data))
	in.Comment, in.TrimLeadingSpace = '#', true
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// changed is a log with the values of some columns changed.
func changed(rows [][]string, change func(x float64) float64, headers ...string) string {
	var out strings.Builder
	for i, row := range rows {
		row = slices.Clone(row)
		for k, header := range rows[0] {
			if i > 0 && slices.Contains(headers, header) && row[k] != "" {
				x, _ := strconv.ParseFloat(row[k], 64)
				row[k] = fmt.Sprint(change(x))
			}
		}
		fmt.Fprintln(&out, strings.Join(row, ","))
	}
	return out.String()
}

// What show says of a bad log, fit says too, and it writes nothing.
func TestAFitRefusesBadLogsInTheWordsOfShow(t *testing.T) {
	rows := woven(t)
	times := func(by float64) func(float64) float64 { return func(x float64) float64 { return by * x } }
	whole := changed(rows, times(1))
	lines := strings.Split(whole, "\n")
	lines[100], lines[101] = lines[101], lines[100]
	for name, c := range map[string]struct{ log, want string }{
		"percent": {changed(rows, times(8), "left V", "right V"), `if it is percent of the battery, call it "left %"`},
		"metres": {changed(rows, times(0.001), "left travel mm", "right travel mm"),
			"is travel in m, and its column says mm?"},
		"backwards": {strings.Join(lines, "\n"), "the time goes back from 2 s to 1.98 s"},
		"dead":      {changed(rows, times(0), "left travel mm"), "a dead encoder? Look at its plug and its port"},
		"swapped": {strings.NewReplacer("left travel", "right travel", "right travel", "left travel").Replace(whole),
			"left and right travel are swapped"},
		"reversed":  {changed(rows, times(-1), "left travel mm"), "left travel has a reversed sign"},
		"clockwise": {changed(rows, times(-1), "heading deg"), "the heading rises clockwise"},
	} {
		if err := os.WriteFile(name+".csv", []byte(c.log), 0o600); err != nil {
			t.Fatal(err)
		}
		_, shown, refused := here(context.Background(), "show", name+".csv")
		code, _, trouble := here(context.Background(), "fit", "hauler", name+".csv", "--out", "new.toml")
		if !strings.Contains(shown+refused, c.want) || code != inputWrong || !strings.Contains(trouble, c.want) ||
			!strings.HasPrefix(trouble, "chalkfield: "+name+".csv:") {
			t.Errorf("%s: show says\n%s%s\nfit, with exit code %d, says\n%s", name, shown, refused, code, trouble)
		}
		if _, err := os.Stat("new.toml"); err == nil {
			t.Fatalf("%s: a file is written", name)
		}
	}
}

// An interrupt leaves no file, not even a part of one.
func TestAnInterruptedFitWritesNothing(t *testing.T) {
	woven(t)
	ctx, interrupt := context.WithCancel(context.Background())
	time.AfterFunc(100*time.Millisecond, interrupt)
	code, out, trouble := here(ctx, "fit", "hauler", "good.csv", "--out", "new.toml", "--report", "new.html")
	if code != interrupted || !strings.Contains(trouble, "interrupted") || out != "" {
		t.Errorf("exit code %d\n%s\n%s", code, out, trouble)
	}
	left, err := os.ReadDir(".")
	if err != nil || len(left) != 2 {
		t.Errorf("%v: files %v", err, left)
	}
}
