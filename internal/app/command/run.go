package command

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"

	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/app/study"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
	"chalkfield/render/signals"
	"chalkfield/sim/robot"
)

type runCommand struct {
	inputs
	logFlags
	showFlags
	setpointFlags
	Record  string `help:"Write the record (JSON Lines)." placeholder:"FILE"`
	Picture string `help:"Draw the path, events and final state (.png or .svg)." placeholder:"FILE"`
	Report  string `help:"Write a report that a browser shows (.html), in one file." placeholder:"FILE"`
	CSV     string `help:"Write all signals over time, the simulator's and those of signal() (.csv)." name:"csv" placeholder:"FILE"`
	LogAs   string `help:"Write what the robot's own program could have logged (.csv), in mm whatever --units says: programs read it." placeholder:"FILE"`
	JSON    bool   `help:"Print the account as JSON." name:"json"`
	insideFlags
}

// Help is shown under the flags.
func (runCommand) Help() string {
	return `Examples:
  chalkfield run                                     the demo
  chalkfield run mine.lua --robot robot.toml         your routine and robot on the demo field
  chalkfield run mine.lua --seed 7 --picture out.png one draw of the spread, with a picture
  chalkfield run mine.lua --report out.html          for a phone, or on paper
  chalkfield run mine.lua --movie out.gif            for those who have no Chalkfield
  chalkfield run mine.lua --replay out.html          the same to play and scrub in a browser
  chalkfield run mine.lua --record out.jsonl --json  for other programs
  chalkfield run mine.lua --csv signals.csv          speeds, volts, your own signals, for a spreadsheet
  chalkfield run mine.lua --variables-at 3.2s        what the routine's variables held then
  chalkfield run mine.lua --lines                    when each line of the routine ran, and how long it took
  chalkfield run --program "python3 robot.py"        a program of your own instead of a routine
  chalkfield run mine.lua --log run.csv              the real robot's run beside it: where do the two part?
  chalkfield run mine.lua --nominal --setpoints p.h  the plan as a table that a real robot can follow (.csv, .json, .h)
  chalkfield run mine.lua --log-as sim.csv           as if the real robot had logged it: chalkfield show sim.csv

Exit code 1: a routine failed with an error; its line stands on the error stream.`
}

// Run rehearses once and tells what happened.
func (c runCommand) Run(ctx context.Context, s streams) error {
	setup, err := c.load()
	if err != nil {
		return err
	}
	outputs := append([]string{c.Record, c.Picture, c.Report, c.CSV, c.LogAs, c.output()}, c.showFlags.outputs()...)
	if err := errors.Join(c.inputs.refuseOverwriting(outputs...), c.logFlags.refuseOverwriting(outputs...)); err != nil {
		return err
	}
	log, laid, err := c.logFlags.read()
	if err != nil {
		return err
	}
	followed, err := c.followed()
	if err != nil {
		return err
	}
	if followed != nil {
		for _, output := range outputs {
			if output != "" {
				if err := refuseRead(output, []string{c.Setpoints}); err != nil {
					return err
				}
			}
		}
	}
	if err := errors.Join(recordFile.mayBe(c.Record), pageFile.mayBe(c.Report), signalsFile.mayBe(c.CSV),
		logFile.mayBe(c.LogAs), planFile.mayBe(c.output()), c.showFlags.check(),
		c.showFlags.dressed(c.Picture)); err != nil {
		return err
	}
	done, err := c.insideFlags.keep(&setup)
	if err != nil {
		return err
	}
	var watchers []rehearse.Watcher
	if c.Record != "" {
		growing := record.NewGrowing()
		watchers = append(watchers, func(r *rehearse.Rehearsal) error { return growing.Watch(r.Record()) })
	}
	plan, err := c.plan(setup)
	if err != nil {
		return err
	}
	if plan != nil {
		watchers = append(watchers, plan.Watch)
	}
	rec, err := rehearse.RunWatched(ctx, setup, watchers...)
	if err != nil {
		return err
	}
	if err := everyParamAsked(setup, rec); err != nil {
		return err
	}
	pair, err := lay(rec, setup, log, laid)
	if err != nil {
		return err
	}
	table, err := c.tableOf(plan, rec)
	if err != nil {
		return err
	}
	if err := c.write(s.units, setup, rec, pair, cmp.Or(table, followed)); err != nil {
		return err
	}
	if err := c.showFlags.write(ctx, s, sceneInput(s.units, setup, rec, pair)); err != nil {
		return err
	}
	told, err := report.Rehearsal(s.units, rec, nil)
	if err != nil {
		return err
	}
	if pair != nil {
		told.AddLog(pair)
	}
	if table != nil {
		told.AddSetpoints(table, c.Setpoints)
	}
	if followed != nil {
		told.AddBesideSetpoints(followed.Trace(rec), filepath.Base(c.Setpoints), pair)
	}
	if err := c.insideFlags.tell(told, setup, rec, done); err != nil {
		return err
	}
	if err := s.tell(told, c.JSON); err != nil {
		return err
	}
	if c.programs != nil {
		c.programs.PassOn(s.err)
	}
	return tellFailures(s.err, rec)
}

