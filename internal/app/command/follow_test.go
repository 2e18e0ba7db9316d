package command

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"chalkfield/assets"
	"chalkfield/internal/app/program"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/stats"
	"chalkfield/sim/robot"
)

// followers are how a language's follower is built and started.
var followers = map[string]struct {
	table      string
	build, run []string
}{
	"python": {"plan.csv", nil, []string{"python3", "follow.py", "plan.csv"}},
	"cpp": {"plan.h", strings.Fields("g++ -std=c++17 -O1 -Wall -Wextra -Werror -o follow follow.cpp"),
		[]string{"./follow"}},
}

// course is a routine that is followed, and its robot.
type course struct{ routine, robot string }

func home(routine string) course {
	_, robot := assets.RoutineHome(routine)
	return course{routine, robot}
}

func (c course) inputs() inputs {
	field, _ := assets.RoutineHome(c.routine)
	return inputs{Field: field, Robot: c.robot}
}

// follows writes the plan of a routine beside a language's follower, builds that, and gives its rehearsals.
func follows(t *testing.T, language string, of course) (setup rehearse.Setup, folder string) {
	t.Helper()
	folder = clients(t, language)
	with := followers[language]
	writePlan(t, of, filepath.Join(folder, with.table))
	if with.build != nil {
		make := exec.Command(with.build[0], with.build[1:]...)
		make.Dir = folder
		if out, err := make.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
	}
	return follower(t, folder, of, with.run), folder
}

// follower is a rehearsal of a follower with the field and the robot of what it follows.
func follower(t *testing.T, folder string, of course, run []string) rehearse.Setup {
	t.Helper()
	owner := program.NewOwner()
	t.Cleanup(owner.Close)
	in := of.inputs()
	in.outside = outside{Program: strings.Join(run, " "), dir: folder, programs: owner, Patience: 20 * program.Patience}
	setup, err := in.load()
	if err != nil {
		t.Fatal(err)
	}
	return setup
}

func writePlan(t *testing.T, of course, path string) {
	t.Helper()
	var out bytes.Buffer
	args := []string{"run", of.routine, "--robot", of.robot, "--nominal", "--setpoints", path}
	if code := Main(args, &out, &out); code != held {
		t.Fatal(out.String())
	}
}

// endOf rehearses and gives where the robot truly stands when all is over.
func endOf(t *testing.T, setup rehearse.Setup) (at record.Pose, print string) {
	t.Helper()
	rec := rehearsed(t, setup)
	print, err := rec.Fingerprint()
	if err != nil {
		t.Error(err)
	}
	if len(rec.Samples) > 0 {
		at = rec.Samples[len(rec.Samples)-1].Robots[0].True
	}
	return at, print
}

// rehearsed may be called on any goroutine: what goes wrong is an error, and the record then an empty one.
func rehearsed(t *testing.T, setup rehearse.Setup) *record.Record {
	t.Helper()
	rec, err := rehearse.Run(context.Background(), setup)
	if err != nil {
		t.Error(err)
		return &record.Record{}
	}
	for _, e := range rec.Events {
		if e.Kind == record.Failure {
			t.Errorf("seed %d: %s", setup.Seed, e.Message())
		}
	}
	return rec
}

