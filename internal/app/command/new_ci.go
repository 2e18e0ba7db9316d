package command

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/assets"
	"chalkfield/internal/app/check"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting"
)

// routinesIn lists the routines that stand in a folder; routine.lua, the one of `chalkfield new`, first. Other Lua
// files, such as those that a routine requires, are passed over; passed tells why.
func routinesIn(folder string) (names, passed []string, err error) {
	paths, err := filepath.Glob(filepath.Join(globSafe(folder), "*.lua"))
	if err != nil {
		return nil, nil, err
	}
	for _, path := range paths {
		name := filepath.Base(path)
		switch _, err := scripting.Load(path); {
		case err == nil && name == "routine.lua":
			names = slices.Insert(names, 0, name)
		case err == nil:
			names = append(names, name)
		case name == "routine.lua":
			return nil, nil, err
		default:
			passed = append(passed, firstLine(err.Error()))
		}
	}
	return names, passed, nil
}

// globSafe quotes a folder's name for filepath.Glob.
func globSafe(folder string) string {
	return strings.NewReplacer(`*`, `[*]`, `?`, `[?]`, `[`, `[[]`).Replace(folder)
}

// addRecipe writes a check file for each routine, which holds it to what it does now, and the recipe. What is already
// there is left, and told.
func (c newCommand) addRecipe(ctx context.Context, s streams, routines []string) error {
	var files []file
	var there []string
	for i, f := range recipe(c.Folder, routines) {
		if exists(f.path) {
			there = append(there, f.path)
			continue
		}
		if i < len(routines) {
			text, err := checksFor(ctx, filepath.Join(c.Folder, routines[i]))
			if err != nil {
				return err
			}
			f.data = text
		}
		files = append(files, f)
	}
	if err := writeNew(s, files); err != nil {
		return err
	}
	for _, path := range there {
		fmt.Fprintf(s.out, "left %s as it is\n", path)
	}
	if len(files) == 0 {
		fmt.Fprintln(s.out, "nothing was missing")
	}
	fmt.Fprintf(s.out, "Next: chalkfield check %s\n", c.Folder)
	return nil
}

// recipe lists the check files of the routines, still empty, then the files of the recipe, which speak of the first
// routine.
func recipe(folder string, routines []string) []file {
	var files []file
	for _, name := range routines {
		files = append(files, file{filepath.Join(folder, strings.TrimSuffix(name, ".lua")+check.Suffix), nil})
	}
	parts, err := collect(assets.CI, folder)
	if err != nil {
		panic(err) // they are in the program
	}
	for _, part := range parts {
		part.data = bytes.ReplaceAll(part.data, []byte("routine.lua"), []byte(wording.Quoted(noFlag(routines[0]))))
		files = append(files, part)
	}
	return files
}

// checksFor is a check file that holds a routine to what its nominal rehearsal does today.
func checksFor(ctx context.Context, path string) ([]byte, error) {
	setup, err := inputs{Routine: path, Seed: 1, Nominal: true}.load()
	if err != nil {
		return nil, err
	}
	rec, err := rehearse.Run(ctx, setup)
	if err != nil {
		return nil, err
	}
	plan := results.Of(rec, 0)
	if failed := plan.Failed(); failed != nil {
		return nil, fmt.Errorf("%s fails, put it right first: %s", path, failed.Text)
	}
	return []byte(checkText(filepath.Base(path), plan, plan.Own(rec.Header.Robots[0].Side))), nil
}

func firstLine(text string) string {
	line, _, _ := strings.Cut(text, "\n")
	return line
}

func checkText(routine string, plan results.Result, score float64) string {
	var text strings.Builder
	fmt.Fprintf(&text, `# What we expect of %[1]s. %[2]schalkfield check%[2]s holds every change to it; add a
# [[cases]] for each thing that must stay so. %[2]schalkfield guide studies%[2]s lists all that a case can expect.
# The numbers here are what the routine did when this was written.

title = "Our routine"
routine = %[3]q

[[cases]]
name = "as planned"
nominal = true                      # everything exactly where the files say
score_at_least = %[4]g
`, routine, "`", routine, score)
	if plan.Done != results.Never {
		fmt.Fprintf(&text, "done_before = \"%g s\"\n", math.Ceil(plan.Done+0.5))
	}
	fmt.Fprintf(&text, "end = { at = [\"%.0f mm\", \"%.0f mm\"], within = \"60 mm\" }\n",
		1000*plan.Pose[0], 1000*plan.Pose[1])
	fmt.Fprintf(&text, `
# How often does it work when things are off? %[1]schalkfield trials %[2]s%[1]s tells what is true today;
# expect that here:
#
# [[cases]]
# name = "most of the time"
# trials = 300                      # each with another draw of the spread
# share = 0.8                       # judged by the lower end of its Wilson interval
# score_at_least = %[3]g
`, "`", routine, score)
	return text.String()
}
