package command

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"chalkfield/internal/app/check"
	"chalkfield/internal/app/program"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/pool"
)

type checkCommand struct {
	Paths         []string `arg:"" optional:"" help:"Check files (*.check.toml), or folders that have some. Default: this folder." placeholder:"PATH"`
	JUnit         string   `help:"Write the results as the JUnit XML that CI servers read." name:"junit" placeholder:"FILE"`
	JSON          bool     `help:"Print the results as JSON." name:"json"`
	List          bool     `help:"Only list the cases."`
	Only          string   `help:"Only the cases whose \"file: name\" has this text in it." placeholder:"TEXT"`
	Accept        bool     `help:"Write the golden records anew, and show what that changes."`
	AllowPrograms bool     `help:"Start the programs that the check files name. They run with your rights: look at them first." name:"allow-programs"`
	Workers       int      `help:"Cores to use. Default: all." placeholder:"N"`

	programs *program.Owner
}

// Help is shown under the flags.
func (checkCommand) Help() string {
	return `Rehearses every case of the check files and tells which ones fall short of what they expect: what was
expected, what happened, when, at which line, and the command that shows it. Exit code 0: all held; 1: something fell
short; 2: a file is wrong.

Examples:
  chalkfield check                             every check file at and below this folder
  chalkfield check checks --junit results.xml  for a CI server
  chalkfield check mine.check.toml --only "as planned"
  chalkfield check --accept                    after looking at what changed
  chalkfield check my_lesson                   a lesson: its solution passes, start and wrong answers do not
  chalkfield check --allow-programs            where a check file has program = "python3 robot.py" for routine

A check file:
  routine = "mine.lua"
  [[cases]]
  name = "as planned"
  nominal = true
  score_at_least = 12
  [[cases]]
  name = "often enough"
  trials = 300
  share = 0.9          # judged by the lower end of its Wilson interval
  score_at_least = 12
  never_touches = ["wall"]
  [[cases]]
  name = "as the real robot"
  nominal = true
  follows_log = { file = "run.csv", place = "60 mm", heading = "5 deg" }`
}

// AfterApply takes whose the programs are.
func (c *checkCommand) AfterApply(programs *program.Owner) error {
	c.programs = programs
	return nil
}

// Run judges the cases.
func (c checkCommand) Run(ctx context.Context, s streams) error {
	ease(0)
	if len(c.Paths) == 0 {
		c.Paths = []string{"."}
	}
	if err := foldersExist(c.JUnit); err != nil {
		return err
	}
	var lessons lessonProofs
	files := check.LoadAll(c.Paths, func(s check.Subject) []string { return inputsOf(s).reads() }, lessons.take)
	if err := c.refuseOverwriting(files); err != nil {
		return err
	}
	names := append(check.List(files, c.Only), lessons.names(c.Only)...)
	if len(names) == 0 && lessons.faults == nil &&
		!slices.ContainsFunc(files, func(f *check.File) bool { return f.Fault != nil }) {
		return fmt.Errorf("no case has %q in its name: `chalkfield check --list` names them all", c.Only)
	}
	if c.List {
		return c.list(s, names, files, lessons.faults)
	}
	out, err := c.judge(ctx, s, files)
	if err == nil {
		err = lessons.judge(ctx, s, c, out)
	}
	if err != nil {
		return err
	}
	if err := c.print(s, out); err != nil {
		return err
	}
	switch {
	case out.Wrong > 0 && len(names) == 0 && c.Only != "":
		return fmt.Errorf("no case has %q in its name, but %s could not be judged: see above what is wrong", c.Only,
			out.Unjudged())
	case out.Wrong > 0:
		return fmt.Errorf("%s could not be judged: see above what is wrong", out.Unjudged())
	case out.Short > 0:
		return errFellShort
	}
	return nil
}

// refuseOverwriting makes sure that the results go into none of the files read, golden records and wrong check files
// among them.
func (c checkCommand) refuseOverwriting(files []*check.File) error {
	if c.JUnit == "" {
		return nil
	}
	for _, f := range files {
		read := append([]string{f.Path}, f.Reads...)
		for i := range f.Cases {
			if golden := f.Cases[i].Golden; golden != "" {
				read = append(read, golden)
			}
		}
		if err := refuseRead(c.JUnit, read); err != nil {
			return err
		}
	}
	return junitFile.mayBe(c.JUnit)
}

// list prints the names of the cases; what is wrong in a file is told as an error.
func (c checkCommand) list(s streams, names []string, files []*check.File, faults []error) error {
	if err := s.tell(&report.Document{Head: names, Data: names}, c.JSON); err != nil {
		return err
	}
	for _, f := range files {
		faults = append(faults, f.Faults())
	}
	return errors.Join(faults...)
}

func (c checkCommand) judge(ctx context.Context, s streams, files []*check.File) (*check.Outcome, error) {
	if c.Workers <= 0 {
		c.Workers = pool.Cores()
	}
	shown := &bar{}
	last := 0
	out, err := check.Run(ctx, files, check.Options{
		Rehearse: careful, Load: c.loadSubject, Workers: c.Workers, Only: c.Only, Accept: c.Accept,
		In: s.units,
		Progress: func(done, of int) {
			if last == 0 {
				shown = progress(s.err, of)
			}
			shown.add(done - last)
			last = done
		},
	})
	shown.clear()
	var defect *pool.Defect
	if errors.As(err, &defect) {
		panic(defect.Error())
	}
	return out, err
}

// loadSubject reads what a check file names, as the other commands read what their flags name.
func (c checkCommand) loadSubject(of check.Subject) (rehearse.Setup, string, error) {
	in := inputsOf(of)
	in.programs = c.programs
	if in.Program != "" && !c.AllowPrograms {
		return rehearse.Setup{}, "", fmt.Errorf("a program is started by this file, and has your rights then: %s; look at "+
			"it, and write --allow-programs", in.Program)
	}
	setup, err := in.load()
	return setup, in.replay(), err
}

func inputsOf(c check.Subject) inputs {
	params := values{}
	for name, value := range c.Params {
		params[name] = string(value)
	}
	return inputs{
		Routine: c.Routine, Robot: c.Robot, Field: c.Field, Session: c.Session, Side: c.Side,
		Partner: c.Partner, Opponent: c.Opponents, Pad: c.Pad, Param: params,
		outside: outside{Program: c.Program, dir: c.Folder},
	}
}

func (c checkCommand) print(s streams, out *check.Outcome) error {
	if c.JUnit != "" {
		if err := atomicfile.Write(c.JUnit, out.JUnit); err != nil {
			return err
		}
	}
	return s.tell(report.Checks(out), c.JSON)
}