func apart(a, b record.Pose) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// A follower of the nominal plan ends where the routine ends in the same seed: of all seeds the half within 15 mm, as
// issue 13 asks for; 100 of the demo in C++, 20 of each other routine. The one in Python, which takes six times as
// long, is held to it in 20 seeds of the demo and six of each other: it ends at the same place, but for the header's
// numbers of seven digits. In both languages one seed gives the same bytes each time, and without chance it scores what
// the routine scores. `go test ./...` does not build the one in C++ here: TestTheFollowersAgree holds it to the other.
func TestFollowersEndWhereTheRoutineEnds(t *testing.T) {
	const alike = 0.001 // m; 0.5 mm were measured
	// In Cask Quay the robot tows a cart twice, which the plan alone does not steer: 37.5 mm were measured in 20 seeds,
	// 35.3 mm in 200.
	// In Sorting Yard the routine finds its place anew by a tape and by marks, of which the plan has nothing: 17.9 mm
	// were measured in 20 seeds, 22.2 mm in the first six.
	within := map[string]float64{"cask_quay_refill": 0.045, "sorting_yard_sift": 0.03} // m
	languages := []string{"python", "cpp"}[:property.Cases(1, 2)]
	for i, routine := range append([]string{demoRoutine}, others()...)[:property.Cases(1, len(assets.RoutineNames()))] {
		t.Run(routine, func(t *testing.T) {
			seeds, held := property.Cases(2, 100), 20
			if i > 0 {
				seeds, held = 20, 6
			}
			lua, err := inputs{Routine: routine}.load()
			if err != nil {
				t.Fatal(err)
			}
			wants, _ := endsOf(t, lua, seeds)
			lua.Nominal = true
			score := rehearsed(t, lua).Sheet.Total
			var ends [][]record.Pose
			for i, language := range languages {
				seeds := seeds
				if i+1 < len(languages) { // the last takes all: the others are held to it
					seeds = min(seeds, held)
				}
				follow, _ := follows(t, language, home(routine))
				at, prints := endsOf(t, follow, seeds)
				ends = append(ends, at)
				follow.Seed = uint64(seeds)
				if _, again := endOf(t, follow); again != prints[seeds-1] {
					t.Errorf("%s: two rehearsals of one seed differ", language)
				}
				holdTo(t, language, within[routine], at, wants[:seeds])
				follow.Nominal = true
				if got := rehearsed(t, follow).Sheet.Total; !slices.Equal(got, score) {
					t.Errorf("%s scores %v without chance, the routine %v", language, got, score)
				}
			}
			last := ends[len(ends)-1]
			if median := stats.Quantile(gaps(ends[0], last[:len(ends[0])]), 0.5); median > alike {
				t.Errorf("C++ ends %.1f mm from Python", 1000*median)
			}
		})
	}
}

// others are the routines beside the demo.
func others() []string {
	return slices.DeleteFunc(assets.RoutineNames(), func(name string) bool { return name == demoRoutine })
}

// holdTo is an error where the median of the ends is farther from those wanted than issue 13 allows.
func holdTo(t *testing.T, who string, within float64, ends, wants []record.Pose) {
	t.Helper()
	within = cmp.Or(within, 0.015) // m
	told := gaps(ends, wants)
	median := stats.Quantile(told, 0.5)
	t.Logf("%s, %d seeds: median %.1f mm, nine of ten within %.1f mm, farthest %.1f mm", who, len(told), 1000*median,
		1000*stats.Quantile(told, 0.9), 1000*told[len(told)-1])
	if median > within {
		t.Errorf("the median is %.1f mm from the routine's end", 1000*median)
	}
}

