package command

import (
	"bytes"
	"context"
	"flag"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/internal/app/program"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/stats"
)

var followed = flag.Int("followed", 10, "how many seeds each follower is tried on; from 200 on, with every routine")

// followers are how a language's follower is built and started.
var followers = map[string]struct {
	table      string
	build, run []string
}{
	"python": {"plan.csv", nil, []string{"python3", "follow.py", "plan.csv"}},
	"cpp": {"plan.h", strings.Fields("g++ -std=c++17 -O0 -Wall -Wextra -Werror -o follow follow.cpp"),
		[]string{"./follow"}},
}

// follows writes the plan of a routine beside a language's follower, builds that, and gives its rehearsals.
func follows(t *testing.T, language, routine string) (setup rehearse.Setup, folder string) {
	t.Helper()
	folder = clients(t, language)
	with := followers[language]
	writePlan(t, routine, filepath.Join(folder, with.table))
	if with.build != nil {
		make := exec.Command(with.build[0], with.build[1:]...)
		make.Dir = folder
		if out, err := make.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
	}
	return follower(t, folder, routine, with.run), folder
}

// follower is a rehearsal of a follower where its routine is at home.
func follower(t *testing.T, folder, routine string, run []string) rehearse.Setup {
	t.Helper()
	field, robot := assets.RoutineHome(routine)
	owner := program.NewOwner()
	t.Cleanup(owner.Close)
	in := inputs{Field: field, Robot: robot, outside: outside{Program: strings.Join(run, " "), dir: folder, programs: owner,
		Patience: 20 * program.Patience}}
	setup, err := in.load()
	if err != nil {
		t.Fatal(err)
	}
	return setup
}

func writePlan(t *testing.T, routine, path string) {
	t.Helper()
	var out bytes.Buffer
	if code := Main([]string{"run", routine, "--nominal", "--setpoints", path}, &out, &out); code != held {
		t.Fatal(out.String())
	}
}

// endOf rehearses and gives where the robot truly stands when all is over.
func endOf(t *testing.T, setup rehearse.Setup) (at record.Pose, print string) {
	t.Helper()
	rec, err := rehearse.Run(context.Background(), setup)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range rec.Events {
		if e.Kind == record.Failure {
			t.Fatalf("seed %d: %s", setup.Seed, e.Message())
		}
	}
	print, err = rec.Fingerprint()
	if err != nil {
		t.Fatal(err)
	}
	return rec.Samples[len(rec.Samples)-1].Robots[0].True, print
}

func apart(a, b record.Pose) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// A follower of the nominal plan ends where the routine ends in the same seed: of all seeds the half within 15 mm, as
// issue 13 asks for. In both languages it ends at the same place, but for the header's numbers of seven digits, and one
// seed gives the same bytes each time.
func TestFollowersEndWhereTheRoutineEnds(t *testing.T) {
	const within, alike = 0.015, 0.002 // m
	routines := []string{demoRoutine}
	if *followed >= 200 {
		routines = assets.RoutineNames()
	}
	for _, routine := range routines {
		t.Run(routine, func(t *testing.T) {
			lua, err := inputs{Routine: routine}.load()
			if err != nil {
				t.Fatal(err)
			}
			wants, _ := endsOf(t, lua)
			python, _ := follows(t, "python", routine)
			cpp, _ := follows(t, "cpp", routine)
			var ends [2][]record.Pose
			for i, follow := range []rehearse.Setup{python, cpp} {
				var prints []string
				ends[i], prints = endsOf(t, follow)
				follow.Seed = uint64(len(prints))
				if _, again := endOf(t, follow); again != prints[len(prints)-1] {
					t.Errorf("%s: two rehearsals of one seed differ", follow.Entrants[0].Routine.Name)
				}
				told := gaps(ends[i], wants)
				median := stats.Quantile(told, 0.5)
				t.Logf("%s, %d seeds: median %.1f mm, nine of ten within %.1f mm, farthest %.1f mm",
					follow.Entrants[0].Routine.Name, len(told), 1000*median, 1000*stats.Quantile(told, 0.9), 1000*told[len(told)-1])
				if median > within {
					t.Errorf("the median is %.1f mm from the routine's end", 1000*median)
				}
			}
			if median := stats.Quantile(gaps(ends[0], ends[1]), 0.5); median > alike {
				t.Errorf("C++ ends %.1f mm from Python", 1000*median)
			}
		})
	}
}

// endsOf rehearses with as many seeds as are asked for.
func endsOf(t *testing.T, setup rehearse.Setup) (ends []record.Pose, prints []string) {
	t.Helper()
	for seed := range *followed {
		setup.Seed = uint64(seed + 1)
		at, print := endOf(t, setup)
		ends, prints = append(ends, at), append(prints, print)
	}
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
	setup, folder := follows(t, "python", demoRoutine)
	setup.Seed = 3
	at, _ := endOf(t, setup)
	table, err := readPlan(filepath.Join(folder, "plan.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"again.csv", "again.json"} {
		if err := writeSetpoints(filepath.Join(folder, name), table); err != nil {
			t.Fatal(err)
		}
		other := follower(t, folder, demoRoutine, []string{"python3", "follow.py", name})
		other.Seed = 3
		if got, _ := endOf(t, other); apart(got, at) > 0.001 {
			t.Errorf("%s ends %.1f mm from where plan.csv ends", name, 1000*apart(got, at))
		}
	}
}

// The follower in C++ takes no memory but its own, throws nothing, and needs a table; a header is C as well.
func TestTheFollowerForMicrocontrollers(t *testing.T) {
	needs(t, "g++", "gcc", "nm")
	folder := clients(t, "cpp")
	writePlan(t, demoRoutine, filepath.Join(folder, "plan.h"))
	for name, text := range map[string]string{
		"small.cpp": "#include \"plan.h\"\n#include \"follower.hpp\"\nfollower::Volts go(double t) {\n" +
			"static follower::Follower f(plan);\nwhile (f.due()) {}\nreturn f.done() ? follower::Volts{0, 0} : f.step(t, 0, 0, 0);\n}\n",
		"bare.cpp": "#include \"follower.hpp\"\n",
		"plan.c":   "#include \"plan.h\"\n#include \"plan.h\"\nint rows(void) { return plan.row_count + plan_rows[0].mode; }\n",
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
	if out, err := run("g++ -std=c++17 -O1 -fno-exceptions -fno-rtti -fno-threadsafe-statics" + strict + "-c small.cpp"); err != nil {
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
	if out, err := run("g++ -std=c++17 -c bare.cpp"); err == nil || !strings.Contains(out, "include the table (plan.h) before") {
		t.Errorf("without a table: %v, %s", err, out)
	}
	if out, err := run("gcc -std=c99" + strict + "-c plan.c"); err != nil {
		t.Error(out)
	}
}
