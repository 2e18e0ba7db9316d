package fit

import (
	"context"
	"errors"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
)

// briefDrives are a routine's: steps ahead and back, a spin.
const briefDrives = `return routine { start = {x = 700, y = 1200, heading = 0}, auto = function(bot)
  local function give(left, right, seconds)
    bot.drive:volts(left, right); wait(seconds); bot.drive:volts(0, 0); wait(0.6)
  end
  wait(1.2)
  give(7, 7, 0.5)
  give(-5, -5, 0.5)
  give(-6, 6, 0.5)
end }`

// brief is a log of these, as text.
func brief(t testing.TB) (truth, string) {
	k := drawn(t, "hauler", 0)
	return k, k.text(t, briefDrives, 4.5, 1)
}

func readLog(t testing.TB, text string) Input {
	t.Helper()
	log, err := logfile.Read("run.csv", strings.NewReader(text), logfile.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return Input{Log: log}
}

// A log from which nothing can be learnt is refused with what is wrong and what to write.
func TestAWorthlessLogIsRefused(t *testing.T) {
	k, text := brief(t)
	rename := func(pairs ...string) string {
		header, rest, _ := strings.Cut(text, "\n")
		return strings.NewReplacer(pairs...).Replace(header) + "\n" + rest
	}
	// each column's numbers changed by a rule
	spoil := func(column int, how func(string) string) string {
		lines := strings.Split(strings.TrimSpace(text), "\n")
		for i := range lines[1:] {
			cells := strings.Split(lines[i+1], ",")
			cells[column] = how(cells[column])
			lines[i+1] = strings.Join(cells, ",")
		}
		return strings.Join(lines, "\n") + "\n"
	}
	reverse := func(s string) string {
		if rest, minus := strings.CutPrefix(s, "-"); minus {
			return rest
		}
		return "-" + s
	}
	for name, c := range map[string]struct{ text, want string }{
		"swapped sides":                  {rename("left travel", "right travel", "right travel", "left travel"), "swapped"},
		"a reversed sign":                {spoil(3, reverse), "left travel has a reversed sign"},
		"a dead encoder":                 {spoil(4, func(string) string { return "0" }), "right travel stands still"},
		"a heading that rises clockwise": {spoil(5, reverse), "clockwise"},
		"no motion": {rename("left travel mm", "a", "right travel mm", "b", "heading deg", "c", "x mm", "d", "y mm", "e"),
			"no log has a drive"},
		"duty without a battery": {rename("left V", "left %", "right V", "right %", "battery V", "a"), "battery = "},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Fit(context.Background(), k.file, []Input{readLog(t, c.text)}, Options{})
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func TestAKeyToHoldThatThereIsNot(t *testing.T) {
	k, text := brief(t)
	_, err := Fit(context.Background(), k.file, []Input{readLog(t, text)}, Options{Hold: []string{"chassis.mas"}})
	if err == nil || !strings.Contains(err.Error(), `chassis.mass`) {
		t.Errorf("%v", err)
	}
	_, err = Fit(context.Background(), k.file, []Input{readLog(t, text)}, Options{Hold: []string{"mass"}})
	if err == nil || !strings.Contains(err.Error(), `write "chassis.mass"`) {
		t.Errorf("%v", err)
	}
	if _, err := Fit(context.Background(), k.file, nil, Options{}); err == nil {
		t.Error("a fit without a log")
	}
}

// What is held keeps its value; without a mass that is known, that is left alone and what would tell it is named.
func TestWhatIsHeldAndWhatIsNotTold(t *testing.T) {
	k, text := brief(t)
	got, err := Fit(context.Background(), k.file, []Input{readLog(t, text)}, Options{Hold: []string{"chassis.inertia",
		"wheels.radius", "track", "battery.resistance"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"chassis.inertia", "wheels.radius left", "track", "battery.resistance"} {
		if p := value(t, got, key); p.State != Held || p.After != p.Before || p.Settings != nil {
			t.Errorf("%+v", p)
		}
	}
	if p := value(t, got, "chassis.mass"); p.State != Shared || p.After != p.Before || p.Settings != nil {
		t.Errorf("%+v", p)
	}
	for _, u := range got.Unclear {
		if u.Keys[0] == "chassis.mass" {
			if !strings.Contains(u.Cure, "--hold chassis.mass") {
				t.Errorf("%+v", u)
			}
			return
		}
	}
	t.Errorf("the mass is not among %+v", got.Unclear)
}

// The result hangs on the input alone, not on how many work on it; and a context ends a fit.
func TestAFitIsTheSameOnAnyNumberOfCores(t *testing.T) {
	k, text := brief(t)
	hold := Options{Hold: []string{"chassis.mass", "drive.viscous", "drive.creep", "wheels.along", "wheels.across",
		"drive.drag"}}
	fit := func() *Result {
		got, err := Fit(context.Background(), k.file, []Input{readLog(t, text)}, hold)
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	many := fit()
	before := runtime.GOMAXPROCS(1)
	one := fit()
	runtime.GOMAXPROCS(before)
	if !reflect.DeepEqual(one, many) {
		t.Error("one core gives another result than two")
	}
	ctx, cancel := context.WithCancelCause(context.Background())
	enough := errors.New("enough")
	hold.Progress = func(_ string, done float64) {
		if done > 0.1 {
			cancel(enough)
		}
	}
	_, err := Fit(ctx, k.file, []Input{readLog(t, text)}, hold)
	if !errors.Is(err, enough) && !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// BenchmarkFit is of 90 s of logs, 50 Hz, and eight parameters, with the table of what was held out.
func BenchmarkFit(b *testing.B) {
	k := drawn(b, "hauler", 0)
	var logs []Input
	for i := range 7 {
		logs = append(logs, k.played(b, shortDrives, 13, "short", uint64(i)))
	}
	hold := []string{"chassis.mass", "drive.drag", "drive.creep", "drive.viscous", "wheels.along", "wheels.radius",
		"track"}
	rows, err := rowsOf(k.file, hold)
	if err != nil {
		b.Fatal(err)
	}
	free := 0
	for _, r := range rows {
		if !r.held {
			free++
		}
	}
	for b.Loop() {
		got, err := Fit(context.Background(), k.file, logs, Options{Hold: hold})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(got.Seconds, "s-of-driving")
		b.ReportMetric(float64(free), "parameters")
	}
}

// Fitted again to the same logs, a fitted file stays as it is: the difference of the sides is not added once more. With
// the radius that the robot's program takes, nor is anything of their mean where a place tells that.
func TestAFittedFileIsFittedAgain(t *testing.T) {
	k := drawn(t, "hauler", 0)
	text := k.text(t, shortDrives, 13, 1)
	place, noPlace := readLog(t, text), readLog(t, strings.Replace(text, "x mm,y mm", "a,b", 1))
	place.Log.Wheel = meanRadius(k.file)
	hold := Options{Hold: []string{"chassis.mass", "drive.viscous", "drive.creep", "wheels.along", "wheels.across",
		"drive.drag", "battery.resistance", "battery.open", "motors[0].free_current", "drive.latency"}}
	for i, log := range []Input{noPlace, place}[:property.Cases(1, 2)] {
		name := []string{"no place", "a place"}[i]
		t.Run(name, func(t *testing.T) {
			log.SHA256 = strings.Repeat("0", 64)
			fit := func(spec *robot.Robot) (*Result, *robot.Robot) {
				got, err := Fit(context.Background(), spec, []Input{log}, hold)
				if err != nil {
					t.Fatal(err)
				}
				file, err := got.Into(spec)
				if err != nil {
					t.Fatal(err)
				}
				next, err := robot.Parse("again.toml", file.Text)
				if err != nil {
					t.Fatal(err)
				}
				return got, next
			}
			once, fitted := fit(k.file)
			twice, _ := fit(fitted)
			for _, key := range []string{"wheels.radius left", "wheels.radius right"} {
				before, after := value(t, once, key), value(t, twice, key)
				if before.State != Fitted || before.After == before.Before {
					t.Errorf("the first fit does not tell it: %+v", before)
				}
				if rest := "being 0.5 % off (no x and y in the logs)"; (name == "no place") !=
					strings.HasSuffix(before.Why, rest) {
					t.Errorf("%s: %q", name, before.Why)
				}
				if half := (before.High - before.Low) / 2; name == "no place" && half < 1.95*measuredSD*before.After {
					t.Errorf("%s: +-%g, which leaves out how well wheels are measured", key, half)
				}
				if after.After < before.Low || after.After > before.High {
					t.Errorf("%s: %g, then %g: not between %g and %g", key, before.After, after.After, before.Low, before.High)
				}
			}
		})
	}
}