// The whole law is needed by a robot whose motors are late and slew, have a dead band, and that is tall and turns about
// a point ahead of its middle.
func TestAFollowerOfARobotThatIsHardToDrive(t *testing.T) {
	text, err := robot.EmbeddedSource("hauler")
	if err != nil {
		t.Fatal(err)
	}
	hard := string(text)
	for _, change := range [][2]string{
		{"\n[drive]\n", "\n[drive]\nlatency = \"60 ms\"\ndead_band = \"0.8 V\"\nslew = \"60 V/s\"\n"},
		{`centre_height = "95 mm"`, `centre_height = "260 mm"`},
		{`at = ["130 mm", "165 mm"]`, `at = ["130 mm", "165 mm"]` + "\nkind = \"traction\""},
		{`at = ["130 mm", "-165 mm"]`, `at = ["130 mm", "-165 mm"]` + "\nkind = \"traction\""},
	} {
		changed := strings.Replace(hard, change[0], change[1], 1)
		if changed == hard {
			t.Fatalf("the hauler has no %q", change[0])
		}
		hard = changed
	}
	file := filepath.Join(t.TempDir(), "hard.toml")
	if err := os.WriteFile(file, []byte(hard), 0o644); err != nil {
		t.Fatal(err)
	}
	of := course{"core_haul_sled", file}
	python, folder := follows(t, "python", of)
	table, err := readPlan(filepath.Join(folder, "plan.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if l := table.Steps[1].Law; l.Delay != 0.06 || l.Band != 0.8 || l.Pivot < 0.1 || l.Push <= 0 || l.Push > 5 {
		t.Errorf("its law is %+v", l)
	}
	in := of.inputs()
	in.Routine = of.routine
	lua, err := in.load()
	if err != nil {
		t.Fatal(err)
	}
	seeds := property.Cases(2, 20)
	wants, _ := endsOf(t, lua, seeds)
	ends, _ := endsOf(t, python, seeds)
	holdTo(t, "a robot that is hard to drive", 0, ends, wants)
}

// A program's plan is that of the routine that does the same, but for the lines.
func TestThePlanOfAProgram(t *testing.T) {
	folder := clients(t, "python")
	plans := [2]string{filepath.Join(folder, "lua.json"), filepath.Join(folder, "python.json")}
	writePlan(t, home(demoRoutine), plans[0])
	t.Chdir(folder)
	var out bytes.Buffer
	if code := Main([]string{"run", "--program", "python3 demo.py", "--patience", "20s", "--nominal", "--setpoints",
		plans[1]}, &out, &out); code != held {
		t.Fatal(out.String())
	}
	if !strings.Contains(out.String(), "It was made from a program, whose decisions are not known here.") {
		t.Errorf("it says %s", out.String())
	}
	var tables [2]*setpoints.Table
	for i, path := range plans {
		table, err := readPlan(path)
		if err != nil {
			t.Fatal(err)
		}
		for k := range table.Rows {
			table.Rows[k].Line, table.Rows[k].Waits = 0, 0
		}
		tables[i] = table
	}
	if !reflect.DeepEqual(tables[0].Rows, tables[1].Rows) || len(tables[1].Open) > 0 {
		t.Error("the rows differ")
	}
	if files := tables[1].Made.Files; len(files) != 3 || files[2].Of != "program" || files[2].Name != "demo.py" {
		t.Errorf("it came from %v", files)
	}
}

// endsOf rehearses with as many seeds as are asked for, on all cores: a program has its own while the simulator waits.
func endsOf(t *testing.T, setup rehearse.Setup, seeds int) (ends []record.Pose, prints []string) {
	t.Helper()
	ends, prints = make([]record.Pose, seeds), make([]string, seeds)
	var group sync.WaitGroup
	for worker := range pool.Cores() {
		group.Go(func() {
			for i := worker; i < seeds; i += pool.Cores() {
				of := setup
				of.Seed = uint64(i + 1)
				ends[i], prints[i] = endOf(t, of)
			}
		})
	}
	group.Wait()
	return ends, prints
}

// gaps are how far ends are from others, in order of size.
func gaps(ends, others []record.Pose) (list []float64) {
	for i := range ends {
		list = append(list, apart(ends[i], others[i]))
	}
	slices.Sort(list)
	return list
}

// A table that was read and written again is followed to the same end, in either form.
func TestATableFollowedTwice(t *testing.T) {
	setup, folder := follows(t, "python", home(demoRoutine))
	setup.Seed = 3
	at, _ := endOf(t, setup)
	table, err := readPlan(filepath.Join(folder, "plan.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"again.json", "again.csv"}[:property.Cases(1, 2)] {
		if err := writeSetpoints(filepath.Join(folder, name), table); err != nil {
			t.Fatal(err)
		}
		other := follower(t, folder, home(demoRoutine), []string{"python3", "follow.py", name})
		other.Seed = 3
		if got, _ := endOf(t, other); apart(got, at) > 0.001 {
			t.Errorf("%s ends %.1f mm from where plan.csv ends", name, 1000*apart(got, at))
		}
	}
}

// Programs that feed a follower with poses and print what it gives.
const (
	feedCPP = `#include <cstdio>
#include "plan.h"
#include "follower.hpp"
int main() {
  follower::Follower f(plan);
  double t, x, y, heading;
  while (!f.done() && std::scanf("%lf %lf %lf %lf", &t, &x, &y, &heading) == 4) {
    f.hold = t > 0.995 && t < 1.495;
    follower::Volts v = f.step(t, x, y, heading);
    std::printf("%.3f %d %.6f %.6f", f.row().time, f.row().step, v.left, v.right);
    while (const setpoint_command* c = f.due()) std::printf(" %s", c->what);
    std::printf("\n");
  }
}
`
	feedPython = `import sys, follower
f = follower.Follower(follower.read("plan.csv"))
for line in sys.stdin:
    if f.done():
        break
    t, x, y, heading = map(float, line.split())
    f.hold = 0.995 < t < 1.495
    left, right = f.step(t, x, y, heading)
    row = f.row()
    print("%.3f %d %.6f %.6f" % (row["time"], row["step"], left, right), *(what for what, _ in f.due()))
`
)

// Fed with the same poses, those that the robot believes in a rehearsal with chance, both followers give the same volts
// and commands, and both wait where they are told to; a header's numbers have seven digits.
func TestTheFollowersAgree(t *testing.T) {
	folder := clients(t, "cpp")
	if err := os.CopyFS(folder, os.DirFS(clients(t, "python"))); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"feed.cpp": feedCPP, "feed.py": feedPython} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	writePlan(t, home(demoRoutine), filepath.Join(folder, "plan.csv"))
	writePlan(t, home(demoRoutine), filepath.Join(folder, "plan.h"))
	lua, err := inputs{Routine: demoRoutine}.load()
	if err != nil {
		t.Fatal(err)
	}
	lua.Seed = 4
	var poses strings.Builder
	for _, s := range rehearsed(t, lua).Samples {
		at := s.Robots[0].Belief
		fmt.Fprintf(&poses, "%.2f %.6f %.6f %.6f\n", s.T, 1000*at[0], 1000*at[1], at[2]*180/math.Pi)
	}
	run := func(words string) string {
		c := exec.Command(strings.Fields(words)[0], strings.Fields(words)[1:]...)
		c.Dir, c.Stdin = folder, strings.NewReader(poses.String())
		out, err := c.CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		return string(out)
	}
	run("g++ -std=c++17 -O0 -Wall -Wextra -Wpedantic -Werror -o feed feed.cpp")
	cpp, python := strings.Split(run("./feed"), "\n"), strings.Split(run("python3 feed.py"), "\n")
	if len(cpp) != len(python) || len(cpp) < 500 {
		t.Fatalf("%d lines in C++, %d in Python", len(cpp), len(python))
	}
	for i := range cpp {
		a, b := strings.Fields(cpp[i]), strings.Fields(python[i])
		if len(a) != len(b) || len(a) > 0 && (!slices.Equal(a[:2], b[:2]) || !slices.Equal(a[4:], b[4:]) ||
			!near(a[2], b[2]) || !near(a[3], b[3])) {
			t.Fatalf("line %d: %q in C++, %q in Python", i, cpp[i], python[i])
		}
		if held := i >= 50 && i < 75; held && a[0] != strings.Fields(cpp[49])[0] {
			t.Errorf("line %d: the plan goes on while it is to wait: %s", i, cpp[i])
		}
	}
}

// near reports whether two texts are volts that differ by no more than numbers of seven digits make them.
func near(a, b string) bool {
	x, wrong := strconv.ParseFloat(a, 64)
	y, also := strconv.ParseFloat(b, 64)
	return wrong == nil && also == nil && math.Abs(x-y) < 0.002
}

// smallFollower is the least program that follows, printTable prints what a table has.
const (
	smallFollower = `#include "plan.h"
#include "follower.hpp"
follower::Volts go(double t) {
  static follower::Follower f(plan);
  while (f.due()) {}
  return f.done() ? follower::Volts{0, 0} : f.step(t, 0, 0, 0);
}
`
	printTable = `#include <stdio.h>
#include "plan.h"
int main(void) {
  for (int i = 0; i < plan.row_count; i++) {
    const struct setpoint_row *r = &plan.rows[i];
    printf("%.9g %.9g %.9g %.9g %d %d\n", r->time, r->x, r->heading, r->right_volts, r->step, r->line);
  }
  for (int i = 0; i < plan.command_count; i++) {
    const struct setpoint_command *c = &plan.commands[i];
    printf("%d %s %d %.9g\n", c->row, c->what, c->numbers, c->number[0]);
  }
}
`
)

// The follower in C++ takes no memory but its own, throws nothing, and needs a table; a header is C as well.
func TestTheFollowerForMicrocontrollers(t *testing.T) {
	needs(t, "g++", "gcc", "nm")
	folder := clients(t, "cpp")
	writePlan(t, home(demoRoutine), filepath.Join(folder, "plan.h"))
	for name, text := range map[string]string{
		"small.cpp": smallFollower, "print.c": printTable, "bare.cpp": "#include \"follower.hpp\"\n",
		"plan.c": "#include \"plan.h\"\n#include \"plan.h\"\nint rows(void) { return plan.row_count + plan_rows[0].mode; }\n",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	run := func(words string) (string, error) {
		c := exec.Command(strings.Fields(words)[0], strings.Fields(words)[1:]...)
		c.Dir = folder
		out, err := c.CombinedOutput()
		return string(out), err
	}
	const strict = " -Wall -Wextra -Wpedantic -Werror "
	const bare = "g++ -std=c++17 -O1 -fno-exceptions -fno-rtti -fno-threadsafe-statics"
	if out, err := run(bare + strict + "-c small.cpp"); err != nil {
		t.Fatal(out)
	}
	wants, err := run("nm -u small.o")
	if err != nil {
		t.Fatal(wants)
	}
	for line := range strings.Lines(wants) {
		symbol := strings.TrimPrefix(strings.TrimSpace(line), "U ")
		if !slices.Contains([]string{"sin", "cos", "sincos", "fmin", "fmax", "remainder", "copysign", "__stack_chk_fail",
			"_GLOBAL_OFFSET_TABLE_"}, symbol) {
			t.Errorf("it needs %s", symbol)
		}
	}
	out, err := run("g++ -std=c++17 -c bare.cpp")
	if err == nil || !strings.Contains(out, "include the table (plan.h) before") {
		t.Errorf("without a table: %v, %s", err, out)
	}
	if out, err := run("gcc -std=c99" + strict + "-c plan.c"); err != nil {
		t.Error(out)
	}
	if out, err := run("gcc -std=c99 -o print print.c"); err != nil {
		t.Fatal(out)
	}
	printed, err := run("./print")
	if err != nil {
		t.Fatal(printed)
	}
	writePlan(t, home(demoRoutine), filepath.Join(folder, "plan.csv"))
	table, err := readPlan(filepath.Join(folder, "plan.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if want := inC(table); printed != want {
		t.Errorf("the header has\n%s\nwant\n%s", printed, want)
	}
}

// inC is what print.c prints of a table.
func inC(table *setpoints.Table) string {
	var rows, commands strings.Builder
	for i := range table.Rows {
		r := &table.Rows[i]
		fmt.Fprintf(&rows, "%.9g %.9g %.9g %.9g %d %d\n", float32(r.Time), float32(r.X), float32(r.Heading),
			float32(r.RightVolts), r.Step, r.Line)
		for _, c := range r.Do {
			number := 0.0
			if len(c.With) > 0 {
				number = c.With[0].(float64)
			}
			fmt.Fprintf(&commands, "%d %s %d %.9g\n", i, c.Do, len(c.With), float32(number))
		}
	}
	return rows.String() + commands.String()
}
