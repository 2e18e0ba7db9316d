package command

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"strings"

	"chalkfield/internal/app/study"
)

type compareCommand struct {
	inputs
	Other  string `arg:"" optional:"" help:"The routine to compare with. Without it: the same one, with --param-b or --robot-b." placeholder:"ROUTINE"`
	ParamB values `help:"Parameter of the second one only. May be repeated." placeholder:"NAME=VALUE"`
	RobotB string `help:"Robot of the second one. Default: as the first's, or robot.toml beside it." placeholder:"FILE"`
	Count  int    `help:"How many pairs." short:"n" default:"200" placeholder:"N"`
	studyFlags
}

// Help is shown under the flags.
func (compareCommand) Help() string {
	return `Rehearses two routines with the same seeds, so that both meet the same draws of the spread, and tells whether
the difference in score and time is real or what chance gives.

Examples:
  chalkfield compare old.lua new.lua
  chalkfield compare old.lua new.lua -n 500 --report compare.html
  chalkfield compare old.lua new.lua --for "worst(10%)"         by a goal too: see chalkfield tune --help
  chalkfield compare mine.lua --param-b turn_gain=0.15          one routine, two settings
  chalkfield compare mine.lua --robot-b heavier.toml            one routine, two robots
  chalkfield compare --program "python3 robot.py" mine.lua      a program of your own, and a routine`
}

// Run makes the pairs and tells what they show.
func (c compareCommand) Run(ctx context.Context, s streams) error {
	if c.Nominal {
		return errors.New("--nominal draws nothing: use `chalkfield run --nominal` on each")
	}
	if c.Program != "" && c.Other == "" {
		c.Other, c.Routine = c.Routine, "" // the program is the first
	}
	if c.Other == "" && len(c.ParamB) == 0 && c.RobotB == "" {
		return errors.New("a comparison needs two: name a second routine, or give --param-b or --robot-b")
	}
	if c.Count < 2 {
		return fmt.Errorf("-n %d: a comparison needs two pairs at least: give -n 2 or more", c.Count)
	}
	o, err := c.options(c.Count, c.Seed)
	if err != nil {
		return err
	}
	if err := c.refuseOverwriting(c.Out, c.Report); err != nil {
		return err
	}
	a, err := c.candidate()
	if err != nil {
		return err
	}
	if err := c.second().refuseOverwriting(c.Out, c.Report); err != nil {
		return err
	}
	b, err := c.second().candidate()
	if err != nil {
		return err
	}
	if a.Name == b.Name {
		a.Name, b.Name = a.Name+" (a)", fmt.Sprintf("%s (b: %s)", b.Name, c.changes())
	}
	one, err := study.Compare(ctx, careful, a, b, o)
	if err != nil {
		return err
	}
	file, running := c.run(ctx, s, one)
	if file == nil {
		return running
	}
	return c.finish(s, file, a.Setup.Field, running)
}

// second is the inputs of the second candidate: the first's, but for what the flags change.
func (c compareCommand) second() inputs {
	in := c.inputs
	if c.Other != "" {
		in.Routine, in.Program = c.Other, ""
	}
	if c.RobotB != "" {
		in.Robot = c.RobotB
	}
	in.Param = maps.Clone(c.Param)
	if in.Param == nil {
		in.Param = values{}
	}
	maps.Copy(in.Param, c.ParamB)
	return in
}

// changes says what the second candidate of one routine has otherwise.
func (c compareCommand) changes() string {
	var list []string
	for _, name := range sortedKeys(c.ParamB) {
		list = append(list, fmt.Sprintf("%s = %s", name, c.ParamB[name]))
	}
	if c.RobotB != "" {
		list = append(list, c.RobotB)
	}
	return cmp.Or(strings.Join(list, "; "), "the same")
}