// lay lays a log beside a rehearsal; nil without one.
func lay(rec *record.Record, setup rehearse.Setup, log *logfile.Log, o alongside.Options) (*alongside.Pair, error) {
	if log == nil {
		return nil, nil
	}
	return alongside.Lay(rec, setup.Entrants[0].Robot, log, o)
}

// write writes the files that the flags name, in their order.
func (c runCommand) write(in units.System, setup rehearse.Setup, rec *record.Record, pair *alongside.Pair,
	plan *setpoints.Table) error {
	table := func(w io.Writer) error { return signals.WriteTable(w, in, rec, robotFiles(setup)) }
	log := func(w io.Writer) error { return logfile.WriteSimulated(w, rec, setup.Entrants[0].Robot) }
	for _, output := range []struct {
		path  string
		write func(path string) error
	}{
		{c.Record, func(path string) error { return atomicfile.Write(path, rec.Write) }},
		{c.Picture, func(path string) error { return c.paper(path, in).record(setup, rec, pair, plan) }},
		{c.Report, func(path string) error { return reportRecord(in, path, setup, rec, pair) }},
		{c.CSV, func(path string) error { return atomicfile.Write(path, table) }},
		{c.LogAs, func(path string) error { return atomicfile.Write(path, log) }},
		{c.output(), func(path string) error { return writeSetpoints(path, plan) }},
	} {
		if output.path == "" {
			continue
		}
		if err := output.write(output.path); err != nil {
			return err
		}
	}
	return nil
}

func robotFiles(setup rehearse.Setup) []*robot.Robot {
	var files []*robot.Robot
	for _, e := range setup.Entrants {
		files = append(files, e.Robot)
	}
	return files
}

// tellFailures says on the error stream which routines failed, so that a script notices.
func tellFailures(out io.Writer, rec *record.Record) error {
	var failed error
	for _, e := range rec.Events {
		if e.Kind == record.Failure {
			fmt.Fprintf(out, "chalkfield: the routine failed at %.2f s: %s\n", e.T, e.Message())
			failed = errFellShort
		}
	}
	return failed
}

// everyParamAsked refuses a value for a parameter that no routine has: it was misspelt.
func everyParamAsked(setup rehearse.Setup, rec *record.Record) error {
	if p := setup.Entrants[0].Routine; p != nil && p.Lost() {
		return nil // it had no time to say what it has
	}
	known := study.ParamNames(setup, rec.Header.Params)
	for _, name := range slices.Sorted(maps.Keys(setup.Params)) {
		if !slices.Contains(known, name) {
			return fmt.Errorf("--param %s: no routine asks for it: %s", name, wording.Instead(name, known))
		}
	}
	return nil
}

// tell prints what is told, for people or for programs.
func (s streams) tell(what *report.Document, asJSON bool) error {
	if asJSON {
		return what.JSON(s.out)
	}
	return what.Text(s.out)
}
