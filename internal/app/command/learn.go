package command

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/app/lesson"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/wording"
	"chalkfield/render/window/viewmodel"
)

type learnCommand struct {
	Lesson    string `arg:"" optional:"" help:"A lesson's name, or a folder: with lessons of your own, or one of them. Without it: the list." placeholder:"LESSON"`
	List      bool   `help:"List the lessons without a window: what is done, what is next."`
	Headless  bool   `help:"Without a window: print the lesson, judge your answer to it, and give the next hint."`
	Folder    string `help:"Where your answers are." default:"my_lessons" placeholder:"FOLDER"`
	Progress  string `help:"Write what was reached in each lesson, for a mentor (.csv)." placeholder:"FILE"`
	Reset     string `help:"Begin a lesson anew, or all of them: what you wrote is kept beside, what you reached is forgotten." placeholder:"NAME"`
	StateFile string `help:"Write the window's state to this file at every update (for tests)." name:"state-file" hidden:"" type:"path"`
	JSON      bool   `help:"With --list or --headless: print it as JSON." name:"json"`
}

// Help is shown under the flags.
func (learnCommand) Help() string {
	return `Examples:
  chalkfield learn                            the lessons in the window: choose one
  chalkfield learn volts_and_time             one lesson
  chalkfield learn --list                     which there are, without a window
  chalkfield learn volts_and_time --headless  without a window; answer: my_lessons/volts_and_time/routine.lua
  chalkfield learn our_lessons/               a class's own lessons (chalkfield new our_lessons/first --lesson)
  chalkfield learn --progress out.csv         what was reached, for a mentor
  chalkfield learn --reset volts_and_time     begin a lesson anew; --reset all: all of them

Exit code of --headless: 0 passed, 1 not yet, 2 the answer has a mistake in its grammar or a file is wrong.`
}

// Run does what is asked for; without a flag it opens the window.
func (c learnCommand) Run(ctx context.Context, s streams) error {
	if err := c.fitting(); err != nil {
		return err
	}
	class, chosen, faults := c.lessons()
	if len(class) == 0 {
		return faults
	}
	progress, err := c.openProgress(s)
	if err != nil {
		return err
	}
	desk := lesson.Desk{Folder: c.Folder}
	switch {
	case c.Reset != "":
		err = c.reset(s, desk, progress, class, chosen)
	case c.Progress != "":
		err = c.writeProgress(progress, class)
	case c.Headless:
		err = learner{s, desk, progress, class, c.JSON}.learn(ctx, chosen)
	case c.List:
		err = s.tell(listOf(progress, class), c.JSON)
	default:
		err = c.open(ctx, s, &viewmodel.School{Lessons: class, Desk: desk, Progress: progress}, chosen)
	}
	if err != nil {
		return errors.Join(err, faults)
	}
	return faults
}

// fitting refuses flags that go against each other.
func (c learnCommand) fitting() error {
	var asked []string
	for _, flag := range []struct {
		name  string
		given bool
	}{{"--list", c.List}, {"--headless", c.Headless}, {"--progress", c.Progress != ""}, {"--reset", c.Reset != ""}} {
		if flag.given {
			asked = append(asked, flag.name)
		}
	}
	switch {
	case len(asked) > 1:
		return fmt.Errorf("%s do different things: write one of them", strings.Join(asked, " and "))
	case c.JSON && !c.List && !c.Headless:
		return errors.New("--json is for --list and --headless")
	case c.Headless && c.Lesson == "":
		return errors.New("name the lesson: chalkfield learn NAME --headless; `chalkfield learn --list` has the names")
	}
	return nil
}

// lessons are the class's, and the one that is chosen, nil for none. The error tells of those that cannot be read.
func (c learnCommand) lessons() (class []*lesson.Lesson, chosen *lesson.Lesson, err error) {
	embedded, fault := lesson.Embedded()
	if c.Lesson == "" {
		return embedded, nil, fault
	}
	names := namesOf(embedded)
	if i := slices.Index(names, c.Lesson); i >= 0 {
		return embedded, embedded[i], nil
	}
	if info, err := os.Stat(c.Lesson); err != nil || !info.IsDir() {
		if strings.ContainsAny(c.Lesson, `/\`) {
			_, err := lesson.Folder(c.Lesson)
			return nil, nil, err
		}
		return nil, nil, fmt.Errorf("there is no lesson %q, and no folder of that name: %s", c.Lesson,
			wording.Instead(c.Lesson, names))
	}
	class, err = lesson.Folder(c.Lesson)
	if len(class) == 1 && lesson.Is(c.Lesson) {
		chosen = class[0]
	}
	return class, chosen, err
}

func namesOf(class []*lesson.Lesson) []string {
	names := make([]string, len(class))
	for i, l := range class {
		names[i] = l.Name
	}
	return names
}

// openProgress reads what was reached; that it cannot be read is told, and stops nobody.
func (c learnCommand) openProgress(s streams) (*lesson.Progress, error) {
	path, err := lesson.ProgressPath()
	if err != nil {
		return nil, fmt.Errorf("nobody knows where what you reach is kept: %w", err)
	}
	progress, err := lesson.OpenProgress(path)
	if err != nil {
		fmt.Fprintf(s.err, "chalkfield: %v\n", err)
	}
	return progress, nil
}

// reset begins lessons anew.
func (c learnCommand) reset(s streams, desk lesson.Desk, progress *lesson.Progress, class []*lesson.Lesson,
	chosen *lesson.Lesson) error {
	which := class
	if c.Reset != "all" {
		i := slices.Index(namesOf(class), c.Reset)
		if i < 0 {
			return fmt.Errorf("--reset %s: there is no such lesson: %s", c.Reset, wording.Instead(c.Reset,
				append([]string{"all"}, namesOf(class)...)))
		}
		which = class[i : i+1]
	}
	if chosen != nil && !slices.Contains(which, chosen) {
		return fmt.Errorf("--reset %s: is not %s: name it once", c.Reset, chosen.Name)
	}
	for _, l := range which {
		if !exists(desk.Home(l)) {
			continue
		}
		kept, err := desk.Reset(l)
		if err != nil {
			return err
		}
		if kept != "" {
			fmt.Fprintln(s.out, lesson.Say("reset_kept", l.Title, filepath.ToSlash(kept)))
		}
	}
	if err := progress.Forget(which...); err != nil {
		return err
	}
	if c.Reset == "all" {
		fmt.Fprintln(s.out, lesson.Say("reset_all"))
	} else {
		fmt.Fprintln(s.out, lesson.Say("reset_one", which[0].Title))
	}
	return nil
}

// progressHead begins every table of progress.
const progressHead = "lesson,title,passed,stars,tries,hints opened,steps done,steps,medal,best s"

var progressTable = output{"--progress", "a table of progress", []string{".csv"}, progressHead}

// writeProgress writes a row a lesson.
func (c learnCommand) writeProgress(progress *lesson.Progress, class []*lesson.Lesson) error {
	if err := progressTable.mayBe(c.Progress); err != nil {
		return err
	}
	return atomicfile.Write(c.Progress, progressRows(progress, class))
}
